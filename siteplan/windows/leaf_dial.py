"""The Leaf dial: the angle of each leaf, to be dragged, clicked, stepped or typed."""

from math import degrees, radians
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QShowEvent,
)
from PySide6.QtWidgets import QAbstractSlider, QGridLayout, QSizePolicy, QVBoxLayout, QWidget

from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.painting import label_font, paint_text
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.errors import EntryError
from siteplan.windows.cards import label
from siteplan.windows.desk import Desk
from siteplan.windows.dial_facts import (
    COARSE_DEG,
    FINE_DEG,
    TICK_STEPS_DEG,
    DialMark,
    dial_marks,
    dial_top_deg,
    pose_words,
    read_dial,
    stepped,
)
from siteplan.windows.row_editor import EntryField
from siteplan.windows.style import set_role, text_scale

# Pixels at a text size of 100 %.
ROW_HIGH: Final = 34
EDGE: Final = 12  # room for half a knob
KNOB: Final = 7.5
TRACK: Final = 4.0
MARK_HALF: Final = 8.0
TICK_LONG: Final = 4.0
MARK_TEXT: Final = 11
MARK_TEXT_GAP: Final = 2.0
SCALE_TEXT: Final = 11
SCALE_HIGH: Final = 20
COLUMN_GAP: Final = 10
ROOM_FOR_NUMBER: Final = 33
WIDEST_ANGLE: Final = "180.0°  "

THOUSANDTHS: Final = 1000  # the slider that others hear counts in thousandths of a degree
UP_KEYS: Final = (Qt.Key.Key_Right, Qt.Key.Key_Up)
DOWN_KEYS: Final = (Qt.Key.Key_Left, Qt.Key.Key_Down)


