"""A plan on an offscreen window, with the courtyard pair on it."""

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.windows.style import dress
from tests.canvas.bench import Bench
from tests.demo import demo_site


@pytest.fixture
def bench(qtbot: QtBot, qapp: QApplication) -> Bench:
    """Return a plan of the courtyard pair, ready to be grabbed."""
    dress(qapp)
    return Bench(qtbot, demo_site("courtyard-pair"))
