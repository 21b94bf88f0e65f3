"""What each leaf meets on its way, and how near it passes: contacts, clearances, the pocket behind the open leaf."""

from math import asin, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import FixedThings, fixed_things
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.analysis.near_things import LOOK_MM, Meeting, NearThings, least_gaps, meet, things_beside
from siteplan.geometry.boxes import Box
from siteplan.geometry.clipping import beyond_along
from siteplan.geometry.points import Array

# These bound places by the words of ASTM F2200 and UL 325; limits to compare with stand in the tables.
PIVOT_MM = 101.6  # 4 in: a thing no farther along the open leaf than this belongs to the hinge
CLOSING_MM = 406.4  # 16 in of tip travel: what is near the leaf there belongs to the closing edge
REACH_IN_MM = 1828.8  # 6 ft: things wholly above it catch nobody


class Passing(NamedTuple):
    """The least gap between a leaf and a fixed thing over the whole travel."""

    thing: str  # id
    what: str
    gap_mm: float
    angle_rad: float


class LeafContacts(NamedTuple):
    """What one leaf meets."""

    touches: tuple[Meeting, ...]  # first contact with each thing touched, by angle
    passes: tuple[Passing, ...]  # least gap to each thing within 2 ft of the sweep, by gap
    nearest: Meeting | None  # the least of them, with its places
    pockets: tuple[Meeting, ...]  # gap behind the open leaf, and to things the tip passes, by gap


class Gaps(NamedTuple):
    """Least gaps of the near pieces over the whole travel, and the first angle of each, apart and together."""

    beyond: tuple[Array, Array]  # of the part of the leaf beyond 4 in along it
    whole: tuple[Array, Array]


def _beyond_hinge(boxes: tuple[Box, ...]) -> tuple[Box, ...]:
    return tuple(cut for box in boxes if (cut := box.from_along(PIVOT_MM)) is not None)


def _gaps(place: LeafPlace, near: NearThings) -> Gaps:
    """Return the least gaps; the leaf is cut at 4 in along it, and the two parts judged one by one."""
    beyond = least_gaps(_beyond_hinge(place.boxes), near, 0.0, place.travel_rad)
    at_hinge = tuple(cut for box in place.boxes if (cut := box.up_to_along(PIVOT_MM)) is not None)
    return Gaps(beyond, least_gaps(at_hinge, near, 0.0, place.travel_rad, beyond))


def _touches(place: LeafPlace, near: NearThings, gaps: Array, angles: Array) -> tuple[Meeting, ...]:
    """Return first contacts, by angle: where the least gap is nothing, the angle of it is that of the contact."""
    first = near.of_things(np.where(gaps == 0, angles, inf))
    first[near.around] = 0.0  # no line is crossed
    touched = np.flatnonzero((gaps == 0) | near.around[near.owners])
    if not len(touched):
        return ()
    return tuple(sorted(meet(place, near, touched, first[near.owners[touched]]), key=_by_angle))


def _nearest(place: LeafPlace, near: NearThings, gaps: Array, angles: Array) -> Meeting | None:
    """Return the least gap to anything, with its places; None where nothing is near."""
    least = np.argmin(gaps, keepdims=True)
    return meet(place, near, least, angles[least])[0] if gaps[least[0]] < LOOK_MM else None


def _pockets(place: LeafPlace, near: NearThings, catching: NDArray[np.bool_], gaps: Gaps) -> tuple[Meeting, ...]:
    """Return the gap of the open leaf to what stands beyond the hinge, and to things its tip passes.

    ``catching`` says for each piece whether it belongs to a thing that can catch somebody.
    """
    boxes = _beyond_hinge(place.boxes)
    if not boxes or not catching.any():
        return ()
    cut_place = place._replace(boxes=boxes)
    standing = _standing(cut_place, near, catching)
    open_gaps = {each.thing: min(each.gap_mm, LOOK_MM) for each in standing}
    nearer_than = np.array([open_gaps.get(thing.id, LOOK_MM) for thing in near.things])[near.owners]
    passing = _tip_passes(cut_place, near, np.where(catching, nearer_than, 0.0), gaps.beyond)
    return tuple(sorted((*(each for each in standing if each.gap_mm < LOOK_MM), *passing), key=_by_gap))


