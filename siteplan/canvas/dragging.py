"""What dragging a handle does to the document. No Qt.

A handle is a place of a record that can be taken hold of: the whole thing, one place of a line, the tip of a leaf.
"""

from collections.abc import Iterator
from math import degrees, hypot, pi, radians, sqrt
from typing import Final, NamedTuple

from msgspec.structs import replace

from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.geometry.points import Frame, Point, direction_between, distance_between
from siteplan.model.document import Document, Record, find_record
from siteplan.model.drives import Drive, Pad
from siteplan.model.edits import moved, with_leaf_tip, with_record
from siteplan.model.fields import with_value
from siteplan.model.gate import Control, Leaf, Post, Sign
from siteplan.model.parts import leaf_at, record_at
from siteplan.model.project import Units
from siteplan.model.quantities import kind_name
from siteplan.model.site import Block, Edge, KeepClear, Round, SurveyPoint
from siteplan.units.writing import LengthStyle, write_length

WHOLE: Final = "whole"
TIP: Final = "tip"
STOP: Final = "stop"
HINGE: Final = "hinge"
SIZE: Final = "size"
RADIUS: Final = "radius"
LEAST_STOP_RAD: Final = radians(1)
HARDLY_OPEN_RAD: Final = 1.5 * pi
LEAST_SIZE_MM: Final = 10.0

_SAID: Final = {
    WHOLE: "Move {name}",
    TIP: "Set length of {name}",
    STOP: "Set open stop of {name}",
    HINGE: "Move hinge axis of {name}",
    SIZE: "Set size of {name}",
    RADIUS: "Set radius of {name}",
}


class Handle(NamedTuple):
    """A place of a record that can be dragged."""

    id: str
    part: str  # one of the words above, or the path of a place: line.2
    at: Point


def handles_of(document: Document, id: str) -> tuple[Handle, ...]:
    """Return the handles of a record; none when there is no such record."""
    record = find_record(document, id)
    return () if record is None else tuple(Handle(id, part, at) for part, at in _parts(document, record))


def whole_handle(document: Document, id: str, at: Point) -> Handle | None:
    """Return the handle that moves a record taken hold of anywhere, or None for one without a place of its own."""
    record = find_record(document, id)
    return None if record is None or _own_place(record) is None else Handle(id, WHOLE, at)


def label_of(document: Document, handle: Handle) -> str:
    """Return what dragging a handle is called: "Move post A"."""
    record = record_at(document, handle.id)
    name = name_of_record(record)
    return _SAID.get(handle.part, "Move place of {name}").format(name=name)


def called(record: Record) -> str:
    """Return what kind of thing a record is, in the words of the site: wall, cabinet, leaf."""
    match record:
        case Edge():
            return record.kind
        case Block() | Round() | Control():
            return record.what
        case _:
            return kind_name(type(record))


def name_of_record(record: Record) -> str:
    """Return what a record is called with its id: "leaf A", and not "pad pad1"."""
    kind = called(record)
    return record.id if record.id.lower().startswith(kind) else f"{kind} {record.id}"


def own_places(document: Document, handle: Handle) -> tuple[Point, ...]:
    """Return the places of a record that may snap while a handle is dragged, the hinge axis of a post last."""
    record = find_record(document, handle.id)
    if record is None or handle.part in (TIP, STOP, SIZE, RADIUS):
        return ()
    if handle.part != WHOLE:
        return (handle.at,)
    match record:
        case Post(hinge=(x, y)):
            return (record.at, (x, y))
        case Edge():
            return record.line
        case Block() | KeepClear():
            return record.outline
    place = _own_place(record)
    return () if place is None else (place,)


def dragged(document: Document, handle: Handle, to: Point) -> Document:
    """Return the document with a handle dragged to a place.

    Raises
    ------
    ModelError
        When no site can have the result, or there is no such record.
    """
    record = record_at(document, handle.id)
    match handle.part:
        case "whole":
            return moved(document, (handle.id,), to[0] - handle.at[0], to[1] - handle.at[1])
        case "tip":
            return with_leaf_tip(document, handle.id, to)
        case "stop":
            return _with_stop(document, handle.id, to)
        case "size" if isinstance(record, Pad | Post):
            return with_record(document, _resized(record, to))
        case "radius" if isinstance(record, Round):
            radius_mm = max(LEAST_SIZE_MM, distance_between(record.at, to))
            return with_record(document, replace(record, radius_mm=radius_mm))
    return with_record(document, with_value(record, handle.part, to))


