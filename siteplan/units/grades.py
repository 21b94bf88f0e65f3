"""Grades as typed and as printed: rise over run inside, positive where the ground rises in the named direction."""

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import atan, degrees, radians, tan
from typing import Final, NamedTuple

from msgspec import Struct

from siteplan.errors import EntryError
from siteplan.units.beside import Shown, tell_apart
from siteplan.units.cleaning import CleanText, clean
from siteplan.units.field_rule import ANY_LENGTH, INCHES, INCHES_PER_FOOT
from siteplan.units.numerals import PLAIN_NUMBER
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.reading import AGAIN, read_length
from siteplan.units.writing import FINEST_TAPE, ON_TAPE_MARK, count_steps, exact_decimal, exact_length, fixed_point

STEEP: Final = 0.2  # above 20 % a grade is asked for again
LEVEL_BELOW: Final = 1e-9
UPRIGHT_DEGREES: Final = 90
PERCENT: Final = Fraction(1, 100)
PERCENT_PLACES: Final = 2
MOST_DECIMALS: Final = 9
ECHO_DECIMALS: Final = 2

DEGREE_WORDS: Final = ("°", "deg", "degree", "degrees")
RUN_WORDS: Final = {"ft": "ft", "ft.": "ft", "foot": "ft", "in": "in", "inch": "in", "yd": "yd", "m": "m", "cm": "cm", "mm": "mm"}
EXAMPLES: Final = "12.5%, 1:8, 7 deg or 1-1/2 in per ft"

SIGN: Final = re.compile(r"(?:(?P<word>up|down) |(?P<sign>[+-]) ?)?")
RATIO: Final = re.compile(r"(?P<rise>[^:]*?) ?: ?(?P<run>[^:]*)")
PER: Final = re.compile(r"(?P<rise>.+?) ?(?:\bper |/ ?)(?P<run>ft\.?|foot|inch|in|yd|m|cm|mm)")
ONE_IN: Final = re.compile(r"(?P<rise>[0-9.]+) in (?P<run>[0-9.]+)")
MIXED_NUMBER: Final = re.compile(r"(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")


class GradeReading(Struct, frozen=True, kw_only=True):
    """A grade that was read."""

    ratio: float  # rise over run
    confirm: str = ""  # empty, or why Enter must be pressed a second time
    offers: tuple[str, ...] = ()  # other readings, each a text that is read
    is_steep: bool = False


class _Slope(NamedTuple):
    """A grade without its sign, and what is doubtful about it."""

    ratio: Fraction
    doubts: tuple[str, ...] = ()
    offers: tuple[str, ...] = ()


def read_grade(text: str) -> GradeReading:
    """Return the grade a person typed: percent, degrees, rise : run, a length per unit, or `level`.

    `down` or a minus in front makes it fall. A grade above 20 % must be confirmed. Raise EntryError, and never
    anything else, for a text that is no grade or reads two ways.
    """
    entry = clean(text, "grade", LONGEST_QUANTITY)
    found = SIGN.match(entry.text)
    start = found.end() if found else 0
    slope = _read_slope(entry, start)
    falls = entry.text.startswith(("down", "-"))
    ratio = float(-slope.ratio if falls else slope.ratio)
    is_steep = abs(ratio) > STEEP
    doubts = [*slope.doubts, *([_steep_doubt(ratio)] if is_steep else [])]
    confirm = " ".join([*doubts, AGAIN] if doubts else [])
    return GradeReading(ratio=ratio, confirm=confirm, offers=slope.offers, is_steep=is_steep)
