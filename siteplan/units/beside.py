"""A number printed beside its limit: never rounded onto it, nor across it."""

from collections.abc import Callable, Iterator
from math import radians
from typing import Final, NamedTuple

from siteplan.units.angles import write_angle, written_degrees
from siteplan.units.writing import FINEST_TAPE, LengthStyle, count_steps, plain_decimal, write_length, write_plain_mm

MOST_DECIMALS: Final = 6
MOST_DEGREE_DECIMALS: Final = 9


class Shown(NamedTuple):
    """A printed number, and the number that is read back from it."""

    text: str
    number: float


def tell_apart(value: float, limit: float, spell: Callable[[float], Iterator[Shown]]) -> tuple[str, str]:
    """Return the plainest texts of a value and its limit whose numbers stand in the order of the value and the limit.

    ``spell`` yields the texts of a number, the plainest first and one that reads back as the same number last. The
    limit is printed more finely only when its own rounding has gone past the value. Equal numbers are printed plainly.
    """
    order = _order(value, limit)
    return next(
        (shown.text, ruler.text)
        for ruler in spell(limit)
        for shown in spell(value)
        if _order(shown.number, ruler.number) == order
    )


def stand_beside(value: float, limit: float, spell: Callable[[float], Iterator[Shown]]) -> str:
    """Return the plainest text of a value that may stand beside its limit's plainest text.

    Where the rounding of the limit itself has gone past the value, no true number stands on the right side of the
    printed limit: then the text differs from it and stands on the right side of the limit proper.
    """
    order, printed_limit = _order(value, limit), next(spell(limit)).number
    for shown in spell(value):
        if _order(shown.number, printed_limit) == order:
            return shown.text
    ways = list(spell(value))
    true = [shown for shown in ways if _order(shown.number, limit) == order and shown.number != printed_limit]
    return next(iter([*true, ways[-1]])).text


def _order(first: float, second: float) -> int:
    """Return -1, 0 or 1 as the first is below, at or above the second."""
    return (first > second) - (first < second)


def write_length_beside(mm: float, limit_mm: float, style: LengthStyle) -> str:
    """Return the text of a length beside a limit that is printed in the same style: 15.99 in never becomes 16 in.

    Finer fractions come first, then decimal inches or more decimals, then the shortest exact number of mm. Only
    `write_length_and_limit` is right for a limit that its own rounding carries past the length.
    """
    return stand_beside(mm, limit_mm, lambda length_mm: _spell_length(length_mm, style))


def write_length_and_limit(mm: float, limit_mm: float, style: LengthStyle) -> tuple[str, str]:
    """Return a length and its limit as texts that stand in the same order as the two lengths."""
    return tell_apart(mm, limit_mm, lambda length_mm: _spell_length(length_mm, style))


def _spell_length(mm: float, style: LengthStyle) -> Iterator[Shown]:
    """Yield the texts of a length, plainest first, the exact one last."""
    for finer in _finer_styles(style):
        yield Shown(write_length(mm, finer), float(count_steps(mm, finer.step_mm) * finer.step_mm))
    yield Shown(write_plain_mm(mm), mm)


def _finer_styles(style: LengthStyle) -> Iterator[LengthStyle]:
    """Yield a style and finer ones."""
    unit = style.unit
    if unit == "ftin":
        denominator = style.denominator
        while denominator <= FINEST_TAPE:
            yield LengthStyle("ftin", denominator)
            denominator *= 2
        unit, style = "in", LengthStyle("in")
    for decimals in range(style.places, MOST_DECIMALS + 1):
        yield LengthStyle(unit, decimals=decimals)


def write_angle_beside(angle_rad: float, limit_rad: float, decimals: int = 1) -> str:
    """Return the text of an angle beside a limit that `write_angle` prints: never rounded onto it, nor across it."""
    return stand_beside(angle_rad, limit_rad, lambda given_rad: _spell_angle(given_rad, decimals))


def write_angle_and_limit(angle_rad: float, limit_rad: float, decimals: int = 1) -> tuple[str, str]:
    """Return an angle and its limit as texts that stand in the same order as the two angles."""
    return tell_apart(angle_rad, limit_rad, lambda given_rad: _spell_angle(given_rad, decimals))


def _spell_angle(angle_rad: float, decimals: int) -> Iterator[Shown]:
    """Yield the texts of an angle, plainest first; the exact one, in radians, last."""
    for finer in range(decimals, MOST_DEGREE_DECIMALS + 1):
        yield Shown(write_angle(angle_rad, finer), radians(float(written_degrees(angle_rad, finer))))
    yield Shown(f"{plain_decimal(angle_rad)} rad", angle_rad)
