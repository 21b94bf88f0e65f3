from math import degrees, pi, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from siteplan.errors import EntryError
from siteplan.windows.dial_facts import dial_marks, dial_top_deg, pose_words, read_dial, stepped
from siteplan.windows.leaf_dial import DialSlider
from siteplan.windows.main_window import MainWindow
from tests.demo import changed, demo_site
from tests.windows.opened import LEFT, NO_KEY, opened_window, settle

SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def dial(window: MainWindow) -> MainWindow:
    window.show_stage("Swing")
    settle()
    return window


def slider(window: MainWindow, leaf: str = "B") -> DialSlider:
    return window.dial.rows[leaf].slider


def angle(window: MainWindow, leaf: str = "B") -> float:
    return degrees(window.desk.angles[leaf])


@pytest.mark.parametrize(
    ("start", "key", "modifiers", "end"),
    [
        (10.93, Qt.Key.Key_Right, NO_KEY, 11.0),
        (11.0, Qt.Key.Key_Right, NO_KEY, 12.0),
        (10.93, Qt.Key.Key_Left, NO_KEY, 10.0),
        (11.0, Qt.Key.Key_Down, NO_KEY, 10.0),
        (10.93, Qt.Key.Key_Right, SHIFT, 11.0),
        (11.0, Qt.Key.Key_Up, SHIFT, 11.1),
        (0.0, Qt.Key.Key_Left, NO_KEY, 0.0),
        (89.5, Qt.Key.Key_Right, NO_KEY, 90.0),
        (45.0, Qt.Key.Key_Home, NO_KEY, 0.0),
        (45.0, Qt.Key.Key_End, NO_KEY, 90.0),
    ],
)
def test_keys_land_on_exact_degrees(
    dial: MainWindow, start: float, key: Qt.Key, modifiers: Qt.KeyboardModifier, end: float
) -> None:
    dial.desk.swing("B", radians(start))

    QTest.keyClick(slider(dial), key, modifiers)

    assert angle(dial) == pytest.approx(end, abs=1e-9)


def test_click_on_the_track_sets_the_angle(dial: MainWindow) -> None:
    track = slider(dial)

    QTest.mouseClick(track, LEFT, NO_KEY, QPoint(round(track.x_of(radians(45))), track.height() - 8))

    assert angle(dial) == pytest.approx(45.0, abs=0.3)


def test_dragged_knob_takes_the_leaf_along(dial: MainWindow) -> None:
    track, y = slider(dial), slider(dial).height() - 8
    QTest.mousePress(track, LEFT, NO_KEY, QPoint(round(track.x_of(0.0)), y))

    QTest.mouseMove(track, QPoint(round(track.x_of(radians(30))), y))
    settle()

    assert angle(dial) == pytest.approx(30.0, abs=0.3)


def test_swung_leaf_is_painted_at_its_angle(dial: MainWindow) -> None:
    before = dial.plan.grab().toImage()

    QTest.keyClick(slider(dial), Qt.Key.Key_End)

    assert dial.plan.grab().toImage() != before


def test_typed_angle_is_degrees(dial: MainWindow) -> None:
    field = dial.dial.rows["B"].angle
    field.setFocus()
    field.selectAll()

    QTest.keyClicks(field, "58.25")
    QTest.keyClick(field, Qt.Key.Key_Return)

    assert angle(dial) == pytest.approx(58.25)


def test_typed_angle_beyond_the_stop_stays_with_the_reason(dial: MainWindow) -> None:
    field = dial.dial.rows["B"].angle
    field.setFocus()
    field.selectAll()

    QTest.keyClicks(field, "120")
    QTest.keyClick(field, Qt.Key.Key_Return)

    assert (field.text(), "open stop at 90.0°" in dial.dial.words.text()) == ("120", True)


def test_swinging_is_no_step_of_the_history(dial: MainWindow) -> None:
    QTest.keyClick(slider(dial), Qt.Key.Key_End)

    assert dial.desk.history.past == ()


def test_numbers_of_the_leaf_are_told(dial: MainWindow) -> None:
    QTest.keyClick(slider(dial), Qt.Key.Key_End)

    assert dial.dial.words.text() == "Leaf B at 90.0°  ·  wall W 11.0 in  ·  ground 3.0 in  ·  clear opening 13'-2\""


def test_slider_tells_its_angle_to_those_who_hear_it(dial: MainWindow) -> None:
    dial.desk.swing("B", radians(12.5))

    assert (slider(dial).accessibleName(), slider(dial).value()) == ("angle of leaf B", 12500)


def test_new_leaf_comes_to_the_dial(qtbot: QtBot) -> None:
    window = opened_window(qtbot)
    window.actions_by_id["add.post"].trigger()

    window.actions_by_id["add.hang"].trigger()

    assert list(window.dial.rows) == ["A"]


def test_first_touch_and_limit_are_marked_on_a_hill() -> None:
    # thick leaf on a grade of 12.5 %: strikes at 10.58, below 2 in from 5.09 (worked by hand)
    found = [round(degrees(mark.angle_rad), 2) for mark in dial_marks(demo_site("hill-drive"), "A")]

    assert {10.58, 5.09, 90.0} <= set(found)


def test_mark_has_the_severity_of_its_finding() -> None:
    marks = {round(degrees(mark.angle_rad), 2): mark.severity for mark in dial_marks(demo_site("hill-drive"), "A")}

    assert (marks[10.58], marks[90.0]) == ("Stop", None)


def test_numbers_at_the_angle_of_contact_have_no_noise() -> None:
    site = demo_site("hill-drive")
    touch = min(mark.angle_rad for mark in dial_marks(site, "A") if degrees(mark.angle_rad) > 10)

    assert "ground 0.0 in" in pose_words(site, "A", touch)


def test_ground_that_no_shot_reaches_is_not_known() -> None:
    site = changed(demo_site("hill-drive"), "PA", hinge=(10660.0, 0.0))  # the shots end at 10668 mm

    assert "ground not known here" in pose_words(site, "A", 0.0)


@pytest.mark.parametrize(("open_deg", "top"), [(90.0, 90), (110.0, 120), (180.0, 180), (20.0, 90)])
def test_dial_ends_at_the_tick_beyond_the_open_stop(open_deg: float, top: int) -> None:
    site = changed(demo_site("courtyard-pair"), "B", open_angle_rad=radians(open_deg))

    assert dial_top_deg(site) == top


@given(st.floats(0.0, pi), st.sampled_from([1.0, 0.1]))
def test_step_up_is_whole_and_not_farther_than_one_step(angle_rad: float, step: float) -> None:
    count = degrees(stepped(angle_rad, 1, step)) / step

    assert count == pytest.approx(round(count), abs=1e-6)
    assert 0 < count - degrees(angle_rad) / step <= 1 + 2e-6


@pytest.mark.parametrize("text", ["", "wide", "-5", "91", "1e3"])
def test_what_is_no_angle_of_the_leaf_is_refused(text: str) -> None:
    with pytest.raises(EntryError):
        read_dial(text, pi / 2)


@pytest.mark.parametrize(("text", "expected"), [("60", 60.0), ("60°", 60.0), ("60 deg", 60.0), ("90", 90.0)])
def test_typed_angles_are_read(text: str, expected: float) -> None:
    assert degrees(read_dial(text, pi / 2)) == pytest.approx(expected)
