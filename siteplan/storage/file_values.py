"""What stands in a file to records, and back: one walk along the types of the fields.

Numbers with a unit are texts in a file (``quantity_texts.py``); fields go by their names without units.
"""

import json
from collections.abc import Iterable
from math import isfinite
from typing import Any, Final, NamedTuple, SupportsFloat

from msgspec import UNSET, Struct, inspect
from msgspec.structs import replace

from siteplan.errors import EntryError, ModelError, SiteFileError
from siteplan.model.document import COLLECTIONS
from siteplan.model.fields import (
    Kind,
    field_label,
    fields_of,
    fits,
    has_path,
    is_signed,
    item_label,
    narrowed,
    parts_of_tuple,
    quantity_of,
    said_path,
    value_at,
    wanted,
)
from siteplan.model.marks import Mark
from siteplan.model.parts import SINGLES, key_of
from siteplan.model.project import LocalLimit
from siteplan.model.quantities import kind_name
from siteplan.storage.quantity_texts import read_quantity, with_unit, write_quantity

MOST_FAULTS: Final = 10
LARGEST_WHOLE: Final = 10**9
LONGEST_SHOWN: Final = 40
PART_KINDS: Final = {*COLLECTIONS, *SINGLES, LocalLimit}

Raw = Any
"""What a JSON file holds: dictionaries, lists, texts, numbers, true, false, null."""


class DoubledNames(dict[str, Any]):
    """An object of a file in which a name stands more than once."""

    def __init__(self, plain: dict[str, Any], name: str) -> None:
        super().__init__(plain)
        self.name = name  # one that does


class Spot(NamedTuple):
    """Where in a file something stands, and in which field of which part of the site."""

    place: str  # $.site.leaves[0].thickness
    name: str = "Site"  # Leaf A
    key: str = ""  # of the part, see parts.key_of; empty outside of parts
    path: str = ""  # of the field in the part: plates.0.from_mm
    label: str = ""  # of the field, spoken: plate 1, from

    def field(self, field: inspect.Field) -> "Spot":
        """Return the spot of a field of the record that stands here."""
        return self._replace(
            place=f"{self.place}.{field.encode_name}",
            path=f"{self.path}.{field.name}" if self.path else field.name,
            label=field_label(self.label, field.name),
        )

    def item(self, kind: Kind, number: int) -> "Spot":
        """Return the spot of one thing in the list that stands here."""
        return self._replace(
            place=f"{self.place}[{number}]", path=f"{self.path}.{number}", label=item_label(self.label, kind, number)
        )

    def part(self, kind: type[Struct], raw: dict[str, Raw]) -> "Spot":
        """Return the spot of the part of the site that stands here."""
        name = raw.get("row" if kind is LocalLimit else "id", "")
        word = name if isinstance(name, str) else ""
        key = SINGLES.get(kind) or (f"local {word}" if kind is LocalLimit else word)
        called = f"{kind_name(kind).capitalize()} {clipped(word)}".rstrip()
        return Spot(self.place, called, key or "?", path="", label="")


