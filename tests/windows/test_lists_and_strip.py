import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from siteplan.windows.desk import Choice, Notice
from siteplan.windows.main_window import MainWindow
from siteplan.windows.two_line_list import ListItem, TwoLineList
from siteplan.windows.value_rows import all_keys
from siteplan.windows.yard_list import yard_items
from tests.demo import NAMES, demo_site
from tests.windows.opened import settle

ITEMS = (ListItem("a", "First"), ListItem("b", "Second", "smaller"), ListItem("c", "Third", "worse", "Stop"))


@pytest.fixture
def shown(qtbot: QtBot) -> TwoLineList:
    view = TwoLineList("Nothing.")
    qtbot.addWidget(view)
    view.resize(200, 300)
    view.show_items(ITEMS)
    view.show()
    return view


def detail_of(site: str, key: str) -> str:
    return next(item.detail for item in yard_items(demo_site(site)) if item.key == key)


@pytest.mark.parametrize("name", NAMES)
def test_yard_list_names_everything_on_the_plan(name: str) -> None:
    document = demo_site(name)

    assert [item.key for item in yard_items(document)] == list(all_keys(document))


@pytest.mark.parametrize("name", NAMES)
def test_yard_list_says_something_about_everything(name: str) -> None:
    assert [item.key for item in yard_items(demo_site(name)) if not item.detail] == []


@pytest.mark.parametrize(
    ("key", "detail"),
    [
        ("PA", 'at 6" left, 0" inside'),
        ("A", "5'-1\", hinges left, swings in to 90.0°"),
        ("G", "leaves A and B"),
        ("W", "from 14'-4\" right, 6'-0\" inside to 14'-4\" right, 9'-2\" inside"),
        ("L", "from 9'-0\" left, 8'-4\" outside to 24'-0\" right, 8'-4\" outside"),
    ],
)
def test_yard_list_tells_places_in_words(key: str, detail: str) -> None:
    assert detail_of("courtyard-pair", key) == detail


def test_yard_list_follows_the_document_once_it_is_seen(window: MainWindow) -> None:
    window.actions_by_id["add.sign"].trigger()

    window.column.bring(window.yard)
    settle()

    assert window.desk.selected in {item.key for item in window.yard.items.items}


def test_thing_chosen_in_the_yard_list_is_selected_on_the_plan(window: MainWindow) -> None:
    window.column.bring(window.yard)
    settle()

    window.yard.chosen.emit("pad-B")

    assert window.plan.scene.selected == "pad-B"


def test_arrow_keys_choose_in_a_list(shown: TwoLineList) -> None:
    chosen: list[str] = []
    shown.chosen.connect(chosen.append)

    QTest.keyClick(shown, Qt.Key.Key_Down)
    QTest.keyClick(shown, Qt.Key.Key_Down)

    assert chosen[-1] == "b"


def test_marking_an_item_tells_nobody(shown: TwoLineList) -> None:
    chosen: list[str] = []
    shown.chosen.connect(chosen.append)

    shown.mark("b")

    assert (shown.current_key(), chosen) == ("b", [])


def test_marked_item_stays_marked_when_others_come(shown: TwoLineList) -> None:
    shown.mark("b")

    shown.show_items((*ITEMS, ListItem("d", "Fourth")))

    assert shown.current_key() == "b"


def test_marked_item_that_goes_leaves_nothing_marked(shown: TwoLineList) -> None:
    shown.mark("b")

    shown.show_items(ITEMS[:1])

    assert shown.current_key() == ""


def test_long_item_takes_more_lines_in_a_narrow_list(shown: TwoLineList) -> None:
    long = ListItem("l", "Leaf A strikes the ground at 10.6 deg and then some more of it", "and so on " * 8)
    shown.show_items((long,))
    settle()
    before = shown.visualRect(shown.items.index(0)).height()

    shown.resize(500, 300)
    settle()

    assert shown.visualRect(shown.items.index(0)).height() < before


def test_item_is_spoken_as_one_sentence_with_its_severity() -> None:
    assert ITEMS[2].spoken == "Stop: Third. worse"


def test_strip_offers_ways_on(window: MainWindow) -> None:
    taken: list[str] = []
    choice = Choice("Go on", lambda: taken.append("gone on"))

    window.notices.show_notice(Notice("Something happened.", "Ask", (choice,)))
    window.notices.buttons[0].click()

    assert (taken, window.notices.isVisible()) == (["gone on"], False)


def test_strip_can_always_be_closed(window: MainWindow) -> None:
    window.notices.show_notice(Notice("Something happened."))

    window.notices.buttons[-1].click()

    assert not window.notices.isVisible()


def test_passing_notice_goes_by_itself(window: MainWindow, qtbot: QtBot) -> None:
    window.notices._passing.setInterval(10)

    window.notices.show_notice(Notice("Something happened.", passes=True))

    qtbot.waitUntil(lambda: not window.notices.isVisible())


def test_lasting_notice_stays(window: MainWindow) -> None:
    window.notices._passing.setInterval(1)
    window.notices.show_notice(Notice("Something failed.", "Stop"))

    QTest.qWait(20)

    assert window.notices.isVisible()


def test_next_notice_takes_the_place_of_the_one_before(window: MainWindow) -> None:
    window.notices.show_notice(Notice("First.", "Stop", (Choice("Go on", lambda: None),)))

    window.notices.show_notice(Notice("Second."))

    assert (window.notices.words.text(), [button.text() for button in window.notices.buttons]) == ("Second.", ["Close"])


def test_long_notice_is_shown_whole(window: MainWindow) -> None:
    window.notices.show_notice(Notice("A long sentence about a file that cannot be read. " * 8, "Stop"))
    settle()

    words = window.notices.words
    assert words.height() >= words.heightForWidth(words.width())


def test_strip_goes_along_with_the_width_of_the_plan(window: MainWindow) -> None:
    window.notices.show_notice(Notice("Something happened."))
    window.resize(1500, 800)
    settle()

    assert window.notices.width() == window.plan.width() - 24


def test_ways_on_stand_in_one_row_where_there_is_room(window: MainWindow) -> None:
    choices = (Choice("Save and go on", lambda: None), Choice("Go on without saving", lambda: None))
    window.notices.show_notice(Notice("The changes of this job are not saved.", "Ask", choices))
    settle()

    assert len({button.y() for button in window.notices.buttons}) == 1
