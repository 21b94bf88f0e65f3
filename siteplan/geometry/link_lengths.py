"""How long the links of an arm must be: the trade's rules in closed form.  Lengths in mm, angles in radians.

In the frame of the turning part, as in ``linkage.py``.  All closed forms are our own derivation (law of cosines), held
against loop closure and an independent linkage library.
"""

from collections.abc import Callable
from enum import Enum
from math import hypot, pi, sin
from typing import NamedTuple

from siteplan.geometry.linkage import REACH_SHARE, Linkage, farthest_reach, reach_at
from siteplan.geometry.points import Point, direction_between, distance_between, point_at, turned

NEAR_MM = 1e-6
OFF_LINE_MM = 1.0  # a shaft farther off the line of both pins is not in line
MOST_STEPS = 40


class Refusal(Enum):
    """Why no links can be worked out."""

    NO_LEVER = "no lever"  # the pin stands on the pivot
    ON_PIVOT = "on the hinge axis"  # the arm would turn with the part
    ON_LINE = "on the line of the leaf"  # both links and the part would be in line: nothing says which way to turn
    PUSHES = "pushes"  # from the far side no driven link can stand square
    ELBOW_FLIPS = "elbow flips"  # the elbow would have to change sides on the way
    NO_LENGTH = "no length works"
    STRETCHED = "stretched on the way"  # at some angle the pin is farther from the shaft than both links are long
    FOLDED = "folded on the way"  # or nearer than their difference
    OFF_LINE = "off the line"  # the shaft is not in line with both places of the pin


class Lengths(NamedTuple):
    """Both links."""

    driving_mm: float
    driven_mm: float


Worked = Lengths | Refusal


def square_links(shaft: Point, pin: Point, open_rad: float, spare_mm: float = 0.0) -> Worked:
    """Return links that are straight at angle 0 but for a spare, the driven one square to the part at the open angle.

    With w from shaft to the open pin, m the direction of the square link there and S closed reach and spare: the
    driving link is S less the driven one, and as long as w + driven m, which is linear in the driven link.
    """
    fault = refused_place(shaft, pin) or _refused_square(shaft, pin, open_rad)
    if fault:
        return fault
    return _that_reach(shaft, pin, open_rad, _square(shaft, pin, open_rad, distance_between(shaft, pin) + spare_mm))


def bent_links(shaft: Point, pin: Point, open_rad: float, bend_rad: float) -> Worked:
    """Return links as ``square_links`` does, with the elbow bent by an angle at 0 instead of a spare.

    The sum S of the links follows from the law of cosines, S² = D² + 4 sin²(bend / 2) driving driven, by secants.
    """
    fault = refused_place(shaft, pin) or _refused_square(shaft, pin, open_rad)
    if fault:
        return fault
    reach = distance_between(shaft, pin)

    def misfit(total_mm: float) -> float:
        links = _square(shaft, pin, open_rad, total_mm)
        if isinstance(links, Refusal):
            return float("nan")
        return total_mm**2 - reach**2 - 4 * sin(bend_rad / 2) ** 2 * links.driving_mm * links.driven_mm

    straight = _square(shaft, pin, open_rad, reach)
    if isinstance(straight, Refusal) or not bend_rad:
        return _that_reach(shaft, pin, open_rad, straight)
    first_guess = reach + bend_rad**2 * straight.driving_mm * straight.driven_mm / (2 * reach)
    total = _root(misfit, reach, first_guess)
    links = Refusal.NO_LENGTH if total is None else _square(shaft, pin, open_rad, total)
    return _that_reach(shaft, pin, open_rad, links)


def in_line_links(shaft: Point, pin: Point, open_rad: float) -> Worked:
    """Return links that are in line at both ends of the turn, straight at 0 and folded when open.

    The shaft stands on the line from the closed to the open pin, beyond the open one; the crank turns half a turn.
    """
    fault = refused_place(shaft, pin)
    if fault:
        return fault
    open_pin = turned(pin, open_rad)
    driving = distance_between(pin, open_pin) / 2
    driven = distance_between(pin, shaft) - driving
    straight_on = point_at(pin, distance_between(pin, shaft), direction_between(pin, open_pin))
    if distance_between(straight_on, shaft) > OFF_LINE_MM:
        return Refusal.OFF_LINE
    return Lengths(driving, driven) if driven > driving > 0 else Refusal.NO_LENGTH


def links_by_angles(shaft: Point, pin: Point, open_rad: float, closed_link_rad: float, open_link_rad: float) -> Worked:
    """Return links whose driven one stands at given angles to the part, closed and open; for arms that push.

    Angles as those of poses: from the pivot end of the part towards its opening side.
    """
    fault = refused_place(shaft, pin)
    if fault:
        return fault
    side, ends = elbow_side(shaft), []
    for angle, link in ((0.0, closed_link_rad), (open_rad, open_link_rad)):
        at = turned(pin, angle)
        reach = (at[0] - shaft[0], at[1] - shaft[1])
        to_elbow = point_at((0.0, 0.0), 1.0, angle + pi - link)
        ends.append((reach, to_elbow, reach[0] * to_elbow[0] + reach[1] * to_elbow[1]))
    (closed, to_closed, along_closed), (opened, _, along_open) = ends
    slope = 2 * (along_closed - along_open)
    if abs(slope) < NEAR_MM:
        return Refusal.NO_LENGTH
    driven = (opened[0] ** 2 + opened[1] ** 2 - closed[0] ** 2 - closed[1] ** 2) / slope
    driving = hypot(closed[0] + driven * to_closed[0], closed[1] + driven * to_closed[1])
    if driven <= NEAR_MM or driving <= NEAR_MM:
        return Refusal.NO_LENGTH
    if any(side * (reach[0] * to_elbow[1] - reach[1] * to_elbow[0]) < 0 for reach, to_elbow, _ in ends):
        return Refusal.ELBOW_FLIPS
    return _that_reach(shaft, pin, open_rad, Lengths(driving, driven))


