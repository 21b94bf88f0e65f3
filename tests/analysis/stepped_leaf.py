"""A leaf in plain shapes, stepped through its travel: slow answers by other means to compare results with.

Nothing here uses the analysis or the closed forms: rectangles are turned point by point, distances are those of
shapely, and what lies between two steps is bounded by the greatest speed of any place of the leaf.
"""

from collections.abc import Callable
from math import cos, hypot, inf, sin
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from siteplan.model.document import Document
from siteplan.model.drives import Drive, Pad
from siteplan.model.gate import Leaf, Post
from siteplan.model.placing import closed_direction_rad, hinge_of, turn_side
from siteplan.model.site import Block, Edge, PlaneGround, Round, ShotGround

Array = NDArray[np.float64]
Distance = Callable[[Array], Array]

STEPS = 361
MOST_PIECES = 60_000
SMALLEST_RAD = 1e-8
HIGH_MM = 1828.8  # 6 ft


class Solid(NamedTuple):
    """A fixed thing: a shape, or the middle of a round thing and its radius; heights from the datum."""

    id: str
    shape: BaseGeometry
    radius_mm: float
    low_mm: float
    high_mm: float
    bottom_mm: float  # above the ground beside it


class SteppedLeaf:
    """One leaf of a document, as rectangles that can be stood at any angle."""

    def __init__(self, document: Document, leaf: Leaf, from_along_mm: float = -inf) -> None:
        self.leaf = leaf
        self.hinge = hinge_of(document, leaf)
        self.travel = leaf.open_angle_rad
        half = leaf.thickness_mm / 2
        body = (leaf.near_edge_mm, leaf.plane_offset_mm - half, leaf.length_mm, leaf.plane_offset_mm + half)
        plates = [(each.from_mm, each.off_from_mm, each.to_mm, each.off_to_mm) for each in leaf.plates]
        cut = [(max(x0, from_along_mm), y0, x1, y1) for x0, y0, x1, y1 in (body, *plates) if x1 > from_along_mm]
        self.corners = np.array([((x0, y0), (x1, y0), (x1, y1), (x0, y1)) for x0, y0, x1, y1 in cut])
        self.reach = float(np.hypot(self.corners[..., 0], self.corners[..., 1]).max())
        self.ends = [x for x0, _, x1, _ in (body, *plates) for x in (x0, x1)]

    def corners_at(self, angles: Array) -> Array:
        """Return the corners in the plan, shape (angles, rectangles, 4, 2)."""
        side = turn_side(self.leaf)
        turned = (closed_direction_rad(self.leaf) + side * angles)[:, None, None]
        along, off = self.corners[..., 0], side * self.corners[..., 1]
        x = self.hinge[0] + np.cos(turned) * along - np.sin(turned) * off
        y = self.hinge[1] + np.sin(turned) * along + np.cos(turned) * off
        return np.stack((x, y), -1)

    def distance_to(self, solid: Solid) -> Distance:
        """Return the distance to a thing as a function of angles."""
        shapely.prepare(solid.shape)

        def distance(angles: Array) -> Array:
            gaps: Array = shapely.distance(shapely.polygons(self.corners_at(angles)), solid.shape).min(axis=1)
            return np.maximum(gaps - solid.radius_mm, 0.0)

        return distance

    def least(self, distance: Distance, tolerance_mm: float = 0.02) -> tuple[float, float]:
        """Return the least distance found over the travel, and how much less it could be between the steps."""
        angles = np.linspace(0.0, self.travel, STEPS)
        starts, ends = angles[:-1], angles[1:]
        at_starts, at_ends = (values := distance(angles))[:-1], values[1:]
        best = float(values.min())
        while True:
            bounds = (at_starts + at_ends - self.reach * (ends - starts)) / 2
            open_still = bounds < best - tolerance_mm
            if best == 0 or not open_still.any() or open_still.sum() > MOST_PIECES:
                return best, max(0.0, best - float(bounds.min())) if best else 0.0
            starts, ends = starts[open_still], ends[open_still]
            middles = (starts + ends) / 2
            at_middles = distance(middles)
            best = min(best, float(at_middles.min()))
            at_starts = np.concatenate((at_starts[open_still], at_middles))
            at_ends = np.concatenate((at_middles, at_ends[open_still]))
            starts, ends = np.concatenate((starts, middles)), np.concatenate((middles, ends))

    def first_contact(self, distance: Distance) -> float:
        """Return the first angle of contact by stepping, finer where contact may hide between steps, and bisection."""
        return self._first(distance, 0.0, self.travel, STEPS)

    def _first(self, distance: Distance, start: float, end: float, steps: int) -> float:
        angles = np.linspace(start, end, steps)
        gaps = distance(angles)
        for number in range(steps - 1):
            if gaps[number] == 0:
                return float(angles[number])
            width = angles[number + 1] - angles[number]
            if gaps[number] + gaps[number + 1] > self.reach * width:
                continue
            if gaps[number + 1] == 0 and width < SMALLEST_RAD:
                return float(angles[number + 1])
            if width > SMALLEST_RAD:
                found = self._first(distance, float(angles[number]), float(angles[number + 1]), 9)
                if found < inf:
                    return found
        return float(angles[-1]) if gaps[-1] == 0 else inf


