from collections.abc import Callable
from math import asin, atan, cos, degrees, hypot, inf, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.geometry.boxes import TOUCH_MM, Box, box_distances
from siteplan.geometry.clearance import distances_discs
from siteplan.geometry.contact import first_contact, first_contact_discs
from siteplan.geometry.points import Array, Frame
from tests.geometry.turning_boxes import (
    MM,
    Scene,
    all_boxes,
    bisected_contact,
    gap_at,
    inch_box,
    near_places,
    places,
    scenes,
    unhurried,
)

MICRODEGREE = radians(1e-6)
LONG = Box(50, 4800, -25, 25)
margins = st.just(0.0) | st.floats(0.1, 400)


def contact_deg(box: Box, segment: tuple[float, ...], turn_deg: float, margin_mm: float = 0.0) -> float:
    """Return the first contact of one segment, or of a point, in degrees from 0."""
    ends = segment if len(segment) == 4 else segment * 2
    return degrees(first_contact(box, np.array((ends,)), 0.0, radians(turn_deg), margin_mm)[0])


def contact_of(scene: Scene) -> float:
    return float(first_contact(scene.box, scene.segment, scene.start_rad, scene.turn_rad, scene.margin_mm)[0])


# Own derivation, compared there with bisection to 1e-10 degrees; lengths in inches.
@pytest.mark.parametrize(
    ("box", "segment", "angle_deg"),
    [
        ((0, 120, -1, 1), (60, 80), 52.557135),
        ((0, 120, -1, 1), (-20, 112, 200, 112), 68.477905),
        ((1, 169, -1, 1), (-10, 150, 60, 165), 73.428839),
        ((-24, 168, -1, 1), (-12, -15), 48.356144),
        ((0, 144, 2, 5), (40, 90), 63.127508),
    ],
)
def test_worked_example_in_inches(box: tuple[float, ...], segment: tuple[float, ...], angle_deg: float) -> None:
    found = contact_deg(inch_box(*box), tuple(MM * value for value in segment), 100)

    assert found == pytest.approx(angle_deg, abs=1e-6)


def test_worked_example_of_a_margin() -> None:
    found = contact_deg(inch_box(1, 97, -1, 1), (-12 * MM, 72 * MM, -12 * MM, 110 * MM), 90, 16 * MM)

    assert found == pytest.approx(85.994540, abs=1e-6)


@pytest.mark.parametrize(("angle_deg", "gap_in"), [(90, 11.0), (86, 15.993)])
def test_the_gap_of_the_worked_example_falls_short_of_the_margin(angle_deg: float, gap_in: float) -> None:
    wall = MM * np.array(((-12, 72, -12, 110),))

    gap = box_distances(inch_box(1, 97, -1, 1), wall, radians(angle_deg))[0] / MM

    assert gap == pytest.approx(gap_in, abs=5e-4)


# Own derivation; lengths in mm, 0 to 110 degrees.
@pytest.mark.parametrize(
    ("segment", "touching_deg", "within_50_mm_deg"),
    [
        ((0, 3000), 90 - degrees(asin(25 / 3000)), 88.567456),
        ((4000, 1000), 13.688835, 12.993966),
        ((1000, -2000), inf, inf),
        ((-1000, 2500), inf, inf),
        ((-5000, 2000, 5000, 2000), 24.325549, 23.670724),
        ((2000, 1500, 2500, 3000), 36.296930, 35.150766),
        ((0, 30, 300, 30), 0.954179, 0),
    ],
)
def test_worked_example_in_mm(segment: tuple[float, ...], touching_deg: float, within_50_mm_deg: float) -> None:
    found = contact_deg(LONG, segment, 110), contact_deg(LONG, segment, 110, 50)

    assert found == pytest.approx((touching_deg, within_50_mm_deg), abs=1e-6)


@pytest.mark.parametrize(
    "segment",
    [
        (1000, -900, 1200, 900),  # lies across the box, both ends outside
        (1000, 10, 1200, 900),  # one end inside
        (1000, 10, 1200, -10),  # wholly inside
        (1000, 25, 1200, 900),  # an end on the side
        (4800, 25, 6000, 25),  # an end on a corner
        (-9000, 0, 9000, 0),  # through the pivot and along the box
    ],
)
def test_what_touches_at_the_start_is_met_there(segment: tuple[float, ...]) -> None:
    assert first_contact(LONG, np.array((segment,)), 0.0, 1.0)[0] == 0.0


