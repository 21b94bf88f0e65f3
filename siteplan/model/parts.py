"""The parts of a document that carry numbers, the names they go by, and which part names which other."""

from collections.abc import Iterator

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.document import COLLECTIONS, Document, Record, find_record, records_of
from siteplan.model.drives import Drive, DriveKind, Pad
from siteplan.model.gate import Gate, Leaf, Post
from siteplan.model.project import Conditions, Datum, LocalLimit, Project
from siteplan.model.quantities import kind_name
from siteplan.model.site import PlaneGround, ShotGround

Part = Record | Project | Datum | Conditions | PlaneGround | ShotGround | LocalLimit

SINGLES: dict[type, str] = {
    Project: "project",
    Datum: "datum",
    Conditions: "conditions",
    PlaneGround: "ground",
    ShotGround: "ground",
}
"""Parts of which a document has one; they go by the name of its field."""

REFERENCES: tuple[tuple[type, str, type, str], ...] = (
    (Leaf, "post", Post, "hangs on"),
    (Gate, "leaves", Leaf, "has"),
    (Gate, "latch_post", Post, "closes against"),
    (Drive, "leaf", Leaf, "moves"),
    (Drive, "pad", Pad, "stands on"),
    (Drive, "kind", DriveKind, "is of"),
    (Gate, "closes_last", Leaf, "closes last with"),
)
"""Which field of which record holds ids of which other records, with the verb of the sentence about it."""

MAY_BE_EMPTY = ("latch_post", "pad", "kind", "closes_last")
MOST_NAMES_LISTED = 8


def key_of(part: Struct) -> str:
    """Return the name under which the marks of a part are kept: its id, project, datum, ground, or "local ROW"."""
    if isinstance(part, LocalLimit):
        return f"local {part.row}"
    return SINGLES.get(type(part)) or str(getattr(part, "id", ""))


def parts_of(document: Document) -> Iterator[Part]:
    """Yield every part of a document that carries numbers, in the order of its fields."""
    yield document.project
    yield document.datum
    yield document.conditions
    yield from records_of(document)
    if document.ground is not None:
        yield document.ground
    yield from document.local


def find_part(document: Document, key: str) -> Part | None:
    """Return the part that goes by a key (see ``key_of``), or None."""
    return next((part for part in parts_of(document) if key_of(part) == key), None)


def record_at(document: Document, id: str) -> Record:
    """Return the record of an id.

    Raises
    ------
    ModelError
        When there is none, naming those there are.
    """
    record = find_record(document, id)
    if record is None:
        names = listed([one.id for one in records_of(document)])
        raise ModelError(f"There is no {id!r} on this site; there is {names}.")
    return record


def leaf_at(document: Document, id: str) -> Leaf:
    """Return the leaf of an id, or raise ModelError naming the leaves there are."""
    for leaf in document.leaves:
        if leaf.id == id:
            return leaf
    raise ModelError(f"There is no leaf {id!r}: {the_only(Leaf, [leaf.id for leaf in document.leaves])}.")


def referred(part: Struct, field: str) -> tuple[str, ...]:
    """Return the ids a reference field holds."""
    value = getattr(part, field)
    ids = (value,) if isinstance(value, str) else tuple(value)
    return () if ids == ("",) and field in MAY_BE_EMPTY else ids


def home_of(kind: type) -> str:
    """Return the field of the document that holds parts of a kind."""
    return "local" if kind is LocalLimit else SINGLES.get(kind) or COLLECTIONS[kind]


def id_fault(id: str) -> str | None:
    """Return what is wrong with an id, or None: an id is one printable word, and not one this program uses itself."""
    if not id:
        return "an id must not be empty"
    if not id.isprintable() or " " in id:
        return f"an id must be one word without blanks, not {id!r}"
    if id in SINGLES.values():
        return f"{id!r} cannot be an id, because a part of every site goes by that name"
    return None


def the_only(kind: type, ids: list[str]) -> str:
    """Return in words which records of a kind there are: "the posts are A and B"."""
    home = home_of(kind).replace("_", " ")
    match ids:
        case []:
            return f"there are no {home}"
        case [id]:
            return f"the only {kind_name(kind)} is {id}"
    return f"the {home} are {listed(ids)}"


def listed(names: list[str]) -> str:
    """Return names as a list in words, cut short when long: "A, B and C", "A, B and 12 more", "none"."""
    if len(names) > MOST_NAMES_LISTED:
        names = [*names[:MOST_NAMES_LISTED], f"{len(names) - MOST_NAMES_LISTED} more"]
    *first, last = names or ["none"]
    return f"{', '.join(first)} and {last}" if first else last
