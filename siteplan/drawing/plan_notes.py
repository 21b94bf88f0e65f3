"""What is written beside the things of a plan: one note a thing, in the words of the trade."""

from collections.abc import Iterator
from typing import Literal

from shapely import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.drawing.label_candidates import Note
from siteplan.drawing.pens import Pen
from siteplan.drawing.plan_view import rings_of
from siteplan.drawing.primitives import Ring, Symbol
from siteplan.drawing.symbols import SYMBOLS, symbol_outline
from siteplan.drawing.text_flow import wrapped
from siteplan.geometry.points import point_at
from siteplan.model.document import Document
from siteplan.model.drives import Pad
from siteplan.model.edits import basis_of
from siteplan.model.gate import Leaf, Post
from siteplan.model.marks import Basis
from siteplan.model.site import Edge, Obstacle, ShotGround, State
from siteplan.units.measures import write_measure
from siteplan.units.writing import LengthStyle, write_length

BASIS_SIGNS: dict[Basis, tuple[str, str]] = {
    "taped": ("", ""),
    "told": ("", " t"),
    "guess": ("~", ""),
    "book": ("", " b"),
    "worked": ("", " ="),
    "built": ("", " •"),
}
STATE_WORDS: dict[State, str] = {"existing": "(E)", "new": "(N)"}
ARC_STEPS = 24
WIDEST_MM = 75.0  # of the lines of a note, on paper
LINE_WORDS = {"property line": "PROPERTY LINE (RECORD)", "right-of-way": "RIGHT-OF-WAY LINE (RECORD)"}


