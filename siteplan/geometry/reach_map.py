"""Where the shaft of an arm may stand: every place of a grid judged at once, with the first reason against it.

Lengths in mm, angles in radians, in the frame of the turning part (``linkage.py``).  Links follow the square rule:
straight at 0, the driven one square to the part when open.
"""

from collections.abc import Callable, Iterator
from enum import IntEnum
from math import atan2, cos, hypot, inf, pi, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from siteplan.geometry.contact import brought_into_turn
from siteplan.geometry.link_lengths import NEAR_MM
from siteplan.geometry.linkage import REACH_SHARE
from siteplan.geometry.points import Array, Point

Codes = NDArray[np.uint8]
Mask = NDArray[np.bool_]


class Reason(IntEnum):
    """Why the shaft cannot stand at a place, in the order in which they are asked; 0 is a good place."""

    GOOD = 0
    ROOM = 1  # outside the room there is for housing and form
    SIDE = 2  # on the leaf's line, or on the side from which no link stands square
    LEAF = 3  # too near to the line of the open leaf
    LENGTH = 4  # no link length works
    ELBOW = 5  # the elbow would have to change sides
    REACH = 6  # the arm would be stretched or folded on the way
    DRIVING = 7  # driving link out of stock
    DRIVEN = 8  # driven link out of stock
    TRAVEL = 9  # crank travel
    CLEAR = 10  # elbow too near to something fixed, or beyond it
    RATIO = 11  # torque ratio too small


class ReachLimits(NamedTuple):
    """What the arm of a drive can do, and the room there is for it."""

    driving_mm: tuple[float, float] = (0.0, inf)
    driven_mm: tuple[float, float] = (0.0, inf)
    crank_travel_rad: float = 2 * pi
    least_ratio: float = 0.0
    out_mm: tuple[float, float] = (-inf, inf)  # set-out of the shaft, away from the opening
    in_mm: tuple[float, float] = (-inf, inf)  # set-in of the shaft, to the opening side
    off_leaf_mm: float = 0.0  # of the shaft from the line of the open leaf
    clear_mm: float = 0.0  # from the middle of the elbow to what is fixed


class Judging(NamedTuple):
    """At which angles of the part the ratio and the elbow are judged, steps between them, and from where the ratio."""

    step_rad: float = pi / 90
    ratio_from_rad: float = pi / 45


EVERY_TWO_DEGREES = Judging()


class _Cells(NamedTuple):
    """Places that are still good, with their links; each (n,)."""

    x: Array
    y: Array
    driving: Array
    driven: Array
    reach: Array  # closed
    bearing: Array  # of the closed pin from the shaft

    def only(self, kept: Mask) -> "_Cells":
        return _Cells(*(field[kept] for field in self))


Test = Callable[[_Cells], Mask]


def reach_codes(
    shafts: Array,
    pin: Point,
    open_rad: float,
    limits: ReachLimits,
    fixed: Array,
    judging: Judging = EVERY_TWO_DEGREES,
    skipped: tuple[Reason, ...] = (),
) -> Codes:
    """Return for each shaft place, shape (n, 2), the first reason against it, shape (n,).

    ``fixed`` are lines the elbow must stay off, shape (m, 4): boundary, fences, walls; it must also stay on the
    pivot's side of each.  ``skipped`` leaves tests out, for showing what they are good for.
    """
    codes = np.zeros(len(shafts), dtype=np.uint8)
    alive = np.arange(len(shafts))
    cells = _cells(shafts, pin, open_rad)
    for reason, is_bad in _tests(pin, open_rad, limits, fixed, judging):
        if reason not in skipped and len(alive):
            bad = is_bad(cells)
            codes[alive[bad]] = reason
            alive, cells = alive[~bad], cells.only(~bad)
    return codes


def nearest_good(shafts: Array, codes: Codes, wanted: Point) -> Point | None:
    """Return the good place nearest to a wanted one, or None where no place is good."""
    good = shafts[codes == Reason.GOOD]
    if not len(good):
        return None
    x, y = good[np.argmin(np.hypot(good[:, 0] - wanted[0], good[:, 1] - wanted[1]))]
    return float(x), float(y)


