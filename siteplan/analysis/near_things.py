"""The fixed things near one leaf's sweep, in the frame of the leaf, and its gaps to them."""

from math import inf
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.fixed_things import FixedThings, Thing
from siteplan.analysis.ground import GroundResult
from siteplan.analysis.leaf_places import LeafPlace
from siteplan.geometry.boxes import Box, box_distances, nearest_to_pivot
from siteplan.geometry.clearance import least_over_sweep, least_over_sweep_discs, nearest_pairs
from siteplan.geometry.points import Array, Point

TIE_MM = 1e-6
TOUCHING_MM = 1e-3  # rounding must not hide a piece that the swept area just reaches
LOOK_MM = 610.0  # how far from the sweep gaps are worked out
Owners = NDArray[np.intp]


class NearThings(NamedTuple):
    """Things near a sweep, numbered anew from 0; the pieces of their outlines in the frame of the leaf.

    Pieces are counted straight ones first, then round ones.
    """

    things: tuple[Thing, ...]
    segments: Array  # (n, 4)
    discs: Array  # (k, 3): x, y, radius
    owners: Owners  # (n + k,) which of the things a piece belongs to
    may_touch: NDArray[np.bool_]  # (n,) whether the swept area comes upon a straight piece
    around: NDArray[np.bool_]  # of the things, whether the closed leaf lies within them

    def only_pieces(self, rows: Owners) -> "NearThings":
        """Return the same things with some of their pieces, in rising order."""
        straight = np.searchsorted(rows, len(self.segments))
        rounds = rows[straight:] - len(self.segments)
        return self._replace(
            segments=self.segments[rows[:straight]],
            discs=self.discs[rounds],
            owners=self.owners[rows],
            may_touch=self.may_touch[rows[:straight]],
        )

    def of_things(self, piece_values: Array) -> Array:
        """Return the least value among the pieces of each thing; infinite for a thing without pieces."""
        least = np.full(len(self.things), inf)
        np.minimum.at(least, self.owners, piece_values)
        return least


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
    around = fixed.areas.query(place.outline(0.0), predicate="within")  # their outlines may be far away
    if len(around):
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
    segments = place.frame.segments_to_local(fixed.segments[rows])
    return NearThings(
        tuple(fixed.things[owner] for owner in owners[is_new]),
        segments,
        discs,
        number,
        _touchable(place, swept, segments, fixed.index.geometries[rows]),
        np.isin(owners[is_new], around),
    )


def _touchable(
    place: LeafPlace, swept: BaseGeometry, segments: Array, in_plan: NDArray[np.object_]
) -> NDArray[np.bool_]:
    """Return which segments the swept area comes upon; it lies outside the true one, so none is missed."""
    touchable = nearest_to_pivot(segments) <= place.reach_mm + TOUCHING_MM
    rows = np.flatnonzero(touchable)
    if len(rows):
        shapely.prepare(swept)
        touchable[rows] = shapely.dwithin(swept, in_plan[rows], TOUCHING_MM)
    return touchable


def least_gaps(
    boxes: tuple[Box, ...],
    near: NearThings,
    start_rad: float,
    turn_rad: float,
    known: tuple[Array, Array] | None = None,
) -> tuple[Array, Array]:
    """Return the least gap of boxes to each near piece over a turn, and the first angle of it, each (n + k,).

    Pieces that stay farther away than gaps are worked out have an infinite gap.  ``known`` are the gaps and angles of
    other boxes, which the result then takes in.
    """
    straight = len(near.segments)
    count = len(near.owners)
    least, angle = (each.copy() for each in known) if known else (np.full(count, inf), np.zeros(count))
    away = np.concatenate(
        (nearest_to_pivot(near.segments), np.hypot(near.discs[:, 0], near.discs[:, 1]) - near.discs[:, 2])
    )
    for box in boxes:
        within = np.flatnonzero(away - box.reach_mm < np.minimum(least, LOOK_MM))
        first_round = np.searchsorted(within, straight)
        rows, rounds = within[:first_round], within[first_round:] - straight
        if len(rows):
            may_touch = np.flatnonzero(near.may_touch[rows])
            found = least_over_sweep(box, near.segments[rows], start_rad, turn_rad, may_touch)
            _keep_less(least, angle, rows, *found)
        if len(rounds):
            centres, radii = near.discs[rounds, :2], near.discs[rounds, 2]
            found = least_over_sweep_discs(box, centres, radii, start_rad, turn_rad)
            _keep_less(least, angle, straight + rounds, *found)
    return least, angle


def _keep_less(least: Array, angle: Array, rows: Owners, gaps: Array, at: Array) -> None:
    """Put gaps and their angles where they are less than those known, or as little at an earlier angle."""
    better = (gaps < least[rows]) | ((gaps == least[rows]) & (at < angle[rows]))
    least[rows[better]] = gaps[better]
    angle[rows[better]] = at[better]


def meet(place: LeafPlace, near: NearThings, pieces: Owners, angles_rad: Array) -> tuple[Meeting, ...]:
    """Return how a leaf stands to the things some pieces belong to: the gap of each, and its places in the plan.

    ``angles_rad`` is the leaf angle for each of the pieces.  One meeting for each thing, in their order: with the
    nearest of its pieces; of places equally near with that nearest the hinge.
    """
    straight = len(near.segments)
    lines = np.concatenate((near.segments, near.discs[:, [0, 1, 0, 1]]))[pieces]
    radii = np.concatenate((np.zeros(straight), near.discs[:, 2]))[pieces]
    owners = near.owners[pieces]
    apart = np.array([box_distances(box, lines, angles_rad) for box in place.boxes])
    gaps = np.maximum(apart - radii, 0)
    least = np.full(len(near.things), inf)
    np.minimum.at(least, owners, gaps.min(axis=0))
    which, rows = np.nonzero(gaps <= least[owners] + TIE_MM)
    of_rows = (lines[rows], radii[rows], angles_rad[rows], apart[which, rows])
    on_leaf, on_thing = _nearest_places(place.boxes, which, *of_rows)
    order = np.lexsort((np.hypot(on_leaf[:, 0], on_leaf[:, 1]), owners[rows]))
    kept = order[np.diff(owners[rows][order], prepend=-1) > 0]
    places = place.frame.to_world(np.stack((on_leaf[kept], on_thing[kept]), 1)).tolist()
    rows, which = rows[kept], which[kept]
    return tuple(
        Meeting(near.things[number].id, near.things[number].what, gap, angle, tuple(leaf_at), tuple(thing_at))
        for number, gap, angle, (leaf_at, thing_at) in zip(
            owners[rows].tolist(), gaps[which, rows].tolist(), angles_rad[rows].tolist(), places, strict=True
        )
    )


def _nearest_places(
    boxes: tuple[Box, ...], which: Owners, lines: Array, radii: Array, angles_rad: Array, apart: Array
) -> tuple[Array, Array]:
    """Return for each line or circle the nearest places on one of the boxes and on itself, each (n, 2)."""
    on_box, on_line = np.empty((len(lines), 2)), np.empty((len(lines), 2))
    for number, box in enumerate(boxes):
        rows = np.flatnonzero(which == number)
        if len(rows):
            away, on_box[rows], on_line[rows] = nearest_pairs(box, lines[rows], angles_rad[rows], apart[rows])
            share = np.minimum(1.0, radii[rows] / np.where(away == 0, 1.0, away))[:, None]
            on_line[rows] += share * (on_box[rows] - on_line[rows])
    return on_box, on_line
