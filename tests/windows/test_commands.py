import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from siteplan.windows.commands import COMMAND_BY_ID, COMMANDS, MENUS, STAGE_COMMANDS, STAGES, Command
from siteplan.windows.main_window import MainWindow
from tests.windows.opened import opened_window

WORDS = ("post", "hang", "pair", "flip", "edge", "swing", "drop", "sign", "keep", "shot", "why", "undo", "redo")


def menu_actions(window: MainWindow) -> list[QAction]:
    return [action for menu in window.findChildren(QMenu) for action in menu.actions()]


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.id)
def test_every_command_stands_in_a_menu(window: MainWindow, command: Command) -> None:
    assert window.actions_by_id[command.id] in menu_actions(window)


@pytest.mark.parametrize("site", ["", "hill-drive", "courtyard-pair"])
def test_every_greyed_command_says_why(qtbot: QtBot, site: str) -> None:
    window = opened_window(qtbot, site)

    greyed = [command for command in COMMANDS if not window.actions_by_id[command.id].isEnabled()]

    silent = [each.id for each in greyed if window.actions_by_id[each.id].toolTip() != each.why_not(window.acts)]
    assert (silent, [each.id for each in greyed if not each.why_not(window.acts)]) == ([], [])


def test_empty_job_greys_some_commands(qtbot: QtBot) -> None:
    window = opened_window(qtbot)

    greyed = {id for id, action in window.actions_by_id.items() if not action.isEnabled()}

    assert {"edit.undo", "edit.redo", "edit.delete", "add.hang", "add.pair", "leaf.hand", "leaf.touch"} <= greyed


def test_no_two_commands_share_a_key() -> None:
    keys = [key for command in COMMANDS for key in command.shortcuts]

    assert len(keys) == len(set(keys))


def test_no_two_commands_share_an_id() -> None:
    assert len(COMMAND_BY_ID) == len(COMMANDS)


@pytest.mark.parametrize("stage", STAGES)
def test_commands_in_front_of_a_stage_are_commands(stage: str) -> None:
    assert set(STAGE_COMMANDS[stage]) <= set(COMMAND_BY_ID)


@pytest.mark.parametrize("stage", STAGES)
def test_no_stage_has_more_than_ten_commands_in_front(stage: str) -> None:
    assert 5 <= len(STAGE_COMMANDS[stage]) <= 10


@pytest.mark.parametrize("word", WORDS)
def test_command_word_stands_in_the_menus(word: str) -> None:
    assert any(word in command.text.lower().split() for command in COMMANDS)


def test_every_menu_has_commands() -> None:
    assert {command.menu for command in COMMANDS} == set(MENUS)


def test_button_of_the_strip_goes_grey_with_its_command(window: MainWindow) -> None:
    window.desk.select("W")

    assert not window.strip.buttons["add.hang"].isEnabled()


def test_post_that_carries_a_leaf_tells_so(window: MainWindow) -> None:
    window.desk.select("PA")

    assert window.actions_by_id["add.hang"].toolTip() == "Post PA carries leaf A already"


def test_no_two_menus_open_by_the_same_key() -> None:
    assert len({menu[0] for menu in MENUS}) == len(MENUS)
