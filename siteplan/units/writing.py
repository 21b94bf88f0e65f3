"""Lengths as text: feet and inches, decimal feet, decimal inches, metric. Lengths come in mm."""

from decimal import Context, Decimal
from fractions import Fraction
from functools import cache
from math import floor, isfinite
from typing import Final

from msgspec import Struct

from siteplan.errors import EntryError
from siteplan.units.field_rule import INCHES, INCHES_PER_FOOT, MM_PER_INCH, JobKind

HALF: Final = Fraction(1, 2)
TIE: Final = Fraction(1, 10**9)  # a tie in binary noise still counts as a tie
FINEST_TAPE: Final = 64  # tapes are read in 2nds to 64ths
ECHO_TAPE: Final = 16  # what the echo of a length between the 64ths is rounded to
ON_TAPE_MARK: Final = Fraction(1, 10**6)
EXACT_DIGITS: Final = Context(prec=100)

DECIMALS: Final = {"ftin": 2, "ftdec": 2, "in": 2, "m": 3, "mm": 0}
SUFFIXES: Final = {"ftdec": "'", "in": " in", "m": " m", "mm": " mm"}
STEP_UNITS: Final = {"ftdec": "ft", "in": "in", "m": "m", "mm": "mm"}


class LengthStyle(Struct, frozen=True):
    """How lengths are printed; ``denominator`` is for feet and inches, ``decimals`` for the other units."""

    unit: JobKind = "ftin"
    denominator: int = 8
    decimals: int | None = None  # None: what is usual for the unit

    @property
    def places(self) -> int:
        """The decimals to print."""
        return DECIMALS[self.unit] if self.decimals is None else self.decimals

    @property
    def step_mm(self) -> Fraction:
        """The smallest step that is printed."""
        return _step_mm(self.unit, self.denominator, self.places)


@cache
def _step_mm(unit: JobKind, denominator: int, places: int) -> Fraction:
    if unit == "ftin":
        return MM_PER_INCH / denominator
    return INCHES[STEP_UNITS[unit]] * MM_PER_INCH * Fraction(1, 10**places)


def write_length(mm: float, style: LengthStyle, zero_feet: bool = False) -> str:
    """Return a length as text, half rounded up on the size; ``zero_feet`` writes 0'-7 1/2" for 7 1/2".

    Raise EntryError for infinities and NaN. Never judge by the text: judge by the number.
    """
    count = count_steps(mm, style.step_mm)
    if style.unit == "ftin":
        return feet_inches(count, style.denominator, zero_feet)
    return fixed_point(count, style.places) + SUFFIXES[style.unit]


def echo_length(mm: float) -> str:
    """Return the three forms shown under a field: 14'-6" = 14.50 ft = 4.420 m.

    The first is exact to 1/64 in for a length that lies on such a mark, and otherwise rounded to 1/16 in.
    """
    decimal_feet = write_length(mm, LengthStyle("ftdec")).removesuffix("'")
    return f"{write_tape(mm)} = {decimal_feet} ft = {write_length(mm, LengthStyle('m'))}"


def write_tape(mm: float) -> str:
    """Return feet and inches to 1/64 in for a length on such a mark, otherwise to 1/16 in."""
    step_mm = MM_PER_INCH / FINEST_TAPE
    marks = count_steps(mm, step_mm)
    on_mark = abs(Fraction(mm) / step_mm - marks) < ON_TAPE_MARK
    return feet_inches(marks, FINEST_TAPE) if on_mark else write_length(mm, LengthStyle("ftin", ECHO_TAPE))


def write_plain_mm(mm: float) -> str:
    """Return the text from which the same number is read back bit for bit: 4293.4 mm."""
    return f"{plain_decimal(mm)} mm"


def plain_decimal(value: float) -> str:
    """Return the shortest decimal that reads back as the same number, without an exponent."""
    if not isfinite(value):
        raise EntryError(f"The number {value} cannot be written; a finite number is needed.")
    return f"{Decimal(repr(value)):f}"


def exact_length(inches: Fraction, in_feet: bool = True) -> str:
    """Return the text that is read as exactly this length; empty when no decimal number is exact."""
    feet, rest = divmod(abs(inches), INCHES_PER_FOOT) if in_feet else (0, abs(inches))
    on_tape = (rest * FINEST_TAPE).denominator == 1
    number = _mixed_number(rest, keeps_zero=feet > 0) if on_tape else exact_decimal(rest)
    front = ("-" if inches < 0 else "") + (f"{feet}'-" if feet else "")
    return f'{front}{number}"' if number else ""


def exact_decimal(value: Fraction) -> str:
    """Return a fraction as a decimal number without trailing zeros; empty when it has no end."""
    quotient = EXACT_DIGITS.divide(Decimal(value.numerator), Decimal(value.denominator))
    return f"{quotient.normalize(EXACT_DIGITS):f}" if Fraction(quotient) == value else ""


def feet_inches(count: int, denominator: int, zero_feet: bool = False) -> str:
    """Return a whole number of 1/denominator inches as feet, inches and a reduced fraction."""
    feet, rest = divmod(Fraction(abs(count), denominator), INCHES_PER_FOOT)
    front = ("-" if count < 0 else "") + (f"{feet}'-" if feet or zero_feet else "")
    return f'{front}{_mixed_number(rest, keeps_zero=feet > 0)}"'


def _mixed_number(value: Fraction, keeps_zero: bool) -> str:
    """Return a whole number and a reduced fraction; a zero before a fraction is kept after feet."""
    whole, part = divmod(value, 1)
    words = [str(whole)] if whole or not part or keeps_zero else []
    return " ".join([*words, str(part)] if part else words)


def fixed_point(count: int, places: int) -> str:
    """Return a whole number of the last decimal as a decimal number: 1450 with 2 places is 14.50."""
    whole, rest = divmod(abs(count), 10**places)
    sign = "-" if count < 0 else ""
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def count_steps(value: float, step: Fraction) -> int:
    """Return how many steps a value has, half rounded up on its size; raise EntryError unless it is finite."""
    if not isfinite(value):
        raise EntryError(f"The number {value} cannot be written; a finite number is needed.")
    count = floor(abs(Fraction(value)) / step + HALF + TIE)
    return -count if value < 0 else count
