"""The plan: ink on white paper, to be looked at, grabbed, dragged and moved about.

The widget shows a document and asks for changes by signals; it keeps no document of its own.  The Yard list says the
same to those who do not see it.
"""

from collections.abc import Mapping
from math import hypot
from typing import Final, NamedTuple

from PySide6.QtCore import QEvent, QMetaObject, QPointF, QRectF, QSize, Qt, Signal, Slot
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

from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.drag_session import UNIT_STEPS_MM, DragSession
from siteplan.canvas.dragging import Handle, swing_angle, whole_handle
from siteplan.canvas.extents import gate_places, plan_places
from siteplan.canvas.overlay import paint_pointer_words, paint_snap_cross
from siteplan.canvas.painting import ratio_of
from siteplan.canvas.palette import LIGHT
from siteplan.canvas.plan_frame import Margins, PlanFrame
from siteplan.canvas.plan_scene import PlanScene
from siteplan.geometry.points import Point, distance_between
from siteplan.model.document import Document
from siteplan.rules.findings import Finding

TEXT_PIXELS: Final = 13  # of the program at a text size of 100 %
# Pixels at a text size of 100 %.
REACH: Final = 6.0
HANDLE_REACH: Final = 8.0
SNAP_REACH: Final = 8.0
DRAG_STARTS: Final = 4.0
KEY_PAN: Final = 60.0
RADIUS: Final = 8.0
FOCUS_LINE: Final = 2.0
GATE_MARGINS: Final = Margins(70.0, 60.0, 70.0, 150.0)  # three rows of dimensions stand under a gate
PLAN_MARGINS: Final = Margins(50.0, 50.0, 50.0, 70.0)

KEY_ZOOM: Final = 1.25
WHEEL_BASE: Final = 1.0015  # of the zoom, for one eighth of a degree of the wheel
MANY: Final = 10.0  # unit steps of an arrow with Shift
FEW: Final = 0.1  # and with Alt
ARROWS: Final = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}
KEY_REASONS: Final = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)
PLUS_KEYS: Final = (Qt.Key.Key_Plus, Qt.Key.Key_Equal)


class _Swing(NamedTuple):
    """A leaf being swung by the pointer."""

    leaf: str
    grip: Point
    angle_rad: float


