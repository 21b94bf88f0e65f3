"""The stroke of an arm in time: a shaft that runs up, turns evenly and comes to rest.  Seconds, mm, radians."""

from math import sqrt
from typing import NamedTuple

import numpy as np

from siteplan.geometry.linkage import Linkage, poses
from siteplan.geometry.points import Array

STEPS = 721


class Stroke(NamedTuple):
    """Leaf angle and leaf speed against time, from closed to open; closing is its mirror in time."""

    times_s: Array
    angles_rad: Array
    speeds_rad_s: Array

    @property
    def total_s(self) -> float:
        """Time of the whole stroke."""
        return float(self.times_s[-1])

    @property
    def peak_rad_s(self) -> float:
        """Greatest speed of the part."""
        return float(np.max(self.speeds_rad_s))

    def time_at(self, angle_rad: float) -> float:
        """Return the time at which an opening part has turned to an angle."""
        return float(np.interp(angle_rad, self.angles_rad, self.times_s))


def stroke_time(travel_rad: float, speed_rad_s: float, ramp_s: float) -> float:
    """Return how long a shaft takes for a travel, with even ramps at both ends; it may never get to its speed."""
    if travel_rad < speed_rad_s * ramp_s:
        return 2 * sqrt(travel_rad * ramp_s / speed_rad_s)
    return travel_rad / speed_rad_s + ramp_s


def stroke(arm: Linkage, open_rad: float, speed_rad_s: float, ramp_s: float) -> Stroke:
    """Return the motion of the part from 0 to its open angle.

    The arm must have no dead point on the way, and reach at every angle.
    """
    angles = open_rad * (1 - np.cos(np.linspace(0, np.pi, STEPS))) / 2  # closer together at the ends
    pose = poses(arm, angles)
    turned = np.abs(pose.crank_rad - pose.crank_rad[0])
    travel = float(turned[-1])
    times = _times(turned, travel, speed_rad_s, ramp_s)
    total = stroke_time(travel, speed_rad_s, ramp_s)
    crank_speed = np.minimum(_ramped(times, speed_rad_s, ramp_s), _ramped(total - times, speed_rad_s, ramp_s))
    return Stroke(times, angles, crank_speed * np.abs(pose.speed_ratio))


def _ramped(times: Array, speed_rad_s: float, ramp_s: float) -> Array:
    if ramp_s == 0:
        return np.full_like(times, speed_rad_s)
    return np.minimum(speed_rad_s, speed_rad_s / ramp_s * np.maximum(times, 0.0))


def _times(turned: Array, travel_rad: float, speed_rad_s: float, ramp_s: float) -> Array:
    """Return the times at which the shaft has turned so far: the law of the ramps turned round."""
    total = stroke_time(travel_rad, speed_rad_s, ramp_s)
    if ramp_s == 0:
        return turned / speed_rad_s
    first_half = np.minimum(turned, travel_rad - turned)
    pull = speed_rad_s / ramp_s
    in_ramp = min(speed_rad_s * ramp_s / 2, travel_rad / 2)
    times = np.where(
        first_half <= in_ramp,
        np.sqrt(2 * np.maximum(first_half, 0.0) / pull),
        ramp_s + (first_half - in_ramp) / speed_rad_s,
    )
    return np.where(turned <= travel_rad / 2, times, total - times)
