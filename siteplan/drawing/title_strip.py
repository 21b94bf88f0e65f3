"""The strip at the right of a sheet: legend, notes, title block, revisions, scale and sheet number."""

from collections.abc import Iterable
from typing import NamedTuple

from siteplan.drawing.pens import Pen, looks
from siteplan.drawing.primitives import Label, Primitive, Stroke, Symbol
from siteplan.drawing.text_flow import (
    CAPTION_MM,
    SHEET_NUMBER_MM,
    TEXT_MM,
    TITLE_MM,
    Column,
    fitted_height,
    wrapped,
)
from siteplan.model.document import Document
from siteplan.rules.limits import Pack
from siteplan.tables import read_table

PADDING_MM = 5.0
SAMPLE_MM = 20.0  # length of a line in the legend
LEGEND_PITCH_MM = 5.4
FIELD_TEXT_MM = 2.8
REVISION_ROWS = 5  # of the newest revisions
BOTTOM_ROW_MM = 13.0
LEGEND_PENS = (
    Pen.LEAF_CLOSED,
    Pen.LEAF_OPEN,
    Pen.SWEEP,
    Pen.PROPERTY_LINE,
    Pen.RIGHT_OF_WAY,
    Pen.EASEMENT,
    Pen.FIRE_LANE,
    Pen.WALL_EXISTING,
    Pen.WALL_NEW,
    Pen.FENCE_EXISTING,
    Pen.FENCE_NEW,
    Pen.KERB,
    Pen.ROAD_EDGE,
    Pen.DRIVE_EDGE,
    Pen.OBSTACLE,
    Pen.OVERHEAD,
    Pen.PAD,
    Pen.WITNESS,
)
LEGEND_SYMBOLS = (("warning_sign", Pen.SIGN, "warning sign"), ("control", Pen.CONTROL, "control"))


class SheetLabel(NamedTuple):
    """What differs from sheet to sheet in the strip."""

    name: str
    title: str
    scale: str
    number: int
    total: int


def strip_items(
    document: Document,
    pack: Pack,
    sheet: SheetLabel,
    shown: Iterable[Primitive],
    box: tuple[float, float, float, float],
) -> tuple[Primitive, ...]:
    """Return everything in the strip; ``box`` is its left, bottom, right, top on the sheet."""
    left, bottom, right, top = box
    column = Column(left + PADDING_MM, top - PADDING_MM, right - left - 2 * PADDING_MM)
    _legend(column, list(shown))
    _notes(column, document, pack)
    fields = _fields(document, pack, sheet, (left, bottom, right))
    divider = Stroke(points=((left, bottom), (left, top)), pen=Pen.FRAME)
    return (divider, *column.items, *fields)


def _legend(column: Column, shown: list[Primitive]) -> None:
    """Set the legend of the lines and symbols that are used on the sheet."""
    used = {primitive.pen for primitive in shown}
    symbols = {primitive.name for primitive in shown if isinstance(primitive, Symbol)}
    rows = [pen for pen in LEGEND_PENS if pen in used]
    if not rows:
        return
    column.line("LEGEND", TITLE_MM - 0.7, "bold")
    column.gap(2.0)
    text_left = column.left + SAMPLE_MM + 4
    for pen in rows:
        column.gap(LEGEND_PITCH_MM)
        middle = column.y + TEXT_MM / 2
        column.items.append(Stroke(points=((column.left, middle), (column.left + SAMPLE_MM, middle)), pen=pen))
        column.items.append(Label(at=(text_left, column.y), text=looks()[pen].about.upper(), pen=Pen.NOTE))
    for name, pen, about in LEGEND_SYMBOLS:
        if name in symbols:
            column.gap(LEGEND_PITCH_MM + 0.6)
            column.items.append(Symbol(name=name, at=(column.left + SAMPLE_MM / 2, column.y + TEXT_MM / 2), pen=pen))
            column.items.append(Label(at=(text_left, column.y), text=about.upper(), pen=Pen.NOTE))
    column.gap(5.0)
    column.rule(out_mm=PADDING_MM)
    column.gap(5.0)


def cautions_for(document: Document) -> tuple[str, ...]:
    """Return the cautions whose trigger is on the site."""
    on = {
        "always": True,
        "drives": bool(document.drives),
        "pads": bool(document.pads),
        "controls": bool(document.controls),
        "fire_lane": bool(document.project.use.fire_lane),
        "ground": document.ground is not None,
    }
    return tuple(row["text"] for row in read_table("texts/cautions")["caution"] if on[row["trigger"]])


def notes_of(document: Document, pack: Pack) -> tuple[str, ...]:
    """Return the notes of every sheet."""
    rounding = "1 mm" if document.project.units in ("m", "mm") else "1/8 in"
    return (
        *cautions_for(document),
        f"Property lines {document.datum.property_lines}, not a boundary survey.",
        f"Heights count from {document.datum.height}.",
        f"Dimensions rounded to {rounding}; do not scale.",
        "~ marks a guessed value, t one told by others: measure again before building.",
        f"Judged against pack {pack.label}: {', '.join(f'{key.upper()} {edition}' for key, edition in pack.editions)}.",
    )