def elbow_side(shaft: Point) -> int:
    """Return the side of the elbow: to the opening side for a shaft that pulls, to its own side for one that pushes."""
    return 1 if shaft[1] > 0 else -1


def shaft_for_links(pin: Point, open_rad: float, links: Lengths, spare_mm: float = 0.0) -> tuple[Point, ...]:
    """Return where the shaft may stand for given links, straight when closed and square when open; pulling places only.

    The places lie where the circle of both links about the closed pin meets that of the driving link about the elbow
    of the open leaf.
    """
    open_elbow = point_at(turned(pin, open_rad), links.driven_mm, open_rad + pi / 2)
    places = circles_meet(pin, links.driving_mm + links.driven_mm - spare_mm, open_elbow, links.driving_mm)
    return tuple(place for place in places if place[1] > NEAR_MM and not _refused_square(place, pin, open_rad))


def bracket_for_spare(shaft: Point, off_mm: float, links: Lengths, spare_mm: float) -> float | None:
    """Return how far along the part the pin must stand for a spare reach, links and shaft being as they are."""
    reach, across = links.driving_mm + links.driven_mm - spare_mm, shaft[1] - off_mm
    if reach < abs(across):
        return None
    return float(shaft[0] + (reach**2 - across**2) ** 0.5)


def circles_meet(first: Point, first_mm: float, second: Point, second_mm: float) -> tuple[Point, ...]:
    """Return the places where two circles meet: none, or two."""
    apart = distance_between(first, second)
    if apart < NEAR_MM or not abs(first_mm - second_mm) <= apart <= first_mm + second_mm:
        return ()
    along = (first_mm**2 - second_mm**2 + apart**2) / (2 * apart)
    across = max(first_mm**2 - along**2, 0.0) ** 0.5
    direction = direction_between(first, second)
    foot = point_at(first, along, direction)
    return point_at(foot, across, direction + pi / 2), point_at(foot, -across, direction + pi / 2)


def refused_place(shaft: Point, pin: Point) -> Refusal | None:
    """Return why no arm at all can stand so, or None."""
    if hypot(*pin) < NEAR_MM or pin[0] <= NEAR_MM:
        return Refusal.NO_LEVER
    if hypot(*shaft) < NEAR_MM:
        return Refusal.ON_PIVOT
    return Refusal.ON_LINE if abs(shaft[1]) < NEAR_MM else None


def _that_reach(shaft: Point, pin: Point, open_rad: float, links: Worked) -> Worked:
    """Return links that close at every angle of the turn, or why they do not."""
    return links if isinstance(links, Refusal) else out_of_reach(shaft, pin, open_rad, links) or links


def out_of_reach(shaft: Point, pin: Point, open_rad: float, links: Lengths) -> Refusal | None:
    """Return why links do not close at every angle of the turn, or None where they do."""
    least, greatest = farthest_reach(shaft, pin, open_rad)
    total, difference = links.driving_mm + links.driven_mm, abs(links.driving_mm - links.driven_mm)
    if greatest > total * (1 + REACH_SHARE):
        return Refusal.STRETCHED
    return Refusal.FOLDED if least < difference * (1 - REACH_SHARE) else None


def _refused_square(shaft: Point, pin: Point, open_rad: float) -> Refusal | None:
    if shaft[1] < 0:
        return Refusal.PUSHES
    along_open_part = turned(shaft, -open_rad)[0]
    return Refusal.ELBOW_FLIPS if along_open_part >= pin[0] - NEAR_MM else None


def _square(shaft: Point, pin: Point, open_rad: float, total_mm: float) -> Worked:
    open_pin = turned(pin, open_rad)
    square = point_at((0.0, 0.0), 1.0, open_rad + pi / 2)
    along = (open_pin[0] - shaft[0]) * square[0] + (open_pin[1] - shaft[1]) * square[1]
    below = 2 * (total_mm + along)
    if below < NEAR_MM:
        return Refusal.NO_LENGTH
    driven = (total_mm**2 - reach_at(shaft, pin, open_rad) ** 2) / below
    driving = total_mm - driven
    return Lengths(driving, driven) if driven > NEAR_MM and driving > NEAR_MM else Refusal.NO_LENGTH


def _root(misfit: Callable[[float], float], first: float, second: float) -> float | None:
    """Return a root by secants; None where there is none to be found."""
    before, now = misfit(first), misfit(second)
    for _ in range(MOST_STEPS):
        if abs(second - first) < NEAR_MM / 1000 or now == before:
            break
        first, second, before = second, second - now * (second - first) / (now - before), now
        now = misfit(second)
    return second if abs(now) < NEAR_MM * second else None


def with_links(shaft: Point, pin: Point, links: Lengths) -> Linkage:
    """Return the arm of a shaft, a pin and links, with the elbow where the trade puts it."""
    return Linkage(shaft, pin, links.driving_mm, links.driven_mm, elbow_side(shaft))
