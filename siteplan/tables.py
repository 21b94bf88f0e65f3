"""The tables of numbers and texts that travel with the program."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

INSTALLED = Path(__file__).parent / "resources"
RESOURCES = INSTALLED if INSTALLED.is_dir() else Path(__file__).parent.parent / "resources"


@cache
def read_table(name: str) -> dict[str, Any]:
    """Return a table of ``resources/`` by its path without the ending, such as ``limits/clearances``."""
    return tomllib.loads((RESOURCES / f"{name}.toml").read_text(encoding="utf-8"))
