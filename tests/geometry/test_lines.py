from math import asin, atan, degrees, hypot, inf, pi, radians

import numpy as np
import pytest
import shapely
from hypothesis import given

from siteplan.geometry.boxes import TOUCH_MM, Box
from siteplan.geometry.contact import first_contact
from siteplan.geometry.lines import beyond_line
from siteplan.geometry.points import Array
from tests.geometry.turning_boxes import MM, Scene, inch_box, pose, scenes, unhurried

THICK = inch_box(1, 169, -1, 1)
CENTRELINE = inch_box(1, 169, 0, 0)
RIGHT = radians(90)
LONG_LINE = np.array(((-9000.0, 144 * MM, 9000.0, 144 * MM),))


def beyond_of(scene: Scene) -> tuple[float, float, float]:
    beyond, at, touch = beyond_line(scene.box, scene.segment, scene.start_rad, scene.turn_rad)
    return float(beyond[0]), float(at[0]), float(touch[0])


def beyond_at(scene: Scene, angle_rad: float, wider_mm: float = 0.0) -> float:
    """Return how far the pose gets beyond the segment's line within its width, worked out by cutting polygons."""
    first, second = scene.segment.reshape(2, 2)
    along = (second - first) / hypot(*(second - first))
    away = np.array((-along[1], along[0]))
    away = away if first @ away >= 0 else -away
    begin, end = first - wider_mm * along, second + wider_mm * along
    strip = shapely.Polygon((begin, end, end + 1e5 * away, begin + 1e5 * away))
    shared = shapely.get_coordinates(shapely.intersection(pose(scene.box, angle_rad), strip))
    return float(((shared - first) @ away).max(initial=0.0))


def is_plain(scene: Scene) -> bool:
    """Tell whether the segment has a length and the pivot is on one side of its line."""
    first, second = scene.segment.reshape(2, 2)
    length = hypot(*(second - first))
    return length > 1 and abs(first[0] * second[1] - first[1] * second[0]) > length


plain_scenes = scenes().filter(is_plain)


# Own derivation; lengths in inches: 169 long, line at 144.
@pytest.mark.parametrize(("box", "angle_deg"), [(THICK, 58.10), (CENTRELINE, 58.44)])
def test_worked_example_first_touches(box: Box, angle_deg: float) -> None:
    assert degrees(beyond_line(box, LONG_LINE, 0.0, RIGHT)[2][0]) == pytest.approx(angle_deg, abs=5e-3)


def test_worked_example_of_a_centreline_is_25_in_beyond_at_90_degrees() -> None:
    beyond, at, _ = beyond_line(CENTRELINE, LONG_LINE, 0.0, RIGHT)

    assert (beyond[0] / MM, degrees(at[0])) == pytest.approx((25, 90), abs=1e-9)


def test_a_thick_box_is_farthest_beyond_while_its_leading_corner_stands_square_to_the_line() -> None:
    beyond, at, _ = beyond_line(THICK, LONG_LINE, 0.0, RIGHT)

    assert (beyond[0] / MM, at[0]) == pytest.approx((hypot(169, 1) - 144, RIGHT - atan(1 / 169)))


def test_first_touch_of_a_thick_box_is_that_of_its_leading_corner() -> None:
    _, _, touch = beyond_line(THICK, LONG_LINE, 0.0, RIGHT)

    assert touch[0] == pytest.approx(asin(144 / hypot(169, 1)) - atan(1 / 169))


def test_direction_of_the_segment_makes_no_difference() -> None:
    there = np.array(beyond_line(THICK, LONG_LINE, 0.0, RIGHT))
    back = np.array(beyond_line(THICK, LONG_LINE[:, (2, 3, 0, 1)], 0.0, RIGHT))

    assert back == pytest.approx(there)


def test_only_places_over_the_segment_count() -> None:
    short = np.array(((2000.0, 3000.0, 2500.0, 3000.0),))

    beyond, _, _ = beyond_line(CENTRELINE, short, 0.0, RIGHT)

    assert beyond[0] == pytest.approx(np.sqrt((169 * MM) ** 2 - 2000**2) - 3000)


def test_the_side_of_a_box_counts_where_its_corners_are_past_the_segment() -> None:
    beyond, at, _ = beyond_line(CENTRELINE, np.array(((900.0, 500.0, 1000.0, 500.0),)), 0.0, pi / 4)

    assert (beyond[0], at[0]) == pytest.approx((500, pi / 4))


@pytest.mark.parametrize(
    "segment",
    [
        (-9000, 5000, 9000, 5000),  # out of reach
        (-9000, -100, 9000, -100),  # behind
        (-900, 300, -100, 300),  # beside the turn
        (500, 300, 500, 300),  # a point is no line
    ],
)
def test_never_beyond_is_nothing_at_no_angle(segment: tuple[float, ...]) -> None:
    beyond, at, _ = beyond_line(THICK, np.array((segment,), dtype=float), 0.0, radians(80))

    assert (beyond[0], at[0]) == (0, inf)


def test_a_line_through_the_pivot_counts_on_both_sides() -> None:
    swing = np.array(((-9000.0, 0.0, 9000.0, 0.0),))

    reached = [beyond_line(CENTRELINE, swing, start, RIGHT)[0][0] for start in (0.0, -RIGHT)]

    assert reached == pytest.approx((169 * MM, 169 * MM))


@given(plain_scenes)
@unhurried
def test_no_pose_gets_farther_beyond(scene: Scene) -> None:
    angles = np.linspace(scene.start_rad, scene.start_rad + scene.turn_rad, 60)

    assert max(beyond_at(scene, angle) for angle in angles) <= beyond_of(scene)[0] + TOUCH_MM


@given(plain_scenes)
@unhurried
def test_the_pose_at_the_angle_gets_as_far(scene: Scene) -> None:
    beyond, at, _ = beyond_of(scene)

    assert beyond == 0 or beyond_at(scene, at, wider_mm=2 * TOUCH_MM) >= beyond - 2 * TOUCH_MM


@given(plain_scenes)
@unhurried
def test_the_touch_is_the_first_contact(scene: Scene) -> None:
    assert beyond_of(scene)[2] == first_contact(scene.box, scene.segment, scene.start_rad, scene.turn_rad)[0]


def test_rows_are_those_of_single_segments() -> None:
    rows: Array = np.vstack((LONG_LINE, LONG_LINE / 2, LONG_LINE * (1, -1, 1, -1), LONG_LINE * (1, 0, 1, 0)))

    together = np.array(beyond_line(THICK, rows, 0.0, RIGHT))

    assert together.T.tolist() == [[value[0] for value in beyond_line(THICK, row[None], 0.0, RIGHT)] for row in rows]
