"""What the things on the screen are called, written beside them in small letters. No Qt.

A name has a place of the model and a distance on paper from it.  The name of a line lies along the part of it that is
in view, so that it is there at every zoom.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise
from math import cos, hypot, pi, sin
from operator import attrgetter
from typing import Final, NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import FixedThings, fixed_things, footprint
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.canvas.dragging import name_of_record
from siteplan.drawing.dimensions import upright
from siteplan.drawing.primitives import Align
from siteplan.geometry.points import Point, direction_between, distance_between, point_at
from siteplan.model.document import Document
from siteplan.model.drives import Pad
from siteplan.model.gate import Control, Post, Sign
from siteplan.model.project import Project
from siteplan.model.site import Edge, Ground, KeepClear, Obstacle, ShotGround
from siteplan.units.writing import LengthStyle, write_length

LEAF_SHARES: Final = (0.5, 0.25, 0.75)  # of the leaf, where its name may stand
SIGN_SHARE: Final = 0.15  # of the leaf: nearer to a sign, a name would cover it
LEAF_OFF_MM: Final = 4.4  # paper, to the outer side of the closed leaf
BESIDE_MM: Final = 2.2
POST_OFF_MM: Final = 1.0
CAPITAL_MM: Final = 2.1
CLEAR_MM: Final = 0.6  # from a name to what it should not cover
SHORTEST_VISIBLE_MM: Final = 14.0  # a line with less than this of paper in view is not named

Box = tuple[float, float, float, float]


class Spot(NamedTuple):
    """Where a name may stand."""

    at: Point  # model
    dx_mm: float  # paper, from there to the middle of the capitals, right and up
    dy_mm: float
    align: Align


class Name(NamedTuple):
    """One name, and where it may stand: the first place that covers nothing is taken, or else the first."""

    text: str
    spots: tuple[Spot, ...]
    source: str
    is_new: bool = True


class LineName(NamedTuple):
    """The name of a line; it lies along one of its pieces."""

    text: str
    pieces: tuple[tuple[Point, Point], ...]
    source: str
    is_new: bool


def _names(
    places: dict[str, LeafPlace],
    posts: tuple[Post, ...],
    obstacles: tuple[Obstacle, ...],
    pads: tuple[Pad, ...],
    controls: tuple[Control, ...],
    areas: tuple[KeepClear, ...],
    signs: tuple[Sign, ...],
) -> tuple[Name, ...]:
    return (
        *(_leaf_name(place, signs) for place in places.values()),
        *(_post_name(post, places) for post in posts),
        *(_obstacle_name(thing) for thing in obstacles),
        *(_pad_name(pad) for pad in pads),
        *(_control_name(each) for each in controls),
        *(_area_name(area) for area in areas),
    )


def _leaf_name(place: LeafPlace, signs: tuple[Sign, ...]) -> Name:
    """Return the name of a leaf, beside its middle or where no sign hangs."""
    length_mm = place.leaf.length_mm
    spots = [place.place(share * length_mm, 0.0, 0.0) for share in LEAF_SHARES]
    free = (spot for spot in spots if all(distance_between(spot, sign.at) > SIGN_SHARE * length_mm for sign in signs))
    dx, dy = (part * LEAF_OFF_MM for part in _outer_side(place))
    places = dict.fromkeys((*free, *spots))
    return Name(name_of_record(place.leaf), tuple(Spot(at, dx, dy, "middle") for at in places), place.leaf.id)


def _outer_side(place: LeafPlace) -> Point:
    """Return the direction away from the opening side, square to the closed leaf."""
    along = place.frame.along_rad
    return (place.frame.side * sin(along), -place.frame.side * cos(along))


def _post_name(post: Post, places: dict[str, LeafPlace]) -> Name:
    """Return the name of a post, below it and on the far side of its leaf."""
    hung = next((place for place in places.values() if place.leaf.post == post.id), None)
    is_left = hung is not None and hung.leaf.hinges == "left"
    left, bottom, right, top = footprint(post).bounds
    if is_left:
        spots = [Spot((left, y), -POST_OFF_MM, dy, "right") for y, dy in ((bottom, -BESIDE_MM), (top, BESIDE_MM))]
    else:
        spots = [Spot((right, y), POST_OFF_MM, dy, "left") for y, dy in ((bottom, -BESIDE_MM), (top, BESIDE_MM))]
    return Name(name_of_record(post), tuple(spots), post.id)


def _control_name(control: Control) -> Name:
    sides: tuple[tuple[float, Align], ...] = ((2 * BESIDE_MM, "left"), (-2 * BESIDE_MM, "right"))
    spots = (Spot(control.at, dx, 0.0, align) for dx, align in sides)
    return Name(name_of_record(control), tuple(spots), control.id)


def _above_and_below(bounds: Box) -> tuple[Spot, Spot]:
    left, bottom, right, top = bounds
    middle = (left + right) / 2
    return Spot((middle, top), 0.0, BESIDE_MM, "middle"), Spot((middle, bottom), 0.0, -BESIDE_MM, "middle")


def _obstacle_name(thing: Obstacle) -> Name:
    bounds = footprint(thing).bounds
    above, below = _above_and_below(bounds)
    text, is_new = thing.note or name_of_record(thing), thing.state == "new"
    crosses = bounds[1] < 0 < bounds[3]  # it lies across the gate line: the dimensions stand below it
    return Name(text, (above,) if crosses else (below, above), thing.id, is_new)


def _pad_name(pad: Pad) -> Name:
    above, below = _above_and_below(footprint(pad).bounds)
    return Name(name_of_record(pad), (below, above), pad.id)


def _area_name(area: KeepClear) -> Name:
    inside = shapely.make_valid(shapely.Polygon(area.outline)).representative_point()
    return Name(area.note or area.why, (Spot((inside.x, inside.y), 0.0, 0.0, "middle"),), area.id)


def _line_names(edges: tuple[Edge, ...], places: dict[str, LeafPlace]) -> tuple[LineName, ...]:
    hinges = [place.frame.origin for place in places.values()] or [(0.0, 0.0)]
    gate = (sum(x for x, _ in hinges) / len(hinges), sum(y for _, y in hinges) / len(hinges))
    return tuple(_line_name(edge, gate) for edge in edges if edge.kind != "drive edge" or edge.note)


def _line_name(edge: Edge, gate: Point) -> LineName:
    """Return the name of a line; a wall is named beside its outline, on the side away from the gate."""
    area = footprint(edge)
    pieces = list(_outline_pieces(area)) if area.area else list(pairwise(edge.walk))
    pieces.sort(key=lambda piece: -distance_between(gate, _middle(piece)))
    return LineName(edge.note or name_of_record(edge), tuple(pieces), edge.id, edge.state == "new")


def _outline_pieces(area: shapely.Geometry) -> Iterator[tuple[Point, Point]]:
    for part in shapely.get_parts(area):
        ring = [(float(x), float(y)) for x, y in part.exterior.coords]
        yield from pairwise(ring)


def _spot_names(ground: Ground | None, project: Project) -> tuple[Name, ...]:
    shots = ground.shots if isinstance(ground, ShotGround) else ()
    style = LengthStyle(project.units)
    texts = ((shot, write_length(shot.height_mm, style)) for shot in shots)
    return tuple(
        Name(
            f"+{text}" if shot.height_mm >= 0 else text,
            (Spot(shot.at, BESIDE_MM, BESIDE_MM / 2, "left"),),
            shot.id,
            is_new=False,
        )
        for shot, text in texts
    )


thing_names = Derived(
    _names,
    leaf_places,
    attrgetter("posts"),
    attrgetter("obstacles"),
    attrgetter("pads"),
    attrgetter("controls"),
    attrgetter("keep_clear"),
    attrgetter("signs"),
)
spot_names = Derived(_spot_names, attrgetter("ground"), attrgetter("project"))
line_names = Derived(_line_names, attrgetter("edges"), leaf_places)


def names_of(document: Document) -> tuple[Name, ...]:
    """Return the names of all things that are no lines."""
    return (*thing_names(document), *spot_names(document))


def in_view(name: LineName, view: Box, least_mm: float) -> tuple[Point, Point] | None:
    """Return the longest part of a line within a box (left, bottom, right, top), or None when it is too short."""
    parts = (part for piece in name.pieces if (part := clipped(piece, view)) is not None)
    longest = max(parts, key=_length, default=None)
    return longest if longest is not None and _length(longest) >= least_mm else None


class Placing:
    """Where names stand: each is placed once, clear of what is busy and of the names placed before it."""

    def __init__(self, busy: shapely.STRtree) -> None:
        self._busy = busy
        self._letters: list[BaseGeometry] = []
        self._spots: dict[Name, Spot] = {}
        self._beside: dict[LineName, tuple[Point, float]] = {}

    def spot_of(self, name: Name, width_mm: Callable[[str], float], ratio: float) -> Spot:
        """Return where a name stands, at a ratio of the model to paper; ``width_mm`` measures a text on paper."""
        if name not in self._spots:
            width = width_mm(name.text)
            letters = [_letters(*_feet_of(spot, width, ratio)) for spot in name.spots]
            self._spots[name] = name.spots[self._first_free(letters)]
        return self._spots[name]

    def beside_of(
        self,
        name: LineName,
        part: tuple[Point, Point],
        half_mm: float,
        inset_mm: float,
        off_mm: float,
        high_mm: float,
    ) -> tuple[Point, float]:
        """Return where the feet of a name stand along a part of its line, and its turn.

        At the far end of the line, in its middle, at its near end; to its left, to its right.  ``half_mm``: half the
        length of the name; ``inset_mm``: least distance from the ends; ``off_mm``, ``high_mm``: from the line to the
        feet of the letters, and their height.  All in mm of the model.
        """
        if name not in self._beside:
            turn = upright(direction_between(*part))
            near = min(part, key=lambda end: end[0] * cos(turn) + end[1] * sin(turn))
            length = _length(part)
            inset = min(length / 2, half_mm + inset_mm)
            feet = [
                point_at(point_at(near, along, turn), off, turn + pi / 2)
                for along in (length - inset, length / 2, inset)
                for off in (off_mm, -off_mm - high_mm)
            ]
            free = self._first_free([_letters(at, turn, half_mm, high_mm) for at in feet])
            self._beside[name] = feet[free], turn
        return self._beside[name]

    def _first_free(self, letters: list[BaseGeometry]) -> int:
        """Return the number of the first place that covers nothing, or of the first of all; it is taken then."""
        taken = np.array(self._letters, dtype=object)
        is_free = (
            not len(self._busy.query(one, predicate="intersects")) and not shapely.intersects(one, taken).any()
            for one in letters
        )
        free = next((number for number, free in enumerate(is_free) if free), 0)
        self._letters.append(letters[free])
        return free


def _feet_of(spot: Spot, width_mm: float, ratio: float) -> tuple[Point, float, float, float]:
    """Return the middle of the feet of a name, its turn, half its length and its height, in mm of the model."""
    half = width_mm / 2
    middle = spot.dx_mm + {"left": half, "middle": 0.0, "right": -half}[spot.align]
    feet = (spot.at[0] + middle * ratio, spot.at[1] + (spot.dy_mm - CAPITAL_MM / 2) * ratio)
    return feet, 0.0, (half + CLEAR_MM) * ratio, CAPITAL_MM * ratio


def _letters(feet: Point, turn_rad: float, half_mm: float, high_mm: float) -> BaseGeometry:
    """Return the area of the letters of a name."""
    top = point_at(feet, high_mm, turn_rad + pi / 2)
    low, high = ([point_at(middle, side * half_mm, turn_rad) for side in (-1, 1)] for middle in (feet, top))
    return shapely.polygons([*low, *reversed(high)])


def _busy(
    places: dict[str, LeafPlace],
    swept: dict[str, BaseGeometry],
    fixed: FixedThings,
    edges: tuple[Edge, ...],
) -> shapely.STRtree:
    """Return what no name should cover: leaves closed and open, their arcs, all that stands on the site, its lines."""
    leaves = [place.outline(angle) for place in places.values() for angle in (0.0, place.travel_rad)]
    arcs = [area.boundary for area in swept.values()]
    lines = [shapely.LineString(edge.walk) for edge in edges]
    return shapely.STRtree([*leaves, *arcs, *(thing.footprint for thing in fixed.things), *lines])


busy_shapes = Derived(_busy, leaf_places, swept_areas, fixed_things, attrgetter("edges"))


def clipped(piece: tuple[Point, Point], view: Box) -> tuple[Point, Point] | None:
    """Return the part of a segment within a box, or None (method of Liang and Barsky, 1984)."""
    (x, y), (x2, y2) = piece
    dx, dy = x2 - x, y2 - y
    left, bottom, right, top = view
    enter, leave = 0.0, 1.0
    for toward, room in ((-dx, x - left), (dx, right - x), (-dy, y - bottom), (dy, top - y)):
        if toward == 0:
            if room < 0:
                return None
        elif toward < 0:
            enter = max(enter, room / toward)
        else:
            leave = min(leave, room / toward)
    if enter >= leave:
        return None
    return ((x + enter * dx, y + enter * dy), (x + leave * dx, y + leave * dy))


def _length(piece: tuple[Point, Point]) -> float:
    (x1, y1), (x2, y2) = piece
    return hypot(x2 - x1, y2 - y1)


def _middle(piece: tuple[Point, Point]) -> Point:
    (x1, y1), (x2, y2) = piece
    return ((x1 + x2) / 2, (y1 + y2) / 2)
