"""Edits: functions from a document to a document.

Records that an edit does not touch are shared, and an edit that changes nothing returns the very same document.
A number and its mark change together: where an edit changes a number that nobody typed, its mark becomes a guess.
A part goes by its key: the id of a record, or project, datum, ground, or "local ROW" (``parts.key_of``).
"""

from collections.abc import Callable, Iterable, Mapping
from itertools import count
from math import cos, pi, sin
from typing import Literal

from msgspec.structs import replace

from siteplan.errors import ModelError
from siteplan.model.document import COLLECTIONS, Document, Record, find_record, records_of
from siteplan.model.drives import Drive, Pad
from siteplan.model.fields import has_path, number_fields, same, value_at, with_number, with_places, with_value
from siteplan.model.gate import Gate, Leaf, Post
from siteplan.model.marks import STRONG_TO_WEAK, Basis, Mark, with_mark, without_marks_of
from siteplan.model.parts import (
    MAY_BE_EMPTY,
    REFERENCES,
    SINGLES,
    Part,
    find_part,
    home_of,
    id_fault,
    key_of,
    leaf_at,
    parts_of,
    record_at,
    referred,
)
from siteplan.model.placing import closed_direction_rad, hinge_of
from siteplan.model.project import Datum
from siteplan.model.quantities import XY, name_of
from siteplan.model.site import Edge, PlaneGround

GROUND = "ground"
LONGEST_COUNT = 9  # digits at the end of an id that are still a running number


def with_record(document: Document, record: Part) -> Document:
    """Return the document with the part of the same key swapped.

    Marks of values that differ become guesses, those of fields that are gone are dropped.  Ground may be new.

    Raises
    ------
    ModelError
        When there is no part to swap, or it is of another kind.
    """
    return with_records(document, (record,))


def with_records(document: Document, records: Iterable[Part]) -> Document:
    """Return the document with several parts swapped in one go, as ``with_record`` does with one."""
    old = {key_of(part): part for part in parts_of(document)}
    new = {key: record for record in records if not same(old.get(key := key_of(record)), record)}
    if not new:
        return document
    for key, record in new.items():
        if key not in old and key != GROUND:
            record_at(document, key)
        if key in old and home_of(type(old[key])) != home_of(type(record)):
            raise ModelError(f"{name_of(record)}: the id {key!r} belongs to {name_of(old[key])}.")
    return replace(_with_parts(document, new), marks=_marks_after(document, old, new))


def with_number_typed(
    document: Document, id: str, path: str, value: float | None, mark_basis: Basis | None, text: str = "", by: str = ""
) -> Document:
    """Return the document with one number and its mark changed together.

    ``path`` as in ``fields.py``; ``value`` in mm, rad, kg or as a plain ratio, None for not known; ``text`` as typed,
    with its unit and without its tag.

    Raises
    ------
    ModelError
        When there is no such part or number, or no site can have the value.
    """
    changed = with_record(document, with_number(_part(document, id), path, value))
    if value is None or not (mark_basis or text or by):
        marks = without_marks_of(changed.marks, id, path)
    else:
        marks = with_mark(changed.marks, Mark(of=id, field=path, basis=mark_basis, text=text, by=by))
    return changed if marks == changed.marks else replace(changed, marks=marks)


def with_choice(document: Document, id: str, field: str, value: object) -> Document:
    """Return the document with one field that is no number changed: a word, a text, a yes or no.

    Raises
    ------
    ModelError
        When there is no such part or field, or the field cannot hold the value.
    """
    return with_record(document, with_value(_part(document, id), field, value))


def moved(document: Document, ids: Iterable[str], dx_mm: float, dy_mm: float) -> Document:
    """Return the document with records moved; a post takes its hinge axis along, a pad the drive that stands on it.

    Leaves have no place of their own and stay on their posts.
    """
    if dx_mm == 0 and dy_mm == 0:
        return document
    going = _present(document, ids)
    going.update(drive.id for drive in document.drives if drive.pad in going)
    records = (record for record in records_of(document) if record.id in going)
    return with_records(document, [with_places(record, _shift_by(dx_mm, dy_mm)) for record in records])


def with_leaf_tip(document: Document, leaf_id: str, tip_xy: XY) -> Document:
    """Return the document with a leaf as long as reaches the foot of a place on the line of the closed leaf.

    Raises
    ------
    ModelError
        When the leaf hangs on nothing, or the place lies on the wrong side of its hinge axis.
    """
    leaf = leaf_at(document, leaf_id)
    hinge, direction = hinge_of(document, leaf), closed_direction_rad(leaf)
    length_mm = (tip_xy[0] - hinge[0]) * cos(direction) + (tip_xy[1] - hinge[1]) * sin(direction)
    return with_record(document, replace(leaf, length_mm=length_mm))


