"""An offscreen window with a demo site in it."""

import pytest
from pytestqt.qtbot import QtBot

from siteplan.windows.main_window import MainWindow
from tests.windows.opened import opened_window


@pytest.fixture
def window(qtbot: QtBot) -> MainWindow:
    """Return a window with the courtyard pair, saved and shown."""
    return opened_window(qtbot, "courtyard-pair")
