"""The gap under a turning box: worked examples by hand, and comparison with fine grids and with bisection.

The worked examples are own derivations for a box on a slope. Where the box is a line (no thickness) its far end lies on
the centreline; a true thickness lets the far corner lead, so both are given.
"""

from math import acos, asin, atan, atan2, degrees, hypot, inf, pi, radians
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from siteplan.errors import GeometryError
from siteplan.geometry.boxes import Box
from siteplan.geometry.ground_gap import (
    Extremes,
    Underside,
    along_where_gap_between,
    angles_where_gap_between,
    first_gap_below,
    gap_at,
    gap_over_turn,
)
from siteplan.geometry.points import Array, Frame
from siteplan.geometry.terrain import Ground, Plane, Terrain, heights_at, terrain_from_shots, turned_into

INCH = 25.4
QUARTER = pi / 2
MIRROR = Frame((0.0, 0.0), 0.0, -1)
GRID_STEPS = 41

seeds = st.integers(0, 2**32 - 1)


def box_in(x0: float, x1: float, half: float) -> Box:
    """Return a box centred on its axis, sizes in inches."""
    return Box(x0 * INCH, x1 * INCH, -half * INCH, half * INCH)


def shots_on(plane: Plane, spacing_mm: float = 1750.0) -> Terrain:
    """Return a plane as triangles between shots, their rows askew."""
    x, y = (axis.ravel() for axis in np.meshgrid(*2 * (np.arange(-5, 6) * spacing_mm,)))
    places = Frame((0.0, 0.0), 0.3).to_world(np.column_stack((x, y)))
    return terrain_from_shots(np.column_stack((places, heights_at(plane, places))))


# A box uphill: 12.5 % rise along +y', 4 in at the pivot.
UPHILL = Plane(0.0, 0.0, 0.125)
UPHILL_UNDERSIDE = Underside(4 * INCH)
UPHILL_BOX, UPHILL_LINE = box_in(1, 169, 1), box_in(1, 169, 0)

# A pair, pivots 170 in apart, on a cross-fall of -6 % and a rise of 3 %, both undersides on one level 2.5 in up.
FALLING = Plane(0.0, -0.06, 0.03)
RISING = Plane(-0.06 * 170 * INCH, 0.06, 0.03)  # the same ground in the mirrored frame of the other box
PAIR_UNDERSIDE = Underside(2.5 * INCH)
PAIR_BOX, PAIR_LINE = box_in(1, 84, 1), box_in(1, 84, 0)

# Bumpy ground, level yard, a ledge, a peak.
YARD = Plane(0.0, 0.0, 0.0)
LEDGE = terrain_from_shots(
    np.array([(x, y, z) for x in (-5000.0, 5000.0) for y, z in ((-5000, 0), (1000, 0), (1001, 150), (5000, 150))])
)
PEAK_AT = (1200.0, 900.0)
PEAK = terrain_from_shots(
    np.array([(*PEAK_AT, 80.0), *((x, y, 0.0) for x in (-5000.0, 5000.0) for y in (-5000.0, 5000.0))])
)
THIN = Box(25.0, 3000.0, -25.0, 25.0)


# --- worked examples on planes, and on shots taken on them -----------------------------------------------------------


@pytest.mark.parametrize("ground", [UPHILL, shots_on(UPHILL)], ids=["plane", "shots"])
@pytest.mark.parametrize(
    ("box", "limit_in", "angle"),
    [
        (UPHILL_LINE, 0, asin(4 / (0.125 * 169))),  # 10.91 deg
        (UPHILL_LINE, 2, asin(2 / (0.125 * 169))),  # 5.43 deg
        (UPHILL_BOX, 0, asin(4 / (0.125 * hypot(169, 1))) - atan(1 / 169)),  # 10.58 deg
        (UPHILL_BOX, 2, asin(2 / (0.125 * hypot(169, 1))) - atan(1 / 169)),  # 5.09 deg
    ],
)
def test_box_turned_uphill_falls_to_a_gap_at_the_arcsine(
    ground: Ground, box: Box, limit_in: float, angle: float
) -> None:
    first = first_gap_below(box, UPHILL_UNDERSIDE, ground, limit_in * INCH, 0.0, QUARTER)

    assert first == pytest.approx(angle, abs=1e-9)


