"""New records, put down where one looks and then dragged and typed to their place. No Qt.

Every number of a new record is a guess.  Each function returns the document with the record and the id to select.
"""

from math import hypot
from typing import Final, NamedTuple

from msgspec.structs import replace

from siteplan.geometry.points import Point
from siteplan.model.document import Document, records_of
from siteplan.model.drives import Pad
from siteplan.model.edits import added, free_id, with_record
from siteplan.model.gate import Control, Gate, Leaf, Post, Side, Sign
from siteplan.model.site import Block, Edge, EdgeKind, KeepClear, Round

POST_MM: Final = 152.4
STAND_OFF_MM: Final = 76.2  # post face to hinge axis
CLOSING_GAP_MM: Final = 50.8  # tip to latch post, and between the tips of a pair
LEAST_LEAF_MM: Final = 609.6  # less than 2 ft beside the first leaf: both are made half as long as the opening
FIRST_LEAF_MM: Final = 3048.0
EDGE_MM: Final = 3048.0  # length of a new edge
WALL_MM: Final = 203.2
PAD_MM: Final = (609.6, 711.2)
BLOCK_MM: Final = 609.6
ROUND_MM: Final = 152.4
AREA_MM: Final = 3048.0
LEAF_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
EDGE_STEMS: Final[dict[EdgeKind, str]] = {
    "wall": "W",
    "fence": "F",
    "kerb": "K",
    "road edge": "R",
    "drive edge": "DE",
    "property line": "PL",
    "right-of-way": "RW",
}


class Added(NamedTuple):
    """A document with a new record, and the id of that record."""

    document: Document
    id: str


def with_post(document: Document, at: Point) -> Added:
    """Add a post; its hinge axis lies on the side of the nearest post."""
    others = sorted(document.posts, key=lambda post: hypot(post.at[0] - at[0], post.at[1] - at[1]))
    side = -1 if others and others[0].at[0] < at[0] else 1
    hinge = (at[0] + side * (POST_MM / 2 + STAND_OFF_MM), at[1])
    post = Post(id=free_id(document, "P"), at=at, hinge=hinge, size_mm=POST_MM)
    return Added(added(document, post), post.id)


def with_leaf(document: Document, post: Post) -> Added:
    """Hang a leaf on a post, as long as reaches the nearest free post; it makes a gate of its own."""
    assert post.hinge is not None
    latch = _latch_for(document, post)
    hinges: Side = "right" if latch is not None and latch.at[0] < post.hinge[0] else "left"
    length_mm = FIRST_LEAF_MM
    if latch is not None:
        length_mm = abs(latch.at[0] - post.hinge[0]) - latch.size_mm / 2 - CLOSING_GAP_MM
    leaf = Leaf(
        id=_leaf_id(document), post=post.id, hinges=hinges, swings="in", length_mm=max(LEAST_LEAF_MM, length_mm)
    )
    hung = added(document, leaf)
    gate = Gate(id=free_id(hung, "G"), leaves=(leaf.id,), latch_post="" if latch is None else latch.id)
    return Added(added(hung, gate), leaf.id)


def pairable(document: Document, post: Post) -> Gate | None:
    """Return the single-leaf gate that a second leaf on a post would make a pair of, or None."""
    if post.hinge is None or any(leaf.post == post.id for leaf in document.leaves):
        return None
    single = [gate for gate in document.gates if len(gate.leaves) == 1]
    return next((gate for gate in single if gate.latch_post == post.id), single[0] if len(single) == 1 else None)


def with_second_leaf(document: Document, post: Post, gate: Gate) -> Added:
    """Hang the second leaf of a pair; where the first leaves no room for it, both are made half as long."""
    assert post.hinge is not None
    first = next(leaf for leaf in document.leaves if leaf.id == gate.leaves[0])
    carrying = next(other for other in document.posts if other.id == first.post)
    assert carrying.hinge is not None
    free_mm = abs(post.hinge[0] - carrying.hinge[0]) - CLOSING_GAP_MM
    length_mm = free_mm - first.length_mm
    if length_mm < LEAST_LEAF_MM:
        length_mm = max(LEAST_LEAF_MM, free_mm / 2)
        document = with_record(document, replace(first, length_mm=length_mm))
    hinges: Side = "right" if post.hinge[0] > carrying.hinge[0] else "left"
    leaf = replace(first, id=_leaf_id(document), post=post.id, hinges=hinges, length_mm=length_mm, plates=())
    names = (first.id, leaf.id) if hinges == "right" else (leaf.id, first.id)
    hung = added(document, leaf)
    return Added(with_record(hung, replace(gate, leaves=names, latch_post="")), leaf.id)


def with_edge(kind: EdgeKind, document: Document, at: Point) -> Added:
    """Add an edge to the right and left of a place."""
    line = ((at[0] - EDGE_MM / 2, at[1]), (at[0] + EDGE_MM / 2, at[1]))
    thickness_mm = WALL_MM if kind == "wall" else 0.0
    edge = Edge(id=free_id(document, EDGE_STEMS[kind]), kind=kind, line=line, thickness_mm=thickness_mm)
    return Added(added(document, edge), edge.id)


def with_block(document: Document, at: Point) -> Added:
    """Add an obstacle with a square outline."""
    block = Block(id=free_id(document, "B"), what="cabinet", outline=_square(at, BLOCK_MM))
    return Added(added(document, block), block.id)


def with_round(document: Document, at: Point) -> Added:
    """Add a round obstacle."""
    tree = Round(id=free_id(document, "T"), what="tree", at=at, radius_mm=ROUND_MM)
    return Added(added(document, tree), tree.id)


def with_keep_clear(document: Document, at: Point) -> Added:
    """Add an area to keep clear."""
    area = KeepClear(id=free_id(document, "E"), why="other", outline=_square(at, AREA_MM))
    return Added(added(document, area), area.id)


def with_pad(document: Document, at: Point) -> Added:
    """Add a pad."""
    pad = Pad(id=free_id(document, "D"), at=at, width_mm=PAD_MM[0], depth_mm=PAD_MM[1])
    return Added(added(document, pad), pad.id)


def with_control(document: Document, at: Point) -> Added:
    """Add a control."""
    control = Control(id=free_id(document, "C"), what="keypad", at=at)
    return Added(added(document, control), control.id)


def with_sign(document: Document, at: Point) -> Added:
    """Add a warning sign."""
    sign = Sign(id=free_id(document, "S"), at=at, seen_from="outside")
    return Added(added(document, sign), sign.id)


def _latch_for(document: Document, post: Post) -> Post | None:
    """Return the nearest other post that carries no leaf and closes no other gate."""
    assert post.hinge is not None
    x, y = post.hinge
    taken = {leaf.post for leaf in document.leaves} | {gate.latch_post for gate in document.gates} | {post.id}
    free = [other for other in document.posts if other.id not in taken]
    return min(free, key=lambda other: hypot(other.at[0] - x, other.at[1] - y), default=None)


def _leaf_id(document: Document) -> str:
    taken = {*document.retired, *(record.id for record in records_of(document))}
    return next((letter for letter in LEAF_LETTERS if letter not in taken), free_id(document, "L"))


def _square(middle: Point, side_mm: float) -> tuple[Point, ...]:
    x, y = middle
    half = side_mm / 2
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
