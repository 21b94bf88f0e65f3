"""The rows of the Value card: every field of a part, with its text, its tag, and what it takes. No Qt."""

from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

from msgspec import Struct, inspect
from msgspec.structs import replace

from siteplan.canvas.dragging import name_of_record
from siteplan.errors import EntryError
from siteplan.model.document import COLLECTIONS, Document
from siteplan.model.edits import basis_of, with_choice, with_number_typed
from siteplan.model.fields import NumberField, field_label, fields_of, narrowed, number_fields, value_at
from siteplan.model.gate import Leaf
from siteplan.model.marks import Basis, Mark
from siteplan.model.parts import MAY_BE_EMPTY, REFERENCES, Part, find_part, home_of, key_of
from siteplan.model.project import Conditions, Datum, LocalLimit, Project, Units
from siteplan.model.site import PlaneGround, ShotGround
from siteplan.rules.limits import pack_names
from siteplan.units.angles import read_angle, write_angle
from siteplan.units.field_rule import BareUnit, FieldRule, JobKind
from siteplan.units.grades import echo_grade, read_grade, write_grade
from siteplan.units.measures import read_measure, write_measure
from siteplan.units.reading import echo_reading, read_length
from siteplan.units.tags import split_tag
from siteplan.units.writing import LengthStyle, write_length, write_tape

BARE_UNITS: Final[dict[Units, BareUnit | None]] = {"ftin": None, "ftdec": "ft", "in": "in", "m": "m", "mm": "mm"}
"""The unit of a number typed without one; in feet and inches it would be a gamble."""

PLAUSIBLE_MM: Final = {"length_mm": (304.8, 9144.0), "size_mm": (25.4, 1219.2), "thickness_mm": (3.0, 609.6)}
SAME_MM: Final = 0.05  # a text that reads back nearer than this shows the length
MOST_FINER: Final = 3  # decimals more, where the usual ones would not show the length
GRADE_DECIMALS: Final = 2
ANGLE_DECIMALS: Final = (1, 2, 4)
SAME_RAD: Final = 1e-6
BOTH_JOBS: Final[tuple[JobKind, ...]] = ("ftin", "m")  # what a measure is echoed for

NOT_SHOWN: Final = ("id", "revisions", "plates")
LABELS: Final = {
    "document_no": "document number",
    "use.land": "land use",
    "use.openings_per_day": "openings a day",
    "use.fire_opening_device": "fire opening device",
}
"""Words for fields whose own name is not what people say."""

NOT_SAID: Final = "not said"
UNIT_WORDS: Final[dict[str, str]] = {
    "ftin": "feet and inches",
    "ftdec": "decimal feet",
    "in": "decimal inches",
    "m": "metres",
    "mm": "millimetres",
}
PACK: Final = "pack"

RowKind = Literal["number", "choice", "text", "count", "fixed"]


class Row(NamedTuple):
    """One row of the Value card."""

    path: str
    label: str
    kind: RowKind
    text: str
    basis: Basis | None = None  # of a number that is known
    typed: str = ""  # as it was typed
    choices: tuple[tuple[str, object], ...] = ()  # word and value
    number: NumberField | None = None


class Entry(NamedTuple):
    """A number as it was typed and understood."""

    value: float | None
    text: str  # without its tag
    basis: Basis | None
    by: str
    echo: str
    confirm: str = ""  # why Enter is asked for a second time
    offers: tuple[str, ...] = ()


def part_name(part: Part) -> str:
    """Return what a part is called: leaf A, job, ground."""
    match part:
        case Project():
            return "job"
        case Datum():
            return "datum"
        case Conditions():
            return "wind, soil and frost"
        case PlaneGround() | ShotGround():
            return "ground"
        case LocalLimit():
            return f"local limit {part.row}"
    return name_of_record(part)


def rows_of(document: Document, key: str) -> tuple[Row, ...]:
    """Return the rows of a part; none when there is no such part."""
    part = find_part(document, key)
    return () if part is None else tuple(_rows(document, part))


