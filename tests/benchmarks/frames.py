"""Frames of a drag in the whole window: analysis, findings, lists and paint, offscreen at 1600 x 1000."""

import time
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from siteplan.analysis.leaf_places import leaf_places
from siteplan.model.document import Document
from siteplan.windows.main_window import MainWindow
from siteplan.windows.start import open_window

SIZE = (1600, 1000)
FRAMES = 120
STEP_PIXELS = 1


@contextmanager
def shown_window(document: Document) -> Iterator[MainWindow]:
    """A window with a document, closed afterwards."""
    window = open_window(None, lambda *_: ())
    window.resize(*SIZE)
    window.desk.take_over(document, None, is_saved=True)
    window.show()
    QApplication.processEvents()
    yield window
    window.desk.history.mark_saved()
    window.close()
    QApplication.processEvents()


def drag_frames(document: Document, leaf: str) -> list[float]:
    """Return the processor seconds of each frame of a drag of a leaf's tip, to and fro."""
    with shown_window(document) as window:
        plan = window.plan
        place = leaf_places(document)[leaf]
        window.desk.select(leaf)
        QApplication.processEvents()
        x, y = plan.frame.to_pixels(place.place(place.leaf.length_mm, 0.0, 0.0))
        start = QPoint(round(x), round(y))
        QTest.mousePress(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
        times = []
        for number in range(FRAMES):
            begin = time.process_time()
            _move(plan, start + QPoint((8 + number % 40) * STEP_PIXELS, 0))
            QApplication.processEvents()
            times.append(time.process_time() - begin)
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
        assert window.desk.document is not document, "the drag moved nothing: no frame was measured"
    return times


def _move(widget: QWidget, at: QPoint) -> None:
    none, left = Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton
    place = QPointF(at)
    event = QMouseEvent(
        QEvent.Type.MouseMove, place, widget.mapToGlobal(place), none, left, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(widget, event)