class PlanWidget(QWidget):
    """The plan of one document."""

    picked = Signal(str)  # id of a record, or empty
    edited = Signal(str, object, object)  # what it is called, the document, one token for one drag or held key
    drag_left = Signal(object)  # token of a drag that was given up
    swung = Signal(str, float)  # leaf, angle
    refused = Signal(str)  # why a key did nothing

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene = PlanScene()
        self.frame = PlanFrame()
        self.paints = 0  # paint events so far
        self._angles: dict[str, float] = {}
        self._pressed_at: QPointF | None = None
        self._drag: DragSession | None = None
        self._dragging = False  # the pointer has gone far enough to mean it
        self._swing: _Swing | None = None
        self._pan_from: QPointF | None = None
        self._space_held = False
        self._held: DragSession | None = None  # an arrow key being held
        self._pointer = QPointF()
        self._alone = False  # Alt refuses snaps
        self._waiting = False  # a step of the drag is due in this turn of the event loop
        self._fit_due = True
        self._ringed = False
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName("Plan")
        self.setAccessibleDescription("The site drawn to scale. The Yard list names everything on it.")

    # -- what is shown

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
        self._angles = dict(angles)
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
        self._look(frame)

    def fit_plan(self) -> None:
        """Show everything as large as fits."""
        self._look(self.frame.fitted(plan_places(self.document), PLAN_MARGINS.scaled(self.text_scale)))

    def fit_when_shown(self) -> None:
        """Fit the gate as soon as the size of the window is known."""
        self._fit_due = True
        if self.isVisible():
            self._fit_if_due()

    def zoom(self, factor: float) -> None:
        """Enlarge about the middle."""
        self._look(self.frame.zoomed(factor, (self.width() / 2, self.height() / 2)))

    def leave(self) -> bool:
        """Give up the drag under way, or return False when there is none."""
        if self._drag is None and self._swing is None:
            return False
        if self._swing is not None:
            self.swung.emit(self._swing.leaf, self._swing.angle_rad)
        elif self._drag is not None and self._dragging:
            self.drag_left.emit(self._drag.token)
        self._end_drag()
        return True

    # -- gestures

    def _look(self, frame: PlanFrame) -> None:
        self.frame = frame
        self.update()

    def _place(self, pixel: QPointF) -> Point:
        return self.frame.to_model((pixel.x(), pixel.y()))

    def _reach_mm(self, pixels: float) -> float:
        return pixels * self.text_scale / self.frame.scale

    def _handle_at(self, pixel: QPointF) -> Handle | None:
        reach, place = self._reach_mm(HANDLE_REACH), self._place(pixel)
        shown = self.scene.handles_in(self.frame, self.text_scale)
        nearest = min(shown, key=lambda handle: distance_between(handle.at, place), default=None)
        return nearest if nearest is not None and distance_between(nearest.at, place) <= reach else None

    def _thing_at(self, pixel: QPointF) -> str:
        ratio = ratio_of(self.frame, self.text_scale)
        return self.scene.thing_at(self._place(pixel), self._reach_mm(REACH), ratio)

    def _press(self, pixel: QPointF) -> None:
        """Take hold of a handle or a thing under the pointer."""
        handle = self._handle_at(pixel)
        thing = handle.id if handle is not None else self._thing_at(pixel)
        if thing != self.scene.selected:
            self.picked.emit(thing)
        grip = self._place(pixel)
        self._pressed_at, self._dragging = pixel, False
        if handle is None and thing in leaf_places(self.document):
            self._swing = _Swing(thing, grip, self._angles.get(thing, 0.0))
            return
        handle = handle or whole_handle(self.document, thing, grip)
        self._drag = None if handle is None else DragSession(self.document, handle, grip)

    def _move(self, pixel: QPointF) -> None:
        """Follow the pointer; a drag takes its next step once in this turn of the event loop."""
        self._pointer = pixel
        if self._pressed_at is None or (self._drag is None and self._swing is None):
            self._hover(pixel)
            return
        gone = pixel - self._pressed_at
        if not self._dragging and hypot(gone.x(), gone.y()) >= DRAG_STARTS * self.text_scale:
            self._dragging = True
            self.scene.hovered = ""
            self.scene.begin_drag()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        if self._dragging and not self._waiting:
            self._waiting = True
            QMetaObject.invokeMethod(self, "_step", Qt.ConnectionType.QueuedConnection)

    @Slot()
    def _step(self) -> None:
        """Take the drag to where the pointer is now."""
        if not self._waiting:
            return
        self._waiting = False
        to = self._place(self._pointer)
        if self._swing is not None:
            place = leaf_places(self.document)[self._swing.leaf]
            self.swung.emit(self._swing.leaf, swing_angle(place, self._swing.grip, to, self._swing.angle_rad))
        elif self._drag is not None:
            reach = 0.0 if self._alone else self._reach_mm(SNAP_REACH)
            state = self._drag.move(to, reach)
            self.edited.emit(self._drag.label, state.document, self._drag.token)
        self.update()

    def _end_drag(self) -> None:
        self._drag = self._swing = self._pressed_at = None
        self._dragging = self._waiting = False
        self.scene.end_drag()
        self._hover(self._pointer)
        self.update()

    def _hover(self, pixel: QPointF) -> None:
        handle = self._handle_at(pixel)
        thing = handle.id if handle is not None else self._thing_at(pixel)
        if thing != self.scene.hovered:
            self.scene.hovered = thing
            self.update()
        if self._space_held:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif handle is not None:
            self.setCursor(Qt.CursorShape.SizeAllCursor)
        else:
            self.setCursor(Qt.CursorShape.PointingHandCursor if thing else Qt.CursorShape.ArrowCursor)

    def _arrow(self, direction: Point, modifiers: Qt.KeyboardModifier, repeats: bool) -> None:
        """Nudge what is selected, or move the paper when nothing is."""
        selected = self.scene.selected
        if not selected:
            step = KEY_PAN * self.text_scale
            self._look(self.frame.panned(-direction[0] * step, direction[1] * step))
            return
        handle = whole_handle(self.document, selected, (0.0, 0.0))
        if handle is None:
            self.refused.emit("This has no place of its own: move the post it hangs on, or type its numbers.")
            return
        if self._held is None or not repeats or self._held.handle.id != selected:
            self._held = DragSession(self.document, handle, (0.0, 0.0))
        step = UNIT_STEPS_MM[self.document.project.units] * _steps(modifiers)
        # each step starts from where the last one led, as the number of steps is not known before
        state = DragSession(self.document, handle, (0.0, 0.0)).move((direction[0] * step, direction[1] * step), 0.0)
        self.edited.emit(self._held.label, state.document, self._held.token)

    def _fit_if_due(self) -> None:
        if self._fit_due and self.width() > 1 and self.height() > 1:
            self._fit_due = False
            self.frame = self.frame.resized(self.width(), self.height())
            self.fit_gate()

    # -- events

    def sizeHint(self) -> QSize:
        """Return a size at which a gate can be read."""
        return QSize(640, 420)

    def minimumSizeHint(self) -> QSize:
        """Return the least size at which anything can be read."""
        return QSize(240, 160)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the plan on its paper."""
        del event
        self.paints += 1
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(LIGHT.paper))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self.scene.paint(painter, self.frame, self.text_scale, self.devicePixelRatioF())
            if self._drag is not None and self._dragging:
                state = self._drag.state
                if state.snap is not None:
                    paint_snap_cross(painter, state.snap.at, self.frame, self.text_scale)
                paint_pointer_words(painter, self._pointer, state, self.frame, self.text_scale)
            self._paint_border(painter)

    def _paint_border(self, painter: QPainter) -> None:
        radius, box = RADIUS, QRectF(self.rect())
        card = QPainterPath()
        card.addRoundedRect(box.adjusted(1 / 2, 1 / 2, -1 / 2, -1 / 2), radius, radius)
        corners = QPainterPath()
        corners.addRect(box)
        painter.fillPath(corners.subtracted(card), QColor(LIGHT.desk))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(LIGHT.accent), FOCUS_LINE) if self._ringed else QPen(QColor(LIGHT.rule), 1.0))
        painter.drawPath(card)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle of the plan in the middle."""
        self.frame = self.frame.resized(event.size().width(), event.size().height())
        self._fit_if_due()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab what is under the pointer, or the paper."""
        pixel = event.position()
        self._pointer = pixel
        if event.button() == Qt.MouseButton.MiddleButton or (
            self._space_held and event.button() == Qt.MouseButton.LeftButton
        ):
            self._pan_from = pixel
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif event.button() == Qt.MouseButton.LeftButton:
            self._press(pixel)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what was grabbed."""
        pixel = event.position()
        self._alone = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if self._pan_from is not None:
            gone = pixel - self._pan_from
            self._pan_from = pixel
            self._look(self.frame.panned(gone.x(), gone.y()))
        else:
            self._move(pixel)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if self._pan_from is not None and event.button() != Qt.MouseButton.RightButton:
            self._pan_from = None
            self._hover(event.position())
        elif event.button() == Qt.MouseButton.LeftButton and self._pressed_at is not None:
            self._step()
            self._end_drag()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom at the pointer with the wheel, move the paper with two fingers."""
        fingers = event.pixelDelta()
        if not fingers.isNull() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._look(self.frame.panned(fingers.x(), fingers.y()))
            return
        turned = event.angleDelta().y() or event.angleDelta().x()
        pixel = event.position()
        self._look(self.frame.zoomed(WHEEL_BASE**turned, (pixel.x(), pixel.y())))

    def event(self, event: QEvent) -> bool:
        """Zoom with a pinch of two fingers."""
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
            pixel = event.position()
            self._look(self.frame.zoomed(1 + event.value(), (pixel.x(), pixel.y())))
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave, nudge, zoom, take hold of the paper."""
        key = event.key()
        if key == Qt.Key.Key_Escape and self.leave():
            return
        if key == Qt.Key.Key_Escape and self.scene.selected:
            self.picked.emit("")
        elif key == Qt.Key.Key_Space:
            self._space_held = True
            self._hover(self._pointer)
        elif (arrow := ARROWS.get(Qt.Key(key))) is not None:
            self._arrow(arrow, event.modifiers(), event.isAutoRepeat())
        elif key in PLUS_KEYS or key == Qt.Key.Key_Minus:
            self.zoom(1 / KEY_ZOOM if key == Qt.Key.Key_Minus else KEY_ZOOM)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the paper; a held arrow key ends its step."""
        if event.isAutoRepeat():
            return
        if event.key() == Qt.Key.Key_Space:
            self._space_held = False
            self._hover(self._pointer)
        elif Qt.Key(event.key()) in ARROWS:
            self._held = None
        else:
            super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus to those who came by key."""
        self._ringed = event.reason() in KEY_REASONS
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the focus."""
        del event
        self._ringed = self._space_held = False
        self._held = None
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing."""
        del event
        if self.scene.hovered and not self._dragging:
            self.scene.hovered = ""
            self.update()


def _steps(modifiers: Qt.KeyboardModifier) -> float:
    if modifiers & Qt.KeyboardModifier.ShiftModifier:
        return MANY
    return FEW if modifiers & Qt.KeyboardModifier.AltModifier else 1.0
