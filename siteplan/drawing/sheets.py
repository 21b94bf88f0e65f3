"""The sheets of a job: what goes on which sheet, at which scale, where on the paper.

This module never reads a file, a screen or a clock: dates and revisions come from the document, so the same document
always gives the same sheets.
"""

from collections.abc import Callable, Iterable
from math import degrees
from typing import NamedTuple

import shapely
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.boundaries import control_reaches
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import swept_areas
from siteplan.drawing.dimension_rows import set_rows
from siteplan.drawing.dimensions import dimension_places
from siteplan.drawing.finding_marks import is_in_view, place_marks
from siteplan.drawing.findings_table import findings_table, numbered
from siteplan.drawing.label_candidates import Note
from siteplan.drawing.label_placement import place_notes
from siteplan.drawing.label_scene import scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.plan_dimensions import gate_dimensions, site_dimensions
from siteplan.drawing.plan_notes import gate_notes, ground_notes
from siteplan.drawing.plan_view import plan_primitives, witness_primitives
from siteplan.drawing.primitives import Dimension, Primitive, Sheet, SheetSet, Stroke, Symbol, View
from siteplan.drawing.scales import largest_that_fits, ratios_for, scale_text
from siteplan.drawing.sheet_frame import frame_items, scale_bar, view_title
from siteplan.drawing.text_flow import Column
from siteplan.drawing.title_block import SheetLabel
from siteplan.drawing.title_strip import HANG_MM, HEAD_MM, cautions_for, notes_of, strip_items
from siteplan.errors import SheetError
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.project import Paper
from siteplan.rules.all_rules import troubles as troubles_of
from siteplan.rules.findings import Finding
from siteplan.rules.limits import Limit, Pack, pack_of
from siteplan.tables import read_table

PADDING_MM = 8.0
TITLE_BAND_MM = 20.0  # under a view: number, title, scale, bar
TABLE_SHARE = 1 / 3  # of the height a findings table may take above a view
TABLE_WIDTH_MM = 230.0
NORTH_MM = 26.0


class Around(NamedTuple):
    """Paper left free around drawn things and dimensions for labels, in mm."""

    side: float
    below: float
    above: float


AROUND_SITE = Around(side=16.0, below=16.0, above=16.0)
AROUND_GATE = Around(side=46.0, below=8.0, above=14.0)


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
    layout, pack, found = layout_of(document.project.paper), pack_of(document), troubles_of(document)
    job = _Job(document, layout, pack, found)
    tell("Laying out the site plan")
    drafts = [_site_draft(job)]
    tell("Laying out the gate plan")
    drafts.append(_gate_draft(job))
    tell("Laying out the findings")
    drafts += _findings_drafts(job)
    return SheetSet(
        title=document.project.title,
        author=document.project.prepared_by,
        subject=f"Site plan {document.project.document_no}".strip(),
        issue_date=document.project.issue_date,
        inches=document.project.units not in ("m", "mm"),
        sheets=tuple(_sheet(job, draft, number, len(drafts)) for number, draft in enumerate(drafts, 1)),
        troubles=tuple(f"Sheet {draft.name}: {trouble}" for draft in drafts for trouble in draft.troubles),
    )


class _Job(NamedTuple):
    """What the sheets are made from."""

    document: Document
    layout: Layout
    pack: Pack
    findings: tuple[Finding, ...]


class _Draft(NamedTuple):
    """A sheet before its frame and strip."""

    name: str
    title: str
    views: tuple[View, ...]
    items: tuple[Primitive, ...]
    troubles: tuple[str, ...] = ()


class _Annotated(NamedTuple):
    """A view with its notes, and the notes that found no free place."""

    view: View
    troubles: tuple[str, ...]


def _site_draft(job: _Job) -> _Draft:
    document = job.document
    left, bottom, right, top = job.layout.field
    model = plan_primitives(document)
    frame = (left, bottom + TITLE_BAND_MM, right - left, top - bottom - TITLE_BAND_MM)
    dimensions = site_dimensions(document)
    fitted = _fit(document, _extent(model), dimensions, frame, AROUND_SITE, document.project.scale)
    view = _plan_view(document, ("1", "SITE PLAN"), model, fitted, frame)
    view, troubles = _annotated(view, dimensions, _notes(document), ())
    return _Draft("C-101", "Site plan", (view,), (_north(document, right, bottom),), troubles)


