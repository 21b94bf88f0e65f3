"""Points, and the frame of a turning part. Lengths in mm, angles in radians, y up, counter-clockwise positive."""

from math import atan2, cos, hypot, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Array = NDArray[np.float64]


class Frame(NamedTuple):
    """A local frame: x' along a direction of the plan, y' to its left, or to its right when mirrored.

    Mirroring lets one set of formulas serve parts that turn clockwise: in its own frame every part turns
    counter-clockwise.
    """

    origin: Point
    along_rad: float  # direction of x' in the plan
    side: int = 1  # +1: y' lies left of x'; -1: right of it

    def to_world(self, points: Array) -> Array:
        """Return local points, shape (..., 2), in the plan."""
        placed: Array = points @ self._axes + self.origin
        return placed

    def to_local(self, points: Array) -> Array:
        """Return plan points, shape (..., 2), in this frame."""
        placed: Array = (points - self.origin) @ self._axes.T
        return placed

    @property
    def _axes(self) -> Array:
        """The directions of x' and y' in the plan, one a row."""
        cosine, sine = cos(self.along_rad), sin(self.along_rad)
        return np.array(((cosine, sine), (-self.side * sine, self.side * cosine)))

    def point_to_world(self, point: Point) -> Point:
        """Return one local point in the plan."""
        cosine, sine = cos(self.along_rad), sin(self.along_rad)
        x, y = point[0], self.side * point[1]
        return (self.origin[0] + cosine * x - sine * y, self.origin[1] + sine * x + cosine * y)

    def point_to_local(self, point: Point) -> Point:
        """Return one plan point in this frame."""
        cosine, sine = cos(self.along_rad), sin(self.along_rad)
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        return (cosine * dx + sine * dy, self.side * (cosine * dy - sine * dx))

    def angle_to_world(self, angle_rad: float) -> float:
        """Return the plan direction of a local direction."""
        return self.along_rad + self.side * angle_rad

    def segments_to_local(self, segments: Array) -> Array:
        """Return plan segments, shape (n, 4) as x1 y1 x2 y2, in this frame."""
        return self.to_local(segments.reshape(-1, 2, 2)).reshape(-1, 4)


def point_at(origin: Point, distance_mm: float, direction_rad: float) -> Point:
    """Return the point at a distance and direction from another."""
    return (origin[0] + distance_mm * cos(direction_rad), origin[1] + distance_mm * sin(direction_rad))


def distance_between(first: Point, second: Point) -> float:
    """Return the distance of two points."""
    return hypot(second[0] - first[0], second[1] - first[1])


def direction_between(first: Point, second: Point) -> float:
    """Return the direction from the first point to the second."""
    return atan2(second[1] - first[1], second[0] - first[0])


def turned(point: Point, angle_rad: float) -> Point:
    """Return a point turned about the origin."""
    cosine, sine = cos(angle_rad), sin(angle_rad)
    return (cosine * point[0] - sine * point[1], sine * point[0] + cosine * point[1])


def sorted_distinct(values: Array) -> Array:
    """Return the distinct numbers of a one-dimensional array in rising order.

    ``numpy.unique`` does the same, but loads the masked arrays for it, which costs a tenth of our start.
    """
    rising = np.sort(values)
    is_new = np.ones(len(rising), dtype=bool)
    is_new[1:] = rising[1:] != rising[:-1]
    return rising[is_new]
