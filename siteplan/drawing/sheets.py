"""The sheets of a job: what goes on which sheet, at which scale, where on the paper.

This module never reads a file, a screen or a clock: dates and revisions come from the document, so the same document
always gives the same sheets.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

import shapely
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.boundaries import control_reaches
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import swept_areas
from siteplan.drawing.finding_marks import is_in_view, place_marks
from siteplan.drawing.findings_table import findings_table, numbered
from siteplan.drawing.label_candidates import Note
from siteplan.drawing.label_placement import place_notes
from siteplan.drawing.label_scene import scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.plan_dimensions import gate_dimensions, site_dimensions
from siteplan.drawing.plan_notes import gate_notes, ground_notes
from siteplan.drawing.plan_view import plan_primitives, witness_primitives
from siteplan.drawing.primitives import Dimension, Label, Primitive, Sheet, SheetSet, Stroke, Symbol, View
from siteplan.drawing.scales import largest_that_fits, ratios_for, scale_text
from siteplan.drawing.sheet_frame import frame_items, scale_bar, view_title
from siteplan.drawing.text_flow import TEXT_MM, Column
from siteplan.drawing.title_strip import SheetLabel, strip_items
from siteplan.errors import SheetError
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.project import Paper
from siteplan.reports.findings_text import line_of
from siteplan.rules.findings import Finding
from siteplan.rules.limits import Limit, Pack, pack_of
from siteplan.rules.registry import troubles
from siteplan.tables import read_table

PADDING_MM = 8.0
TITLE_BAND_MM = 20.0  # under a view: number, title, scale, bar
TABLE_SHARE = 0.45  # of the height a findings table may take above a view
TABLE_WIDTH_MM = 230.0
NORTH_MM = 26.0
AROUND_VIEW_MM = (16.0, 16.0)  # paper left free around a site for labels: across, up
AROUND_GATE_MM = (46.0, 40.0)
"""Room for labels beside a gate, and for three rows of dimensions under it."""


class Layout(NamedTuple):
    """The places of a sheet, in paper mm: left, bottom, right, top."""

    paper: Paper
    size: tuple[float, float]
    frame: tuple[float, float, float, float]
    strip: tuple[float, float, float, float]

    @property
    def field(self) -> tuple[float, float, float, float]:
        """The part of the frame left of the strip, inside its padding."""
        left, bottom, _, top = self.frame
        return (left + PADDING_MM, bottom + PADDING_MM, self.strip[0] - PADDING_MM, top - PADDING_MM)


def layout_of(paper: Paper) -> Layout:
    """Return the places of a sheet of a paper."""
    row = read_table("papers")[paper]
    width, height = row["size"]
    left, right, bottom, top = row["margins"]
    frame = (left, bottom, width - right, height - top)
    return Layout(paper, (width, height), frame, (frame[2] - row["strip"], bottom, frame[2], frame[3]))


def make_sheets(document: Document, progress: Callable[[str], None] | None = None) -> SheetSet:
    """Return all sheets of a job.

    Raises
    ------
    SheetError
        When the site does not fit the paper, or the scale asked for is not listed or too large.
    """
    tell = progress or (lambda _: None)
    layout, pack, found = layout_of(document.project.paper), pack_of(document), troubles(document)
    makers: tuple[Callable[[_Job], Sheet], ...] = (_site_sheet, _gate_sheet, _findings_sheet)
    sheets = []
    for number, make in enumerate(makers, 1):
        tell(f"Laying out sheet {number} of {len(makers)}")
        sheets.append(make(_Job(document, layout, pack, found, number, len(makers))))
    return SheetSet(
        title=document.project.title,
        author=document.project.prepared_by,
        subject=f"Site plan {document.project.document_no}".strip(),
        issue_date=document.project.issue_date,
        inches=document.project.units not in ("m", "mm"),
        sheets=tuple(sheets),
    )


class _Job(NamedTuple):
    """What a sheet is made from."""

    document: Document
    layout: Layout
    pack: Pack
    findings: tuple[Finding, ...]
    number: int
    total: int


def _site_sheet(job: _Job) -> Sheet:
    document = job.document
    left, bottom, right, top = job.layout.field
    model = plan_primitives(document)
    frame = (left, bottom + TITLE_BAND_MM, right - left, top - bottom - TITLE_BAND_MM)
    ratio = _ratio(document, _extent(model), frame, AROUND_VIEW_MM, document.project.scale)
    view = View(
        number="1",
        title="SITE PLAN",
        scale_text=scale_text(ratio, document.project.units),
        centre=_middle(_extent(model), (0.0, 0.0)),
        ratio=ratio,
        frame=frame,
        model=model,
    )
    view = _annotated(view, site_dimensions(document), (*ground_notes(document), *gate_notes(document)), ())
    return _sheet(job, "C-101", "Site plan", (view,), (_north(document, right, top),))


def _gate_sheet(job: _Job) -> Sheet:
    document = job.document
    left, bottom, right, top = job.layout.field
    rows = numbered(job.findings)
    width = min(TABLE_WIDTH_MM, right - left - NORTH_MM)
    table = findings_table(rows, document, job.pack, (left, top), width, TABLE_SHARE * (top - bottom))
    frame = (left, bottom + TITLE_BAND_MM, right - left, top - bottom - TITLE_BAND_MM - table.height_mm - 4.0)
    model = plan_primitives(document)
    around = _gate_extent(document) or _extent(model)
    ratio = _ratio(document, around, frame, AROUND_GATE_MM, None)
    view = View(
        number="2",
        title="GATE PLAN",
        scale_text=scale_text(ratio, document.project.units),
        centre=_middle(around, (0.0, -0.25 * AROUND_GATE_MM[1] * ratio)),
        ratio=ratio,
        frame=frame,
        model=model,
    )
    notes = (*ground_notes(document), *gate_notes(document))
    view = _annotated(view, gate_dimensions(document, job.findings), notes, rows)
    return _sheet(job, "C-102", "Gate plan", (view,), (*table.items, _north(document, right, top)))


def _findings_sheet(job: _Job) -> Sheet:
    """Return the sheet of words: every finding in full, and the limits they were judged by."""
    left, bottom, right, top = job.layout.field
    width = (right - left - 2 * PADDING_MM) / 2
    table = findings_table(numbered(job.findings), job.document, job.pack, (left, top), width, top - bottom)
    column = Column(left + width + 2 * PADDING_MM, top, width)
    column.line("LIMITS OF THE PACK, AND WHERE THEY COME FROM", TEXT_MM + 0.4, "bold", Pen.NOTE)
    column.gap(2.0)
    for limit in job.pack.limits:
        column.paragraph(_limit_line(limit))
        column.gap(1.0)
    column.gap(3.0)
    column.line("WHERE IT WAS MEASURED", TEXT_MM + 0.4, "bold", Pen.NOTE)
    column.gap(2.0)
    for number, finding in numbered(job.findings):
        column.paragraph(line_of(finding, job.document), hang_mm=7.0, mark=str(number))
        column.gap(0.6)
    return _sheet(job, "G-101", "Findings and sources", (), (*table.items, *column.items))


def _limit_line(limit: Limit) -> str:
    value = f"{limit.value:g}" if limit.unit == "count" else f"{limit.value / 25.4:g} in ({limit.value:g} mm)"
    changed = f"; here: {limit.changed}" if limit.changed else ""
    return f"{limit.about}: {value} - {limit.title}, {limit.edition}, {limit.clause}; {limit.basis}{changed}"


def _sheet(job: _Job, name: str, title: str, views: tuple[View, ...], items: Iterable[Primitive]) -> Sheet:
    """Return a sheet with frame, strip, view titles and scale bars around its views."""
    document, layout = job.document, job.layout
    scale = views[0].scale_text if views else "NO SCALE"
    shown = [primitive for view in views for primitive in (*view.model, *view.notes)]
    label = SheetLabel(name, title, scale, job.number, job.total)
    return Sheet(
        name=name,
        title=title.upper(),
        width_mm=layout.size[0],
        height_mm=layout.size[1],
        paper=layout.paper,
        views=views,
        items=(
            *frame_items(layout.frame),
            *strip_items(document, job.pack, label, shown, layout.strip),
            *items,
            *(part for view in views for part in view_title(view, TITLE_BAND_MM)),
            *(part for view in views for part in scale_bar(view, document.project.units, TITLE_BAND_MM)),
        ),
    )


def _north(document: Document, right: float, top: float) -> Symbol:
    """Return the north arrow, in one place through the set."""
    return Symbol(
        name="north",
        at=(right - NORTH_MM / 2, top - NORTH_MM / 2),
        pen=Pen.NOTE,
        turn_rad=document.datum.north_rad - 1.5707963267948966,
        text=f"{document.datum.north_kind} north",
    )


def _extent(model: Iterable[Primitive]) -> BaseGeometry:
    """Return the rectangle around drawn things, in model mm."""
    places = [place for primitive in model for place in _places(primitive)]
    if not places:
        raise SheetError("There is nothing to draw: the site has no posts, leaves, edges or things yet.")
    return shapely.box(*shapely.MultiPoint(places).bounds)


def _places(primitive: Primitive) -> tuple[Point, ...]:
    match primitive:
        case Stroke():
            return primitive.points
        case Symbol() | Label():
            return (primitive.at,)
        case _:
            return ()


def _gate_extent(document: Document) -> BaseGeometry | None:
    """Return the rectangle around the gate: sweeps, posts, pads, controls near by, and where findings were measured."""
    parts = [
        *swept_areas(document).values(),
        *(footprint(record) for record in (*document.posts, *document.pads, *document.drives)),
        *(shapely.Point(reach.control.at) for reach in control_reaches(document)),
        *(shapely.Point(place) for finding in troubles(document) for place in finding.witness),
    ]
    return shapely.box(*shapely.union_all(parts).bounds) if parts else None


def _middle(area: BaseGeometry, shift: Point) -> Point:
    left, bottom, right, top = area.bounds
    return ((left + right) / 2 + shift[0], (bottom + top) / 2 + shift[1])


def _ratio(
    document: Document,
    area: BaseGeometry,
    frame: tuple[float, float, float, float],
    around_mm: tuple[float, float],
    wanted: int | None,
) -> float:
    """Return the ratio of a view: the one wanted, or that of the largest listed scale at which the area fits."""
    units = document.project.units
    left, bottom, right, top = area.bounds
    room = (frame[2] - 2 * around_mm[0], frame[3] - 2 * around_mm[1])

    def fits(ratio: float) -> bool:
        return bool((right - left) / ratio <= room[0] and (top - bottom) / ratio <= room[1])

    best = largest_that_fits(fits, units)
    if wanted is None:
        return best
    if wanted not in ratios_for(units):
        raise SheetError(f"Scale 1:{wanted} is not in the list of drawing scales; the nearest that fits is 1:{best}.")
    if wanted < best:
        raise SheetError(
            f"At {scale_text(wanted, units)} the site does not fit {document.project.paper}; "
            f"choose {scale_text(best, units)} or a larger paper."
        )
    return wanted


def _annotated(
    view: View, dimensions: tuple[Dimension, ...], notes: tuple[Note, ...], marks: tuple[tuple[int, Finding], ...]
) -> View:
    """Return a view with its dimensions, its marks, and its notes where they strike nothing: in this order."""
    witnesses = tuple(part for _, finding in marks for part in witness_primitives(finding))
    measured = replace(view, notes=(*dimensions, *witnesses))
    marked = replace(measured, notes=(*measured.notes, *place_marks(measured, marks)))
    seen = [note for note in notes if is_in_view(note.anchor, view)]
    placed = place_notes(seen, scene_of(marked)).primitives
    return replace(marked, notes=(*marked.notes, *placed))
