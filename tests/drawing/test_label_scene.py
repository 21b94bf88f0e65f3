from math import pi

import numpy as np
import pytest
import shapely

from siteplan.drawing.label_scene import CHORD_ERROR_MM, Scene, scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import (
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Ring,
    Stroke,
    Symbol,
    View,
)

SQUARE: Ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
WALL = Stroke(points=SQUARE, pen=Pen.WALL_NEW, closed=True, source="wall")


def scene(*model: Primitive, notes: tuple[Primitive, ...] = (), ratio: float = 1.0) -> Scene:
    view = View(
        number="1",
        title="",
        scale_text="",
        centre=(5.0, 5.0),
        ratio=ratio,
        frame=(20.0, 20.0, 100.0, 80.0),
        model=model,
        notes=notes,
    )
    return scene_of(view)


def test_places_are_counted_from_the_centre_of_the_view_in_paper_mm() -> None:
    assert scene(ratio=2.0).to_paper([(25.0, 5.0)]).tolist() == [[10.0, 0.0]]


def test_place_on_paper_goes_back_to_the_model() -> None:
    assert scene(ratio=2.0).to_model(10.0, 0.0) == (25.0, 5.0)


def test_view_is_its_frame_about_the_centre() -> None:
    assert scene().view.bounds == (-50.0, -40.0, 50.0, 40.0)


def test_closed_outline_of_a_wall_is_a_solid_thing() -> None:
    found = scene(WALL)

    assert (found.kinds.tolist(), found.shapes[0].area) == (["solid"], 100.0)


def test_closed_outline_of_a_zone_is_no_solid_thing() -> None:
    assert len(scene(Stroke(points=SQUARE, pen=Pen.FINDING, closed=True)).shapes) == 0


def test_closed_outline_is_four_pieces_of_one_line() -> None:
    assert scene(WALL).line_of.tolist() == [0, 0, 0, 0]


@pytest.mark.parametrize(("pen", "is_heavy"), [(Pen.LEAF_CLOSED, True), (Pen.SWEEP, False)])
def test_pen_says_whether_a_line_is_heavy(pen: Pen, is_heavy: bool) -> None:
    assert scene(Stroke(points=SQUARE, pen=pen)).is_heavy.tolist() == [is_heavy]


def test_fill_and_outline_of_one_thing_are_one_area() -> None:
    fill = Fill(rings=(SQUARE,), pen=Pen.WALL_NEW, tone="wash", source="wall")

    assert len(scene(WALL, fill).shapes) == 1


def test_wash_of_a_swept_area_may_be_lettered_over() -> None:
    assert len(scene(Fill(rings=(SQUARE,), pen=Pen.SWEEP, tone="wash")).shapes) == 0


def test_black_fill_may_not_be_lettered_over() -> None:
    assert scene(Fill(rings=(SQUARE,), pen=Pen.WITNESS)).kinds.tolist() == ["solid"]


def test_hole_of_a_hatch_is_free() -> None:
    hole = ((4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0))

    assert scene(HatchArea(rings=(SQUARE, hole), pattern="zone", pen=Pen.PAD_HATCH)).shapes[0].area == 96.0


def test_chords_keep_to_their_arc() -> None:
    found = scene(Arc(centre=(5.0, 5.0), radius=30.0, start_rad=0.0, sweep_rad=-pi, pen=Pen.SWEEP))

    middles = (found.segments[:, :2] + found.segments[:, 2:]) / 2
    assert np.hypot(middles[:, 0], middles[:, 1]).min() >= 30.0 - CHORD_ERROR_MM


def test_arc_of_a_negative_sweep_runs_clockwise() -> None:
    found = scene(Arc(centre=(5.0, 5.0), radius=30.0, start_rad=0.0, sweep_rad=-pi / 2, pen=Pen.SWEEP))

    assert found.segments[-1, 2:] == pytest.approx((0.0, -30.0))


def test_round_bollard_is_a_solid_thing() -> None:
    found = scene(Circle(centre=(5.0, 5.0), radius=10.0, pen=Pen.OBSTACLE))

    assert found.shapes[0].area == pytest.approx(pi * 100, rel=0.02)


def test_text_of_a_note_is_an_area() -> None:
    assert scene(notes=(Label(at=(5.0, 5.0), text="SAMPLE", pen=Pen.NOTE),)).kinds.tolist() == ["text"]


def test_dimension_gives_its_text_and_its_lines() -> None:
    dimension = Dimension(kind="linear", first=(0.0, 0.0), second=(40.0, 0.0), number="40", offset_mm=10.0)

    found = scene(notes=(dimension,))

    assert (found.kinds.tolist(), found.is_heavy.tolist()) == (["text"], [True] * 5)


def test_symbol_keeps_its_size_on_paper() -> None:
    found = scene(notes=(Symbol(name="control", at=(5.0, 5.0), pen=Pen.CONTROL),), ratio=48.0)

    assert found.shapes[0].bounds == pytest.approx((-1.5, -1.5, 1.5, 1.5))


def test_things_beyond_the_frame_are_left_out() -> None:
    far = Stroke(points=tuple((x + 500.0, y) for x, y in SQUARE), pen=Pen.WALL_NEW, closed=True)

    found = scene(far)

    assert (len(found.segments), len(found.shapes)) == (0, 0)


def test_line_that_crosses_the_frame_is_kept() -> None:
    found = scene(Stroke(points=((-1000.0, 5.0), (1000.0, 5.0)), pen=Pen.PROPERTY_LINE))

    assert shapely.LineString(found.segments[0].reshape(2, 2)).crosses(found.view)
