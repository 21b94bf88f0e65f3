from math import acos, atan2, hypot, inf, pi, radians

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from siteplan.geometry.boxes import TOUCH_MM, Box
from siteplan.geometry.pairs import apart, first_contact_of_other, overlap_depth, touch_while_closing_together
from siteplan.geometry.points import Frame
from tests.geometry.turning_boxes import MM, all_boxes, inch_box, long_boxes, unhurried

RIGHT = pi / 2
LEFT_FRAME = Frame((0.0, 0.0), 0.0)
RIGHT_FRAME = Frame((193 * MM, 0.0), pi, -1)
PLAIN = inch_box(0, 96, -1, 1)
PLATED = inch_box(0, 99, -1, 1.25)  # reaches 2 in past the end of the other

frames = st.builds(
    Frame, st.tuples(st.floats(-6000, 6000), st.floats(-6000, 6000)), st.floats(-4, 4), st.sampled_from((1, -1))
)
angles = st.floats(-3, 3)


def placed(frame: Frame, box: Box, angle_rad: float) -> shapely.Polygon:
    """Return a box in the plan, placed by turning, mirroring and moving a polygon."""
    turned = affinity.rotate(shapely.Polygon(box.corners), angle_rad, origin=(0, 0), use_radians=True)
    sided = affinity.scale(turned, 1, frame.side, origin=(0, 0))
    along = affinity.rotate(sided, frame.along_rad, origin=(0, 0), use_radians=True)
    return affinity.translate(along, *frame.origin)


@given(frames, all_boxes, angles, frames, all_boxes, angles)
@unhurried
def test_apart_is_the_distance_of_the_polygons(
    frame_a: Frame, box_a: Box, angle_a: float, frame_b: Frame, box_b: Box, angle_b: float
) -> None:
    distance = shapely.distance(placed(frame_a, box_a, angle_a), placed(frame_b, box_b, angle_b))

    assert apart(frame_a, box_a, angle_a, frame_b, box_b, angle_b) == pytest.approx(distance, abs=1e-7)


@given(frames, all_boxes, angles, frames, all_boxes, angles)
@unhurried
def test_apart_is_the_same_both_ways(
    frame_a: Frame, box_a: Box, angle_a: float, frame_b: Frame, box_b: Box, angle_b: float
) -> None:
    there = apart(frame_a, box_a, angle_a, frame_b, box_b, angle_b)

    assert apart(frame_b, box_b, angle_b, frame_a, box_a, angle_a) == pytest.approx(there, abs=1e-7)


@pytest.mark.parametrize("swap", [False, True])
def test_a_box_within_the_other_is_not_apart(swap: bool) -> None:
    large, small = Box(-900, 900, -900, 900), Box(10, 20, 5, 10)
    first, second = (small, large) if swap else (large, small)

    assert apart(LEFT_FRAME, first, 0.3, LEFT_FRAME, second, 1.0) == 0


def test_closed_plain_pair_keeps_its_running_gap() -> None:
    assert apart(LEFT_FRAME, PLAIN, 0.0, RIGHT_FRAME, PLAIN, 0.0) == pytest.approx(1 * MM)


@pytest.mark.parametrize(("box", "depth_in"), [(PLAIN, -1), (PLATED, 2)])
def test_overlap_is_counted_along_the_line_of_the_pivots(box: Box, depth_in: float) -> None:
    assert overlap_depth(LEFT_FRAME, box, 0.0, RIGHT_FRAME, PLAIN, 0.0) / MM == pytest.approx(depth_in)


def test_overlap_is_the_same_in_a_turned_plan() -> None:
    turned = Frame((100, 200), 0.7), Frame((100 + 193 * MM * np.cos(0.7), 200 + 193 * MM * np.sin(0.7)), 0.7 + pi, -1)

    assert overlap_depth(turned[0], PLATED, 0.0, turned[1], PLAIN, 0.0) / MM == pytest.approx(2)


# The trailing corner enters the circle of the other part last: there pivots and corner form a triangle of three known
# sides (cosine rule), about 8.1 degrees at the first pivot; the corner lies ahead of its part's axis or behind it.
@pytest.mark.parametrize(("low_in", "high_in"), [(1, 1.25), (-1.25, -1), (0, 0)])
def test_contact_curve_ends_where_the_corner_quits_the_circle_of_the_other(low_in: float, high_in: float) -> None:
    plate = inch_box(96, 99, low_in, high_in)
    radius, other = hypot(99, low_in), hypot(96, 1)
    enters = acos((193**2 + radius**2 - other**2) / (2 * 193 * radius)) - atan2(low_in, 99)

    met = first_contact_of_other(
        LEFT_FRAME, plate, enters + np.radians((-0.01, 0.01)), RIGHT_FRAME, PLAIN, RIGHT, -RIGHT
    )

    assert np.isfinite(met).tolist() == [True, False]


