"""Distances from a turning box to fixed things, and their least over a turn. Lengths in mm, angles in radians.

All in the frame of the box: pivot at the origin, counter-clockwise positive.
"""

from math import hypot

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.boxes import POINT_MM, TOUCH_MM, Box, box_distances, ends_of, nearest_to_pivot
from siteplan.geometry.contact import (
    FULL_TURN,
    brought_into_turn,
    distances_at_stops,
    first_contact,
    first_contact_discs,
)
from siteplan.geometry.points import Array, Point

Indices = NDArray[np.intp]

SAME_MM = 1e-9  # distances closer than this are one and the same minimum
SQUARE_TO_SIDES = np.array((0.0, np.pi / 2, np.pi, -np.pi / 2))
SQUARE_TO_LINE = np.array(((np.pi / 2,), (-np.pi / 2,)))


def distances(box: Box, segments: Array, angle_rad: float) -> Array:
    """Return the exact distance of each segment, shape (n, 4), from the box at one angle; 0 where they meet."""
    return box_distances(box, segments, angle_rad)


def distances_discs(box: Box, centres_xy: Array, radii_mm: Array, angle_rad: float) -> Array:
    """Return the exact distance of each disc, centres (n, 2) and radii (n,), from the box; 0 where they meet."""
    return np.maximum(box_distances(box, np.hstack((centres_xy, centres_xy)), angle_rad) - radii_mm, 0)


def nearest_points(box: Box, segment: Array, angle_rad: float) -> tuple[Point, Point]:
    """Return the witness of a distance: the nearest point of the box turned to an angle, and that of one segment (4,).

    Where the two meet, both are the middle of what they share.
    """
    _, on_box, on_segment = nearest_pairs(box, segment.reshape(1, 4), np.array((angle_rad,)))
    return (float(on_box[0, 0]), float(on_box[0, 1])), (float(on_segment[0, 0]), float(on_segment[0, 1]))


def nearest_pairs(
    box: Box, segments: Array, angles_rad: Array, gaps_mm: Array | None = None
) -> tuple[Array, Array, Array]:
    """Return distances (n,) and their witnesses for segments (n, 4), each with the box turned to an angle of its own.

    The witnesses are the nearest points of the box and of the segment, both (n, 2); of places equally near those
    nearest the pivot.  Where box and segment meet, both are the middle of what they share.  ``gaps_mm`` are the
    distances where they are known already, shape (n,).
    """
    apart = box_distances(box, segments, angles_rad) if gaps_mm is None else gaps_mm
    turns = np.exp(1j * angles_rad)
    ends = ends_of(segments).T / turns
    runs = ends[1] - ends[0]
    corners = np.array(box.corners, dtype=np.float64).view(np.complex128)
    squared = np.abs(runs) ** 2
    shares = np.clip(
        ((corners - ends[0]) * runs.conjugate()).real / np.where(squared < POINT_MM**2, 1.0, squared), 0, 1
    )
    on_segment = np.concatenate((ends, ends[0] + shares * runs))
    on_box = np.concatenate((_nearest_in_box(box, ends), np.broadcast_to(corners, (4, len(runs)))))
    gaps = np.abs(on_box - on_segment)
    nearest = np.argmin(np.where(gaps <= gaps.min(axis=0) + SAME_MM, np.abs(on_box), np.inf), axis=0)
    columns = np.arange(len(runs))
    gap, on_box, on_segment = gaps[nearest, columns], on_box[nearest, columns], on_segment[nearest, columns]
    for row in np.flatnonzero(apart == 0):
        on_box[row] = on_segment[row] = _middle_of_shared(box, complex(ends[0, row]), complex(runs[row]))
        gap[row] = 0.0
    return gap, _as_points(on_box * turns), _as_points(on_segment * turns)


