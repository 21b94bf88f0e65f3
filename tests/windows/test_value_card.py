import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from siteplan.model.document import find_record
from siteplan.model.edits import basis_of
from siteplan.model.gate import Leaf
from siteplan.windows.main_window import MainWindow
from siteplan.windows.row_editor import EntryField, RowEditor
from tests.windows.opened import settle

INCH = 25.4


def leaf(window: MainWindow, id: str = "A") -> Leaf:
    found = find_record(window.desk.document, id)
    assert isinstance(found, Leaf)
    return found


def row(window: MainWindow, path: str, key: str = "A") -> RowEditor:
    window.desk.select(key)
    return window.values.editor(path)


def field_of(editor: RowEditor) -> EntryField:
    assert editor.field is not None
    return editor.field


def type_into(editor: RowEditor, text: str, enter: bool = True) -> EntryField:
    field = field_of(editor)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    if enter:
        QTest.keyClick(field, Qt.Key.Key_Return)
    settle()
    return field


def test_typed_feet_and_inches_are_taken(window: MainWindow) -> None:
    type_into(row(window, "length_mm", "B"), "14'1")

    assert leaf(window, "B").length_mm == pytest.approx(169 * INCH)


def test_typed_length_is_shown_in_full(window: MainWindow) -> None:
    assert type_into(row(window, "length_mm", "B"), "14'1").text() == "14'-1\""


def test_typed_number_counts_as_taped(window: MainWindow) -> None:
    type_into(row(window, "height_mm"), "5'2")

    assert basis_of(window.desk.document, "A", "height_mm") == "taped"


def test_mark_of_doubt_makes_a_guess(window: MainWindow) -> None:
    type_into(row(window, "length_mm"), "~5'2")

    assert basis_of(window.desk.document, "A", "length_mm") == "guess"


def test_typed_number_is_one_named_step(window: MainWindow) -> None:
    type_into(row(window, "length_mm"), "5'2")

    assert window.desk.history.undo_label == "Set length of leaf A"


def test_echo_stands_under_the_field_while_it_is_typed(window: MainWindow) -> None:
    editor = row(window, "length_mm")

    type_into(editor, "14'1", enter=False)

    assert (editor.message.isVisible(), editor.message.text()) == (True, "= 14'-1\" = 14.08 ft = 4.293 m")


def test_refused_text_stays_in_its_field(window: MainWindow) -> None:
    assert type_into(row(window, "length_mm"), "14'2 1/0\"").text() == "14'2 1/0\""


def test_refused_text_says_why_under_it(window: MainWindow) -> None:
    editor = row(window, "length_mm")

    type_into(editor, "14'2 1/0\"")

    assert "1/0" in editor.message.text()


def test_refused_text_changes_nothing(window: MainWindow) -> None:
    before = window.desk.document

    type_into(row(window, "length_mm"), "wide")

    assert window.desk.document is before


def test_refused_text_survives_other_changes(window: MainWindow) -> None:
    field = type_into(row(window, "length_mm"), "wide")

    window.desk.swing("A", 0.5)
    window.desk.commit("Flip", window.desk.document)

    assert field.text() == "wide"


def test_number_without_a_unit_offers_what_it_may_mean(window: MainWindow) -> None:
    editor = row(window, "length_mm")

    type_into(editor, "60")

    assert [button.text() for button in editor.offers.findChildren(QPushButton)] == ['60"', "60'"]


def test_offer_is_taken_by_one_click(window: MainWindow) -> None:
    editor = row(window, "length_mm")
    type_into(editor, "60")

    editor.offers.findChildren(QPushButton)[0].click()

    assert leaf(window).length_mm == pytest.approx(60 * INCH)


def test_doubtful_length_needs_a_second_enter(window: MainWindow) -> None:
    before = leaf(window).length_mm

    type_into(row(window, "length_mm"), "5'13\"")

    assert leaf(window).length_mm == before


def test_second_enter_takes_a_doubtful_length(window: MainWindow) -> None:
    field = type_into(row(window, "length_mm"), "5'13\"")

    QTest.keyClick(field, Qt.Key.Key_Return)

    assert leaf(window).length_mm == pytest.approx(73 * INCH)


def test_leaving_a_field_takes_a_plain_text(window: MainWindow) -> None:
    type_into(row(window, "length_mm"), "5'2", enter=False)

    window.plan.setFocus()

    assert leaf(window).length_mm == pytest.approx(62 * INCH)


