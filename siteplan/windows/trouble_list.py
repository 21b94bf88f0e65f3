"""The Trouble list: findings, worst first; selecting one draws where it was measured and explains it."""

from collections import Counter
from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from siteplan.reports.findings_text import words_of
from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES, Finding
from siteplan.rules.limits import pack_of
from siteplan.windows.desk import Desk
from siteplan.windows.two_line_list import ListItem, TwoLineList

COUNTS_SHOWN: Final = 2  # beside the title; all stand in the stamp bar


class TroubleList(TwoLineList):
    """The findings of now."""

    counted = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self._desk = desk
        self.setAccessibleName("Trouble list")
        self.chosen.connect(self._choose)
        desk.document_changed.connect(self.refresh)
        desk.selection_changed.connect(self._mark_finding)
        self.refresh()

    def refresh(self) -> None:
        """Show the findings of now."""
        document = self._desk.document
        found = troubles(document)
        items = []
        for finding in found:
            words = words_of(finding, document)
            items.append(ListItem(finding.key, words.headline, words.detail, finding.severity))
        self.when_empty = f"Nothing found against {pack_of(document).label}."
        self.show_items(items)
        self._mark_finding()
        self.counted.emit(counts_in_words(found))

    def _choose(self, key: str) -> None:
        finding = next((each for each in troubles(self._desk.document) if each.key == key), None)
        if finding is not None:
            self._desk.select_finding(finding)

    def _mark_finding(self) -> None:
        finding = self._desk.finding
        self.mark("" if finding is None else finding.key)


def counts_in_words(findings: Iterable[Finding]) -> str:
    """Return how many findings there are of the two worst severities there are: 2 stop · 1 ask."""
    counts = Counter(finding.severity for finding in findings)
    worst = [severity for severity in SEVERITIES if counts[severity]][:COUNTS_SHOWN]
    return " · ".join(f"{counts[severity]} {severity.lower()}" for severity in worst)
