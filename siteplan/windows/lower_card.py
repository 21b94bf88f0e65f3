"""The lower card: the Leaf dial, or the Sheet tray in the stage of sheets; it folds to one line."""

from typing import Final

from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from siteplan.windows.cards import label
from siteplan.windows.style import PADDING, set_role

FOLDED_AT_FIRST: Final = {"Lay out": True, "Swing": False, "Sheets": False}


class LowerCard(QFrame):
    """One of two pages under a title line."""

    def __init__(self, dial: QWidget, tray: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._pages = {"Leaf dial": dial, "Sheet tray": tray}
        self._folded = dict(FOLDED_AT_FIRST)
        self._stage = "Lay out"
        self.title = label("", "strong")
        self.summary = label("", "quiet")
        self.fold_button = QPushButton("")
        set_role(self.fold_button, "role", "quiet")
        self.fold_button.clicked.connect(self.fold)
        head = QHBoxLayout()
        head.setSpacing(PADDING)
        head.addWidget(self.title)
        head.addWidget(self.summary)
        head.addStretch(1)
        head.addWidget(self.fold_button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(PADDING, PADDING // 2, PADDING, PADDING // 2)
        layout.setSpacing(PADDING // 4)
        layout.addLayout(head)
        for page in self._pages.values():
            layout.addWidget(page)
        self._arrange()

    @property
    def is_folded(self) -> bool:
        """Whether only the title line is shown."""
        return self._folded[self._stage]

    def fold_all(self) -> None:
        """Fold the card in all stages, as in a low window."""
        self._folded = dict.fromkeys(self._folded, True)
        self._arrange()

    @property
    def page_title(self) -> str:
        """The title of the page of the stage."""
        return "Sheet tray" if self._stage == "Sheets" else "Leaf dial"

    def show_stage(self, stage: str) -> None:
        """Show the page of a stage, folded as it was left."""
        self._stage = stage
        self._arrange()

    def fold(self) -> None:
        """Fold the card, or unfold it."""
        self._folded[self._stage] = not self.is_folded
        self._arrange()

    def set_summary(self, text: str) -> None:
        """Set what is shown in the title line while the dial is folded."""
        self.summary.setText(text)
        self._arrange()

    def _arrange(self) -> None:
        self.title.setText(self.page_title)
        self.summary.setVisible(self.is_folded and self.page_title == "Leaf dial")
        for title, page in self._pages.items():
            page.setVisible(title == self.page_title and not self.is_folded)
        self.fold_button.setText("Unfold" if self.is_folded else "Fold")
        self.fold_button.setAccessibleName(f"{self.fold_button.text()} {self.page_title}")
