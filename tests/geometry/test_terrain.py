"""Ground as a plane and as triangles between shots."""

from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from siteplan.errors import GeometryError
from siteplan.geometry.points import Array, Frame
from siteplan.geometry.terrain import (
    Plane,
    Terrain,
    best_plane,
    covers,
    fourth_shot_residual,
    heights_at,
    plane_through_three,
    terrain_from_shots,
    turned_into,
)

SLOPE = Plane(40.0, 0.05, -0.02)
SQUARE = np.array(((0.0, 0.0, 0.0), (4000.0, 0.0, 0.0), (4000.0, 4000.0, 0.0), (0.0, 4000.0, 0.0)))
PYRAMID = np.vstack((SQUARE, (2000.0, 2000.0, 100.0)))
FRAMES = (Frame((0.0, 0.0), 0.0), Frame((1500.0, -700.0), 2.1), Frame((-300.0, 900.0), pi, -1))

seeds = st.integers(0, 2**32 - 1)


def rows_of_shots(columns: int, rows: int, direction_rad: float, ground: Plane = SLOPE) -> Array:
    """Return shots in straight rows that run in any direction."""
    x, y = (axis.ravel() for axis in np.meshgrid(np.linspace(-5000, 5000, columns), np.linspace(-3000, 3000, rows)))
    cosine, sine = cos(direction_rad), sin(direction_rad)
    places = np.column_stack((cosine * x - sine * y, sine * x + cosine * y))
    return np.column_stack((places, heights_at(ground, places)))


def strewn(seed: int, count: int = 12) -> Array:
    """Return shots without any order."""
    return np.random.default_rng(seed).uniform((-4000, -4000, -200), (4000, 4000, 200), (count, 3))


def farthest_inside_circles(terrain: Terrain) -> float:
    """Return how far, in mm, any shot lies inside the circle through a triangle."""
    first, second, third = (terrain.vertices[column, :2] for column in terrain.triangles.T)
    chords = np.stack((second - first, third - first), axis=1)
    centres = first + np.linalg.solve(chords, (chords**2).sum(-1)[..., None] / 2)[..., 0]
    radii = np.hypot(*(first - centres).T)
    distances = np.hypot(*np.moveaxis(terrain.vertices[:, None, :2] - centres, -1, 0))
    return float((radii - distances).max())


# --- triangles between shots -------------------------------------------------------------------------------------


def test_terrain_of_shots_on_a_plane_has_the_heights_of_the_plane() -> None:
    terrain = terrain_from_shots(rows_of_shots(5, 4, 0.7))
    points = np.random.default_rng(1).uniform(-2000, 2000, (200, 2))

    assert heights_at(terrain, points) == pytest.approx(heights_at(SLOPE, points), abs=1e-9)


def test_height_halfway_up_a_pyramid_is_half_its_height() -> None:
    assert heights_at(terrain_from_shots(PYRAMID), np.array([(1000.0, 2000.0)])) == pytest.approx([50.0])


def test_height_beyond_the_shots_is_not_known() -> None:
    assert np.isnan(heights_at(terrain_from_shots(PYRAMID), np.array([(4000.1, 2000.0)]))).all()


def test_height_on_the_rim_is_known() -> None:
    assert heights_at(terrain_from_shots(PYRAMID), np.array([(4000.0, 1234.5)])) == pytest.approx([0.0])


@given(seeds)
def test_heights_at_the_shots_are_those_of_the_shots(seed: int) -> None:
    shots = strewn(seed)

    assert heights_at(terrain_from_shots(shots), shots[:, :2]) == pytest.approx(shots[:, 2], abs=1e-6)


@given(seeds)
def test_no_shot_lies_inside_the_circle_through_a_triangle(seed: int) -> None:
    places = np.random.default_rng(seed).integers(0, 8, (20, 2)) * 500.0  # many in one line and on one circle

    terrain = terrain_from_shots(np.column_stack((places, np.zeros(len(places)))))

    assert farthest_inside_circles(terrain) < 1e-6


# Rows that run askew are the case that upsets a triangulation in rounded arithmetic.
@given(st.integers(2, 6), st.integers(2, 6), st.floats(0, 6.3))
def test_rows_of_shots_are_triangulated_without_gap_or_overlap(columns: int, rows: int, direction: float) -> None:
    terrain = terrain_from_shots(rows_of_shots(columns, rows, direction))

    # Euler: triangles = 2 * shots - 2 - shots on the rim
    assert len(terrain.triangles) == 2 * columns * rows - 2 - len(terrain.rim)


@given(st.integers(2, 6), st.integers(2, 6), st.floats(0, 6.3))
def test_rows_of_shots_cover_their_rectangle(columns: int, rows: int, direction: float) -> None:
    shapes = terrain_from_shots(rows_of_shots(columns, rows, direction)).tree.geometries

    assert shapely.area(shapes).sum() == pytest.approx(10000 * 6000)


def test_shots_meant_to_be_in_a_line_make_no_sliver() -> None:
    shots = np.vstack((PYRAMID, (2000.0, 1e-7, 500.0), (1000.0, -1e-7, 0.0)))

    assert heights_at(terrain_from_shots(shots), np.array([(1500.0, 0.0)])) == pytest.approx([250.0])


@pytest.mark.parametrize(
    ("count", "sentence"),
    [(0, "there are no shots"), (1, "one shot defines no plane"), (2, "two shots define no plane; take a third")],
)
def test_too_few_shots_are_refused_in_words(count: int, sentence: str) -> None:
    with pytest.raises(GeometryError, match=sentence):
        terrain_from_shots(SQUARE[:count])


