"""Paths of shapes, and the way from model to paper."""

from math import cos, dist, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF

from siteplan.drawing.pens import Pen, line_patterns, looks
from siteplan.drawing.primitives import Arc, Circle, Fill, Stroke, View
from siteplan.export.paint import outline, to_paper

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
HOLE = ((4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0))

places = st.floats(-1e6, 1e6)


def arc(start_rad: float, sweep_rad: float) -> Arc:
    return Arc(centre=(100.0, 50.0), radius=20.0, start_rad=start_rad, sweep_rad=sweep_rad, pen=Pen.SWEEP)


def view(centre: tuple[float, float], ratio: float) -> View:
    return View(
        number="1", title="PLAN", scale_text="", centre=centre, ratio=ratio, frame=(20.0, 30.0, 200.0, 100.0), model=()
    )


@given(st.floats(-2 * pi, 2 * pi), st.floats(-2 * pi, 2 * pi).filter(lambda sweep: abs(sweep) > 0.01))
def test_an_arc_ends_where_start_and_sweep_say(start_rad: float, sweep_rad: float) -> None:
    end = outline(arc(start_rad, sweep_rad)).currentPosition()

    wanted = (100 + 20 * cos(start_rad + sweep_rad), 50 + 20 * sin(start_rad + sweep_rad))
    assert (end.x(), end.y()) == pytest.approx(wanted, abs=1e-6)


def test_an_arc_begins_at_its_start() -> None:
    begin = outline(arc(pi / 2, -1.0)).elementAt(0)

    assert (begin.x, begin.y) == pytest.approx((100.0, 70.0))


@pytest.mark.parametrize("sweep_rad", [1.0, -1.0])
def test_an_arc_bulges_to_the_side_of_its_sweep(sweep_rad: float) -> None:
    box = outline(arc(0.0, sweep_rad)).boundingRect()

    assert box.center().y() == pytest.approx(50 + 10 * sin(sweep_rad))


@given(st.floats(-2 * pi, 2 * pi), st.floats(0.01, 2 * pi), st.floats(0, 1))
def test_every_place_of_an_arc_lies_on_its_circle(start_rad: float, sweep_rad: float, share: float) -> None:
    at = outline(arc(start_rad, sweep_rad)).pointAtPercent(share)

    assert dist((at.x(), at.y()), (100.0, 50.0)) == pytest.approx(20.0, rel=5e-6)


@pytest.mark.parametrize("sweep_rad", [0.5, pi / 2, -3.0, 2 * pi])
def test_an_arc_is_as_long_as_its_sweep(sweep_rad: float) -> None:
    assert outline(arc(0.3, sweep_rad)).length() == pytest.approx(20 * abs(sweep_rad), rel=1e-3)


def test_a_circle_reaches_its_radius_on_every_side() -> None:
    box = outline(Circle(centre=(3.0, 4.0), radius=2.0, pen=Pen.POST)).boundingRect()

    assert (box.left(), box.top(), box.right(), box.bottom()) == pytest.approx((1.0, 2.0, 5.0, 6.0))


def test_a_closed_line_comes_back_to_its_first_point() -> None:
    path = outline(Stroke(points=SQUARE, pen=Pen.POST, closed=True))

    assert path.length() == pytest.approx(40.0)


def test_an_open_line_ends_at_its_last_point() -> None:
    path = outline(Stroke(points=SQUARE, pen=Pen.POST))

    assert path.length() == pytest.approx(30.0)


@pytest.mark.parametrize(("place", "inside"), [((2.0, 2.0), True), ((5.0, 5.0), False), ((12.0, 5.0), False)])
def test_a_ring_inside_a_ring_is_a_hole(place: tuple[float, float], inside: bool) -> None:
    path = outline(Fill(rings=(SQUARE, HOLE), pen=Pen.POST))

    assert path.contains(QPointF(*place)) is inside


@given(places, places, st.floats(1, 2000))
def test_the_centre_of_a_view_lies_in_the_middle_of_its_frame(x: float, y: float, ratio: float) -> None:
    at = to_paper(view((x, y), ratio)).map(QPointF(x, y))

    assert (at.x(), at.y()) == pytest.approx((120.0, 80.0), abs=1e-6)


@given(places, places, st.floats(1, 2000), st.floats(0, 2 * pi))
def test_lengths_on_paper_are_those_of_the_model_divided_by_the_ratio(
    x: float, y: float, ratio: float, direction_rad: float
) -> None:
    mapping = to_paper(view((x, y), ratio))

    end = mapping.map(QPointF(x + 1000 * cos(direction_rad), y + 1000 * sin(direction_rad)))

    wanted = (120 + 1000 * cos(direction_rad) / ratio, 80 + 1000 * sin(direction_rad) / ratio)
    assert (end.x(), end.y()) == pytest.approx(wanted, abs=1e-6)


def test_every_pen_has_a_line_pattern() -> None:
    assert {look.line for look in looks().values()} <= set(line_patterns())
