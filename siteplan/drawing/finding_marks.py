"""The marks that key a plan to its table of findings: the shape of the severity with the number, near the place."""

import shapely
from msgspec.structs import replace

from siteplan.drawing.findings_table import SEVERITY_SYMBOLS
from siteplan.drawing.label_candidates import Note
from siteplan.drawing.label_placement import Placed, place_notes
from siteplan.drawing.label_scene import scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Label, Primitive, Ring, Symbol, View
from siteplan.drawing.text_size import label_box
from siteplan.rules.findings import Finding

ROOM = ("WWW", "WWW")  # a text that takes as much room as a mark with its number


def is_in_view(anchor: Ring, view: View) -> bool:
    """Whether any part of a thing lies in the window of a view."""
    half_width, half_height = view.frame[2] * view.ratio / 2, view.frame[3] * view.ratio / 2
    x, y = view.centre
    window = shapely.box(x - half_width, y - half_height, x + half_width, y + half_height)
    thing = shapely.LineString(anchor) if len(anchor) > 1 else shapely.Point(anchor[0])
    return bool(window.intersects(thing))


def place_marks(view: View, rows: tuple[tuple[int, Finding], ...]) -> tuple[Primitive, ...]:
    """Return the marks of findings that were measured somewhere in a view, placed where they cover nothing."""
    numbers = {finding.key: (number, finding) for number, finding in rows if finding.witness}
    notes = [
        Note(
            id=f"mark {number:03d}",
            lines=ROOM,
            kind="symbol",
            anchor=(finding.witness[-1],),
            half_size_mm=0.8,
            source=key,
        )
        for key, (number, finding) in numbers.items()
        if is_in_view((finding.witness[-1],), view)
    ]
    placed = place_notes(notes, scene_of(view)).placed
    return tuple(part for each in placed for part in _mark(each, *numbers[each.note.source], view.ratio))


def _mark(placed: Placed, number: int, finding: Finding, ratio: float) -> tuple[Primitive, ...]:
    """Return the mark in the place that was found for its room, with the leader to the witness."""
    labels = [part for part in placed.primitives if isinstance(part, Label)]
    corners = [corner for label in labels for corner in label_box(label, ratio)]
    middle = shapely.box(*shapely.MultiPoint(corners).bounds).centroid
    symbol = Symbol(
        name=SEVERITY_SYMBOLS[finding.severity],
        at=(middle.x - ratio, middle.y),
        pen=Pen.FINDING,
        text=str(number),
        source=finding.key,
    )
    leader = (replace(part, source=finding.key) for part in placed.primitives if not isinstance(part, Label))
    return (*leader, symbol)
