from math import degrees

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from siteplan.model.document import find_record
from siteplan.model.gate import Post
from siteplan.windows.commands import MENUS
from siteplan.windows.main_window import MainWindow
from tests.windows.opened import NO_KEY, drag, opened_window, settle

INCH = 25.4
POST_A = (-6 * INCH, 0.0)


def post_place(window: MainWindow, id: str) -> tuple[float, float]:
    post = find_record(window.desk.document, id)
    assert isinstance(post, Post)
    return post.at


def run(window: MainWindow, id: str) -> None:
    window.actions_by_id[id].trigger()
    settle()


def test_dragged_post_changes_the_document_of_the_desk(window: MainWindow) -> None:
    drag(window, POST_A, (-30 * INCH, -9 * INCH))

    assert post_place(window, "PA") == pytest.approx((-30 * INCH, -9 * INCH), abs=1 / window.plan.frame.scale)


def test_one_undo_takes_a_whole_drag_back(window: MainWindow) -> None:
    before = window.desk.document
    drag(window, POST_A, (-30 * INCH, -9 * INCH))

    run(window, "edit.undo")

    assert window.desk.document is before


def test_undo_names_the_step_it_takes_back(window: MainWindow) -> None:
    drag(window, POST_A, (-30 * INCH, -9 * INCH))

    assert window.actions_by_id["edit.undo"].text() == "Undo move post PA"


def test_redo_brings_the_drag_back(window: MainWindow) -> None:
    drag(window, POST_A, (-30 * INCH, -9 * INCH))
    moved = window.desk.document
    run(window, "edit.undo")

    run(window, "edit.redo")

    assert window.desk.document is moved


def test_findings_follow_a_drag(window: MainWindow) -> None:
    before = [item.headline for item in window.troubles.items.items]

    drag(window, (172 * INCH, 90 * INCH), (180 * INCH, 90 * INCH))

    assert [item.headline for item in window.troubles.items.items] != before


def test_selection_is_shown_on_plan_and_lists_at_once(window: MainWindow) -> None:
    window.column.bring(window.yard)

    window.desk.select("B")

    shown = (window.plan.scene.selected, window.yard.current_key(), window.column.cards[0].aside.text())
    assert shown == ("B", "B", "leaf B")


def test_selected_leaf_is_accented_on_the_dial(window: MainWindow) -> None:
    window.desk.select("B")

    assert (window.dial.rows["A"].slider.accented, window.dial.rows["B"].slider.accented) == (False, True)


def test_deleted_post_takes_its_leaf_along(window: MainWindow) -> None:
    window.desk.select("PA")

    run(window, "edit.delete")

    assert window.notices.words.text() == "Deleted post PA, leaf A, gate G and drive-A."


def test_undo_button_of_the_strip_brings_all_back(window: MainWindow) -> None:
    before = window.desk.document
    window.desk.select("PA")
    run(window, "edit.delete")

    window.notices.buttons[0].click()

    assert window.desk.document is before


def test_escape_puts_the_strip_away(window: MainWindow) -> None:
    window.desk.say("Something happened.")
    window.rail.buttons["Swing"].setFocus()

    QTest.keyClick(window, Qt.Key.Key_Escape)

    assert not window.notices.isVisible()


def test_stage_brings_its_commands_to_the_front(window: MainWindow) -> None:
    window.rail.buttons["Swing"].click()

    assert "leaf.touch" in window.strip.buttons


def test_stage_swing_unfolds_the_dial(window: MainWindow) -> None:
    window.rail.buttons["Swing"].click()
    settle()

    assert window.dial.isVisible()


def test_folded_dial_tells_the_angles_in_one_line(window: MainWindow) -> None:
    window.desk.swing("B", 1.0)

    assert window.lower_card.summary.text() == f"A 0.0°   B {degrees(1.0):.1f}°"


def test_first_touch_swings_the_leaf_to_it(qtbot: QtBot) -> None:
    window = opened_window(qtbot, "hill-drive")

    run(window, "leaf.touch")

    assert degrees(window.desk.angles["A"]) == pytest.approx(10.58, abs=0.01)  # thick leaf on a grade of 12.5 %


def test_flipped_side_swings_out(window: MainWindow) -> None:
    window.desk.select("A")

    run(window, "leaf.side")

    assert window.desk.document.leaves[0].swings == "out"


def test_added_post_is_selected_in_the_middle_of_the_view(window: MainWindow) -> None:
    run(window, "add.post")

    assert post_place(window, window.desk.selected) == pytest.approx(window.plan.middle)


def test_first_gate_is_made_by_commands_alone(qtbot: QtBot) -> None:
    window = opened_window(qtbot)
    run(window, "add.post")
    first = window.desk.selected
    run(window, "add.post")
    window.desk.select(first)

    run(window, "add.hang")

    assert len(window.desk.document.gates) == 1


