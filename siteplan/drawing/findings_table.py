"""Tables of findings on a sheet: a short one keyed to the marks on the plan, and the full one with sources."""

from collections.abc import Callable
from typing import NamedTuple

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Face, Label, Primitive, Stroke, Symbol
from siteplan.drawing.text_flow import TEXT_MM, TITLE_MM, wrapped
from siteplan.model.document import Document
from siteplan.reports.findings_text import Words, words_of
from siteplan.rules.findings import Finding
from siteplan.rules.limits import Pack

SEVERITY_SYMBOLS = {"Stop": "stop", "Guard": "guard", "Tight": "tight", "Ask": "ask", "Note": "note"}
LINE_MM = 3.8
ROW_GAP_MM = 2.2
HEAD_GAP_MM = 3.0
MARK_MM = 14.0  # width of the column of marks
MARK_IN_MM, MARK_UP_MM = 3.2, 0.8
CELL_GAP_MM = 3.0
Numbered = tuple[int, Finding]


class _Part(NamedTuple):
    """One column: its head, its share of the width, and what stands in it."""

    head: str
    share: float
    texts: Callable[[Words, Finding], tuple[str, ...]]


SHORT = (
    _Part("", 0.06, lambda _, finding: (finding.severity,)),
    _Part("WHAT", 0.42, lambda words, _: (words.headline,)),
    _Part("LIMIT", 0.44, lambda words, _: (words.detail,)),
    _Part("RULE", 0.08, lambda _, finding: (finding.code,)),
)
FULL = (
    _Part("", 0.10, lambda _, finding: (finding.severity,)),
    _Part("WHAT, LIMIT, WHERE", 0.54, lambda words, _: (words.headline, words.detail, _where(words))),
    _Part("RULE, SOURCE, BASIS", 0.36, lambda words, _: (words.rule_line,)),
)


class Table(NamedTuple):
    """A set table: what it is made of, how high it is, and the findings that did not fit."""

    items: tuple[Primitive, ...]
    height_mm: float
    left_over: tuple[Numbered, ...]


def numbered(findings: tuple[Finding, ...]) -> tuple[Numbered, ...]:
    """Return findings with the numbers that key them to the plan."""
    return tuple(enumerate(findings, 1))


def findings_table(
    rows: tuple[Numbered, ...],
    document: Document,
    pack: Pack,
    corner: tuple[float, float],
    width_mm: float,
    room_mm: float,
    *,
    full: bool,
) -> Table:
    """Return the table of numbered findings from its top left corner, in no more than the room given."""
    left, top = corner
    parts = FULL if full else SHORT
    starts, widths = _columns(parts, width_mm)
    y = top - TITLE_MM
    title = f"FINDINGS AGAINST PACK {pack.label.upper()}"
    items: list[Primitive] = [_text(left, y, title, face="bold", height=TITLE_MM - 0.7)]
    y -= HEAD_GAP_MM + TEXT_MM
    heads = [(part.head, left + start) for part, start in zip(parts, starts, strict=True) if part.head]
    items += [_text(x, y, head, face="semibold") for head, x in heads]
    y -= ROW_GAP_MM / 2
    items.append(Stroke(points=((left, y), (left + width_mm, y)), pen=Pen.NOTE))
    for position, (number, finding) in enumerate(rows):
        words = words_of(finding, document)
        cells = [_cell(part, words, finding, width) for part, width in zip(parts, widths, strict=True)]
        height = max(map(len, cells)) * LINE_MM + ROW_GAP_MM
        if top - (y - height) > room_mm - LINE_MM - ROW_GAP_MM:
            return _cut(
                items, rows[position:], (left, y), top, "on the next sheet" if full else "on the sheets of findings"
            )
        items += _row(number, finding, cells, (left, y), starts)
        y -= height
        items.append(Stroke(points=((left, y), (left + width_mm, y)), pen=Pen.TITLE_LINE))
    if not rows:
        y -= LINE_MM + ROW_GAP_MM
        items.append(_text(left, y + ROW_GAP_MM, f"Nothing found against pack {pack.label} by the checks listed."))
    return Table(tuple(items), top - y, ())


def _columns(parts: tuple[_Part, ...], width_mm: float) -> tuple[list[float], list[float]]:
    widths = [part.share * (width_mm - MARK_MM) for part in parts]
    return [MARK_MM + sum(widths[:number]) for number in range(len(parts))], widths


def _where(words: Words) -> str:
    return f"Measured at {words.witness}." if words.witness else ""


def _cut(
    items: list[Primitive], left_over: tuple[Numbered, ...], corner: tuple[float, float], top: float, where: str
) -> Table:
    left, y = corner[0], corner[1] - LINE_MM - ROW_GAP_MM
    stops = sum(finding.severity == "Stop" for _, finding in left_over)
    which = f", {stops} of them Stop" if stops else ""
    items.append(_text(left, y + ROW_GAP_MM, f"{len(left_over)} more {where}{which}.", face="bold"))
    return Table(tuple(items), top - y, left_over)


def _cell(part: _Part, words: Words, finding: Finding, width_mm: float) -> tuple[str, ...]:
    texts = (text for text in part.texts(words, finding) if text)
    return tuple(line for text in texts for line in wrapped(text, width_mm - CELL_GAP_MM))


def _row(
    number: int, finding: Finding, cells: list[tuple[str, ...]], corner: tuple[float, float], starts: list[float]
) -> list[Primitive]:
    left, top = corner
    first = top - ROW_GAP_MM / 2 - (LINE_MM + TEXT_MM) / 2
    mark = Symbol(
        name=SEVERITY_SYMBOLS[finding.severity],
        at=(left + MARK_IN_MM, first + MARK_UP_MM),
        pen=Pen.FINDING,
        text=str(number),
        source=finding.key,
    )
    texts = [
        _text(
            left + start, first - LINE_MM * at, line, face="bold" if line == "Stop" else "regular", source=finding.key
        )
        for start, cell in zip(starts, cells, strict=True)
        for at, line in enumerate(cell)
    ]
    return [mark, *texts]


def _text(x: float, y: float, text: str, face: Face = "regular", height: float = TEXT_MM, source: str = "") -> Label:
    return Label(at=(x, y), text=text, pen=Pen.NOTE, height_mm=height, face=face, source=source)