def ground_height(document: Document, x: float, y: float) -> float:
    """Return the height of the ground; shots stand in rows across, all of a row at one height."""
    match document.ground:
        case PlaneGround(height_mm=height, x_grade=x_grade, y_grade=y_grade):
            return height + x_grade * x + y_grade * y
        case ShotGround(shots=shots):
            rows = sorted({(shot.at[1], shot.height_mm) for shot in shots})
            return float(np.interp(y, [row[0] for row in rows], [row[1] for row in rows]))
    return 0.0


def rows_of(document: Document) -> list[float]:
    """Return the places of the rows of shots."""
    shots = document.ground.shots if isinstance(document.ground, ShotGround) else ()
    return sorted({shot.at[1] for shot in shots})


def solids_of(document: Document) -> list[Solid]:
    """Return everything that stands in the way."""
    edges = [edge for edge in document.edges if edge.kind in ("wall", "fence", "kerb")]
    pads = [pad for pad in document.pads if pad.top_mm > 0]
    drives = [drive for drive in document.drives if drive.width_mm and drive.depth_mm]
    return [_solid(document, record) for record in (*edges, *document.obstacles, *document.posts, *pads, *drives)]


def _solid(document: Document, record: Edge | Block | Round | Post | Pad | Drive) -> Solid:
    bottom, top = 0.0, inf
    shape, radius = _shape(record), 0.0
    match record:
        case Edge() | Block() | Round():
            bottom, top = record.bottom_mm, inf if record.top_mm is None else record.top_mm
        case Post() | Drive():
            top = inf if record.height_mm is None else record.height_mm
        case Pad():
            top = record.top_mm
    if isinstance(record, Round):
        radius = record.radius_mm
    if isinstance(record, Post) and record.shape == "round":
        radius = record.size_mm / 2
    levels = [ground_height(document, x, y) for x, y in _spots(document, shape, radius)]
    return Solid(record.id, shape, radius, min(levels) + bottom, max(levels) + top, bottom)


def _spots(document: Document, shape: BaseGeometry, radius: float) -> list[tuple[float, float]]:
    """Return the places of a thing where the ground under it can be highest or lowest."""
    if radius:
        turns = np.linspace(0, 2 * np.pi, 721)
        return [(shape.x + radius * cos(turn), shape.y + radius * sin(turn)) for turn in turns]
    cuts = [shape.intersection(shapely.LineString([(-1e6, row), (1e6, row)])) for row in rows_of(document)]
    return [(float(x), float(y)) for part in (shape, *cuts) for x, y in shapely.get_coordinates(part)]


def _shape(record: Edge | Block | Round | Post | Pad | Drive) -> BaseGeometry:
    match record:
        case Edge():
            return _band(record)
        case Block():
            return shapely.Polygon(record.outline)
        case Round():
            return shapely.Point(record.at)
        case Post() if record.shape == "round":
            return shapely.Point(record.at)
        case Post():
            return _turned(record.at, record.size_mm, record.depth_mm or record.size_mm, record.turn_rad)
        case Pad():
            return _turned(record.at, record.width_mm, record.depth_mm, record.turn_rad)
        case Drive():
            return _turned(record.shaft, record.width_mm, record.depth_mm, record.turn_rad)


def _turned(at: tuple[float, float], width: float, depth: float, turn: float) -> BaseGeometry:
    lying = shapely.box(at[0] - width / 2, at[1] - depth / 2, at[0] + width / 2, at[1] + depth / 2)
    return affinity.rotate(lying, turn, origin=at, use_radians=True)


