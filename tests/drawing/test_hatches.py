from math import cos, radians, sin

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from siteplan.drawing.hatches import MOST_LINES, PATTERNS, even_odd_area, hatch_lines, hatch_ratio, pattern_definition
from siteplan.drawing.primitives import Pattern, Ring

PAD: Ring = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
HOLE: Ring = ((10.0, 5.0), (20.0, 5.0), (20.0, 15.0), (10.0, 15.0))
ANGLED: Ring = ((0.0, 0.0), (30.0, 0.0), (30.0, 8.0), (12.0, 8.0), (12.0, 25.0), (0.0, 25.0))


def drawn(rings: tuple[Ring, ...], pattern: Pattern, ratio: float = 1.0) -> shapely.MultiLineString:
    return shapely.MultiLineString(hatch_lines(rings, pattern, ratio))


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("ring", [PAD, ANGLED])
def test_lines_stay_inside_the_outline(pattern: Pattern, ring: Ring) -> None:
    assert shapely.Polygon(ring).buffer(1e-6).contains(drawn((ring,), pattern))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_holes_stay_free(pattern: Pattern) -> None:
    assert not drawn((PAD, HOLE), pattern).intersects(shapely.Polygon(HOLE).buffer(-1e-6))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_every_part_of_a_large_area_is_hatched(pattern: Pattern) -> None:
    reach = 2.5  # mm on paper from any place to a line; the dots of paving lie 4 apart

    assert drawn((PAD,), pattern).buffer(reach).covers(shapely.Polygon(PAD).buffer(-reach))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_pattern_looks_the_same_on_paper_at_every_ratio(pattern: Pattern) -> None:
    scaled: Ring = tuple((48 * x, 48 * y) for x, y in PAD)

    assert len(hatch_lines((scaled,), pattern, 48.0)) == len(hatch_lines((PAD,), pattern, 1.0))


def test_zone_lines_run_at_45_degrees() -> None:
    (x1, y1), (x2, y2) = hatch_lines((PAD,), "zone", 1.0)[0]

    assert abs(x2 - x1) == pytest.approx(abs(y2 - y1))


def test_zone_lines_are_1_5_apart() -> None:
    lines = [shapely.LineString(line) for line in hatch_lines((PAD,), "zone", 1.0)]

    assert lines[9].distance(lines[10]) == pytest.approx(1.5)


def test_zone_lines_fill_the_area_by_its_size_and_their_pitch() -> None:
    length = drawn((PAD,), "zone").length

    assert length == pytest.approx(shapely.Polygon(PAD).area / 1.5, rel=0.1)


def test_dot_of_paving_is_a_dash_of_0_2_on_paper() -> None:
    longest = max(shapely.LineString(line).length for line in hatch_lines((PAD,), "paving", 1.0))

    assert longest == pytest.approx(0.2)


def test_triangles_of_concrete_close() -> None:
    # Own pattern: three families draw a triangle of 0.9 at every place of a lattice of 5.
    ends = [end for line in hatch_lines((PAD,), "concrete", 1.0) for end in line]
    corner = (0.9 * cos(radians(11)), 0.9 * sin(radians(11)))

    assert sum(shapely.Point(end).distance(shapely.Point(corner)) < 1e-6 for end in ends) == 2


def test_area_without_rings_has_no_lines() -> None:
    assert hatch_lines((), "zone", 1.0) == ()


def test_number_of_lines_is_limited_by_a_coarser_pattern() -> None:
    square: Ring = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 5000.0), (0.0, 5000.0))

    assert 0 < len(hatch_lines((square,), "concrete", 1.0)) <= MOST_LINES


def test_small_area_keeps_the_ratio_of_the_view() -> None:
    assert hatch_ratio((PAD,), "concrete", 48.0) == 48.0


def test_coarser_pattern_is_a_doubled_one() -> None:
    square: Ring = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 5000.0), (0.0, 5000.0))

    assert hatch_ratio((square,), "concrete", 1.0) in (2.0, 4.0, 8.0, 16.0, 32.0, 64.0)


def test_ring_inside_a_ring_inside_a_ring_is_filled_again() -> None:
    innermost: Ring = ((13.0, 8.0), (17.0, 8.0), (17.0, 12.0), (13.0, 12.0))

    assert even_odd_area((PAD, HOLE, innermost)).area == pytest.approx(600 - 100 + 16)


def test_definition_for_a_file_holds_angle_base_and_dashes_of_every_family() -> None:
    ((angle, base, _, dashes),) = pattern_definition("zone", 2.0)

    assert (angle, base, dashes) == (45.0, (0.0, 0.0), [])


def test_offset_in_a_file_is_a_vector_of_the_plan() -> None:
    # DXF reference, HATCH: pattern line offset; here 3 mm to the left of a line at 45 degrees.
    assert pattern_definition("zone", 2.0)[0][2] == pytest.approx((-3 / 2**0.5, 3 / 2**0.5))


def test_definition_scales_dashes() -> None:
    assert pattern_definition("paving", 10.0)[0][3] == [0.0, -40.0]


@given(st.floats(0, 360), st.floats(-500, 500), st.floats(-500, 500), st.sampled_from(sorted(PATTERNS)))
def test_lines_stay_inside_however_the_area_lies(turn: float, dx: float, dy: float, pattern: Pattern) -> None:
    area = affinity.translate(affinity.rotate(shapely.Polygon(ANGLED), turn), dx, dy)
    ring: Ring = tuple((x, y) for x, y in area.exterior.coords[:-1])

    assert area.buffer(1e-6).contains(drawn((ring,), pattern))
