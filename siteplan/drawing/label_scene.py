"""What a note must keep clear of in a view: lines, and areas it may not cover; in paper mm about its centre."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import acos, ceil, cos, pi, sin
from typing import Any, Literal, NamedTuple, assert_never

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.drawing.dimensions import explode
from siteplan.drawing.hatches import even_odd_area
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import (
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Stroke,
    Symbol,
    View,
)
from siteplan.drawing.symbols import symbol_outline
from siteplan.drawing.text_size import WIDTH_SLACK, label_box
from siteplan.geometry.points import Array, Point

Kind = Literal["symbol", "hatch", "text", "solid"]
Shapes = NDArray[Any]  # of shapely geometries

CHORD_ERROR_MM = 0.05  # of arcs cut into chords, on paper
HEAVY_PENS = frozenset(
    {Pen.LEAF_CLOSED, Pen.LEAF_OPEN, Pen.POST, Pen.PAD, Pen.WALL_EXISTING, Pen.WALL_NEW, Pen.PROPERTY_LINE}
    | {Pen.RIGHT_OF_WAY, Pen.DIMENSION}
)
SOLID_PENS = frozenset({Pen.POST, Pen.PAD, Pen.DRIVE, Pen.CONTROL, Pen.WALL_EXISTING, Pen.WALL_NEW, Pen.OBSTACLE})


class Scene(NamedTuple):
    """A view as its notes see it; paper mm about the centre of the view, y up."""

    centre: Point  # model place of the centre of the view
    ratio: float  # model length / paper length
    view: BaseGeometry  # the rectangle of the view
    segments: Array  # (n, 4): x1 y1 x2 y2
    line_of: NDArray[np.intp]  # (n,): the line a segment belongs to
    is_heavy: NDArray[np.bool_]  # (lines,)
    line_sources: NDArray[np.str_]  # (lines,)
    shapes: Shapes  # (m,) areas no text may cover
    kinds: NDArray[np.str_]  # (m,) of Kind
    shape_sources: NDArray[np.str_]  # (m,)

    def to_paper(self, places: Sequence[Point]) -> Array:
        """Return model places, shape (n, 2), in paper mm about the centre."""
        return (np.asarray(places, dtype=np.float64) - self.centre) / self.ratio

    def to_model(self, x: float, y: float) -> Point:
        """Return the model place of a place on paper."""
        return (self.centre[0] + self.ratio * float(x), self.centre[1] + self.ratio * float(y))


def scene_of(view: View) -> Scene:
    """Return the lines and areas that the things and notes of a view put in the way of further notes."""
    width, height = view.frame[2:]
    frame = shapely.box(-width / 2, -height / 2, width / 2, height / 2)
    collected = _Collected(view.centre, view.ratio)
    for part in (*view.model, *view.notes):
        collected.add(part)
    segments, line_of = collected.segments(frame)
    shapes = [(kind, source, area) for kind, source, area in collected.areas() if area.intersects(frame)]
    return Scene(
        centre=view.centre,
        ratio=view.ratio,
        view=frame,
        segments=segments,
        line_of=line_of,
        is_heavy=np.array([pen in HEAVY_PENS for _, pen, _ in collected.lines], dtype=np.bool_),
        line_sources=np.array([source for _, _, source in collected.lines], dtype=np.str_),
        shapes=np.array([area for _, _, area in shapes], dtype=object),
        kinds=np.array([kind for kind, _, _ in shapes], dtype=np.str_),
        shape_sources=np.array([source for _, source, _ in shapes], dtype=np.str_),
    )


class _Collected:
    """Lines and areas as they are found, in paper mm."""

    def __init__(self, centre: Point, ratio: float) -> None:
        self._centre, self._ratio = centre, ratio
        self.lines: list[tuple[Array, Pen, str]] = []
        self._areas: dict[tuple[Kind, str], list[BaseGeometry]] = defaultdict(list)

    def add(self, part: Primitive) -> None:
        """Take in one primitive."""
        match part:
            case Stroke(closed=False):
                self._line(part.points, part)
            case Stroke():
                self._outline((*part.points, part.points[0]), part)
            case Arc():
                self._line(self._arc_points(part.centre, part.radius, part.start_rad, part.sweep_rad), part)
            case Circle():
                self._outline(self._arc_points(part.centre, part.radius, 0.0, 2 * pi), part)
            case Fill():
                self._solid(part.rings, part.source, part.tone == "solid" or part.pen in SOLID_PENS)
            case HatchArea():
                self._area("hatch", part.rings, part.source)
            case Label():
                self._area("text", (label_box(part, self._ratio, WIDTH_SLACK),), part.source)
            case Dimension():
                self._dimension(part)
            case Symbol():
                x, y = part.at
                ring = tuple((x + self._ratio * dx, y + self._ratio * dy) for dx, dy in symbol_outline(part))
                self._area("symbol", (ring,), part.source)
            case _:
                assert_never(part)

    def segments(self, frame: BaseGeometry) -> tuple[Array, NDArray[np.intp]]:
        """Return the pieces of all lines whose boxes meet the frame, shape (n, 4), and the line of each."""
        if not self.lines:
            return np.empty((0, 4)), np.empty(0, dtype=np.intp)
        pieces = [np.hstack((points[:-1], points[1:])) for points, _, _ in self.lines]
        line_of = np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces])
        every = np.concatenate(pieces)
        left, bottom, right, top = frame.bounds
        low, high = np.minimum(every[:, :2], every[:, 2:]), np.maximum(every[:, :2], every[:, 2:])
        meets = (low <= (right, top)).all(axis=1) & (high >= (left, bottom)).all(axis=1)
        return every[meets], line_of[meets]

    def areas(self) -> Iterable[tuple[Kind, str, BaseGeometry]]:
        """Yield the areas; those of one kind and one source are one area, so that none is counted twice."""
        for (kind, source), areas in self._areas.items():
            for area in [shapely.union_all(areas)] if source else areas:
                yield kind, source, area

    def _line(self, points: Sequence[Point], part: Stroke | Arc | Circle) -> None:
        self.lines.append((self._on_paper(points), part.pen, part.source))

    def _outline(self, ring: Sequence[Point], part: Stroke | Circle) -> None:
        self._line(ring, part)
        self._solid((ring,), part.source, part.pen in SOLID_PENS)

    def _solid(self, rings: Iterable[Sequence[Point]], source: str, is_solid: bool) -> None:
        if is_solid:
            self._area("solid", rings, source)

    def _dimension(self, dimension: Dimension) -> None:
        for piece in explode(dimension, self._ratio):
            if not isinstance(piece, Fill):  # an arrow head lies on its line
                self.add(piece)

    def _area(self, kind: Kind, rings: Iterable[Sequence[Point]], source: str) -> None:
        area = even_odd_area(tuple((x, y) for x, y in self._on_paper(ring).tolist()) for ring in rings)
        if not area.is_empty:
            self._areas[kind, source].append(area)

    def _on_paper(self, points: Sequence[Point]) -> Array:
        return (np.asarray(points, dtype=np.float64) - self._centre) / self._ratio

    def _arc_points(self, centre: Point, radius: float, start_rad: float, sweep_rad: float) -> Sequence[Point]:
        """Return the ends of chords that stay within CHORD_ERROR_MM of an arc."""
        widest_step = 2 * acos(max(0.0, 1 - CHORD_ERROR_MM * self._ratio / radius)) if radius > 0 else pi
        count = max(2, ceil(abs(sweep_rad) / widest_step))
        angles = [start_rad + sweep_rad * step / count for step in range(count + 1)]
        return [(centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)) for angle in angles]
