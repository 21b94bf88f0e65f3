"""What each leaf meets on its way, and how near it passes: contacts, clearances, the pocket behind the open leaf."""

from collections.abc import Iterator
from math import asin, hypot, inf
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import FixedThings, fixed_things
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.geometry.boxes import Box
from siteplan.geometry.clearance import (
    distances,
    distances_discs,
    least_over_sweep,
    least_over_sweep_discs,
    nearest_points,
)
from siteplan.geometry.clipping import beyond_along
from siteplan.geometry.contact import first_contact, first_contact_discs
from siteplan.geometry.points import Array, Point, direction_between, distance_between, point_at

TIE_MM = 1e-6
LOOK_MM = 610.0  # how far from the sweep clearances are worked out
PIVOT_MM = 101.6  # 4 in: a thing no farther along the open leaf than this belongs to the hinge
CLOSING_MM = 406.4  # 16 in of tip travel: what is near the leaf there belongs to the closing edge
REACH_IN_MM = 1828.8  # 6 ft: things wholly above it catch nobody
# the last three bound places by the words of ASTM F2200 and UL 325; limits to compare with stand in the tables


class Meeting(NamedTuple):
    """A leaf and a fixed thing at one leaf angle: how far apart, and between which places."""

    thing: str  # id
    what: str  # its name in a sentence
    gap_mm: float
    angle_rad: float
    on_leaf: Point
    on_thing: Point


class LeafContacts(NamedTuple):
    """What one leaf meets; everything sorted by angle or by gap."""

    touches: tuple[Meeting, ...]  # first contact with each thing touched, by angle
    nearest: tuple[Meeting, ...]  # least gap to each thing within 2 ft of the sweep, by gap
    pockets: tuple[Meeting, ...]  # gap behind the open leaf, and to things the tip passes, by gap


class NearThings(NamedTuple):
    """The things near one leaf's sweep, in the frame of the leaf."""

    segments: Array  # (n, 4)
    of_segment: NDArray[np.int64]
    discs: Array  # (k, 3)
    of_disc: NDArray[np.int64]

    def only(self, wanted: NDArray[np.bool_]) -> "NearThings":
        """Return those of the things a mask over all things wants."""
        rows, rounds = wanted[self.of_segment], wanted[self.of_disc]
        return NearThings(self.segments[rows], self.of_segment[rows], self.discs[rounds], self.of_disc[rounds])


def leaf_heights(place: LeafPlace, ground: GroundResult) -> tuple[float, float]:
    """Return the lowest underside and the highest top of a leaf from the datum; infinite where not known."""
    leaf = place.leaf
    level = ground.height_at(place.frame.origin) or 0.0
    rise = leaf.rake * place.body.x1
    low = -inf if leaf.bottom_gap_mm is None else level + leaf.bottom_gap_mm + min(0.0, rise)
    top = inf if leaf.height_mm is None else level + (leaf.bottom_gap_mm or 0.0) + leaf.height_mm + max(0.0, rise)
    return low, top


def _look_around(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings) -> NearThings:
    left, bottom, right, top = swept.bounds
    rows = np.sort(fixed.index.query(shapely.box(left - LOOK_MM, bottom - LOOK_MM, right + LOOK_MM, top + LOOK_MM)))
    offset = fixed.discs[:, :2] - np.array(place.frame.origin)
    rounds = np.flatnonzero(np.hypot(offset[:, 0], offset[:, 1]) - fixed.discs[:, 2] < place.reach_mm + LOOK_MM)
    discs = fixed.discs[rounds].copy()
    discs[:, :2] = place.frame.to_local(discs[:, :2])
    return NearThings(
        place.frame.segments_to_local(fixed.segments[rows]), fixed.of_segment[rows], discs, fixed.of_disc[rounds]
    )


