"""Angles as typed and as printed: radians inside, degrees on paper."""

from fractions import Fraction
from math import degrees, radians
from typing import Final

from siteplan.units.cleaning import clean
from siteplan.units.offers import with_tried_offers
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.writing import count_steps, fixed_point

DEGREE_WORDS: Final = ("°", "d", "deg", "degree", "degrees")
RADIAN_WORDS: Final = ("rad", "radian", "radians")


@with_tried_offers
def read_angle(text: str) -> float:
    """Return an angle in radians: `90 deg`, `90°`, `90d` and `1.5708 rad` are read, with or without a sign.

    Raise EntryError for anything else, also for a number without a unit.
    """
    entry = clean(text, "angle", LONGEST_QUANTITY)
    number, unit = split_quantity(entry, DEGREE_WORDS + RADIAN_WORDS, ("deg", "rad"), "90 deg or 1.5708 rad")
    return radians(float(number)) if unit in DEGREE_WORDS else float(number)


def write_angle(angle_rad: float, decimals: int = 1) -> str:
    """Return an angle in degrees, half rounded up on its size: 12.5 deg; raise EntryError unless it is finite."""
    return f"{written_degrees(angle_rad, decimals)} deg"


def written_degrees(angle_rad: float, decimals: int) -> str:
    """Return the number of degrees, without its unit."""
    return fixed_point(count_steps(degrees(angle_rad), Fraction(1, 10**decimals)), decimals)
