"""Two boxes that turn about pivots of their own. Lengths in mm, angles in radians; each angle in its box's own frame.

Whether the two can touch depends on their two angles only, not on time.
"""

import numpy as np

from siteplan.geometry.boxes import TOUCH_MM, Box, box_distances
from siteplan.geometry.contact import first_contact
from siteplan.geometry.points import Array, Frame, direction_between, distance_between

FIRST_PARTS = 64  # pieces the travel is cut into before those that may hold a touch are cut again
NEXT_PARTS = 8


def apart(frame_a: Frame, box_a: Box, angle_a_rad: float, frame_b: Frame, box_b: Box, angle_b_rad: float) -> float:
    """Return the distance of two boxes, each turned to an angle of its own frame; 0 where they touch or overlap."""
    angles = np.array((angle_a_rad,)), np.array((angle_b_rad,))
    return float(_distances(frame_a, box_a, angles[0], frame_b, box_b, angles[1])[0])


def overlap_depth(
    frame_a: Frame, box_a: Box, angle_a_rad: float, frame_b: Frame, box_b: Box, angle_b_rad: float
) -> float:
    """Return how far two boxes reach past each other along the line from pivot to pivot; below 0 it is the gap."""
    direction = direction_between(frame_a.origin, frame_b.origin)
    along = np.array((np.cos(direction), np.sin(direction)))
    reach_a = frame_a.to_world(box_a.turned_corners(angle_a_rad)) @ along
    reach_b = frame_b.to_world(box_b.turned_corners(angle_b_rad)) @ along
    return float(reach_a.max() - reach_b.min())


def first_contact_of_other(
    frame_a: Frame, box_a: Box, angles_a_rad: Array, frame_b: Frame, box_b: Box, start_b_rad: float, turn_b_rad: float
) -> Array:
    """Return the contact curve: for each angle of the first box, the angle at which the turning other first meets it.

    ``angles_a_rad`` and the result have shape (m,); inf where they do not meet. A turn below 0 is towards smaller
    angles of the other box. Any law of motion is a path in the plane of the two angles, to be compared with this curve.
    """
    edges = _edges(frame_a, box_a, angles_a_rad, frame_b)
    turned = np.abs(first_contact(box_b, edges, start_b_rad, turn_b_rad) - start_b_rad).reshape(-1, 4).min(axis=1)
    starts = np.full(len(angles_a_rad), start_b_rad)
    turned[_distances(frame_a, box_a, angles_a_rad, frame_b, box_b, starts) <= TOUCH_MM] = 0
    return np.where(np.isinf(turned), np.inf, start_b_rad + np.copysign(turned, turn_b_rad))


def touch_while_closing_together(
    frame_a: Frame, box_a: Box, open_a_rad: float, frame_b: Frame, box_b: Box, open_b_rad: float
) -> float | None:
    """Return the greatest fraction open at which two boxes touch that close from open to 0 in step; None if never.

    At a fraction f each stands at f times its own open angle. The distance changes no faster than both boxes' reach
    times their travel, so pieces of the travel farther from touching than that are dropped and the rest cut smaller,
    until a piece moves the two by no more than ``TOUCH_MM`` (own derivation). A pair that only just touches when closed
    gives a fraction near 0.
    """
    if box_a.reach_mm + box_b.reach_mm < distance_between(frame_a.origin, frame_b.origin):
        return None
    travel_mm = abs(open_a_rad) * box_a.reach_mm + abs(open_b_rad) * box_b.reach_mm
    lows, width = np.arange(FIRST_PARTS) / FIRST_PARTS, 1 / FIRST_PARTS
    touching = -1.0
    while True:
        middles = lows + width / 2
        gaps = _distances(frame_a, box_a, middles * open_a_rad, frame_b, box_b, middles * open_b_rad)
        touching = middles[gaps <= TOUCH_MM].max(initial=touching)
        may_touch = (gaps <= travel_mm * width / 2 + TOUCH_MM) & (lows + width > touching)
        lows = lows[may_touch]
        if len(lows) == 0 or travel_mm * width <= TOUCH_MM:
            found = float(lows.max(initial=touching))
            return found if found >= 0 else None
        width /= NEXT_PARTS
        lows = (lows[:, None] + width * np.arange(NEXT_PARTS)).ravel()


def _distances(
    frame_a: Frame, box_a: Box, angles_a_rad: Array, frame_b: Frame, box_b: Box, angles_b_rad: Array
) -> Array:
    """Return the distances of two boxes at pairs of angles, shape (m,); 0 also where one lies within the other."""
    count = len(angles_a_rad)
    edges_of_b = _edges(frame_b, box_b, angles_b_rad, frame_a)
    to_edges = box_distances(box_a, edges_of_b, np.repeat(angles_a_rad, 4)).reshape(count, 4).min(axis=1)
    corner_of_a = _edges(frame_a, box_a, angles_a_rad, frame_b).reshape(count, 4, 4)[:, 0, :2]
    to_corner = box_distances(box_b, np.hstack((corner_of_a, corner_of_a)), angles_b_rad)
    return np.where(to_corner == 0, 0.0, to_edges)


def _edges(frame: Frame, box: Box, angles_rad: Array, into: Frame) -> Array:
    """Return the edges of a box at each of some angles in another frame, four after another, shape (4 m, 4)."""
    corners = np.array(box.corners, dtype=np.float64).view(np.complex128)[:, 0]
    turned = corners * np.exp(1j * np.asarray(angles_rad))[:, None]
    placed = into.to_local(frame.to_world(turned.view(np.float64).reshape(-1, 4, 2)))
    return np.concatenate((placed, np.roll(placed, -1, axis=1)), axis=2).reshape(-1, 4)
