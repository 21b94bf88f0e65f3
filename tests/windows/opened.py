"""Windows for tests: a demo site in an offscreen window, and putting it away again."""

from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.windows.background import Tell
from siteplan.windows.main_window import MainWindow
from siteplan.windows.start import open_window
from tests.demo import path_of

LEFT = Qt.MouseButton.LeftButton
NO_KEY = Qt.KeyboardModifier.NoModifier
FULL_HD = (1920, 1080)
SMALL = (1280, 720)


def writes_nothing(document: Document, folder: Path, kinds: tuple[str, ...], tell: Tell) -> tuple[Path, ...]:
    """Stand in for the export."""
    del document, folder, kinds, tell
    return ()


def opened_window(qtbot: QtBot, site: str = "", size: tuple[int, int] = SMALL, percent: int = 100) -> MainWindow:
    """Return a shown window with a demo site, or with an empty job."""
    window = open_window(path_of(site) if site else None, writes_nothing)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
    qtbot.addWidget(window, before_close_func=put_away)
    window.set_text_percent(percent)
    window.resize(*size)
    window.show()
    qtbot.waitExposed(window)
    settle()
    return window


def put_away(window: MainWindow) -> None:
    """Stop what runs beside a window, and let it close without asking."""
    window.tray.stop()
    window.desk.history.mark_saved()
    window.notices.leave()


def settle() -> None:
    """Let the window lay itself out."""
    for _ in range(3):
        QApplication.processEvents()


def pixel(window: MainWindow, place: Point) -> QPoint:
    """Return the pixel of the plan over a place of the model."""
    x, y = window.plan.frame.to_pixels(place)
    return QPoint(round(x), round(y))


def drag(window: MainWindow, start: Point, to: Point) -> None:
    """Drag on the plan of a window."""
    first, last = pixel(window, start), pixel(window, to)
    QTest.mousePress(window.plan, LEFT, NO_KEY, first)
    QTest.mouseMove(window.plan, (first + last) / 2)
    QTest.mouseMove(window.plan, last)
    QTest.mouseRelease(window.plan, LEFT, NO_KEY, last)
    settle()
