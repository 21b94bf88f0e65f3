"""What one window works on: the history of its document, what is selected, the file, and the angles of the leaves."""

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Final, NamedTuple

from PySide6.QtCore import QObject, Signal

from siteplan.analysis.leaf_places import leaf_places
from siteplan.model.document import Document
from siteplan.model.history import History
from siteplan.model.parts import find_part
from siteplan.model.project import Project, Severity
from siteplan.rules.all_rules import check_site
from siteplan.rules.findings import Finding

JOB: Final = "project"
NEW_TITLE: Final = "new job"


class Choice(NamedTuple):
    """A way on that a notice offers."""

    text: str
    take: Callable[[], None]


class Notice(NamedTuple):
    """One sentence for the strip over the plan, and ways on from there; an error is a Stop."""

    text: str
    severity: Severity | None = None
    choices: tuple[Choice, ...] = ()
    passes: bool = False  # goes away by itself


def empty_document() -> Document:
    """Return a job with nothing on it."""
    return Document(project=Project(title=NEW_TITLE))


class Desk(QObject):
    """The state of one window; everything that shows it listens to these signals."""

    document_changed = Signal()
    selection_changed = Signal()  # another record or another finding
    angles_changed = Signal()
    file_changed = Signal()  # another file, or saved
    job_changed = Signal()  # begun with another document
    said = Signal(object)  # a Notice

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.history = History(empty_document())
        self.history.mark_saved()
        self.path: Path | None = None
        self.selected = ""  # key of a part; empty: the job
        self._finding_key = ""
        self._angles: dict[str, float] = {}

    @property
    def document(self) -> Document:
        """The document as it is now."""
        return self.history.present

    @property
    def angles(self) -> Mapping[str, float]:
        """The leaf angles of the dial, one for each leaf that hangs, never beyond its open stop."""
        return {
            leaf: min(self._angles.get(leaf, 0.0), place.travel_rad)
            for leaf, place in leaf_places(self.document).items()
        }

    @property
    def finding(self) -> Finding | None:
        """The finding that is selected, with its numbers of now; None once it is gone."""
        found = (each for each in check_site(self.document) if self._finding_key and each.key == self._finding_key)
        return next(found, None)

    def say(
        self, text: str, severity: Severity | None = None, choices: Iterable[Choice] = (), passes: bool = False
    ) -> None:
        """Show one sentence in the window."""
        self.said.emit(Notice(text, severity, tuple(choices), passes))

    def take_over(self, document: Document, path: Path | None, is_saved: bool) -> None:
        """Begin with another document."""
        self.history = History(document, saved=document if is_saved else None)
        self.path, self.selected, self._finding_key, self._angles = path, "", "", {}
        self.file_changed.emit()
        self.document_changed.emit()
        self.angles_changed.emit()
        self.selection_changed.emit()
        self.job_changed.emit()

    def commit(self, label: str, document: Document, drag: object = None) -> None:
        """Make a document the present one; all commits of one drag are one step."""
        if document is not self.document:
            self.history.commit(label, document, drag)
            self._after_change()

    def undo(self) -> None:
        """Go back one step."""
        self.history.undo()
        self._after_change()

    def redo(self) -> None:
        """Go forward one step again."""
        self.history.redo()
        self._after_change()

    def leave_drag(self, drag: object) -> None:
        """Put everything back as it was before a drag."""
        self.history.revert_drag(drag)
        self._after_change()

    def mark_saved(self, path: Path) -> None:
        """Take note that the document stands in a file as it is now."""
        self.path = path
        self.history.mark_saved()
        self.file_changed.emit()

    def select(self, key: str) -> None:
        """Select a part; an empty key, or that of the job, selects the job."""
        key = "" if key == JOB else key
        if key != self.selected or self._finding_key:
            self.selected, self._finding_key = key, ""
            self.selection_changed.emit()

    def select_finding(self, finding: Finding) -> None:
        """Select a finding and the first thing it is about, and swing its leaf to where it was measured."""
        self._finding_key = finding.key
        places = leaf_places(self.document)
        self.selected = next((key for key in finding.subjects if find_part(self.document, key) is not None), "")
        leaf = next((subject for subject in finding.subjects if subject in places), None)
        self.selection_changed.emit()
        if leaf is not None and finding.angle_rad is not None:
            self.swing(leaf, finding.angle_rad)

    def swing(self, leaf: str, angle_rad: float) -> None:
        """Set the angle of a leaf."""
        self.swing_all({leaf: angle_rad})

    def swing_all(self, angles: Mapping[str, float]) -> None:
        """Set the angles of several leaves."""
        before = self.angles
        self._angles.update({leaf: max(0.0, angle) for leaf, angle in angles.items()})
        if self.angles != before:
            self.angles_changed.emit()

    def _after_change(self) -> None:
        gone = self.selected and find_part(self.document, self.selected) is None
        if gone:
            self.selected = ""
        self.document_changed.emit()
        if gone:
            self.selection_changed.emit()
