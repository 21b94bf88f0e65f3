"""What lies under a place of the plan: measured on the model, to the true arcs. No Qt."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import atan2, hypot, pi
from typing import Final, NamedTuple

import numpy as np

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Arc, Circle, Fill, HatchArea, Primitive, Ring, Stroke, Symbol
from siteplan.drawing.symbols import SYMBOLS
from siteplan.geometry.points import Array, Point, distance_between

NOT_AREAS: Final = (Pen.SWEEP,)  # the swept area is where one clicks to leave a selection
INSIDE_SHARE: Final = 0.9  # inside an area counts as this share of the reach: a line nearer than that wins


class Hit(NamedTuple):
    """A record under a place."""

    distance_mm: float
    source: str


class Targets(NamedTuple):
    """What can be hit in one layer, each kind with the records it belongs to."""

    segments: Array  # (n, 4): x1 y1 x2 y2
    of_segments: tuple[str, ...]
    arcs: tuple[Arc | Circle, ...]
    areas: tuple[tuple[str, tuple[Ring, ...]], ...]
    symbols: tuple[Symbol, ...]


def targets_of(primitives: Iterable[Primitive]) -> Targets:
    """Return what can be hit among primitives."""
    rows: list[tuple[float, float, float, float]] = []
    owners: list[str] = []
    arcs: list[Arc | Circle] = []
    areas: list[tuple[str, tuple[Ring, ...]]] = []
    symbols: list[Symbol] = []
    for primitive in primitives:
        match primitive:
            case Stroke():
                pieces = _pieces(primitive)
                rows += pieces
                owners += [primitive.source] * len(pieces)
            case Arc() | Circle():
                arcs.append(primitive)
            case Fill() | HatchArea() if primitive.pen not in NOT_AREAS:
                areas.append((primitive.source, primitive.rings))
            case Symbol():
                symbols.append(primitive)
    return Targets(np.array(rows).reshape(-1, 4), tuple(owners), tuple(arcs), tuple(areas), tuple(symbols))


def pick(layers: Iterable[Targets], place: Point, reach_mm: float, ratio: float) -> str:
    """Return the record nearest to a place within reach, or an empty text.

    ``layers`` come from the ground up: of two at one distance the upper wins.  ``ratio`` is what one paper mm is on
    the model.
    """
    best = Hit(reach_mm, "")
    for targets in layers:
        hit = hit_in(targets, place, reach_mm, ratio)
        if hit is not None and hit.distance_mm <= best.distance_mm:
            best = hit
    return best.source


def hit_in(targets: Targets, place: Point, reach_mm: float, ratio: float) -> Hit | None:
    """Return what of one layer lies nearest to a place within reach."""
    hits = (*_line_hits(targets, place), *_symbol_hits(targets, place, ratio), *_area_hits(targets, place, reach_mm))
    return min((hit for hit in hits if hit.distance_mm <= reach_mm and hit.source), default=None)


def _line_hits(targets: Targets, place: Point) -> Iterator[Hit]:
    for arc in targets.arcs:
        yield Hit(_arc_distance(arc, place), arc.source)
    if len(targets.segments):
        distances = segment_distances(targets.segments, place)
        nearest = len(distances) - 1 - int(np.argmin(distances[::-1]))
        yield Hit(float(distances[nearest]), targets.of_segments[nearest])


def _symbol_hits(targets: Targets, place: Point, ratio: float) -> Iterator[Hit]:
    for symbol in targets.symbols:
        yield Hit(_symbol_distance(symbol, place, ratio), symbol.source)


def _area_hits(targets: Targets, place: Point, reach_mm: float) -> Iterator[Hit]:
    for source, rings in targets.areas:
        if is_inside(rings, place):
            yield Hit(INSIDE_SHARE * reach_mm, source)
    for arc in targets.arcs:
        if isinstance(arc, Circle) and distance_between(place, arc.centre) < arc.radius:
            yield Hit(INSIDE_SHARE * reach_mm, arc.source)


def segment_distances(segments: Array, place: Point) -> Array:
    """Return the distances of a place from segments, shape (n,)."""
    start, along = segments[:, :2], segments[:, 2:] - segments[:, :2]
    away = np.array(place) - start
    squared = np.maximum(np.einsum("ij,ij->i", along, along), np.finfo(float).tiny)
    share = np.clip(np.einsum("ij,ij->i", away, along) / squared, 0.0, 1.0)
    distances: Array = np.hypot(*(away - share[:, None] * along).T)
    return distances


def is_inside(rings: Iterable[Ring], place: Point) -> bool:
    """Return whether a place lies inside rings, by the even-odd rule."""
    x, y = place
    inside = False
    for ring in rings:
        for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
                inside = not inside
    return inside


def _pieces(stroke: Stroke) -> list[tuple[float, float, float, float]]:
    ends = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    return [(*first, *second) for first, second in pairwise(ends)]


def _arc_distance(arc: Arc | Circle, place: Point) -> float:
    dx, dy = place[0] - arc.centre[0], place[1] - arc.centre[1]
    if isinstance(arc, Circle) or _covers(arc, atan2(dy, dx)):
        return abs(hypot(dx, dy) - arc.radius)
    ends = (arc.start_rad, arc.start_rad + arc.sweep_rad)
    return min(hypot(dx - arc.radius * np.cos(end), dy - arc.radius * np.sin(end)) for end in ends)


def _covers(arc: Arc, direction_rad: float) -> bool:
    turn = direction_rad - arc.start_rad if arc.sweep_rad >= 0 else arc.start_rad - direction_rad
    return turn % (2 * pi) <= abs(arc.sweep_rad)


def _symbol_distance(symbol: Symbol, place: Point, ratio: float) -> float:
    half = SYMBOLS[symbol.name].half_mm * ratio
    return max(0.0, hypot(place[0] - symbol.at[0], place[1] - symbol.at[1]) - half)
