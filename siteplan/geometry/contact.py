"""The angle at which a turning box first meets fixed things. Lengths in mm, angles in radians, pivot at the origin.

Contact begins where an end of a segment comes upon the outline of the box, or a corner of the box upon the segment.
With a margin the outline is that of the box grown by the margin with round corners. Both cases are circles about the
pivot that cross a straight line within its extent, so every angle is found in closed form (own derivation, compared
with bisection).
"""

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.boxes import TOUCH_MM, Box, box_distances, ends_of
from siteplan.geometry.points import Array

Complexes = NDArray[np.complex128]

QUARTER = np.pi / 2
FULL_TURN = 2 * np.pi
SIDE_DIRECTIONS = np.array(((QUARTER,), (QUARTER,), (0.0,), (0.0,)))  # of the sides x0, x1, y0, y1, low end to high end
SIDE_OUTWARD = np.array(((1.0,), (-1.0,), (-1.0,), (1.0,)))  # whether outward is to the left (1) of that direction


def first_contact(
    box: Box,
    segments: Array,
    start_rad: float,
    turn_rad: float,
    margin_mm: float = 0.0,
    at_stops: Array | None = None,
) -> Array:
    """Return the first angle at which each segment is within the margin of the turning box; inf where it never is.

    Parameters
    ----------
    segments
        Shape (n, 4): x1 y1 x2 y2. A segment of no length is a point.
    start_rad, turn_rad
        The box turns from ``start_rad`` to ``start_rad + turn_rad``; a turn below 0 is clockwise.
    margin_mm
        Distance that counts as contact; 0 is touching.
    at_stops
        Distances at the beginning and the end of the turn, shape (2, n), where they are known already.

    Returns
    -------
    Array
        Shape (n,). ``start_rad`` where the segment lies within the margin from the beginning, also when it lies across
        the box with both ends outside. Grazing is contact: within ``TOUCH_MM`` of the margin counts.
    """
    ends = ends_of(segments)
    at_ends = _soonest(_points_on_outline(box, ends.ravel(), margin_mm), start_rad, turn_rad)
    at_corners = _soonest(_corners_on_segments(box, ends, margin_mm), start_rad, turn_rad)
    soonest = np.minimum(at_ends.reshape(-1, 2).min(axis=1), at_corners)
    known = distances_at_stops(box, segments, start_rad, turn_rad) if at_stops is None else at_stops
    return _with_both_ends_of_turn(known, start_rad, turn_rad, margin_mm, soonest)


def distances_at_stops(box: Box, segments: Array, start_rad: float, turn_rad: float) -> Array:
    """Return the distances of segments, shape (n, 4), from the box at the beginning and the end of a turn, (2, n)."""
    angles = np.repeat((start_rad, start_rad + turn_rad), len(segments))
    return box_distances(box, np.concatenate((segments, segments)), angles).reshape(2, -1)


def first_contact_discs(
    box: Box, centres_xy: Array, radii_mm: Array, start_rad: float, turn_rad: float, margin_mm: float = 0.0
) -> Array:
    """Return the first angle at which each disc is within the margin of the turning box; inf where it never is.

    ``centres_xy`` has shape (n, 2), ``radii_mm`` shape (n,), the result shape (n,); otherwise as ``first_contact``.
    """
    centres = np.ascontiguousarray(centres_xy, dtype=np.float64).reshape(-1, 2)
    margins = np.asarray(radii_mm, dtype=np.float64) + margin_mm
    points = centres.view(np.complex128)[:, 0]
    soonest = _soonest(_points_on_outline(box, points, margins), start_rad, turn_rad)
    known = distances_at_stops(box, np.hstack((centres, centres)), start_rad, turn_rad)
    return _with_both_ends_of_turn(known, start_rad, turn_rad, margins, soonest)


def _points_on_outline(box: Box, points: Complexes, margins_mm: float | Array) -> Array:
    """Return every angle at which points, shape (n,), stand on the grown outline, shape (..., n); NaN where none."""
    radii, directions = np.abs(points), np.angle(points)
    offsets = np.array(((-box.x0,), (-box.x1,), (box.y0,), (box.y1,))) + SIDE_OUTWARD * margins_mm
    lows = np.array(((box.y0,), (box.y0,), (box.x0,), (box.x0,)))
    highs = np.array(((box.y1,), (box.y1,), (box.x1,), (box.x1,)))
    bearings = [SIDE_DIRECTIONS + _crossings(radii, offsets, lows, highs)]
    if np.any(margins_mm):
        bearings.append(_on_round_corners(box, radii, margins_mm))
    return directions - np.concatenate(bearings)


