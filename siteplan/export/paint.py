"""Sheets painted: the one routine behind PNG and PDF. Paper mm, y up, origin at the lower left corner of the sheet.

Lines are mapped to the paper first and painted then, so that pens, dashes and letters keep their size on paper in
views of every scale.  Any thread may paint once ``fonts.ensure_gui`` has run in the main thread.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from math import ceil, degrees, pi, tan
from typing import NamedTuple, assert_never

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QImage,
    QImageWriter,
    QPageSize,
    QPaintDevice,
    QPainter,
    QPainterPath,
    QPdfWriter,
    QPen,
    QPolygonF,
    QTransform,
)

from siteplan.drawing.dimensions import explode
from siteplan.drawing.hatches import DOT_MM, hatch_lines
from siteplan.drawing.pens import Pen, line_patterns, looks
from siteplan.drawing.primitives import (
    Align,
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Ring,
    Sheet,
    SheetSet,
    Stroke,
    Symbol,
    View,
)
from siteplan.drawing.symbols import placed_symbol
from siteplan.errors import SheetError
from siteplan.export.fonts import ensure_gui, font_of, mm_per_unit
from siteplan.export.pdf_bytes import finished_pdf, sheet_heading
from siteplan.geometry.points import Point, point_at

MM_PER_INCH = 25.4
MM_PER_METRE = 1000
POINTS_PER_INCH = 72
PDF_DOTS_PER_INCH = 1200
MOST_PIXELS = 120_000_000
LEAST_PEN_MM = 0.13
WASH_GREY = 0.90
WHITE = 1.0
LARGEST_CURVE_RAD = pi / 4
HANDLE_SHARE = 4 / 3
SHARE_LEFT_OF_ANCHOR: dict[Align, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}


class Place(NamedTuple):
    """Where primitives lie on the sheet."""

    to_paper: QTransform
    ratio: float  # their own mm for one mm of paper


def write_png(sheet: Sheet, dpi: int, title: str = "", author: str = "") -> bytes:
    """Return a sheet as a PNG in greys, to scale when shown at ``dpi`` dots an inch.

    PNG counts whole dots a metre: 300 an inch is stored as 11811, which is 299.9994 an inch.
    A sheet above ``MOST_PIXELS`` raises SheetError.
    """
    width, height = (round(side * dpi / MM_PER_INCH) for side in (sheet.width_mm, sheet.height_mm))
    if dpi < 1 or width * height > MOST_PIXELS:
        raise SheetError(
            f"Sheet {sheet.name} at {dpi} dots per inch has {width} x {height} pixels; 1 to {MOST_PIXELS // 10**6} "
            "million can be written: another number of dots per inch is needed."
        )
    ensure_gui()
    image = QImage(width, height, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    with _painter_on(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _in_paper_mm(painter, dpi, sheet.height_mm)
        paint_sheet(painter, sheet)
    dots_per_metre = round(dpi * MM_PER_METRE / MM_PER_INCH)
    image.setDotsPerMeterX(dots_per_metre)
    image.setDotsPerMeterY(dots_per_metre)
    for key, text in (("Title", title or sheet_heading(sheet)), ("Author", author), ("Software", "siteplan")):
        image.setText(key, text)
    return _encoded(image, sheet)


def _encoded(image: QImage, sheet: Sheet) -> bytes:
    """Return the bytes of the PNG."""
    store = _store()
    writer = QImageWriter(store, b"png")
    if not writer.write(image):
        raise SheetError(f"Sheet {sheet.name} cannot be written as PNG: {writer.errorString()}.")
    return bytes(store.data().data())


def write_pdf(sheets: SheetSet, progress: Callable[[str], None] | None = None) -> bytes:
    """Return all sheets as one PDF: vector, to scale, a page of the size of its paper for each sheet.

    The same set gives the same bytes on every run.  ``progress`` is called with the heading of each sheet before it
    is painted; an exception it raises ends the work and goes to the caller.  A set without sheets raises SheetError.
    """
    if not sheets.sheets:
        raise SheetError(f"The set {sheets.title} has no sheet; a PDF needs one.")
    ensure_gui()
    store = _store()
    writer = QPdfWriter(store)
    writer.setResolution(PDF_DOTS_PER_INCH)
    writer.setPageMargins(QMarginsF())
    _set_page(writer, sheets.sheets[0])
    with _painter_on(writer) as painter:
        for number, sheet in enumerate(sheets.sheets):
            if progress is not None:
                progress(sheet_heading(sheet))
            if number > 0:
                _set_page(writer, sheet)
                writer.newPage()
            painter.resetTransform()
            _in_paper_mm(painter, PDF_DOTS_PER_INCH, _page_height_mm(writer))
            paint_sheet(painter, sheet)
    return finished_pdf(bytes(store.data().data()), sheets)


def _store() -> QBuffer:
    """Return an open store of bytes."""
    store = QBuffer()
    store.open(QIODevice.OpenModeFlag.WriteOnly)
    return store


def _painter_on(device: QPaintDevice) -> QPainter:
    """Return a painter that has begun."""
    painter = QPainter(device)
    if not painter.isActive():
        raise SheetError("Painting cannot begin; fewer dots per inch or smaller paper would be right.")
    return painter


def _set_page(writer: QPdfWriter, sheet: Sheet) -> None:
    """Set the paper of the next page."""
    size = QSizeF(sheet.width_mm, sheet.height_mm)
    writer.setPageSize(QPageSize(size, QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.ExactMatch))


def _page_height_mm(writer: QPdfWriter) -> float:
    """Return the height of the page as Qt has it: whole points, so that the lower edge stays at 0 in the file."""
    return writer.pageLayout().fullRectPoints().height() * MM_PER_INCH / POINTS_PER_INCH


def _in_paper_mm(painter: QPainter, dots_per_inch: int, height_mm: float) -> None:
    """Make the unit of a painter one paper mm, y up, from the lower left corner."""
    painter.scale(dots_per_inch / MM_PER_INCH, -dots_per_inch / MM_PER_INCH)
    painter.translate(0, -height_mm)


def paint_sheet(painter: QPainter, sheet: Sheet) -> None:
    """Paint a sheet with a painter whose unit is one paper mm, y up, from the lower left corner of the sheet."""
    for view in sheet.views:
        _paint_view(painter, view)
    _paint(painter, sheet.items, Place(QTransform(), 1.0))


def _paint_view(painter: QPainter, view: View) -> None:
    """Paint a view inside its frame."""
    place = Place(to_paper(view), view.ratio)
    with _state_kept(painter):
        painter.setClipRect(QRectF(*view.frame), Qt.ClipOperation.IntersectClip)
        _paint(painter, view.model, place)
        _paint(painter, view.notes, place)


def to_paper(view: View) -> QTransform:
    """Return the mapping from model mm to paper mm of a view."""
    left, bottom, width, height = view.frame
    mapping = QTransform.fromTranslate(left + width / 2, bottom + height / 2)
    mapping.scale(1 / view.ratio, 1 / view.ratio)
    return mapping.translate(-view.centre[0], -view.centre[1])


def _paint(painter: QPainter, shapes: Iterable[Primitive], place: Place) -> None:
    """Paint primitives in their order; those whose pen does not plot are left out."""
    for shape in shapes:
        if not looks()[shape.pen].plots:
            continue
        match shape:
            case Stroke() | Arc() | Circle():
                painter.strokePath(place.to_paper.map(outline(shape)), _pen(shape.pen))
            case Fill():
                painter.fillPath(place.to_paper.map(outline(shape)), _fill_colour(shape))
            case HatchArea():
                lines = _lines(hatch_lines(shape.rings, shape.pattern, place.ratio))
                painter.strokePath(place.to_paper.map(lines), _hatch_pen(shape.pen))
            case Label():
                _paint_label(painter, shape, place)
            case Dimension():
                _paint(painter, explode(shape, place.ratio), place)
            case Symbol():
                _paint(painter, placed_symbol(shape, place.ratio), place)
            case _:
                assert_never(shape)


def _paint_label(painter: QPainter, label: Label, place: Place) -> None:
    """Paint a text at its exact height on paper."""
    at = place.to_paper.map(QPointF(*label.at))
    font = font_of(label.face)
    scale = mm_per_unit(font, label.height_mm)
    before_anchor = SHARE_LEFT_OF_ANCHOR[label.align] * QFontMetricsF(font).horizontalAdvance(label.text)
    with _state_kept(painter):
        painter.translate(at)
        painter.rotate(degrees(label.turn_rad))
        painter.scale(scale, -scale)  # letters are upright where y runs down
        painter.setFont(font)
        painter.setPen(grey_colour(looks()[label.pen].grey))
        painter.drawText(QPointF(-before_anchor, 0.0), label.text)


@contextmanager
def _state_kept(painter: QPainter) -> Iterator[None]:
    """Give a painter back its transform, clip, font and pen at the end, also when painting fails."""
    painter.save()
    try:
        yield
    finally:
        painter.restore()


def outline(shape: Stroke | Arc | Circle | Fill) -> QPainterPath:
    """Return the path of a shape in its own frame, y up."""
    path = QPainterPath()
    match shape:
        case Stroke():
            _add_line(path, shape.points, closed=shape.closed)
        case Arc():
            _add_arc(path, shape.centre, shape.radius, shape.start_rad, shape.sweep_rad)
        case Circle():
            _add_arc(path, shape.centre, shape.radius, 0.0, 2 * pi)
            path.closeSubpath()
        case Fill():
            path.setFillRule(Qt.FillRule.OddEvenFill)
            for ring in shape.rings:
                _add_line(path, ring, closed=True)
        case _:
            assert_never(shape)
    return path


def _add_line(path: QPainterPath, points: Ring, *, closed: bool) -> None:
    """Add a line through points to a path."""
    path.addPolygon(QPolygonF([QPointF(*point) for point in points]))
    if closed:
        path.closeSubpath()


def _add_arc(path: QPainterPath, centre: Point, radius: float, start_rad: float, sweep_rad: float) -> None:
    """Add an arc to a path as Bezier curves of at most an eighth of a turn, off by less than 5e-6 of the radius.

    Qt's own arcs end up to 1.2e-4 of the radius from their place.  The handles of a curve over an angle w are
    4/3 tan(w/4) of the radius long: then its middle lies on the circle (common formula).
    """
    count = max(1, ceil(abs(sweep_rad) / LARGEST_CURVE_RAD))
    step = sweep_rad / count
    handle = HANDLE_SHARE * tan(step / 4) * radius
    path.moveTo(*point_at(centre, radius, start_rad))
    for number in range(count):
        begin_rad, end_rad = start_rad + number * step, start_rad + (number + 1) * step
        begin, end = point_at(centre, radius, begin_rad), point_at(centre, radius, end_rad)
        path.cubicTo(*point_at(begin, handle, begin_rad + pi / 2), *point_at(end, -handle, end_rad + pi / 2), *end)


def _lines(pairs: Iterable[Ring]) -> QPainterPath:
    """Return separate lines as one path."""
    path = QPainterPath()
    for pair in pairs:
        _add_line(path, pair, closed=False)
    return path


@cache
def _pen(pen: Pen) -> QPen:
    """Return how lines of a pen are drawn; Qt counts dashes in widths of the pen."""
    look = looks()[pen]
    width_mm = max(look.width_mm, LEAST_PEN_MM)
    drawn = _plain_pen(look.grey, width_mm)
    if pattern := line_patterns()[look.line]:
        least_mm = max(DOT_MM, width_mm)  # a dot is a short dash
        drawn.setDashPattern([max(abs(part), least_mm) / width_mm for part in pattern])
    return drawn


def _hatch_pen(pen: Pen) -> QPen:
    """Return how the lines of a hatch are drawn: thin, with the dashes of the hatch and none of the pen."""
    return _plain_pen(looks()[pen].grey, LEAST_PEN_MM)


def _plain_pen(grey: float, width_mm: float) -> QPen:
    """Return a pen of continuous lines."""
    drawn = QPen(grey_colour(grey), width_mm)
    drawn.setCapStyle(Qt.PenCapStyle.FlatCap)
    drawn.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return drawn


def _fill_colour(fill: Fill) -> QColor:
    """Return the grey of a filled area."""
    return grey_colour({"solid": looks()[fill.pen].grey, "wash": WASH_GREY, "paper": WHITE}[fill.tone])


def grey_colour(grey: float) -> QColor:
    """Return a grey, 0 black to 1 white."""
    return QColor.fromRgbF(grey, grey, grey)
