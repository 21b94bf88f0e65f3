"""The clear opening of each gate, and how the two leaves of a pair meet."""

from functools import lru_cache
from math import inf
from operator import attrgetter
from typing import NamedTuple

import numpy as np

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.geometry.pairs import apart, touch_while_closing_together
from siteplan.geometry.points import Point
from siteplan.model.gate import Gate, Post

UNLIKE = 1e-6  # mm or rad: leaves that differ by more are unlike
TIE_DECIMALS = 6  # of mm: places equally far along are told apart by their distance from the gate line


class Opening(NamedTuple):
    """The free way between what stands left and right, square to the gate line."""

    gate: Gate
    clear_mm: float
    between: tuple[Point, Point]  # the two places that bound it
    angles_rad: tuple[float, ...]  # of the leaves, in the order of the gate


class PairFit(NamedTuple):
    """How the leaves of a pair meet."""

    gate: Gate
    meeting_gap_mm: float  # between the closed leaves; below 0 they cross by as much
    touch_share: float | None  # share of both travels, from closed, at which they touch while they move together
    differ: bool  # leaves of unlike length or open angle


def clear_opening(
    gate: Gate, places: dict[str, LeafPlace], posts: dict[str, Post], angles_rad: tuple[float, ...]
) -> Opening | None:
    """Return the clear opening with the leaves at given angles; None while a part of the gate is missing.

    It is the least place of what stands right less the greatest place of what stands left, measured along the
    gate line, with the true thickness of leaves and posts.
    """
    hung = [places.get(leaf) for leaf in gate.leaves]
    if any(place is None for place in hung):
        return None
    sides: dict[str, list[Point]] = {"left": [], "right": []}
    for place, angle in zip(hung, angles_rad, strict=True):
        assert place is not None
        outline = [(float(x), float(y)) for box in place.boxes for x, y in place.corners(angle, box)]
        sides[place.leaf.hinges] += [*outline, *_corners(posts[place.leaf.post])]
    if gate.latch_post in posts:
        other = "right" if hung[0] is not None and hung[0].leaf.hinges == "left" else "left"
        sides[other] += _corners(posts[gate.latch_post])
    if not sides["left"] or not sides["right"]:
        return None
    left = max(sides["left"], key=lambda place: (round(_along(place), TIE_DECIMALS), -abs(place[1])))
    right = min(sides["right"], key=lambda place: (round(_along(place), TIE_DECIMALS), abs(place[1])))
    return Opening(gate, _along(right) - _along(left), (left, right), angles_rad)


def _along(place: Point) -> float:
    return place[0]  # the gate line runs along x


@lru_cache(maxsize=256)
def _corners(post: Post) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in footprint(post).exterior.coords)


def _openings(gates: tuple[Gate, ...], places: dict[str, LeafPlace], posts: tuple[Post, ...]) -> dict[str, Opening]:
    known = {post.id: post for post in posts}
    found = {}
    for gate in gates:
        stops = tuple(places[leaf].travel_rad if leaf in places else inf for leaf in gate.leaves)
        opening = clear_opening(gate, places, known, stops)
        if opening is not None:
            found[gate.id] = opening
    return found


def _pair(gate: Gate, places: dict[str, LeafPlace]) -> PairFit | None:
    if len(gate.leaves) != 2 or not all(leaf in places for leaf in gate.leaves):
        return None
    first, second = (places[leaf] for leaf in gate.leaves)
    gap = apart(first.frame, first.body, 0.0, second.frame, second.body, 0.0)
    unlike = (first.leaf.length_mm - second.leaf.length_mm, first.travel_rad - second.travel_rad)
    differ = any(abs(difference) > UNLIKE for difference in unlike)
    if gap <= 0:
        reach = np.hypot(*np.subtract(first.frame.origin, second.frame.origin))
        return PairFit(gate, float(reach - first.body.x1 - second.body.x1), 0.0, differ)
    shares = [
        touch_while_closing_together(first.frame, one, first.travel_rad, second.frame, other, second.travel_rad)
        for one in first.boxes
        for other in second.boxes
    ]
    touched = [share for share in shares if share is not None]
    return PairFit(gate, gap, max(touched) if touched else None, differ)


def _pairs(gates: tuple[Gate, ...], places: dict[str, LeafPlace]) -> dict[str, PairFit]:
    fits = ((gate.id, _pair(gate, places)) for gate in gates)
    return {name: fit for name, fit in fits if fit is not None}


openings = Derived(_openings, attrgetter("gates"), leaf_places, attrgetter("posts"))
pair_fits = Derived(_pairs, attrgetter("gates"), leaf_places)
