"""Opening and saving the file of a job; the only two places where the window waits for an answer are here."""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Final

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from siteplan.errors import DamagedFileError, SitePlanError
from siteplan.rules.limits import pack_of
from siteplan.storage.safe_save import last_good, save_site
from siteplan.storage.site_file import Opened, read_site
from siteplan.windows.desk import Choice, Desk, empty_document

SITE_FILES: Final = "Site files (*.json)"
ENDING: Final = ".json"


class JobFiles:
    """The file a desk works on."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        self._desk = desk
        self._parent = parent
        self._known = b""  # digest of the file as it was last read or written here

    def new(self) -> None:
        """Begin an empty job."""
        self.unless_changed(self._begin_new)

    def choose_and_open(self) -> None:
        """Ask for a file and open it."""
        self.unless_changed(self._choose_and_open)

    def open(self, path: Path) -> bool:
        """Open a file; say in the window why it cannot be opened, and offer its last good version if there is one."""
        try:
            opened = read_site(path)
            pack_of(opened.document)  # a job whose pack is not here cannot be judged
        except SitePlanError as error:
            earlier = last_good(path) if isinstance(error, DamagedFileError) else None
            way_on = [Choice("Open the earlier version", lambda: self._take(earlier, path))] if earlier else []
            self._desk.say(str(error), "Stop", way_on)
            return False
        self._take(opened, path)
        return True

    def save(self) -> bool:
        """Save into the file of the job; ask for one when there is none."""
        path = self._desk.path
        return self.save_as() if path is None else self._save_into(path)

    def save_as(self) -> bool:
        """Ask for a file and save into it."""
        start = str(self._desk.path or f"{self._desk.document.project.title}{ENDING}")
        chosen, _ = QFileDialog.getSaveFileName(self._parent, "Save the job as", start, SITE_FILES)
        if not chosen:
            return False
        path = Path(chosen)
        path = path if path.suffix else path.with_suffix(ENDING)
        if path == self._desk.path:
            return self._save_into(path)
        return self._write(path)  # the file chooser has asked already

    def unless_changed(self, then: Callable[[], None]) -> bool:
        """Go on when nothing would be lost; otherwise say so, and offer to save first or to go on without."""
        if not self._desk.history.is_changed:
            then()
            return True

        def save_first() -> None:
            if self.save():
                then()

        self._desk.say(
            "The changes of this job are not saved.",
            "Ask",
            (Choice("Save and go on", save_first), Choice("Go on without saving", then)),
        )
        return False

    def _begin_new(self) -> None:
        self._known = b""
        self._desk.take_over(empty_document(), None, is_saved=True)

    def _choose_and_open(self) -> None:
        start = str(self._desk.path.parent) if self._desk.path else ""
        chosen, _ = QFileDialog.getOpenFileName(self._parent, "Open a job", start, SITE_FILES)
        if chosen:
            self.open(Path(chosen))

    def _take(self, opened: Opened, path: Path) -> None:
        self._known = _digest(path)
        is_whole = opened.path == path
        self._desk.take_over(opened.document, path, is_saved=is_whole)
        if opened.notes:
            self._desk.say(" ".join(opened.notes), "Note", passes=is_whole)

    def _save_into(self, path: Path) -> bool:
        if path.exists() and _digest(path) != self._known and not self._may_overwrite(path):
            return False
        return self._write(path)

    def _write(self, path: Path) -> bool:
        try:
            save_site(self._desk.document, path)
        except SitePlanError as error:
            self._desk.say(str(error), "Stop")
            return False
        self._known = _digest(path)
        self._desk.mark_saved(path)
        return True

    def _may_overwrite(self, path: Path) -> bool:
        """Ask before a file is overwritten that somebody else has changed since it was opened here."""
        box = QMessageBox(self._parent)
        box.setWindowTitle("Save the job")
        box.setText(f"{path.name} was changed by somebody else since it was opened here.")
        box.setInformativeText("The version that stands there is kept beside it when you overwrite it.")
        overwrite = box.addButton("Overwrite it", QMessageBox.ButtonRole.AcceptRole)
        keep = box.addButton("Keep theirs", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(keep)
        box.exec()
        return box.clickedButton() is overwrite


def _digest(path: Path) -> bytes:
    """Return what tells two contents of a file apart; empty when it cannot be read."""
    try:
        return sha256(path.read_bytes()).digest()
    except OSError:
        return b""