def test_escape_puts_the_old_text_back(window: MainWindow) -> None:
    field = type_into(row(window, "length_mm"), "wide")

    QTest.keyClick(field, Qt.Key.Key_Escape)

    assert (field.text(), field.isModified()) == ("5'-1\"", False)


@pytest.mark.parametrize("text", ["0 deg", "181 deg"])
def test_open_angle_no_leaf_has_keeps_the_text(window: MainWindow, text: str) -> None:
    assert type_into(row(window, "open_angle_rad"), text).text() == text


def test_open_angle_no_leaf_has_keeps_the_last_good_value(window: MainWindow) -> None:
    before = leaf(window).open_angle_rad

    type_into(row(window, "open_angle_rad"), "0 deg")

    assert leaf(window).open_angle_rad == before


def test_emptied_field_means_not_known(window: MainWindow) -> None:
    editor = row(window, "weight_kg")

    field_of(editor).selectAll()
    QTest.keyClick(field_of(editor), Qt.Key.Key_Delete)
    QTest.keyClick(field_of(editor), Qt.Key.Key_Return)

    assert leaf(window).weight_kg is None


def test_emptied_field_that_must_be_known_says_so(window: MainWindow) -> None:
    editor = row(window, "length_mm")

    field_of(editor).selectAll()
    QTest.keyClick(field_of(editor), Qt.Key.Key_Delete)
    QTest.keyClick(field_of(editor), Qt.Key.Key_Return)

    assert "length" in editor.message.text()


def test_word_is_chosen_from_those_there_are(window: MainWindow) -> None:
    editor = row(window, "swings")
    assert editor.choice is not None

    editor.choice.activated.emit(editor.choice.findText("out"))

    assert leaf(window).swings == "out"


def test_tag_is_chosen_by_itself(window: MainWindow) -> None:
    editor = row(window, "length_mm")
    assert editor.tag is not None

    editor.tag.activated.emit(editor.tag.findText("told t"))

    assert basis_of(window.desk.document, "A", "length_mm") == "told"


def test_tag_alone_leaves_the_number_as_it_is(window: MainWindow) -> None:
    editor, before = row(window, "length_mm"), leaf(window).length_mm
    assert editor.tag is not None

    editor.tag.activated.emit(editor.tag.findText("guess ~"))

    assert leaf(window).length_mm == before


def test_every_known_number_shows_its_tag(window: MainWindow) -> None:
    window.desk.select("A")
    numbers = [each for each in window.values.editors if each.row.kind == "number" and each.row.text]

    assert all(each.tag is not None and each.tag.isVisibleTo(each) for each in numbers)


def test_leaf_is_hung_on_another_post_by_choice(window: MainWindow) -> None:
    editor = row(window, "post")
    assert editor.choice is not None

    assert [editor.choice.itemText(number) for number in range(editor.choice.count())] == ["PA", "PB"]


def test_without_selection_the_card_is_about_the_job(window: MainWindow) -> None:
    window.desk.select("")

    assert window.values.editors[0].row.text == "Courtyard pair"


def test_units_of_the_job_change_how_numbers_are_written(window: MainWindow) -> None:
    editor = row(window, "units", "")
    assert editor.choice is not None
    editor.choice.activated.emit(editor.choice.findText("millimetres"))

    assert field_of(row(window, "length_mm")).text() == "1549.4 mm"


def test_count_that_is_none_is_refused(window: MainWindow) -> None:
    editor = row(window, "use.dwellings", "")

    type_into(editor, "two")

    assert editor.message.text() == "Dwellings two is no whole number; write it like 12."


def test_rule_pack_is_chosen_for_the_job(window: MainWindow) -> None:
    editor = row(window, "pack", "")
    assert editor.choice is not None

    editor.choice.activated.emit(editor.choice.findText("us"))

    assert window.desk.document.pack == "us"


def test_drag_shows_its_numbers_on_the_card(window: MainWindow) -> None:
    editor = row(window, "at.1", "PA")
    window.plan.setFocus()

    QTest.keyClick(window.plan, Qt.Key.Key_Up)

    assert field_of(editor).text() == '1"'


def test_rows_stay_the_same_widgets_while_values_change(window: MainWindow) -> None:
    editor = row(window, "at.1", "PA")

    QTest.keyClick(window.plan, Qt.Key.Key_Up)

    assert window.values.editor("at.1") is editor
