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
from siteplan.geometry.terrain import heights_at
from siteplan.model.gate import Drive, Pad, Post
from siteplan.model.site import SOLID_EDGES, Block, Edge, Obstacle, Round

Solid = Edge | Block | Round | Post | Drive | Pad
ROUND_STEPS = 16  # chords a quarter, for heights and drawing only; contact uses the true circle


class Thing(NamedTuple):
    """One fixed thing."""

    id: str
    what: str  # its name in a sentence: wall, cabinet, post
    low_mm: float  # height of its underside and its top, from the datum; infinite where nobody has said
    high_mm: float
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
    line = shapely.LinearRing(edge.line) if edge.closed and len(edge.line) > 2 else shapely.LineString(edge.line)
    if not edge.thickness_mm or not line.length:
        return line
    if edge.thickness_lies == "both":
        return line.buffer(edge.thickness_mm / 2, cap_style="flat", join_style="mitre")
    side = edge.thickness_mm if edge.thickness_lies == "left" else -edge.thickness_mm
    return line.buffer(side, single_sided=True, cap_style="flat", join_style="mitre")


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


def _name(solid: Solid) -> str:
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
    above = [_heights(solid) for solid in solids]
    lows = np.array([bottom for bottom, _ in above])
    highs = np.array([inf if top is None else top for _, top in above])
    if ground.surface is None or not solids:
        return lows, highs
    places = [_segments(solid).reshape(-1, 2) for solid in solids]
    level = heights_at(ground.surface, np.vstack(places))
    starts = np.cumsum([0, *(len(rows) for rows in places[:-1])])
    # beyond the shots the height is anything: the thing is taken to be in the way
    lows += np.minimum.reduceat(np.where(np.isnan(level), -inf, level), starts)
    highs += np.maximum.reduceat(np.where(np.isnan(level), inf, level), starts)
    return lows, highs


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
        Thing(solid.id, _name(solid), low, high, footprint(solid))
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