class FileReader:
    """Makes records of what stands in a file, and keeps what is wrong with it and the tags of its numbers.

    Whatever cannot be read becomes UNSET, and the walk goes on, so that faults are told together.
    """

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.marks: dict[tuple[str, str], Mark] = {}
        self.places: dict[str, str] = {}  # of the parts, by their keys

    def read(self, kind: Kind, raw: Raw, spot: Spot) -> object:
        """Return the value of a type that stands at a spot, or UNSET."""
        match kind:
            case inspect.UnionType():
                return self._read_either(kind, raw, spot)
            case inspect.StructType():
                return self.read_record(kind.cls, raw, spot)
            case inspect.TupleType() | inspect.VarTupleType():
                return self._read_list(kind, raw, spot)
        return self._read_number(kind, raw, spot) if quantity_of(kind) else self._read_word(kind, raw, spot)

    def read_record(self, kind: type[Struct], raw: Raw, spot: Spot) -> object:
        """Return the record of a kind that stands at a spot, or UNSET."""
        if not isinstance(raw, dict):
            return self.blame(spot, f"must be a {kind_name(kind)} in braces, not {shown(raw)}")
        if kind in PART_KINDS:
            spot = spot.part(kind, raw)
            self.places[spot.key] = spot.place
        faults_before = len(self.faults)
        self._check_names(kind, raw, spot)
        values: dict[str, object] = {}
        for field in fields_of(kind).values():
            if field.encode_name in raw:
                values[field.name] = self.read(field.type, raw[field.encode_name], spot.field(field))
            elif field.required:
                self.blame(spot.field(field), "is missing")
        if len(self.faults) > faults_before:
            return UNSET
        try:
            return kind(**values)
        except ModelError as error:
            return self.tell(f"{spot.name}: {error}" if spot.path else str(error), spot.place)

    def blame(self, spot: Spot, message: str) -> object:
        """Keep a fault about the field of a spot; return UNSET.  Raise SiteFileError when there are enough."""
        return self.tell(
            f"{spot.name}: {spot.label} {message}" if spot.label else f"{spot.name}: {message}", spot.place
        )

    def tell(self, sentence: str, place: str) -> object:
        """Keep a fault as a whole sentence; return UNSET.  Raise SiteFileError when there are enough."""
        self.faults.append(f"{sentence.removesuffix('.')} - at {place}")
        if len(self.faults) == MOST_FAULTS:
            self.faults.append("There may be more faults.")
            self.finish()
        return UNSET

    def finish(self) -> None:
        """Raise SiteFileError with all faults, one a line, if there are any."""
        if self.faults:
            raise SiteFileError("\n".join(self.faults))

    def _read_either(self, kind: inspect.UnionType, raw: Raw, spot: Spot) -> object:
        if raw is None and fits(kind, None):
            return None
        kinds = [one for one in kind.types if not isinstance(one, inspect.NoneType)]
        if len(kinds) == 1:
            return self.read(kinds[0], raw, spot)
        records = [one for one in kinds if isinstance(one, inspect.StructType)]
        field = str(records[0].tag_field)
        if not isinstance(raw, dict):
            return self.blame(spot, f"must be {wanted(kind)} in braces, not {shown(raw)}")
        for record in records:
            if record.tag == raw.get(field):
                return self.read_record(record.cls, raw, spot)
        tags = " or ".join(str(record.tag) for record in records)
        return self.blame(spot, f"needs {field} {tags}, not {shown(raw.get(field))}")

    def _check_names(self, kind: type[Struct], raw: dict[str, Raw], spot: Spot) -> None:
        known = [field.encode_name for field in fields_of(kind).values()]
        if kind.__struct_config__.tag_field:
            known.append(kind.__struct_config__.tag_field)
        if isinstance(raw, DoubledNames):
            self.blame(spot, f"{clipped(raw.name)!r} stands twice; keep one of them")
        for name in [name for name in raw if name not in known]:
            self.blame(spot, f"{clipped(name)!r} is not a field of a {kind_name(kind)}{nearest(name, known)}")

    def _read_list(self, kind: inspect.TupleType | inspect.VarTupleType, raw: Raw, spot: Spot) -> object:
        if not isinstance(raw, list) or (isinstance(kind, inspect.TupleType) and len(raw) != len(kind.item_types)):
            return self.blame(spot, f"must be {wanted(kind)} in brackets, not {shown(raw)}")
        parts = parts_of_tuple(kind, tuple(raw))
        values = tuple(self.read(part, one, spot.item(kind, number)) for number, (part, one) in enumerate(parts))
        return UNSET if UNSET in values else values

    def _read_number(self, kind: Kind, raw: Raw, spot: Spot) -> object:
        quantity = quantity_of(kind)
        assert quantity is not None
        told = spot._replace(label=f"{spot.label}:")
        if isinstance(raw, float | int) and not isinstance(raw, bool) and isfinite(raw):
            return self.blame(told, f"{raw:g} has no unit; write {with_unit(raw, quantity)}") if raw else 0.0
        if not isinstance(raw, str):
            return self.blame(spot, f"must be {wanted(kind)} in quotes, not {shown(raw)}")
        try:
            typed = read_quantity(raw, quantity, is_signed(kind))
        except EntryError as error:
            return self.blame(told, str(error))
        if typed.text or typed.basis:
            mark = Mark(of=spot.key, field=spot.path, basis=typed.basis, text=typed.text, by=typed.by)
            self.marks[mark.of, mark.field] = mark
        return typed.value

    def _read_word(self, kind: Kind, raw: Raw, spot: Spot) -> object:
        if not fits(kind, raw):
            return self.blame(spot, f"must be {wanted(kind)}, not {shown(raw)}")
        if isinstance(raw, int) and abs(raw) > LARGEST_WHOLE:
            return self.blame(spot, f"must be a whole number up to {LARGEST_WHOLE}, not {shown(raw)}")
        if isinstance(raw, str) and any("\ud800" <= letter <= "\udfff" for letter in raw):
            return self.blame(spot, "holds half a character, which no file can keep")
        return raw


