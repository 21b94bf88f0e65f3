"""The area a turning box covers: exact size, and outlines that never understate. Lengths in mm, angles in radians.

All in the frame of the box: pivot at the origin, counter-clockwise positive. Arcs become chords: outside the circle
on outer arcs, inside it on inner arcs, so that a distance measured to an outline is never too large.
(A fan of turned rectangles is no substitute: in steps of 1 degree a part 192 in long and 2 in thick loses 16 %.)
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import acos, ceil, cos, hypot, pi, sin, sqrt, tau
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from siteplan.errors import GeometryError
from siteplan.geometry.boxes import TOUCH_MM, Box
from siteplan.geometry.points import Array

Complexes = NDArray[np.complex128]

GRID_MM = 1e-7  # unions are worked out on this grid: without one they can silently lose half the area (GEOS 3.14)
LOST_SHARE = 1e-5  # a union may fall short of the exact area by rounding only
NARROW = 1e-9  # mm or radians: thinner rings hold no area worth counting, narrower gaps are a box of no thickness


class _Gap(NamedTuple):
    """An arc outside the box: a circle about the pivot goes out over one of its sides and in again over another.

    ``exit_mm`` and ``entry_mm`` are the distances of the two sides from the pivot, below 0 when the pivot lies
    beyond the side; ``constant_rad`` is the part of the arc that does not depend on the radius.
    """

    exit_mm: float
    entry_mm: float
    constant_rad: float

    def width_rad(self, radius_mm: float) -> float:
        """Return the arc at a radius."""
        return self.constant_rad + _half_arc(self.exit_mm, radius_mm) + _half_arc(self.entry_mm, radius_mm)

    def radius_of_width(self, width_rad: float, inner_mm: float, outer_mm: float) -> float:
        """Return the radius between two others at which the arc has a width (cosine rule)."""
        rest = width_rad - self.constant_rad
        squared = (self.exit_mm - self.entry_mm) ** 2 + 4 * self.exit_mm * self.entry_mm * sin(rest / 2) ** 2
        return min(max(sqrt(max(squared, 0)) / (abs(sin(rest)) or NARROW), inner_mm), outer_mm)

    def filled_area(self, turn_rad: float, inner_mm: float, outer_mm: float) -> float:
        """Return the area the box covers of this gap between two radii while it turns."""
        is_wide = self.width_rad(inner_mm) > turn_rad, self.width_rad(outer_mm) > turn_rad
        if is_wide == (True, True):
            return turn_rad * (outer_mm**2 - inner_mm**2) / 2
        if is_wide == (False, False):
            return self._area_within(outer_mm) - self._area_within(inner_mm)
        middle = self.radius_of_width(turn_rad, inner_mm, outer_mm)
        if is_wide[0]:
            return turn_rad * (middle**2 - inner_mm**2) / 2 + self._area_within(outer_mm) - self._area_within(middle)
        return self._area_within(middle) - self._area_within(inner_mm) + turn_rad * (outer_mm**2 - middle**2) / 2

    def _area_within(self, radius_mm: float) -> float:
        """Return the antiderivative of radius times width."""
        sides = (self.exit_mm, self.entry_mm)
        return self.constant_rad * radius_mm**2 / 2 + sum(
            (radius_mm**2 * _half_arc(side, radius_mm) - side * sqrt(max(radius_mm**2 - side**2, 0))) / 2
            for side in sides
        )


def swept_area(box: Box, turn_rad: float) -> float:
    """Return the exact area in mm² the box covers while it turns by 0 to 2 pi.

    At each radius a turn fills each gap between the arcs the box holds by the turn or by the whole gap, whichever is
    less; the integral over the radius is closed on each piece (own derivation, compared with quadrature).
    """
    radii = {hypot(x, y) for x, y in box.corners}
    radii |= {abs(x) for x in (box.x0, box.x1) if box.y0 <= 0 <= box.y1}
    radii |= {abs(y) for y in (box.y0, box.y1) if box.x0 <= 0 <= box.x1}
    filled = (
        gap.filled_area(turn_rad, inner, outer)
        for inner, outer in pairwise(sorted(radii))
        if outer - inner > NARROW
        for gap in _gaps(box, (inner + outer) / 2)
    )
    return (box.x1 - box.x0) * (box.y1 - box.y0) + sum(filled)


def swept_rings(box: Box, start_rad: float, turn_rad: float, chord_error_mm: float) -> tuple[Array, ...]:
    """Return the outline of what the box covers: one ring, or two overlapping ones when it has a heel.

    Each ring has shape (k, 2), counter-clockwise, not closed. A turn of 0 gives the box itself. After half a turn of a
    part that stands on its pivot a ring touches itself there.

    Raises
    ------
    GeometryError
        When the turn is not within 0 to pi or the chord error too small, or when the turn is too small for the
        far end of so stubby a box to leave no gap; ``swept_polygon`` takes that case.
    """
    _require_turn(turn_rad, chord_error_mm)
    if turn_rad * box.reach_mm < TOUCH_MM:
        return (box.turned_corners(start_rad),)
    lobes = _lobes(box)
    if not all(_fills_far_end(lobe, turn_rad) for lobe, _ in lobes):
        raise GeometryError(
            f"Turn is {turn_rad:.4f} rad, too small for a single outline of a part {box.x1 - box.x0:.0f} mm long and "
            f"{box.y1 - box.y0:.0f} mm thick."
        )
    return tuple(_ring(lobe, start_rad + heading, turn_rad, chord_error_mm) for lobe, heading in lobes)


def swept_polygon(
    boxes: Sequence[Box], start_rad: float, turn_rad: float, chord_error_mm: float
) -> Polygon | MultiPolygon:
    """Return what boxes on one turning part cover together, for any shape of box and a turn of 0 to pi.

    Raises
    ------
    GeometryError
        When the turn is not within 0 to pi, the chord error too small, or nothing is covered.
    """
    _require_turn(turn_rad, chord_error_mm)
    rings = [ring for box in boxes for ring in _covering_rings(box, start_rad, turn_rad, chord_error_mm)]
    shapes = [shapely.polygons(ring) for ring in rings]
    covered = shapes[0] if len(shapes) == 1 else shapely.union_all(shapes, grid_size=GRID_MM)
    exact_mm2 = max((swept_area(box, turn_rad) for box in boxes), default=0.0)
    if covered.area == 0 or covered.area < exact_mm2 * (1 - LOST_SHARE):
        raise GeometryError(
            f"Outline of {len(boxes)} boxes turned by {turn_rad:g} rad holds {covered.area:.1f} mm², "
            f"but must be above 0 and at least {exact_mm2:.1f} mm²."
        )
    return covered if len(shapes) == 1 else _without_slivers(covered, chord_error_mm**2)


def _without_slivers(covered: Polygon | MultiPolygon, largest_mm2: float) -> Polygon | MultiPolygon:
    """Return a shape with small holes filled: where arcs shared by two rings are rounded, a union has slivers."""
    parts = [
        Polygon(part.exterior, [hole for hole in part.interiors if Polygon(hole).area > largest_mm2])
        for part in shapely.get_parts(covered)
    ]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _require_turn(turn_rad: float, chord_error_mm: float) -> None:
    if not 0 <= turn_rad <= pi + NARROW:
        raise GeometryError(f"Turn must be within 0 to pi rad, not {turn_rad:g} rad.")
    if not chord_error_mm >= TOUCH_MM:
        raise GeometryError(f"Chord error must be at least {TOUCH_MM:f} mm, not {chord_error_mm:g} mm.")


def _half_arc(side_mm: float, radius_mm: float) -> float:
    """Return half the arc of a circle about the pivot beyond a side at a distance."""
    return acos(min(max(side_mm / radius_mm, -1), 1)) if radius_mm else pi / 2


def _gaps(box: Box, radius_mm: float) -> Iterator[_Gap]:
    """Yield the gaps between the arcs the box holds of a circle about the pivot."""
    leaving: list[tuple[float, float]] = []
    entering: list[tuple[float, float]] = []
    for distance, outward, is_x_side in (
        (box.x1, 0.0, True),
        (box.y1, pi / 2, False),
        (-box.x0, pi, True),
        (-box.y0, 3 * pi / 2, False),
    ):
        if abs(distance) >= radius_mm:
            continue
        half = acos(distance / radius_mm)
        for bearing, crossings in ((outward - half, leaving), (outward + half, entering)):
            x, y = radius_mm * cos(bearing), radius_mm * sin(bearing)
            if (box.y0 <= y <= box.y1) if is_x_side else (box.x0 <= x <= box.x1):
                crossings.append((bearing, distance))
    for left_at, exit_mm in leaving:
        for width, entry_mm in sorted(((at - left_at) % tau, side) for at, side in entering)[:1]:
            whole = width if width > NARROW else tau
            yield _Gap(exit_mm, entry_mm, whole - _half_arc(exit_mm, radius_mm) - _half_arc(entry_mm, radius_mm))


def _lobes(box: Box) -> list[tuple[Box, float]]:
    """Return the parts before and behind the pivot, each along +x in axes of its own, and the direction of those."""
    lobes = []
    if box.x1 > 0:
        lobes.append((box._replace(x0=max(box.x0, 0.0)), 0.0))
    if box.x0 < 0:
        lobes.append((Box(max(-box.x1, 0.0), -box.x0, -box.y1, -box.y0), pi))
    return lobes


def _fills_far_end(lobe: Box, turn_rad: float) -> bool:
    """Tell whether no gap stays open at the far end, where a circle goes out of the lobe and in again."""
    nearer = min(abs(lobe.y0), abs(lobe.y1))
    return lobe.y0 * lobe.y1 >= 0 or turn_rad >= 2 * np.arctan2(nearer, lobe.x1)


def _covering_rings(box: Box, start_rad: float, turn_rad: float, chord_error_mm: float) -> Iterator[Array]:
    """Yield rings that together are what a box of any shape covers."""
    is_half_turn_at_pivot = box.x0 <= 0 <= box.x1 and turn_rad > pi - TOUCH_MM  # its ring would touch itself
    plain = not is_half_turn_at_pivot and all(_fills_far_end(lobe, turn_rad) for lobe, _ in _lobes(box))
    if plain or turn_rad * box.reach_mm < TOUCH_MM:
        yield from swept_rings(box, start_rad, turn_rad, chord_error_mm)
        return
    yield box.turned_corners(start_rad)
    corners = [complex(x, y) for x, y in box.corners]
    for first, second in zip(corners, corners[1:] + corners[:1], strict=True):
        yield from _swept_edge(first, second, start_rad, turn_rad, chord_error_mm)


def _swept_edge(
    first: complex, second: complex, start_rad: float, turn_rad: float, chord_error_mm: float
) -> Iterator[Array]:
    """Yield what an edge covers, one ring on either side of the foot of the perpendicular from the pivot."""
    run = second - first
    share = -(first * run.conjugate()).real / (abs(run) ** 2 or 1)
    places = [first, first + run * share, second] if 0 < share < 1 else [first, second]
    for one, other in pairwise(places):
        near, far = sorted((one, other), key=abs)
        if abs(far) - abs(near) > NARROW and abs(far) * turn_rad > TOUCH_MM:
            outer = _outer_arc(far, start_rad, turn_rad, chord_error_mm)
            yield _as_ring(outer, _inner_arc(near, start_rad, turn_rad, chord_error_mm)[::-1])


def _ring(lobe: Box, start_rad: float, turn_rad: float, chord_error_mm: float) -> Array:
    """Return the outline of what a lobe before the pivot covers (own derivation)."""
    x0, x1, y0, y1 = lobe
    begin, end = np.exp(1j * np.array((start_rad, start_rad + turn_rad)))
    cap = 2 * np.arctan2(min(abs(y0), abs(y1)), x1) if y0 < 0 < y1 else 0.0
    far_end = []
    if abs(y1) >= abs(y0):
        far_end.append(_outer_arc(complex(x1, y0), start_rad, cap, chord_error_mm))
        far_end.append(_outer_arc(complex(x1, y1), start_rad, turn_rad, chord_error_mm))
    else:
        far_end.append(_outer_arc(complex(x1, y0), start_rad, turn_rad, chord_error_mm))
        far_end.append(_outer_arc(complex(x1, y1), start_rad + turn_rad - cap, cap, chord_error_mm))
    nearest = complex(x0, min(max(y0, 0.0), y1))
    inner = _inner_arc(nearest, start_rad, turn_rad, chord_error_mm)[::-1]
    return _as_ring(np.array((complex(x0, y0) * begin,)), *far_end, np.array((complex(x0, y1) * end,)), inner)


def _outer_arc(place: complex, start_rad: float, turn_rad: float, chord_error_mm: float) -> Complexes:
    """Return the track of a point as chords outside its circle: both true ends, and corners at mid-step between."""
    radius = abs(place)
    count = ceil(turn_rad / (2 * acos(radius / (radius + chord_error_mm)))) or 1
    step = turn_rad / count
    turned = np.concatenate(((0.0,), (np.arange(count) + 0.5) * step, (turn_rad,)))
    stretched = np.concatenate(((1.0,), np.full(count, 1 / cos(step / 2)), (1.0,)))
    track: Complexes = place * stretched * np.exp(1j * (start_rad + turned))
    return track


def _inner_arc(place: complex, start_rad: float, turn_rad: float, chord_error_mm: float) -> Complexes:
    """Return the track of a point as chords inside its circle, their ends on it."""
    radius = abs(place)
    step = 2 * acos(1 - min(chord_error_mm / radius, 1)) if radius else pi
    track: Complexes = place * np.exp(1j * (start_rad + np.linspace(0, turn_rad, ceil(turn_rad / step) + 1)))
    return track


def _as_ring(*paths: Complexes) -> Array:
    """Return paths joined, each vertex that repeats the one before left out, shape (k, 2)."""
    path = np.concatenate(paths)
    kept = np.abs(path - np.roll(path, 1)) > NARROW
    return path[kept].view(np.float64).reshape(-1, 2)
