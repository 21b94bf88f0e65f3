"""A two-link arm between a fixed shaft and a part that turns: its poses, reach and dead points.

Lengths in mm, angles in radians, in the frame of the turning part: pivot at the origin, the part along +x at angle 0,
opening counter-clockwise.  The driving link turns on the shaft, the driven link is pinned to the part; they meet in the
elbow.  Position and speed of a planar four-bar: any textbook of mechanism design; the closed forms of reach and dead
points are our own derivation, compared with an independent linkage library.
"""

from math import acos, atan2, cos, hypot, pi, sin, tau
from typing import Literal, NamedTuple

import numpy as np

from siteplan.geometry.points import Array, Point, distance_between, turned

REACH_SHARE = 1e-9  # a straight arm is exactly as long as its reach: rounding must not throw it out
ON_PIVOT_MM = 1e-6


class Linkage(NamedTuple):
    """Shaft, bracket pin on the part at angle 0, both links, and on which side the elbow stands.

    ``elbow`` is +1 left of the ray from shaft to pin, -1 right of it.
    """

    shaft: Point
    pin: Point
    driving_mm: float
    driven_mm: float
    elbow: int = 1

    @property
    def closed_reach_mm(self) -> float:
        """Distance of shaft and pin at angle 0."""
        return distance_between(self.shaft, self.pin)

    @property
    def spare_mm(self) -> float:
        """Sum of the links over the closed reach; below 0 the part cannot close."""
        return self.driving_mm + self.driven_mm - self.closed_reach_mm


class Poses(NamedTuple):
    """How an arm stands at angles of the part, each (n,) or (n, 2); NaN where the arm cannot reach."""

    angle_rad: Array
    crank_rad: Array  # direction of the driving link, without jumps from pose to pose
    elbow: Array
    pin: Array
    bend_rad: Array  # of the elbow off straight
    link_rad: Array  # of the driven link against the part: from its pivot end towards its opening side, square is pi/2
    part_arm_mm: Array  # moment arm of the driven link's line about the pivot
    shaft_arm_mm: Array  # and about the shaft

    @property
    def torque_ratio(self) -> Array:
        """Crank turn for each turn of the part; infinite where the links are in line."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return self.part_arm_mm / self.shaft_arm_mm

    @property
    def speed_ratio(self) -> Array:
        """Turn of the part for each turn of the crank: the inverse of the torque ratio, never to be mixed with it."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return self.shaft_arm_mm / self.part_arm_mm


class DeadPoint(NamedTuple):
    """An angle of the part at which the arm can push no further."""

    angle_rad: float
    kind: Literal["straight", "folded", "no lever"]


def poses(arm: Linkage, angles_rad: Array) -> Poses:
    """Return how an arm stands at angles of the part, shape (n,), in rising or falling order."""
    angles = np.asarray(angles_rad, dtype=np.float64)
    shaft, pin_at_0 = complex(*arm.shaft), complex(*arm.pin)
    turn = np.exp(1j * angles)
    pin = pin_at_0 * turn
    reach = pin - shaft
    length = np.abs(reach)
    with np.errstate(invalid="ignore", divide="ignore"):
        cosine = (arm.driving_mm**2 + length**2 - arm.driven_mm**2) / (2 * arm.driving_mm * length)
        cosine = np.where(np.abs(cosine) > 1 + REACH_SHARE, np.nan, np.clip(cosine, -1, 1))
    crank = np.angle(reach) + arm.elbow * np.arccos(cosine)
    elbow = shaft + arm.driving_mm * np.exp(1j * crank)
    link = (pin - elbow) / arm.driven_mm
    to_elbow = -link / turn  # seen from the part
    known = ~np.isnan(crank)
    crank[known] = np.unwrap(crank[known])
    return Poses(
        angles,
        crank,
        _points(elbow),
        _points(pin),
        np.abs(np.angle((pin - elbow) * np.conj(elbow - shaft))),
        np.angle(-to_elbow.conjugate()),
        (pin.conjugate() * link).imag,
        ((elbow - shaft).conjugate() * link).imag,
    )


def reach_at(shaft: Point, pin: Point, angle_rad: float) -> float:
    """Return the distance of shaft and pin at an angle of the part."""
    return distance_between(shaft, turned(pin, angle_rad))


