"""A number printed beside its limit: never rounded onto it, nor across it."""

from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

from siteplan.units.writing import FINEST_TAPE, LengthStyle, count_steps, write_length, write_plain_mm

MOST_DECIMALS: Final = 6


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


def _order(first: float, second: float) -> int:
    """Return -1, 0 or 1 as the first is below, at or above the second."""
    return (first > second) - (first < second)


def write_length_beside(mm: float, limit_mm: float, style: LengthStyle) -> str:
    """Return the text of a length that is printed beside a limit: 15 63/64 in is never rounded to a limit of 16 in.

    The limit goes with it as `write_length_and_limit` prints it, which is plain unless the limit's own rounding has
    gone past the length.
    """
    return write_length_and_limit(mm, limit_mm, style)[0]


def write_length_and_limit(mm: float, limit_mm: float, style: LengthStyle) -> tuple[str, str]:
    """Return a length and its limit as texts that stand in the same order as the two lengths.

    Finer fractions come first, then decimal inches or more decimals, then the shortest exact number of mm.
    """
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
