"""The hand-drawn signs of the window: stages, and severities by shape and letter, in a box of 20 x 20."""

from collections.abc import Callable
from math import cos, pi, sin
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from siteplan.canvas.painting import label_font, paint_text
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.model.project import Severity
from siteplan.windows.style import text_scale

BOX: Final = 20.0
STROKE: Final = 1.6
LETTER: Final = 10  # pixels of the letter in a severity
SEVERITY_LETTERS: Final[dict[Severity, str]] = {"Stop": "S", "Guard": "G", "Tight": "T", "Ask": "?", "Note": ""}


def paint_stage_icon(painter: QPainter, stage: str, at: QPointF, scale: float, colour: str) -> None:
    """Paint the icon of a stage with its upper left corner at a place."""
    painter.save()
    painter.translate(at)
    painter.scale(scale, scale)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(QColor(colour), STROKE)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(STAGE_PATHS[stage]())
    painter.restore()


def paint_severity(painter: QPainter, severity: Severity, at: QPointF, scale: float) -> None:
    """Paint the shape and the letter of a severity with the upper left corner of its box at a place."""
    painter.save()
    painter.translate(at)
    painter.scale(scale, scale)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(SEVERITY_COLOURS[severity]))
    painter.drawPath(SEVERITY_PATHS[severity]())
    letter = SEVERITY_LETTERS[severity]
    if letter:
        baseline = 13.0 if severity == "Guard" else 13.6
        paint_text(painter, letter, QPointF(BOX / 2, baseline), label_font("bold", LETTER), LIGHT.paper, align=1 / 2)
    painter.restore()


class SeverityMark(QWidget):
    """The shape of a severity beside a text."""

    def __init__(self, severity: Severity, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.severity: Severity = severity
        self.setAccessibleName(severity)

    def sizeHint(self) -> QSize:
        """Return the size of the box."""
        side = round(BOX * text_scale(self))
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        """Return the size of the box."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the shape in the middle."""
        del event
        scale = text_scale(self)
        at = QPointF((self.width() - BOX * scale) / 2, (self.height() - BOX * scale) / 2)
        with QPainter(self) as painter:
            paint_severity(painter, self.severity, at, scale)


def _lay_out() -> QPainterPath:
    """Draw two posts with the gate line between them."""
    path = QPainterPath()
    path.addRect(QRectF(2.5, 6.5, 4.5, 7.0))
    path.addRect(QRectF(13.0, 6.5, 4.5, 7.0))
    path.moveTo(7.0, 10.0)
    path.lineTo(13.0, 10.0)
    return path


def _swing() -> QPainterPath:
    """Draw a leaf half open, and the arc of its tip."""
    path = QPainterPath()
    path.moveTo(4.0, 16.5)
    path.lineTo(4.0, 3.5)
    path.arcTo(QRectF(-9.0, 3.5, 26.0, 26.0), 90.0, -90.0)
    path.lineTo(4.0, 16.5)
    path.lineTo(13.2, 7.3)
    return path


def _sheets() -> QPainterPath:
    """Draw one sheet over another."""
    path = QPainterPath()
    path.addRect(QRectF(2.5, 6.0, 12.0, 11.0))
    path.moveTo(5.5, 6.0)
    path.lineTo(5.5, 3.0)
    path.lineTo(17.5, 3.0)
    path.lineTo(17.5, 14.0)
    path.lineTo(14.5, 14.0)
    return path


def _octagon() -> QPainterPath:
    corners = [pi / 8 + pi / 4 * corner for corner in range(8)]
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(BOX / 2 + 9.0 * cos(turn), BOX / 2 + 9.0 * sin(turn)) for turn in corners]))
    path.closeSubpath()
    return path


def _shield() -> QPainterPath:
    path = QPainterPath(QPointF(2.5, 2.5))
    path.lineTo(17.5, 2.5)
    path.lineTo(17.5, 11.0)
    path.quadTo(17.0, 15.0, 10.0, 18.5)
    path.quadTo(3.0, 15.0, 2.5, 11.0)
    path.closeSubpath()
    return path


def _caliper() -> QPainterPath:
    """Draw a beam over two jaws, wide enough for the letter."""
    path = QPainterPath()
    path.addPolygon(
        QPolygonF(
            [
                QPointF(1.0, 2.5),
                QPointF(19.0, 2.5),
                QPointF(19.0, 11.0),
                QPointF(15.5, 8.5),
                QPointF(15.5, 17.5),
                QPointF(4.5, 17.5),
                QPointF(4.5, 8.5),
                QPointF(1.0, 11.0),
            ]
        )
    )
    path.closeSubpath()
    return path


def _disc() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(BOX / 2, BOX / 2), 8.5, 8.5)
    return path


def _dot() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(BOX / 2, BOX / 2), 3.5, 3.5)
    return path


STAGE_PATHS: Final[dict[str, Callable[[], QPainterPath]]] = {"Lay out": _lay_out, "Swing": _swing, "Sheets": _sheets}
SEVERITY_PATHS: Final[dict[Severity, Callable[[], QPainterPath]]] = {
    "Stop": _octagon,
    "Guard": _shield,
    "Tight": _caliper,
    "Ask": _disc,
    "Note": _dot,
}
