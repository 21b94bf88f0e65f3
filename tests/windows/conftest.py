"""An offscreen window with a demo site in it."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.windows.main_window import MainWindow
from tests.windows.opened import opened_window, put_away


@pytest.fixture
def window(qtbot: QtBot, qapp: QApplication) -> Iterator[MainWindow]:
    """Return a window with the courtyard pair, saved and shown."""
    del qapp
    shown = opened_window(qtbot, "courtyard-pair")
    yield shown
    put_away(shown)