def _first_touches(place: LeafPlace, near: NearThings, fixed: FixedThings) -> tuple[Meeting, ...]:
    first = np.full(len(fixed.things), inf)
    for box in place.boxes:
        if len(near.segments):
            np.minimum.at(first, near.of_segment, first_contact(box, near.segments, 0.0, place.travel_rad))
        if len(near.discs):
            centres, radii = near.discs[:, :2], near.discs[:, 2]
            np.minimum.at(first, near.of_disc, first_contact_discs(box, centres, radii, 0.0, place.travel_rad))
    _add_swallowed(place, near, fixed, first)
    touched = np.flatnonzero(np.isfinite(first))
    return tuple(
        meet(place, near, fixed, int(thing), float(first[thing])) for thing in touched[np.argsort(first[touched])]
    )


def _add_swallowed(place: LeafPlace, near: NearThings, fixed: FixedThings, first: Array) -> None:
    """Mark things whose outline holds the whole closed leaf: no line of theirs is crossed."""
    around = np.unique(near.of_segment)
    if not len(around):
        return
    footprints = np.array([fixed.things[number].footprint for number in around], dtype=object)
    first[around[shapely.contains(footprints, place.outline(0.0))]] = 0.0


def meet(place: LeafPlace, near: NearThings, fixed: FixedThings, thing: int, angle_rad: float) -> Meeting:
    """Return how a leaf stands to one thing at an angle: gap and witness places in the plan."""
    segments, discs = near.segments[near.of_segment == thing], near.discs[near.of_disc == thing]
    found = [pair for box in place.boxes for pair in _nearest_pairs(box, segments, discs, angle_rad)]
    least = min(gap for gap, _, _ in found)
    gap, on_leaf, on_thing = min(
        (pair for pair in found if pair[0] <= least + TIE_MM), key=lambda pair: (hypot(*pair[1]), pair[0])
    )  # of equal places the one nearest the hinge
    known = fixed.things[thing]
    return Meeting(
        known.id, known.what, gap, angle_rad, place.frame.point_to_world(on_leaf), place.frame.point_to_world(on_thing)
    )


def _nearest_pairs(box: Box, segments: Array, discs: Array, angle_rad: float) -> Iterator[tuple[float, Point, Point]]:
    """Yield gaps with their places on the box and on the thing, those that may be the least."""
    if len(segments):
        gaps = distances(box, segments, angle_rad)
        for row in np.flatnonzero(gaps <= gaps.min() + TIE_MM):
            yield (float(gaps[row]), *nearest_points(box, segments[row], angle_rad))
    for disc in discs:
        gap = distances_discs(box, disc[None, :2], disc[None, 2], angle_rad)
        yield (float(gap[0]), *_nearest_on_disc(box, disc, angle_rad))


def _nearest_on_disc(box: Box, disc: Array, angle_rad: float) -> tuple[Point, Point]:
    centre = np.array((disc[0], disc[1], disc[0], disc[1]))
    on_box, middle = nearest_points(box, centre, angle_rad)
    away = distance_between(on_box, middle)
    return on_box, point_at(middle, min(away, float(disc[2])), direction_between(middle, on_box))


def _least_gaps(
    boxes: tuple[Box, ...], near: NearThings, start_rad: float, turn_rad: float, count: int
) -> tuple[Array, Array]:
    """Return the least gap to each thing over a turn, and the angle of it; infinite for things not near."""
    least, angle = np.full(count, inf), np.zeros(count)
    for box in boxes:
        for owners, gaps, at in _gaps_over_turn(box, near, start_rad, turn_rad):
            order = np.lexsort((at, gaps))[::-1]  # the last written wins: the least gap, at its first angle
            better = order[gaps[order] < least[owners[order]]]
            angle[owners[better]] = at[better]
            least[owners[better]] = gaps[better]
    return least, angle


