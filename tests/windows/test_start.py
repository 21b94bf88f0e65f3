from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, QTimer
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.model.project import Severity
from siteplan.rules.findings import SEVERITIES
from siteplan.windows.commands import STAGES
from siteplan.windows.icons import paint_severity, paint_stage_icon
from siteplan.windows.start import fault_teller, open_window, run_window
from siteplan.windows.style import TEXT_PERCENTS, dress, percent_for, style_sheet
from tests.demo import path_of
from tests.windows.opened import put_away, writes_nothing


def test_window_runs_until_it_is_closed(qapp: QApplication) -> None:
    QTimer.singleShot(50, qapp.closeAllWindows)

    assert run_window(path_of("hill-drive"), writes_nothing) == 0


def test_window_opens_a_file(qtbot: QtBot) -> None:
    window = open_window(path_of("hill-drive"), writes_nothing)
    qtbot.addWidget(window, before_close_func=put_away)

    assert window.desk.document.project.title == "Hill drive"


def test_window_without_a_file_holds_an_empty_job(qtbot: QtBot) -> None:
    window = open_window(None, writes_nothing)
    qtbot.addWidget(window, before_close_func=put_away)

    assert (window.desk.path, window.desk.history.is_changed) == (None, False)


def test_window_with_a_file_it_cannot_open_says_why(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(tmp_path / "nowhere.json", writes_nothing)
    qtbot.addWidget(window, before_close_func=put_away)

    assert "nowhere.json" in window.notices.words.text()


def test_gate_fills_the_first_view(qtbot: QtBot) -> None:
    window = open_window(path_of("hill-drive"), writes_nothing)
    qtbot.addWidget(window, before_close_func=put_away)
    window.show()
    QApplication.processEvents()

    left, _ = window.plan.frame.to_pixels((0.0, 0.0))
    right, _ = window.plan.frame.to_pixels((14.25 * 304.8, 0.0))
    assert (left > 0, right < window.plan.width(), right - left > window.plan.width() / 5) == (True, True, True)


@pytest.mark.parametrize(("pixels", "percent"), [(9, 100), (12, 100), (13, 100), (16, 125), (26, 200), (60, 200)])
def test_text_size_follows_that_of_the_system(qapp: QApplication, pixels: int, percent: int) -> None:
    dress(qapp)
    font = QFont(qapp.font())
    font.setPixelSize(pixels)

    assert percent_for(font) == percent


@pytest.mark.parametrize("percent", TEXT_PERCENTS)
def test_stylesheet_has_no_open_place(percent: int) -> None:
    assert "$" not in style_sheet(percent)


def icon(paint: object, what: str) -> QImage:
    image = QImage(20, 20, QImage.Format.Format_ARGB32)
    image.fill(0)
    with QPainter(image) as painter:
        if paint is paint_severity:
            paint_severity(painter, severity_of(what), QPointF(0, 0), 1.0)
        else:
            paint_stage_icon(painter, what, QPointF(0, 0), 1.0, "#000000")
    return image.convertToFormat(QImage.Format.Format_Alpha8)


def severity_of(word: str) -> Severity:
    return next(severity for severity in SEVERITIES if severity == word)


def test_severities_differ_by_shape_alone(qapp: QApplication) -> None:
    dress(qapp)
    outlines = [icon(paint_severity, severity) for severity in SEVERITIES]

    assert all(first != second for number, first in enumerate(outlines) for second in outlines[:number])


def test_stages_have_icons_of_their_own(qapp: QApplication) -> None:
    dress(qapp)
    icons = [icon(paint_stage_icon, stage) for stage in STAGES]

    assert all(first != second for number, first in enumerate(icons) for second in icons[:number])


def test_fault_of_the_program_is_told_in_the_window(qtbot: QtBot) -> None:
    window = open_window(None, writes_nothing)
    qtbot.addWidget(window, before_close_func=put_away)
    seen: list[BaseException] = []

    fault_teller(window, lambda kind, fault, trace: seen.append(fault))(KeyError, KeyError("gap"), None)

    assert ("KeyError" in window.notices.words.text(), len(seen)) == (True, 1)