def test_what_is_within_the_margin_at_the_start_is_met_there() -> None:
    assert first_contact(LONG, np.array(((1000, 70, 1000, 900),)), 0.0, 1.0, 45.0)[0] == 0.0


@given(scenes(margins))
@unhurried
def test_contact_is_never_later_than_bisection_finds_it(scene: Scene) -> None:
    assert contact_of(scene) <= bisected_contact(scene) + MICRODEGREE


@given(scenes(margins))
@unhurried
def test_contact_is_contact(scene: Scene) -> None:
    found = contact_of(scene)

    assert found == inf or gap_at(scene, found) <= scene.margin_mm + 2 * TOUCH_MM


@given(scenes(margins))
@unhurried
def test_contact_lies_within_the_turn(scene: Scene) -> None:
    found = contact_of(scene)

    assert found == inf or scene.start_rad <= found <= scene.start_rad + scene.turn_rad


@given(scenes(margins))
@unhurried
def test_a_turn_backwards_is_the_mirrored_turn(scene: Scene) -> None:
    box = scene.box
    mirrored = Box(box.x0, box.x1, -box.y1, -box.y0)
    segment = scene.segment * (1, -1, 1, -1)

    found = first_contact(mirrored, segment, -scene.start_rad, -scene.turn_rad, scene.margin_mm)[0]

    assert abs(found) == pytest.approx(abs(contact_of(scene)), abs=MICRODEGREE)


@given(scenes(margins), st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), st.floats(-4, 4))
@unhurried
def test_a_mirrored_site_meets_at_the_same_angle(scene: Scene, origin: tuple[float, float], along: float) -> None:
    frame, mirrored = Frame(origin, along), Frame(origin, along, -1)
    world = frame.to_world(scene.segment.reshape(2, 2)) - origin
    axis = np.array((cos(along), sin(along)))
    reflected = 2 * np.outer(world @ axis, axis) - world + origin

    found = contact_of(scene._replace(segment=mirrored.segments_to_local(reflected.reshape(1, 4))))

    assert found == pytest.approx(contact_of(scene), abs=1e-6)


@given(st.lists(scenes(), min_size=2, max_size=6))
@unhurried
def test_segments_do_not_influence_each_other(drawn: list[Scene]) -> None:
    first = drawn[0]
    alone = [contact_of(first._replace(segment=scene.segment)) for scene in drawn]

    together = first_contact(first.box, np.vstack([scene.segment for scene in drawn]), first.start_rad, first.turn_rad)

    assert together.tolist() == pytest.approx(alone, abs=1e-12)


def test_no_segments_have_no_contacts() -> None:
    assert first_contact(LONG, np.empty((0, 4)), 0.0, 1.0).shape == (0,)


# Grazing: the box only just touches and passes on.
def ray(radius_mm: float, angle_rad: float) -> Array:
    """Return a segment that points away from the pivot, from a radius outwards."""
    inner = np.array((cos(angle_rad), sin(angle_rad))) * radius_mm
    return np.array(((*inner, *(2 * inner)),))


def cross_bar(distance_mm: float, angle_rad: float) -> Array:
    """Return a long segment square to a direction at a distance."""
    ends = np.array(((distance_mm, -3000), (distance_mm, 3000)))
    cosine, sine = cos(angle_rad), sin(angle_rad)
    segment: Array = (ends @ np.array(((cosine, sine), (-sine, cosine)))).reshape(1, 4)
    return segment


DIRECTIONS = np.radians(np.arange(3, 100, 0.5))
FAR_RADIUS = hypot(4800, 25)
FAR_ANGLE = atan(25 / 4800)  # of the leading corner, the first of the two to graze


@pytest.mark.parametrize("make", [ray, cross_bar])
def test_grazing_the_track_of_the_far_corners_is_contact(make: Callable[[float, float], Array]) -> None:
    segments = np.vstack([make(FAR_RADIUS, direction) for direction in DIRECTIONS])

    found = first_contact(LONG, segments, 0.0, 2.0)

    assert found == pytest.approx(DIRECTIONS - FAR_ANGLE, abs=1e-6)


