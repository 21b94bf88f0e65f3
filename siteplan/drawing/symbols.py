"""The drawn signs, in paper mm about the place they mark: our own simple drawings, one table for every output.

A number or a word of a symbol stands inside it where it is a ring, else beside it.  What a severity is can be told by
its outline alone, so a print in grey loses nothing.
"""

from collections.abc import Callable, Iterator, Sequence
from math import cos, pi
from typing import NamedTuple, assert_never

import shapely
from msgspec.structs import replace

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Align, Circle, Face, Fill, Label, Ring, Stroke, Symbol
from siteplan.drawing.text_size import WIDTH_SLACK, label_box
from siteplan.errors import SheetError
from siteplan.geometry.points import Point, point_at, turned

SymbolPart = Stroke | Circle | Fill | Label

TEXT_MM = 2.4
BESIDE_GAP_MM = 0.7
_DISC_SIDES = 16
_OUTLINE_SIDES = 24


class Sign(NamedTuple):
    """How a symbol is drawn."""

    about: str
    half_mm: float  # half its size without a text beside it
    draw: Callable[[Symbol], Iterator[SymbolPart]]


def symbol_primitives(symbol: Symbol) -> tuple[SymbolPart, ...]:
    """Return what a symbol is made of, in paper mm about (0, 0), not turned.

    Raises
    ------
    SheetError
        When no symbol of that name is drawn.
    """
    return tuple(replace(part, source=symbol.source) for part in _sign(symbol.name).draw(symbol))


def placed_symbol(symbol: Symbol, ratio: float) -> tuple[SymbolPart, ...]:
    """Return what a symbol is made of at its place and turn, where one paper mm is ``ratio``; texts stay upright."""
    return tuple(_placed(part, symbol, ratio) for part in symbol_primitives(symbol))


def symbol_outline(symbol: Symbol) -> Ring:
    """Return the smallest convex ring around a turned symbol and its texts, in paper mm about its place."""
    here = replace(symbol, at=(0.0, 0.0))
    points = [point for part in placed_symbol(here, 1.0) for point in _points_of(part)]
    return tuple(shapely.get_coordinates(shapely.convex_hull(shapely.MultiPoint(points)))[:-1].tolist())


def disc(centre: Point, radius: float, pen: Pen, source: str = "") -> tuple[Circle, Fill]:
    """Return a filled circle: the exact circle, and a fill of straight sides inside it."""
    ring = _polygon(_DISC_SIDES, radius, 0.0, centre)
    return (
        Circle(centre=centre, radius=radius, pen=pen, source=source),
        Fill(rings=(ring,), pen=pen, source=source),
    )


def _sign(name: str) -> Sign:
    if name not in SYMBOLS:
        raise SheetError(f"Symbol {name!r} is not drawn; the names are {', '.join(sorted(SYMBOLS))}.")
    return SYMBOLS[name]


def _placed(part: SymbolPart, symbol: Symbol, ratio: float) -> SymbolPart:
    def place(point: Point) -> Point:
        x, y = turned(point, symbol.turn_rad)
        return (symbol.at[0] + ratio * x, symbol.at[1] + ratio * y)

    match part:
        case Stroke():
            return replace(part, points=tuple(map(place, part.points)))
        case Circle():
            return replace(part, centre=place(part.centre), radius=ratio * part.radius)
        case Fill():
            return replace(part, rings=tuple(tuple(map(place, ring)) for ring in part.rings))
        case Label():  # its mid-height turns with the symbol, its baseline lies below that
            x, y = place((part.at[0], part.at[1] + part.height_mm / 2))
            return replace(part, at=(x, y - ratio * part.height_mm / 2))
        case _:
            assert_never(part)


def _points_of(part: SymbolPart) -> Sequence[Point]:
    match part:
        case Stroke():
            return part.points
        case Circle():
            return _polygon(_OUTLINE_SIDES, part.radius / cos(pi / _OUTLINE_SIDES), 0.0, part.centre)
        case Fill():
            return [point for ring in part.rings for point in ring]
        case Label():
            return label_box(part, slack=WIDTH_SLACK)
        case _:
            assert_never(part)


def _polygon(sides: int, radius: float, first_rad: float, centre: Point = (0.0, 0.0)) -> Ring:
    return tuple(point_at(centre, radius, first_rad + 2 * pi * side / sides) for side in range(sides))