def clearance_profile(box: Box, segments: Array, angles_rad: Array, cut_mm: float) -> Array:
    """Return for each angle the distance to the nearest segment, or the cut where none is nearer than the cut.

    For showing only: between two angles the distance can be less by half the step times the reach of the box.

    Parameters
    ----------
    segments
        Shape (n, 4).
    angles_rad
        Shape (m,), increasing, less than a full turn from first to last.

    Returns
    -------
    Array
        Shape (m,). Values below the cut are exact; the cut itself means "at least".
    """
    clearances = np.full(len(angles_rad), float(cut_mm))
    which, at = _pairs_within(box, segments, angles_rad, cut_mm)
    np.minimum.at(clearances, at, box_distances(box, segments[which], angles_rad[at]))
    return clearances


def least_over_sweep(
    box: Box, segments: Array, start_rad: float, turn_rad: float, may_touch: Indices | None = None
) -> tuple[Array, Array]:
    """Return the least distance of each segment over the whole turn, and the first angle at which it occurs, each (n,).

    Exact. While the two are apart, their distance is the least of six: an end of the segment to the box, or a corner of
    the box to the segment. Each is the distance of a point on a circle from a convex shape; it has no kinks, so
    its minima lie at the ends of the turn, square to a side, or where the point, the pivot and a corner of the shape
    are in line (own derivation). Contact gives 0 at the angle of first contact.

    ``turn_rad`` is at least 0.  ``may_touch`` are the rows that the box can touch at all; None: any of them.
    """
    stops = (start_rad, start_rad + turn_rad)
    at_stops = distances_at_stops(box, segments, start_rad, turn_rad)
    end_gaps, end_angles = _ends_against_box(box, segments)
    corner_gaps, corner_angles = _corners_against_lines(box, segments)
    turned = brought_into_turn(np.concatenate((end_angles, corner_angles)) - start_rad)
    gaps = np.where(turned <= turn_rad, np.concatenate((end_gaps, corner_gaps)), np.inf)
    gaps = np.concatenate((at_stops, gaps))
    angles = np.concatenate((np.broadcast_to(np.array(stops)[:, None], at_stops.shape), start_rad + turned))
    least = gaps.min(axis=0)
    least_at = np.where(gaps <= least + SAME_MM, angles, np.inf).min(axis=0)
    rows = np.arange(len(segments)) if may_touch is None else may_touch
    if len(rows):
        contact = first_contact(box, segments[rows], start_rad, turn_rad, at_stops=at_stops[:, rows])
        touched = np.isfinite(contact)
        least[rows[touched]] = 0.0
        least_at[rows[touched]] = contact[touched]
    return least, least_at


def least_over_sweep_discs(
    box: Box, centres_xy: Array, radii_mm: Array, start_rad: float, turn_rad: float
) -> tuple[Array, Array]:
    """Return the least distance of each disc over the whole turn, and the first angle at which it occurs, each (n,)."""
    nothing = np.empty(0, dtype=np.intp)  # contact is that of the circles, not of their middles
    least, least_at = least_over_sweep(box, np.hstack((centres_xy, centres_xy)), start_rad, turn_rad, nothing)
    contact = first_contact_discs(box, centres_xy, radii_mm, start_rad, turn_rad)
    touched = np.isfinite(contact)
    return np.where(touched, 0.0, least - radii_mm), np.where(touched, contact, least_at)


def _ends_against_box(box: Box, segments: Array) -> tuple[Array, Array]:
    """Return the distances of the ends from the box where they can be least, and the angles of the box, both (16, n).

    An end stands then square to a side or in line with a corner: at its own distance from the pivot, in one of eight
    directions of the box.
    """
    ends = ends_of(segments)
    directions = np.concatenate((SQUARE_TO_SIDES, _corner_directions(box)))
    places = np.exp(1j * directions)[:, None, None] * np.abs(ends)
    gaps = np.abs(places - _nearest_in_box(box, places))
    angles = np.angle(ends) - directions[:, None, None]
    return gaps.transpose(0, 2, 1).reshape(-1, len(segments)), angles.transpose(0, 2, 1).reshape(-1, len(segments))