def test_end_turned_square_uphill_would_lie_17_inches_under_ground() -> None:
    found = gap_at(UPHILL_LINE, UPHILL_UNDERSIDE, UPHILL, [QUARTER])

    assert found.least_mm[0] / INCH == pytest.approx(4 - 21.125)


# 12 ft on 5 % with 2 in: rise 7.2 in, contact asin(2 / 7.2) = 16.13 deg.
def test_twelve_feet_on_five_percent_touch_at_16_degrees() -> None:
    first = first_gap_below(box_in(0, 144, 0), Underside(2 * INCH), Plane(0.0, 0.0, 0.05), 0.0, 0.0, QUARTER)

    assert degrees(first) == pytest.approx(16.13, abs=0.005)


# 16 ft with 2 in: the largest grade is 2 / 192 = 1.04 %.
@pytest.mark.parametrize(("grade", "touches"), [(0.0104, False), (0.0105, True)])
def test_sixteen_feet_with_two_inches_stand_a_grade_of_one_percent(grade: float, touches: bool) -> None:
    first = first_gap_below(box_in(0, 192, 0), Underside(2 * INCH), Plane(0.0, 0.0, grade), 0.0, 0.0, QUARTER)

    assert (first < inf) is touches


@pytest.mark.parametrize("ground", [FALLING, shots_on(FALLING)], ids=["plane", "shots"])
@pytest.mark.parametrize(
    ("box", "limit_in", "angle_deg"),
    [(PAIR_LINE, 0, 89.77), (PAIR_BOX, 0, 89.09), (PAIR_LINE, 2, 68.53), (PAIR_BOX, 2, 67.84)],
)
def test_box_on_a_cross_fall_touches_in_the_last_degree(
    ground: Ground, box: Box, limit_in: float, angle_deg: float
) -> None:
    first = first_gap_below(box, PAIR_UNDERSIDE, ground, limit_in * INCH, 0.0, QUARTER)

    assert degrees(first) == pytest.approx(angle_deg, abs=0.005)


# The touch of the last quarter degree, 0.02 in deep: coarse steps pass over it, rounding hides it.
@pytest.mark.parametrize("ground", [FALLING, shots_on(FALLING)], ids=["plane", "shots"])
@pytest.mark.parametrize(("box", "least_in"), [(PAIR_LINE, -0.02), (PAIR_BOX, -0.08)])
def test_depth_of_the_last_touch_is_found(ground: Ground, box: Box, least_in: float) -> None:
    found = gap_over_turn(box, PAIR_UNDERSIDE, ground, 0.0, QUARTER)

    assert found is not None
    assert found.least.gap_mm == pytest.approx(least_in * INCH, abs=1e-9)


def test_gap_at_the_closed_end_on_a_cross_fall() -> None:
    assert gap_at(PAIR_LINE, PAIR_UNDERSIDE, FALLING, [0.0]).greatest_mm[0] / INCH == pytest.approx(7.54)


def test_gap_of_four_inches_is_passed_25_inches_along() -> None:
    stretch = along_where_gap_between(PAIR_BOX, PAIR_UNDERSIDE, FALLING, 4 * INCH, 16 * INCH, 0.0)

    assert stretch == pytest.approx((25 * INCH, 84 * INCH))


# Level at 2.5 in, the largest inward grade that keeps 2 in: 0.5 / 84 = 0.595 %; with the corner 0.44 / 84 = 0.524 %.
@pytest.mark.parametrize(("box", "grade"), [(PAIR_LINE, 0.5 / 84), (PAIR_BOX, 0.44 / 84)])
def test_largest_inward_grade_keeps_two_inches(box: Box, grade: float) -> None:
    found = gap_over_turn(box, PAIR_UNDERSIDE, Plane(0.0, -0.06, grade), 0.0, QUARTER)

    assert found is not None
    assert found.least.gap_mm / INCH == pytest.approx(2.0)


def test_other_box_of_the_pair_has_12_7_inches_at_its_pivot() -> None:
    at_pivot = gap_at(box_in(0, 84, 0), PAIR_UNDERSIDE, RISING, [0.0])

    assert (at_pivot.greatest_mm[0] / INCH, at_pivot.least_mm[0] / INCH) == pytest.approx((12.7, 7.66))


