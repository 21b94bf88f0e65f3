"""The strip at the right of a sheet: legend, notes, title block, revisions, scale and sheet number."""

from collections.abc import Iterable

from siteplan.drawing.pens import Pen, looks
from siteplan.drawing.primitives import Label, Primitive, Stroke, Symbol
from siteplan.drawing.text_flow import LEAST_TEXT_MM, LINE_PITCH, TEXT_MM, Column, fitted_height, wrapped
from siteplan.drawing.title_block import PADDING_MM, SheetLabel, title_block
from siteplan.errors import SheetError
from siteplan.model.document import Document
from siteplan.rules.limits import Pack
from siteplan.tables import read_table

HEAD_MM = 2.8
HANG_MM = 6.0
NOTE_GAP_MM = 0.7
MUST_STAND = 2  # of the notes, on every sheet: the cautions
SAMPLE_MM = 18.0  # length of a line in the legend
LEGEND_PITCH_MM = 4.2
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
LEGEND_SYMBOLS = (
    ({"sign_inside", "sign_outside"}, "warning_sign", Pen.SIGN, "warning sign"),
    ({"control"}, "control", Pen.CONTROL, "control"),
    ({"hinge_pin"}, "hinge_pin", Pen.POST, "hinge axis"),
    ({"spot_level"}, "spot_level", Pen.SPOT, "spot level"),
    ({"survey_point"}, "survey_point", Pen.SURVEY, "survey point"),
)


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
    block = title_block(document, sheet, left, right, bottom)
    _legend(column, list(shown))
    _notes(column, notes_of(document, pack), block.top_mm)
    return (Stroke(points=((left, bottom), (left, top)), pen=Pen.FRAME), *column.items, *block.items)


def _legend(column: Column, shown: list[Primitive]) -> None:
    """Set the legend of the lines and symbols that are used on the sheet."""
    used = {primitive.pen for primitive in shown}
    symbols = {(primitive.name, primitive.pen) for primitive in shown if isinstance(primitive, Symbol)}
    rows = [pen for pen in LEGEND_PENS if pen in used]
    if not rows:
        return
    column.line("LEGEND", HEAD_MM, "bold")
    column.gap(2.0)
    text_left = column.left + SAMPLE_MM + 4
    for pen in rows:
        column.gap(LEGEND_PITCH_MM)
        middle = column.y + TEXT_MM / 2
        column.items.append(Stroke(points=((column.left, middle), (column.left + SAMPLE_MM, middle)), pen=pen))
        column.items.append(_legend_text(column, text_left, looks()[pen].about))
    for names, name, pen, about in LEGEND_SYMBOLS:
        if any((each, pen) in symbols for each in names):
            column.gap(LEGEND_PITCH_MM + 1.2)
            column.items.append(Symbol(name=name, at=(column.left + SAMPLE_MM / 2, column.y + TEXT_MM / 2), pen=pen))
            column.items.append(_legend_text(column, text_left, about))
    column.gap(5.0)
    column.rule(out_mm=PADDING_MM)
    column.gap(5.0)


def _legend_text(column: Column, left: float, about: str) -> Label:
    text = about.upper()
    height = fitted_height(text, column.left + column.width - left, TEXT_MM)
    return Label(at=(left, column.y), text=text, pen=Pen.NOTE, height_mm=height)


def cautions_for(document: Document, only: str = "") -> tuple[str, ...]:
    """Return the cautions whose trigger is on the site, or those of one trigger."""
    on = {
        "always": True,
        "drives": bool(document.drives),
        "pads": bool(document.pads),
        "controls": bool(document.controls),
        "fire_lane": bool(document.project.use.fire_lane),
        "ground": document.ground is not None,
    }
    rows = read_table("texts/cautions")["caution"]
    return tuple(row["text"] for row in rows if on[row["trigger"]] and only in ("", row["trigger"]))


def notes_of(document: Document, pack: Pack) -> tuple[str, ...]:
    """Return the notes of every sheet; the cautions of single things stand on the sheet of findings."""
    rounding = "1 mm" if document.project.units in ("m", "mm") else "1/8 in"
    editions = ", ".join(f"{key.upper()} {edition}" for key, edition in pack.editions)
    first, second, *others = cautions_for(document, "always")
    return (
        first,
        second,
        f"Judged against pack {pack.label}: {editions}.",
        f"Property lines {document.datum.property_lines}, not a boundary survey.",
        f"Dimensions rounded to {rounding}; do not scale.",
        "~ guessed, t told by others: measure again before building.",
        f"Height 0 is {document.datum.height}.",
        *others,
    )


def _notes(column: Column, notes: tuple[str, ...], foot_mm: float) -> None:
    """Set the notes above the title block, small when room is scarce; when it ends, say where the rest is."""
    column.line("NOTES", HEAD_MM, "bold")
    column.gap(NOTE_GAP_MM)
    foot_mm += 2 * TEXT_MM * LINE_PITCH  # room to say where more notes are
    height = next(
        (each for each in (TEXT_MM, LEAST_TEXT_MM) if _foot_of(column, notes[:MUST_STAND], each) >= foot_mm), 0
    )
    if not height:
        raise SheetError(
            "The title block and the legend leave no room for the cautions: "
            "shorten the owner, the address, the title or the revisions, or choose a larger paper."
        )
    for number, text in enumerate(notes, 1):
        if _foot_of(column, (text,), height) < foot_mm:
            column.paragraph("More notes on the sheet of findings.", hang_mm=HANG_MM)
            return
        column.paragraph(text, height, hang_mm=HANG_MM, mark=str(number))
        column.gap(NOTE_GAP_MM)


def _foot_of(column: Column, notes: tuple[str, ...], height_mm: float) -> float:
    """Return how far down notes would reach."""
    lines = [len(wrapped(text, column.width - HANG_MM, height_mm)) for text in notes]
    return column.y - sum(lines) * height_mm * LINE_PITCH - (len(notes) - 1) * NOTE_GAP_MM