def grid(left: float, bottom: float, right: float, top: float, columns: int, rows: int) -> Array:
    """Return the middles of a grid of places, rows from below, shape (rows * columns, 2)."""
    x = np.linspace(left, right, columns)
    y = np.linspace(bottom, top, rows)
    return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)


def _cells(shafts: Array, pin: Point, open_rad: float) -> _Cells:
    """Return all places with the links of the square rule, NaN or not above 0 where there are none."""
    x, y = np.ascontiguousarray(shafts[:, 0]), np.ascontiguousarray(shafts[:, 1])
    cosine, sine = cos(open_rad), sin(open_rad)
    open_x, open_y = pin[0] * cosine - pin[1] * sine, pin[0] * sine + pin[1] * cosine
    reach_squared = (pin[0] - x) ** 2 + (pin[1] - y) ** 2
    reach = np.sqrt(reach_squared)
    open_squared = (open_x - x) ** 2 + (open_y - y) ** 2
    along = -(open_x - x) * sine + (open_y - y) * cosine
    with np.errstate(divide="ignore", invalid="ignore"):
        driven = (reach_squared - open_squared) / (2 * (reach + along))
    return _Cells(x, y, reach - driven, driven, reach, np.arctan2(pin[1] - y, pin[0] - x))


def _tests(
    pin: Point, open_rad: float, limits: ReachLimits, fixed: Array, judging: Judging
) -> Iterator[tuple[Reason, Test]]:
    cosine, sine = cos(open_rad), sin(open_rad)

    def travel(cells: _Cells) -> Mask:
        elbow_x, elbow_y = _elbow(cells, pin, open_rad)
        turned = np.arctan2(elbow_y - cells.y, elbow_x - cells.x) - cells.bearing
        return brought_into_turn(turned) > limits.crank_travel_rad

    def reach(cells: _Cells) -> Mask:
        """Judge the extremes of the distance of shaft and pin: at the ends of the turn, or in line with the pivot."""
        to_pin, to_shaft = hypot(*pin), np.hypot(cells.x, cells.y)
        in_line = np.arctan2(cells.y, cells.x) - atan2(pin[1], pin[0])
        stretched = brought_into_turn(in_line + pi) < open_rad
        nearest = np.where(brought_into_turn(in_line) < open_rad, np.abs(to_pin - to_shaft), inf)
        folded: Mask = nearest < np.abs(cells.driving - cells.driven) * (1 - REACH_SHARE)
        return stretched | folded

    def ratio(cells: _Cells) -> Mask:
        angles = np.arange(judging.ratio_from_rad, open_rad + 1e-9, judging.step_rad)
        return _at_some_angle(cells, _worst_first(angles), lambda some, at: _ratio(some, pin, at) < limits.least_ratio)

    def clear(cells: _Cells) -> Mask:
        near = fixed[_reachable(fixed, cells, pin, limits.clear_mm)]
        angles = np.arange(0.0, open_rad + 1e-9, judging.step_rad)[::-1]
        return _at_some_angle(cells, angles, lambda some, at: _too_near(_elbow(some, pin, at), near, limits.clear_mm))

    yield Reason.ROOM, lambda cells: _outside(-cells.x, limits.out_mm) | _outside(cells.y, limits.in_mm)
    yield Reason.SIDE, lambda cells: cells.y <= NEAR_MM
    yield Reason.LEAF, lambda cells: np.abs(cells.y * cosine - cells.x * sine) < limits.off_leaf_mm
    yield Reason.LENGTH, lambda cells: ~((cells.driven > NEAR_MM) & (cells.driving > NEAR_MM))
    yield Reason.ELBOW, lambda cells: cells.x * cosine + cells.y * sine >= pin[0] - NEAR_MM
    yield Reason.REACH, reach
    yield Reason.DRIVING, lambda cells: _outside(cells.driving, limits.driving_mm)
    yield Reason.DRIVEN, lambda cells: _outside(cells.driven, limits.driven_mm)
    yield Reason.TRAVEL, travel
    if len(fixed):
        yield Reason.CLEAR, clear
    if limits.least_ratio > 0:
        yield Reason.RATIO, ratio


