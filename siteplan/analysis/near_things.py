"""The fixed things near one leaf's sweep, in the frame of the leaf, and its gaps to them."""

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.fixed_things import FixedThings, Thing
from siteplan.analysis.ground import GroundResult
from siteplan.analysis.leaf_places import LeafPlace
from siteplan.geometry.boxes import Box
from siteplan.geometry.clearance import least_over_sweep, least_over_sweep_discs, nearest_pairs
from siteplan.geometry.points import Array, Point

TIE_MM = 1e-6
LOOK_MM = 610.0  # how far from the sweep gaps are worked out
Owners = NDArray[np.intp]


class NearThings(NamedTuple):
    """Things near a sweep, numbered anew from 0; their outlines in the frame of the leaf."""

    things: tuple[Thing, ...]
    segments: Array  # (n, 4)
    owner: Owners  # (n,) which of the things
    discs: Array  # (k, 3): x, y, radius
    disc_owner: Owners  # (k,)

    def piece_by_piece(self) -> "NearThings":
        """Return every piece of an outline as a thing of its own."""
        straight = len(self.segments)
        owners = (*self.owner.tolist(), *self.disc_owner.tolist())
        return NearThings(
            tuple(self.things[owner] for owner in owners),
            self.segments,
            np.arange(straight),
            self.discs,
            np.arange(straight, len(owners)),
        )

    def only(self, wanted: list[bool]) -> "NearThings":
        """Return those of the things that are wanted."""
        if all(wanted):
            return self
        mask = np.array(wanted, dtype=bool)
        number = np.cumsum(mask) - 1
        rows, rounds = mask[self.owner], mask[self.disc_owner]
        return NearThings(
            tuple(thing for thing, kept in zip(self.things, wanted, strict=True) if kept),
            self.segments[rows],
            number[self.owner[rows]],
            self.discs[rounds],
            number[self.disc_owner[rounds]],
        )


class Meeting(NamedTuple):
    """A leaf and a fixed thing at one leaf angle: how far apart, and between which places in the plan."""

    thing: str  # id
    what: str  # its name in a sentence
    gap_mm: float
    angle_rad: float
    on_leaf: Point
    on_thing: Point


def leaf_heights(place: LeafPlace, ground: GroundResult) -> tuple[float, float]:
    """Return the lowest underside and the highest top of a leaf and its plates from the datum.

    Infinite where not known, and where the shots do not reach its hinge axis.
    """
    leaf = place.leaf
    lowest, highest = ground.level_range(place.frame.origin)
    rises = [leaf.rake * along for box in place.boxes for along in (box.x0, box.x1)]
    low = -inf if leaf.bottom_gap_mm is None else lowest + leaf.bottom_gap_mm + min(rises)
    top = inf if leaf.height_mm is None else highest + (leaf.bottom_gap_mm or 0.0) + leaf.height_mm + max(rises)
    return low, top


def things_beside(place: LeafPlace, swept: BaseGeometry, fixed: FixedThings, ground: GroundResult) -> NearThings:
    """Return the things near the sweep of a leaf whose height meets that of the leaf."""
    low, top = leaf_heights(place, ground)
    left, bottom, right, up = swept.bounds
    rows = fixed.index.query(shapely.box(left - LOOK_MM, bottom - LOOK_MM, right + LOOK_MM, up + LOOK_MM))
    around = fixed.areas.query(place.outline(0.0), predicate="within").tolist()  # their outlines may be far away
    if around:
        theirs = np.flatnonzero(np.isin(fixed.of_segment, around))
        rows = np.array(sorted({*rows.tolist(), *theirs.tolist()}), dtype=np.intp)
    rows.sort()  # segments of one thing stand together
    x, y = place.frame.origin
    away = np.hypot(fixed.discs[:, 0] - x, fixed.discs[:, 1] - y) - fixed.discs[:, 2]
    rounds = np.flatnonzero(away < place.reach_mm + LOOK_MM)
    owners = np.concatenate((fixed.of_segment[rows], fixed.of_disc[rounds]))
    meets = (fixed.highs[owners] > low) & (fixed.lows[owners] < top)
    rows, rounds, owners = rows[meets[: len(rows)]], rounds[meets[len(rows) :]], owners[meets]
    is_new = np.ones(len(owners), dtype=bool)
    is_new[1:] = owners[1:] != owners[:-1]  # a thing is straight or round, so equal owners stand together
    number = np.cumsum(is_new) - 1
    discs = fixed.discs[rounds].copy()
    discs[:, :2] = place.frame.to_local(discs[:, :2])
    return NearThings(
        tuple(fixed.things[owner] for owner in owners[is_new]),
        place.frame.segments_to_local(fixed.segments[rows]),
        number[: len(rows)],
        discs,
        number[len(rows) :],
    )