@pytest.mark.parametrize(
    "ground",
    [RISING, shots_on(RISING), turned_into(shots_on(FALLING), Frame((170 * INCH, 0.0), pi, -1))],
    ids=["plane", "shots", "mirrored shots"],
)
@pytest.mark.parametrize(
    ("box", "least_in", "angle"),
    [
        (PAIR_LINE, 12.7 - 84 * hypot(0.06, 0.03), atan2(0.03, 0.06)),  # 7.07 in at 26.57 deg
        (PAIR_BOX, 12.7 - hypot(84, 1) * hypot(0.06, 0.03), atan2(0.03, 0.06) + atan(1 / 84)),  # 7.06 in at 27.25 deg
    ],
)
def test_least_gap_of_the_other_box_lies_between_the_ends_of_its_turn(
    ground: Ground, box: Box, least_in: float, angle: float
) -> None:
    found = gap_over_turn(box, PAIR_UNDERSIDE, ground, 0.0, QUARTER)

    assert found is not None
    assert (found.least.gap_mm, found.least.angle_rad) == pytest.approx((least_in * INCH, angle), abs=1e-7)


def test_other_box_of_the_pair_is_a_zone_along_its_length_and_over_its_turn() -> None:
    angles = angles_where_gap_between(PAIR_BOX, PAIR_UNDERSIDE, RISING, 4 * INCH, 16 * INCH, 0.0, QUARTER)
    stretch = along_where_gap_between(PAIR_BOX, PAIR_UNDERSIDE, RISING, 4 * INCH, 16 * INCH, QUARTER)

    assert angles == ((0.0, QUARTER),)
    assert stretch == pytest.approx((1 * INCH, 84 * INCH))


# Raked 6 % up towards its end with 2.6 in at the pivot: 2.6 + 84 * (0.06 - hypot(0.06, 0.03)) at atan(0.03 / 0.06).
@pytest.mark.parametrize("ground", [Plane(0, 0.06, 0.03), shots_on(Plane(0, 0.06, 0.03))], ids=["plane", "shots"])
def test_least_gap_of_a_raked_box_lies_between_coarse_steps(ground: Ground) -> None:
    found = gap_over_turn(PAIR_LINE, Underside(2.6 * INCH, 0.06), ground, 0.0, QUARTER)

    assert found is not None
    assert found.least.gap_mm / INCH == pytest.approx(2.6 + 84 * (0.06 - hypot(0.06, 0.03)), abs=1e-9)


# A heel 24 in behind the pivot swings uphill when the ground falls in the turning direction: asin(2 / (0.125 * 24)).
def test_heel_touches_ground_that_rises_behind() -> None:
    first = first_gap_below(box_in(-24, 168, 0), Underside(2 * INCH), Plane(0.0, 0.0, -0.125), 0.0, 0.0, QUARTER)

    assert first == pytest.approx(asin(2 / 3))


# Level underside at 100 mm over a rise of 5 % along x', turning from +y': cos = 2/3.
def test_box_turned_back_touches_at_the_arccosine() -> None:
    first = first_gap_below(Box(0.0, 3000.0, 0.0, 0.0), Underside(100.0), Plane(0, 0.05, 0), 0.0, QUARTER, -QUARTER)

    assert degrees(first) == pytest.approx(48.190, abs=5e-4)


# --- worked examples on triangles --------------------------------------------------------------------------------


# The leading corner climbs the face of the ledge: 50 mm up at a third of its width of 1 mm.
def test_leading_corner_meets_a_ledge_at_the_arcsine() -> None:
    first = first_gap_below(THIN, Underside(50.0), LEDGE, 0.0, 0.0, QUARTER)

    assert first == pytest.approx(asin((1000 + 1 / 3) / hypot(3000, 25)) - atan(25 / 3000))


def test_box_passes_a_ledge_lower_than_its_underside() -> None:
    assert first_gap_below(THIN, Underside(150.1), LEDGE, 0.0, 0.0, QUARTER) == inf


def test_limit_counts_as_reached_where_the_gap_only_just_reaches_it() -> None:
    assert first_gap_below(THIN, Underside(150.0), LEDGE, 0.0, 0.0, QUARTER) < inf


