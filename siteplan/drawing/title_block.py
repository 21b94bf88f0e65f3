"""The title block at the foot of the strip: the fields of ISO 7200, revisions, scale and sheet number.

Text too long for its field goes over two lines, then shrinks to no less than 2 mm.
"""

from collections.abc import Iterator
from typing import NamedTuple

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Label, Primitive, Stroke
from siteplan.drawing.text_flow import CAPTION_MM, LEAST_TEXT_MM, SHEET_NUMBER_MM, TEXT_MM, fitted_height, wrapped
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.project import Revision

PADDING_MM = 5.0
FIELD_TEXT_MM = 2.6
CAPTION_DROP_MM = 1.3  # from the top line of a field to its caption
VALUE_DROP_MM = 1.5  # from the caption to its value
ROW_FOOT_MM = 1.8  # under the value
SECOND_LINE_MM = 3.9
ROW_MM = CAPTION_DROP_MM + CAPTION_MM + VALUE_DROP_MM + FIELD_TEXT_MM + ROW_FOOT_MM
REVISION_LINES = 6  # of the newest revisions
REVISION_COLUMNS_MM = (0.0, 9.0, 30.0)
REVISION_LINE_MM = 3.84
BOTTOM_ROW_MM = 13.0
SCALE_SHARE = 0.62  # of the bottom row
FOOT_MM = 3.2


class SheetLabel(NamedTuple):
    """What differs from sheet to sheet in the strip."""

    name: str
    title: str
    scale: str
    number: int
    total: int


class _Field(NamedTuple):
    """One cell of the title block, from a share of the width to another."""

    caption: str
    key: str
    text: str
    from_share: float = 0.0
    to_share: float = 1.0


def block_rows(document: Document, sheet: SheetLabel) -> tuple[tuple[_Field, ...], ...]:
    """Return the fields, row by row from the top."""
    project = document.project
    parcel = f"parcel {project.parcel}" if project.parcel else ""
    licence = f"licence {project.licence}" if project.licence else ""
    return (
        (_Field("OWNER", "owner", project.owner),),
        (_Field("SITE", "site", ", ".join(filter(None, (project.address, parcel)))),),
        (_Field("TITLE", "title", f"{project.title}, {sheet.title}".upper()),),
        (_Field("PREPARED BY", "maker", ", ".join(filter(None, (project.prepared_by, licence)))),),
        (
            _Field("DOCUMENT TYPE", "type", "Site plan", 0.0, 0.5),
            _Field("RELEASED BY", "released", project.released_by, 0.5, 1.0),
        ),
        (
            _Field("DATE OF ISSUE", "date", project.issue_date, 0.0, 0.5),
            _Field("DOCUMENT NO.", "number", project.document_no, 0.5, 1.0),
        ),
    )


class Block(NamedTuple):
    """A set title block and the height of its top line on the sheet."""

    items: tuple[Primitive, ...]
    top_mm: float


def title_block(document: Document, sheet: SheetLabel, left: float, right: float, bottom: float) -> Block:
    """Return the title block between the sides of the strip, from its foot up."""
    items: list[Primitive] = list(_bottom_row(sheet, left, right, bottom))
    y = bottom + BOTTOM_ROW_MM
    y += _revision_height(document, right - left - 2 * PADDING_MM)
    items += _revisions(document, left, right, y)
    for row in reversed(block_rows(document, sheet)):
        lines = [_lines(field, right - left) for field in row]
        y += ROW_MM + SECOND_LINE_MM * (max(len(each.texts) for each in lines) - 1)
        items.append(Stroke(points=((left, y), (right, y)), pen=Pen.TITLE_LINE))
        for field, each in zip(row, lines, strict=True):
            items += _field(field, each, left + field.from_share * (right - left), y)
    return Block(tuple(items), y)


class _Lines(NamedTuple):
    texts: tuple[str, ...]
    height: float


def _lines(field: _Field, width_mm: float) -> _Lines:
    room = (field.to_share - field.from_share) * width_mm - 2 * PADDING_MM
    height = fitted_height(field.text, room, FIELD_TEXT_MM, "semibold")
    if height == FIELD_TEXT_MM:
        return _Lines((field.text,), height)
    texts = wrapped(field.text, room, FIELD_TEXT_MM, "semibold")
    if len(texts) <= 2:
        return _Lines(texts, min(fitted_height(text, room, FIELD_TEXT_MM, "semibold") for text in texts))
    return _Lines(wrapped(field.text, room, height, "semibold"), height)


