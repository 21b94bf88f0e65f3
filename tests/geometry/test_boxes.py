from math import hypot, pi, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from siteplan.geometry.boxes import Box, box_distances, ends_of
from tests.geometry.turning_boxes import Scene, all_boxes, gap_at, pose, scenes, unhurried

BOX = Box(100, 1000, -30, 50)


def test_corners_run_counter_clockwise() -> None:
    assert shapely.LinearRing(BOX.corners).is_ccw


def test_reach_is_the_farthest_corner() -> None:
    assert BOX.reach_mm == hypot(1000, 50)


def test_reach_of_a_long_heel_is_behind_the_pivot() -> None:
    assert Box(-900, 300, -10, 10).reach_mm == hypot(900, 10)


def test_a_quarter_turn_brings_the_first_corner_to_the_left() -> None:
    assert BOX.turned_corners(pi / 2)[0] == pytest.approx((30, 100))


@given(all_boxes, st.floats(-7, 7))
def test_turned_corners_are_the_corners_of_the_pose(box: Box, angle: float) -> None:
    assert box.turned_corners(angle) == pytest.approx(shapely.get_coordinates(pose(box, angle))[:4], abs=1e-8)


@pytest.mark.parametrize(("distance", "left"), [(0, BOX), (400, Box(400, 1000, -30, 50)), (1000, None), (1200, None)])
def test_a_box_is_cut_off_along_its_length(distance: float, left: Box | None) -> None:
    assert BOX.from_along(distance) == left


def test_ends_are_complex_numbers() -> None:
    assert ends_of(np.array(((1, 2, 3, 4), (5, 6, 7, 8)))).tolist() == [[1 + 2j, 3 + 4j], [5 + 6j, 7 + 8j]]


@pytest.mark.parametrize(
    ("segment", "distance"),
    [
        ((1500, 0, 1500, 900), 500),  # an end beyond the far end
        ((1300, -10, 1300, -900), 300),
        ((0, 90, 2000, 90), 40),  # parallel to a side
        ((0, 90, 300, 90), 40),
        ((1000, 150, 1100, 50), 100 / sqrt(2)),  # a corner against the middle of the segment
        ((1003, 54, 1003, 54), 5),  # a point off a corner
        ((500, 10, 500, 10), 0),  # a point inside
        ((200, -500, 300, 500), 0),  # across with both ends outside
        ((500, 50, 600, 300), 0),  # touching a side
        ((1000, 50, 1200, 50), 0),  # touching a corner
    ],
)
def test_distance_of_a_segment(segment: tuple[float, ...], distance: float) -> None:
    assert box_distances(BOX, np.array((segment,)), 0.0)[0] == pytest.approx(distance, abs=1e-12)


@given(scenes())
@unhurried
def test_distance_is_that_of_the_polygons(scene: Scene) -> None:
    distance = box_distances(scene.box, scene.segment, scene.start_rad)[0]

    assert distance == pytest.approx(gap_at(scene, scene.start_rad), abs=1e-8)


@given(scenes())
@unhurried
def test_each_segment_may_have_an_angle_of_its_own(scene: Scene) -> None:
    angles = scene.start_rad + np.array((0.0, scene.turn_rad))

    together = box_distances(scene.box, np.vstack((scene.segment, scene.segment)), angles)

    assert together.tolist() == [box_distances(scene.box, scene.segment, angle)[0] for angle in angles]


def test_no_segments_have_no_distances() -> None:
    assert box_distances(BOX, np.empty((0, 4)), 0.0).shape == (0,)
