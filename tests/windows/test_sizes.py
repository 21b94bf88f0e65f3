"""Nothing is cut off, at the sizes and text sizes that must be usable."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit, QScrollArea, QTabBar, QWidget
from pytestqt.qtbot import QtBot

from siteplan.windows.main_window import MainWindow
from siteplan.windows.row_editor import RowEditor
from tests.windows.opened import FULL_HD, SMALL, opened_window, settle

WHOLE_WINDOWS = [
    pytest.param((size, percent, stage), id=f"{size[0]}-{percent}-{stage}")
    for size in (SMALL, FULL_HD)
    for percent in (100, 200)
    for stage in ("Lay out", "Swing", "Sheets")
]


@pytest.fixture
def shown(qtbot: QtBot, request: pytest.FixtureRequest) -> MainWindow:
    """Return a window with a selected leaf and a finding, at one size, text size and stage."""
    size, percent, stage = request.param
    window = opened_window(qtbot, "hill-drive", size, percent)
    window.show_stage(stage)
    window.troubles.setCurrentIndex(window.troubles.items.index(0))
    settle()
    return window


each_size: pytest.MarkDecorator = pytest.mark.parametrize("shown", WHOLE_WINDOWS, indirect=True)


def visible(window: MainWindow, kind: type[QWidget]) -> Iterator[QWidget]:
    return (each for each in window.findChildren(kind) if each.isVisible() and each.width() > 0)


def cut_off(window: MainWindow) -> Iterator[str]:
    for label in visible(window, QLabel):
        assert isinstance(label, QLabel)
        if label.text() and not fits(label):
            yield label.text()
    for button in visible(window, QAbstractButton):
        if button.sizeHint().width() > button.width() or button.sizeHint().height() > button.height() + 1:
            yield str(button.property("text"))


def fits(label: QLabel) -> bool:
    if label.wordWrap():
        metrics = label.fontMetrics()
        longest = max(metrics.horizontalAdvance(word) for word in label.text().split())
        return label.heightForWidth(label.width()) <= label.height() + 1 and longest <= label.width()
    return label.sizeHint().width() <= label.width() and label.sizeHint().height() <= label.height() + 1


@each_size
def test_no_text_is_cut_off(shown: MainWindow) -> None:
    assert list(cut_off(shown)) == []


@each_size
def test_no_tab_is_cut_off(shown: MainWindow) -> None:
    bars = [bar for bar in visible(shown, QTabBar) if isinstance(bar, QTabBar)]

    assert [bar.tabText(0) for bar in bars if bar.sizeHint().width() > bar.width()] == []


@each_size
def test_no_card_scrolls_sideways(shown: MainWindow) -> None:
    areas = [area for area in visible(shown, QScrollArea) if isinstance(area, QScrollArea)]

    wide = [area for area in areas if (inner := area.widget()) and inner.width() > area.viewport().width()]
    assert wide == []


@each_size
def test_rail_plan_answers_and_stamp_stay_in_view(shown: MainWindow) -> None:
    parts = (shown.rail, shown.plan, shown.column.cards[0], shown.stamp)

    outside = [
        part
        for part in parts
        if not shown.rect().contains(part.rect().translated(part.mapTo(shown, part.rect().topLeft())))
    ]
    assert outside == []


@each_size
def test_plan_keeps_room_to_work_in(shown: MainWindow) -> None:
    assert (shown.plan.width() >= 400, shown.plan.height() >= 180) == (True, True)


@each_size
def test_stamp_bar_has_all_its_fields(shown: MainWindow) -> None:
    assert [name for name, field in shown.stamp.fields.items() if not (field.isVisible() and field.text())] == []


@pytest.mark.parametrize("percent", [100, 200])
def test_value_fields_have_room_for_their_values(qtbot: QtBot, percent: int) -> None:
    window = opened_window(qtbot, "hill-drive", SMALL, percent)
    window.desk.select("A")
    settle()

    fields = [field for row in window.findChildren(RowEditor) if (field := row.field) and row.row.kind == "number"]
    assert [field.text() for field in fields if needed(field) > field.width()] == []


def needed(field: QLineEdit) -> int:
    return field.fontMetrics().horizontalAdvance(field.text()) + 8


@pytest.mark.parametrize("percent", [100, 200])
def test_unfolded_dial_is_whole_in_a_low_window(qtbot: QtBot, percent: int) -> None:
    window = opened_window(qtbot, "courtyard-pair", SMALL, percent)
    window.show_stage("Swing")
    if window.lower_card.is_folded:
        window.fold_lower_card()
    settle()

    squeezed = [leaf for leaf, row in window.dial.rows.items() if row.slider.height() < row.slider.sizeHint().height()]
    assert (squeezed, list(cut_off(window))) == ([], [])


def test_low_window_gives_its_room_to_the_plan(qtbot: QtBot) -> None:
    window = opened_window(qtbot, "courtyard-pair", SMALL, 200)

    assert (window.strip.isVisible(), window.lower_card.is_folded) == (False, True)