def _gaps_over_turn(
    box: Box, near: NearThings, start_rad: float, turn_rad: float
) -> Iterator[tuple[NDArray[np.int64], Array, Array]]:
    """Yield owners, least gaps and their angles, of straight things and of round ones."""
    if len(near.segments):
        yield (near.of_segment, *least_over_sweep(box, near.segments, start_rad, turn_rad))
    if len(near.discs):
        centres, radii = near.discs[:, :2], near.discs[:, 2]
        yield (near.of_disc, *least_over_sweep_discs(box, centres, radii, start_rad, turn_rad))


def _gaps_standing(boxes: tuple[Box, ...], near: NearThings, angle_rad: float, count: int) -> Array:
    """Return the gap to each thing at one angle; infinite for things not near."""
    gaps = np.full(count, inf)
    for box in boxes:
        if len(near.segments):
            np.minimum.at(gaps, near.of_segment, distances(box, near.segments, angle_rad))
        if len(near.discs):
            np.minimum.at(gaps, near.of_disc, distances_discs(box, near.discs[:, :2], near.discs[:, 2], angle_rad))
    return gaps


def _pockets(place: LeafPlace, near: NearThings, fixed: FixedThings) -> tuple[Meeting, ...]:
    """Return the gap of the open leaf to what stands beyond the hinge, and to things its tip passes."""
    open_rad = place.travel_rad
    boxes = tuple(cut for box in place.boxes if (cut := box.from_along(PIVOT_MM)) is not None)
    behind, rows = beyond_along(near.segments, open_rad, PIVOT_MM)
    beside = NearThings(behind, near.of_segment[rows], near.discs, near.of_disc)
    count = len(fixed.things)
    open_gaps = _gaps_standing(boxes, beside, open_rad, count)
    cut_place = place._replace(boxes=boxes)
    found = [meet(cut_place, beside, fixed, int(thing), open_rad) for thing in np.flatnonzero(open_gaps < LOOK_MM)]
    leaving = min(open_rad, 2 * asin(min(1.0, CLOSING_MM / 2 / place.reach_mm)))
    passed, at = _least_gaps(boxes, near, leaving, open_rad - leaving, count)
    between = (at > leaving) & (at < open_rad) & (passed < np.minimum(open_gaps, LOOK_MM))
    found += [meet(cut_place, near, fixed, int(thing), float(at[thing])) for thing in np.flatnonzero(between)]
    return tuple(sorted(found, key=_by_gap))


def _by_gap(meeting: Meeting) -> tuple[float, float, str]:
    return (meeting.gap_mm, meeting.angle_rad, meeting.thing)


def things_beside(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings, ground: GroundResult) -> NearThings:
    """Return the things near the sweep of a leaf whose height meets that of the leaf."""
    low, top = leaf_heights(place, ground)
    return _look_around(place, swept, fixed).only((fixed.highs > low) & (fixed.lows < top))


def contacts_of(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings, ground: GroundResult) -> LeafContacts:
    """Return what one leaf meets on its way from closed to open."""
    level = ground.height_at(place.frame.origin) or 0.0
    near = things_beside(place, swept, fixed, ground)
    carrying = np.array([thing.id == place.leaf.post for thing in fixed.things], dtype=bool)
    gaps, angles = _least_gaps(place.boxes, near, 0.0, place.travel_rad, len(fixed.things))
    nearest = tuple(
        meet(place, near, fixed, int(thing), float(angles[thing])) for thing in np.flatnonzero(gaps < LOOK_MM)
    )
    within_reach = near.only((fixed.lows < level + REACH_IN_MM) & ~carrying)
    return LeafContacts(
        _first_touches(place, near, fixed), tuple(sorted(nearest, key=_by_gap)), _pockets(place, within_reach, fixed)
    )


def _contacts(
    places: dict[str, LeafPlace], swept: dict[str, BaseGeometry], fixed: FixedThings, ground: GroundResult
) -> dict[str, LeafContacts]:
    return {id: contacts_of(place, swept[id], fixed, ground) for id, place in places.items()}


leaf_contacts = Derived(_contacts, leaf_places, swept_areas, fixed_things, ground_surface)
