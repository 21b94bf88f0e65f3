from collections.abc import Callable
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import QThread
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from siteplan.errors import SheetError, WriteError
from siteplan.model.document import Document
from siteplan.model.edits import moved
from siteplan.windows.background import Tell, Work
from siteplan.windows.export_panel import NO_KIND, ExportPanel
from siteplan.windows.main_window import MainWindow
from siteplan.windows.sheet_preview import make_pictures
from tests.demo import demo_site
from tests.windows.opened import opened_window

WAIT_MS = 30_000


@pytest.fixture
def sheets(window: MainWindow, qtbot: QtBot) -> MainWindow:
    """Return a window with its sheets drawn."""
    window.show_stage("Sheets")
    qtbot.waitUntil(lambda: len(window.tray.thumbs) == 3, timeout=WAIT_MS)
    return window


class Export:
    """An export that waits until it is let go, and then tells how far it is."""

    def __init__(self) -> None:
        self.go = Event()
        self.calls: list[tuple[Path, tuple[str, ...]]] = []
        self.thread: QThread | None = None

    def __call__(self, document: Document, folder: Path, kinds: tuple[str, ...], tell: Tell) -> tuple[Path, ...]:
        self.thread = QThread.currentThread()
        self.calls.append((folder, kinds))
        self.go.wait(WAIT_MS / 1000)
        tell("Laying out sheet 1 of 3")
        return tuple(folder / f"{document.project.title}.{kind}" for kind in kinds)


@pytest.fixture
def export(window: MainWindow) -> Export:
    waiting = Export()
    window.tray.panel._write = waiting
    return waiting


def start(window: MainWindow) -> ExportPanel:
    window.show_stage("Sheets")
    window.tray.panel.export_button.click()
    return window.tray.panel


def test_every_sheet_has_a_small_picture(sheets: MainWindow) -> None:
    assert [thumb.text().split()[0] for thumb in sheets.tray.thumbs] == ["C-101", "C-102", "G-101"]


def test_clicked_sheet_is_shown_large_in_place_of_the_plan(sheets: MainWindow) -> None:
    sheets.tray.thumbs[1].click()

    assert sheets.middle.currentWidget() is sheets.sheet


def test_sheet_is_left_for_the_plan(sheets: MainWindow) -> None:
    sheets.tray.thumbs[1].click()

    sheets.sheet.back.click()

    assert (sheets.middle.currentWidget() is sheets.plan, sheets.tray.thumbs[1].isChecked()) == (True, False)


def test_another_stage_brings_the_plan_back(sheets: MainWindow) -> None:
    sheets.tray.thumbs[1].click()

    sheets.show_stage("Swing")

    assert sheets.middle.currentWidget() is sheets.plan


def test_pictures_follow_a_change(sheets: MainWindow, qtbot: QtBot) -> None:
    before = sheets.tray.pictures
    sheets.desk.commit("Move", moved(sheets.desk.document, ["PA"], -300.0, 0.0))

    qtbot.waitUntil(lambda: sheets.tray.pictures is not before, timeout=WAIT_MS)
    assert sheets.tray.pictures[1].image != before[1].image


def test_empty_job_says_why_there_are_no_sheets(qtbot: QtBot) -> None:
    window = opened_window(qtbot)

    window.show_stage("Sheets")

    qtbot.waitUntil(lambda: "nothing to draw" in window.tray.state.text(), timeout=WAIT_MS)


def test_pictures_are_made_in_any_thread() -> None:
    told: list[str] = []

    pictures = make_pictures(demo_site("hill-drive"), told.append)

    assert (len(pictures), pictures[0].image.isNull(), "Painting sheet C-101" in told) == (3, False, True)


def test_export_writes_beside_the_file_of_the_job(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    panel = start(window)
    export.go.set()
    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)

    assert export.calls == [(path_beside(window), ("pdf", "dxf", "png"))]


def path_beside(window: MainWindow) -> Path:
    assert window.desk.path is not None
    return window.desk.path.with_name("courtyard-pair-sheets")


def test_export_runs_beside_the_window(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    panel = start(window)
    export.go.set()
    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)

    assert export.thread is not QThread.currentThread()


def test_finished_export_says_what_was_written(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    panel = start(window)
    export.go.set()
    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)

    assert window.notices.words.text() == f"Wrote 3 files into {path_beside(window)}."


def test_export_under_way_can_be_left(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    panel = start(window)
    assert panel.leave_button.isVisible()

    panel.leave_button.click()
    export.go.set()

    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)
    assert not window.notices.isVisible()


def test_export_under_way_shows_a_bar(window: MainWindow, export: Export) -> None:
    panel = start(window)

    assert (panel.bar.isVisible(), panel.export_button.isEnabled()) == (True, False)
    export.go.set()


def test_failed_export_says_why(window: MainWindow, qtbot: QtBot) -> None:
    def refuse(document: Document, folder: Path, kinds: tuple[str, ...], tell: Tell) -> tuple[Path, ...]:
        raise WriteError(f"{folder} cannot be written: the disk is full.")

    window.tray.panel._write = refuse
    panel = start(window)

    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)
    assert "the disk is full" in window.notices.words.text()


def test_only_chosen_formats_are_written(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    window.tray.panel.boxes["dxf"].setChecked(False)
    window.tray.panel.boxes["png"].setChecked(False)

    panel = start(window)
    export.go.set()
    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)

    assert export.calls[0][1] == ("pdf",)


def test_without_a_format_the_button_says_so(window: MainWindow) -> None:
    panel = window.tray.panel
    for box in panel.boxes.values():
        box.setChecked(False)

    assert (panel.export_button.isEnabled(), panel.export_button.toolTip()) == (False, NO_KIND)


def test_job_without_a_file_asks_for_a_folder(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    window = opened_window(qtbot)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))

    panel = start(window)

    qtbot.waitUntil(panel.export_button.isEnabled, timeout=WAIT_MS)
    assert panel.folder == tmp_path


def test_command_exports_from_any_stage(window: MainWindow, export: Export, qtbot: QtBot) -> None:
    export.go.set()

    window.actions_by_id["job.export"].trigger()

    qtbot.waitUntil(lambda: bool(export.calls), timeout=WAIT_MS)
    assert window.stage == "Sheets"


def finished(work: Work, qtbot: QtBot) -> None:
    with qtbot.waitSignal(work.finished, timeout=WAIT_MS):
        work.start()


def test_work_hands_its_result_over(qtbot: QtBot) -> None:
    results: list[object] = []
    work = Work(lambda tell: 42)
    work.done.connect(results.append)

    finished(work, qtbot)

    qtbot.waitUntil(lambda: results == [42])


@pytest.mark.parametrize("raised", [SheetError("Too large."), WriteError("Full.")])
def test_work_that_fails_says_why(qtbot: QtBot, raised: Exception) -> None:
    reasons: list[str] = []

    def fail(tell: Callable[[str], None]) -> object:
        raise raised

    work = Work(fail)
    work.failed.connect(reasons.append)

    finished(work, qtbot)

    qtbot.waitUntil(lambda: reasons == [str(raised)])


def test_left_work_hands_nothing_over(qtbot: QtBot) -> None:
    results: list[object] = []
    work = Work(lambda tell: 42)
    work.done.connect(results.append)
    work.leave()

    finished(work, qtbot)

    assert results == []


def test_work_is_left_at_its_next_step(qtbot: QtBot) -> None:
    steps: list[str] = []

    def task(tell: Tell) -> object:
        steps.append("before")
        tell("half way")
        steps.append("after")
        return None

    work = Work(task)
    work.leave()

    finished(work, qtbot)

    assert steps == ["before"]
