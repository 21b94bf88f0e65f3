"""Angles as typed and as printed: radians inside, degrees on paper."""

from collections.abc import Iterator
from fractions import Fraction
from math import degrees, radians
from typing import Final

from siteplan.units.beside import Shown, tell_apart
from siteplan.units.cleaning import clean
from siteplan.units.offers import with_tried_offers
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.writing import count_steps, fixed_point, plain_decimal

DEGREE_WORDS: Final = ("°", "d", "deg", "degree", "degrees")
RADIAN_WORDS: Final = ("rad", "radian", "radians")
MOST_DECIMALS: Final = 9


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
    return f"{_written_degrees(angle_rad, decimals)} deg"


def write_angle_beside(angle_rad: float, limit_rad: float, decimals: int = 1) -> str:
    """Return the text of an angle that is printed beside a limit: never rounded onto it, nor across it.

    The limit goes with it as `write_angle_and_limit` prints it.
    """
    return write_angle_and_limit(angle_rad, limit_rad, decimals)[0]


def write_angle_and_limit(angle_rad: float, limit_rad: float, decimals: int = 1) -> tuple[str, str]:
    """Return an angle and its limit as texts that stand in the same order as the two angles."""
    return tell_apart(angle_rad, limit_rad, lambda given_rad: _spell_angle(given_rad, decimals))


def _spell_angle(angle_rad: float, decimals: int) -> Iterator[Shown]:
    """Yield the texts of an angle, plainest first; the exact one, in radians, last."""
    for finer in range(decimals, MOST_DECIMALS + 1):
        yield Shown(write_angle(angle_rad, finer), radians(float(_written_degrees(angle_rad, finer))))
    yield Shown(f"{plain_decimal(angle_rad)} rad", angle_rad)


def _written_degrees(angle_rad: float, decimals: int) -> str:
    """Return the number of degrees as text."""
    return fixed_point(count_steps(degrees(angle_rad), Fraction(1, 10**decimals)), decimals)