def _outside(values: Array, bounds: tuple[float, float]) -> Mask:
    return (values < bounds[0] - NEAR_MM) | (values > bounds[1] + NEAR_MM)


def _worst_first(angles: Array) -> Array:
    """Return angles from the middle outward: the ratio is mostly least there, and what fails early costs little."""
    return angles[np.argsort(np.abs(angles - angles.mean()), kind="stable")]


def _at_some_angle(cells: _Cells, angles: Array, is_bad: Callable[[_Cells, float], Mask]) -> Mask:
    """Return which cells are bad at any angle; those that are so at one are not asked again."""
    bad = np.zeros(len(cells.x), dtype=bool)
    alive = np.arange(len(cells.x))
    for angle in angles:
        if not len(alive):
            break
        now = is_bad(cells, float(angle))
        bad[alive[now]] = True
        alive, cells = alive[~now], cells.only(~now)
    return bad


def _elbow(cells: _Cells, pin: Point, angle_rad: float) -> tuple[Array, Array]:
    """Return the elbow, on the left of the ray from shaft to pin."""
    to_x = pin[0] * cos(angle_rad) - pin[1] * sin(angle_rad) - cells.x
    to_y = pin[0] * sin(angle_rad) + pin[1] * cos(angle_rad) - cells.y
    squared = to_x * to_x + to_y * to_y
    along = (cells.driving**2 - cells.driven**2 + squared) / 2  # times the reach
    across = np.sqrt(np.maximum(cells.driving**2 * squared - along**2, 0.0))
    return cells.x + (along * to_x - across * to_y) / squared, cells.y + (along * to_y + across * to_x) / squared


def _ratio(cells: _Cells, pin: Point, angle_rad: float) -> Array:
    """Return the torque ratio: moment arm of the driven link about the pivot over that about the shaft."""
    pin_x = pin[0] * cos(angle_rad) - pin[1] * sin(angle_rad)
    pin_y = pin[0] * sin(angle_rad) + pin[1] * cos(angle_rad)
    elbow_x, elbow_y = _elbow(cells, pin, angle_rad)
    link_x, link_y = pin_x - elbow_x, pin_y - elbow_y
    shaft_arm = (elbow_x - cells.x) * link_y - (elbow_y - cells.y) * link_x
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio: Array = (pin_x * link_y - pin_y * link_x) / shaft_arm
    return np.where(ratio < 0, 0.0, ratio)


def _reachable(fixed: Array, cells: _Cells, pin: Point, clear_mm: float) -> Mask:
    """Return which fixed lines any elbow can come near: those within the longest driving link of any shaft."""
    if not len(cells.x):
        return np.zeros(len(fixed), dtype=bool)
    far = cells.driving.max() + clear_mm
    left, right = cells.x.min() - far, cells.x.max() + far
    low, high = cells.y.min() - far, cells.y.max() + far
    within: Mask = (
        (np.minimum(fixed[:, 0], fixed[:, 2]) <= right)
        & (np.maximum(fixed[:, 0], fixed[:, 2]) >= left)
        & (np.minimum(fixed[:, 1], fixed[:, 3]) <= high)
        & (np.maximum(fixed[:, 1], fixed[:, 3]) >= low)
    )
    return within


def _too_near(places: tuple[Array, Array], fixed: Array, clear_mm: float) -> Mask:
    """Return which places lie nearer to a line than they may, or on its far side seen from the pivot."""
    x, y = places
    bad = np.zeros(len(x), dtype=bool)
    for x1, y1, x2, y2 in fixed.tolist():
        run_x, run_y = x2 - x1, y2 - y1
        squared = run_x * run_x + run_y * run_y or 1.0
        share = ((x - x1) * run_x + (y - y1) * run_y) / squared
        beside = (share >= 0) & (share <= 1)
        off = ((x - x1) * run_y - (y - y1) * run_x) / squared**0.5
        own_side = -x1 * run_y + y1 * run_x
        off = np.where(own_side < 0, -off, off)
        ends = np.minimum((x - x1) ** 2 + (y - y1) ** 2, (x - x2) ** 2 + (y - y2) ** 2)
        bad |= np.where(beside, off < clear_mm - NEAR_MM, ends < (clear_mm - NEAR_MM) ** 2)
    return bad