@pytest.mark.parametrize("make", [ray, cross_bar])
@pytest.mark.parametrize("margin", [50.0, 400.0])
def test_grazing_the_margin_is_contact(make: Callable[[float, float], Array], margin: float) -> None:
    segments = np.vstack([make(FAR_RADIUS + margin, direction) for direction in DIRECTIONS[5:]])

    found = first_contact(LONG, segments, 0.0, 2.0, margin)

    assert found == pytest.approx(DIRECTIONS[5:] - FAR_ANGLE, abs=1e-6)


@pytest.mark.parametrize("make", [ray, cross_bar])
def test_a_thousandth_of_a_mm_beyond_a_graze_is_no_contact(make: Callable[[float, float], Array]) -> None:
    segments = np.vstack([make(FAR_RADIUS + 1e-3, direction) for direction in DIRECTIONS])

    assert np.isinf(first_contact(LONG, segments, 0.0, 2.0)).all()


def test_grazing_the_near_edge_is_contact() -> None:
    segments = np.vstack([np.hstack((np.zeros((1, 2)), ray(50.0, direction)[:, :2])) for direction in DIRECTIONS])

    assert first_contact(LONG, segments, 0.0, 2.0) == pytest.approx(DIRECTIONS, abs=1e-6)


@pytest.mark.parametrize("margin", [10.0, 40.0])
def test_grazing_the_margin_before_the_near_edge_is_contact(margin: float) -> None:
    inner = 50 - margin
    segments = np.vstack([np.hstack((np.zeros((1, 2)), ray(inner, direction)[:, :2])) for direction in DIRECTIONS])

    assert first_contact(LONG, segments, 0.0, 2.0, margin) == pytest.approx(DIRECTIONS, abs=1e-6)


def test_touching_exactly_at_the_end_of_the_turn_is_contact() -> None:
    turns = np.radians(np.arange(1, 110))
    places_there = [complex(3000, LONG.y1) * np.exp(1j * turn) for turn in turns]  # on the leading side

    found = [
        contact_deg(LONG, (place.real, place.imag), degrees(turn))
        for place, turn in zip(places_there, turns, strict=True)
    ]

    assert found == pytest.approx(np.degrees(turns), abs=1e-9)


def test_a_wall_along_the_trailing_side_at_the_start_is_touched() -> None:
    assert first_contact(LONG, np.array(((0, -25, 5000, -25),)), 0.0, 1.0)[0] == 0.0


@given(all_boxes, places | near_places, st.floats(0, 800), margins, st.floats(0.01, 3))
@unhurried
def test_a_disc_is_a_point_with_a_larger_margin(
    box: Box, centre: tuple[float, float], radius: float, margin: float, turn: float
) -> None:
    found = first_contact_discs(box, np.array((centre,)), np.array((radius,)), 0.0, turn, margin)[0]

    assert found == first_contact(box, np.array(((*centre, *centre),)), 0.0, turn, radius + margin)[0]


def test_discs_of_different_size_are_met_each_at_its_own_angle() -> None:
    centres, radii = np.array(((0.0, 3000.0), (0.0, 3000.0), (4000.0, 1000.0))), np.array((0.0, 50.0, 50.0))

    found = np.degrees(first_contact_discs(LONG, centres, radii, 0.0, radians(110)))

    assert found == pytest.approx((89.522530, 88.567456, 12.993966), abs=1e-6)


def test_a_disc_is_just_touched_at_contact() -> None:
    centres, radii = np.array(((1500.0, 2500.0), (-300.0, 3000.0))), np.array((70.0, 300.0))
    found = first_contact_discs(LONG, centres, radii, 0.0, pi)

    gaps = [distances_discs(LONG, centres, radii, angle)[row] for row, angle in enumerate(found)]

    assert gaps == pytest.approx((0, 0), abs=1e-9)


def test_no_discs_have_no_contacts() -> None:
    assert first_contact_discs(LONG, np.empty((0, 2)), np.empty(0), 0.0, 1.0).shape == (0,)