def _on_round_corners(box: Box, radii_mm: Array, margins_mm: float | Array) -> Array:
    """Return the bearings in the axes of the box of the places of given radius a margin away from a corner.

    Half-angle form of the cosine rule; shape (2, 4, n), NaN where there is none. A place of the circle that lies
    beside the box rather than off its corner is nearer than the margin and so never hides a first contact.
    """
    corners = _corners(box)
    corner_radii = np.abs(corners)
    missing = np.abs(radii_mm - corner_radii)
    product = np.maximum(4 * radii_mm * corner_radii, TOUCH_MM**2)  # 0 on the pivot, where the turn changes nothing
    sine_squared = (margins_mm**2 - missing**2) / product
    off = 2 * np.arcsin(np.sqrt(np.clip(sine_squared, 0, 1)))
    bearings: Array = np.angle(corners) + np.stack((off, -off))
    return np.where(missing <= margins_mm + TOUCH_MM, bearings, np.nan)


def _corners_on_segments(box: Box, ends: Complexes, margin_mm: float) -> Array:
    """Return every angle at which a corner stands a margin off a segment, shape (..., n); NaN where none."""
    directions = np.angle(ends[:, 1] - ends[:, 0])
    in_line = ends * np.exp(-1j * directions)[:, None]
    offsets = in_line[:, 0].imag + np.array(((margin_mm,), (-margin_mm,)) if margin_mm else ((0.0,),))
    corners = _corners(box)
    bearings = _crossings(np.abs(corners), offsets[:, None], in_line[:, 0].real, in_line[:, 1].real)
    return directions - np.angle(corners) + bearings


def _crossings(radii_mm: Array, offsets_mm: Array, lows_mm: Array, highs_mm: Array) -> Array:
    """Return the bearings, from the direction of a line, at which circles about the origin cross it within its extent.

    ``offsets_mm``: the line lies this far to the left of its parallel through the origin; ``lows_mm``, ``highs_mm``:
    its extent along its own direction. Shapes broadcast; the two crossings stand first, NaN where there is none.
    """
    half_chord = np.sqrt(np.maximum(radii_mm**2 - offsets_mm**2, 0))
    along = np.stack((half_chord, -half_chord))
    met = (np.abs(offsets_mm) <= radii_mm + TOUCH_MM) & (along >= lows_mm - TOUCH_MM) & (along <= highs_mm + TOUCH_MM)
    return np.where(met, np.arctan2(offsets_mm, along), np.nan)


def _corners(box: Box) -> Complexes:
    """Return the corners as complex numbers, shape (4, 1)."""
    return np.array(box.corners, dtype=np.float64).view(np.complex128)


def brought_into_turn(angles_rad: Array) -> Array:
    """Return angles less their whole turns, each from 0 to a full turn: ``numpy.mod`` takes ten times as long."""
    return angles_rad - np.floor(angles_rad * (1 / FULL_TURN)) * FULL_TURN


def _soonest(angles_rad: Array, start_rad: float, turn_rad: float) -> Array:
    """Return the least turn from the start to any of the angles, (..., n) to (n,); inf where it exceeds the turn."""
    onward = angles_rad - start_rad if turn_rad >= 0 else start_rad - angles_rad
    turned = np.fmin.reduce(brought_into_turn(onward), axis=tuple(range(onward.ndim - 1)))
    return np.where(turned <= abs(turn_rad), turned, np.inf)


def _with_both_ends_of_turn(
    at_stops: Array, start_rad: float, turn_rad: float, margins_mm: float | Array, soonest: Array
) -> Array:
    """Return absolute angles. What touches at either end of the turn is told by distance: rounding cannot hide it."""
    touches_first, touches_last = at_stops <= margins_mm + TOUCH_MM
    turned = np.where(touches_last, np.minimum(soonest, abs(turn_rad)), soonest)
    turned = np.where(touches_first, 0.0, turned)
    return np.where(np.isinf(turned), np.inf, start_rad + (turned if turn_rad >= 0 else -turned))