def test_least_gap_over_a_peak_is_at_the_peak() -> None:
    found = gap_over_turn(THIN, Underside(200.0), PEAK, 0.0, QUARTER)

    assert found is not None
    assert (found.least.gap_mm, *found.least.place) == pytest.approx((120.0, *PEAK_AT))


def test_peak_comes_under_the_leading_side_first() -> None:
    first = first_gap_below(THIN, Underside(200.0), PEAK, 120.0, 0.0, QUARTER)

    assert first == pytest.approx(atan2(*PEAK_AT[::-1]) - asin(25 / hypot(*PEAK_AT)))


def test_peak_comes_under_the_other_side_first_when_turning_back() -> None:
    first = first_gap_below(THIN, Underside(200.0), PEAK, 120.0, QUARTER, -QUARTER)

    assert first == pytest.approx(atan2(*PEAK_AT[::-1]) + asin(25 / hypot(*PEAK_AT)))


# Falling to its end by 0.5 %, the box is lowest over the peak when it points there: 200 - 0.005 * 1500 - 80 mm.
def test_least_gap_of_a_raked_box_over_a_peak_is_where_it_points_at_the_peak() -> None:
    found = gap_over_turn(THIN, Underside(200.0, -0.005), PEAK, 0.0, QUARTER)

    assert found is not None
    assert (found.least.gap_mm, found.least.angle_rad) == pytest.approx((112.5, atan2(*PEAK_AT[::-1])), abs=1e-6)


# The peak lies 1500 cos(d) along the box when the box points d past it; at 112.5005 mm cos(d) = 7.4995 / 7.5.
def test_raked_box_falls_to_a_limit_with_the_peak_already_under_it() -> None:
    first = first_gap_below(THIN, Underside(200.0, -0.005), PEAK, 112.5005, 0.0, QUARTER)

    assert first == pytest.approx(atan2(*PEAK_AT[::-1]) - acos(7.4995 / 7.5), abs=1e-7)


def test_zone_around_a_peak_begins_and_ends_where_the_gap_passes_the_limit() -> None:
    ((begin, end),) = angles_where_gap_between(THIN, Underside(200.0), PEAK, 0.0, 125.0, 0.0, QUARTER)

    least = gap_at(THIN, Underside(200.0), PEAK, [begin, (begin + end) / 2, end]).least_mm
    assert (least[0], least[2], least[1] < 125) == pytest.approx((125.0, 125.0, True))


def test_zone_met_twice_is_two_stretches() -> None:
    ridges = [(x, y, z) for x in (0.0, 5000.0) for y, z in ((-99, 0), (500, 90), (1000, 0), (1500, 90), (5000, 0))]
    tip = Box(2900.0, 3000.0, -25.0, 25.0)

    angles = angles_where_gap_between(tip, Underside(100.0), terrain_from_shots(np.array(ridges)), 0, 50, 0, QUARTER)

    assert len(angles) == 2


def test_stretch_along_the_box_spans_the_peak() -> None:
    angle = atan2(*PEAK_AT[::-1])
    low, high = along_where_gap_between(THIN, Underside(200.0), PEAK, 0.0, 125.0, angle) or (0, 0)

    places = np.outer((low, high), (PEAK_AT[0], PEAK_AT[1])) / hypot(*PEAK_AT)
    assert heights_at(PEAK, places) == pytest.approx([75.0, 75.0])


# --- what does not happen ----------------------------------------------------------------------------------------


def test_gap_below_the_limit_from_the_beginning_is_found_at_the_start() -> None:
    assert first_gap_below(THIN, Underside(30.0), YARD, 50.0, 0.2, QUARTER) == 0.2


def test_gap_that_never_falls_to_the_limit_is_never() -> None:
    assert first_gap_below(PAIR_BOX, PAIR_UNDERSIDE, RISING, 7 * INCH, 0.0, QUARTER) == inf


@pytest.mark.parametrize("gap_mm", [100.0, 100.0 + 5e-7, 400.0, 400.0 - 5e-7])
def test_level_yard_at_a_limit_but_for_rounding_is_no_zone(gap_mm: float) -> None:
    assert angles_where_gap_between(THIN, Underside(gap_mm), YARD, 100.0, 400.0, 0.0, QUARTER) == ()


def test_level_yard_between_the_limits_is_a_zone_even_where_nothing_turns() -> None:
    assert angles_where_gap_between(THIN, Underside(127.0), YARD, 100.0, 400.0, 0.5, 0.0) == ((0.5, 0.5),)


