from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QMessageBox

from siteplan.model.edits import moved
from siteplan.storage.site_file import read_site
from siteplan.windows.main_window import MainWindow
from tests.demo import path_of


@pytest.fixture
def copy(window: MainWindow, tmp_path: Path) -> Path:
    """Return the file of a job that is open in the window."""
    path = tmp_path / "yard.json"
    path.write_bytes(path_of("courtyard-pair").read_bytes())
    window.files.open(path)
    return path


def change(window: MainWindow) -> None:
    window.desk.commit("Move post PA", moved(window.desk.document, ["PA"], 25.4, 0.0))


def choose(monkeypatch: pytest.MonkeyPatch, name: str, path: Path | str) -> None:
    monkeypatch.setattr(QFileDialog, name, lambda *_: (str(path), ""))


def answer(monkeypatch: pytest.MonkeyPatch, role: QMessageBox.ButtonRole) -> None:
    def clicked(box: QMessageBox) -> object:
        return next(button for button in box.buttons() if box.buttonRole(button) == role)

    monkeypatch.setattr(QMessageBox, "exec", lambda box: 0)
    monkeypatch.setattr(QMessageBox, "clickedButton", clicked)


def test_saved_file_holds_the_document(window: MainWindow, copy: Path) -> None:
    change(window)

    window.actions_by_id["job.save"].trigger()

    assert read_site(copy).document.posts == window.desk.document.posts


def test_saved_job_is_no_longer_changed(window: MainWindow, copy: Path) -> None:
    change(window)

    window.files.save()

    assert (window.desk.history.is_changed, window.stamp.fields["saved"].text()) == (False, "saved")


def test_unsaved_job_says_so_in_the_stamp_bar(window: MainWindow, copy: Path) -> None:
    change(window)

    assert window.stamp.fields["saved"].text() == "changes not saved"


def test_undo_goes_back_across_a_save(window: MainWindow, copy: Path) -> None:
    before = window.desk.document
    change(window)
    window.files.save()

    window.desk.undo()

    assert (window.desk.document is before, window.desk.history.is_changed) == (True, True)


def test_saving_keeps_the_view(window: MainWindow, copy: Path) -> None:
    window.plan.zoom(2.0)
    frame = window.plan.frame
    change(window)

    window.files.save()

    assert window.plan.frame == frame


def test_saving_under_another_name_adds_the_ending(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(monkeypatch, "getSaveFileName", tmp_path / "other")

    window.files.save_as()

    assert window.desk.path == tmp_path / "other.json"


def test_file_chooser_left_without_a_choice_saves_nothing(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(monkeypatch, "getSaveFileName", "")

    assert (window.files.save_as(), list(tmp_path.iterdir())) == (False, [])


def test_file_changed_by_somebody_else_is_kept_on_request(
    window: MainWindow, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    theirs = path_of("hill-drive").read_bytes()
    copy.write_bytes(theirs)
    change(window)
    answer(monkeypatch, QMessageBox.ButtonRole.RejectRole)

    window.files.save()

    assert copy.read_bytes() == theirs


def test_file_changed_by_somebody_else_is_overwritten_on_request(
    window: MainWindow, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy.write_bytes(path_of("hill-drive").read_bytes())
    change(window)
    answer(monkeypatch, QMessageBox.ButtonRole.AcceptRole)

    window.files.save()

    assert read_site(copy).document.posts == window.desk.document.posts


def test_file_nobody_touched_is_saved_without_a_question(
    window: MainWindow, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QMessageBox, "exec", lambda box: pytest.fail("asked"))
    change(window)

    assert window.files.save()


def test_damaged_file_is_told_in_a_whole_sentence(window: MainWindow, tmp_path: Path) -> None:
    broken = tmp_path / "broken.json"
    broken.write_text('{"version": 1, "site": {', encoding="utf-8")

    window.files.open(broken)

    assert window.notices.words.text().endswith(".")


def test_job_of_an_unknown_pack_is_told_with_the_packs_there_are(window: MainWindow, copy: Path) -> None:
    before = window.desk.document
    copy.write_text(copy.read_text(encoding="utf-8").replace('"us-demo"', '"mars"'), encoding="utf-8")

    opened = window.files.open(copy)

    assert (opened, window.desk.document is before, "us-demo" in window.notices.words.text()) == (False, True, True)


def test_damaged_file_leaves_the_open_job_alone(window: MainWindow, tmp_path: Path) -> None:
    before = window.desk.document
    broken = tmp_path / "broken.json"
    broken.write_text("{", encoding="utf-8")

    window.files.open(broken)

    assert window.desk.document is before


def test_damaged_file_with_an_earlier_version_offers_it(window: MainWindow, copy: Path) -> None:
    change(window)
    window.files.save()
    copy.write_text("{", encoding="utf-8")
    window.files.open(copy)

    window.notices.buttons[0].click()

    assert (window.desk.document.project.title, window.desk.history.is_changed) == ("Courtyard pair", True)


def test_missing_file_is_told(window: MainWindow, tmp_path: Path) -> None:
    window.files.open(tmp_path / "nowhere.json")

    assert "nowhere.json" in window.notices.words.text()


def test_file_that_cannot_be_written_is_told(window: MainWindow, copy: Path, tmp_path: Path) -> None:
    change(window)
    window.desk.path = tmp_path / "no folder" / "yard.json"

    window.files.save()

    assert "no such folder" in window.notices.words.text()


def test_opening_another_job_keeps_unsaved_changes_until_one_chooses(
    window: MainWindow, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(monkeypatch, "getOpenFileName", path_of("hill-drive"))
    change(window)
    changed = window.desk.document

    window.actions_by_id["job.open"].trigger()

    assert window.desk.document is changed


def test_save_and_go_on_saves_and_opens(window: MainWindow, copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    choose(monkeypatch, "getOpenFileName", path_of("hill-drive"))
    change(window)
    changed = window.desk.document
    window.actions_by_id["job.open"].trigger()

    window.notices.buttons[0].click()

    assert read_site(copy).document.posts == changed.posts
    assert window.desk.document.project.title == "Hill drive"


def test_new_job_is_empty(window: MainWindow) -> None:
    window.actions_by_id["job.new"].trigger()

    assert (window.desk.document.posts, window.desk.path) == ((), None)


def test_empty_job_names_its_pack_where_there_is_no_trouble(window: MainWindow) -> None:
    window.actions_by_id["job.new"].trigger()

    assert window.stamp.fields["pack"].text() == "US 2026-11"
