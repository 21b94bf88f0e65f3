from math import pi, radians

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from siteplan.errors import GeometryError
from siteplan.geometry.boxes import Box
from siteplan.geometry.points import Array
from siteplan.geometry.sweeps import swept_area, swept_polygon, swept_rings
from tests.geometry.turning_boxes import MM, all_boxes, inch_box, long_boxes, pose, unhurried

LONG = Box(50, 4800, -25, 25)
HEELED = Box(-600, 4800, -25, 25)
STUBBY = Box(100, 1000, -300, 300)
RIGHT = radians(90)
WIDE = radians(110)
ROUNDING_MM = 1e-6

turns = st.floats(1e-3, pi) | st.sampled_from((RIGHT, pi))
starts = st.floats(-4, 4)


# Own derivation, compared there with radial integration; lengths in inches.
@pytest.mark.parametrize(
    ("box", "turn_deg", "area_sq_in"),
    [
        ((0, 192, -1, 1), 90, 29_337.7068),
        ((1, 169, -1, 1), 90, 22_767.7609),
        ((0, 192, 2, 4), 90, 29_346.3427),
        ((-24, 168, -1, 1), 90, 23_003.0696),
        ((0, 120, -1.25, 1.25), 105, 13_496.1317),
    ],
)
def test_area_of_a_worked_example_in_inches(box: tuple[float, ...], turn_deg: float, area_sq_in: float) -> None:
    assert swept_area(inch_box(*box), radians(turn_deg)) / MM**2 == pytest.approx(area_sq_in, abs=1e-4)


# Own derivation, compared there with quadrature; lengths in mm, 110 degrees.
@pytest.mark.parametrize(
    ("box", "area_mm2"),
    [
        (LONG, 22_352_514.58),
        (Box(0, 3000, 20, 70), 8_793_699.49),
        (Box(50, 4800, 60, 110), 22_360_071.87),
        (HEELED, 22_731_821.73),
        (STUBBY, 1_594_413.48),
    ],
)
def test_area_of_a_worked_example_in_mm(box: Box, area_mm2: float) -> None:
    assert swept_area(box, WIDE) == pytest.approx(area_mm2, abs=6e-3)


@given(all_boxes)
def test_area_of_no_turn_is_that_of_the_box(box: Box) -> None:
    assert swept_area(box, 0.0) == pytest.approx((box.x1 - box.x0) * (box.y1 - box.y0))


def test_area_of_a_full_turn_is_a_ring() -> None:
    assert swept_area(LONG, 2 * pi) == pytest.approx(pi * (LONG.reach_mm**2 - 50**2))


def test_area_of_a_line_without_thickness_is_a_sector() -> None:
    assert swept_area(Box(0, 2000, 0, 0), 1.2) == pytest.approx(2000**2 * 1.2 / 2)


@given(all_boxes, turns)
def test_area_is_the_same_for_the_mirrored_box(box: Box, turn: float) -> None:
    assert swept_area(box, turn) == pytest.approx(swept_area(Box(box.x0, box.x1, -box.y1, -box.y0), turn), rel=1e-9)


# A part 192 in long and 2 in thick turned by 90 degrees in 90 steps: gaps open where a step exceeds the thickness.
def test_a_fan_of_rectangles_is_16_percent_low() -> None:
    box = inch_box(0, 192, -1, 1)
    fan = shapely.union_all([pose(box, angle) for angle in np.linspace(0, RIGHT, 91)])

    assert fan.area / swept_area(box, RIGHT) == pytest.approx(0.84, abs=0.005)


@pytest.mark.parametrize(
    ("box", "count"), [(LONG, 1), (Box(0, 3000, 20, 70), 1), (HEELED, 2), (Box(-900, -100, 0, 9), 1)]
)
def test_there_is_one_ring_on_each_side_of_the_pivot(box: Box, count: int) -> None:
    assert len(swept_rings(box, 0.0, WIDE, 1.6)) == count


@pytest.mark.parametrize("box", [LONG, HEELED, STUBBY, Box(0, 3000, 20, 70), Box(50, 4800, -110, -60)])
def test_rings_are_simple_and_counter_clockwise(box: Box) -> None:
    rings = [shapely.LinearRing(ring) for ring in swept_rings(box, 0.4, WIDE, 1.6)]

    assert all(ring.is_simple and ring.is_ccw for ring in rings)


def test_a_ring_of_no_turn_is_the_box() -> None:
    assert swept_rings(LONG, 0.3, 0.0, 1.6)[0] == pytest.approx(LONG.turned_corners(0.3))


def test_vertices_of_the_outer_arc_are_no_farther_out_than_the_chord_error() -> None:
    ring = swept_rings(LONG, 0.0, WIDE, 1.6)[0]

    assert LONG.reach_mm < np.hypot(*ring.T).max() <= LONG.reach_mm + 1.6


def test_vertices_of_the_inner_arc_lie_on_it() -> None:
    ring = swept_rings(LONG, 0.0, WIDE, 1.6)[0]

    assert np.hypot(*ring.T).min() == pytest.approx(50)


def test_a_turn_too_small_for_one_outline_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"0\.1000 rad.* 900 mm long and 600 mm thick"):
        swept_rings(STUBBY, 0.0, 0.1, 1.6)


@given(all_boxes, starts, turns, st.floats(0.05, 5))
@unhurried
def test_polygon_contains_every_pose(box: Box, start: float, turn: float, chord_error: float) -> None:
    covered = swept_polygon([box], start, turn, chord_error).buffer(ROUNDING_MM)
    poses = [pose(box, angle) for angle in start + np.linspace(0, turn, 19)]

    assert shapely.covers(covered, poses).all()