def _notes(column: Column, document: Document, pack: Pack) -> None:
    column.line("NOTES", TITLE_MM - 0.7, "bold")
    column.gap(1.5)
    for number, text in enumerate(notes_of(document, pack), 1):
        column.paragraph(text, hang_mm=6.0, mark=str(number))
        column.gap(0.7)


def _fields(
    document: Document, pack: Pack, sheet: SheetLabel, box: tuple[float, float, float]
) -> tuple[Primitive, ...]:
    """Return the fields of the title block (ISO 7200), from the bottom of the strip up."""
    project = document.project
    site = " · ".join(part for part in (project.address, f"Parcel {project.parcel}" if project.parcel else "") if part)
    maker = ", licence ".join(part for part in (project.prepared_by, project.licence) if part)
    rows = (
        ("OWNER", "owner", project.owner),
        ("SITE", "site", site),
        ("TITLE", "title", f"{project.title}, {sheet.title}".upper()),
        ("DOCUMENT TYPE", "type", "Site plan for permit"),
        ("PREPARED BY", "maker", maker),
        ("RELEASED BY", "released", project.released_by),
        ("DATE OF ISSUE", "date", project.issue_date),
        ("DOCUMENT NO.", "number", project.document_no),
        ("JUDGED AGAINST PACK", "pack", pack.label),
    )
    left, bottom, right = box
    items: list[Primitive] = [*_bottom_row(sheet, box), *_revisions(document, box)]
    row_height = 8.4
    y = bottom + BOTTOM_ROW_MM + _revision_height(document)
    for caption, key, text in reversed(rows):
        y += row_height
        items += _field(caption, key, text, (left, right), y)
    return tuple(items)


def _field(caption: str, key: str, text: str, across: tuple[float, float], top: float) -> tuple[Primitive, ...]:
    """Return one field below its top line: a small caption, and the value under it."""
    left, right = across
    width = right - left - 2 * PADDING_MM
    height = fitted_height(text, width, FIELD_TEXT_MM, "semibold")
    line = wrapped(text, width, height, "semibold")[0]
    return (
        Stroke(points=((left, top), (right, top)), pen=Pen.TITLE_LINE),
        Label(
            at=(left + PADDING_MM, top - CAPTION_MM - 1.2), text=caption, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM
        ),
        Label(
            at=(left + PADDING_MM, top - CAPTION_MM - 1.6 - FIELD_TEXT_MM),
            text=line,
            pen=Pen.TITLE_TEXT,
            height_mm=height,
            face="semibold",
            source=f"field:{key}",
        ),
    )


def _revision_height(document: Document) -> float:
    rows = max(1, min(REVISION_ROWS, len(document.project.revisions)))
    return CAPTION_MM + 3.6 + rows * TEXT_MM * 1.6


def _revisions(document: Document, box: tuple[float, float, float]) -> tuple[Primitive, ...]:
    left, bottom, right = box
    top = bottom + BOTTOM_ROW_MM + _revision_height(document)
    columns = (left + PADDING_MM, left + PADDING_MM + 9, left + PADDING_MM + 30)
    y = top - CAPTION_MM - 1.2
    items: list[Primitive] = [Stroke(points=((left, top), (right, top)), pen=Pen.TITLE_LINE)]
    for x, caption in zip(columns, ("REV", "DATE", "WHAT"), strict=True):
        items.append(Label(at=(x, y), text=caption, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM))
    y -= 0.6
    for revision in document.project.revisions[-REVISION_ROWS:]:
        y -= TEXT_MM * 1.6
        for x, key in zip(columns, ("mark", "date", "what"), strict=True):
            text = str(getattr(revision, key))
            items.append(
                Label(at=(x, y), text=text, pen=Pen.TITLE_TEXT, source=f"field:revision {revision.mark} {key}")
            )
    return tuple(items)


def _bottom_row(sheet: SheetLabel, box: tuple[float, float, float]) -> tuple[Primitive, ...]:
    """Return scale and sheet number."""
    left, bottom, right = box
    top, middle = bottom + BOTTOM_ROW_MM, left + 0.62 * (right - left)
    captions = (("SCALE", left), (f"SHEET {sheet.number} OF {sheet.total}", middle))
    return (
        Stroke(points=((left, top), (right, top)), pen=Pen.FRAME),
        Stroke(points=((middle, bottom), (middle, top)), pen=Pen.TITLE_LINE),
        *(
            Label(
                at=(x + PADDING_MM * 0.7, top - CAPTION_MM - 1.4),
                text=text,
                pen=Pen.TITLE_CAPTION,
                height_mm=CAPTION_MM,
            )
            for text, x in captions
        ),
        Label(
            at=(left + PADDING_MM * 0.7, bottom + 3.4),
            text=sheet.scale,
            pen=Pen.TITLE_TEXT,
            height_mm=FIELD_TEXT_MM,
            face="semibold",
            source="field:scale",
        ),
        Label(
            at=(middle + PADDING_MM * 0.7, bottom + 2.8),
            text=sheet.name,
            pen=Pen.TITLE_TEXT,
            height_mm=SHEET_NUMBER_MM - 0.6,
            face="bold",
            source="field:sheet",
        ),
    )