def _outline(symbol: Symbol, *points: Point) -> Stroke:
    return Stroke(points=points, pen=symbol.pen, closed=True)


def _line(symbol: Symbol, *points: Point) -> Stroke:
    return Stroke(points=points, pen=symbol.pen)


def _fill(symbol: Symbol, *rings: Sequence[Point]) -> Fill:
    return Fill(rings=tuple(tuple(ring) for ring in rings), pen=symbol.pen)


def _circle(symbol: Symbol, radius: float) -> Circle:
    return Circle(centre=(0.0, 0.0), radius=radius, pen=symbol.pen)


def _text(
    symbol: Symbol, text: str, middle: Point, height: float = TEXT_MM, align: Align = "middle", face: Face = "bold"
) -> Iterator[Label]:
    """Yield a text, if there is any, whose capitals have their mid-height at ``middle``."""
    if text:
        at = (middle[0], middle[1] - height / 2)
        yield Label(at=at, text=text, pen=symbol.pen, height_mm=height, align=align, face=face)


def _beside(symbol: Symbol, face: Face = "bold") -> Iterator[Label]:
    middle = (SYMBOLS[symbol.name].half_mm + BESIDE_GAP_MM, 0.0)
    yield from _text(symbol, symbol.text, middle, align="left", face=face)


def _north(symbol: Symbol) -> Iterator[SymbolPart]:
    """Yield a half-black needle in a ring, the letter N at its tip, and the word that says which north.

    The word does not turn with the needle: it stands below the ring, or above it when the needle points down.
    """
    tip, left, right, notch = (0.0, 5.0), (-2.1, -3.6), (2.1, -3.6), (0.0, -2.2)
    yield _circle(symbol, 5.0)
    yield _outline(symbol, tip, left, notch, right)
    yield _fill(symbol, (tip, notch, right))
    yield from _text(symbol, "N", (0.0, 7.8), height=3.5)
    side = -1 if cos(symbol.turn_rad) >= 0 else 1
    yield from _text(symbol, symbol.text, turned((0.0, side * 7.6), -symbol.turn_rad), face="regular")


def _warning_sign(up_mm: float) -> Callable[[Symbol], Iterator[SymbolPart]]:
    """Return how a warning sign is drawn that stands off its place, to the side it is seen from."""

    def draw(symbol: Symbol) -> Iterator[SymbolPart]:
        yield _outline(symbol, *((x, y + up_mm) for x, y in _polygon(3, 2.4, pi / 2)))
        yield _fill(symbol, tuple((x, y + up_mm) for x, y in _BAR))
        yield from disc((0.0, up_mm - 0.65), 0.21, symbol.pen)
        yield from _beside(symbol)

    return draw


def _control(symbol: Symbol) -> Iterator[SymbolPart]:
    yield _outline(symbol, (-1.5, -1.5), (1.5, -1.5), (1.5, 1.5), (-1.5, 1.5))
    yield _circle(symbol, 0.8)
    yield from _beside(symbol)


def _hinge_pin(symbol: Symbol) -> Iterator[SymbolPart]:
    yield _circle(symbol, 0.7)
    yield from _beside(symbol)


def _cross(symbol: Symbol, half: float) -> Iterator[Stroke]:
    yield _line(symbol, (-half, 0.0), (half, 0.0))
    yield _line(symbol, (0.0, -half), (0.0, half))


def _spot_level(symbol: Symbol) -> Iterator[SymbolPart]:
    yield from _cross(symbol, 1.2)
    yield from _beside(symbol, "regular")


def _survey_point(symbol: Symbol) -> Iterator[SymbolPart]:
    yield _circle(symbol, 0.8)
    yield from _cross(symbol, 1.4)
    yield from _beside(symbol, "regular")


def _stop(symbol: Symbol) -> Iterator[SymbolPart]:
    """Yield a black octagon with the letter S left open in it."""
    octagon = _polygon(8, 2.6, pi / 8)
    yield _fill(symbol, octagon, _LETTER_S)
    yield _outline(symbol, *octagon)
    yield from _beside(symbol)


