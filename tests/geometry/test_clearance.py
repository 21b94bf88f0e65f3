from math import atan2, hypot, inf, pi, radians

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from siteplan.geometry.boxes import TOUCH_MM, Box, ends_of
from siteplan.geometry.clearance import (
    clearance_profile,
    distances,
    distances_discs,
    least_over_sweep,
    least_over_sweep_discs,
    nearest_points,
)
from siteplan.geometry.contact import first_contact, first_contact_discs
from siteplan.geometry.points import Array, distance_between
from tests.geometry.turning_boxes import (
    Scene,
    all_boxes,
    gap_at,
    gaps_at,
    line,
    places,
    pose,
    scenes,
    unhurried,
)

BOX = Box(100, 1000, -20, 20)
FINE_RAD = 1e-4
cuts = st.floats(10, 2000)


def least_of(scene: Scene) -> tuple[float, float]:
    least, at = least_over_sweep(scene.box, scene.segment, scene.start_rad, scene.turn_rad)
    return float(least[0]), float(at[0])


def brute_angles(scene: Scene) -> Array:
    return np.linspace(scene.start_rad, scene.start_rad + scene.turn_rad, int(scene.turn_rad / FINE_RAD) + 2)


def refined_least(scene: Scene) -> float:
    """Return the least distance by fine steps, each neighbourhood of a low step searched again finely."""
    angles = brute_angles(scene)
    gaps = gaps_at(scene.box, scene.segment, angles)
    lowest = angles[int(np.argmin(gaps))]
    around = np.clip(lowest + np.linspace(-FINE_RAD, FINE_RAD, 201), angles[0], angles[-1])
    return min(float(gaps.min()), float(gaps_at(scene.box, scene.segment, around).min()))


@given(scenes())
@unhurried
def test_distance_is_that_of_the_polygons(scene: Scene) -> None:
    found = distances(scene.box, scene.segment, scene.start_rad)[0]

    assert found == pytest.approx(gap_at(scene, scene.start_rad), abs=1e-8)


@pytest.mark.parametrize(
    ("centre", "distance"), [((1300, 0), 200), ((1060, 100), 0), ((500, 10), 0), ((500, -320), 200)]
)
def test_distance_of_a_disc_is_to_its_rim(centre: tuple[float, float], distance: float) -> None:
    assert distances_discs(BOX, np.array((centre,)), np.array((100.0,)), 0.0)[0] == pytest.approx(distance)


@given(scenes())
@unhurried
def test_witnesses_are_as_far_apart_as_the_distance(scene: Scene) -> None:
    on_box, on_segment = nearest_points(scene.box, scene.segment[0], scene.start_rad)

    distance = distances(scene.box, scene.segment, scene.start_rad)[0]

    assert distance_between(on_box, on_segment) == pytest.approx(distance, abs=1e-8)


@given(scenes())
@unhurried
def test_the_witness_on_the_box_lies_on_the_box(scene: Scene) -> None:
    on_box, _ = nearest_points(scene.box, scene.segment[0], scene.start_rad)

    assert shapely.distance(pose(scene.box, scene.start_rad), shapely.Point(on_box)) <= TOUCH_MM


@given(scenes())
@unhurried
def test_the_witness_on_the_segment_lies_on_the_segment(scene: Scene) -> None:
    _, on_segment = nearest_points(scene.box, scene.segment[0], scene.start_rad)

    assert shapely.distance(line(scene.segment), shapely.Point(on_segment)) <= TOUCH_MM


def test_witness_of_a_segment_across_is_the_middle_of_what_is_shared() -> None:
    assert nearest_points(BOX, np.array((500.0, -300.0, 500.0, 900.0)), 0.0) == ((500, 0), (500, 0))


def test_witness_of_a_segment_inside_is_its_middle() -> None:
    assert nearest_points(BOX, np.array((500.0, 10.0, 700.0, 10.0)), 0.0) == ((600, 10), (600, 10))


def test_witness_turns_with_the_box() -> None:
    on_box, on_segment = nearest_points(BOX, np.array((-60.0, 500.0, -900.0, 500.0)), pi / 2)

    assert np.array((on_box, on_segment)) == pytest.approx(np.array(((-20, 500), (-60, 500))))


@given(st.lists(scenes(), min_size=1, max_size=5), cuts)
@unhurried
def test_profile_is_the_nearest_of_all_below_the_cut(drawn: list[Scene], cut: float) -> None:
    box, start, turn = drawn[0].box, drawn[0].start_rad, drawn[0].turn_rad
    angles = np.linspace(start, start + turn, 111)
    each = [gaps_at(box, scene.segment, angles) for scene in drawn]

    profile = clearance_profile(box, np.vstack([scene.segment for scene in drawn]), angles, cut)

    assert profile == pytest.approx(np.minimum(np.min(each, axis=0), cut), abs=1e-8)


