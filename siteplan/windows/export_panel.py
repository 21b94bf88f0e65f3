"""Writing the sheets into files: which formats, where to, how far it is, and a way to leave it."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QFileDialog, QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from siteplan.model.document import Document
from siteplan.windows.background import Tell, Work
from siteplan.windows.cards import label
from siteplan.windows.desk import Desk
from siteplan.windows.style import GAP, set_role

Export = Callable[[Document, Path, tuple[str, ...], Tell], tuple[Path, ...]]
KINDS: Final = (("pdf", "PDF"), ("dxf", "DXF"), ("png", "PNG"))
NO_KIND: Final = "Choose a format first"


class ExportPanel(QWidget):
    """The export of the document as it is now."""

    exported = Signal(object)  # paths

    def __init__(self, desk: Desk, export: Export, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._write = export
        self._work: Work | None = None
        self._folder: Path | None = None
        self.boxes = {kind: QCheckBox(word) for kind, word in KINDS}
        self.export_button = QPushButton("Export")
        self.leave_button = QPushButton("Cancel")
        self.folder_button = QPushButton("Folder...")
        self.bar = QProgressBar()
        self.place = label("", "quiet")
        self.state = label("", "quiet")
        self._lay_out()
        self._connect()
        self._show_folder()
        self._show_working()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The formats that are wanted."""
        return tuple(kind for kind, box in self.boxes.items() if box.isChecked())

    @property
    def folder(self) -> Path | None:
        """The folder for the files: the one chosen, or one beside the file of the job."""
        path = self._desk.path
        beside = None if path is None else path.with_name(f"{path.stem}-sheets")
        return self._folder or beside

    def start(self) -> None:
        """Write the sheets into the folder; ask for one when there is none."""
        folder = self.folder or self._choose_folder()
        if folder is None or self._work is not None or not self.kinds:
            return
        document, kinds, write = self._desk.document, self.kinds, self._write
        work = Work(lambda tell: write(document, folder, kinds, tell), self)
        work.told.connect(self.state.setText)
        work.done.connect(self._say_done)
        work.failed.connect(lambda reason: self._desk.say(reason, "Stop"))
        work.finished.connect(self._end)
        self._work = work
        self._show_working()
        self.state.setText("Starting")
        work.start()

    def leave(self) -> None:
        """Give the export up; what is written stays."""
        if self._work is not None:
            self._work.leave()
            self.state.setText("Leaving")

    def stop(self) -> None:
        """Leave the export and wait until it has ended."""
        if self._work is not None:
            self._work.leave()
            self._work.wait()

    def _say_done(self, paths: tuple[Path, ...]) -> None:
        count = "1 file" if len(paths) == 1 else f"{len(paths)} files"
        self._desk.say(f"Wrote {count} into {paths[0].parent}." if paths else "Nothing was written.", passes=True)
        self.exported.emit(paths)

    def _end(self) -> None:
        if self._work is not None:
            self._work.deleteLater()
        self._work = None
        self.state.setText("")
        self._show_working()

    def _show_working(self) -> None:
        working = self._work is not None
        self.bar.setVisible(working)
        self.leave_button.setVisible(working)
        self.export_button.setEnabled(not working and bool(self.kinds))
        self.export_button.setToolTip("" if self.kinds else NO_KIND)

    def _choose_folder(self) -> Path | None:
        chosen = QFileDialog.getExistingDirectory(self, "Folder for the sheets")
        if chosen:
            self._folder = Path(chosen)
            self._show_folder()
        return self._folder

    def _show_folder(self) -> None:
        folder = self.folder
        self.place.setText("no folder yet" if folder is None else f"into {folder.name}")
        self.place.setToolTip("" if folder is None else str(folder))

    def _connect(self) -> None:
        for box in self.boxes.values():
            box.toggled.connect(self._show_working)
        self.export_button.clicked.connect(self.start)
        self.leave_button.clicked.connect(self.leave)
        self.folder_button.clicked.connect(self._choose_folder)
        self._desk.file_changed.connect(self._show_folder)

    def _lay_out(self) -> None:
        set_role(self.export_button, "role", "main")
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("export under way")
        formats = QHBoxLayout()
        for box in self.boxes.values():
            box.setChecked(True)
            formats.addWidget(box)
        formats.addStretch(1)
        buttons = QHBoxLayout()
        for button in (self.export_button, self.leave_button, self.folder_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(GAP // 2)
        layout.addLayout(formats)
        layout.addLayout(buttons)
        for text in (self.place, self.state):
            text.setWordWrap(True)
        for widget in (self.place, self.bar, self.state):
            layout.addWidget(widget)
        layout.addStretch(1)
