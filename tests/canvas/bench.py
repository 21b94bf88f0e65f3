"""A plan on an offscreen window, with the courtyard pair on it."""

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.canvas.plan_widget import PlanWidget
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.history import History

LEFT = Qt.MouseButton.LeftButton
NO_KEY = Qt.KeyboardModifier.NoModifier


class Bench:
    """A plan whose edits go into a history, as in the window."""

    def __init__(self, qtbot: QtBot, document: Document) -> None:
        self.plan = PlanWidget()
        qtbot.addWidget(self.plan)
        self.history = History(document)
        self.angles = dict.fromkeys((leaf.id for leaf in document.leaves), 0.0)
        self.refusals: list[str] = []
        self.plan.edited.connect(self._commit)
        self.plan.drag_left.connect(self._leave)
        self.plan.picked.connect(self.plan.select)
        self.plan.swung.connect(self._swing)
        self.plan.refused.connect(self.refusals.append)
        self.plan.resize(900, 700)
        self._show()
        self.plan.fit_when_shown()
        self.plan.show()
        qtbot.waitExposed(self.plan)
        self.plan.setFocus()

    @property
    def document(self) -> Document:
        """The document as it is now."""
        return self.history.present

    def pixel(self, place: Point) -> QPoint:
        """Return the pixel over a place of the model."""
        x, y = self.plan.frame.to_pixels(place)
        return QPoint(round(x), round(y))

    def look_at(self, place: Point, scale: float) -> None:
        """Put a place in the middle, at pixels per mm."""
        self.plan.frame = self.plan.frame._replace(centre=place, scale=scale)

    def press(self, pixel: QPoint) -> None:
        """Press the left button."""
        QTest.mousePress(self.plan, LEFT, NO_KEY, pixel)

    def move(self, pixel: QPoint, modifiers: Qt.KeyboardModifier = NO_KEY) -> None:
        """Move the pointer with the left button held, and let the plan follow."""
        self.move_only(pixel, modifiers)
        QApplication.processEvents()

    def move_only(self, pixel: QPoint, modifiers: Qt.KeyboardModifier = NO_KEY) -> None:
        """Move the pointer, and do not let the plan follow yet."""
        send_move(self.plan, pixel, LEFT, modifiers)

    def release(self, pixel: QPoint) -> None:
        """Let the button go."""
        QTest.mouseRelease(self.plan, LEFT, NO_KEY, pixel)

    def drag(self, start: Point, to: Point, modifiers: Qt.KeyboardModifier = NO_KEY) -> None:
        """Drag from one place of the model to another."""
        first, last = self.pixel(start), self.pixel(to)
        self.press(first)
        self.move((first + last) / 2, modifiers)
        self.move(last, modifiers)
        self.release(last)

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NO_KEY) -> None:
        """Strike a key."""
        QTest.keyClick(self.plan, key, modifiers)

    def _commit(self, label: str, document: Document, token: object) -> None:
        self.history.commit(label, document, token)
        self._show()

    def _leave(self, token: object) -> None:
        self.history.revert_drag(token)
        self._show()

    def _swing(self, leaf: str, angle: float) -> None:
        self.angles[leaf] = angle
        self._show()

    def _show(self) -> None:
        self.plan.show_document(self.document, self.angles)


def send_move(
    plan: PlanWidget, pixel: QPoint, buttons: Qt.MouseButton, modifiers: Qt.KeyboardModifier = NO_KEY
) -> None:
    """Send a movement of the pointer to a plan."""
    at, none = QPointF(pixel), Qt.MouseButton.NoButton
    QApplication.sendEvent(plan, QMouseEvent(QEvent.Type.MouseMove, at, plan.mapToGlobal(at), none, buttons, modifiers))
