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


def _ground_range(outlines: list[Array], ground: GroundResult) -> tuple[Array, Array]:
    """Return the least and greatest ground height under each outline; 0 where no ground is known."""
    if ground.surface is None or not outlines:
        return np.zeros(len(outlines)), np.zeros(len(outlines))
    heights = heights_at(ground.surface, np.vstack([rows[:, :2] for rows in outlines]))
    starts = np.cumsum([0, *(len(rows) for rows in outlines[:-1])])
    lows = np.minimum.reduceat(np.where(np.isnan(heights), -inf, heights), starts)
    highs = np.maximum.reduceat(np.where(np.isnan(heights), inf, heights), starts)
    return lows, highs  # beyond the shots the height is anything: the thing is taken to be in the way


def _collect(
    edges: tuple[Edge, ...],
    obstacles: tuple[Obstacle, ...],
    posts: tuple[Post, ...],
    drives: tuple[Drive, ...],
    pads: tuple[Pad, ...],
    ground: GroundResult,
) -> FixedThings:
    solids: list[Solid] = [
        solid for solid in (*edges, *obstacles, *posts, *drives, *pads) if is_solid(solid) and len(_segments(solid))
    ]
    outlines = [_segments(solid) for solid in solids]
    ground_lows, ground_highs = _ground_range(outlines, ground)
    heights = [_heights(solid) for solid in solids]
    lows = ground_lows + np.array([bottom for bottom, _ in heights])
    highs = ground_highs + np.array([inf if top is None else top for _, top in heights])
    discs = [(number, disc) for number, solid in enumerate(solids) if (disc := _disc(solid)) is not None]
    straight = [number for number, solid in enumerate(solids) if _disc(solid) is None]
    segments = np.vstack([np.empty((0, 4)), *(outlines[number] for number in straight)])
    things = tuple(
        Thing(solid.id, _name(solid), low, high, footprint(solid))
        for solid, low, high in zip(solids, lows.tolist(), highs.tolist(), strict=True)
    )
    return FixedThings(
        things=things,
        segments=_frozen(segments),
        of_segment=_frozen_index(np.repeat(straight, [len(outlines[number]) for number in straight])),
        discs=_frozen(np.array([disc for _, disc in discs]).reshape(-1, 3)),
        of_disc=_frozen_index(np.array([number for number, _ in discs])),
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