def farthest_reach(shaft: Point, pin: Point, turn_rad: float) -> tuple[float, float]:
    """Return the least and the greatest distance of shaft and pin while the part turns from 0, without a sweep.

    The distance is a cosine of the angle between the two, seen from the pivot: its extremes lie at the ends of the
    turn, or where the two are in line with the pivot.
    """
    in_line = _in_line_rad(shaft, pin)
    between = [angle for angle in (in_line % tau, (in_line + pi) % tau) if angle < turn_rad]
    lengths = [reach_at(shaft, pin, angle) for angle in (0.0, turn_rad, *between)]
    return min(lengths), max(lengths)


def angles_at_reach(shaft: Point, pin: Point, reach_mm: float) -> tuple[float, ...]:
    """Return the angles of the part, from -pi to pi, at which shaft and pin stand so far apart; the nearest to 0 first.

    Law of cosines on pivot, shaft and pin.
    """
    to_shaft, to_pin = hypot(*shaft), hypot(*pin)
    if to_shaft < ON_PIVOT_MM or to_pin < ON_PIVOT_MM:
        return ()
    cosine = (to_shaft**2 + to_pin**2 - reach_mm**2) / (2 * to_shaft * to_pin)
    if abs(cosine) > 1:
        return ()
    in_line, half = _in_line_rad(shaft, pin), acos(cosine)
    angles = {_about_zero(in_line - half), _about_zero(in_line + half)}
    return tuple(sorted(angles, key=abs))


def stopped_short_rad(arm: Linkage) -> float:
    """Return at which angle a closing part is stopped because the links are too short; 0 where it closes."""
    if arm.spare_mm >= -REACH_SHARE * arm.closed_reach_mm:
        return 0.0
    return next((angle for angle in angles_at_reach(*arm[:2], arm.driving_mm + arm.driven_mm) if angle > 0), pi)


def dead_points(arm: Linkage, turn_rad: float) -> tuple[DeadPoint, ...]:
    """Return where the arm is dead while the part turns from just after 0 to the end of its turn, by angle.

    The links stand in line there, straight or folded; or the driven link points at the pivot and has no lever.
    """
    found = []
    kinds: tuple[tuple[Literal["straight", "folded"], float], ...] = (
        ("straight", arm.driving_mm + arm.driven_mm),
        ("folded", abs(arm.driving_mm - arm.driven_mm)),
    )
    for kind, reach in kinds:
        found += [DeadPoint(angle, kind) for angle in angles_at_reach(arm.shaft, arm.pin, reach)]
    found += [DeadPoint(angle, "no lever") for angle in _without_lever(arm)]
    inside = (each for each in found if ON_PIVOT_MM < each.angle_rad < turn_rad - ON_PIVOT_MM)
    return tuple(sorted(inside, key=lambda each: each.angle_rad))


def _without_lever(arm: Linkage) -> list[float]:
    """Return the angles at which pivot, pin and elbow are in line, with the elbow on the arm's own side."""
    to_pin, to_shaft = hypot(*arm.pin), hypot(*arm.shaft)
    off = atan2(arm.pin[1], arm.pin[0])
    angles = []
    for signed in (to_pin + arm.driven_mm, to_pin - arm.driven_mm):  # of the elbow, along the ray to the pin
        away = abs(signed)
        if min(away, to_shaft) < ON_PIVOT_MM:
            continue
        cosine = (to_shaft**2 + away**2 - arm.driving_mm**2) / (2 * to_shaft * away)
        if abs(cosine) > 1:
            continue
        for side in (1, -1):
            direction = atan2(arm.shaft[1], arm.shaft[0]) + side * acos(cosine) + (0.0 if signed > 0 else pi)
            angle = _about_zero(direction - off)
            if _stands_so(arm, angle, signed):
                angles.append(angle)
    return angles


def _stands_so(arm: Linkage, angle_rad: float, along_mm: float) -> bool:
    """Whether the elbow of the arm's own side lies on the ray from the pivot to the pin, so far out."""
    pose = poses(arm, np.array((angle_rad,)))
    pin = complex(*pose.pin[0])
    wanted = pin / abs(pin) * along_mm
    return bool(abs(complex(*pose.elbow[0]) - wanted) < 1e-6 * max(arm.driven_mm, 1.0))


def _in_line_rad(shaft: Point, pin: Point) -> float:
    """Return the angle of the part at which the pin points at the shaft, seen from the pivot."""
    return atan2(shaft[1], shaft[0]) - atan2(pin[1], pin[0])


def _about_zero(angle_rad: float) -> float:
    return atan2(sin(angle_rad), cos(angle_rad))


def _points(places: np.ndarray) -> Array:
    return np.stack((places.real, places.imag), -1)
