"""A number as the text that stands for it in a file: as typed, with its unit and its tag.

    14'-1" taped      ~420 lb      12' told owner      90 deg      12.5%      4293.4 mm

A number that nobody typed stands as the plain text of its exact value: in the units used inside, and rise : 1.
"""

from decimal import Decimal
from functools import lru_cache
from math import isfinite
from typing import NamedTuple

from msgspec.structs import replace

from siteplan.errors import EntryError
from siteplan.model.marks import Basis, Mark
from siteplan.model.quantities import Quantity
from siteplan.units.angles import read_angle
from siteplan.units.field_rule import MM_PER_INCH, FieldRule
from siteplan.units.grades import read_grade_strictly
from siteplan.units.measures import UNITS, read_measure
from siteplan.units.reading import read_length_strictly, read_plain_mm
from siteplan.units.tags import join_tag, split_tag
from siteplan.units.writing import plain_decimal

ANY_SIGN = FieldRule(signed=True)
NOT_BELOW_ZERO = FieldRule()
TEXTS_REMEMBERED = 20_000  # saving reads again what loading or typing has read
PLAIN_UNITS: dict[Quantity, str] = {
    "length": " mm",
    "angle": " rad",
    "grade": ":1",
    "weight": " kg",
    "torque": " N-m",
    "time": " s",
    "turning speed": " rad/s",
    "wind speed": " m/s",
    "pressure": " Pa",
    "share": "%",
}


class Typed(NamedTuple):
    """A number as it stands in a file."""

    value: float  # in the unit used inside: mm, rad, kg, rise over run
    text: str  # as typed, without its tag; empty when it is the plain text of the value
    basis: Basis | None
    by: str


class Written(NamedTuple):
    """The text of a number, or 0, and what of its mark had no place in the text."""

    raw: str | int
    left_over: Mark | None


@lru_cache(TEXTS_REMEMBERED)
def read_quantity(text: str, quantity: Quantity, signed: bool) -> Typed:
    """Return the number of a text and what its tag says; raise EntryError for a text that is not read."""
    bare, basis, by = split_tag(text)
    value = _read(bare, quantity, signed)
    if not isfinite(value):
        raise EntryError(f"The {quantity} is larger than any number the program holds.")
    return Typed(value, "" if bare == plain_text(value, quantity) else bare, basis, by)


def write_quantity(value: float, quantity: Quantity, signed: bool, mark: Mark | None) -> Written:
    """Return the text of a number: as typed while that means the very number, otherwise plain, with its tag.

    A tag that cannot stand in the text is left over.  A text that is the plain one counts as not typed.
    """
    plain = plain_text(value, quantity)
    if mark is None:
        return Written(plain if value else 0, None)
    for text in (mark.text, plain):
        wanted = Typed(value, "" if text == plain else text, mark.basis, mark.by)
        joined = _joined(text, mark)
        if joined is not None and _is_read_as(joined, quantity, signed, wanted):
            return Written(joined, None)
    means_it = _is_read_as(mark.text, quantity, signed, Typed(value, mark.text, None, ""))
    return Written(mark.text if means_it else plain, replace(mark, text=""))


def plain_text(value: float, quantity: Quantity) -> str:
    """Return the text from which the very number is read again; zero has no sign."""
    decimal = plain_decimal(value + 0.0)
    if quantity == "share":
        decimal = f"{Decimal(decimal).scaleb(2):f}"
    return f"{decimal}{PLAIN_UNITS[quantity]}"


def with_unit(number: float, quantity: Quantity) -> str:
    """Return how a number without a unit may have been meant: '"2 in" or "51 mm"'."""
    match quantity:
        case "length":
            return f'"{number:g} in" or "{number * float(MM_PER_INCH):.0f} mm"'
        case "angle":
            return f'"{number:g} deg"'
        case "weight":
            return f'"{number:g} lb" or "{number * float(UNITS["weight"].sizes["lb"]):.0f} kg"'
        case "grade":
            return f'"{number:g}%" or "{number:g} deg"'
        case _:
            return " or ".join(f'"{number:g} {unit}"' for unit in dict.fromkeys(UNITS[quantity].usual))


def _read(text: str, quantity: Quantity, signed: bool) -> float:
    match quantity:
        case "length":
            plain_mm = read_plain_mm(text)
            if plain_mm is not None:
                return plain_mm
            return read_length_strictly(text, ANY_SIGN if signed else NOT_BELOW_ZERO)
        case "angle":
            return read_angle(text)
        case "grade":
            return read_grade_strictly(text, steep_allowed=True)
        case _:
            return read_measure(text, quantity)


def _joined(text: str, mark: Mark) -> str | None:
    try:
        return join_tag(text, mark.basis, mark.by)
    except EntryError:
        return None


def _is_read_as(text: str, quantity: Quantity, signed: bool, wanted: Typed) -> bool:
    try:
        return read_quantity(text, quantity, signed) == wanted
    except EntryError:
        return False
