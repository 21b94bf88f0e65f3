"""Print one of the command lines of the README: the nth fenced ``sh`` block."""

import re
import sys
from pathlib import Path

blocks = re.findall(r"^```sh\n(.*?)^```", Path("README.md").read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
sys.stdout.write(blocks[int(sys.argv[1]) - 1])