def _band(edge: Edge) -> BaseGeometry:
    """Return the area of a wall, its sides moved out from the line and mitred at the bends."""
    if not edge.thickness_mm:
        return shapely.LinearRing(edge.line) if edge.closed else shapely.LineString(edge.line)
    left, right = {
        "both": (edge.thickness_mm / 2, -edge.thickness_mm / 2),
        "left": (edge.thickness_mm, 0.0),
        "right": (0.0, -edge.thickness_mm),
    }[edge.thickness_lies]
    first, second = _moved(edge, left), _moved(edge, right)
    if not edge.closed:
        return shapely.Polygon([*first, *reversed(second)])
    rings = sorted((shapely.Polygon(first), shapely.Polygon(second)), key=lambda ring: ring.area)
    return shapely.Polygon(rings[1].exterior, [rings[0].exterior])


def _moved(edge: Edge, to_left: float) -> list[tuple[float, float]]:
    line = np.array([edge.line[-1], *edge.line, edge.line[0]] if edge.closed else edge.line)
    runs = np.diff(line, axis=0)
    normals = np.stack((-runs[:, 1], runs[:, 0]), -1) / np.hypot(runs[:, 0], runs[:, 1])[:, None]
    if not edge.closed:
        line, normals = line[:], np.vstack((normals[:1], normals, normals[-1:]))
    places = line[1:-1] if edge.closed else line
    sums = normals[:-1] + normals[1:]
    mitres = 2 * sums / (sums**2).sum(axis=1)[:, None]
    return [(float(x), float(y)) for x, y in places + to_left * mitres]


def leaf_range(document: Document, stepped: SteppedLeaf) -> tuple[float, float]:
    """Return the lowest and the highest place of a leaf from the datum; infinite where nobody has said."""
    leaf = stepped.leaf
    level = ground_height(document, *stepped.hinge)
    rises = [leaf.rake * end for end in stepped.ends]
    low = -inf if leaf.bottom_gap_mm is None else level + leaf.bottom_gap_mm + min(rises)
    top = inf if leaf.height_mm is None else level + (leaf.bottom_gap_mm or 0.0) + leaf.height_mm + max(rises)
    return low, top


def ground_gaps(document: Document, stepped: SteppedLeaf, angles: Array) -> tuple[Array, Array]:
    """Return the least and the greatest gap under the body of a leaf at angles, shape (angles,) each."""
    found = [_ground_gaps(document, stepped, corners[0]) for corners in stepped.corners_at(angles)]
    return np.array([min(gaps) for gaps in found]), np.array([max(gaps) for gaps in found])


def _ground_gaps(document: Document, stepped: SteppedLeaf, corners: Array) -> list[float]:
    leaf = stepped.leaf
    assert leaf.bottom_gap_mm is not None
    bottom = ground_height(document, *stepped.hinge) + leaf.bottom_gap_mm
    along = stepped.corners[0, :, 0]
    spots = [(x, y, u) for (x, y), u in zip(corners.tolist(), along.tolist(), strict=True)]
    for (x0, y0, u0), (x1, y1, u1) in zip(spots[:4], [*spots[1:4], spots[0]], strict=True):
        for row in rows_of(document):
            if min(y0, y1) < row < max(y0, y1):
                share = (row - y0) / (y1 - y0)
                spots.append((x0 + share * (x1 - x0), row, u0 + share * (u1 - u0)))
    return [bottom + leaf.rake * u - ground_height(document, x, y) for x, y, u in spots]


def pocket_gap(document: Document, stepped: SteppedLeaf, solid: Solid, from_along_mm: float) -> float:
    """Return the gap of the open leaf to the part of a thing that lies farther along it than a distance."""
    cut = SteppedLeaf(document, stepped.leaf, from_along_mm)
    if not len(cut.corners):
        return inf
    turned = closed_direction_rad(stepped.leaf) + turn_side(stepped.leaf) * stepped.travel
    beyond = shapely.box(from_along_mm, -1e5, 1e5, 1e5)
    beyond = affinity.translate(affinity.rotate(beyond, turned, origin=(0, 0), use_radians=True), *stepped.hinge)
    part = solid.shape if solid.radius_mm else solid.shape.intersection(beyond)
    if part.is_empty:
        return inf
    leaf = shapely.union_all(shapely.polygons(cut.corners_at(np.array([stepped.travel]))[0]))
    return max(0.0, float(leaf.distance(part)) - solid.radius_mm)


def reach_beyond(stepped: SteppedLeaf, line: Array, angles: Array) -> Array:
    """Return how far a leaf reaches to the far side of an endless line, counted from its hinge axis."""
    (x0, y0), (x1, y1) = line
    normal = np.array((y0 - y1, x1 - x0)) / hypot(x1 - x0, y1 - y0)
    side = np.sign((np.array(stepped.hinge) - line[0]) @ normal)
    beyond: Array = -side * ((stepped.corners_at(angles) - line[0]) @ normal)
    farthest: Array = beyond.max(axis=(1, 2))
    return farthest