def _standing(place: LeafPlace, near: NearThings, catching: NDArray[np.bool_]) -> tuple[Meeting, ...]:
    """Return how the open leaf stands to what lies farther along it than 4 in from the hinge axis."""
    some = near.only_pieces(np.flatnonzero(catching))
    cut, rows = beyond_along(some.segments, place.travel_rad, PIVOT_MM)
    owners = np.concatenate((some.owners[rows], some.owners[len(some.segments) :]))
    beyond, count = some._replace(segments=cut, owners=owners), len(owners)
    return meet(place, beyond, np.arange(count), np.full(count, place.travel_rad)) if count else ()


def _tip_passes(
    place: LeafPlace, near: NearThings, nearer_than: Array, gaps: tuple[Array, Array]
) -> tuple[Meeting, ...]:
    """Return the least gap to things the tip passes nearer than a gap for each of their pieces.

    Piece by piece: one end of a wall may belong to the closing edge while the tip passes the other.  A piece whose
    least gap over the whole travel comes later than the closing edge has it there too.
    """
    leaving = min(place.travel_rad, 2 * asin(min(1.0, CLOSING_MM / 2 / place.reach_mm)))
    passed, at = gaps[0].copy(), gaps[1].copy()
    early = np.flatnonzero((at <= leaving) & (passed < nearer_than))
    if len(early):
        passed[early], at[early] = least_gaps(place.boxes, near.only_pieces(early), leaving, place.travel_rad - leaving)
    between = np.flatnonzero((at > leaving) & (at < place.travel_rad) & (passed < nearer_than))
    if not len(between):
        return ()
    order = between[np.lexsort((passed[between], near.owners[between]))]
    nearest = order[np.diff(near.owners[order], prepend=-1) > 0]  # of each thing
    return meet(place, near, nearest, at[nearest])


def _by_angle(found: Meeting) -> tuple[float, str]:
    return (found.angle_rad, found.thing)


def _by_gap(found: Meeting | Passing) -> tuple[float, float, str]:
    return (found.gap_mm, found.angle_rad, found.thing)


def contacts_of(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings, ground: GroundResult) -> LeafContacts:
    """Return what one leaf meets on its way from closed to open."""
    near = things_beside(place, swept, fixed, ground)
    if not near.things:
        return LeafContacts((), (), None, ())
    found = _gaps(place, near)
    gaps, angles = found.whole
    thing_gaps = near.of_things(gaps)
    first = near.of_things(np.where(gaps == thing_gaps[near.owners], angles, inf))
    passes = sorted(
        (
            Passing(thing.id, thing.what, gap, angle)
            for thing, gap, angle in zip(near.things, thing_gaps.tolist(), first.tolist(), strict=True)
            if gap < LOOK_MM
        ),
        key=_by_gap,
    )
    over_hinge = ground.level_range(place.frame.origin)[1] + REACH_IN_MM
    catching = np.array(
        [
            gap < LOOK_MM
            and (thing.bottom_mm < REACH_IN_MM or thing.low_mm < over_hinge)
            and thing.id != place.leaf.post
            for thing, gap in zip(near.things, thing_gaps.tolist(), strict=True)
        ]
    )
    pockets = _pockets(place, near, catching[near.owners], found)
    touches = _touches(place, near, gaps, angles)
    nearest = touches[0] if touches else _nearest(place, near, gaps, angles)
    return LeafContacts(touches, tuple(passes), nearest, pockets)


def _contacts(
    places: dict[str, LeafPlace], swept: dict[str, BaseGeometry], fixed: FixedThings, ground: GroundResult
) -> dict[str, LeafContacts]:
    return {id: contacts_of(place, swept[id], fixed, ground) for id, place in places.items()}


leaf_contacts = Derived(_contacts, leaf_places, swept_areas, fixed_things, ground_surface)