def test_profile_without_segments_is_the_cut() -> None:
    assert clearance_profile(BOX, np.empty((0, 4)), np.array((0.0, 0.5)), 900).tolist() == [900, 900]


def test_profile_sees_what_stands_behind_a_heel() -> None:
    heeled = BOX._replace(x0=-400)

    profile = clearance_profile(heeled, np.array(((-450, -10, -450, 10),)), np.array((0.0, 1.0)), 200)

    assert profile == pytest.approx((50, 200))


@given(scenes())
@settings(unhurried, max_examples=50)
def test_least_is_not_above_that_of_fine_steps(scene: Scene) -> None:
    assert least_of(scene)[0] <= refined_least(scene) + 1e-6


@given(scenes())
@unhurried
def test_least_is_the_distance_at_its_angle(scene: Scene) -> None:
    least, at = least_of(scene)

    assert least == pytest.approx(gap_at(scene, at), abs=1e-6)


@given(scenes())
@unhurried
def test_least_is_reached_within_the_turn(scene: Scene) -> None:
    assert scene.start_rad <= least_of(scene)[1] <= scene.start_rad + scene.turn_rad


@given(scenes())
@unhurried
def test_least_is_reached_nowhere_earlier(scene: Scene) -> None:
    assume(np.abs(ends_of(scene.segment)).min() > 1)  # nearer the pivot the distance hardly changes at all
    least, at = least_of(scene)
    earlier = brute_angles(scene)
    earlier = earlier[earlier < at - 2 * FINE_RAD]

    assert gaps_at(scene.box, scene.segment, earlier).min(initial=inf) > least


@given(scenes())
@unhurried
def test_least_is_nothing_exactly_where_there_is_contact(scene: Scene) -> None:
    contact = first_contact(scene.box, scene.segment, scene.start_rad, scene.turn_rad)[0]

    assert (least_of(scene)[0] == 0) == (contact < inf)


# A point beyond the far end is nearest to each of the two far corners in turn, as they pass on its ray.
def test_of_two_equal_minima_the_first_angle_counts() -> None:
    least, at = least_over_sweep(BOX, np.array(((0.0, 1100.0, 0.0, 1100.0),)), 0.0, pi)

    assert (least[0], at[0]) == pytest.approx((1100 - hypot(1000, 20), pi / 2 - atan2(20, 1000)))


def test_least_against_a_wall_beyond_reach_is_where_the_corner_stands_square_to_it() -> None:
    least, at = least_over_sweep(BOX, np.array(((-3000.0, 1100.0, 3000.0, 1100.0),)), 0.0, pi)

    assert (least[0], at[0]) == pytest.approx((1100 - hypot(1000, 20), pi / 2 - atan2(20, 1000)))


def test_least_at_the_end_of_the_turn() -> None:
    least, at = least_over_sweep(BOX, np.array(((-300.0, 600.0, -300.0, 900.0),)), 0.0, pi / 2)

    assert (least[0], at[0]) == pytest.approx((280, pi / 2))


def test_a_turn_of_nothing_has_the_distance_at_the_start() -> None:
    least, at = least_over_sweep(BOX, np.array(((500.0, 220.0, 600.0, 220.0),)), 0.1, 0.0)

    assert (least[0], at[0]) == (distances(BOX, np.array(((500.0, 220.0, 600.0, 220.0),)), 0.1)[0], 0.1)


@given(all_boxes, places, st.floats(1, 500), st.floats(0.01, 3))
@unhurried
def test_least_of_a_disc_is_that_of_a_fine_polygon(
    box: Box, centre: tuple[float, float], radius: float, turn: float
) -> None:
    least, at = least_over_sweep_discs(box, np.array((centre,)), np.array((radius,)), 0.0, turn)
    disc = shapely.Point(centre).buffer(radius, quad_segs=500)

    assert least[0] == pytest.approx(shapely.distance(pose(box, at[0]), disc), abs=radius * 1e-5)


def test_a_disc_that_is_touched_has_the_angle_of_contact() -> None:
    centre, radius = np.array(((0.0, 1050.0),)), np.array((100.0,))

    least, at = least_over_sweep_discs(BOX, centre, radius, 0.0, pi)

    assert (least[0], at[0]) == (0, first_contact_discs(BOX, centre, radius, 0.0, pi)[0])


def test_results_keep_the_order_of_the_segments() -> None:
    segments = np.array(((1200.0, 0, 1300, 0), (0, 1300.0, 0, 1400), (3000.0, 0, 3000, 1)))

    assert least_over_sweep(BOX, segments, 0.0, radians(10))[0] == pytest.approx(
        [min(gaps_at(BOX, row[None], np.linspace(0, radians(10), 20001))) for row in segments], abs=1e-4
    )
