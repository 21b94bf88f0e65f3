"""All commands in one table: menus, buttons, shortcuts and tests read it."""

from collections.abc import Callable
from functools import partial
from typing import Final, Literal, NamedTuple

from siteplan.canvas.adding import (
    with_block,
    with_control,
    with_edge,
    with_keep_clear,
    with_pad,
    with_post,
    with_round,
    with_sign,
)
from siteplan.windows.acts import Acts
from siteplan.windows.style import TEXT_PERCENTS

Menu = Literal["Job", "Edit", "Add", "Leaf", "View", "Help"]
MENUS: Final[tuple[Menu, ...]] = ("Job", "Edit", "Add", "Leaf", "View", "Help")
STAGES: Final = ("Lay out", "Swing", "Sheets")
STAGE_KEYS: Final = {"Lay out": "Ctrl+2", "Swing": "Ctrl+3", "Sheets": "Ctrl+8"}


def _always(acts: Acts) -> str:
    del acts
    return ""


def _nothing_more(acts: Acts) -> str:
    del acts
    return ""


class Command(NamedTuple):
    """One command."""

    id: str
    menu: Menu
    text: str
    run: Callable[[Acts], object]
    shortcuts: tuple[str, ...] = ()
    why_not: Callable[[Acts], str] = _always  # why it cannot be done now; empty: it can
    object: Callable[[Acts], str] = _nothing_more  # what it would be done to, behind the text
    about: str = ""  # what it is good for, where the text does not say so
    after_gap: bool = False  # a thin line stands before it in the menu

    def text_for(self, acts: Acts) -> str:
        """Return the text with what the command would be done to: "Undo move post A"."""
        return f"{self.text} {_small(self.object(acts))}".rstrip()

    def tip_for(self, acts: Acts) -> str:
        """Return why the command cannot be done now, or what it is good for."""
        return self.why_not(acts) or self.about or self.text_for(acts)


def _show_stage(stage: str, acts: Acts) -> None:
    acts.frame.show_stage(stage)


def _set_text(percent: int, acts: Acts) -> None:
    acts.frame.set_text_percent(percent)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


