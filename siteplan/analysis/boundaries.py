"""Swing over property lines, rights-of-way and areas to keep clear; distance of controls; what hangs overhead."""

from functools import lru_cache
from math import inf
from operator import attrgetter
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import footprint, is_solid, name_of
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.analysis.openings import Opening, openings
from siteplan.geometry.contact import first_contact
from siteplan.geometry.lines import beyond_line
from siteplan.geometry.points import Array, Point
from siteplan.model.gate import Control
from siteplan.model.site import BOUNDARIES, Edge, KeepClear, Obstacle

LEAST_AREA_MM2 = 100.0  # 1e-4 m2: smaller overlaps are noise of the outlines
ON_LINE_MM = 1.0  # a hinge axis nearer to a line than this stands on it


Overhead = Obstacle | Edge


class Crossing(NamedTuple):
    """A leaf that swings over a line or into an area."""

    leaf: str
    over: str  # id of the line or area
    what: str
    beyond_mm: float  # how far it reaches beyond a line; 0 for an area
    at_angle_rad: float  # leaf angle of the farthest reach
    first_angle_rad: float  # leaf angle of the first touch
    farthest: Point


class Reach(NamedTuple):
    """A control and the leaf sweep nearest to it."""

    control: Control
    leaf: str
    distance_mm: float
    on_sweep: Point


class Headroom(NamedTuple):
    """A thing that hangs over the way through a gate."""

    gate: str
    obstacle: str
    what: str
    clear_mm: float  # underside over the ground below it
    at: Point
    covered: bool  # False: the shots do not reach under the whole of it, and what they miss is left out


@lru_cache(maxsize=4096)
def _line_segments(line: tuple[Point, ...], closed: bool) -> Array:
    places = np.array([*line, line[0]] if closed else line)
    segments = np.hstack((places[:-1], places[1:]))
    segments.flags.writeable = False
    return segments


def _boundaries(edges: tuple[Edge, ...]) -> tuple[Edge, ...]:
    return tuple(edge for edge in edges if edge.kind in BOUNDARIES)


def _overhead(obstacles: tuple[Obstacle, ...], edges: tuple[Edge, ...]) -> tuple[Overhead, ...]:
    return tuple(thing for thing in (*obstacles, *edges) if thing.bottom_mm > 0 and is_solid(thing))


def _crossings(
    places: dict[str, LeafPlace],
    swept: dict[str, BaseGeometry],
    lines: tuple[Edge, ...],
    areas: tuple[KeepClear, ...],
) -> tuple[Crossing, ...]:
    found = [_over_line(place, swept[id], line) for id, place in places.items() for line in lines]
    found += [_into_area(place, swept[id], area) for id, place in places.items() for area in areas]
    return tuple(crossing for crossing in found if crossing is not None)


def _over_line(place: LeafPlace, swept: BaseGeometry, edge: Edge) -> Crossing | None:
    """Return how a leaf crosses a line, counted from the side its hinge axis stands on.

    A hinge axis on the line itself has no side: then inside is ours, and the line is taken a hair farther out.
    """
    line = _line_segments(edge.line, edge.closed)
    outline = shapely.multilinestrings(line.reshape(-1, 2, 2))
    if outline.distance(swept) > 2 * ON_LINE_MM:
        return None
    if outline.distance(shapely.Point(place.frame.origin)) < ON_LINE_MM:
        line = line - np.array((0.0, ON_LINE_MM, 0.0, ON_LINE_MM))
    segments = place.frame.segments_to_local(line)
    reaches = [beyond_line(box, segments, 0.0, place.travel_rad) for box in place.boxes]
    first_rad = min(float(np.min(first)) for _, _, first in reaches)
    beyond = np.stack([reach for reach, _, _ in reaches])
    if first_rad == inf or not beyond.any():  # a leaf that only grazes the line stays behind it
        return None
    which, row = divmod(int(np.argmax(beyond)), len(segments))
    angle = float(reaches[which][1][row])
    farthest = _farthest_corner(place, place.boxes[which].turned_corners(angle), segments[row])
    return Crossing(
        place.leaf.id, edge.id, f"{edge.kind} {edge.id}", float(beyond[which, row]), angle, first_rad, farthest
    )


