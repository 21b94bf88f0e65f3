"""What each leaf meets on its way, and how near it passes: contacts, clearances, the pocket behind the open leaf."""

from math import asin, inf
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import FixedThings, fixed_things
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.analysis.near_things import LOOK_MM, Meeting, NearThings, least_gaps, meet, things_beside
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


def _touches(place: LeafPlace, near: NearThings, gaps: Array, angles: Array) -> tuple[Meeting, ...]:
    """Return first contacts, by angle: where the least gap is nothing, the angle of it is that of the contact."""
    first = np.where(gaps == 0, angles, inf)
    footprints = np.array([thing.footprint for thing in near.things], dtype=object)
    first[shapely.contains(footprints, place.outline(0.0))] = 0.0  # a thing around the closed leaf: no line is crossed
    touched = np.flatnonzero(first < inf)
    if not len(touched):
        return ()
    touched = touched[np.argsort(first[touched])]
    return meet(place, near, touched.tolist(), first[touched].tolist())


def _pockets(place: LeafPlace, near: NearThings) -> tuple[Meeting, ...]:
    """Return the gap of the open leaf to what stands beyond the hinge, and to things its tip passes."""
    open_rad = place.travel_rad
    boxes = tuple(cut for box in place.boxes if (cut := box.from_along(PIVOT_MM)) is not None)
    if not boxes:
        return ()
    cut_place = place._replace(boxes=boxes)
    behind, rows = beyond_along(near.segments, open_rad, PIVOT_MM)
    beside = near._replace(segments=behind, owner=near.owner[rows])
    standing = sorted({*beside.owner.tolist(), *beside.disc_owner.tolist()})
    found = meet(cut_place, beside, standing, [open_rad] * len(standing)) if standing else ()
    open_gaps = np.full(len(near.things), inf)
    open_gaps[standing] = [each.gap_mm for each in found]
    found = (*found, *_tip_passes(cut_place, near, open_gaps))
    found = tuple(each for each in found if each.gap_mm < LOOK_MM)
    return tuple(sorted(found, key=_by_gap))


def _tip_passes(place: LeafPlace, near: NearThings, open_gaps: Array) -> tuple[Meeting, ...]:
    """Return the least gap to things the tip passes nearer than they are to the open leaf.

    Piece by piece: one end of a wall may belong to the closing edge while the tip passes the other.
    """
    leaving = min(place.travel_rad, 2 * asin(min(1.0, CLOSING_MM / 2 / place.reach_mm)))
    pieces, owners = near.piece_by_piece(), np.concatenate((near.owner, near.disc_owner))
    passed, at = least_gaps(place.boxes, pieces, leaving, place.travel_rad - leaving)
    between = (at > leaving) & (at < place.travel_rad) & (passed < np.minimum(open_gaps[owners], LOOK_MM))
    nearest: dict[int, int] = {}
    for piece in np.argsort(passed, kind="stable"):
        if between[piece]:
            nearest.setdefault(int(owners[piece]), int(piece))
    wanted = list(nearest.values())
    return meet(place, pieces, wanted, at[wanted].tolist()) if wanted else ()


def _by_gap(found: Meeting | Passing) -> tuple[float, float, str]:
    return (found.gap_mm, found.angle_rad, found.thing)


def contacts_of(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings, ground: GroundResult) -> LeafContacts:
    """Return what one leaf meets on its way from closed to open."""
    near = things_beside(place, swept, fixed, ground)
    if not near.things:
        return LeafContacts((), (), None, ())
    gaps, angles = least_gaps(place.boxes, near, 0.0, place.travel_rad)
    passes = sorted(
        (
            Passing(thing.id, thing.what, gap, angle)
            for thing, gap, angle in zip(near.things, gaps.tolist(), angles.tolist(), strict=True)
            if gap < LOOK_MM
        ),
        key=_by_gap,
    )
    least = int(np.argmin(gaps))
    nearest = meet(place, near, [least], [float(angles[least])])[0] if gaps[least] < LOOK_MM else None
    over_hinge = ground.level_range(place.frame.origin)[1] + REACH_IN_MM
    catching = near.only(
        [
            gap < LOOK_MM
            and (thing.bottom_mm < REACH_IN_MM or thing.low_mm < over_hinge)
            and thing.id != place.leaf.post
            for thing, gap in zip(near.things, gaps.tolist(), strict=True)
        ]
    )
    pockets = _pockets(place, catching) if catching.things else ()
    return LeafContacts(_touches(place, near, gaps, angles), tuple(passes), nearest, pockets)


def _contacts(
    places: dict[str, LeafPlace], swept: dict[str, BaseGeometry], fixed: FixedThings, ground: GroundResult
) -> dict[str, LeafContacts]:
    return {id: contacts_of(place, swept[id], fixed, ground) for id, place in places.items()}


leaf_contacts = Derived(_contacts, leaf_places, swept_areas, fixed_things, ground_surface)
