from math import radians

import pytest

from siteplan.model.edits import moved, removed
from siteplan.rules.all_rules import troubles
from siteplan.windows.desk import Desk
from tests.demo import changed, demo_site


@pytest.fixture
def desk() -> Desk:
    made = Desk()
    made.take_over(demo_site("courtyard-pair"), None, is_saved=True)
    return made


def count(signal: object) -> list[None]:
    """Return a list that grows with every emission of a signal."""
    seen: list[None] = []
    signal.connect(lambda *_: seen.append(None))  # type: ignore[attr-defined]  # any signal
    return seen


def test_new_desk_has_nothing_to_save() -> None:
    assert not Desk().history.is_changed


def test_commit_of_the_very_document_tells_nobody(desk: Desk) -> None:
    seen = count(desk.document_changed)

    desk.commit("Move", desk.document)

    assert seen == []


def test_commit_tells_once(desk: Desk) -> None:
    seen = count(desk.document_changed)

    desk.commit("Move", moved(desk.document, ["PA"], 10.0, 0.0))

    assert len(seen) == 1


def test_commits_of_one_drag_are_one_step(desk: Desk) -> None:
    drag = object()

    desk.commit("Move", moved(desk.document, ["PA"], 10.0, 0.0), drag)
    desk.commit("Move", moved(desk.document, ["PA"], 10.0, 0.0), drag)

    assert len(desk.history.past) == 1


def test_left_drag_puts_the_document_back(desk: Desk) -> None:
    before, drag = desk.document, object()
    desk.commit("Move", moved(before, ["PA"], 10.0, 0.0), drag)

    desk.leave_drag(drag)

    assert desk.document is before


def test_leaf_cannot_be_swung_beyond_its_stop(desk: Desk) -> None:
    desk.swing("B", radians(170))

    assert desk.angles["B"] == pytest.approx(radians(90))


def test_angle_follows_a_stop_that_comes_nearer(desk: Desk) -> None:
    desk.swing("B", radians(90))

    desk.commit("Set stop", changed(desk.document, "B", open_angle_rad=radians(60)))

    assert desk.angles["B"] == pytest.approx(radians(60))


def test_same_angle_tells_nobody(desk: Desk) -> None:
    seen = count(desk.angles_changed)

    desk.swing("B", 0.0)

    assert seen == []


def test_selection_goes_with_its_record(desk: Desk) -> None:
    desk.select("PA")

    desk.commit("Delete", removed(desk.document, ["PA"]))

    assert desk.selected == ""


def test_undo_keeps_what_is_still_there_selected(desk: Desk) -> None:
    desk.select("PB")
    desk.commit("Move", moved(desk.document, ["PA"], 10.0, 0.0))

    desk.undo()

    assert desk.selected == "PB"


def test_job_is_selected_by_selecting_nothing(desk: Desk) -> None:
    desk.select("project")

    assert desk.selected == ""


def test_finding_keeps_its_numbers_up_to_date(desk: Desk) -> None:
    desk.select_finding(next(each for each in troubles(desk.document) if each.code == "U-04"))

    desk.commit("Move", moved(desk.document, ["W"], -25.4, 0.0))

    assert desk.finding is not None
    assert desk.finding.measured == pytest.approx(10 * 25.4)


def test_finding_that_is_cured_is_no_longer_selected(desk: Desk) -> None:
    desk.select_finding(next(each for each in troubles(desk.document) if each.code == "U-04"))

    desk.commit("Move", removed(desk.document, ["W"]))

    assert desk.finding is None


def test_another_document_starts_a_history_of_its_own(desk: Desk) -> None:
    desk.commit("Move", moved(desk.document, ["PA"], 10.0, 0.0))

    desk.take_over(demo_site("hill-drive"), None, is_saved=True)

    assert desk.history.past == ()
