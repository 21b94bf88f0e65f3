"""Segments cut off at a line. Lengths in mm, angles in radians, y up."""

from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.points import Array

TOUCHING_MM = 1e-6  # a segment that only reaches the line has no part beyond it


def beyond_along(segments: Array, direction_rad: float, distance_mm: float) -> tuple[Array, NDArray[np.intp]]:
    """Return the parts of segments that lie beyond a distance along a direction from the origin.

    Parameters
    ----------
    segments
        Shape (n, 4): x1 y1 x2 y2.

    Returns
    -------
    tuple
        The parts, shape (k, 4), and the row of ``segments`` each belongs to, shape (k,).
    """
    along = np.array((cos(direction_rad), sin(direction_rad)))
    first, second = segments[:, :2] @ along - distance_mm, segments[:, 2:] @ along - distance_mm
    kept = np.flatnonzero(np.maximum(first, second) > TOUCHING_MM)
    first, second = first[kept], second[kept]
    if not ((first < 0) | (second < 0)).any():
        return segments[kept], kept
    span = np.where(first == second, 1.0, first - second)
    share = np.clip(first / span, 0.0, 1.0)  # where the segment crosses the line, counted from its first end
    crossing = segments[kept, :2] + share[:, None] * (segments[kept, 2:] - segments[kept, :2])
    starts = np.where((first < 0)[:, None], crossing, segments[kept, :2])
    ends = np.where((second < 0)[:, None], crossing, segments[kept, 2:])
    return np.hstack((starts, ends)), kept