class DialSlider(QAbstractSlider):
    """One leaf on the dial."""

    moved = Signal(float)  # angle

    def __init__(self, leaf: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.leaf = leaf
        self.angle_rad = 0.0
        self.stop_rad = radians(1)
        self.top_deg = 90
        self.marks: tuple[DialMark, ...] = ()
        self.accented = False
        self.setOrientation(Qt.Orientation.Horizontal)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"angle of leaf {leaf}")

    def show_angle(
        self, angle_rad: float, stop_rad: float, top_deg: int, marks: tuple[DialMark, ...], accented: bool
    ) -> None:
        """Show an angle on a dial that ends at ``top_deg``."""
        self.angle_rad, self.stop_rad, self.top_deg = angle_rad, stop_rad, top_deg
        self.marks, self.accented = marks, accented
        self.setRange(0, round(degrees(stop_rad) * THOUSANDTHS))
        self.setValue(round(degrees(angle_rad) * THOUSANDTHS))
        texts = (f"{mark.severity or 'open stop'} at {degrees(mark.angle_rad):.1f}°" for mark in marks)
        self.setAccessibleDescription(", ".join(texts))
        self.setToolTip("\n".join(f"{mark.severity or ''} {mark.text}".strip() for mark in marks))
        self.update()

    def x_of(self, angle_rad: float) -> float:
        """Return where an angle lies on the track, in pixels."""
        edge = EDGE * text_scale(self)
        return edge + degrees(angle_rad) / self.top_deg * (self.width() - 2 * edge)

    def angle_at(self, x: float) -> float:
        """Return the angle of a place on the track, within the travel."""
        edge = EDGE * text_scale(self)
        share = (x - edge) / max(1.0, self.width() - 2 * edge)
        return min(self.stop_rad, max(0.0, radians(share * self.top_deg)))

    def sizeHint(self) -> QSize:
        """Return a size at which a degree can be hit."""
        scale = text_scale(self)
        return QSize(round(360 * scale), round(ROW_HIGH * scale))

    def minimumSizeHint(self) -> QSize:
        """Return the least size."""
        scale = text_scale(self)
        return QSize(round(120 * scale), round(ROW_HIGH * scale))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint track, marks and knob."""
        del event
        scale = text_scale(self)
        middle = self.height() - (MARK_HALF + 2) * scale
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_track(painter, middle, TRACK * scale)
            for mark in reversed(self.marks):  # the open stop first, the worst finding last
                colour = LIGHT.mid if mark.severity is None else SEVERITY_COLOURS[mark.severity]
                painter.setPen(QPen(QColor(colour), 2 * scale))
                x = self.x_of(mark.angle_rad)
                painter.drawLine(QPointF(x, middle - MARK_HALF * scale), QPointF(x, middle + MARK_HALF * scale))
            self._paint_mark_texts(painter, middle - (MARK_HALF + MARK_TEXT_GAP) * scale, scale)
            painter.setPen(QPen(QColor(LIGHT.accent if self.accented or self.hasFocus() else LIGHT.ink), 2 * scale))
            painter.setBrush(QColor(LIGHT.wash if self.hasFocus() else LIGHT.paper))
            painter.drawEllipse(QPointF(self.x_of(self.angle_rad), middle), KNOB * scale, KNOB * scale)

    def _paint_mark_texts(self, painter: QPainter, baseline: float, scale: float) -> None:
        """Paint the angles of findings over their marks, the worst first, where they have room."""
        font = label_font("regular", round(MARK_TEXT * scale))
        taken: list[tuple[float, float]] = []
        for mark in self.marks:
            half = QFontMetricsF(font).horizontalAdvance(mark.text) / 2 + MARK_TEXT_GAP * scale
            x = min(self.x_of(mark.angle_rad), self.width() - half)
            if mark.severity is not None and all(x + half <= left or right <= x - half for left, right in taken):
                taken.append((x - half, x + half))
                colour = SEVERITY_COLOURS[mark.severity]
                paint_text(painter, mark.text, QPointF(x, baseline), font, colour, align=1 / 2)

    def _paint_track(self, painter: QPainter, middle: float, thick: float) -> None:
        start = self.x_of(0.0)
        painter.setPen(Qt.PenStyle.NoPen)
        for angle, colour in (
            (self.stop_rad, LIGHT.rule),
            (self.angle_rad, LIGHT.accent if self.accented or self.hasFocus() else LIGHT.mid),
        ):
            painter.setBrush(QColor(colour))
            box = QRectF(start, middle - thick / 2, max(0.0, self.x_of(angle) - start), thick)
            painter.drawRoundedRect(box, thick / 2, thick / 2)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go to where one clicks."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.moved.emit(self.angle_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self.moved.emit(self.angle_at(event.position().x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step to the next whole degree, or tenth with Shift; Home closes, End opens."""
        fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step = FINE_DEG if fine else COARSE_DEG
        if event.key() in UP_KEYS:
            self.moved.emit(min(self.stop_rad, stepped(self.angle_rad, 1, step)))
        elif event.key() in DOWN_KEYS:
            self.moved.emit(max(0.0, stepped(self.angle_rad, -1, step)))
        elif event.key() == Qt.Key.Key_Home:
            self.moved.emit(0.0)
        elif event.key() == Qt.Key.Key_End:
            self.moved.emit(self.stop_rad)
        else:
            event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the focus."""
        super().focusOutEvent(event)
        self.update()


class DialScale(QWidget):
    """The degrees under the tracks."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.top_deg = 90
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Return the room for one line of small numbers."""
        return QSize(0, round(SCALE_HIGH * text_scale(self)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a tick and a number every 15 degrees, fewer where they would touch."""
        del event
        scale = text_scale(self)
        edge = EDGE * scale
        font = label_font("regular", round(SCALE_TEXT * scale))
        per_deg = (self.width() - 2 * edge) / self.top_deg
        steps = (step for step in TICK_STEPS_DEG if step * per_deg >= ROOM_FOR_NUMBER * scale)
        step = next(steps, self.top_deg)
        with QPainter(self) as painter:
            painter.setPen(QPen(QColor(LIGHT.faint), 1))
            for number in range(0, self.top_deg + 1, step):
                x = edge + number * per_deg
                painter.drawLine(QPointF(x, 0), QPointF(x, TICK_LONG * scale))
                at = QPointF(x, self.height() - TICK_LONG * scale)
                paint_text(painter, str(number), at, font, LIGHT.mid, align=1 / 2)