def read_entry(text: str, field: NumberField, units: Units) -> Entry:
    """Return what a text means for a number.

    Raises
    ------
    EntryError
        When it is not read; the offers are texts that are.
    """
    bare, basis, by = split_tag(text)
    match field.quantity:
        case "length":
            rule = FieldRule(
                bare_unit=BARE_UNITS[units],
                signed=field.signed,
                plausible_mm=PLAUSIBLE_MM.get(field.path),
                job=units,
            )
            length = read_length(bare, rule)
            return Entry(length.mm, bare, basis, by, echo_reading(length), length.confirm, length.offers)
        case "angle":
            angle = read_angle(bare)
            return Entry(angle, bare, basis, by, write_angle(angle, ANGLE_DECIMALS[1]))
        case "grade":
            grade = read_grade(bare)
            return Entry(grade.ratio, bare, basis, by, echo_grade(grade.ratio), grade.confirm, grade.offers)
        case kind:
            value = read_measure(bare, kind)
            echo = " = ".join(dict.fromkeys(write_measure(value, kind, job) for job in BOTH_JOBS))
            return Entry(value, bare, basis, by, echo)


def with_entry(document: Document, key: str, row: Row, entry: Entry) -> Document:
    """Return the document with a typed number; what is typed without a tag counts as taped."""
    basis = entry.basis or "taped"
    return with_number_typed(document, key, row.path, entry.value, basis, entry.text, entry.by)


def with_unknown(document: Document, key: str, row: Row) -> Document:
    """Return the document with a number that is no longer known."""
    return with_number_typed(document, key, row.path, None, None)


def with_tag(document: Document, key: str, row: Row, basis: Basis) -> Document:
    """Return the document with the tag of a number changed, and the number as it is."""
    assert row.number is not None
    mark = _mark_of(document, key, row.path)
    return with_number_typed(document, key, row.path, row.number.value, basis, row.typed, mark.by if mark else "")


def with_chosen(document: Document, key: str, row: Row, value: object) -> Document:
    """Return the document with a field that is no number changed."""
    if key == "project" and row.path == PACK:
        return replace(document, pack=str(value)) if value != document.pack else document
    return with_choice(document, key, row.path, value)


def read_count(text: str, label: str) -> int | None:
    """Return a whole number, or None for an empty text.

    Raises
    ------
    EntryError
        When it is no whole number.
    """
    plain = text.strip()
    if not plain:
        return None
    if not (plain.isascii() and plain.isdecimal()):
        raise EntryError(f"{label.capitalize()} {plain} is no whole number; write it like 12.")
    return int(plain)


def number_text(field: NumberField, units: Units) -> str:
    """Return a number in the units of the job, as finely as it takes to show it."""
    if field.value is None:
        return ""
    match field.quantity:
        case "length":
            return _length_text(field.value, units)
        case "angle":
            written = (write_angle(field.value, decimals) for decimals in ANGLE_DECIMALS)
            exact = (text for text in written if abs(read_angle(text) - field.value) < SAME_RAD)
            return next(exact, write_angle(field.value, ANGLE_DECIMALS[-1]))
        case "grade":
            return write_grade(field.value, GRADE_DECIMALS)
        case kind:
            return write_measure(field.value, kind, units)


def _length_text(mm: float, units: Units) -> str:
    if units == "ftin":
        return write_tape(mm)
    usual = LengthStyle(units).places
    written = (write_length(mm, LengthStyle(units, decimals=usual + more)) for more in range(MOST_FINER + 1))
    exact = (text for text in written if abs(read_length(text, FieldRule(signed=True)).mm - mm) < SAME_MM)
    return next(exact, write_length(mm, LengthStyle(units, decimals=usual + MOST_FINER)))