def _gate_draft(job: _Job) -> _Draft:
    document = job.document
    left, bottom, right, top = job.layout.field
    rows = numbered(job.findings)
    width = min(TABLE_WIDTH_MM, right - left)
    table = findings_table(rows, document, job.pack, (left, top), width, TABLE_SHARE * (top - bottom), full=False)
    frame = (left, bottom + TITLE_BAND_MM, right - left, top - bottom - TITLE_BAND_MM - table.height_mm - 4.0)
    model = plan_primitives(document)
    around = _gate_extent(document) or _extent(model)
    dimensions = gate_dimensions(document, job.findings)
    fitted = _fit(document, around, dimensions, frame, AROUND_GATE, None)
    view = _plan_view(document, ("2", "GATE PLAN"), model, fitted, frame)
    view, troubles = _annotated(view, dimensions, _notes(document), rows)
    return _Draft("C-102", "Gate plan", (view,), (*table.items, _north(document, right, bottom)), troubles)


def _findings_drafts(job: _Job) -> list[_Draft]:
    """Return the sheets of words: every finding in full, as many sheets as it takes, then limits, notes, cautions."""
    left, bottom, right, top = job.layout.field
    width = (right - left - 2 * PADDING_MM) / 2
    rows = numbered(job.findings)
    pages: list[tuple[Primitive, ...]] = []
    while rows or not pages:
        table = findings_table(rows, job.document, job.pack, (left, top), width, top - bottom, full=True)
        if len(table.left_over) == len(rows) > 0:
            raise SheetError(f"A finding is too long for {job.layout.paper}: {rows[0][1].key}; choose a larger paper.")
        rows = table.left_over
        pages.append(table.items)
    pages[0] = (*pages[0], *_sources(job, Column(left + width + 2 * PADDING_MM, top, width)))
    return [_Draft(f"G-{101 + page}", "Findings and sources", (), items) for page, items in enumerate(pages)]


def _sources(job: _Job, column: Column) -> list[Primitive]:
    """Return the limits the site was judged by and where they come from, and all notes and cautions."""
    column.line("LIMITS OF THE PACK, AND WHERE THEY COME FROM", HEAD_MM, "bold", Pen.NOTE)
    column.gap(2.0)
    for limit in job.pack.limits:
        column.paragraph(_limit_line(limit))
        column.gap(1.0)
    column.gap(3.0)
    column.line("NOTES AND CAUTIONS", HEAD_MM, "bold", Pen.NOTE)
    column.gap(2.0)
    notes = dict.fromkeys((*notes_of(job.document, job.pack), *cautions_for(job.document)))
    for number, text in enumerate(notes, 1):
        column.paragraph(text, hang_mm=HANG_MM, mark=str(number))
        column.gap(0.6)
    return column.items


def _limit_line(limit: Limit) -> str:
    value = _limit_value(limit)
    changed = f"; here: {limit.changed}" if limit.changed else ""
    return f"{limit.about}: {value} - {limit.title}, {limit.edition}, {limit.clause}; {limit.basis}{changed}"


def _limit_value(limit: Limit) -> str:
    match limit.unit:
        case "mm":
            return f"{limit.value / 25.4:g} in ({limit.value:g} mm)"
        case "rad":
            return f"{degrees(limit.value):g} deg"
        case "ratio" | "count":
            return f"{limit.value:g}"


def _sheet(job: _Job, draft: _Draft, number: int, total: int) -> Sheet:
    """Return a sheet with frame, strip, view titles and scale bars around its views."""
    document, layout, views = job.document, job.layout, draft.views
    scale = views[0].scale_text if views else "NO SCALE"
    shown = [primitive for view in views for primitive in (*view.model, *view.notes)]
    label = SheetLabel(draft.name, draft.title, scale, number, total)
    return Sheet(
        name=draft.name,
        title=draft.title.upper(),
        width_mm=layout.size[0],
        height_mm=layout.size[1],
        paper=layout.paper,
        views=views,
        items=(
            *frame_items(layout.frame),
            *strip_items(document, job.pack, label, shown, layout.strip),
            *draft.items,
            *(part for view in views for part in view_title(view, TITLE_BAND_MM)),
            *(part for view in views for part in scale_bar(view, document.project.units, TITLE_BAND_MM)),
        ),
    )