def test_two_text_sizes_differ(window: MainWindow) -> None:
    before = window.job_name.sizeHint().height()

    run(window, "view.text_200")

    assert window.job_name.sizeHint().height() > 1.8 * before


def test_f6_goes_round_all_parts(window: MainWindow) -> None:
    window.plan.setFocus()
    parts = window.parts()

    for _ in parts:
        window.go_to_part(1)

    assert window.focusWidget() is window.plan


def test_f6_leaves_no_part_out(window: MainWindow) -> None:
    reached: set[str] = set()

    for _ in window.parts():
        window.go_to_part(1)
        reached |= {title for title, part in window.parts() if holds_focus(part)}

    assert reached == {title for title, _ in window.parts()}


def holds_focus(part: QWidget) -> bool:
    focus = QApplication.focusWidget()
    return focus is part or (focus is not None and part.isAncestorOf(focus))


def test_f1_explains_the_selected_finding(window: MainWindow) -> None:
    window.troubles.setFocus()
    QTest.keyClick(window.troubles, Qt.Key.Key_Home)

    QTest.keyClick(window, Qt.Key.Key_F1)

    assert (window.focusWidget() is window.why, window.column.cards[2].aside.text() != "") == (True, True)


def test_f1_without_a_finding_tells_what_a_part_is_for(window: MainWindow) -> None:
    window.plan.setFocus()

    QTest.keyClick(window, Qt.Key.Key_F1)

    assert "Drag a post" in window.why.accessibleDescription()


def test_narrow_window_puts_the_answers_under_tabs(window: MainWindow) -> None:
    window.resize(1100, 720)
    settle()

    titles = [window.column.cards[0].tabs.tabText(number) for number in range(4)]
    assert titles == ["Value", "Trouble", "Yard", "Why"]


def test_widened_window_puts_the_answers_into_their_cards_again(window: MainWindow) -> None:
    window.resize(1100, 720)
    settle()

    window.resize(1280, 720)
    settle()

    assert [card.stack.count() for card in window.column.cards] == [1, 2, 1]


def test_title_tells_the_job(window: MainWindow) -> None:
    assert window.windowTitle() == "courtyard-pair[*] - siteplan"


def test_changed_job_is_marked_as_changed(window: MainWindow) -> None:
    run(window, "add.post")

    assert window.isWindowModified()


def test_closing_with_changes_says_so_and_stays_open(window: MainWindow) -> None:
    run(window, "add.post")

    window.close()

    assert (window.isVisible(), window.notices.words.text()) == (True, "The changes of this job are not saved.")


def test_closing_without_saving_can_be_chosen(window: MainWindow) -> None:
    run(window, "add.post")
    window.close()

    next(button for button in window.notices.buttons if "without" in button.text()).click()

    assert not window.isVisible()


def test_nothing_opens_a_window_of_its_own(window: MainWindow) -> None:
    left_out = {"job.open", "job.save_as", "job.save", "job.close", "job.export", "job.new"}

    for id, action in window.actions_by_id.items():
        if id not in left_out:
            action.trigger()
    settle()

    assert QApplication.activeModalWidget() is None


def test_every_menu_shows_why_its_greyed_commands_rest(window: MainWindow) -> None:
    menus = [menu for menu in window.findChildren(QMenu) if menu.title().lstrip("&") in MENUS]

    assert all(menu.toolTipsVisible() for menu in menus)


def test_every_widget_that_takes_the_focus_has_a_name(window: MainWindow) -> None:
    window.show_stage("Swing")
    settle()
    takers = [each for each in window.findChildren(QWidget) if each.focusPolicy() & Qt.FocusPolicy.TabFocus]
    nameless = [each for each in takers if each.isVisible() and not spoken_name(each)]

    assert [type(each).__name__ for each in nameless] == []


def spoken_name(widget: QWidget) -> str:
    text = widget.property("text")
    actions = [action.text() for action in widget.actions() if isinstance(action, QAction)]
    titles = widget.property("accessibleName")
    return str(titles or text or "".join(actions))


def test_shortcut_of_a_stage_works_from_the_keyboard(window: MainWindow) -> None:
    window.activateWindow()

    QTest.keyClick(window, Qt.Key.Key_3, Qt.KeyboardModifier.ControlModifier)
    settle()

    assert window.stage == "Swing"


def test_keys_alone_move_a_post(window: MainWindow) -> None:
    window.column.bring(window.yard)
    window.yard.setFocus()
    window.yard.setCurrentIndex(window.yard.items.index(row_of(window, "PA")))

    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_Up, NO_KEY)

    assert post_place(window, "PA")[1] == pytest.approx(INCH)


def row_of(window: MainWindow, key: str) -> int:
    return [item.key for item in window.yard.items.items].index(key)
