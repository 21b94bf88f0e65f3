"""Where a typed value comes from: the tag before or behind it."""

import re
from typing import Final, Literal, NamedTuple

from siteplan.errors import EntryError

Basis = Literal["taped", "told", "guess", "book", "worked", "built"]

SOURCE: Final = re.compile(r"(.*?)(?:^|[ ,]+)(told|book)(?:[ ]([^,]*))?", re.IGNORECASE | re.DOTALL)
PLAIN_WORD: Final = re.compile(r"(.*?)(?:^|[ ,]+)(taped|guess|worked|built)", re.IGNORECASE | re.DOTALL)
GUESS_FRONT: Final = "~～"
GUESS_END: Final = "?？"