def _north(document: Document, right: float, bottom: float) -> Symbol:
    """Return the north arrow, in one place through the set: beside the title of the view, where nothing is drawn."""
    return Symbol(
        name="north",
        at=(right - NORTH_MM / 2, bottom + TITLE_BAND_MM / 2),
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
        case Symbol() if primitive.pen is not Pen.SPOT:  # a far shot does not make the drawing small
            return (primitive.at,)
        case _:
            return ()


def _gate_extent(document: Document) -> BaseGeometry | None:
    """Return the rectangle around the gate: sweeps, posts, pads, controls near by, and where findings were measured."""
    parts = [
        *swept_areas(document).values(),
        *(footprint(record) for record in (*document.posts, *document.pads, *document.drives)),
        *(shapely.Point(reach.control.at) for reach in control_reaches(document)),
        *(shapely.Point(place) for finding in troubles_of(document) for place in finding.witness),
    ]
    return shapely.box(*shapely.union_all(parts).bounds) if parts else None


def _bounds(area: BaseGeometry, dimensions: tuple[Dimension, ...], ratio: float) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of an area with the dimensions around it, in model mm at a ratio."""
    places = [place for dimension in dimensions for place in dimension_places(dimension, ratio)]
    left, bottom, right, top = shapely.union(area.envelope, shapely.MultiPoint(places)).bounds
    return (left, bottom, right, top)


def _fit(
    document: Document,
    area: BaseGeometry,
    dimensions: tuple[Dimension, ...],
    frame: tuple[float, float, float, float],
    around: Around,
    wanted: int | None,
) -> tuple[float, Point]:
    """Return the ratio of a view and the place in its middle, so that an area and its dimensions lie in its frame."""

    def fits(ratio: float) -> bool:
        left, bottom, right, top = _bounds(area, dimensions, ratio)
        wide, high = (right - left) / ratio + 2 * around.side, (top - bottom) / ratio + around.below + around.above
        return wide <= frame[2] and high <= frame[3]

    ratio = _ratio(document, fits, wanted)
    left, bottom, right, top = _bounds(area, dimensions, ratio)
    return ratio, ((left + right) / 2, (bottom + top + (around.above - around.below) * ratio) / 2)


def _ratio(document: Document, fits: Callable[[float], bool], wanted: int | None) -> float:
    """Return the ratio of a view: the one wanted, or that of the largest listed scale at which it fits."""
    units = document.project.units
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


def _plan_view(
    document: Document,
    heading: tuple[str, str],
    model: tuple[Primitive, ...],
    fitted: tuple[float, Point],
    frame: tuple[float, float, float, float],
) -> View:
    """Return a bare view of the plan under its number and title, at a ratio, about a place in its middle."""
    number, title = heading
    ratio, centre = fitted
    scale = scale_text(ratio, document.project.units)
    return View(number=number, title=title, scale_text=scale, centre=centre, ratio=ratio, frame=frame, model=model)


def _notes(document: Document) -> tuple[Note, ...]:
    return (*ground_notes(document), *gate_notes(document))


def _annotated(
    view: View, dimensions: tuple[Dimension, ...], notes: tuple[Note, ...], marks: tuple[tuple[int, Finding], ...]
) -> _Annotated:
    """Return a view with its dimensions, its marks, and its notes where they strike nothing: in this order."""
    witnesses = tuple(part for _, finding in marks for part in witness_primitives(finding))
    witnessed = replace(view, notes=witnesses)
    measured = replace(
        view, notes=(*witnesses, *set_rows(dimensions, scene_of(witnessed), {finding.key for _, finding in marks}))
    )
    marked = replace(measured, notes=(*measured.notes, *place_marks(measured, marks)))
    seen = [note for note in notes if is_in_view(note.anchor, view)]
    placement = place_notes(seen, scene_of(marked))
    return _Annotated(replace(marked, notes=(*marked.notes, *placement.primitives)), placement.troubles)
