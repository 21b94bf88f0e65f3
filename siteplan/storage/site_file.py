r"""Site files: JSON that a person can read and write.

A file is UTF-8 text and holds ``{"version": 1, "site": {...}}``.  The site has the fields of the document, and each
record those of its type, by their names without units: ``length``, not ``length_mm``.  What is as it would be by
itself may be left out; what is no field is refused, and so is a name that stands twice.

    {
     "version": 1,
     "site": {
      "project": {"title": "Hill drive", "units": "ftin"},
      "posts": [
       {"id": "P1", "at": ["-6\" taped", 0], "hinge": [0, 0], "size": "6\" taped"}
      ],
      "leaves": [
       {"id": "A", "post": "P1", "hinges": "left", "swings": "in", "length": "14'-1\" taped", "weight": "~420 lb"}
      ],
      "gates": [{"id": "G1", "leaves": ["A"]}]
     }
    }

Numbers
    Every length, angle, weight and grade is a text with its unit, as one types it: ``"14'-1\""``, ``"4.293 m"``,
    ``"90 deg"``, ``"420 lb"``, ``"12.5%"``, ``"1-1/2 in per ft"``.  Only zero may be the bare number 0; any other
    bare number is refused.  A number that nobody typed is written in mm, rad, kg or as rise : 1, to the last digit
    (``"4293.4127 mm"``), and read back to the very number.  Counts and scales are whole numbers.

Tags
    How a number came to be known stands in the same text: ``"14'-1\" taped"``, ``"~12'"``, ``"12' told owner"``,
    ``"16 in book"``, ``worked``, ``built``.  Numbers without a tag are what ``untagged`` of the site says, else a
    guess.  A tag of anything else, or one that cannot stand in a text, is a row of ``marks``:
    ``{"of": "W1", "field": "kind", "basis": "told", "by": "neighbour"}``, where ``of`` is an id, project, datum,
    ground, or "local ROW".

Places
    ``at``, ``hinge`` and each place of a line are two lengths, right and inward, seen from the street.

Ids
    One word each, and no two records of a site share one.  ``retired`` holds the ids of records that are gone.
"""

import json
from collections import Counter
from pathlib import Path
from typing import Final, NamedTuple

from msgspec.structs import replace

from siteplan.errors import DamagedFileError, SiteFileError
from siteplan.model.document import Document
from siteplan.model.fields import fields_of, said_path
from siteplan.model.marks import Mark
from siteplan.model.parts import key_of, parts_of
from siteplan.model.sanity import document_faults
from siteplan.storage.file_values import (
    LONGEST_SHOWN,
    DoubledNames,
    FileReader,
    FileWriter,
    Raw,
    Spot,
    clipped,
    nearest,
    path_in_words,
    shown,
)
from siteplan.storage.migrations import CURRENT, upgraded

LARGEST_BYTES: Final = 50_000_000
LONGEST_WHOLE: Final = 15  # digits that a float holds
LINE_WIDTH: Final = 120
ENVELOPE: Final = {"version", "site"}
MALFORMED: Final = {
    "Expecting ',' delimiter": "a comma or a closing bracket is missing before this place",
    "Expecting ':' delimiter": "a colon is missing before this place",
    "Expecting property name": "a name in double quotes is missing here",
    "Expecting value": "a value is missing here",
    "Unterminated string": "the text that starts here has no closing quote",
    "Invalid control character": "a text runs over the end of its line, or holds a control character",
    "Invalid \\": "a backslash stands before nothing it can go with",
    "Illegal trailing comma": "a comma stands before a closing bracket",
    "Extra data": "something stands behind the end of the site",
}
"""What the reader of JSON says, in our words."""


class Opened(NamedTuple):
    """A site out of a file."""

    document: Document
    version: int  # of the file
    notes: tuple[str, ...]  # sentences for the person who opened it
    path: Path