@pytest.mark.parametrize("gap_mm", [100.0, 400.0, 50.0, 500.0])
def test_level_yard_outside_the_limits_has_no_stretch(gap_mm: float) -> None:
    assert along_where_gap_between(THIN, Underside(gap_mm), YARD, 100.0, 400.0, 0.0) is None


def test_level_yard_between_the_limits_is_a_stretch_of_full_length() -> None:
    assert along_where_gap_between(THIN, Underside(127.0), YARD, 100.0, 400.0, 0.7) == (25.0, 3000.0)


@pytest.mark.parametrize("ground", [Plane(np.nan, 0, 0), Plane(0, inf, 0)])
def test_numbers_that_are_none_are_refused(ground: Plane) -> None:
    with pytest.raises(GeometryError, match="finite"):
        first_gap_below(THIN, Underside(50.0), ground, 0.0, 0.0, QUARTER)


# --- where the shots end -----------------------------------------------------------------------------------------


def yard_to(y_mm: float) -> Terrain:
    """Return level shots that end at a distance in the turning direction."""
    return terrain_from_shots(np.array([(x, y, 0.0) for x in (-4000.0, 4000.0) for y in (-4000.0, y_mm)]))


# The farthest the box comes is hypot(3000, 25) along +y'.
@pytest.mark.parametrize(("rim_mm", "covered"), [(3000.2, True), (3000.0, False), (1000.0, False)])
def test_cover_is_told_to_a_tenth_of_a_millimetre(rim_mm: float, covered: bool) -> None:
    found = gap_over_turn(THIN, Underside(50.0), yard_to(rim_mm), 0.0, QUARTER)

    assert found is not None
    assert found.covered is covered


def test_turn_away_from_shots_that_only_touch_the_box_is_not_covered() -> None:
    shots = np.array([(x, y, 0.0) for x in (-4000.0, 4000.0) for y in (25.0, 4000.0)])
    found = gap_over_turn(THIN, Underside(50.0), terrain_from_shots(shots), 0.0, -QUARTER)

    assert found is not None
    assert not found.covered


def test_rising_ground_is_not_carried_on_beyond_its_last_shots() -> None:
    shots = np.array([(x, y, max(y, 0) * 0.1) for x in (-4000.0, 4000.0) for y in (-4000.0, 0.0, 1000.0)])
    found = gap_over_turn(THIN, Underside(150.0), terrain_from_shots(shots), 0.0, QUARTER)

    assert found is not None
    assert found.least.gap_mm == pytest.approx(50.0)


def test_hole_between_the_shots_is_not_covered() -> None:
    ground = terrain_from_shots(
        np.array([(x, y, 0.0) for x in range(-4000, 4001, 1000) for y in range(-4000, 4001, 1000)])
    )
    centres = ground.vertices[ground.triangles, :2].mean(axis=1)
    holed = Terrain(ground.vertices, ground.triangles[np.hypot(*(centres - (1500, 1500)).T) > 500])

    found = gap_over_turn(THIN, Underside(50.0), holed, 0.0, QUARTER)

    assert found is not None
    assert not found.covered


FAR_AWAY = terrain_from_shots(np.array([(9000.0, 0.0, 0.0), (9000.0, 900.0, 0.0), (9900.0, 0.0, 0.0)]))


def test_no_known_ground_gives_no_range() -> None:
    assert gap_over_turn(THIN, Underside(50.0), FAR_AWAY, 0.0, QUARTER) is None


def test_no_known_ground_is_never_met() -> None:
    assert first_gap_below(THIN, Underside(50.0), FAR_AWAY, 0.0, 0.0, QUARTER) == inf


def test_no_known_ground_has_no_gap_at_an_angle() -> None:
    assert np.isnan(gap_at(THIN, Underside(50.0), FAR_AWAY, [0.0, 1.0]).least_mm).all()


def test_no_known_ground_is_no_zone() -> None:
    assert angles_where_gap_between(THIN, Underside(50.0), FAR_AWAY, 0.0, 400.0, 0.0, QUARTER) == ()


# --- comparison with grids and with bisection --------------------------------------------------------------------


