"""The hand-drawn signs of the window: stages, and severities by shape and letter, in a box of 20 x 20."""

from typing import Final

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from siteplan.canvas.painting import label_font, paint_text
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.model.project import Severity
from siteplan.windows.style import text_scale

Step = tuple[float, ...]
Strokes = tuple[tuple[Step, ...], ...]

BOX: Final = 20.0
STROKE: Final = 1.6
LETTER: Final = 10  # pixels of the letter in a severity
PLACE: Final = 2  # numbers of a step that is a place; a curve has four

STAGE_STROKES: Final[dict[str, Strokes]] = {
    "Lay out": (  # two posts with the gate line between them
        ((2.5, 6.5), (7.0, 6.5), (7.0, 13.5), (2.5, 13.5), (2.5, 6.5)),
        ((13.0, 6.5), (17.5, 6.5), (17.5, 13.5), (13.0, 13.5), (13.0, 6.5)),
        ((7.0, 10.0), (13.0, 10.0)),
    ),
    "Swing": (  # a leaf half open, and the arc of its tip
        ((4.0, 16.5), (4.0, 3.5), (9.4, 3.5, 13.2, 7.3), (17.0, 11.1, 17.0, 16.5), (4.0, 16.5)),
        ((4.0, 16.5), (13.2, 7.3)),
    ),
    "Sheets": (  # one sheet over another
        ((2.5, 6.0), (14.5, 6.0), (14.5, 17.0), (2.5, 17.0), (2.5, 6.0)),
        ((5.5, 6.0), (5.5, 3.0), (17.5, 3.0), (17.5, 14.0), (14.5, 14.0)),
    ),
}
SEVERITY_STROKES: Final[dict[Severity, Strokes]] = {
    "Stop": (  # an octagon
        ((6.3, 1.0), (13.7, 1.0), (19.0, 6.3), (19.0, 13.7), (13.7, 19.0), (6.3, 19.0), (1.0, 13.7), (1.0, 6.3)),
    ),
    "Guard": (  # a shield
        ((2.5, 2.5), (17.5, 2.5), (17.5, 11.0), (17.0, 15.0, 10.0, 18.5), (3.0, 15.0, 2.5, 11.0)),
    ),
    "Tight": (  # a caliper: a beam over two jaws, wide enough for the letter
        ((1.0, 2.5), (19.0, 2.5), (19.0, 11.0), (15.5, 8.5), (15.5, 17.5), (4.5, 17.5), (4.5, 8.5), (1.0, 11.0)),
    ),
}
DISC_RADII: Final[dict[Severity, float]] = {"Ask": 8.5, "Note": 3.5}
SEVERITY_LETTERS: Final[dict[Severity, str]] = {"Stop": "S", "Guard": "G", "Tight": "T", "Ask": "?", "Note": ""}
BASELINES: Final[dict[Severity, float]] = {"Stop": 13.6, "Guard": 13.0, "Tight": 13.8, "Ask": 13.6}


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
    painter.drawPath(_drawn(STAGE_STROKES[stage]))
    painter.restore()


def paint_severity(painter: QPainter, severity: Severity, at: QPointF, scale: float) -> None:
    """Paint the shape and the letter of a severity with the upper left corner of its box at a place."""
    painter.save()
    painter.translate(at)
    painter.scale(scale, scale)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(SEVERITY_COLOURS[severity]))
    if severity in DISC_RADII:
        painter.drawEllipse(QPointF(BOX / 2, BOX / 2), DISC_RADII[severity], DISC_RADII[severity])
    else:
        painter.drawPath(_drawn(SEVERITY_STROKES[severity]))
    letter = SEVERITY_LETTERS[severity]
    if letter:
        at_letter = QPointF(BOX / 2, BASELINES[severity])
        paint_text(painter, letter, at_letter, label_font("bold", LETTER), LIGHT.paper, align=1 / 2)
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


def _drawn(strokes: Strokes) -> QPainterPath:
    """Return strokes as one path: a first place each, then ends of lines, or control places and ends of curves."""
    path = QPainterPath()
    for first, *further in strokes:
        path.moveTo(*first)
        for step in further:
            if len(step) == PLACE:
                path.lineTo(*step)
            else:
                path.quadTo(*step)
    return path