class FileWriter:
    """Makes what stands in a file of records and their marks.  Values as they are by themselves are left out."""

    def __init__(self, marks: Iterable[Mark]) -> None:
        self._marks = {(mark.of, mark.field): mark for mark in marks}
        self._marked = {("", mark.of) for mark in self._marks.values()}
        for key, field in self._marks:
            pieces = field.split(".")
            self._marked.update((key, ".".join(pieces[: count + 1])) for count in range(len(pieces)))

    def write_record(self, record: Struct, key: str = "", path: str = "") -> dict[str, Raw]:
        """Return what stands in a file for a record; marks are taken into the texts of its numbers."""
        if type(record) in PART_KINDS:
            key, path = key_of(record), ""
        config = type(record).__struct_config__
        raw: dict[str, Raw] = {str(config.tag_field): config.tag} if config.tag_field else {}
        for field in fields_of(type(record)).values():
            value = getattr(record, field.name)
            under = f"{path}.{field.name}" if path else field.name
            if value != field.default or (key, under) in self._marked:
                raw[field.encode_name] = self._write(field.type, value, key, under)
        return raw

    def left_over(self, parts: Iterable[Struct]) -> list[dict[str, Raw]]:
        """Return the marks that found no place in the text of a number, as they stand in a file.

        Marks of nothing are dropped.
        """
        by_key = {key_of(part): part for part in parts}
        return [
            self.write_record(replace(mark, field=said_path(mark.field)))
            for mark in self._marks.values()
            if mark.of in by_key and has_path(by_key[mark.of], mark.field)
        ]

    def _write(self, kind: Kind, value: object, key: str, path: str) -> Raw:
        kind = narrowed(kind, value)
        quantity = quantity_of(kind)
        match value:
            case Struct():
                return self.write_record(value, key, path)
            case tuple():
                parts = enumerate(parts_of_tuple(kind, value))
                return [self._write(part_kind, part, key, f"{path}.{number}") for number, (part_kind, part) in parts]
            case SupportsFloat() if quantity is not None:
                written = write_quantity(float(value), quantity, is_signed(kind), self._marks.pop((key, path), None))
                if written.left_over is not None:
                    self._marks[key, path] = written.left_over
                return written.raw
        return value


def path_in_words(record: Struct, words: str) -> str | None:
    """Return the path of a field that a file names in words without units, or None when there is no such field."""
    value: object = record
    path: list[str] = []
    for word in words.split("."):
        if isinstance(value, Struct):
            fields = fields_of(type(value)).values()
            found = next((field.name for field in fields if word in (field.encode_name, field.name)), word)
        else:
            found = word
        path.append(found)
        if not has_path(record, ".".join(path)):
            return None
        value = value_at(record, ".".join(path))
    return ".".join(path)


def nearest(name: str, known: list[str]) -> str:
    """Return the half sentence that offers the nearest of the right names: "; did you mean thickness?"."""
    from difflib import get_close_matches  # needed for a faulty file only

    found = get_close_matches(clipped(name), known, n=1)
    return f"; did you mean {found[0]}?" if found else ""


def shown(raw: Raw) -> str:
    """Return what stands in a file as messages show it, long things cut short."""
    match raw:
        case dict():
            return "something in braces"
        case list():
            return f"a list of {len(raw)}"
        case str():
            return repr(clipped(raw))
    return json.dumps(raw)


def clipped(text: str) -> str:
    """Return a text cut short."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}..."