class Scene(NamedTuple):
    """A box somewhere on bumpy ground."""

    box: Box
    underside: Underside
    ground: Ground
    start_rad: float
    turn_rad: float

    @property
    def angles_rad(self) -> Array:
        """Many angles of the turn."""
        return self.start_rad + self.turn_rad * np.linspace(0, 1, 721)

    def gaps_on_a_grid(self, angles_rad: Array) -> Array:
        """Return the gap at a grid of places under the box, shape (angles, places)."""
        x, y = (axis.ravel() for axis in np.meshgrid(*(np.linspace(*span, GRID_STEPS) for span in self.spans)))
        cosine, sine = np.cos(angles_rad)[:, None], np.sin(angles_rad)[:, None]
        places = np.stack((cosine * x - sine * y, sine * x + cosine * y), axis=-1)
        heights = heights_at(self.ground, places.reshape(-1, 2)).reshape(len(angles_rad), -1)
        return self.underside.height_mm + self.underside.rake * x - heights

    @property
    def spans(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The sides of the box."""
        return (self.box.x0, self.box.x1), (self.box.y0, self.box.y1)

    @property
    def mirrored(self) -> "Scene":
        """The scene in a mirror along x."""
        box = self.box._replace(y0=-self.box.y1, y1=-self.box.y0)
        return Scene(box, self.underside, turned_into(self.ground, MIRROR), -self.start_rad, -self.turn_rad)


def steepest(scene: Scene) -> float:
    """Return the greatest change of the gap per distance in the plan."""
    assert isinstance(scene.ground, Terrain)
    return float(np.hypot(*scene.ground.facets[:, 1:].T).max()) + abs(scene.underside.rake)


def scene_of(seed: int, offset_mm: float = 0.0) -> Scene:
    """Return a scene; the offset moves part of the sweep off the ground."""
    rng = np.random.default_rng(seed)
    x, y = (axis.ravel() for axis in np.meshgrid(*2 * (np.linspace(-5000, 5000, 6),)))
    jitter = rng.choice((0.0, 300.0))  # without it the edges run along the box at the start
    shots = np.column_stack((x + offset_mm, y, np.zeros(36))) + rng.uniform(-1, 1, (36, 3)) * (jitter, jitter, 150)
    x0, y0 = rng.uniform(-1200, 1000), rng.uniform(-400, 300)
    box = Box(x0, x0 + rng.uniform(200, 2200), y0, y0 + rng.choice((0.0, 40.0, 300.0)))
    start, turn = rng.choice((0.0, rng.uniform(-4, 4))), rng.choice((-1, 1)) * rng.choice((0.02, QUARTER, 2 * pi))
    rake = rng.choice((0.0, rng.uniform(-0.12, 0.12)))
    return Scene(box, Underside(250.0, rake), terrain_from_shots(shots), start, turn)


covered_scenes = st.builds(scene_of, seeds)
any_scenes = st.builds(scene_of, seeds, st.sampled_from((0.0, 4500.0, -6000.0)))
few = settings(max_examples=25, deadline=None)


def gaps_at(scene: Scene, angles_rad: Array | list[float]) -> Extremes:
    """Return the exact least and greatest gap at angles."""
    return gap_at(scene.box, scene.underside, scene.ground, angles_rad)


@few
@given(any_scenes)
def test_gap_at_an_angle_is_nowhere_passed_on_a_grid(scene: Scene) -> None:
    grid, exact = scene.gaps_on_a_grid(scene.angles_rad[::60]), gaps_at(scene, scene.angles_rad[::60])

    outside = (grid < exact.least_mm[:, None] - 1e-6) | (grid > exact.greatest_mm[:, None] + 1e-6)
    assert not outside.any()


@few
@given(covered_scenes)
def test_gap_at_an_angle_is_reached_on_a_grid_to_its_mesh(scene: Scene) -> None:
    grid, exact = scene.gaps_on_a_grid(scene.angles_rad[::60]), gaps_at(scene, scene.angles_rad[::60])

    reached = np.array((grid.min(axis=1), grid.max(axis=1)))
    mesh = hypot(scene.box.x1 - scene.box.x0, scene.box.y1 - scene.box.y0) / (GRID_STEPS - 1)
    assert reached == pytest.approx(np.array((exact.least_mm, exact.greatest_mm)), abs=steepest(scene) * mesh)


@few
@given(any_scenes)
def test_range_over_a_turn_is_passed_at_no_angle(scene: Scene) -> None:
    found, exact = gap_over_turn(*scene), gaps_at(scene, scene.angles_rad)
    least, greatest = (found.least.gap_mm, found.greatest.gap_mm) if found else (inf, -inf)

    assert not ((exact.least_mm < least - 1e-6) | (exact.greatest_mm > greatest + 1e-6)).any()


@few
@given(covered_scenes)
def test_range_over_a_turn_is_reached_to_the_step_of_the_angles(scene: Scene) -> None:
    found, exact = gap_over_turn(*scene), gaps_at(scene, scene.angles_rad)

    assert found is not None
    reached = (exact.least_mm.min(), exact.greatest_mm.max())
    step = scene.box.reach_mm * abs(scene.turn_rad) / len(scene.angles_rad)
    assert reached == pytest.approx((found.least.gap_mm, found.greatest.gap_mm), abs=steepest(scene) * step)


@few
@given(covered_scenes)
def test_least_gap_is_the_height_over_the_ground_at_its_place_and_angle(scene: Scene) -> None:
    found = gap_over_turn(*scene)
    assert found is not None
    place = np.array(found.least.place)

    along = Frame((0.0, 0.0), found.least.angle_rad).to_local(place)[0]
    left = scene.underside.height_mm + scene.underside.rake * along - heights_at(scene.ground, place[None])[0]
    assert left == pytest.approx(found.least.gap_mm, abs=1e-6)


def limit_within(scene: Scene, share: float) -> float:
    """Return a gap between the least and the greatest of the turn."""
    found = gap_over_turn(*scene)
    return found.least.gap_mm + share * (found.greatest.gap_mm - found.least.gap_mm) if found else 100.0


@few
@given(any_scenes, st.floats(0, 0.8))
def test_no_angle_before_the_first_has_a_gap_below_the_limit(scene: Scene, share: float) -> None:
    limit = limit_within(scene, share)
    first = first_gap_below(*scene[:3], limit, *scene[3:])

    before = scene.angles_rad[np.abs(scene.angles_rad - scene.start_rad) < abs(first - scene.start_rad) - 1e-9]
    assert not (gaps_at(scene, before).least_mm <= limit).any()


@few
@given(covered_scenes, st.floats(0, 0.8))
def test_least_gap_at_the_first_angle_is_at_the_limit(scene: Scene, share: float) -> None:
    limit = limit_within(scene, share)
    first = first_gap_below(*scene[:3], limit, *scene[3:])

    least = gaps_at(scene, [first]).least_mm[0]
    assert least <= limit + 1e-5 if first == scene.start_rad else least == pytest.approx(limit, abs=1e-5)


def bisected(scene: Scene, limit_mm: float) -> float:
    """Return where the least gap first falls to a limit, by steps and bisection; inf where no step is below."""
    below = gaps_at(scene, scene.angles_rad).least_mm <= limit_mm
    at = int(below.argmax())
    if not below.any() or at == 0:
        return scene.start_rad if below.any() else inf
    above, under = scene.angles_rad[at - 1], scene.angles_rad[at]
    for _ in range(50):
        middle = (above + under) / 2
        above, under = (above, middle) if gaps_at(scene, [middle]).least_mm[0] <= limit_mm else (middle, under)
    return float(under)


@few
@given(covered_scenes, st.floats(0, 0.8))
def test_first_angle_agrees_with_bisection_or_comes_between_its_steps(scene: Scene, share: float) -> None:
    limit = limit_within(scene, share)
    first, stepped = first_gap_below(*scene[:3], limit, *scene[3:]), bisected(scene, limit)

    later = abs(stepped - scene.start_rad) - abs(first - scene.start_rad)
    at_limit = gaps_at(scene, [first]).least_mm[0] == pytest.approx(limit, abs=1e-5)
    assert abs(later) < 1e-8 or (later > 0 and at_limit)


@few
@given(any_scenes, st.floats(0, 0.5), st.floats(0.5, 1))
def test_angles_of_a_zone_are_those_at_which_the_gap_lies_between(scene: Scene, low: float, high: float) -> None:
    low_mm, high_mm = limit_within(scene, low), limit_within(scene, high)
    zone = np.array(angles_where_gap_between(*scene[:3], low_mm, high_mm, *scene[3:])).reshape(-1, 2)
    exact = gaps_at(scene, scene.angles_rad)

    between = (exact.least_mm < high_mm - 1e-6) & (exact.greatest_mm > low_mm + 1e-6)
    inside = ((zone[:, :1] <= scene.angles_rad) & (scene.angles_rad <= zone[:, 1:])).any(axis=0)
    at_end = np.abs(zone.reshape(-1, 1) - scene.angles_rad).min(axis=0, initial=inf) < 1e-9
    assert (inside == between)[~at_end].all()


@few
@given(any_scenes, st.floats(0, 0.5), st.floats(0.5, 1))
def test_stretch_along_the_box_holds_all_places_between_the_limits(scene: Scene, low: float, high: float) -> None:
    low_mm, high_mm = limit_within(scene, low), limit_within(scene, high)
    middle = (scene.box.y0 + scene.box.y1) / 2
    line = scene._replace(box=scene.box._replace(y0=middle, y1=middle))

    begin, end = along_where_gap_between(*line[:3], low_mm, high_mm, line.start_rad) or (inf, -inf)
    gaps = line.gaps_on_a_grid(np.array([line.start_rad]))[0].reshape(GRID_STEPS, -1)[0]
    along = np.linspace(*line.spans[0], GRID_STEPS)[(gaps > low_mm + 1e-5) & (gaps < high_mm - 1e-5)]
    assert ((begin - 1e-6 <= along) & (along <= end + 1e-6)).all()


@few
@given(any_scenes)
def test_mirrored_ground_and_turn_give_the_same_gaps(scene: Scene) -> None:
    ranges = [gap_over_turn(*each) for each in (scene, scene.mirrored)]

    found, other = ([each.least.gap_mm, each.greatest.gap_mm, each.covered] if each else [] for each in ranges)
    assert found == pytest.approx(other, abs=1e-9)


@few
@given(any_scenes, st.floats(0, 0.8))
def test_mirrored_ground_and_turn_give_the_mirrored_first_angle(scene: Scene, share: float) -> None:
    limit = limit_within(scene, share)

    first = first_gap_below(*scene[:3], limit, *scene[3:])
    other = first_gap_below(*scene.mirrored[:3], limit, *scene.mirrored[3:])
    assert abs(other) == pytest.approx(abs(first), abs=1e-8)


@few
@given(seeds, st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_plane_given_as_shots_gives_the_same_range(seed: int, x_grade: float, y_grade: float) -> None:
    scene, plane = scene_of(seed), Plane(20.0, x_grade, y_grade)

    found, other = gap_over_turn(*scene._replace(ground=shots_on(plane))), gap_over_turn(*scene._replace(ground=plane))
    assert found is not None
    assert other is not None
    gaps = (found.least.gap_mm, found.greatest.gap_mm)
    assert gaps == pytest.approx((other.least.gap_mm, other.greatest.gap_mm), abs=1e-9)


@few
@given(seeds, st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), st.floats(0, 1))
def test_plane_given_as_shots_gives_the_same_first_angle(
    seed: int, x_grade: float, y_grade: float, share: float
) -> None:
    scene, plane = scene_of(seed), Plane(20.0, x_grade, y_grade)
    limit = limit_within(scene._replace(ground=plane), share)

    first = first_gap_below(scene.box, scene.underside, plane, limit, *scene[3:])
    other = first_gap_below(scene.box, scene.underside, shots_on(plane), limit, *scene[3:])
    assert other == pytest.approx(first, abs=1e-6)


def test_angles_are_in_the_frame_of_the_turn() -> None:
    found = gap_over_turn(PAIR_LINE, PAIR_UNDERSIDE, RISING, 2 * pi, QUARTER)

    assert found is not None
    assert degrees(found.least.angle_rad) == pytest.approx(360 + degrees(atan2(0.03, 0.06)))


# The ground falls along x, so of the two far corners the one at x = -1 in is over the higher ground.
def test_place_of_the_least_gap_is_where_the_far_corner_stands() -> None:
    found = gap_at(PAIR_BOX, PAIR_UNDERSIDE, FALLING, [radians(90)])

    assert found.least_at[0] / INCH == pytest.approx([-1.0, 84.0])
