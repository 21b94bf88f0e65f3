"""Decimal numbers as digits: what is one, and what a comma in one may have meant."""

import re
from typing import Final

PLAIN_NUMBER: Final = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
GROUP: Final = 3  # digits that a thousands mark sets off


def has_group(number: str, mark: str) -> bool:
    """Whether exactly three digits stand behind the last mark, so that it may be a thousands mark."""
    _, found, behind = number.rpartition(mark)
    return bool(found) and len(behind) == GROUP


def without_comma(number: str) -> tuple[str, ...]:
    """Return the ways to write a number with a comma without one, the likeliest first; none for what is no number."""
    joined, pointed = number.replace(",", ""), number.replace(",", ".")
    spellings = (joined, pointed) if has_group(number, ",") or number.count(",") > 1 else (pointed,)
    return tuple(spelled for spelled in spellings if PLAIN_NUMBER.fullmatch(spelled))