def least_gaps(boxes: tuple[Box, ...], near: NearThings, start_rad: float, turn_rad: float) -> tuple[Array, Array]:
    """Return the least gap to each near thing over a turn, and the first angle of it."""
    least, angle = np.full(len(near.things), inf), np.zeros(len(near.things))
    for box in boxes:
        for owners, gaps, at in _gaps_over_turn(box, near, start_rad, turn_rad):
            order = np.lexsort((at, gaps))[::-1]  # the last written wins: the least gap, at its first angle
            gap, owner = gaps[order], owners[order]
            better = order[(gap < least[owner]) | ((gap == least[owner]) & (at[order] < angle[owner]))]
            angle[owners[better]] = at[better]
            least[owners[better]] = gaps[better]
    return least, angle


def _gaps_over_turn(
    box: Box, near: NearThings, start_rad: float, turn_rad: float
) -> Iterator[tuple[Owners, Array, Array]]:
    """Yield owners, least gaps and their angles, of straight things and of round ones."""
    if len(near.segments):
        yield (near.owner, *least_over_sweep(box, near.segments, start_rad, turn_rad))
    if len(near.discs):
        centres, radii = near.discs[:, :2], near.discs[:, 2]
        yield (near.disc_owner, *least_over_sweep_discs(box, centres, radii, start_rad, turn_rad))


def meet(place: LeafPlace, near: NearThings, wanted: Sequence[int], angles_rad: Sequence[float]) -> tuple[Meeting, ...]:
    """Return how a leaf stands to some of the near things, each at an angle of its own: gaps, and places in the plan.

    Of places equally near those nearest the hinge are taken.
    """
    angle_of = np.full(len(near.things), np.nan)
    angle_of[list(wanted)] = angles_rad
    found = [row for box in place.boxes for row in _nearest_places(box, near, angle_of)]
    owners = np.concatenate([row[0] for row in found])
    gaps, on_leaf, on_thing = (np.concatenate([row[column] for row in found]) for column in (1, 2, 3))
    least = np.full(len(near.things), inf)
    np.minimum.at(least, owners, gaps)
    tied = np.where(gaps <= least[owners] + TIE_MM, np.hypot(on_leaf[:, 0], on_leaf[:, 1]), inf)
    nearest = np.full(len(near.things), inf)
    np.minimum.at(nearest, owners, tied)
    best = np.zeros(len(near.things), dtype=np.intp)
    best[owners[tied == nearest[owners]]] = np.flatnonzero(tied == nearest[owners])
    rows = best[list(wanted)]
    places = place.frame.to_world(np.stack((on_leaf[rows], on_thing[rows]), 1)).tolist()
    return tuple(
        Meeting(near.things[number].id, near.things[number].what, gap, float(angle), tuple(leaf_at), tuple(thing_at))
        for number, angle, gap, (leaf_at, thing_at) in zip(wanted, angles_rad, gaps[rows].tolist(), places, strict=True)
    )


def _nearest_places(box: Box, near: NearThings, angle_of: Array) -> Iterator[tuple[Owners, Array, Array, Array]]:
    """Yield owners, gaps, places on the box and places on the things, of the things that have an angle."""
    straight = np.flatnonzero(~np.isnan(angle_of[near.owner]))
    if len(straight):
        owners = near.owner[straight]
        yield (owners, *nearest_pairs(box, near.segments[straight], angle_of[owners]))
    rounds = np.flatnonzero(~np.isnan(angle_of[near.disc_owner]))
    if len(rounds):
        owners, discs = near.disc_owner[rounds], near.discs[rounds]
        away, on_box, middles = nearest_pairs(box, discs[:, [0, 1, 0, 1]], angle_of[owners])
        share = np.minimum(1.0, discs[:, 2] / np.where(away == 0, 1.0, away))[:, None]
        yield owners, np.maximum(away - discs[:, 2], 0.0), on_box, middles + share * (on_box - middles)