COMMANDS: Final[tuple[Command, ...]] = (
    Command("job.new", "Job", "New", lambda acts: acts.files.new(), ("Ctrl+N",)),
    Command("job.open", "Job", "Open...", lambda acts: acts.files.choose_and_open(), ("Ctrl+O",)),
    Command("job.save", "Job", "Save", lambda acts: acts.files.save(), ("Ctrl+S",), Acts.save_reason, after_gap=True),
    Command("job.save_as", "Job", "Save as...", lambda acts: acts.files.save_as(), ("Ctrl+Shift+S",)),
    Command(
        "job.export",
        "Job",
        "Export sheets",
        lambda acts: acts.frame.export_sheets(),
        ("Ctrl+E",),
        about="Write the sheets as PDF, DXF and PNG",
        after_gap=True,
    ),
    Command("job.close", "Job", "Close", lambda acts: acts.frame.close(), ("Ctrl+Q",), after_gap=True),
    Command(
        "edit.undo",
        "Edit",
        "Undo",
        lambda acts: acts.desk.undo(),
        ("Ctrl+Z",),
        Acts.undo_reason,
        lambda acts: acts.desk.history.undo_label,
    ),
    Command(
        "edit.redo",
        "Edit",
        "Redo",
        lambda acts: acts.desk.redo(),
        ("Ctrl+Shift+Z", "Ctrl+Y"),
        Acts.redo_reason,
        lambda acts: acts.desk.history.redo_label,
    ),
    Command("edit.delete", "Edit", "Delete", Acts.delete, ("Del",), Acts.delete_reason, after_gap=True),
    Command("edit.job", "Edit", "Select the job", lambda acts: acts.desk.select(""), about="Show the facts of the job"),
    Command("add.post", "Add", "Post", lambda acts: acts.add(with_post), about="A post with its hinge axis"),
    Command("add.hang", "Add", "Hang leaf", Acts.hang, (), Acts.hang_reason, about="Hang a leaf on the selected post"),
    Command("add.pair", "Add", "Pair", Acts.pair, (), Acts.pair_reason, about="Hang the second leaf of a pair"),
    Command(
        "add.edge",
        "Add",
        "Edge",
        lambda acts: acts.add(partial(with_edge, "wall")),
        about="A wall; kerb, fence, road edge or property line by its kind on the Value card",
        after_gap=True,
    ),
    Command("add.block", "Add", "Obstacle", lambda acts: acts.add(with_block), about="A cabinet, a step, a parked car"),
    Command("add.round", "Add", "Round", lambda acts: acts.add(with_round), about="A tree, a bollard, a pole"),
    Command("add.keep", "Add", "Keep clear", lambda acts: acts.add(with_keep_clear), about="An area to keep clear"),
    Command(
        "add.shot",
        "Add",
        "Ground shot",
        Acts.add_ground,
        (),
        Acts.ground_reason,
        about="Ground under the leaves: its grades",
    ),
    Command("add.drop", "Add", "Drop pad", lambda acts: acts.add(with_pad), about="A concrete pad", after_gap=True),
    Command("add.control", "Add", "Control", lambda acts: acts.add(with_control), about="A keypad, a push button"),
    Command("add.sign", "Add", "Sign", lambda acts: acts.add(with_sign), about="A warning sign"),
    Command(
        "leaf.hand",
        "Leaf",
        "Flip hand",
        lambda acts: acts.flip("hand"),
        ("Ctrl+H",),
        Acts.leaf_reason,
        about="Hinges on the other side",
    ),
    Command(
        "leaf.side",
        "Leaf",
        "Flip side",
        lambda acts: acts.flip("side"),
        ("Ctrl+Shift+H",),
        Acts.leaf_reason,
        about="Swings to the other side",
    ),
    Command(
        "leaf.close", "Leaf", "Swing closed", lambda acts: acts.swing_to(0.0), (), Acts.leaves_reason, after_gap=True
    ),
    Command("leaf.open", "Leaf", "Swing open", lambda acts: acts.swing_to(1.0), (), Acts.leaves_reason),
    Command("leaf.touch", "Leaf", "Swing to touch", Acts.swing_to_touch, (), Acts.touch_reason),
    *(
        Command(
            f"stage.{number}",
            "View",
            stage,
            partial(_show_stage, stage),
            (STAGE_KEYS[stage],),
        )
        for number, stage in enumerate(STAGES)
    ),
    Command(
        "view.gate",
        "View",
        "Fit the gate",
        lambda acts: acts.frame.plan.fit_gate(),
        ("Ctrl+0",),
        after_gap=True,
    ),
    Command("view.plan", "View", "Fit everything", lambda acts: acts.frame.plan.fit_plan(), ("Ctrl+Shift+0",)),
    Command("view.larger", "View", "Larger", lambda acts: acts.zoom(1), ("Ctrl++", "Ctrl+=")),
    Command("view.smaller", "View", "Smaller", lambda acts: acts.zoom(-1), ("Ctrl+-",)),
    Command(
        "view.fold",
        "View",
        "Fold the lower card",
        lambda acts: acts.frame.fold_lower_card(),
        ("Ctrl+D",),
        about="Fold the lower card to one line, or unfold it",
        after_gap=True,
    ),
    *(
        Command(
            f"view.text_{percent}",
            "View",
            f"Text {percent} %",
            partial(_set_text, percent),
            after_gap=percent == TEXT_PERCENTS[0],
        )
        for percent in TEXT_PERCENTS
    ),
    Command(
        "help.why",
        "Help",
        "Why",
        lambda acts: acts.frame.show_why(),
        ("F1",),
        about="Explain the selected finding, or this part",
    ),
    Command("help.next", "Help", "Next part", lambda acts: acts.frame.go_to_part(1), ("F6",)),
    Command("help.before", "Help", "Part before", lambda acts: acts.frame.go_to_part(-1), ("Shift+F6",)),
)

COMMAND_BY_ID: Final = {command.id: command for command in COMMANDS}

STAGE_COMMANDS: Final = {
    "Lay out": (
        "add.post",
        "add.hang",
        "add.pair",
        "add.edge",
        "add.block",
        "add.round",
        "add.keep",
        "add.drop",
        "add.control",
        "add.sign",
    ),
    "Swing": (
        "leaf.close",
        "leaf.open",
        "leaf.touch",
        "leaf.hand",
        "leaf.side",
        "add.shot",
        "view.gate",
        "view.plan",
    ),
    "Sheets": ("job.export", "view.gate", "view.plan", "job.save", "edit.job", "edit.undo", "edit.redo"),
}
"""The commands in front in each stage."""