def read_site(path: Path) -> Opened:
    """Return the site of a file.

    Raises
    ------
    SiteFileError
        When the file cannot be opened or read; a DamagedFileError when it is cut off or not a site file at all.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise SiteFileError(f"There is no file {path}.") from None
    except (OSError, ValueError) as error:
        raise SiteFileError(f"File {path} cannot be opened: {_reason(error)}.") from error
    version, document = _loaded(data)
    notes = (f"Brought from file version {version} to {CURRENT}; saving writes version {CURRENT}.",)
    return Opened(document, version, notes if version < CURRENT else (), path)


def load_site(data: bytes) -> Document:
    """Return the document of the bytes of a site file of any version up to the present one.

    Raises
    ------
    SiteFileError
        Telling what is wrong and where, one fault a line, ten at most.
    """
    return _loaded(data)[1]


def dump_site(document: Document) -> bytes:
    """Return the bytes of a site file.

    Marks take the order of the records, and marks of nothing are left out.

    Raises
    ------
    SiteFileError
        When a text holds half a character.
    """
    writer = FileWriter(document.marks)
    site = writer.write_record(replace(document, marks=()))
    left_over = writer.left_over(parts_of(document))
    if left_over:
        site["marks"] = left_over
    text = laid_out({"version": CURRENT, "site": site})
    try:
        return f"{text}\n".encode()
    except UnicodeEncodeError as error:
        near = text[: error.start][-LONGEST_SHOWN:]
        raise SiteFileError(
            f"A text of the site holds half a character, which no file can keep, after {near!r}."
        ) from None


def laid_out(raw: Raw, indent: int = 0) -> str:
    """Return JSON text, indented by 1; what fits on a line stands on one line."""
    flat = json.dumps(raw, ensure_ascii=False)
    if not isinstance(raw, dict | list) or not raw or (len(flat) + indent < LINE_WIDTH and indent > 0):
        return flat
    pad = " " * (indent + 1)
    if isinstance(raw, dict):
        rows = [f"{json.dumps(name, ensure_ascii=False)}: {laid_out(one, indent + 1)}" for name, one in raw.items()]
    else:
        rows = [laid_out(one, indent + 1) for one in raw]
    start, end = "{}" if isinstance(raw, dict) else "[]"
    return f"{start}\n{pad}" + f",\n{pad}".join(rows) + f"\n{' ' * indent}{end}"


def _loaded(data: bytes) -> tuple[int, Document]:
    version, site = _parsed(data)
    return version, _document(upgraded(site, version))


def _parsed(data: bytes) -> tuple[int, dict[str, Raw]]:
    """Return version and site of a file as plain values."""
    if len(data) > LARGEST_BYTES:
        raise SiteFileError(f"Site file is larger than {LARGEST_BYTES // 10**6} MB, and no site is.")
    raw = _json_of(_text_of(data))
    if not isinstance(raw, dict) or not raw.keys() >= ENVELOPE:
        raise DamagedFileError(
            f'This is not a site file but {shown(raw)}; one holds {{"version": 1, "site": {{...}}}}.'
        )
    others = [name for name in raw if name not in ENVELOPE]
    if others:
        raise SiteFileError(
            f"Site file: {clipped(others[0])!r} stands beside version and site, and means nothing there."
        )
    if isinstance(raw, DoubledNames):
        raise SiteFileError(f"Site file: {raw.name!r} stands twice; keep one of them.")
    if not isinstance(raw["site"], dict):
        raise SiteFileError(f"Site file: site must be a site in braces, not {shown(raw['site'])}.")
    return _version_of(raw["version"]), raw["site"]


def _version_of(raw: Raw) -> int:
    if not isinstance(raw, int) or isinstance(raw, bool) or raw < 1:
        raise SiteFileError(f"Site file: version must be a whole number from 1 to {CURRENT}, not {shown(raw)}.")
    if raw > CURRENT:
        raise SiteFileError(f"Site file has version {raw}, and this program reads 1 to {CURRENT}; use a newer one.")
    return raw


def _text_of(data: bytes) -> str:
    if not data.strip(b"\0 \t\r\n"):
        raise DamagedFileError(f"Site file is empty, {len(data)} bytes of nothing.")
    zeros = data.count(0)
    if zeros:
        raise DamagedFileError(f"Site file is damaged, or not a site file: it is no text, with {zeros} zero bytes.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        if error.end == len(data):
            raise DamagedFileError(f"Site file is cut off in line {line}, in the middle of a letter.") from None
        raise SiteFileError(
            f"Site file is not UTF-8 text: line {line} holds the byte 0x{data[error.start]:02x}."
        ) from None


def _json_of(text: str) -> Raw:
    try:
        return json.loads(text, object_pairs_hook=_object_of, parse_int=_number_of)
    except json.JSONDecodeError as error:
        what = next((said for start, said in MALFORMED.items() if error.msg.startswith(start)), "this is not JSON")
        if text[error.pos : error.pos + 1] == '"':
            what += '; an inch mark inside a text is written \\"'
        at = f"at line {error.lineno}, column {error.colno}: {what}"
        whole = text.rstrip()
        if error.pos >= len(whole) or not whole.endswith("}"):
            raise DamagedFileError(f"Site file is cut off or no site file, {at}.") from None
        raise SiteFileError(f"Site file cannot be read {at}.") from None
    except RecursionError:
        raise SiteFileError("Site file cannot be read: its brackets are nested deeper than any site.") from None


def _object_of(pairs: list[tuple[str, Raw]]) -> dict[str, Raw]:
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    ((name, _),) = Counter(name for name, _ in pairs).most_common(1)
    return DoubledNames(plain, name)


def _number_of(digits: str) -> int | float:
    return int(digits) if len(digits) <= LONGEST_WHOLE else float(digits)


def _document(site: dict[str, Raw]) -> Document:
    reader = FileReader()
    document = reader.read_record(Document, site, Spot("$.site"))
    reader.finish()
    assert isinstance(document, Document)
    for fault in document_faults(document):
        place = reader.places.get(fault.key, "$.site")
        reader.tell(fault.message, f"{place}.{said_path(fault.field)}" if fault.field else place)
    reader.finish()
    marks = _all_marks(document, reader)
    reader.finish()
    return replace(document, marks=marks)


def _all_marks(document: Document, reader: FileReader) -> tuple[Mark, ...]:
    """Return the tags out of the texts of numbers, and the rows of marks put with them."""
    parts = {key_of(part): part for part in parts_of(document)}
    marks = dict(reader.marks)
    for number, row in enumerate(document.marks):
        spot = Spot(f"$.site.marks[{number}]", f"Mark of {clipped(row.of)}")
        part = parts.get(row.of)
        path = None if part is None else path_in_words(part, row.field)
        if part is None:
            reader.blame(spot, f"there is no {clipped(row.of)!r} on this site{nearest(row.of, list(parts))}")
        elif path is None:
            known = [field.encode_name for field in fields_of(type(part)).values()]
            reader.blame(spot, f"{clipped(row.field)!r} is not a field of it{nearest(row.field, known)}")
        else:
            tag = marks.get((row.of, path), Mark(of=row.of, field=path))
            if tag.basis or tag.by or (tag.text and row.text):
                reader.blame(spot, f"{row.field} has a tag already, in its text or in another row; keep one")
            marks[row.of, path] = replace(row, field=path, text=row.text or tag.text)
    return tuple(marks.values())


def _reason(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or str(error)
