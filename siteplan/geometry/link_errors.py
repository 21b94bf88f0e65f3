"""What an arm forgives: reach lost near closed, what misplaced shafts and links do, the chance that it closes.

Lengths in mm, angles in radians, in the frame of the turning part (``linkage.py``).  First-order formulas are
derivatives of the closed forms there (own derivation, compared with finite differences and drawn samples).
"""

from math import hypot, sqrt
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from siteplan.geometry.linkage import Linkage, poses
from siteplan.geometry.points import Point, distance_between


class Sensitivity(NamedTuple):
    """By how much the part turns, in rad per mm, for each number of the arm while its shaft is held."""

    driving: float
    driven: float
    out: float  # shaft away from the opening
    inward: float  # shaft to the opening side
    bracket: float
    bracket_off: float


def closing_loss(shaft: Point, pin: Point) -> float:
    """Return how fast the reach falls as the part leaves 0, in mm per rad: (e c + b d) / D in the trade's letters."""
    return (pin[0] * shaft[1] - pin[1] * shaft[0]) / distance_between(shaft, pin)


def sensitivity(arm: Linkage, angle_rad: float) -> Sensitivity:
    """Return what each number does to the angle of the part at a pose; infinite where the arm is dead."""
    pose = poses(arm, np.array((angle_rad,)))
    part_arm = float(pose.part_arm_mm[0])
    link = (pose.pin[0] - pose.elbow[0]) / arm.driven_mm
    crank = (pose.elbow[0] - np.array(arm.shaft)) / arm.driving_mm
    along = np.array((np.cos(angle_rad), np.sin(angle_rad)))
    across = np.array((-along[1], along[0]))
    if part_arm == 0:
        return Sensitivity(*[float("inf")] * 6)
    parts = (link @ crank, 1.0, -link[0], link[1], -link @ along, -link @ across)
    return Sensitivity(*(float(part) / part_arm for part in parts))


def reach_spread(shaft: Point, pin: Point) -> float:
    """Return the standard deviation of the closed reach when set-out, set-in and bracket each have one of 1."""
    reach = distance_between(shaft, pin)
    along, across = (pin[0] - shaft[0]) / reach, (shaft[1] - pin[1]) / reach
    return sqrt(2 * along**2 + across**2)


def chance_of_closing(shaft: Point, pin: Point, spare_mm: float, placing_mm: float) -> float:
    """Return the chance that links cut to the drawing let the part close fully once the pad is poured.

    ``placing_mm`` is the standard deviation of set-out, set-in and bracket, each by itself; to first order.
    """
    return NormalDist().cdf(spare_mm / (reach_spread(shaft, pin) * placing_mm))


def spare_for_chance(shaft: Point, pin: Point, chance: float, placing_mm: float) -> float:
    """Return the spare reach to design in for a chance above one half."""
    return NormalDist().inv_cdf(chance) * reach_spread(shaft, pin) * placing_mm


def drawn_chance_of_closing(
    shaft: Point, pin: Point, spare_mm: float, placing_mm: float, draws: int = 200_000, seed: int = 1
) -> float:
    """Return the same chance by seeded random draws, without the first-order step."""
    out, inward, bracket = np.random.default_rng(seed).normal(0.0, placing_mm, (3, draws))
    reach = np.hypot(pin[0] + bracket - (shaft[0] - out), pin[1] - (shaft[1] + inward))
    total = hypot(pin[0] - shaft[0], pin[1] - shaft[1]) + spare_mm
    return float((reach <= total).mean())
