"""Everything on the site that a moving leaf can meet, as arrays with an index of places."""

from functools import lru_cache
from math import inf
from operator import attrgetter
from typing import NamedTuple, assert_never

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.geometry.points import Array, Point, turned
from siteplan.model.drives import Drive, Pad
from siteplan.model.gate import Post
from siteplan.model.site import SOLID_EDGES, Block, Edge, Obstacle, Round

Solid = Edge | Block | Round | Post | Drive | Pad
GRID_MM = 1e-6  # a union without a grid may lose area
FOLDED = 1e-9  # the normals of two runs add up to less where the second lies back on the first
MITRE_LIMIT = 5.0  # a mitre outside a bend is no longer than this many thicknesses
ROUND_STEPS = 16  # chords a quarter, for heights and drawing only; contact uses the true circle


class Thing(NamedTuple):
    """One fixed thing."""

    id: str
    what: str  # its name in a sentence: wall, cabinet, post
    low_mm: float  # height of its underside and its top, from the datum; infinite where nobody has said
    high_mm: float
    bottom_mm: float  # its underside above the ground beside it
    footprint: BaseGeometry


class FixedThings(NamedTuple):
    """All fixed things of a site; the arrays are read-only."""

    things: tuple[Thing, ...]
    segments: Array  # (n, 4) outlines: x1 y1 x2 y2
    of_segment: NDArray[np.int64]  # (n,) which thing
    discs: Array  # (k, 3) round things: x, y, radius
    of_disc: NDArray[np.int64]  # (k,)
    lows: Array  # (things,)
    highs: Array
    index: shapely.STRtree  # over the segments
    areas: shapely.STRtree  # over the footprints


@lru_cache(maxsize=65536)
def footprint(solid: Solid) -> BaseGeometry:
    """Return the area or line a solid thing covers in the plan, in mm."""
    match solid:
        case Edge():
            return _band(solid)
        case Block():
            return shapely.make_valid(shapely.Polygon(solid.outline))
        case Round():
            return shapely.Point(solid.at).buffer(solid.radius_mm, quad_segs=ROUND_STEPS)
        case Post() if solid.shape == "round":
            return shapely.Point(solid.at).buffer(solid.size_mm / 2, quad_segs=ROUND_STEPS)
        case Post():
            return shapely.Polygon(
                turned_corners(solid.at, solid.size_mm, solid.depth_mm or solid.size_mm, solid.turn_rad)
            )
        case Pad():
            return shapely.Polygon(turned_corners(solid.at, solid.width_mm, solid.depth_mm, solid.turn_rad))
        case Drive():
            return shapely.Polygon(turned_corners(solid.shaft, solid.width_mm, solid.depth_mm, solid.turn_rad))
        case _:
            assert_never(solid)


def turned_corners(middle: Point, width_mm: float, depth_mm: float, turn_rad: float) -> tuple[Point, ...]:
    """Return the corners of a turned rectangle, counter-clockwise."""
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    arms = (turned((across * width_mm / 2, along * depth_mm / 2), turn_rad) for across, along in signs)
    return tuple((middle[0] + x, middle[1] + y) for x, y in arms)


def _band(edge: Edge) -> BaseGeometry:
    encloses = edge.closed and len(set(edge.line)) > 2
    line = shapely.LinearRing(edge.line) if encloses else shapely.LineString(edge.line)
    if not edge.thickness_mm or not line.length:
        return line
    if edge.thickness_lies == "both":
        return line.buffer(edge.thickness_mm / 2, cap_style="flat", join_style="mitre")
    return _one_sided(line, edge.thickness_mm if edge.thickness_lies == "left" else -edge.thickness_mm)


def _one_sided(line: BaseGeometry, to_left_mm: float) -> BaseGeometry:
    """Return the band between a line and its parallel, run by run, mitred at the bends.

    A buffer on one side of a whole line loses a face where the line is closed or folds back.
    """
    places = shapely.get_coordinates(shapely.remove_repeated_points(line))
    runs = np.diff(places, axis=0)
    lengths = np.hypot(runs[:, 0], runs[:, 1])
    normals = np.stack((-runs[:, 1], runs[:, 0]), -1) / lengths[:, None]
    count, steps = len(runs), np.arange(len(places))
    if line.geom_type == "LinearRing":
        before, after = (steps - 1) % count, steps % count
    else:
        before, after = (steps - 1).clip(0), steps.clip(max=count - 1)
    sums = normals[before] + normals[after]
    size = np.maximum(np.hypot(sums[:, 0], sums[:, 1]), FOLDED)
    (x_before, y_before), (x_after, y_after) = normals[before].T, normals[after].T
    turns = np.sign(to_left_mm) * (x_before * y_after - y_before * x_after)
    width = abs(to_left_mm)
    longest = np.where(turns > 0, np.minimum(lengths[before], lengths[after]), 0.0)  # inside a bend: as far as the run
    mitres = np.minimum(2 * width / size, np.maximum(longest, MITRE_LIMIT * width))
    moved = places + np.sign(to_left_mm) * (mitres / size)[:, None] * sums
    corners = np.stack((places[:-1], places[1:], moved[1:], moved[:-1]), axis=1)
    return shapely.union_all(shapely.make_valid(shapely.polygons(corners)), grid_size=GRID_MM)


