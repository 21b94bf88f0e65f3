from math import degrees

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES
from siteplan.windows.main_window import MainWindow
from siteplan.windows.trouble_list import counts_in_words
from tests.windows.opened import LEFT, NO_KEY, opened_window, settle


@pytest.fixture
def hill(qtbot: QtBot) -> MainWindow:
    return opened_window(qtbot, "hill-drive")


def click_row(window: MainWindow, row: int) -> None:
    view = window.troubles
    at = view.visualRect(view.items.index(row)).center()
    QTest.mouseClick(view.viewport(), LEFT, NO_KEY, at)
    settle()


def test_worst_finding_stands_first(window: MainWindow) -> None:
    ranks = [SEVERITIES.index(item.severity) for item in window.troubles.items.items if item.severity]

    assert ranks == sorted(ranks)


def test_finding_is_told_with_its_number(window: MainWindow) -> None:
    assert "11.0 in" in window.troubles.items.items[0].headline  # wall return 11 in behind the leaf, worked by hand


def test_finding_is_spoken_with_its_severity(window: MainWindow) -> None:
    assert window.troubles.items.items[0].spoken.startswith("Guard: Open leaf B is 11.0 in from wall W.")


def test_selected_finding_draws_its_witness_on_the_plan(window: MainWindow) -> None:
    before = window.plan.grab().toImage()

    click_row(window, 0)

    assert window.plan.grab().toImage() != before


def test_selected_finding_swings_its_leaf_to_its_angle(hill: MainWindow) -> None:
    click_row(hill, 0)

    assert degrees(hill.desk.angles["A"]) == pytest.approx(10.58, abs=0.01)


def test_selected_finding_selects_what_it_is_about(hill: MainWindow) -> None:
    click_row(hill, 0)

    assert hill.desk.selected == "A"


def test_selected_finding_is_explained(window: MainWindow) -> None:
    click_row(window, 0)

    assert "A person between the opening leaf and a wall cannot get out" in texts_of(window)


def test_rule_and_source_of_a_finding_are_told(window: MainWindow) -> None:
    click_row(window, 0)

    assert "U-04" in texts_of(window)


def test_arrow_keys_go_from_finding_to_finding(window: MainWindow) -> None:
    click_row(window, 0)

    QTest.keyClick(window.troubles, Qt.Key.Key_Down)

    assert window.desk.finding is troubles(window.desk.document)[1]


def test_selecting_a_thing_lets_the_finding_go(window: MainWindow) -> None:
    click_row(window, 0)

    window.desk.select("PA")

    assert (window.desk.finding, window.troubles.current_key()) == (None, "")


def test_selected_finding_stays_selected_while_its_numbers_change(window: MainWindow) -> None:
    click_row(window, 0)
    key = window.troubles.current_key()

    window.plan.select("W")
    window.desk.commit("Move", window.desk.document)

    assert window.troubles.current_key() == key


def test_counts_stand_in_the_stamp_bar(window: MainWindow) -> None:
    found = troubles(window.desk.document)

    shown = {severity: int(label.text()) for severity, label in window.stamp.counts.items()}
    assert shown == {severity: sum(each.severity == severity for each in found) for severity in shown}


def test_title_counts_the_two_worst_kinds(hill: MainWindow) -> None:
    words = counts_in_words(troubles(hill.desk.document))

    assert [part.split()[1] for part in words.split(" · ")] == ["stop", "ask"]


def test_list_without_findings_names_the_pack(window: MainWindow) -> None:
    window.troubles.show_items(())

    assert window.troubles.when_empty == "Nothing found against US demo 2026-11."


def test_copied_finding_is_plain_text(window: MainWindow) -> None:
    index = window.troubles.items.index(0)

    assert str(window.troubles.items.data(index)).startswith("Guard: ")


def texts_of(window: MainWindow) -> str:
    from PySide6.QtWidgets import QLabel

    return "\n".join(label.text() for label in window.why.findChildren(QLabel))
