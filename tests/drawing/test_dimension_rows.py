from math import pi

import pytest
from msgspec.structs import replace

from siteplan.drawing.dimension_rows import set_rows
from siteplan.drawing.label_scene import Scene, scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Dimension, Fill, Primitive, Stroke, Symbol, View

OPENING = Dimension(kind="linear", first=(-50.0, 0.0), second=(50.0, 0.0), number="13'-2\"", offset_mm=10.0)


def scene(*model: Primitive) -> Scene:
    frame = (0.0, 0.0, 200.0, 160.0)
    return scene_of(View(number="1", title="", scale_text="", centre=(0, 0), ratio=1.0, frame=frame, model=model))


def level(y: float) -> Stroke:
    return Stroke(points=((-80.0, y), (80.0, y)), pen=Pen.SWEEP)


def test_dimension_with_a_free_text_stays() -> None:
    assert set_rows([OPENING], scene(level(40.0))) == (OPENING,)


@pytest.mark.parametrize(("offset", "moved"), [(10.0, 19.0), (-10.0, -19.0)])
def test_text_on_a_line_sends_its_dimension_out_by_a_row(offset: float, moved: float) -> None:
    dimension = replace(OPENING, offset_mm=offset)

    assert set_rows([dimension], scene(level(12.0), level(-8.0)))[0].offset_mm == moved


def test_text_on_a_symbol_sends_its_dimension_out_by_a_row() -> None:
    symbol = Symbol(name="control", at=(0.0, 12.0), pen=Pen.CONTROL)

    assert set_rows([OPENING], scene(symbol))[0].offset_mm == 19.0


def test_dimension_goes_out_by_two_rows() -> None:
    assert set_rows([OPENING], scene(level(12.0), level(21.0)))[0].offset_mm == 28.0


def test_dimension_that_is_free_in_no_row_stays() -> None:
    assert set_rows([OPENING], scene(level(12.0), level(21.0), level(30.0))) == (OPENING,)


def test_text_on_the_text_of_a_dimension_before_it_goes_out() -> None:
    overall = replace(OPENING, first=(-60.0, 0.0), second=(60.0, 0.0))

    assert [each.offset_mm for each in set_rows([OPENING, overall], scene())] == [10.0, 19.0]


def test_dimension_of_an_angle_stays() -> None:
    angle = Dimension(kind="angle", first=(10.0, 0.0), second=(0.0, 10.0), number="90°", offset_mm=10.0)

    assert set_rows([angle], scene(level(8.0))) == (angle,)


def upright_line(x: float) -> Stroke:
    return Stroke(points=((x, -80.0), (x, 80.0)), pen=Pen.SWEEP)


def test_text_that_every_row_would_put_on_a_line_moves_along_its_own_line() -> None:
    assert set_rows([OPENING], scene(upright_line(0.0)))[0].text_share == 0.25


def test_dimension_on_what_it_measures_goes_out_on_the_other_side() -> None:
    gap = replace(OPENING, offset_mm=0.0)

    assert set_rows([gap], scene(level(2.0), level(11.0), level(20.0)))[0].offset_mm == -9.0


def test_text_keeps_off_the_line_of_a_dimension_before_it() -> None:
    across = replace(OPENING, first=(0.0, -50.0), second=(0.0, 50.0), direction_rad=pi / 2, offset_mm=0.0)

    assert set_rows([across, OPENING], scene())[1].text_share == 0.25


def test_dimension_that_may_go_is_left_out_where_it_would_cover_something() -> None:
    area = Fill(rings=(((-80.0, -80.0), (80.0, -80.0), (80.0, 80.0), (-80.0, 80.0)),), pen=Pen.PAD)
    gap = replace(OPENING, source="U-04")

    assert set_rows([gap], scene(area), {"U-04"}) == ()


def test_dimension_that_may_go_stays_where_only_lines_run_through_it() -> None:
    gap = replace(OPENING, source="U-04")

    assert set_rows([gap], scene(level(12.0), level(21.0), level(30.0)), {"U-04"}) == (gap,)
