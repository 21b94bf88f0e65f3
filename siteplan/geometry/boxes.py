"""The rectangle that turns about the origin of its frame. Lengths in mm, angles in radians."""

from math import cos, hypot, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.points import Array, Point

TOUCH_MM = 1e-6  # nearer than this is touching: rounding must not hide a graze
POINT_MM = 1e-9  # a segment shorter than this is a point


class Box(NamedTuple):
    """A rectangle in the axes of a turning part: x along the part from its pivot, y across it.

    At angle 0 its axes are those of the frame; it turns counter-clockwise about the frame's origin.
    ``x0`` below 0 is a heel behind the pivot; ``y0`` and ``y1`` of one sign are a pivot off the part's plane.
    """

    x0: float
    x1: float
    y0: float
    y1: float

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The corners, counter-clockwise from (x0, y0)."""
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))

    @property
    def reach_mm(self) -> float:
        """Distance of the farthest corner from the pivot."""
        return max(hypot(x, y) for x, y in self.corners)

    def turned_corners(self, angle_rad: float) -> Array:
        """Return the corners at an angle, shape (4, 2), in the frame."""
        cosine, sine = cos(angle_rad), sin(angle_rad)
        corners = np.array(self.corners)
        return np.stack(
            (cosine * corners[:, 0] - sine * corners[:, 1], sine * corners[:, 0] + cosine * corners[:, 1]), -1
        )

    def from_along(self, distance_mm: float) -> "Box | None":
        """Return the part of the box at or beyond a distance along x; None when nothing lies there."""
        return self._replace(x0=max(self.x0, distance_mm)) if distance_mm < self.x1 else None

    def up_to_along(self, distance_mm: float) -> "Box | None":
        """Return the part of the box up to a distance along x; None when nothing lies there."""
        return self._replace(x1=min(self.x1, distance_mm)) if distance_mm > self.x0 else None


def ends_of(segments: Array) -> NDArray[np.complex128]:
    """Return the two ends of segments, shape (n, 4), as complex numbers x + iy, shape (n, 2)."""
    return np.ascontiguousarray(segments, dtype=np.float64).reshape(-1, 4).view(np.complex128)


def nearest_to_pivot(segments: Array) -> Array:
    """Return the least distance of each segment, shape (n, 4), from the pivot, shape (n,), in mm."""
    ends = ends_of(segments)
    begin, run = ends[:, 0], ends[:, 1] - ends[:, 0]
    length_squared = run.real**2 + run.imag**2
    share = -(begin.real * run.real + begin.imag * run.imag) / np.where(length_squared > 0, length_squared, 1)
    nearest: Array = np.abs(begin + np.minimum(np.maximum(share, 0), 1) * run)
    return nearest


def box_distances(box: Box, segments: Array, angles_rad: float | Array) -> Array:
    """Return the distance of each segment, shape (n, 4), from the box turned to an angle; 0 where they meet.

    ``angles_rad`` is one angle for all, or one for each segment, shape (n,). Result: shape (n,), in mm.
    By the separating-axis theorem two convex shapes are apart if they are so along an axis of the box or along the
    normal of the segment. Their distance is then that of an end of the segment, or that of the corner farthest
    towards the segment's line if its foot lies within the segment.
    """
    half_x, half_y = (box.x1 - box.x0) / 2, (box.y1 - box.y0) / 2
    ends = np.multiply(ends_of(segments).T, np.exp(-1j * np.asarray(angles_rad)), order="C")
    ends_x, ends_y = ends.real - (box.x0 + box.x1) / 2, ends.imag - (box.y0 + box.y1) / 2  # from the middle of the box
    begin_x, begin_y = ends_x[0], ends_y[0]
    run_x, run_y = ends_x[1] - begin_x, ends_y[1] - begin_y
    wide_x, wide_y = np.abs(run_x), np.abs(run_y)

    past_x, past_y = np.maximum(np.abs(ends_x) - half_x, 0), np.maximum(np.abs(ends_y) - half_y, 0)
    past = past_x * past_x + past_y * past_y
    squared = np.minimum(past[0], past[1])

    length_squared = run_x * run_x + run_y * run_y
    offset = run_x * begin_y - run_y * begin_x  # of the segment's line, times its length; left of the run is positive
    past_line = np.abs(offset) - half_x * wide_y - half_y * wide_x
    is_off_line = past_line > 0
    corner_x, corner_y = half_x * np.sign(-run_y * offset), half_y * np.sign(run_x * offset)
    foot = (corner_x - begin_x) * run_x + (corner_y - begin_y) * run_y  # along the segment, times its length
    footed = is_off_line & (foot >= 0) & (foot <= length_squared) & (length_squared > POINT_MM**2)
    from_corner = past_line * past_line / np.where(footed, length_squared, 1)
    squared = np.where(footed, np.minimum(squared, from_corner), squared)

    apart = (
        is_off_line
        | (np.abs(begin_x + run_x / 2) > half_x + wide_x / 2)
        | (np.abs(begin_y + run_y / 2) > half_y + wide_y / 2)
    )
    return np.where(apart, np.sqrt(squared), 0.0)
