"""The strip over the plan: one whole sentence, ways on from there, and nothing that must be answered."""

from typing import Final

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QWidget

from siteplan.windows.cards import FlowLayout, label
from siteplan.windows.desk import Choice, Notice
from siteplan.windows.icons import SeverityMark
from siteplan.windows.style import GAP, RADIUS, set_role

SHOWN_MS: Final = 10_000


class NoticeStrip(QFrame):
    """Lies at the top of another widget and goes along with its width."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.setObjectName("card")
        self._over = over
        self._passing = QTimer(self)
        self._passing.setSingleShot(True)
        self._passing.setInterval(SHOWN_MS)
        self._passing.timeout.connect(self.leave)
        self._mark: SeverityMark | None = None
        self.words = label("", "plain")
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        choices = QWidget()
        self._choices = FlowLayout(choices)
        self._choices.setContentsMargins(0, 0, 0, 0)
        self._choices.setSpacing(GAP // 2)
        self.buttons: list[QPushButton] = []
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(GAP, RADIUS, GAP, RADIUS)
        self._layout.setSpacing(GAP)
        self._layout.addWidget(self.words, stretch=1)
        self._layout.addWidget(choices, stretch=0)
        over.installEventFilter(self)
        self.hide()

    def show_notice(self, notice: Notice) -> None:
        """Show a sentence in place of the one before."""
        self._passing.stop()
        self.words.setText(notice.text)
        self.setAccessibleName(notice.text)
        if self._mark is not None:
            self._mark.deleteLater()
            self._mark = None
        if notice.severity is not None:
            self._mark = SeverityMark(notice.severity)
            self._layout.insertWidget(0, self._mark)
        self._offer(notice.choices)
        self.show()
        self._place()
        self.raise_()
        if notice.passes:
            self._passing.start()

    def leave(self) -> bool:
        """Put the strip away, or return False when there is none."""
        self._passing.stop()
        shown = self.isVisible()
        self.hide()
        return shown

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go along with the width of the widget below."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._place()
        return super().eventFilter(watched, event)

    def _offer(self, choices: tuple[Choice, ...]) -> None:
        for button in self.buttons:
            button.hide()
            button.deleteLater()
        self.buttons = [self._made_button(choice) for choice in choices]
        close = QPushButton("Close")
        set_role(close, "role", "quiet")
        close.clicked.connect(self.leave)
        self.buttons.append(close)
        for button in self.buttons:
            self._choices.addWidget(button)

    def _made_button(self, choice: Choice) -> QPushButton:
        button = QPushButton(choice.text)
        button.clicked.connect(lambda: self._take(choice))
        return button

    def _take(self, choice: Choice) -> None:
        self.leave()
        choice.take()

    def _place(self) -> None:
        width = self._over.width() - 2 * GAP
        self._layout.activate()
        border = 2 * self.frameWidth()
        height = max(self._layout.heightForWidth(width - border) + border, self.minimumSizeHint().height())
        self.setGeometry(GAP, GAP, width, height)