def _corners_against_lines(box: Box, segments: Array) -> tuple[Array, Array]:
    """Return the distances of the corners from the segments where they can be least, and the angles, both (8, n).

    A corner stands then on the normal through the pivot, before or behind it; where the foot of that normal lies
    outside the segment, an end is nearer and the distance is infinite.
    """
    ends = ends_of(segments)
    run = ends[:, 1] - ends[:, 0]
    squared = np.abs(run) ** 2
    is_line = squared > POINT_MM**2
    share = -(ends[:, 0] * run.conjugate()).real / np.where(is_line, squared, 1.0)
    footed = (share >= 0) & (share <= 1) & is_line
    normal = np.angle(run) + SQUARE_TO_LINE  # (2, n): both ways
    offset = (ends[:, 0] * np.exp(-1j * normal)).real  # of the line from the pivot, along each
    reach = np.abs(np.array(box.corners, dtype=np.float64).view(np.complex128))  # (4, 1)
    gaps = np.where(footed, np.abs(offset[:, None] - reach), np.inf)
    angles = normal[:, None] - _corner_directions(box)[:, None]
    return gaps.reshape(-1, len(segments)), angles.reshape(-1, len(segments))


def _corner_directions(box: Box) -> Array:
    """Return the directions of the corners from the pivot, shape (4,)."""
    return np.arctan2([y for _, y in box.corners], [x for x, _ in box.corners])


def _pairs_within(box: Box, segments: Array, angles_rad: Array, cut_mm: float) -> tuple[Indices, Indices]:
    """Return the pairs (segment, angle) that can be nearer than the cut, and perhaps a few more.

    The box grown by the cut lies in a strip along its x axis; a segment outside a circle of half the strip's width can
    be in it only while the box points nearly at the segment (own derivation). A heel looks backwards too.
    """
    ends = ends_of(segments)
    begin, nearest = ends[:, 0], nearest_to_pivot(segments)

    half_width = max(abs(box.y0), abs(box.y1)) + cut_mm
    all_round = hypot(half_width, cut_mm - box.x0) if box.x0 < 0 else half_width
    slack = np.where(nearest > all_round, np.arcsin(half_width / np.maximum(nearest, half_width)), np.pi)
    first_direction = np.angle(begin)
    spread = np.angle(ends[:, 1] * begin.conj())  # the short way round
    full_turns = FULL_TURN * np.arange(-1, 2)[:, None]
    low = (first_direction + np.minimum(spread, 0) - slack + full_turns).ravel()
    high = (first_direction + np.maximum(spread, 0) + slack + full_turns).ravel()

    first = np.searchsorted(angles_rad, low, side="left")
    count = np.maximum(np.searchsorted(angles_rad, high, side="right") - first, 0)
    count[np.tile(nearest > box.reach_mm + cut_mm, len(full_turns))] = 0
    which = np.repeat(np.tile(np.arange(len(segments)), len(full_turns)), count)
    at = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + np.repeat(first, count)
    return which, at


def _nearest_in_box(box: Box, points: NDArray[np.complex128]) -> NDArray[np.complex128]:
    """Return for points in the axes of the box the nearest points of the box."""
    nearest = np.empty_like(points)
    np.clip(points.real, box.x0, box.x1, out=nearest.real)
    np.clip(points.imag, box.y0, box.y1, out=nearest.imag)
    return nearest


def _middle_of_shared(box: Box, begin: complex, run: complex) -> complex:
    """Return the middle of what a segment that meets the box shares with it, in the axes of the box."""
    at_sides = [(side - begin.real) / run.real for side in (box.x0, box.x1) if run.real]
    at_sides += [(side - begin.imag) / run.imag for side in (box.y0, box.y1) if run.imag]
    shares = np.clip((0.0, 1.0, *at_sides), 0, 1)
    places = begin + shares * run
    inside = shares[np.abs(_nearest_in_box(box, places) - places) <= TOUCH_MM]
    return complex(begin + run * (inside.min() + inside.max()) / 2)


def _as_points(places: NDArray[np.complex128]) -> Array:
    """Return complex numbers (n,) as points (n, 2)."""
    return np.stack((places.real, places.imag), -1)