def added(document: Document, record: Record) -> Document:
    """Return the document with a new record, its numbers guesses until somebody types them.

    Raises
    ------
    ModelError
        When its id is empty, has blanks, or is in use.
    """
    _check_new_id(document, record.id)
    home = home_of(type(record))
    marks = _marks_after(document, {}, {record.id: record})
    return replace(document, **{home: (*getattr(document, home), record)}, marks=marks)


def removed(document: Document, ids: Iterable[str]) -> Document:
    """Return the document without records and what falls with them (``taken_along``); their marks go too.

    A gate that closed against a post, and a drive that stood on a pad, forget them.  "ground" removes the ground.
    """
    ids = set(ids)
    gone = taken_along(document, ids - {GROUND})
    loses_ground = GROUND in ids and document.ground is not None
    dropped = {*gone, GROUND} if loses_ground else set(gone)
    if not dropped:
        return document
    marks = tuple(mark for mark in document.marks if mark.of not in dropped)
    return replace(
        document,
        **_each_record(document, lambda record: None if record.id in dropped else _forgetting(record, dropped)),
        ground=None if loses_ground else document.ground,
        marks=marks if len(marks) < len(document.marks) else document.marks,
        retired=(*document.retired, *gone),
    )


def taken_along(document: Document, ids: Iterable[str]) -> tuple[str, ...]:
    """Return the ids of records and of all that cannot stand without them, in the order of the document.

    A post takes the leaves hung on it, a leaf its gate and its drive.
    """
    gone = _present(document, ids)
    for kind, field, _, _ in REFERENCES:
        if field not in MAY_BE_EMPTY:
            gone.update(
                record.id for record in getattr(document, home_of(kind)) if not gone.isdisjoint(referred(record, field))
            )
    return tuple(record.id for record in records_of(document) if record.id in gone)


def flipped(document: Document, leaf_id: str, what: Literal["hand", "side"]) -> Document:
    """Return the document with a leaf hinged on its other hand, or swinging to the other side."""
    leaf = leaf_at(document, leaf_id)
    if what == "hand":
        return with_record(document, replace(leaf, hinges="right" if leaf.hinges == "left" else "left"))
    return with_record(document, replace(leaf, swings="out" if leaf.swings == "in" else "in"))


def mirrored(document: Document) -> Document:
    """Return the whole site mirrored about the y axis.

    Marks keep their basis; the text as typed goes where it no longer means the number.
    """
    old = {key_of(part): part for part in parts_of(document)}
    new = {key: with_places(_mirror_image(part), _mirror_place) for key, part in old.items()}
    marks = tuple(
        mark if same(_standing(old, mark), _standing(new, mark)) else replace(mark, text="") for mark in document.marks
    )
    return replace(_with_parts(document, new), marks=marks)


def renamed(document: Document, old: str, new: str) -> Document:
    """Return the document with a record under a new id; its marks and all that names it follow.

    Raises
    ------
    ModelError
        When there is no such record, or the new id is empty, has blanks, or is in use.
    """
    record_at(document, old)
    if old == new:
        return document
    _check_new_id(document, new)
    changed = _with_names(document, {old: new})
    return replace(changed, retired=(*document.retired, old))


def names_swapped(document: Document, first: str, second: str) -> Document:
    """Return the document with the ids of two records exchanged; their marks and all that names them follow."""
    record_at(document, first)
    record_at(document, second)
    return document if first == second else _with_names(document, {first: second, second: first})


def free_id(document: Document, stem: str) -> str:
    """Return an id that this document never used: the stem and the number after the highest there ever was."""
    taken = {*document.retired, *(record.id for record in records_of(document))}
    endings = (id.removeprefix(stem) for id in taken if id.startswith(stem))
    numbers = (int(ending) for ending in endings if ending.isdecimal() and len(ending) <= LONGEST_COUNT)
    return next(id for number in count(max(numbers, default=0) + 1) if (id := f"{stem}{number}") not in taken)


def basis_of(document: Document, id: str, path: str) -> Basis:
    """Return how a number came to be known: as its mark says, or as numbers without a mark do in this document."""
    for mark in document.marks:
        if (mark.of, mark.field) == (id, path) and mark.basis is not None:
            return mark.basis
    return document.untagged


def weakest_basis(document: Document, fields: Iterable[tuple[str, str]]) -> Basis:
    """Return the weakest basis of some numbers, each an id and a path: what is worked out from them is no better."""
    found = {basis_of(document, id, path) for id, path in fields}
    return max(found, key=STRONG_TO_WEAK.index, default="worked")


def _part(document: Document, key: str) -> Part:
    part = find_part(document, key)
    return record_at(document, key) if part is None else part