@given(frames, long_boxes, angles, frames, long_boxes, angles, st.floats(0.05, 3) | st.floats(-3, -0.05))
@unhurried
def test_boxes_touch_at_contact(
    frame_a: Frame, box_a: Box, angle_a: float, frame_b: Frame, box_b: Box, start_b: float, turn_b: float
) -> None:
    met = first_contact_of_other(frame_a, box_a, np.array((angle_a,)), frame_b, box_b, start_b, turn_b)[0]

    assert met == inf or apart(frame_a, box_a, angle_a, frame_b, box_b, met) <= 2 * TOUCH_MM


@given(frames, long_boxes, angles, frames, long_boxes, angles, st.floats(0.05, 3) | st.floats(-3, -0.05))
@unhurried
def test_boxes_are_apart_before_contact(
    frame_a: Frame, box_a: Box, angle_a: float, frame_b: Frame, box_b: Box, start_b: float, turn_b: float
) -> None:
    met = first_contact_of_other(frame_a, box_a, np.array((angle_a,)), frame_b, box_b, start_b, turn_b)[0]
    turned = min(abs(met - start_b), abs(turn_b)) * (1 - 1e-9)
    before = start_b + np.copysign(np.linspace(0, turned, 40, endpoint=met == inf), turn_b)

    assert met == start_b or all(apart(frame_a, box_a, angle_a, frame_b, box_b, angle) > 0 for angle in before)


def test_a_box_that_starts_within_the_other_is_met_at_the_start() -> None:
    large, small = Box(-900, 900, -900, 900), Box(10, 20, 5, 10)

    met = first_contact_of_other(LEFT_FRAME, large, np.array((0.0, 0.5)), LEFT_FRAME, small, 0.2, 1.0)

    assert met.tolist() == [0.2, 0.2]


@pytest.mark.parametrize("length_in", [96, 96.97])
def test_a_pair_with_a_running_gap_closes_without_touching(length_in: float) -> None:
    box = inch_box(0, length_in, -1, 1)

    assert touch_while_closing_together(LEFT_FRAME, box, RIGHT, RIGHT_FRAME, PLAIN, RIGHT) is None


# Flush faces: the trailing corners stand out by (t / 2) sin - L (1 - cos), which is 0 again at tan(angle / 2) = t / 2L.
def test_a_flush_pair_of_equal_parts_touches_until_its_trailing_corners_part() -> None:
    box = inch_box(0, 96.5, -1, 1)

    share = touch_while_closing_together(LEFT_FRAME, box, RIGHT, RIGHT_FRAME, box, RIGHT)

    assert share == pytest.approx(2 * atan2(1, 96.5) / RIGHT, abs=1e-6)


def test_parts_that_never_come_near_do_not_touch() -> None:
    far = RIGHT_FRAME._replace(origin=(400 * MM, 0.0))

    assert touch_while_closing_together(LEFT_FRAME, PLATED, RIGHT, far, PLAIN, RIGHT) is None


def test_parts_that_touch_already_when_open_touch_at_the_start() -> None:
    assert touch_while_closing_together(LEFT_FRAME, PLAIN, 0.3, LEFT_FRAME, PLAIN, 0.3) == pytest.approx(1, abs=1e-6)


def test_parts_that_only_meet_when_closed_touch_near_the_end() -> None:
    post = Box(96.5 * MM, 97 * MM, -9, 9)
    behind = Frame((193 * MM, 0.0), pi, -1)

    share = touch_while_closing_together(LEFT_FRAME, inch_box(0, 96, 0, 0), RIGHT, behind, post, 0.0)

    assert share == pytest.approx(0, abs=1e-4)


near_frames = st.builds(Frame, st.tuples(st.floats(2000, 8000), st.floats(-500, 500)), st.floats(2.6, 3.6), st.just(-1))
travels = st.floats(0.5, 2)


@given(long_boxes, travels, near_frames, long_boxes, travels)
@unhurried
def test_no_step_nearer_to_open_touches(box_a: Box, open_a: float, frame_b: Frame, box_b: Box, open_b: float) -> None:
    share = touch_while_closing_together(LEFT_FRAME, box_a, open_a, frame_b, box_b, open_b)
    wider = np.linspace(1, share or 0, 100, endpoint=False)[:-1]

    assert share == pytest.approx(1, abs=1e-6) or all(
        apart(LEFT_FRAME, box_a, part * open_a, frame_b, box_b, part * open_b) > 0 for part in wider
    )


@given(long_boxes, travels, near_frames, long_boxes, travels)
@unhurried
def test_they_touch_at_the_share(box_a: Box, open_a: float, frame_b: Frame, box_b: Box, open_b: float) -> None:
    share = touch_while_closing_together(LEFT_FRAME, box_a, open_a, frame_b, box_b, open_b)

    assert share is None or apart(LEFT_FRAME, box_a, share * open_a, frame_b, box_b, share * open_b) <= 3 * TOUCH_MM


def test_unlike_travels_are_covered_in_step() -> None:
    share = touch_while_closing_together(LEFT_FRAME, PLATED, radians(120), RIGHT_FRAME, PLAIN, radians(60))

    assert share is not None
    assert apart(LEFT_FRAME, PLATED, share * radians(120), RIGHT_FRAME, PLAIN, share * radians(60)) <= 3 * TOUCH_MM
