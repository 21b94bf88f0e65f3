"""The strip of commands in front of a stage, as buttons that say why when they cannot be pressed."""

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QToolButton, QWidget

from siteplan.windows.cards import FlowLayout
from siteplan.windows.commands import STAGE_COMMANDS
from siteplan.windows.style import GAP, set_role

EDGE = 8


class CommandStrip(QFrame):
    """The commands of one stage."""

    def __init__(self, actions: dict[str, QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setAccessibleName("Commands of the stage")
        self._actions = actions
        self.buttons: dict[str, QToolButton] = {}
        self._flow = FlowLayout(self)
        self._flow.setContentsMargins(GAP, EDGE, GAP, EDGE)
        self._flow.setSpacing(0)

    def show_stage(self, stage: str) -> None:
        """Show the commands of a stage."""
        for button in self.buttons.values():
            button.hide()
            button.deleteLater()
        self.buttons = {id: self._made_button(self._actions[id]) for id in STAGE_COMMANDS[stage]}
        for button in self.buttons.values():
            self._flow.addWidget(button)

    def _made_button(self, action: QAction) -> QToolButton:
        button = QToolButton()
        set_role(button, "role", "quiet")
        button.setDefaultAction(action)
        return button