def _guard(symbol: Symbol) -> Iterator[SymbolPart]:
    """Yield an open shield with the letter G, its foot hatched."""
    yield _outline(symbol, (-2.1, 2.3), (2.1, 2.3), (2.1, -0.6), (0.0, -2.7), (-2.1, -0.6))
    yield from _text(symbol, "G", (0.0, 0.75), height=2.0)
    for left, right in (((-2.1, -0.6), (2.1, -0.6)), ((-1.6, -1.1), (1.6, -1.1)), ((-1.1, -1.6), (1.1, -1.6))):
        yield _line(symbol, left, right)
    yield from _beside(symbol)


def _tight(symbol: Symbol) -> Iterator[SymbolPart]:
    """Yield a caliper in the form of a T: a beam with two jaws, one black, and the slide between them."""
    yield _outline(symbol, (-2.5, 2.4), (2.5, 2.4), (2.5, 1.4), (-2.5, 1.4))
    yield _fill(symbol, ((-2.5, 2.4), (0.0, 2.4), (0.0, 1.4), (-2.5, 1.4)))
    yield _fill(symbol, ((-2.5, 1.4), (-1.5, 1.4), (-2.5, -0.2)))
    yield _outline(symbol, (2.5, 1.4), (1.5, 1.4), (2.5, -0.2))
    yield _outline(symbol, (-0.55, 1.4), (0.55, 1.4), (0.55, -2.4), (-0.55, -2.4))
    yield _fill(symbol, ((-0.55, 1.4), (0.0, 1.4), (0.0, -2.4), (-0.55, -2.4)))
    yield from _beside(symbol)


def _ask(symbol: Symbol) -> Iterator[SymbolPart]:
    yield _circle(symbol, 2.4)
    yield from _text(symbol, "?", (0.0, 0.0), height=2.6)
    yield from _beside(symbol)


def _note(symbol: Symbol) -> Iterator[SymbolPart]:
    yield from disc((0.0, 0.0), 0.9, symbol.pen)
    yield from _beside(symbol)


def _ring(radius: float, text_mm: float) -> Callable[[Symbol], Iterator[SymbolPart]]:
    def draw(symbol: Symbol) -> Iterator[SymbolPart]:
        yield _circle(symbol, radius)
        yield from _text(symbol, symbol.text, (0.0, 0.0), height=text_mm)

    return draw


def _swing_arrow(symbol: Symbol) -> Iterator[SymbolPart]:
    """Yield an open arrow towards +x: the way a leaf moves."""
    yield _line(symbol, (-3.5, 0.0), (1.4, 0.0))
    yield _outline(symbol, (1.4, 0.9), (3.5, 0.0), (1.4, -0.9))


_BAR: Ring = ((-0.24, 1.05), (-0.13, -0.2), (0.13, -0.2), (0.24, 1.05))

# The letter S of five bars, clockwise, 2.2 wide and 2.8 high.
_LETTER_S: Ring = (
    (-1.1, 1.4), (1.1, 1.4), (1.1, 0.8), (-0.5, 0.8), (-0.5, 0.3), (1.1, 0.3),
    (1.1, -1.4), (-1.1, -1.4), (-1.1, -0.8), (0.5, -0.8), (0.5, -0.3), (-1.1, -0.3),
)  # fmt: skip

SYMBOLS: dict[str, Sign] = {
    "north": Sign("north arrow; its text says which north", 9.6, _north),
    "warning_sign": Sign("warning sign", 2.4, _warning_sign(0.0)),
    "sign_inside": Sign("warning sign, seen from inside", 2.4, _warning_sign(2.6)),
    "sign_outside": Sign("warning sign, seen from outside", 2.4, _warning_sign(-3.8)),
    "control": Sign("control", 1.5, _control),
    "hinge_pin": Sign("hinge pin", 0.7, _hinge_pin),
    "spot_level": Sign("spot level", 1.2, _spot_level),
    "survey_point": Sign("survey point", 1.4, _survey_point),
    "stop": Sign("Stop", 2.6, _stop),
    "guard": Sign("Guard", 2.7, _guard),
    "tight": Sign("Tight", 2.5, _tight),
    "ask": Sign("Ask", 2.4, _ask),
    "note": Sign("Note", 0.9, _note),
    "view_ring": Sign("number of a view", 5.0, _ring(5.0, 3.5)),
    "zone_ring": Sign("letter of a zone", 2.4, _ring(2.4, TEXT_MM)),
    "swing_arrow": Sign("direction of swing", 3.5, _swing_arrow),
}
