"""Dragging a thing on the plan: the trouble list follows, and one undo gives back the very document."""

import pytest
from pytestqt.qtbot import QtBot

from siteplan.geometry.points import Point
from siteplan.windows.main_window import MainWindow
from tests.windows.opened import drag, opened_window

INCH = 25.4
KEYPAD, FREE_KEYPAD = (-30 * INCH, -60 * INCH), (-30 * INCH, -80 * INCH)
CABINET, FREE_CABINET = (271.5 * INCH, 108 * INCH), (285 * INCH, 108 * INCH)  # its middle


def troubles_shown(window: MainWindow) -> list[str]:
    return [item.headline for item in window.troubles.items.items]


@pytest.fixture
def lane(qtbot: QtBot) -> MainWindow:
    return opened_window(qtbot, "fire-lane-townhouses")


@pytest.mark.parametrize(
    ("start", "end", "trouble"),
    [(KEYPAD, FREE_KEYPAD, "Keypad K is 5'-6"), (CABINET, FREE_CABINET, "Open leaf B is 14.0 in from cabinet U")],
)
def test_thing_dragged_out_of_the_way_takes_its_trouble_along(
    lane: MainWindow, start: Point, end: Point, trouble: str
) -> None:
    before = lane.desk.document
    assert any(trouble in headline for headline in troubles_shown(lane))

    drag(lane, start, end)

    assert not any(trouble in headline for headline in troubles_shown(lane))
    lane.desk.undo()
    assert lane.desk.document is before
    assert any(trouble in headline for headline in troubles_shown(lane))
