from math import cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.canvas.picking import hit_in, is_inside, pick, targets_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Arc, Circle, Fill, Label, Primitive, Stroke, Symbol

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
LINE = Stroke(points=((0.0, 0.0), (1000.0, 0.0)), pen=Pen.KERB, source="K")
WALL = Stroke(points=((0.0, 8.0), (1000.0, 8.0)), pen=Pen.WALL_NEW, source="W")
AREA = Fill(rings=(SQUARE,), pen=Pen.OBSTACLE, tone="wash", source="U")


def found(place: tuple[float, float], *primitives: Primitive, reach_mm: float = 10.0) -> str:
    return pick([targets_of(primitives)], place, reach_mm, ratio=1.0)


def test_line_within_reach_is_hit() -> None:
    assert found((500.0, 9.0), LINE) == "K"


def test_line_out_of_reach_is_not_hit() -> None:
    assert found((500.0, 11.0), LINE) == ""


def test_beyond_its_end_a_line_is_as_far_as_its_end() -> None:
    assert found((1008.0, 8.0), LINE) == ""


def test_of_two_lines_the_nearer_is_hit() -> None:
    assert found((500.0, 6.0), LINE, WALL) == "W"


def test_closed_line_is_hit_on_its_last_side() -> None:
    ring = Stroke(points=SQUARE, pen=Pen.PAD, closed=True, source="P")

    assert found((0.0, 50.0), ring) == "P"


def test_inside_of_an_area_is_hit() -> None:
    assert found((50.0, 50.0), AREA) == "U"


def test_hole_of_an_area_is_not_hit() -> None:
    hole = ((20.0, 20.0), (80.0, 20.0), (80.0, 80.0), (20.0, 80.0))

    assert found((50.0, 50.0), Fill(rings=(SQUARE, hole), pen=Pen.OBSTACLE, source="U"), reach_mm=5.0) == ""


def test_line_over_an_area_is_hit_rather_than_the_area() -> None:
    assert found((50.0, 4.0), AREA, LINE) == "K"


def test_swept_area_is_not_hit() -> None:
    assert found((50.0, 50.0), Fill(rings=(SQUARE,), pen=Pen.SWEEP, tone="wash", source="A")) == ""


def test_text_is_not_hit() -> None:
    assert found((0.0, 0.0), Label(at=(0.0, 0.0), text="leaf A", pen=Pen.NOTE, source="A")) == ""


def test_upper_layer_wins_at_one_distance() -> None:
    upper = Stroke(points=LINE.points, pen=Pen.FENCE_NEW, source="F")

    assert pick([targets_of([LINE]), targets_of([upper])], (500.0, 3.0), 10.0, 1.0) == "F"


def test_symbol_grows_with_the_ratio() -> None:
    sign = Symbol(name="control", at=(0.0, 0.0), pen=Pen.CONTROL, source="C")

    assert pick([targets_of([sign])], (100.0, 0.0), 10.0, ratio=60.0) == "C"


def test_inside_of_a_circle_is_hit() -> None:
    assert found((1.0, 1.0), Circle(centre=(0.0, 0.0), radius=200.0, pen=Pen.OBSTACLE, source="T")) == "T"


@given(st.floats(0.0, pi / 2), st.floats(100.0, 5000.0))
def test_every_place_of_an_arc_is_hit(turn: float, radius: float) -> None:
    arc = Arc(centre=(3.0, 4.0), radius=radius, start_rad=0.0, sweep_rad=pi / 2, pen=Pen.SWEEP, source="A")

    hit = hit_in(targets_of([arc]), (3.0 + radius * cos(turn), 4.0 + radius * sin(turn)), 1.0, 1.0)
    assert hit is not None
    assert hit.distance_mm == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("sweep", "source"), [(pi / 2, ""), (-pi / 2, "A")])
def test_arc_is_hit_only_where_it_runs(sweep: float, source: str) -> None:
    arc = Arc(centre=(0.0, 0.0), radius=1000.0, start_rad=0.0, sweep_rad=sweep, pen=Pen.SWEEP, source="A")

    assert found((0.0, -1000.0), arc) == source


def test_place_outside_a_ring_is_outside() -> None:
    assert not is_inside((SQUARE,), (150.0, 50.0))


def test_nothing_is_hit_among_nothing() -> None:
    assert found((0.0, 0.0)) == ""