def measured(document: Document, handle: Handle, start: Document, units: Units) -> str:
    """Return the number people look for while a handle is dragged: a length, an angle, how far it has gone."""
    record, before = record_at(document, handle.id), record_at(start, handle.id)
    style = LengthStyle(units)
    match record, handle.part:
        case Leaf(), "tip":
            return write_length(record.length_mm, style)
        case Leaf(), "stop":
            return f"{degrees(record.open_angle_rad):.1f}°"
        case Pad(), "size":
            return f"{write_length(record.width_mm, style)} by {write_length(record.depth_mm, style)}"
        case Post(), "size":
            return write_length(record.size_mm, style)
        case Round(), "radius":
            return write_length(record.radius_mm, style)
    now, then = (_place_of(one, handle.part) for one in (record, before))
    return "" if now is None or then is None else _gone(now[0] - then[0], now[1] - then[1], style)


def swing_angle(place: LeafPlace, grip: Point, to: Point, angle_rad: float) -> float:
    """Return the leaf angle after a leaf was taken hold of at a place and pulled to another, within its travel."""
    pulled = direction_between(place.frame.origin, to) - direction_between(place.frame.origin, grip)
    turn = (place.frame.side * pulled + pi) % (2 * pi) - pi
    return min(max(0.0, angle_rad + turn), place.travel_rad)


def _parts(document: Document, record: Record) -> Iterator[tuple[str, Point]]:
    match record:
        case Post():
            yield WHOLE, record.at
            if record.hinge is not None:
                yield HINGE, record.hinge
            yield SIZE, _corner(record)
        case Leaf():
            place = leaf_places(document).get(record.id)
            if place is not None:
                yield TIP, place.place(record.length_mm, record.plane_offset_mm, 0.0)
                yield STOP, place.place(record.length_mm, record.plane_offset_mm, record.open_angle_rad)
        case Pad():
            yield WHOLE, record.at
            yield SIZE, _corner(record)
        case Edge():
            yield from ((f"line.{number}", at) for number, at in enumerate(record.line))
        case Block() | KeepClear():
            yield from ((f"outline.{number}", at) for number, at in enumerate(record.outline))
        case Round():
            yield WHOLE, record.at
            yield RADIUS, (record.at[0] + record.radius_mm, record.at[1])
        case _:
            place_of_it = _own_place(record)
            if place_of_it is not None:
                yield WHOLE, place_of_it


def _own_place(record: Record) -> Point | None:
    """Return the place that stands for a record, or None for a leaf or a gate."""
    match record:
        case Post() | Pad() | Round() | Control() | Sign() | SurveyPoint():
            return record.at
        case Drive():
            return record.shaft
        case Edge():
            return record.line[0]
        case Block() | KeepClear():
            return record.outline[0]
    return None


def _place_of(record: Record, part: str) -> Point | None:
    if part == WHOLE:
        return _own_place(record)
    value: object = record
    for piece in part.split("."):
        value = value[int(piece)] if isinstance(value, tuple) else getattr(value, piece)
    return value if isinstance(value, tuple) else None


def _gone(dx_mm: float, dy_mm: float, style: LengthStyle) -> str:
    """Return how far a thing has gone, in the directions seen from outside."""
    across = f"{write_length(abs(dx_mm), style)} {'right' if dx_mm > 0 else 'left'}" if dx_mm else ""
    along = f"{write_length(abs(dy_mm), style)} {'inward' if dy_mm > 0 else 'outward'}" if dy_mm else ""
    return ", ".join(filter(None, (across, along)))


def _with_stop(document: Document, leaf_id: str, to: Point) -> Document:
    leaf = leaf_at(document, leaf_id)
    place = leaf_places(document)[leaf_id]
    local = place.frame.point_to_local(to)
    angle = direction_between((0.0, 0.0), local) % (2 * pi)
    # a pull past the closed leaf, to its far side, is meant as "hardly open", not as "all the way round"
    angle = LEAST_STOP_RAD if angle > HARDLY_OPEN_RAD else min(pi, max(LEAST_STOP_RAD, angle))
    return with_record(document, replace(leaf, open_angle_rad=angle))


def _corner(record: Pad | Post) -> Point:
    across, along = _size(record)
    if isinstance(record, Post) and record.shape == "round":
        across, along = across * sqrt(1 / 2), along * sqrt(1 / 2)
    return Frame(record.at, record.turn_rad).point_to_world((across / 2, along / 2))


def _size(record: Pad | Post) -> tuple[float, float]:
    if isinstance(record, Pad):
        return record.width_mm, record.depth_mm
    return record.size_mm, record.size_mm if record.shape == "round" else record.depth_mm or record.size_mm


def _resized(record: Pad | Post, corner: Point) -> Pad | Post:
    x, y = (abs(part) for part in Frame(record.at, record.turn_rad).point_to_local(corner))
    width, depth = max(LEAST_SIZE_MM, 2 * x), max(LEAST_SIZE_MM, 2 * y)
    if isinstance(record, Pad):
        return replace(record, width_mm=width, depth_mm=depth)
    if record.shape == "round":
        return replace(record, size_mm=max(LEAST_SIZE_MM, 2 * hypot(x, y)))
    if record.depth_mm is None:
        return replace(record, size_mm=max(width, depth))
    return replace(record, size_mm=width, depth_mm=depth)
