"""The entry of a length: text to mm, with what must be confirmed and what is offered."""

import re
from fractions import Fraction
from math import isfinite
from typing import Final

from msgspec import Struct

from siteplan.errors import EntryError
from siteplan.units.beside import write_length_beside
from siteplan.units.cleaning import clean
from siteplan.units.field_rule import ANY_LENGTH, INCHES, MM_PER_INCH, FieldRule, JobKind
from siteplan.units.length_grammar import Amount
from siteplan.units.sums import start_reading, take_all
from siteplan.units.tokens import PLAIN_NUMBER, Cursor
from siteplan.units.writing import LengthStyle, echo_length, exact_decimal, exact_length, write_length

LONGEST_ENTRY: Final = 40
LONGEST_PLAIN: Final = 400  # the smallest float has 326 decimals
PLAIN_MM: Final = re.compile(r"-?[0-9]+(?:\.[0-9]+)? mm")
AGAIN: Final = "Press Enter again to keep it."
UNITS_ASKED: Final[dict[JobKind, tuple[str, ...]]] = {
    "ftin": ('"', "'"),
    "ftdec": ("'", '"'),
    "in": ('"', "'"),
    "m": (" m", " mm"),
    "mm": (" mm", " m"),
}


class LengthReading(Struct, frozen=True, kw_only=True):
    """A length that was read."""

    mm: float
    exact: Fraction                 # inches
    confirm: str = ""               # empty, or why Enter must be pressed a second time
    offers: tuple[str, ...] = ()    # other readings, each a text that is read
    note: str = ""                  # what to show beside the echo


def read_length(text: str, rule: FieldRule = ANY_LENGTH) -> LengthReading:
    """Return the length a person typed into a field.

    The value is worked out in exact fractions and rounded once, to the nearest float in mm. Raise EntryError, and
    never anything else, for a text that is no length, reads two ways, or is not taken by the field; its offers are
    texts that are read.
    """
    try:
        reading = _read(text, rule)
    except EntryError as refusal:
        raise EntryError(str(refusal), _readable(refusal.offers, rule), refusal.at) from None
    if not reading.offers:
        return reading
    return LengthReading(
        mm=reading.mm, exact=reading.exact, confirm=reading.confirm, offers=_readable(reading.offers, rule), note=reading.note
    )
