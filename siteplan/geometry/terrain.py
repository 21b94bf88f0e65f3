"""Ground: one plane, or triangles between shots. Lengths and heights in mm, z up, grades as rise over run."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import cos, sin
from typing import NamedTuple, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from siteplan.errors import GeometryError
from siteplan.geometry.boxes import TOUCH_MM
from siteplan.geometry.points import Array, Frame

SLIVER_MM = 1e-3  # shots closer than this are one shot; triangles thinner than this are shots in one line
GRID_MM = 1e-6  # triangles are chosen on whole multiples of this, where arithmetic is exact
LEAST_SPREAD = 0.05  # width over length of the shots below which they count as one line (own rule)

_Number = TypeVar("_Number", np.float64, np.intp)

_TOO_FEW = (
    "Ground: there are no shots; take three, not in one line.",
    "Ground: one shot defines no plane; take two more, not in one line with it.",
    "Ground: two shots define no plane; take a third, off the line of the first two.",
)


class Plane(NamedTuple):
    """The ground as a plane without end: z = height + x grade * x + y grade * y."""

    height_mm: float  # at the origin
    x_grade: float
    y_grade: float


@dataclass(frozen=True, eq=False)
class Terrain:
    """The ground as triangles between shots; nothing is known outside them.

    ``vertices`` (n, 3) are the shots; ``triangles`` (m, 3) are places in that list, in either sense of rotation, none
    of zero area. Triangles that meet share their vertices. All arrays are read-only.
    """

    vertices: Array
    triangles: NDArray[np.intp]

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices", _read_only(np.array(self.vertices, dtype=np.float64)))
        object.__setattr__(self, "triangles", _read_only(np.array(self.triangles, dtype=np.intp)))

    @cached_property
    def edges(self) -> NDArray[np.intp]:
        """The edges, each once, as places in the list of vertices, shape (k, 2)."""
        return _read_only(self._edges_and_uses[0])

    @cached_property
    def rim(self) -> NDArray[np.intp]:
        """The edges that belong to one triangle only, shape (k, 2)."""
        edges, uses = self._edges_and_uses
        return _read_only(edges[uses == 1])

    @cached_property
    def facets(self) -> Array:
        """The planes of the triangles, shape (m, 3): height at the origin, x grade, y grade."""
        first, second, third = np.moveaxis(self.vertices[self.triangles], 1, 0)
        normal = np.cross(second - first, third - first)
        grades = -normal[:, :2] / normal[:, 2:]
        heights = first[:, 2] - (grades * first[:, :2]).sum(-1)
        return _read_only(np.column_stack((heights, grades)))

    @cached_property
    def outline(self) -> shapely.Geometry:
        """The area of all triangles together."""
        return shapely.coverage_union_all(self.tree.geometries)

    def weights(self, triangle_ids: NDArray[np.intp], points: Array) -> Array:
        """Return the barycentric weights of each point (k, 2) in its own triangle, shape (k, 3); all >= 0 inside."""
        first, second, third = np.moveaxis(self.vertices[self.triangles[triangle_ids], :2], 1, 0)
        whole = _cross(second - first, third - first)
        second_weight = _cross(points - first, third - first) / whole
        third_weight = _cross(second - first, points - first) / whole
        return np.column_stack((1.0 - second_weight - third_weight, second_weight, third_weight))

    @cached_property
    def _edges_and_uses(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        sides = self.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
        return np.unique(np.sort(sides, axis=1), axis=0, return_counts=True)

    @cached_property
    def tree(self) -> shapely.STRtree:
        """The triangles as plane shapes, in a search tree."""
        return shapely.STRtree(shapely.polygons(self.vertices[self.triangles, :2]))


Ground = Plane | Terrain
_GridPlace = tuple[int, int]
_Opposites = dict[tuple[int, int], int]  # side of a triangle, counter-clockwise: the third corner


def terrain_from_shots(shots: Array) -> Terrain:
    """Return the Delaunay triangles between shots (n, 3), x y z.

    Raise GeometryError with fewer than three shots, with all of them in one line, and with two heights at one place.
    """
    known = _distinct(np.asarray(shots, dtype=np.float64).reshape(-1, 3))
    if len(known) < len(_TOO_FEW):
        raise GeometryError(_TOO_FEW[len(known)])
    triangles = _delaunay([(round(x / GRID_MM), round(y / GRID_MM)) for x, y in known[:, :2].tolist()])
    triangles = triangles[_thickness(known[triangles, :2]) > SLIVER_MM]
    if not len(triangles):
        raise GeometryError(f"Ground: all {len(known)} shots lie in one line; take one more, off that line.")
    return Terrain(known, triangles)


def heights_at(ground: Ground, points: Array) -> Array:
    """Return the height of the ground at points (k, 2), shape (k,); NaN outside a terrain.

    A point within TOUCH_MM of a triangle takes the height of the nearest place in it.
    """
    if isinstance(ground, Plane):
        return ground.height_mm + ground.x_grade * points[:, 0] + ground.y_grade * points[:, 1]
    heights = np.full(len(points), np.nan)
    asked, found = ground.tree.query(shapely.points(points), predicate="dwithin", distance=TOUCH_MM)
    weights = ground.weights(found, points[asked])
    # of several triangles the one that holds the point most surely comes last, and so wins
    order = np.lexsort((weights.min(-1), asked))
    weights = np.maximum(weights[order], 0.0)
    corner_heights = ground.vertices[ground.triangles[found[order]], 2]
    heights[asked[order]] = (weights * corner_heights).sum(-1) / weights.sum(-1)
    return heights


def turned_into(ground: Ground, frame: Frame) -> Ground:
    """Return the same ground seen in a local frame of the plan; heights stay."""
    if isinstance(ground, Terrain):
        places = frame.to_local(ground.vertices[:, :2])
        return Terrain(np.column_stack((places, ground.vertices[:, 2])), ground.triangles)
    height, x_grade, y_grade = ground
    cosine, sine = cos(frame.along_rad), sin(frame.along_rad)
    return Plane(
        height + x_grade * frame.origin[0] + y_grade * frame.origin[1],
        cosine * x_grade + sine * y_grade,
        frame.side * (cosine * y_grade - sine * x_grade),
    )


def covers(terrain: Terrain, outline: Array) -> bool:
    """Tell whether a polygon, corners (k, 2), lies on the triangles; SLIVER_MM beyond them is let pass."""
    return bool(terrain.outline.buffer(SLIVER_MM).covers(shapely.Polygon(outline)))


def plane_through_three(shots: Array) -> Plane:
    """Return the plane through three shots (3, 3).

    Raise GeometryError for another number of shots, and for three in a line or nearly so: triangle height below 5 % of
    the longest side.
    """
    if len(shots) != len(_TOO_FEW):
        raise GeometryError(f"Ground: one plane goes through three shots, not through {len(shots)}.")
    return best_plane(shots)


def best_plane(shots: Array) -> Plane:
    """Return the plane of least squares of the heights of shots (n, 3).

    Raise GeometryError with fewer than three shots and with shots in a line or nearly so (LEAST_SPREAD).
    """
    _check_spread(shots)
    middle = shots.mean(axis=0)
    offsets = shots - middle
    x_grade, y_grade = np.linalg.lstsq(offsets[:, :2], offsets[:, 2], rcond=None)[0]
    return Plane(float(middle[2] - x_grade * middle[0] - y_grade * middle[1]), float(x_grade), float(y_grade))


def fourth_shot_residual(shots: Array) -> Array:
    """Return how far each shot (n, 3) lies above the plane of least squares through all of them, shape (n,).

    A fourth shot that disagrees shows here, though not which of four: at the corners of a rectangle all four residuals
    are of one size. Raise GeometryError as best_plane does.
    """
    return shots[:, 2] - heights_at(best_plane(shots), shots[:, :2])


def _check_spread(shots: Array) -> None:
    if len(shots) < len(_TOO_FEW):
        raise GeometryError(_TOO_FEW[len(shots)])
    corners = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(shots[:, :2])))
    steps = corners[:, None] - corners
    lengths = np.hypot(steps[..., 0], steps[..., 1])
    longest = np.unravel_index(lengths.argmax(), lengths.shape)
    length = lengths[longest]
    width = np.ptp(_cross(steps[longest], corners)) / max(length, SLIVER_MM)
    if width < LEAST_SPREAD * max(length, SLIVER_MM):
        raise GeometryError(
            f"Ground: the {len(shots)} shots lie in a strip {length:.0f} mm long and {width:.0f} mm wide, "
            f"too narrow to define a plane; take one more, off that line."
        )


def _distinct(shots: Array) -> Array:
    unknown = ~np.isfinite(shots).all(axis=1)
    if unknown.any():
        raise GeometryError(f"Ground: shot {unknown.argmax() + 1} needs numbers for x, y and height.")
    _, first, group = np.unique(np.round(shots[:, :2] / SLIVER_MM), axis=0, return_index=True, return_inverse=True)
    difference = shots[:, 2] - shots[first[group], 2]
    if np.any(np.abs(difference) > SLIVER_MM):
        x, y, _ = shots[np.abs(difference).argmax()]
        raise GeometryError(
            f"Ground: two shots at ({x:.0f}, {y:.0f}) mm differ in height by {np.abs(difference).max():.3g} mm; "
            f"keep one, or set them a little apart for a step."
        )
    return shots[np.sort(first)]


def _delaunay(places: Sequence[_GridPlace]) -> NDArray[np.intp]:
    """Return the Delaunay triangles of distinct places, shape (m, 3); none where all places lie in one line.

    Exact in whole numbers: rows of shots, the usual case, upset a triangulation in rounded arithmetic. A side is
    exchanged while a place lies within the circle through a triangle beside it (Lawson 1977).
    """
    opposites = _any_triangles(places)
    doubtful = list(opposites)
    while doubtful:
        begin, end = doubtful.pop()
        left, right = opposites.get((begin, end)), opposites.get((end, begin))
        if left is None or right is None or not _in_circle(places[begin], places[end], places[left], places[right]):
            continue
        del opposites[begin, end], opposites[end, begin]
        _add_triangle(opposites, begin, right, left)
        _add_triangle(opposites, right, end, left)
        doubtful += ((begin, right), (right, end), (end, left), (left, begin))
    triangles = [(begin, end, third) for (begin, end), third in opposites.items() if begin < min(end, third)]
    return np.array(triangles, dtype=np.intp).reshape(-1, 3)


def _any_triangles(places: Sequence[_GridPlace]) -> _Opposites:
    """Join the places from left to right, each to those sides of the hull so far that face it."""
    order = sorted(range(len(places)), key=places.__getitem__)
    first, second = (places[place] for place in order[:2])
    off_line = next((count for count, new in enumerate(order) if _turn(first, second, places[new])), None)
    opposites: _Opposites = {}
    if off_line is None:
        return opposites
    line, apex = order[:off_line], order[off_line]
    if _turn(first, second, places[apex]) < 0:
        line.reverse()
    for begin, end in pairwise(line):
        _add_triangle(opposites, begin, end, apex)
    hull = dict(pairwise([*line, apex, line[0]]))  # from each corner to the next, counter-clockwise
    for new in order[off_line + 1 :]:
        facing = {begin: end for begin, end in hull.items() if _turn(places[begin], places[end], places[new]) < 0}
        for begin, end in facing.items():
            _add_triangle(opposites, end, begin, new)
            del hull[begin]
        (begin,), (end,) = facing.keys() - facing.values(), set(facing.values()) - facing.keys()
        hull[begin], hull[new] = new, end
    return opposites


def _add_triangle(opposites: _Opposites, first: int, second: int, third: int) -> None:
    opposites[first, second], opposites[second, third], opposites[third, first] = third, first, second


def _turn(first: _GridPlace, second: _GridPlace, third: _GridPlace) -> int:
    """Return a number above 0 where the way over three places turns left, below 0 where it turns right."""
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])


def _in_circle(first: _GridPlace, second: _GridPlace, third: _GridPlace, place: _GridPlace) -> bool:
    """Tell whether a place lies within the circle through three places in counter-clockwise order."""
    total = 0
    for corner, after, before in ((first, second, third), (second, third, first), (third, first, second)):
        total += ((corner[0] - place[0]) ** 2 + (corner[1] - place[1]) ** 2) * _turn(place, after, before)
    return total > 0


def _thickness(corners: Array) -> Array:
    sides = np.roll(corners, -1, axis=1) - corners
    longest = np.hypot(sides[..., 0], sides[..., 1]).max(-1)
    thickness: Array = np.abs(_cross(sides[:, 0], sides[:, 1])) / longest
    return thickness


def _cross(first: Array, second: Array) -> Array:
    product: Array = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    return product


def _read_only(array: NDArray[_Number]) -> NDArray[_Number]:
    array.setflags(write=False)
    return array
