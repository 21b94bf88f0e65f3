"""Hatches: one table of patterns, drawn line by line by a painter and written as a pattern into a DXF file.

A pattern is a set of families of parallel dashed lines.  Lengths are in paper mm, angles in degrees as pattern files
hold them.  A family starts at ``base`` and is repeated by ``step``; both are vectors of the plan, as are the base
point and the offset of a pattern line in a DXF file (DXF reference, HATCH).
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import reduce
from math import ceil, cos, floor, hypot, radians, sin, sqrt
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.drawing.primitives import Pattern, Ring
from siteplan.geometry.points import Array, Point, turned

MOST_LINES = 20_000  # of one area; beyond, its pattern is drawn coarser
DOT_MM = 0.2  # a dot is drawn as a dash of this length, on paper


class LineFamily(NamedTuple):
    """Parallel lines of one pattern, in paper mm."""

    angle_deg: float
    base: Point
    step: Point  # from one line to the next
    dashes: tuple[float, ...] = ()  # dash positive, gap negative, 0 a dot; empty: continuous

    @property
    def period_mm(self) -> float:
        """Length after which the dashes repeat; 0 when continuous."""
        return sum(map(abs, self.dashes))

    @property
    def pitch_mm(self) -> float:
        """Distance from one line to the next."""
        angle = radians(self.angle_deg)
        return abs(cos(angle) * self.step[1] - sin(angle) * self.step[0])


def even_odd_area(rings: Iterable[Ring]) -> BaseGeometry:
    """Return the area of rings where rings inside rings are holes."""
    areas = (shapely.make_valid(shapely.Polygon(ring)) for ring in rings)
    return reduce(shapely.symmetric_difference, areas, shapely.Polygon())


def hatch_ratio(rings: Iterable[Ring], pattern: Pattern, ratio: float) -> float:
    """Return the ratio to draw a pattern at: ``ratio``, doubled until the area holds no more than MOST_LINES lines."""
    return _ratio_for(even_odd_area(rings), pattern, ratio)


def hatch_lines(rings: Iterable[Ring], pattern: Pattern, ratio: float) -> tuple[tuple[Point, Point], ...]:
    """Return the lines of a hatch, clipped to the area of its rings (even-odd).

    ``rings`` and lines are in one unit, of which ``ratio`` make one paper mm.  The pattern hangs on the origin of that
    unit, so areas that touch match.
    """
    area = even_odd_area(rings)
    if area.is_empty:
        return ()
    scale = _ratio_for(area, pattern, ratio)
    bounds = np.array(area.bounds).reshape(2, 2) / scale
    segments = np.concatenate([_family_lines(family, bounds) for family in PATTERNS[pattern]]) * scale
    return tuple(((x1, y1), (x2, y2)) for x1, y1, x2, y2 in _clipped(segments, area).tolist())


def pattern_definition(pattern: Pattern, ratio: float) -> list[tuple[float, Point, Point, list[float]]]:
    """Return a pattern as the lines of a DXF pattern: angle in degrees, base point, offset, dash items.

    ``ratio`` is the length of one paper mm in the unit of the file: that of ``hatch_ratio`` by 1 or 1 / 25.4.
    """
    return [
        (
            family.angle_deg,
            (family.base[0] * ratio, family.base[1] * ratio),
            (family.step[0] * ratio, family.step[1] * ratio),
            [dash * ratio for dash in family.dashes],
        )
        for family in PATTERNS[pattern]
    ]


def _ratio_for(area: BaseGeometry, pattern: Pattern, ratio: float) -> float:
    left, bottom, right, top = area.bounds if not area.is_empty else (0.0, 0.0, 0.0, 0.0)
    while _line_count(PATTERNS[pattern], (right - left) / ratio, (top - bottom) / ratio) > MOST_LINES:
        ratio *= 2
    return ratio


def _line_count(families: Iterable[LineFamily], width: float, height: float) -> float:
    """Return about how many lines and dashes fill a rectangle, in paper mm."""
    return sum(
        width * height / (family.pitch_mm * family.period_mm) * sum(dash >= 0 for dash in family.dashes)
        if family.dashes
        else hypot(width, height) / family.pitch_mm
        for family in families
    )


def _family_lines(family: LineFamily, bounds: Array) -> Array:
    """Return the lines of a family that cover a box (lower left, upper right), shape (n, 4), in paper mm."""
    angle = radians(family.angle_deg)
    along, across = np.array((cos(angle), sin(angle))), np.array((-sin(angle), cos(angle)))
    corners = np.array([(x, y) for x in bounds[:, 0] for y in bounds[:, 1]]) - family.base
    step_along, step_across = along @ family.step, across @ family.step
    rows = np.sort(corners @ across / step_across)
    low, high = (corners @ along).min(), (corners @ along).max()
    lines = []
    for row in range(floor(rows[0]), ceil(rows[-1]) + 1):
        start = np.array(family.base) + row * np.array(family.step)
        lines.append((start, *_dashes(family, low - row * step_along, high - row * step_along)))
    return np.concatenate(
        [np.hstack((start + first[:, None] * along, start + last[:, None] * along)) for start, first, last in lines]
    )


def _dashes(family: LineFamily, low: float, high: float) -> tuple[Array, Array]:
    """Return where the dashes of a line start and end that reach into a stretch of it."""
    if not family.dashes:
        return np.array([low]), np.array([high])
    places = np.concatenate(([0.0], np.cumsum(np.abs(family.dashes))[:-1]))
    lengths = np.array(family.dashes)
    drawn = lengths >= 0
    first_repeat, last_repeat = floor(low / family.period_mm) - 1, ceil(high / family.period_mm)
    repeats = family.period_mm * np.arange(first_repeat, last_repeat + 1, dtype=np.float64)
    first = (repeats[:, None] + places[drawn]).ravel()
    return first, first + np.tile(np.maximum(lengths[drawn], DOT_MM), len(repeats))


def _clipped(segments: Array, area: BaseGeometry) -> Array:
    """Return the parts of segments, shape (n, 4), inside an area."""
    lines = shapely.linestrings(segments.reshape(-1, 2, 2))
    shapely.prepare(area)
    inside = shapely.contains_properly(area, lines)
    crossing = shapely.intersects(area, lines) & ~inside
    parts = shapely.get_parts(shapely.intersection(lines[crossing], area))
    parts = shapely.get_parts(parts)
    parts = parts[shapely.length(parts) > 0]  # a line that only touches leaves a point
    ends = [shapely.get_coordinates(shapely.get_point(parts, end)) for end in (0, -1)]
    return np.concatenate((segments[inside], np.hstack(ends)))


def _triangle(lattice_turn_deg: float, pitch: float, at: Point, side: float) -> Iterator[LineFamily]:
    """Yield three families that draw an equilateral triangle at every place of a lattice of equilateral triangles.

    The sides follow the directions of the lattice, so that their dashes repeat with its pitch.
    """
    for corner, turn_deg in ((0, 0.0), (1, 120.0), (2, 240.0)):
        angle_deg = (lattice_turn_deg + turn_deg) % 360
        start = _corner(lattice_turn_deg, at, side, corner)
        step = turned((pitch / 2, pitch * sqrt(3) / 2), radians(angle_deg))
        yield LineFamily(angle_deg, start, step, (side, side - pitch))


def _corner(lattice_turn_deg: float, at: Point, side: float, corner: int) -> Point:
    offsets: Sequence[Point] = ((0.0, 0.0), (side, 0.0), (side / 2, side * sqrt(3) / 2))
    dx, dy = turned(offsets[corner], radians(lattice_turn_deg))
    return (at[0] + dx, at[1] + dy)


def _dots(turn_deg: float, pitch: float, at: Point) -> LineFamily:
    """Return dots at every place of a lattice of equilateral triangles."""
    return LineFamily(turn_deg, at, turned((pitch / 2, pitch * sqrt(3) / 2), radians(turn_deg)), (0.0, -pitch))


def _groups(angle_deg: float, at: Point, pitch: float) -> Iterator[LineFamily]:
    """Yield groups of three short parallels, set like the fields of one colour on a chessboard.

    ``at`` is the corner of a field, ``angle_deg`` the direction of its lines.
    """
    along, across = turned((1.0, 0.0), radians(angle_deg)), turned((0.0, 1.0), radians(angle_deg))
    step = (pitch * (along[0] + across[0]), pitch * (along[1] + across[1]))
    for row in range(3):
        base = (at[0] + row * pitch / 3 * across[0], at[1] + row * pitch / 3 * across[1])
        yield LineFamily(angle_deg, base, step, (0.8 * pitch, -1.2 * pitch))


PATTERNS: dict[Pattern, tuple[LineFamily, ...]] = {
    "concrete": (
        *_triangle(11.0, 5.0, (0.0, 0.0), 0.9),
        *_triangle(191.0, 5.0, (2.7, 2.9), 0.7),
        _dots(11.0, 5.0, (1.9, 0.7)),
        _dots(37.0, 3.7, (0.6, 2.2)),
        _dots(71.0, 4.3, (3.4, 1.3)),
    ),
    "earth": (*_groups(45.0, (0.0, 0.0), 3.0), *_groups(135.0, turned((5.0, 0.0), radians(45)), 3.0)),
    "paving": (_dots(20.0, 4.0, (0.0, 0.0)),),
    "zone": (LineFamily(45.0, (0.0, 0.0), (-1.5 * sin(radians(45)), 1.5 * cos(radians(45)))),),
}
