from math import pi, radians

import pytest
import shapely

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Circle, Fill, Label, Stroke, Symbol
from siteplan.drawing.symbols import SYMBOLS, disc, placed_symbol, symbol_outline, symbol_primitives
from siteplan.errors import SheetError

SEVERITIES = ("stop", "guard", "tight", "ask", "note")


def symbol(name: str, text: str = "", turn_rad: float = 0.0) -> Symbol:
    return Symbol(name=name, at=(1000.0, 2000.0), pen=Pen.FINDING, text=text, turn_rad=turn_rad, source="F1")


def black_area(name: str) -> float:
    fills = [part for part in symbol_primitives(symbol(name)) if isinstance(part, Fill)]
    return float(sum(shapely.Polygon(fill.rings[0], fill.rings[1:]).area for fill in fills))


@pytest.mark.parametrize("name", SYMBOLS)
def test_every_symbol_is_drawn(name: str) -> None:
    assert symbol_primitives(symbol(name))


@pytest.mark.parametrize("name", SYMBOLS)
def test_every_part_carries_the_source_of_the_symbol(name: str) -> None:
    assert {part.source for part in symbol_primitives(symbol(name, "7"))} == {"F1"}


@pytest.mark.parametrize("name", [name for name in SYMBOLS if not name.startswith("sign_")])  # these stand off
def test_half_size_reaches_the_edge_of_the_outline(name: str) -> None:
    left, bottom, right, top = shapely.LinearRing(symbol_outline(symbol(name))).bounds

    assert max(-left, -bottom, right, top) == pytest.approx(SYMBOLS[name].half_mm, rel=0.15)


@pytest.mark.parametrize("name", sorted(SYMBOLS.keys() - {"swing_arrow"}))
def test_text_of_a_symbol_is_written(name: str) -> None:
    texts = [part.text for part in symbol_primitives(symbol(name, "7")) if isinstance(part, Label)]

    assert "7" in texts


@pytest.mark.parametrize("name", SEVERITIES)
def test_number_of_a_finding_stands_clear_of_its_shape(name: str) -> None:
    number = next(
        part for part in symbol_primitives(symbol(name, "12")) if isinstance(part, Label) and part.text == "12"
    )

    assert number.at[0] > SYMBOLS[name].half_mm


def test_severities_differ_in_how_much_is_black() -> None:
    assert black_area("stop") > black_area("tight") > black_area("guard") == black_area("ask") == 0


def test_letter_of_stop_is_left_open_in_the_black() -> None:
    octagon = next(part for part in symbol_primitives(symbol("stop")) if isinstance(part, Fill))

    assert shapely.Polygon(octagon.rings[0]).contains(shapely.Polygon(octagon.rings[1]))


def test_unknown_symbol_is_named_with_the_known_ones() -> None:
    with pytest.raises(SheetError, match=r"Symbol 'star' is not drawn; the names are ask, control, .*\."):
        symbol_primitives(symbol("star"))


def test_placed_symbol_stands_at_its_place_in_the_size_of_the_view() -> None:
    pin = next(part for part in placed_symbol(symbol("hinge_pin"), 48.0) if isinstance(part, Circle))

    assert (pin.centre, pin.radius) == ((1000.0, 2000.0), 48 * 0.7)


def test_north_turned_to_the_right_points_to_the_right() -> None:
    needle = next(part for part in placed_symbol(symbol("north", turn_rad=-pi / 2), 1.0) if isinstance(part, Stroke))

    assert needle.points[0] == pytest.approx((1005.0, 2000.0))


def test_letter_of_a_turned_symbol_stays_upright() -> None:
    letter = next(part for part in placed_symbol(symbol("north", turn_rad=pi), 1.0) if isinstance(part, Label))

    assert letter.turn_rad == 0


def test_letter_of_a_turned_symbol_turns_about_its_own_middle() -> None:
    letter = next(part for part in placed_symbol(symbol("north", turn_rad=pi), 1.0) if isinstance(part, Label))

    assert letter.at == pytest.approx((1000.0, 2000.0 - 7.8 - 3.5 / 2))


def test_outline_holds_the_number_beside() -> None:
    bare, numbered = (shapely.Polygon(symbol_outline(symbol("guard", text))) for text in ("", "12"))

    assert numbered.bounds[2] > bare.bounds[2] + 2


def test_outline_of_a_ring_holds_the_ring() -> None:
    outline = shapely.Polygon(symbol_outline(symbol("zone_ring")))

    assert outline.exterior.distance(shapely.Point(0, 0)) >= SYMBOLS["zone_ring"].half_mm - 1e-9


def test_disc_is_a_circle_and_a_fill_inside_it() -> None:
    circle, fill = disc((3.0, 4.0), 2.0, Pen.DIMENSION)

    assert circle.radius >= max(shapely.distance(shapely.points(fill.rings[0]), shapely.Point(circle.centre))) - 1e-9


@pytest.mark.parametrize(("turn_deg", "height"), [(0, -8.8), (30, -8.8), (90, -8.8), (-150, 6.4), (180, 6.4)])
def test_word_of_the_north_arrow_stands_level_above_or_below_the_ring(turn_deg: int, height: float) -> None:
    north = Symbol(name="north", at=(0.0, 0.0), pen=Pen.NOTE, turn_rad=radians(turn_deg), text="true north")
    word = next(part for part in placed_symbol(north, 1.0) if isinstance(part, Label) and part.text == "true north")

    assert word.at == pytest.approx((0.0, height))
