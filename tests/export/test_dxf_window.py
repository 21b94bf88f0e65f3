"""Annotation cut off at the frame of its view."""

from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Circle, Label, Primitive, Ring, Stroke, Symbol
from siteplan.export.dxf_window import cut_segment, inside, window_of
from siteplan.geometry.points import Point
from tests.export.dxf_samples import FOOT, square, view

WINDOW = (0.0, 0.0, 100.0, 50.0)
places = st.tuples(st.floats(-300, 300), st.floats(-300, 300))
places_inside = st.tuples(st.floats(0, 100), st.floats(0, 50))


def shown(shape: Primitive) -> list[Primitive]:
    return list(inside(shape, WINDOW))


def test_window_of_a_view_is_its_frame_at_the_ratio() -> None:
    # 320 x 200 mm of paper at 1:24 about (10 ft, 5 ft).
    left, bottom, right, top = window_of(view(24.0))

    assert (right - left, top - bottom, left + right, bottom + top) == pytest.approx(
        (320 * 24, 200 * 24, 20 * FOOT, 10 * FOOT)
    )


@pytest.mark.parametrize(
    ("first", "second", "wanted"),
    [
        ((-50.0, 25.0), (150.0, 25.0), ((0.0, 25.0), (100.0, 25.0))),
        ((50.0, 25.0), (50.0, 75.0), ((50.0, 25.0), (50.0, 50.0))),
        ((-10.0, 10.0), (10.0, -10.0), None),
        ((-10.0, 60.0), (150.0, 60.0), None),
        ((-20.0, 25.0), (-10.0, 25.0), None),
        ((-10.0, 20.0), (20.0, -10.0), ((0.0, 10.0), (10.0, 0.0))),
    ],
)
def test_a_segment_is_cut_at_the_sides(first: Point, second: Point, wanted: tuple[Point, Point] | None) -> None:
    assert cut_segment(first, second, WINDOW) == wanted


@given(places, places)
def test_what_is_left_of_a_segment_lies_in_the_window(first: Point, second: Point) -> None:
    part = cut_segment(first, second, WINDOW) or ()

    assert all(-1e-9 <= x <= 100 + 1e-9 and -1e-9 <= y <= 50 + 1e-9 for x, y in part)


@given(places, places_inside)
def test_what_is_left_and_what_is_cut_make_up_the_segment(outer: Point, inner: Point) -> None:
    part = cut_segment(outer, inner, WINDOW) or (inner, inner)

    assert dist(outer, part[0]) + dist(*part) + dist(part[1], inner) == pytest.approx(dist(outer, inner), abs=1e-6)


@given(st.lists(places_inside, min_size=2, max_size=5).map(tuple), st.booleans())
def test_a_stroke_in_the_window_stays_as_it_is(points: Ring, closed: bool) -> None:
    stroke = Stroke(points=points, pen=Pen.NOTE, closed=closed)

    assert shown(stroke) == [stroke]


def test_a_closed_stroke_around_a_corner_leaves_its_two_sides_inside() -> None:
    around = Stroke(points=square(40.0, -20.0), pen=Pen.NOTE, closed=True, source="a")

    assert shown(around) == [
        Stroke(points=((20.0, 0.0), (20.0, 20.0)), pen=Pen.NOTE, source="a"),
        Stroke(points=((20.0, 20.0), (0.0, 20.0)), pen=Pen.NOTE, source="a"),
    ]


@pytest.mark.parametrize(("at", "count"), [((50.0, 25.0), 1), ((101.0, 25.0), 0), ((50.0, -1.0), 0)])
def test_a_symbol_is_shown_when_its_place_is(at: Point, count: int) -> None:
    assert len(shown(Symbol(name="ask", at=at, pen=Pen.FINDING))) == count


@pytest.mark.parametrize(("at", "count"), [((0.0, 0.0), 1), ((-1.0, 0.0), 0)])
def test_a_text_is_shown_when_its_place_is(at: Point, count: int) -> None:
    assert len(shown(Label(at=at, text="NOTE", pen=Pen.NOTE))) == count


def test_other_shapes_stay_whole() -> None:
    circle = Circle(centre=(0.0, 0.0), radius=10.0, pen=Pen.NOTE)

    assert shown(circle) == [circle]
