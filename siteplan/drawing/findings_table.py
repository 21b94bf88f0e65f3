"""The table of findings on a sheet, keyed to the marks on the plan."""

from typing import NamedTuple

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Face, Label, Primitive, Stroke, Symbol
from siteplan.drawing.text_flow import TEXT_MM, TITLE_MM, wrapped
from siteplan.model.document import Document
from siteplan.reports.findings_text import words_of
from siteplan.rules.findings import Finding
from siteplan.rules.limits import Pack

SEVERITY_SYMBOLS = {"Stop": "stop", "Guard": "guard", "Tight": "tight", "Ask": "ask", "Note": "note"}
LINE_MM = 3.8
ROW_GAP_MM = 1.6
MARK_MM = 14.0  # width of the column of marks


class Table(NamedTuple):
    """A set table: what it is made of, how high it is, and the findings that did not fit."""

    items: tuple[Primitive, ...]
    height_mm: float
    left_over: tuple[tuple[int, Finding], ...]


class _Widths(NamedTuple):
    what: float
    rule: float


def numbered(findings: tuple[Finding, ...]) -> tuple[tuple[int, Finding], ...]:
    """Return findings with the numbers that key them to the plan."""
    return tuple(enumerate(findings, 1))


def findings_table(
    rows: tuple[tuple[int, Finding], ...],
    document: Document,
    pack: Pack,
    corner: tuple[float, float],
    width_mm: float,
    room_mm: float,
) -> Table:
    """Return the table of numbered findings from its top left corner, in no more than the room given."""
    left, top = corner
    widths = _Widths(what=(width_mm - MARK_MM) * 0.64, rule=(width_mm - MARK_MM) * 0.36)
    title = f"FINDINGS AGAINST PACK {pack.label.upper()}"
    items: list[Primitive] = [_text(left, top - TITLE_MM, title, face="bold", height=TITLE_MM - 0.7)]
    y = top - TITLE_MM - 3.0
    heads = ((0.0, ""), (MARK_MM, "WHAT"), (MARK_MM + widths.what, "RULE, SOURCE, BASIS"))
    items += [_text(left + x, y - TEXT_MM, head, face="semibold") for x, head in heads if head]
    y -= TEXT_MM + ROW_GAP_MM
    items.append(Stroke(points=((left, y), (left + width_mm, y)), pen=Pen.NOTE))
    for position, (number, finding) in enumerate(rows):
        lines = _row_lines(finding, document, widths)
        height = max(len(column) for column in lines) * LINE_MM + ROW_GAP_MM
        if top - (y - height) > room_mm:
            return _cut(items, rows[position:], left, y, top)
        items += _row(number, finding, lines, (left, y), widths)
        y -= height
        items.append(Stroke(points=((left, y), (left + width_mm, y)), pen=Pen.TITLE_LINE))
    if not rows:
        y -= LINE_MM + ROW_GAP_MM
        items.append(_text(left, y + ROW_GAP_MM, f"Nothing found against pack {pack.label} by the checks listed."))
    return Table(tuple(items), top - y, ())


def _cut(
    items: list[Primitive], left_over: tuple[tuple[int, Finding], ...], left: float, y: float, top: float
) -> Table:
    y -= LINE_MM + ROW_GAP_MM
    items.append(_text(left, y + ROW_GAP_MM, f"{len(left_over)} more on the sheet of findings."))
    return Table(tuple(items), top - y, left_over)


def _row_lines(finding: Finding, document: Document, widths: _Widths) -> tuple[tuple[str, ...], tuple[str, ...]]:
    words = words_of(finding, document)
    what = (*wrapped(words.headline, widths.what - 4, face="semibold"), *wrapped(words.detail, widths.what - 4))
    return what, wrapped(words.rule_line, widths.rule - 1)


def _row(
    number: int,
    finding: Finding,
    lines: tuple[tuple[str, ...], tuple[str, ...]],
    corner: tuple[float, float],
    widths: _Widths,
) -> list[Primitive]:
    left, top = corner
    first = top - ROW_GAP_MM / 2 - LINE_MM / 2 - TEXT_MM / 2
    mark = Symbol(
        name=SEVERITY_SYMBOLS[finding.severity],
        at=(left + 3.2, first + TEXT_MM / 2 - 0.4),
        pen=Pen.FINDING,
        text=str(number),
        source=finding.key,
    )
    what, rule = lines
    return [
        mark,
        *(_text(left + MARK_MM, first - LINE_MM * at, line, source=finding.key) for at, line in enumerate(what)),
        *(_text(left + MARK_MM + widths.what, first - LINE_MM * at, line) for at, line in enumerate(rule)),
    ]


def _text(x: float, y: float, text: str, face: Face = "regular", height: float = TEXT_MM, source: str = "") -> Label:
    return Label(at=(x, y), text=text, pen=Pen.NOTE, height_mm=height, face=face, source=source)