@lru_cache(maxsize=65536)
def _segments(solid: Solid) -> Array:
    """Return the outline of a solid thing, shape (n, 4)."""
    rows = [np.empty((0, 4))]
    for part in shapely.get_parts(footprint(solid)):
        for line in (part.exterior, *part.interiors) if part.geom_type == "Polygon" else (part,):
            places = shapely.get_coordinates(line)
            rows.append(np.hstack((places[:-1], places[1:])))
    outline = np.vstack(rows)
    outline.flags.writeable = False
    return outline


def _disc(solid: Solid) -> tuple[float, float, float] | None:
    match solid:
        case Round():
            return (*solid.at, solid.radius_mm)
        case Post() if solid.shape == "round":
            return (*solid.at, solid.size_mm / 2)
        case _:
            return None


def name_of(solid: Solid) -> str:
    """Return what a solid thing is called in a sentence."""
    match solid:
        case Edge():
            return f"{solid.kind} {solid.id}"
        case Block() | Round():
            return f"{solid.what} {solid.id}"
        case _:
            return f"{type(solid).__name__.lower()} {solid.id}"


def _heights(solid: Solid) -> tuple[float, float | None]:
    """Return underside and top above the ground beside the thing; None: not known."""
    match solid:
        case Edge() | Block() | Round():
            return solid.bottom_mm, solid.top_mm
        case Post() | Drive():
            return 0.0, solid.height_mm
        case Pad():
            return 0.0, solid.top_mm


def is_solid(solid: Solid) -> bool:
    """Whether a record stands in the way: lines on the ground, flush pads and drives without a housing do not."""
    match solid:
        case Edge():
            return solid.kind in SOLID_EDGES
        case Drive():
            return solid.width_mm > 0 and solid.depth_mm > 0
        case Pad():
            return solid.top_mm > 0
        case _:
            return True


def _height_ranges(solids: list[Solid], ground: GroundResult) -> tuple[Array, Array]:
    """Return the heights of underside and top of each solid from the datum; infinite where nobody has said."""
    given = np.array([(bottom, inf if top is None else top) for bottom, top in map(_heights, solids)]).reshape(-1, 2)
    lows, highs = given.min(axis=1), given.max(axis=1)  # whichever of the two was written first
    levels = ground.levels_under(np.array([footprint(solid) for solid in solids], dtype=object))
    # beyond the shots the height is anything: the thing is taken to be in the way
    return np.where(levels.known, lows + levels.low_mm, -inf), np.where(levels.known, highs + levels.high_mm, inf)


def _standing(*collections: tuple[Solid, ...]) -> list[Solid]:
    """Return the records that stand in the way."""
    return [solid for records in collections for solid in records if is_solid(solid) and len(_segments(solid))]


def _collect(
    edges: tuple[Edge, ...],
    obstacles: tuple[Obstacle, ...],
    posts: tuple[Post, ...],
    drives: tuple[Drive, ...],
    pads: tuple[Pad, ...],
    ground: GroundResult,
) -> FixedThings:
    solids = _standing(edges, obstacles, posts, drives, pads)
    lows, highs = _height_ranges(solids, ground)
    rounds = {number: disc for number, solid in enumerate(solids) if (disc := _disc(solid)) is not None}
    straight = [number for number in range(len(solids)) if number not in rounds]
    outlines = [_segments(solids[number]) for number in straight]
    segments = np.vstack([np.empty((0, 4)), *outlines])
    things = tuple(
        Thing(solid.id, name_of(solid), low, high, _heights(solid)[0], footprint(solid))
        for solid, low, high in zip(solids, lows.tolist(), highs.tolist(), strict=True)
    )
    return FixedThings(
        things=things,
        segments=_frozen(segments),
        of_segment=_frozen_index(np.repeat(straight, list(map(len, outlines)))),
        discs=_frozen(np.array(list(rounds.values())).reshape(-1, 3)),
        of_disc=_frozen_index(np.array(list(rounds))),
        lows=_frozen(lows),
        highs=_frozen(highs),
        index=shapely.STRtree(shapely.linestrings(segments.reshape(-1, 2, 2))),
        areas=shapely.STRtree([thing.footprint for thing in things]),
    )


def _frozen(array: Array) -> Array:
    array.flags.writeable = False
    return array


def _frozen_index(array: NDArray[np.generic]) -> NDArray[np.int64]:
    index = array.astype(np.int64)
    index.flags.writeable = False
    return index


fixed_things = Derived(
    _collect,
    attrgetter("edges"),
    attrgetter("obstacles"),
    attrgetter("posts"),
    attrgetter("drives"),
    attrgetter("pads"),
    ground_surface,
)
