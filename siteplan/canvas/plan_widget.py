"""The plan to work on: what is drawn can be selected, grabbed, dragged and nudged.

The widget shows a document and asks for changes by signals; it keeps no document of its own.  The Yard list says the
same to those who do not see it.
"""

from collections.abc import Mapping
from math import hypot
from typing import Final, NamedTuple

from PySide6.QtCore import QEvent, QMetaObject, QPointF, Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QWidget

from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.dragging import Handle, swing_angle, whole_handle
from siteplan.canvas.drags import UNIT_STEPS_MM, Drag
from siteplan.canvas.overlay import paint_pointer_words, paint_snap_cross
from siteplan.canvas.painting import ratio_of
from siteplan.canvas.plan_paper import ARROWS, PlanPaper
from siteplan.geometry.points import Point, distance_between
from siteplan.model.document import Document

# Pixels at a text size of 100 %.
REACH: Final = 6.0
HANDLE_REACH: Final = 8.0
SNAP_REACH: Final = 8.0
DRAG_STARTS: Final = 4.0

MANY: Final = 10.0  # unit steps of an arrow with Shift
FEW: Final = 0.1  # and with Alt
NO_PLACE: Final = "This has no place of its own: move the post it hangs on, or type its numbers."


class _Swing(NamedTuple):
    """A leaf being swung by the pointer."""

    leaf: str
    grip: Point
    angle_rad: float


class PlanWidget(PlanPaper):
    """The plan of one document, and what the mouse and the keys do to it."""

    picked = Signal(str)  # id of a record, or empty
    edited = Signal(str, object, object)  # what it is called, the document, one token for one drag or held key
    drag_left = Signal(object)  # token of a drag that was given up
    swung = Signal(str, float)  # leaf, angle
    refused = Signal(str)  # why a key did nothing

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._angles: dict[str, float] = {}
        self._pressed_at: QPointF | None = None
        self._drag: Drag | None = None
        self._swing: _Swing | None = None
        self._dragging = False  # the pointer has gone far enough to mean it
        self._held: Drag | None = None  # an arrow key being held
        self._pointer = QPointF()
        self._alone = False  # Alt refuses snaps
        self._waiting = False  # a step of the drag is due in this turn of the event loop
        self.setMouseTracking(True)
        self.setAccessibleName("Plan")
        self.setAccessibleDescription("The site drawn to scale. The Yard list names everything on it.")

    def show_document(self, document: Document, angles: Mapping[str, float]) -> None:
        """Show a document with its leaves at given angles."""
        self._angles = dict(angles)
        super().show_document(document, angles)
        undone = self._drag is not None and self._dragging and document is not self._drag.state.document
        if undone or (self._swing is not None and self._swing.leaf not in angles):
            self._end_drag()  # somebody else changed the document: what is being dragged is no longer what it was

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

    def paint_over(self, painter: QPainter) -> None:
        """Paint what a drag measures and snaps to."""
        if self._drag is not None and self._dragging:
            state = self._drag.state
            if state.snap is not None:
                paint_snap_cross(painter, state.snap.at, self.frame, self.text_scale)
            paint_pointer_words(painter, self._pointer, state, self.frame, self.text_scale)

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
        self._drag = None if handle is None else Drag(self.document, handle, grip)

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
        if handle is not None:
            self.setCursor(Qt.CursorShape.SizeAllCursor)
        else:
            self.setCursor(Qt.CursorShape.PointingHandCursor if thing else Qt.CursorShape.ArrowCursor)

    def _arrow(self, direction: Point, modifiers: Qt.KeyboardModifier, repeats: bool) -> None:
        """Nudge what is selected."""
        selected = self.scene.selected
        handle = whole_handle(self.document, selected, (0.0, 0.0))
        if handle is None:
            self.refused.emit(NO_PLACE)
            return
        if self._held is None or not repeats or self._held.handle.id != selected:
            self._held = Drag(self.document, handle, (0.0, 0.0))
        step = UNIT_STEPS_MM[self.document.project.units] * _steps(modifiers)
        # each step starts from where the last one led, as the number of steps is not known before
        state = Drag(self.document, handle, (0.0, 0.0)).move((direction[0] * step, direction[1] * step), 0.0)
        self.edited.emit(self._held.label, state.document, self._held.token)

    # -- events

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab what is under the pointer, or the paper."""
        super().mousePressEvent(event)
        self._pointer = event.position()
        if self._pan_from is None and event.button() == Qt.MouseButton.LeftButton:
            self._press(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what was grabbed."""
        super().mouseMoveEvent(event)
        self._alone = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if self._pan_from is None and not self._space_held:
            self._move(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        super().mouseReleaseEvent(event)
        if event.button() == Qt.MouseButton.LeftButton and self._pressed_at is not None:
            self._step()
            self._end_drag()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave, or nudge what is selected."""
        arrow = ARROWS.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape and self.leave():
            return
        if event.key() == Qt.Key.Key_Escape and self.scene.selected:
            self.picked.emit("")
        elif arrow is not None and self.scene.selected:
            self._arrow(arrow, event.modifiers(), event.isAutoRepeat())
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End the step of a held arrow key."""
        super().keyReleaseEvent(event)
        if Qt.Key(event.key()) in ARROWS and not event.isAutoRepeat():
            self._held = None

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End the step of a held arrow key."""
        super().focusOutEvent(event)
        self._held = None

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