def _rows(document: Document, part: Part) -> Iterator[Row]:
    numbers = tuple(number_fields(part))
    for name, field in fields_of(type(part)).items():
        if name not in NOT_SHOWN:
            under = [number for number in numbers if number.path == name or number.path.startswith(f"{name}.")]
            if under:
                yield from (_number_row(document, part, number) for number in under)
            else:
                yield from _other_rows(document, part, name, field.type, field_label("", name))
    for number in numbers:
        if number.path.startswith("plates."):
            yield _number_row(document, part, number)
    if isinstance(part, Project):
        yield Row(PACK, "rule pack", "choice", document.pack, choices=tuple((name, name) for name in pack_names()))


def _number_row(document: Document, part: Part, number: NumberField) -> Row:
    key, units = key_of(part), document.project.units
    mark = _mark_of(document, key, number.path)
    basis = None if number.value is None else basis_of(document, key, number.path)
    typed = mark.text if mark is not None else ""
    return Row(number.path, number.label, "number", number_text(number, units), basis, typed, number=number)


def _mark_of(document: Document, key: str, path: str) -> Mark | None:
    return next((mark for mark in document.marks if (mark.of, mark.field) == (key, path)), None)


def _other_rows(document: Document, part: Part, path: str, kind: inspect.Type, label: str) -> Iterator[Row]:
    value = value_at(part, path)
    label = LABELS.get(path, label)
    plain = narrowed(kind, value)
    referred = _referred_choices(document, part, path)
    if referred is not None:
        yield Row(path, label, "choice", str(value) or "none", choices=referred)
    elif isinstance(plain, inspect.StructType) and value is not None:
        for name, field in fields_of(plain.cls).items():
            yield from _other_rows(document, part, f"{path}.{name}", field.type, field_label("", name))
    elif isinstance(plain, inspect.LiteralType | inspect.BoolType):
        yield Row(path, label, "choice", _word(path, value), choices=_choices(path, kind, plain))
    elif isinstance(plain, inspect.IntType):
        yield Row(path, label, "count", "" if value is None else str(value))
    elif isinstance(value, str):
        yield Row(path, label, "text", value)
    elif isinstance(value, tuple):
        yield Row(path, label, "fixed", ", ".join(map(str, value)))


def _choices(
    path: str, kind: inspect.Type, plain: inspect.LiteralType | inspect.BoolType
) -> tuple[tuple[str, object], ...]:
    """Return the words of a field and their values, "not said" first where nothing need be said."""
    may_be_none = isinstance(kind, inspect.UnionType) and any(isinstance(one, inspect.NoneType) for one in kind.types)
    unsaid: tuple[tuple[str, object], ...] = ((NOT_SAID, None),) if may_be_none else ()
    values = plain.values if isinstance(plain, inspect.LiteralType) else (True, False)
    return (*unsaid, *((_word(path, value), value) for value in values))


def _word(path: str, value: object) -> str:
    match value:
        case None:
            return NOT_SAID
        case bool():
            return "yes" if value else "no"
    return UNIT_WORDS.get(str(value), str(value)) if path == "units" else str(value)


def _referred_choices(document: Document, part: Struct, path: str) -> tuple[tuple[str, object], ...] | None:
    """Return the ids a reference may hold, or None for a field that is none."""
    for kind, field, target, _ in REFERENCES:
        if isinstance(part, kind) and field == path and isinstance(value_at(part, path), str):
            records = getattr(document, home_of(target))
            ids = [one.id for one in records if not isinstance(part, Leaf) or one.hinge is not None]
            none: tuple[tuple[str, object], ...] = (("none", ""),) if field in MAY_BE_EMPTY else ()
            return (*none, *((id, id) for id in ids))
    return None


def all_keys(document: Document) -> tuple[str, ...]:
    """Return the keys of everything there is, in the order of the Yard list."""
    records = (record.id for home in dict.fromkeys(COLLECTIONS.values()) for record in getattr(document, home))
    ground = () if document.ground is None else ("ground",)
    return ("project", "datum", "conditions", *ground, *records)