def _present(document: Document, ids: Iterable[str]) -> set[str]:
    """Return the ids as a set, or raise ModelError when there is no record of one."""
    wanted = set(ids)
    for id in wanted - {record.id for record in records_of(document)}:
        record_at(document, id)
    return wanted


def _check_new_id(document: Document, id: str) -> None:
    fault = id_fault(id)
    if fault:
        raise ModelError(f"{fault[0].upper()}{fault[1:]}.")
    owner = find_record(document, id)
    if owner is not None:
        raise ModelError(f"The id {id!r} already belongs to {name_of(owner)}; choose another.")


def _with_parts(document: Document, new: Mapping[str, Part]) -> Document:
    singles = {key: part for key, part in new.items() if key in SINGLES.values()}
    local = tuple(new.get(key_of(limit), limit) for limit in document.local)
    records = _each_record(document, lambda record: new.get(record.id, record))
    return replace(document, **records, **singles, local=local if local != document.local else document.local)


def _each_record(document: Document, change: Callable[[Record], Part | None]) -> dict[str, object]:
    """Return the collections in which ``change`` swaps a record or drops it by None; others are left out."""
    changes: dict[str, object] = {}
    for home in dict.fromkeys(COLLECTIONS.values()):
        old = getattr(document, home)
        new = tuple(changed for record in old if (changed := change(record)) is not None)
        if [*map(id, new)] != [*map(id, old)]:
            changes[home] = new
    return changes


def _marks_after(document: Document, old: Mapping[str, Part], new: Mapping[str, Part]) -> tuple[Mark, ...]:
    """Return the marks after parts were swapped: those of changed values become guesses, those of nothing go."""
    marks: list[Mark] = []
    for mark in document.marks:
        if mark.of not in new or same(_standing(old, mark), _standing(new, mark)):
            marks.append(mark)
        elif _standing(new, mark) is not None:
            marks.append(Mark(of=mark.of, field=mark.field, basis="guess"))
    if document.untagged != "guess":
        known = {(mark.of, mark.field) for mark in marks}
        marks += [
            mark for key in new for mark in _guesses(key, old.get(key), new[key]) if (key, mark.field) not in known
        ]
    return document.marks if marks == [*document.marks] else tuple(marks)


def _guesses(key: str, old: Part | None, new: Part) -> list[Mark]:
    before = {} if old is None else {number.path: number.value for number in number_fields(old)}
    return [
        Mark(of=key, field=number.path, basis="guess")
        for number in number_fields(new)
        if number.value is not None and number.value != before.get(number.path)
    ]


def _standing(parts: Mapping[str, Part], mark: Mark) -> object:
    part = parts.get(mark.of)
    return value_at(part, mark.field) if part is not None and has_path(part, mark.field) else None


def _shift_by(dx_mm: float, dy_mm: float) -> Callable[[XY], XY]:
    return lambda place: (place[0] + dx_mm, place[1] + dy_mm)


def _mirror_place(place: XY) -> XY:
    return (0.0 - place[0], place[1])  # 0.0 - 0.0 is 0.0, where -0.0 would be another number to the last bit


def _mirror_image(part: Part) -> Part:
    match part:
        case Leaf():
            return replace(part, hinges="right" if part.hinges == "left" else "left")
        case Gate():
            return replace(part, leaves=part.leaves[::-1])
        case Edge(thickness_lies="left" | "right"):
            return replace(part, thickness_lies="right" if part.thickness_lies == "left" else "left")
        case Post() | Pad() | Drive():
            return replace(part, turn_rad=0.0 - part.turn_rad)
        case Datum():
            return replace(part, north_rad=pi - part.north_rad)
        case PlaneGround():
            return replace(part, x_grade=0.0 - part.x_grade)
    return part


def _forgetting(record: Record, gone: set[str]) -> Record:
    changes = {
        field: ""
        for kind, field, _, _ in REFERENCES
        if field in MAY_BE_EMPTY and isinstance(record, kind) and getattr(record, field) in gone
    }
    return replace(record, **changes) if changes else record


def _with_names(document: Document, names: Mapping[str, str]) -> Document:
    marks = tuple(replace(mark, of=names[mark.of]) if mark.of in names else mark for mark in document.marks)
    records = _each_record(document, lambda record: _with_names_in(record, names))
    return replace(document, **records, marks=marks if marks != document.marks else document.marks)


def _with_names_in(record: Record, names: Mapping[str, str]) -> Record:
    changes: dict[str, object] = {}
    if record.id in names:
        changes["id"] = names[record.id]
    for kind, field, _, _ in REFERENCES:
        if isinstance(record, kind) and not names.keys().isdisjoint(referred(record, field)):
            value = getattr(record, field)
            changes[field] = names[value] if isinstance(value, str) else tuple(names.get(id, id) for id in value)
    return replace(record, **changes) if changes else record
