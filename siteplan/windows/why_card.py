"""The Why card: one finding explained, or what the part of the window in focus is for."""

import re
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from siteplan.reports.findings_text import Words, words_of
from siteplan.rules.findings import Finding
from siteplan.windows.cards import label, scrolled
from siteplan.windows.desk import Desk
from siteplan.windows.icons import SeverityMark
from siteplan.windows.part_help import HELP, NOTHING

GAP: Final = 6
PARAGRAPH: Final = re.compile(r"^(Why it matters|How it is measured|How to cure it): *", re.MULTILINE)


class WhyCard(QWidget):
    """One finding in words."""

    coded = Signal(str)  # the code of the rule that is explained

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAccessibleName("Why card")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._desk = desk
        self._shown: tuple[Finding, Words] | str | None = None
        self._area = scrolled(QWidget())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._area)
        desk.document_changed.connect(self.refresh)
        desk.selection_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Explain the finding that is selected now."""
        finding = self._desk.finding
        if finding is None:
            self._show_text(NOTHING)
            return
        shown = (finding, words_of(finding, self._desk.document))
        if shown != self._shown:
            self._shown = shown
            self._area.setWidget(_explained(*shown))
            self.setAccessibleDescription(" ".join(shown[1]))
            self.coded.emit(finding.code)

    def explain_part(self, part: str) -> None:
        """Say what a part of the window is for, unless a finding is being explained."""
        if self._desk.finding is None:
            self._show_text(HELP[part], part)

    def _show_text(self, text: str, title: str = "") -> None:
        if text != self._shown:
            self._shown = text
            page, layout = _page()
            if title:
                layout.addWidget(_text(title, "strong"))
            layout.addWidget(_text(text, "quiet"))
            self._area.setWidget(page)
            self.setAccessibleDescription(text)
            self.coded.emit("")


def _explained(finding: Finding, words: Words) -> QWidget:
    page, layout = _page()
    head = QHBoxLayout()
    head.setSpacing(GAP)
    head.addWidget(SeverityMark(finding.severity), alignment=Qt.AlignmentFlag.AlignTop)
    head.addWidget(_text(words.headline, "strong"), stretch=1)
    layout.addLayout(head)
    layout.addWidget(_text(f"{finding.severity} · {words.detail}", "plain"))
    for title, text in paragraphs(words.page):
        layout.addWidget(_text(title, "heading"))
        layout.addWidget(_text(text[:1].upper() + text[1:], "plain"))
    layout.addWidget(_text(words.rule_line, "small"))
    if words.witness:
        layout.addWidget(_text(f"Witness {words.witness}", "small"))
    return page


def paragraphs(page: str) -> list[tuple[str, str]]:
    """Return the titled paragraphs of the page of a rule, each as one line."""
    pieces = PARAGRAPH.split(page)
    titled = zip(pieces[1::2], pieces[2::2], strict=True)
    return [(title, " ".join(text.split())) for title, text in titled]


def _page() -> tuple[QWidget, QVBoxLayout]:
    page = QWidget()
    layout = QVBoxLayout(page)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(GAP)
    layout.setAlignment(Qt.AlignmentFlag.AlignTop)
    return page, layout


def _text(text: str, role: str) -> QLabel:
    """Return a text that wraps and can be copied."""
    made = label(text, role)
    made.setWordWrap(True)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return made
