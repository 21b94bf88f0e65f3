"""The words of the window: none that promises what a program cannot know, none that blames a person."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget

import siteplan
from siteplan.canvas.dragging import handles_of, label_of
from siteplan.windows.commands import COMMANDS, Command
from siteplan.windows.main_window import MainWindow
from siteplan.windows.part_help import HELP
from siteplan.windows.value_rows import all_keys, rows_of

NEVER = re.compile(
    r"\b(complies|compliant|certified|approved|safe|illegal|user error|invalid|front|back side|north-ish)\b",
    re.IGNORECASE,
)
MODULES = [
    path for part in ("canvas", "windows") for path in sorted((Path(siteplan.__file__).parent / part).glob("*.py"))
]


def texts_in(path: Path) -> Iterator[str]:
    """Yield the texts of a module that are no docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    bodies = (node for node in ast.walk(tree) if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef))
    told = {id(body.body[0].value) for body in bodies if body.body and isinstance(body.body[0], ast.Expr)}
    loose = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told | loose:
            yield node.value


@pytest.mark.parametrize("path", MODULES, ids=lambda path: f"{path.parent.name}.{path.stem}")
def test_no_text_of_a_module_uses_a_word_never_used(path: Path) -> None:
    assert [text for text in texts_in(path) if NEVER.search(text)] == []


def test_search_finds_a_word_never_used() -> None:
    assert NEVER.search("This gate is safe.")


def test_no_text_of_the_window_uses_a_word_never_used(window: MainWindow) -> None:
    widgets = window.findChildren(QWidget)
    texts = [widget.text() for widget in widgets if isinstance(widget, QLabel | QAbstractButton)]
    texts += [text for widget in widgets for text in (widget.toolTip(), widget.accessibleName())]
    texts += [item.spoken for item in window.troubles.items.items]

    assert [text for text in texts if NEVER.search(text)] == []


def test_no_row_of_the_value_card_uses_a_word_never_used(window: MainWindow) -> None:
    document = window.desk.document
    labels = [row.label for key in all_keys(document) for row in rows_of(document, key)]

    assert [label for label in labels if NEVER.search(label)] == []


def test_no_step_of_the_history_uses_a_word_never_used(window: MainWindow) -> None:
    document = window.desk.document
    labels = [label_of(document, handle) for key in all_keys(document) for handle in handles_of(document, key)]

    assert [label for label in labels if NEVER.search(label)] == []


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.id)
def test_command_begins_with_a_capital_and_goes_on_in_small_letters(command: Command) -> None:
    assert re.fullmatch(r"[A-Z][a-z0-9. %]*", command.text)


@pytest.mark.parametrize("part", list(HELP))
def test_every_part_is_explained_in_whole_sentences(part: str) -> None:
    assert HELP[part].endswith(".")
