"""How far a turning box gets beyond lines it should stay behind. Lengths in mm, angles in radians."""

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.boxes import POINT_MM, TOUCH_MM, Box, ends_of
from siteplan.geometry.contact import brought_into_turn, first_contact
from siteplan.geometry.points import Array

Complexes = NDArray[np.complex128]

SAME_MM = 1e-9  # distances closer than this are one and the same maximum


def beyond_line(box: Box, segments: Array, start_rad: float, turn_rad: float) -> tuple[Array, Array, Array]:
    """Return how far a box turning about the origin gets beyond each segment's line, and where it first touches it.

    Beyond is the side away from the pivot; a line through the pivot has none, so there both sides count. Only places
    of the box whose foot on the line lies within the segment count. Closed form: the farthest place is a corner whose
    track is at its farthest or enters or quits the segment's width, or any place at either end of the turn
    (own derivation).

    Parameters
    ----------
    segments
        Shape (n, 4): x1 y1 x2 y2.
    start_rad, turn_rad
        The box turns from ``start_rad`` to ``start_rad + turn_rad``, which is not below the start.

    Returns
    -------
    tuple
        Shape (n,) each. The greatest distance beyond the line in mm, 0 where never beyond; the first angle at which it
        is reached, inf where never beyond; the first angle at which the box touches the segment, inf where never.
    """
    ends = ends_of(segments)
    directions = np.angle(ends[:, 1] - ends[:, 0])
    to_left = (ends[:, 0] * np.exp(-1j * directions)).imag
    away = np.where(to_left < 0, directions + np.pi, directions)  # turned so that beyond is left of the direction
    beyond, beyond_at = _farthest(box, ends, away, start_rad, turn_rad)
    through_pivot = np.flatnonzero(np.abs(to_left) <= TOUCH_MM)
    if len(through_pivot):
        other, other_at = _farthest(box, ends[through_pivot], away[through_pivot] + np.pi, start_rad, turn_rad)
        farther = other > beyond[through_pivot]
        beyond[through_pivot[farther]] = other[farther]
        beyond_at[through_pivot[farther]] = other_at[farther]
    return beyond, beyond_at, first_contact(box, segments, start_rad, turn_rad)


def _farthest(box: Box, ends: Complexes, directions: Array, start_rad: float, turn_rad: float) -> tuple[Array, Array]:
    """Return the greatest distance of the box to the left of each segment and its first angle; 0 and inf if never."""
    in_line = ends * np.exp(-1j * directions)[:, None]
    lows, highs = in_line.real.min(axis=1), in_line.real.max(axis=1)
    corners = np.array(box.corners, dtype=np.float64).view(np.complex128)
    tracks, turned = _track_places(corners, directions, lows, highs, start_rad)
    posed, posed_turned = _posed_places(corners, directions, lows, highs, start_rad, turn_rad)
    places, turned = np.concatenate((tracks, posed)), np.concatenate((turned, posed_turned))
    within = (places.real >= lows - TOUCH_MM) & (places.real <= highs + TOUCH_MM) & (highs - lows > POINT_MM)
    counts = within & (turned <= turn_rad)
    heights = np.where(counts, places.imag - in_line[:, 0].imag, -np.inf)
    farthest = heights.max(axis=0)
    first = np.where(heights >= farthest - SAME_MM, turned, np.inf).min(axis=0)
    is_beyond = farthest > 0
    return np.where(is_beyond, farthest, 0.0), np.where(is_beyond, start_rad + first, np.inf)


def _track_places(
    corners: Complexes, directions: Array, lows: Array, highs: Array, start_rad: float
) -> tuple[Complexes, Array]:
    """Return where the corners' tracks are farthest left or cross a segment's ends, and the turn to there.

    Places are along the segment (real) and left of it (imaginary); both shapes (20, n).
    """
    radii = np.maximum(np.abs(corners), TOUCH_MM)  # a corner on the pivot stays there
    to_low = np.arccos(np.clip(lows / radii, -1, 1))
    to_high = np.arccos(np.clip(highs / radii, -1, 1))
    square = np.full_like(to_low, np.pi / 2)
    bearings = np.stack((square, to_low, -to_low, to_high, -to_high))
    turned = brought_into_turn(directions + bearings - np.angle(corners) - start_rad)
    places = radii * np.exp(1j * bearings)
    return places.reshape(-1, len(directions)), turned.reshape(-1, len(directions))


def _posed_places(
    corners: Complexes, directions: Array, lows: Array, highs: Array, start_rad: float, turn_rad: float
) -> tuple[Complexes, Array]:
    """Return the corners at both ends of the turn, and where edges then cross the width of a segment.

    Places as for the tracks; both shapes (24, n).
    """
    turned = np.array((0.0, turn_rad))[:, None, None]
    placed = corners * np.exp(1j * (start_rad + turned - directions))
    edges = np.roll(placed, -1, axis=1) - placed
    level = np.where(edges.real == 0, np.inf, edges.real)  # an edge square to the segment crosses at its corners
    limits = np.stack((lows, highs))[:, None, None]
    crossings = placed + np.clip((limits - placed.real) / level, 0, 1) * edges
    places = np.concatenate((placed[None], crossings))
    return places.reshape(-1, len(directions)), np.broadcast_to(turned, places.shape).reshape(-1, len(directions))
