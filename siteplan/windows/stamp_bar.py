"""The stamp bar at the foot: units, scale, pack and date, revision, saved or not, and the counts by severity."""

from collections import Counter
from typing import Final

from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from siteplan.drawing.scales import scale_text
from siteplan.model.project import Severity
from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES
from siteplan.rules.limits import pack_of
from siteplan.windows.cards import label
from siteplan.windows.desk import Desk
from siteplan.windows.icons import SeverityMark

UNIT_NAMES: Final = {"ftin": "ft-in", "ftdec": "decimal ft", "in": "decimal in", "m": "m", "mm": "mm"}
COUNTED: Final[tuple[Severity, ...]] = SEVERITIES[:4]  # notes are no trouble
FIELD_GAP: Final = 24
COUNT_GAP: Final = 5


class StampBar(QWidget):
    """The state of the job in one line."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Stamp bar")
        self._desk = desk
        self.fields = {name: label("", "quiet") for name in ("units", "scale", "pack", "revision", "saved")}
        self.counts: dict[Severity, QLabel] = {severity: label("0", "strong") for severity in COUNTED}
        layout = QHBoxLayout(self)
        layout.setContentsMargins(20, 6, 20, 8)
        layout.setSpacing(FIELD_GAP)
        for field in self.fields.values():
            layout.addWidget(field)
        layout.addStretch(1)
        for severity, count in self.counts.items():
            pair = QHBoxLayout()
            pair.setSpacing(COUNT_GAP)
            pair.addWidget(SeverityMark(severity))
            pair.addWidget(count)
            layout.addLayout(pair)
        desk.document_changed.connect(self.refresh)
        desk.file_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the state of now."""
        document, project = self._desk.document, self._desk.document.project
        self.fields["units"].setText(UNIT_NAMES[project.units])
        scale = "fits the sheet" if project.scale is None else scale_text(project.scale, project.units)
        self.fields["scale"].setText(f"scale {scale}")
        self.fields["pack"].setText(pack_of(document).label)
        revision = f"revision {project.revisions[-1].mark}" if project.revisions else "draft"
        self.fields["revision"].setText(revision)
        self.fields["saved"].setText(saved_words(self._desk))
        found = Counter(finding.severity for finding in troubles(document))
        for severity, count in self.counts.items():
            count.setText(str(found[severity]))
            count.setAccessibleName(f"{found[severity]} {severity}")
            count.setToolTip(severity)


def saved_words(desk: Desk) -> str:
    """Return whether the job stands in its file as it is."""
    if desk.history.is_changed:
        return "changes not saved"
    return "saved" if desk.path is not None else "not saved yet"
