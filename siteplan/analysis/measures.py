"""The lengths a plan is dimensioned with, each between two places."""

from math import pi
from operator import attrgetter
from typing import NamedTuple

import numpy as np

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.analysis.openings import Opening, openings
from siteplan.geometry.points import Point, direction_between, distance_between
from siteplan.model.gate import Post
from siteplan.model.site import Edge

LINES_MEASURED_TO = ("property line", "right-of-way", "road edge")
LEAF_ROW, CLEAR_ROW, FACES_ROW = 0, 1, 2
POST_FIELDS = ("at.0", "at.1", "hinge.0", "hinge.1", "size_mm")  # place a post and its hinge axis
CLEARING_FIELDS = ("length_mm", "near_edge_mm", "thickness_mm", "open_angle_rad")  # of a leaf that stands open


class Measure(NamedTuple):
    """One length of the plan."""

    what: str
    subjects: tuple[str, ...]  # ids it was worked out from
    mm: float
    first: Point
    second: Point
    direction_rad: float  # it is measured along
    row: int  # counted outward from the gate; rows of lines run left of it
    side: int  # +1: drawn left of the direction, -1: right
    fields: tuple[tuple[str, str], ...]  # the numbers it was worked out from: id of the record, path of the field
    word: str = ""  # printed behind the number


def _gate_measures(place_of: dict[str, LeafPlace], opening: Opening, posts: dict[str, Post]) -> list[Measure]:
    hung = [place_of[leaf] for leaf in opening.gate.leaves]
    side = 1 if all(place.leaf.swings == "out" for place in hung) else -1  # drawn where no leaf swings
    found = [_leaf_measure(place, side) for place in hung]
    level = hung[0].frame.origin[1]
    left, right = ((place[0], level) for place in opening.between)
    subjects = (opening.gate.id, *opening.gate.leaves)
    standing = _post_fields(*(place.leaf.post for place in hung), opening.gate.latch_post)
    fields = (*standing, *((place.leaf.id, field) for place in hung for field in CLEARING_FIELDS))
    clear = opening.clear_mm
    found.append(Measure("clear opening", subjects, clear, left, right, 0.0, CLEAR_ROW, side, fields, "clear"))
    faces = _post_faces(opening, place_of, posts, level)
    if faces is not None:
        names, first, second = faces
        apart, fields = second[0] - first[0], _post_fields(*names)
        found.append(Measure("post faces", names, apart, first, second, 0.0, FACES_ROW, side, fields, "post faces"))
    return found


def _post_fields(*posts: str) -> tuple[tuple[str, str], ...]:
    return tuple((post, field) for post in posts if post for field in POST_FIELDS)


def _leaf_measure(place: LeafPlace, side: int) -> Measure:
    hinge, tip = place.frame.origin, place.place(place.leaf.length_mm, 0.0, 0.0)
    first, second = (hinge, tip) if hinge[0] <= tip[0] else (tip, hinge)
    return Measure(
        "leaf length",
        (place.leaf.id,),
        place.leaf.length_mm,
        first,
        second,
        direction_between(first, second),
        LEAF_ROW,
        side,
        ((place.leaf.id, "length_mm"),),
        f"leaf {place.leaf.id}",
    )


def _post_faces(
    opening: Opening, place_of: dict[str, LeafPlace], posts: dict[str, Post], level: float
) -> tuple[tuple[str, str], Point, Point] | None:
    """Return the two posts of a gate and their faces toward the opening."""
    hung = [(place_of[leaf].leaf.post, place_of[leaf].leaf.hinges) for leaf in opening.gate.leaves]
    names = {side: post for post, side in hung}
    if opening.gate.latch_post:
        names["right" if "left" in names else "left"] = opening.gate.latch_post
    if len(names) != 2 or not all(post in posts for post in names.values()):
        return None
    left, right = (footprint(posts[names[side]]).bounds for side in ("left", "right"))
    return (names["left"], names["right"]), (left[2], level), (right[0], level)


def _line_measures(place: LeafPlace, edges: tuple[Edge, ...]) -> list[Measure]:
    """Return the distances from a hinge axis square to the lines of the site."""
    found = []
    for edge in edges:
        foot = _foot_on(edge, place.frame.origin)
        if foot is not None:
            hinge = place.frame.origin
            away = direction_between(hinge, foot)
            side = 1 if -pi < away < 0 else -1  # drawn left of the gate, seen from outside
            what = f"gate line to {edge.kind}"
            line = ((edge.id, f"line.{at}.{axis}") for at in range(len(edge.line)) for axis in (0, 1))
            fields = (*_post_fields(place.leaf.post), *line)
            subjects = (place.leaf.post, edge.id)
            found.append(Measure(what, subjects, distance_between(hinge, foot), hinge, foot, away, 0, -side, fields))
    nearest_first = sorted(found, key=lambda measure: measure.mm)
    return [measure._replace(row=row) for row, measure in enumerate(nearest_first)]


def _foot_on(edge: Edge, place: Point) -> Point | None:
    """Return the nearest foot of a perpendicular on a line; None where no perpendicular meets it."""
    line = np.array(edge.walk)
    runs = line[1:] - line[:-1]
    lengths = np.maximum((runs**2).sum(axis=1), 1e-12)
    share = ((np.array(place) - line[:-1]) * runs).sum(axis=1) / lengths
    feet = line[:-1] + share[:, None] * runs
    gaps = np.where((share >= 0) & (share <= 1), np.hypot(*(feet - place).T), np.inf)
    nearest = int(np.argmin(gaps))
    if not np.isfinite(gaps[nearest]) or not gaps[nearest]:
        return None
    return (float(feet[nearest, 0]), float(feet[nearest, 1]))


def _measured_lines(edges: tuple[Edge, ...]) -> tuple[Edge, ...]:
    return tuple(edge for edge in edges if edge.kind in LINES_MEASURED_TO)


def _measures(
    place_of: dict[str, LeafPlace], found: dict[str, Opening], posts: tuple[Post, ...], lines: tuple[Edge, ...]
) -> tuple[Measure, ...]:
    known = {post.id: post for post in posts}
    measures = [measure for opening in found.values() for measure in _gate_measures(place_of, opening, known)]
    if place_of:
        leftmost = min(place_of.values(), key=lambda place: place.frame.origin[0])
        measures += _line_measures(leftmost, lines)
    return tuple(measures)


measured_lines = Derived(_measured_lines, attrgetter("edges"))
measures = Derived(_measures, leaf_places, openings, attrgetter("posts"), measured_lines)