def _field(field: _Field, lines: _Lines, left: float, top: float) -> Iterator[Primitive]:
    """Yield a small caption and the value under it."""
    y = top - CAPTION_DROP_MM - CAPTION_MM
    caption_at = (left + PADDING_MM, y)
    yield Label(at=caption_at, text=field.caption, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM)
    y -= VALUE_DROP_MM + FIELD_TEXT_MM
    for number, text in enumerate(lines.texts):
        yield Label(
            at=(left + PADDING_MM, y - SECOND_LINE_MM * number),
            text=text,
            pen=Pen.TITLE_TEXT,
            height_mm=lines.height,
            face="semibold",
            source=f"field:{field.key}",
        )


class _Revision(NamedTuple):
    """One row of the revision table: its mark, its date, and what changed in lines."""

    revision: Revision
    texts: tuple[str, ...]


def _revision_rows(document: Document, room_mm: float) -> list[_Revision]:
    """Return the newest revisions that find room, the newest last."""
    rows: list[_Revision] = []
    for revision in reversed(document.project.revisions):
        rows.insert(0, _Revision(revision, wrapped(revision.what, room_mm - REVISION_COLUMNS_MM[-1], LEAST_TEXT_MM)))
        if sum(len(row.texts) for row in rows) > REVISION_LINES:
            return rows[1:] or rows
    return rows


def _revision_height(document: Document, room_mm: float) -> float:
    lines = sum(len(row.texts) for row in _revision_rows(document, room_mm))
    return CAPTION_DROP_MM + CAPTION_MM + max(1, lines) * REVISION_LINE_MM + ROW_FOOT_MM


def _revisions(document: Document, left: float, right: float, top: float) -> Iterator[Primitive]:
    """Yield the revision rows below their top line, the newest last; a caption says when there were earlier ones."""
    columns = [left + PADDING_MM + x for x in REVISION_COLUMNS_MM]
    y = top - CAPTION_DROP_MM - CAPTION_MM
    yield Stroke(points=((left, top), (right, top)), pen=Pen.TITLE_LINE)
    rows = _revision_rows(document, right - left - 2 * PADDING_MM)
    earlier = len(document.project.revisions) - len(rows)
    what = f"WHAT ({earlier} EARLIER)" if earlier else "WHAT"
    for x, caption in zip(columns, ("REV", "DATE", what), strict=True):
        yield Label(at=(x, y), text=caption, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM)
    for revision, texts in rows:
        y -= REVISION_LINE_MM
        for x, key in zip(columns, ("mark", "date"), strict=False):
            text, room = str(getattr(revision, key)), columns[-1] - x - 1.0
            yield _revision_text((x, y), text, fitted_height(text, room, TEXT_MM), revision.mark, key)
        for number, text in enumerate(texts):
            y -= REVISION_LINE_MM if number else 0.0
            height = min(fitted_height(each, right - PADDING_MM - columns[-1], TEXT_MM) for each in texts)
            yield _revision_text((columns[-1], y), text, height, revision.mark, "what")


def _revision_text(at: Point, text: str, height_mm: float, mark: str, key: str) -> Label:
    return Label(at=at, text=text, pen=Pen.TITLE_TEXT, height_mm=height_mm, source=f"field:revision {mark} {key}")


def _bottom_row(sheet: SheetLabel, left: float, right: float, bottom: float) -> Iterator[Primitive]:
    """Yield scale and sheet number."""
    top, middle = bottom + BOTTOM_ROW_MM, left + SCALE_SHARE * (right - left)
    yield Stroke(points=((left, top), (right, top)), pen=Pen.FRAME)
    yield Stroke(points=((middle, bottom), (middle, top)), pen=Pen.TITLE_LINE)
    cells = (
        (left + PADDING_MM, "SCALE", sheet.scale, "scale", FIELD_TEXT_MM),
        (middle + PADDING_MM / 2, f"SHEET {sheet.number} OF {sheet.total}", sheet.name, "sheet", SHEET_NUMBER_MM),
    )
    for x, caption, text, key, most in cells:
        at = (x, top - CAPTION_DROP_MM - CAPTION_MM)
        yield Label(at=at, text=caption, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM)
        height = fitted_height(text, (middle if key == "scale" else right) - x - 1.0, most, "bold")
        yield Label(
            at=(x, bottom + FOOT_MM),
            text=text,
            pen=Pen.TITLE_TEXT,
            height_mm=height,
            face="bold",
            source=f"field:{key}",
        )