class _Words:
    """Writes numbers of one document with the sign of their basis."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.style = LengthStyle(document.project.units)

    def length(self, id: str, field: str, mm: float) -> str:
        before, after = BASIS_SIGNS[basis_of(self.document, id, field)]
        return f"{before}{write_length(mm, self.style)}{after}"

    def weight(self, id: str, field: str, kg: float) -> str:
        before, after = BASIS_SIGNS[basis_of(self.document, id, field)]
        return f"{before}{write_measure(kg, 'weight', self.document.project.units)}{after}".upper()


def _leaf_note(place: LeafPlace, words: _Words) -> Note:
    leaf = place.leaf
    angles = (place.travel_rad * step / ARC_STEPS for step in range(ARC_STEPS + 1))
    arc = [point_at(place.frame.origin, place.reach_mm, place.frame.angle_to_world(angle)) for angle in angles]
    first = f"{STATE_WORDS[leaf.state]} LEAF {leaf.id} {words.length(leaf.id, 'length_mm', leaf.length_mm)}"
    facts = ", ".join(_leaf_facts(leaf, words))
    lines = (f"{first}, SWINGS {leaf.swings.upper()}", *((facts,) if facts else ()))
    return Note(id=f"leaf {leaf.id}", lines=lines, kind="line", anchor=tuple(arc), pen=Pen.NOTE, source=leaf.id)


def _leaf_facts(leaf: Leaf, words: _Words) -> Iterator[str]:
    if leaf.height_mm is not None:
        yield f"{words.length(leaf.id, 'height_mm', leaf.height_mm)} HIGH"
    if leaf.weight_kg is not None:
        yield words.weight(leaf.id, "weight_kg", leaf.weight_kg)
    if leaf.bottom_gap_mm is not None:
        yield f"GAP {words.length(leaf.id, 'bottom_gap_mm', leaf.bottom_gap_mm)}"


def _edge_note(edge: Edge, words: _Words) -> Note:
    area = footprint(edge)
    pen = Pen.NOTE_EXISTING if edge.state == "existing" else Pen.NOTE
    name = edge.note.upper() or edge.kind.upper()
    if edge.kind in LINE_WORDS:
        text, pen = LINE_WORDS[edge.kind], Pen.NOTE
    else:
        height = "" if edge.top_mm is None else f" {words.length(edge.id, 'top_mm', edge.top_mm)} HIGH"
        text = f"{STATE_WORDS[edge.state]} {name}{height}"
    solid = bool(area.area)
    line = edge.walk
    anchor = _outline(area) if solid else line
    return Note(
        id=f"edge {edge.id}",
        lines=wrapped(text, WIDEST_MM),
        kind="solid" if solid else "line",
        anchor=anchor,
        pen=pen,
        source=edge.id,
    )


def _obstacle_note(thing: Obstacle, words: _Words) -> Note:
    text = f"{STATE_WORDS[thing.state]} {thing.note.upper() or thing.what.upper()}"
    if thing.bottom_mm > 0:
        text += f", UNDERSIDE {words.length(thing.id, 'bottom_mm', thing.bottom_mm)}"
    elif thing.top_mm is not None:
        text += f" {words.length(thing.id, 'top_mm', thing.top_mm)} HIGH"
    pen = Pen.NOTE_EXISTING if thing.state == "existing" else Pen.NOTE
    overhead = thing.bottom_mm > 0
    ring = _outline(footprint(thing))
    anchor = (*ring, ring[0]) if overhead else ring
    kind: Literal["line", "solid"] = "line" if overhead else "solid"
    return Note(
        id=f"thing {thing.id}", lines=wrapped(text, WIDEST_MM), kind=kind, anchor=anchor, pen=pen, source=thing.id
    )


def _outline(area: BaseGeometry) -> Ring:
    """Return the outer ring of the largest part of an area."""
    rings = max(rings_of(area), key=lambda each: Polygon(each[0]).area)
    return rings[0]


def _pad_note(pad: Pad, words: _Words) -> Note:
    drives = [drive.leaf for drive in words.document.drives if drive.pad == pad.id]
    serves = f", DRIVE OF LEAF {' AND '.join(drives)}" if drives else ""
    width, depth = words.length(pad.id, "width_mm", pad.width_mm), words.length(pad.id, "depth_mm", pad.depth_mm)
    return _standing_note("pad", pad, f"{STATE_WORDS[pad.state]} PAD {width} x {depth}{serves}")


def _post_note(post: Post, words: _Words) -> Note:
    shape = "SQUARE" if post.shape == "square" else "ROUND"
    text = f"{STATE_WORDS[post.state]} POST {post.id}, {words.length(post.id, 'size_mm', post.size_mm)} {shape}"
    return _standing_note("post", post, text)


def _standing_note(kind: str, thing: Pad | Post, text: str) -> Note:
    """Return a note on something that stands on the site, with a leader to its outline."""
    return Note(
        id=f"{kind} {thing.id}",
        lines=wrapped(text, WIDEST_MM),
        kind="solid",
        anchor=_outline(footprint(thing)),
        pen=Pen.NOTE,
        source=thing.id,
    )


def _symbol_note(id: str, text: str, at: tuple[float, float], symbol: str, pen: Pen) -> Note:
    drawn = MultiPoint(symbol_outline(Symbol(name=symbol, at=(0.0, 0.0), pen=pen))).envelope.centroid
    return Note(
        id=f"{symbol} {id}",
        lines=wrapped(text, WIDEST_MM),
        kind="symbol",
        anchor=(at,),
        half_size_mm=SYMBOLS[symbol].half_mm,
        off_mm=(drawn.x, drawn.y),
        pen=pen,
        source=id,
    )


def _spot_notes(document: Document) -> Iterator[Note]:
    if isinstance(document.ground, ShotGround):
        words = _Words(document)
        for shot in document.ground.shots:
            sign = "+" if shot.height_mm >= 0 else ""
            text = sign + words.length(shot.id, "height_mm", shot.height_mm)
            yield _symbol_note(shot.id, text, shot.at, "spot_level", Pen.NOTE_EXISTING)


def gate_notes(document: Document) -> tuple[Note, ...]:
    """Return the notes on the gate and what belongs to it."""
    words = _Words(document)
    controls = (
        _symbol_note(each.id, f"{STATE_WORDS[each.state]} {each.what.upper()} {each.id}", each.at, "control", Pen.NOTE)
        for each in document.controls
    )
    signs = (
        _symbol_note(each.id, f"SIGN, {each.seen_from.upper()}", each.at, f"sign_{each.seen_from}", Pen.NOTE)
        for each in document.signs
    )
    return (
        *(_leaf_note(place, words) for place in leaf_places(document).values()),
        *(_pad_note(pad, words) for pad in document.pads),
        *(_post_note(post, words) for post in document.posts),
        *controls,
        *signs,
    )


def ground_notes(document: Document) -> tuple[Note, ...]:
    """Return the notes on what stands on the site."""
    words = _Words(document)
    areas = (
        Note(
            id=f"area {area.id}",
            lines=wrapped(area.note.upper() or f"{area.why.upper()}, KEEP CLEAR", WIDEST_MM),
            kind="area",
            anchor=area.outline,
            pen=Pen.NOTE,
            source=area.id,
        )
        for area in document.keep_clear
    )
    return (
        *(_edge_note(edge, words) for edge in document.edges if _speaks(edge)),
        *(_obstacle_note(thing, words) for thing in document.obstacles),
        *areas,
        *_spot_notes(document),
    )


def _speaks(edge: Edge) -> bool:
    """Whether an edge is written about: drive edges only where they say something."""
    return edge.kind != "drive edge" or bool(edge.note)
