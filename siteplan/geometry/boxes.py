"""The rectangle that turns about the origin of its frame. Lengths in mm, angles in radians."""

from math import cos, hypot, sin
from typing import NamedTuple

import numpy as np

from siteplan.geometry.points import Array, Point


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