class AngleField(EntryField):
    """A typed angle, just wide enough for the greatest."""

    def sizeHint(self) -> QSize:
        """Return the size of the widest angle."""
        width = self.fontMetrics().horizontalAdvance(WIDEST_ANGLE) + 2 * COLUMN_GAP
        return QSize(width, super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Return the size of the widest angle."""
        return self.sizeHint()


class DialRow:
    """The widgets of one leaf on the dial."""

    def __init__(self, leaf: str) -> None:
        self.name = label(leaf, "strong")
        self.slider = DialSlider(leaf)
        self.angle = AngleField()
        self.angle.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        set_role(self.angle, "role", "value")
        self.angle.setAccessibleName(f"typed angle of leaf {leaf}")

    def widgets(self) -> tuple[QWidget, ...]:
        """Return them from left to right."""
        return (self.name, self.slider, self.angle)


class LeafDial(QWidget):
    """All leaves, and the numbers of the one moved last."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAccessibleName("Leaf dial")
        self._desk = desk
        self._leaf = ""  # the one whose numbers are shown
        self.rows: dict[str, DialRow] = {}
        self.scale = DialScale()
        self.words = label("", "quiet")
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(COLUMN_GAP)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(self._grid)
        layout.addWidget(self.words)
        desk.document_changed.connect(self.refresh)
        desk.angles_changed.connect(self.refresh)
        desk.selection_changed.connect(self.refresh)
        self.refresh()

    @property
    def summary(self) -> str:
        """All angles in one line."""
        angles = self._desk.angles
        return "   ".join(f"{leaf} {degrees(angle):.1f}°" for leaf, angle in angles.items()) or "no leaf yet"

    def refresh(self) -> None:
        """Show the angles of now."""
        document, angles = self._desk.document, self._desk.angles
        if list(angles) != list(self.rows):
            self._rebuild(list(angles))
        top, places = dial_top_deg(document), leaf_places(document)
        for leaf, row in self.rows.items():
            accented = leaf == self._desk.selected
            row.slider.show_angle(angles[leaf], places[leaf].travel_rad, top, dial_marks(document, leaf), accented)
            if not row.angle.isModified():
                row.angle.setText(f"{degrees(angles[leaf]):.1f}°")
        self.scale.top_deg = top
        self.scale.update()
        if self.isVisible():
            self._say_pose()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while nobody looked."""
        self._say_pose()
        super().showEvent(event)

    def _say_pose(self) -> None:
        angles = self._desk.angles
        shown = next((leaf for leaf in (self._desk.selected, self._leaf, *angles) if leaf in angles), None)
        self._say("" if shown is None else pose_words(self._desk.document, shown, angles[shown]), "quiet")

    def _rebuild(self, leaves: list[str]) -> None:
        for row in self.rows.values():
            for widget in row.widgets():
                widget.hide()
                widget.deleteLater()
        self._grid.removeWidget(self.scale)
        self.rows = {leaf: DialRow(leaf) for leaf in leaves}
        for number, (leaf, row) in enumerate(self.rows.items()):
            for column, widget in enumerate(row.widgets()):
                bottom = Qt.AlignmentFlag(0) if widget is row.slider else Qt.AlignmentFlag.AlignBottom
                self._grid.addWidget(widget, number, column, bottom)
            row.slider.moved.connect(lambda angle, leaf=leaf: self._swing(leaf, angle))
            row.angle.entered.connect(lambda leaf=leaf: self._type(leaf))
            row.angle.left.connect(lambda leaf=leaf: self._type(leaf))
            row.angle.escaped.connect(lambda leaf=leaf: self._put_back(leaf))
        self._grid.addWidget(self.scale, len(leaves), 1)
        self.scale.setVisible(bool(leaves))

    def _swing(self, leaf: str, angle_rad: float) -> None:
        self._leaf = leaf
        self._desk.swing(leaf, angle_rad)

    def _type(self, leaf: str) -> None:
        field = self.rows[leaf].angle
        if not field.isModified():
            return
        try:
            angle = read_dial(field.text(), leaf_places(self._desk.document)[leaf].travel_rad)
        except EntryError as refusal:
            set_role(field, "refused", "true")
            self._say(str(refusal), "refusal")
            return
        self._put_back(leaf)
        self._swing(leaf, angle)

    def _put_back(self, leaf: str) -> None:
        field = self.rows[leaf].angle
        field.setModified(False)
        set_role(field, "refused", "false")
        self.refresh()

    def _say(self, text: str, role: str) -> None:
        set_role(self.words, "role", role)
        self.words.setText(text)
