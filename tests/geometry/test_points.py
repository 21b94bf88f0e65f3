from math import cos, hypot, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.geometry.points import Frame, Point, direction_between, distance_between, point_at, turned

lengths = st.floats(-10_000, 10_000)
points = st.tuples(lengths, lengths)
angles = st.floats(-7, 7)
frames = st.builds(Frame, points, angles, st.sampled_from((1, -1)))


@given(frames, points)
def test_a_point_to_the_plan_and_back_is_the_same(frame: Frame, point: Point) -> None:
    assert frame.point_to_local(frame.point_to_world(point)) == pytest.approx(point, abs=1e-8)


@given(frames, points)
def test_arrays_and_single_points_agree_to_the_plan(frame: Frame, point: Point) -> None:
    assert frame.to_world(np.array(point)) == pytest.approx(frame.point_to_world(point), abs=1e-8)


@given(frames, points)
def test_arrays_and_single_points_agree_to_the_frame(frame: Frame, point: Point) -> None:
    assert frame.to_local(np.array(point)) == pytest.approx(frame.point_to_local(point), abs=1e-8)


@given(frames, points, points)
def test_segments_are_their_two_ends(frame: Frame, first: Point, second: Point) -> None:
    local = frame.segments_to_local(np.array(((*first, *second),)))

    assert local[0] == pytest.approx((*frame.point_to_local(first), *frame.point_to_local(second)), abs=1e-8)


@given(frames, points, points)
def test_a_frame_keeps_distances(frame: Frame, first: Point, second: Point) -> None:
    placed = frame.point_to_world(first), frame.point_to_world(second)

    assert distance_between(*placed) == pytest.approx(distance_between(first, second), abs=1e-8)


@given(frames, angles)
def test_direction_in_the_plan_is_where_the_turned_axis_points(frame: Frame, angle: float) -> None:
    x, y = np.subtract(frame.point_to_world((cos(angle), sin(angle))), frame.origin)
    direction = frame.angle_to_world(angle)

    assert (x, y) == pytest.approx((cos(direction), sin(direction)), abs=1e-8)


def test_the_side_axis_lies_left_of_the_direction() -> None:
    assert Frame((100, 200), pi / 2).point_to_world((3, 4)) == pytest.approx((96, 203))


def test_the_side_axis_of_a_mirrored_frame_lies_right_of_the_direction() -> None:
    assert Frame((100, 200), pi / 2, -1).point_to_world((3, 4)) == pytest.approx((104, 203))


def test_a_mirrored_frame_turns_clockwise_in_the_plan() -> None:
    assert Frame((0, 0), 1.0, -1).angle_to_world(0.25) == 0.75


@given(points, angles)
def test_turning_there_and_back_is_the_same(point: Point, angle: float) -> None:
    assert turned(turned(point, angle), -angle) == pytest.approx(point, abs=1e-8)


def test_turning_is_counter_clockwise() -> None:
    assert turned((2, 0), pi / 2) == pytest.approx((0, 2))


@given(points, points)
def test_distance_and_direction_lead_from_one_point_to_another(first: Point, second: Point) -> None:
    found = point_at(first, distance_between(first, second), direction_between(first, second))

    assert found == pytest.approx(second, abs=1e-8)


def test_distance_is_that_of_the_right_triangle() -> None:
    assert distance_between((1, 1), (4, 5)) == hypot(3, 4)