def test_shots_in_a_line_are_refused_in_words() -> None:
    shots = np.outer(np.arange(4), (300.0, 400.0, 5.0))

    with pytest.raises(GeometryError, match=r"all 4 shots lie in one line; take one more, off that line\."):
        terrain_from_shots(shots)


def test_two_heights_at_one_place_are_refused_with_place_and_difference() -> None:
    with pytest.raises(GeometryError, match=r"\(4000, 0\) mm differ in height by 25 mm"):
        terrain_from_shots(np.vstack((SQUARE, (4000.0, 0.0, 25.0))))


def test_a_shot_without_a_height_is_refused() -> None:
    with pytest.raises(GeometryError, match="shot 5 needs numbers for x, y and height"):
        terrain_from_shots(np.vstack((SQUARE, (1000.0, 0.0, np.nan))))


def test_the_same_shot_twice_counts_once() -> None:
    assert len(terrain_from_shots(np.vstack((SQUARE, SQUARE[:2]))).vertices) == len(SQUARE)


def test_edges_are_listed_once() -> None:
    assert len(terrain_from_shots(PYRAMID).edges) == 8


def test_rim_is_the_outer_edges() -> None:
    assert terrain_from_shots(PYRAMID).rim.tolist() == [[0, 1], [0, 3], [1, 2], [2, 3]]


@pytest.mark.parametrize("field", ["vertices", "triangles", "edges", "rim", "facets"])
def test_arrays_of_a_terrain_cannot_be_written(field: str) -> None:
    assert not getattr(terrain_from_shots(PYRAMID), field).flags.writeable


def test_facets_hold_height_at_origin_and_grades() -> None:
    facets = terrain_from_shots(rows_of_shots(3, 3, 0.4)).facets

    assert facets == pytest.approx(np.tile(SLOPE, (len(facets), 1)))


# --- frames and cover --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("ground", [SLOPE, terrain_from_shots(strewn(3))])
def test_ground_turned_into_a_frame_has_the_same_heights(ground: Plane | Terrain, frame: Frame) -> None:
    points = np.random.default_rng(2).uniform(-4500, 4500, (100, 2))

    local = heights_at(turned_into(ground, frame), frame.to_local(points))

    assert local == pytest.approx(heights_at(ground, points), abs=1e-8, nan_ok=True)


# A slope that helps a part hinged on the left hurts one hinged on the right: own derivation.
def test_a_frame_that_looks_back_reverses_the_cross_fall_and_keeps_the_inward_grade() -> None:
    turned = turned_into(Plane(0.0, -0.06, 0.03), Frame((4318.0, 0.0), pi, -1))

    assert turned == pytest.approx((-0.06 * 4318, 0.06, 0.03))


@pytest.mark.parametrize(("corner", "covered"), [(3999.0, True), (4000.0, True), (4001.0, False)])
def test_cover_ends_at_the_outermost_shots(corner: float, covered: bool) -> None:
    outline = np.array(((100.0, 100.0), (corner, 100.0), (corner, 3000.0), (100.0, 3000.0)))

    assert covers(terrain_from_shots(PYRAMID), outline) is covered


# --- planes ------------------------------------------------------------------------------------------------------


def test_plane_through_three_shots_meets_all_three() -> None:
    shots = np.array(((0.0, 0.0, 10.0), (3000.0, 500.0, 200.0), (-400.0, 2500.0, -90.0)))

    assert heights_at(plane_through_three(shots), shots[:, :2]) == pytest.approx(shots[:, 2])


@pytest.mark.parametrize("height", [0.0, 49.0])
def test_three_shots_nearly_in_a_line_define_no_plane(height: float) -> None:
    shots = np.array(((0.0, 0.0, 0.0), (1000.0, 0.0, 10.0), (400.0, height, 20.0)))

    with pytest.raises(GeometryError, match=f"1000 mm long and {height:.0f} mm wide"):
        plane_through_three(shots)


def test_three_shots_just_off_a_line_define_a_plane() -> None:
    shots = np.array(((0.0, 0.0, 0.0), (1000.0, 0.0, 10.0), (400.0, 51.0, 4.0)))

    assert plane_through_three(shots) == pytest.approx((0.0, 0.01, 0.0))


def test_plane_through_four_shots_is_refused_with_their_number() -> None:
    with pytest.raises(GeometryError, match="not through 4"):
        plane_through_three(SQUARE)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_best_plane_of_too_few_shots_is_refused(count: int) -> None:
    with pytest.raises(GeometryError, match="take"):
        best_plane(SQUARE[:count])


def test_best_plane_of_shots_at_one_place_is_refused() -> None:
    with pytest.raises(GeometryError, match="strip 0 mm long"):
        best_plane(SQUARE[[0, 0, 0]])


def test_best_plane_of_shots_on_a_plane_is_that_plane() -> None:
    assert best_plane(rows_of_shots(4, 3, 1.0)) == pytest.approx(SLOPE)


def test_shots_on_a_plane_leave_no_residual() -> None:
    assert fourth_shot_residual(rows_of_shots(2, 2, 0.3)) == pytest.approx(np.zeros(4), abs=1e-9)


# Least squares on a rectangle: a corner off by d puts d/4 on every corner, so the bad one cannot be named.
def test_a_fourth_corner_off_by_three_inches_shows_as_three_quarters_at_every_corner() -> None:
    shots = SQUARE.copy()
    shots[2, 2] = 76.2

    assert fourth_shot_residual(shots) == pytest.approx([19.05, -19.05, 19.05, -19.05])


@settings(max_examples=30)
@given(seeds)
def test_residuals_from_the_best_plane_add_up_to_nothing(seed: int) -> None:
    assert fourth_shot_residual(strewn(seed)).sum() == pytest.approx(0.0, abs=1e-6)