@given(all_boxes, starts, turns, st.floats(0.05, 5))
@unhurried
def test_polygon_is_whole(box: Box, start: float, turn: float, chord_error: float) -> None:
    covered = swept_polygon([box], start, turn, chord_error)

    assert covered.is_valid
    assert covered.geom_type == "Polygon"


@given(all_boxes, starts, turns, st.floats(0.05, 5))
@unhurried
def test_polygon_is_no_smaller_than_the_exact_area(box: Box, start: float, turn: float, chord_error: float) -> None:
    assert swept_polygon([box], start, turn, chord_error).area >= swept_area(box, turn) * (1 - 1e-7)


@given(all_boxes, starts, turns)
@unhurried
def test_polygon_with_small_chord_error_has_the_exact_area(box: Box, start: float, turn: float) -> None:
    covered = swept_polygon([box], start, turn, box.reach_mm * 1e-5)

    assert covered.area == pytest.approx(swept_area(box, turn), abs=3e-5 * turn * box.reach_mm**2)


@given(long_boxes, starts, st.floats(0.2, pi))
@settings(unhurried, max_examples=60)
def test_polygon_of_a_long_part_is_within_a_twentieth_of_a_percent(box: Box, start: float, turn: float) -> None:
    exact = swept_area(box, turn)

    assert 0 <= swept_polygon([box], start, turn, box.x1 * 3e-4).area / exact - 1 <= 5e-4


def test_polygon_of_no_turn_is_the_box() -> None:
    assert swept_polygon([LONG], 0.3, 0.0, 1.6).equals_exact(pose(LONG, 0.3), 1e-9)


def test_polygon_of_several_boxes_contains_each() -> None:
    plate = Box(4700, 4900, 25, 60)

    covered = swept_polygon([LONG, plate], 0.2, WIDE, 1.6).buffer(ROUNDING_MM)

    assert shapely.covers(covered, [swept_polygon([box], 0.2, WIDE, 1.6) for box in (LONG, plate)]).all()


def test_boxes_apart_leave_their_gap_open() -> None:
    covered = swept_polygon([Box(100, 500, -9, 9), Box(700, 900, -9, 9)], 0.0, WIDE, 1.6)

    assert not covered.intersects(shapely.Point(0, 600))


# Without a grid GEOS 3.14 returns half of this union and says nothing.
@pytest.mark.parametrize("start", np.linspace(-4, 4, 81).tolist())
def test_union_of_pieces_loses_nothing(start: float) -> None:
    box = Box(-0.0755136186333305, 0, -30.924818495916178, 30.924818495916178)

    assert swept_polygon([box], start, RIGHT, 0.2794).area >= swept_area(box, RIGHT)


@pytest.mark.parametrize("box", [Box(0, 2000, -20, 20), Box(-2000, 0, -20, 20), Box(-300, 2000, -20, 30)])
def test_half_a_turn_about_a_pivot_on_the_part_is_a_valid_shape(box: Box) -> None:
    covered = [swept_polygon([box], start, pi, 1.0) for start in np.linspace(-4, 4, 41)]

    assert all(shape.is_valid and shape.area >= swept_area(box, pi) for shape in covered)


@pytest.mark.parametrize(("box", "turn", "start"), [(Box(0, 218, -200, 176), 0.02, 3), (Box(0, 132, -70, 219), 0.1, 2)])
def test_slivers_between_pieces_are_filled(box: Box, turn: float, start: float) -> None:
    assert len(swept_polygon([box], start, turn, 1.0).interiors) == 0


def test_a_union_that_loses_area_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def lose_all_but_last(shapes: list[shapely.Polygon], grid_size: float) -> shapely.Polygon:
        return shapes[-1]

    monkeypatch.setattr(shapely, "union_all", lose_all_but_last)
    with pytest.raises(GeometryError, match=r"1 boxes turned by 1\.91986 rad holds .* at least 22731821\.7 mm²"):
        swept_polygon([HEELED], 0.0, WIDE, 1.6)


@pytest.mark.parametrize("turn", [-0.1, 3.2])
def test_a_turn_outside_half_a_circle_is_refused(turn: float) -> None:
    with pytest.raises(GeometryError, match=f"within 0 to pi rad, not {turn:g} rad"):
        swept_polygon([LONG], 0.0, turn, 1.6)


def test_a_chord_error_of_nothing_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"at least 0\.000001 mm, not 0 mm"):
        swept_polygon([LONG], 0.0, 1.0, 0.0)


@pytest.mark.parametrize("boxes", [[], [Box(0, 900, 0, 0)]])
def test_covering_nothing_is_refused(boxes: list[Box]) -> None:
    with pytest.raises(GeometryError, match="must be above 0"):
        swept_polygon(boxes, 0.0, 0.0, 1.6)


def test_a_line_without_thickness_covers_a_sector() -> None:
    assert swept_polygon([Box(0, 2000, 0, 0)], 0.0, 1.2, 0.01).area == pytest.approx(2000**2 * 1.2 / 2, rel=1e-5)


def as_set(ring: Array) -> set[tuple[float, float]]:
    return {(round(float(x), 6), round(float(y), 6)) for x, y in ring}


def test_the_ring_of_the_mirrored_box_is_the_mirrored_ring() -> None:
    ring = swept_rings(Box(50, 4800, -20, 45), 0.0, WIDE, 1.6)[0]
    mirrored = swept_rings(Box(50, 4800, -45, 20), -WIDE, WIDE, 1.6)[0]

    assert as_set(mirrored * (1, -1)) == as_set(ring)
