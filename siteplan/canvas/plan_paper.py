"""The plan to look at: ink on white paper, to be moved about and enlarged."""

from collections.abc import Callable, Mapping
from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontInfo,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from siteplan.canvas.extents import gate_places, plan_places
from siteplan.canvas.palette import LIGHT
from siteplan.canvas.plan_frame import Margins, PlanFrame
from siteplan.canvas.plan_scene import PlanScene
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.rules.findings import Finding

TEXT_PIXELS: Final = 13  # of the program at a text size of 100 %
# Pixels at a text size of 100 %.
KEY_PAN: Final = 60.0
RADIUS: Final = 8.0
FOCUS_LINE: Final = 2.0
LEAST_SIZE: Final = (240, 160)
GATE_MARGINS: Final = Margins(70.0, 60.0, 70.0, 150.0)  # three rows of dimensions stand under a gate
PLAN_MARGINS: Final = Margins(50.0, 50.0, 50.0, 70.0)

KEY_ZOOM: Final = 1.25
WHEEL_BASE: Final = 1.0015  # of the zoom, for one eighth of a degree of the wheel
ARROWS: Final = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}
PLUS_KEYS: Final = (Qt.Key.Key_Plus, Qt.Key.Key_Equal)
KEY_REASONS: Final = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


class PlanPaper(QWidget):
    """The plan of one document, with the paper moved by middle button, space bar, two fingers and arrow keys."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene = PlanScene()
        self.frame = PlanFrame()
        self.paints = 0  # paint events so far
        self._pan_from: QPointF | None = None
        self._space_held = False
        self._fit: Callable[[], None] | None = self.fit_gate  # what the view is fitted to; None: moved by hand
        self._ringed = False
        self.setMinimumSize(*LEAST_SIZE)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    @property
    def document(self) -> Document:
        """The document that is shown."""
        return self.scene.document

    @property
    def text_scale(self) -> float:
        """The text size of the window, 1 at 100 %."""
        return QFontInfo(self.font()).pixelSize() / TEXT_PIXELS

    @property
    def middle(self) -> Point:
        """The place of the model in the middle of the window."""
        return self.frame.centre

    def show_document(self, document: Document, angles: Mapping[str, float]) -> None:
        """Show a document with its leaves at given angles."""
        self.scene.show(document, angles)
        self.update()

    def select(self, id: str) -> None:
        """Show a record as selected; an empty id shows none."""
        self.scene.select(id)
        self.update()

    def show_finding(self, finding: Finding | None) -> None:
        """Show where a finding was measured."""
        self.scene.show_finding(finding)
        self.update()

    def fit_gate(self) -> None:
        """Show the gate as large as fits, or everything while there is no gate."""
        places = gate_places(self.document) or plan_places(self.document)
        frame = self.frame.fitted(places, GATE_MARGINS.scaled(self.text_scale))
        if self.scene.is_crowded(frame, self.text_scale):  # without its names and rows of dimensions it needs less
            frame = self.frame.fitted(places, PLAN_MARGINS.scaled(self.text_scale))
        self.look(frame, self.fit_gate)

    def fit_plan(self) -> None:
        """Show everything as large as fits."""
        frame = self.frame.fitted(plan_places(self.document), PLAN_MARGINS.scaled(self.text_scale))
        self.look(frame, self.fit_plan)

    def fit_when_shown(self) -> None:
        """Fit the gate as soon as the size of the window is known."""
        self._fit = self.fit_gate
        if self.isVisible():
            self._fit_again()

    def zoom(self, factor: float) -> None:
        """Enlarge about the middle."""
        self.look(self.frame.zoomed(factor, (self.width() / 2, self.height() / 2)))

    def look(self, frame: PlanFrame, fit: Callable[[], None] | None = None) -> None:
        """Show another part of the plan, or at another size; it is kept, or fitted again whenever its room changes."""
        self._fit = fit
        self.frame = frame
        self.update()

    def move_paper(self, direction: Point) -> None:
        """Move the view one step in a direction of the plan."""
        step = KEY_PAN * self.text_scale
        self.look(self.frame.panned(-direction[0] * step, direction[1] * step))

    def paint_over(self, painter: QPainter) -> None:
        """Paint what lies over the plan; here nothing."""

    def _fit_again(self) -> None:
        """Fit the view to the room there is now, unless somebody has moved it by hand."""
        if self._fit is not None and self.width() > 1 and self.height() > 1:
            self.frame = self.frame.resized(self.width(), self.height())
            self._fit()

    def _paint_border(self, painter: QPainter) -> None:
        box = QRectF(self.rect())
        card, corners = QPainterPath(), QPainterPath()
        card.addRoundedRect(box.adjusted(1 / 2, 1 / 2, -1 / 2, -1 / 2), RADIUS, RADIUS)
        corners.addRect(box)
        painter.fillPath(corners.subtracted(card), QColor(LIGHT.desk))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(LIGHT.accent), FOCUS_LINE) if self._ringed else QPen(QColor(LIGHT.rule), 1.0))
        painter.drawPath(card)

    # -- events

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the plan on its paper."""
        del event
        self.paints += 1
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(LIGHT.paper))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self.scene.paint(painter, self.frame, self.text_scale, self.devicePixelRatioF())
            self.paint_over(painter)
            self._paint_border(painter)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the plan to its new room, or keep its middle in the middle where somebody has moved it."""
        self.frame = self.frame.resized(event.size().width(), event.size().height())
        self._fit_again()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab the paper with the middle button, or with the space bar held."""
        with_space = self._space_held and event.button() == Qt.MouseButton.LeftButton
        if with_space or event.button() == Qt.MouseButton.MiddleButton:
            self._pan_from = event.position()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the paper along."""
        if self._pan_from is not None:
            gone = event.position() - self._pan_from
            self._pan_from = event.position()
            self.look(self.frame.panned(gone.x(), gone.y()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the paper go."""
        if event.button() != Qt.MouseButton.RightButton:
            self._pan_from = None
            self.unsetCursor()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom at the pointer with the wheel, move the paper with two fingers."""
        fingers = event.pixelDelta()
        if not fingers.isNull() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.look(self.frame.panned(fingers.x(), fingers.y()))
            return
        turned = event.angleDelta().y() or event.angleDelta().x()
        pixel = event.position()
        self.look(self.frame.zoomed(WHEEL_BASE**turned, (pixel.x(), pixel.y())))

    def event(self, event: QEvent) -> bool:
        """Zoom with a pinch of two fingers."""
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
            pixel = event.position()
            self.look(self.frame.zoomed(1 + event.value(), (pixel.x(), pixel.y())))
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom, move the paper, take hold of it."""
        key = event.key()
        arrow = ARROWS.get(Qt.Key(key))
        if key == Qt.Key.Key_Space:
            self._space_held = True
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif arrow is not None:
            self.move_paper(arrow)
        elif key in PLUS_KEYS or key == Qt.Key.Key_Minus:
            self.zoom(1 / KEY_ZOOM if key == Qt.Key.Key_Minus else KEY_ZOOM)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the paper."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space_held = False
            self.unsetCursor()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus to those who came by key."""
        self._ringed = event.reason() in KEY_REASONS
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the focus."""
        del event
        self._ringed = self._space_held = False
        self.update()
