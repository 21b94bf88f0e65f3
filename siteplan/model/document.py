"""The document: everything one site consists of, frozen."""

from collections.abc import Iterator

from msgspec import Struct

from siteplan.model.drives import Drive, DriveKind, Pad
from siteplan.model.gate import Control, Gate, Leaf, Post, Sign
from siteplan.model.marks import Basis, Mark
from siteplan.model.project import Conditions, Datum, LocalLimit, Project
from siteplan.model.site import Block, Edge, Ground, KeepClear, Obstacle, Round, SurveyPoint

DEFAULT_PACK = "us"


class Document(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One site.  Records never change; an edit returns a new document that shares all other records."""

    project: Project
    datum: Datum = Datum()
    conditions: Conditions = Conditions()
    untagged: Basis = "guess"  # how numbers without a mark came to be known
    points: tuple[SurveyPoint, ...] = ()
    edges: tuple[Edge, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    ground: Ground | None = None
    keep_clear: tuple[KeepClear, ...] = ()
    posts: tuple[Post, ...] = ()
    leaves: tuple[Leaf, ...] = ()
    gates: tuple[Gate, ...] = ()
    pads: tuple[Pad, ...] = ()
    drive_kinds: tuple[DriveKind, ...] = ()
    drives: tuple[Drive, ...] = ()
    controls: tuple[Control, ...] = ()
    signs: tuple[Sign, ...] = ()
    pack: str = DEFAULT_PACK  # the rule pack the site is judged against
    local: tuple[LocalLimit, ...] = ()
    marks: tuple[Mark, ...] = ()
    retired: tuple[str, ...] = ()  # ids of records that are gone: no name on an old print comes to mean a new thing


Record = SurveyPoint | Edge | Block | Round | KeepClear | Post | Leaf | Gate | Pad | DriveKind | Drive | Control | Sign

COLLECTIONS: dict[type, str] = {
    SurveyPoint: "points",
    Edge: "edges",
    Block: "obstacles",
    Round: "obstacles",
    KeepClear: "keep_clear",
    Post: "posts",
    Leaf: "leaves",
    Gate: "gates",
    Pad: "pads",
    DriveKind: "drive_kinds",
    Drive: "drives",
    Control: "controls",
    Sign: "signs",
}
"""Which tuple of the document holds the records of a type."""


def records_of(document: Document) -> Iterator[Record]:
    """Yield every record that has an id, in the order of the document."""
    for name in dict.fromkeys(COLLECTIONS.values()):
        yield from getattr(document, name)


def find_record(document: Document, id: str) -> Record | None:
    """Return the record of an id, or None."""
    return next((record for record in records_of(document) if record.id == id), None)