def _farthest_corner(place: LeafPlace, corners: Array, segment: Array) -> Point:
    along = (segment[2:] - segment[:2]) / max(float(np.hypot(*(segment[2:] - segment[:2]))), 1e-12)
    normal = np.array((-along[1], along[0]))
    side = -1.0 if float(-segment[:2] @ normal) > 0 else 1.0  # away from the hinge axis, which is the origin
    corner = corners[int(np.argmax(side * ((corners - segment[:2]) @ normal)))]
    return place.frame.point_to_world((float(corner[0]), float(corner[1])))


def _into_area(place: LeafPlace, swept: BaseGeometry, area: KeepClear) -> Crossing | None:
    outline = shapely.make_valid(shapely.Polygon(area.outline))
    shared = shapely.intersection(swept, outline)
    if shared.area <= LEAST_AREA_MM2:
        return None
    segments = place.frame.segments_to_local(_line_segments(area.outline, closed=True))
    first = min(float(np.min(first_contact(box, segments, 0.0, place.travel_rad))) for box in place.boxes)
    at = shared.representative_point()
    if first == inf or shapely.intersection(place.outline(0.0), outline).area > LEAST_AREA_MM2:
        first = 0.0  # the closed leaf stands in it
    return Crossing(place.leaf.id, area.id, f"{area.why} {area.id}", 0.0, first, first, (at.x, at.y))


def _reaches(controls: tuple[Control, ...], swept: dict[str, BaseGeometry]) -> tuple[Reach, ...]:
    """Return each control with the nearest place any leaf sweeps."""
    found = []
    for control in controls:
        point = shapely.Point(control.at)
        if not swept:
            continue
        leaf = min(swept, key=lambda id: (swept[id].distance(point), id))
        on_sweep, _ = shapely.shortest_line(swept[leaf], point).coords
        found.append(Reach(control, leaf, swept[leaf].distance(point), on_sweep))
    return tuple(found)


def _headrooms(
    found: dict[str, Opening], places: dict[str, LeafPlace], overhead: tuple[Overhead, ...], ground: GroundResult
) -> tuple[Headroom, ...]:
    return tuple(
        headroom
        for opening in found.values()
        for thing in overhead
        if (headroom := _headroom(opening, places, thing, ground)) is not None
    )


def way_through(opening: Opening, places: dict[str, LeafPlace]) -> BaseGeometry:
    """Return the way of a vehicle through a gate: as wide as the opening, a leaf length to both sides."""
    (left, bottom), (right, top) = opening.between
    depth = max(places[leaf].reach_mm for leaf in opening.gate.leaves)
    return shapely.box(left, min(bottom, top) - depth, right, max(bottom, top) + depth)


def _headroom(opening: Opening, places: dict[str, LeafPlace], thing: Overhead, ground: GroundResult) -> Headroom | None:
    whole = footprint(thing)
    shared = shapely.intersection(way_through(opening, places), whole)
    if shared.length <= ON_LINE_MM or (whole.area and shared.area <= LEAST_AREA_MM2):
        return None
    at = shared.representative_point()
    levels = ground.levels_under(np.array([whole, shared], dtype=object))
    # the worst of both: lowest underside, highest ground
    clear = levels.low_mm[0] + thing.bottom_mm - levels.high_mm[1]
    return Headroom(opening.gate.id, thing.id, name_of(thing), float(clear), (at.x, at.y), bool(levels.known.all()))


boundaries = Derived(_boundaries, attrgetter("edges"))
overhead_things = Derived(_overhead, attrgetter("obstacles"), attrgetter("edges"))
crossings = Derived(_crossings, leaf_places, swept_areas, boundaries, attrgetter("keep_clear"))
control_reaches = Derived(_reaches, attrgetter("controls"), swept_areas)
headrooms = Derived(_headrooms, openings, leaf_places, overhead_things, ground_surface)
