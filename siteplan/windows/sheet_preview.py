"""The Sheet tray: small pictures of the sheets, made beside the window, and the export into files."""

from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QHideEvent,
    QIcon,
    QImage,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from siteplan.canvas.palette import LIGHT
from siteplan.model.document import Document
from siteplan.windows.background import Tell, Work
from siteplan.windows.cards import FlowLayout, label, scrolled
from siteplan.windows.desk import Desk
from siteplan.windows.style import GAP, set_role, text_scale

Export = Callable[[Document, Path, tuple[str, ...], Tell], tuple[Path, ...]]

KINDS: Final = (("pdf", "PDF"), ("dxf", "DXF"), ("png", "PNG"))
PICTURE_DPI: Final = 110
SETTLE_MS: Final = 400  # after the last change, before pictures are made anew
THUMB_HIGH: Final = 112  # pixels at a text size of 100 %
SIDE_WIDE: Final = 290
STACKED_BELOW: Final = 620


class SheetPicture(NamedTuple):
    """One sheet as a picture."""

    name: str
    title: str
    image: QImage


def make_pictures(document: Document, tell: Tell) -> tuple[SheetPicture, ...]:
    """Return the sheets of a document as pictures; runs in any thread.

    Raises
    ------
    SheetError
        When the site does not fit its paper, or there is nothing to draw.
    """
    from siteplan.drawing.sheets import make_sheets  # the window must not wait for what sheets need
    from siteplan.export.paint import write_png

    pictures = []
    for sheet in make_sheets(document, tell).sheets:
        tell(f"Painting sheet {sheet.name}")
        image = QImage.fromData(write_png(sheet, PICTURE_DPI))
        pictures.append(SheetPicture(sheet.name, sheet.title.capitalize(), image))
    return tuple(pictures)


class SheetTray(QWidget):
    """The sheets of the document as it is now."""

    opened = Signal(object)  # a SheetPicture, or None for the plan

    def __init__(self, desk: Desk, export: Export, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAccessibleName("Sheet tray")
        self._desk = desk
        self._export = export
        self._pictured: Document | None = None
        self._painting: Work | None = None
        self._exporting: Work | None = None
        self._folder: Path | None = None
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._paint_if_due)
        self.pictures: tuple[SheetPicture, ...] = ()
        self.thumbs: list[QToolButton] = []
        self._build()
        desk.document_changed.connect(self._note_change)
        desk.file_changed.connect(self._show_folder)
        self._show_folder()

    # -- what is there

    @property
    def is_working(self) -> bool:
        """Whether something is being done beside the window."""
        return self._painting is not None or self._exporting is not None

    @property
    def kinds(self) -> tuple[str, ...]:
        """The formats that are wanted."""
        return tuple(kind for kind, box in self.boxes.items() if box.isChecked())

    def folder(self) -> Path | None:
        """Return the folder for the files: the one chosen, or one beside the file of the job."""
        path = self._desk.path
        beside = None if path is None else path.with_name(f"{path.stem}-sheets")
        return self._folder or beside

    def export(self) -> None:
        """Write the sheets into the folder; ask for one when there is none."""
        folder = self.folder() or self._choose_folder()
        if folder is None or self._exporting is not None or not self.kinds:
            return
        document, kinds, export = self._desk.document, self.kinds, self._export
        work = Work(lambda tell: export(document, folder, kinds, tell), self)
        work.told.connect(self.state.setText)
        work.done.connect(self._exported)
        work.failed.connect(lambda text: self._desk.say(text, "Stop"))
        work.finished.connect(self._export_ended)
        self._exporting = work
        self._show_working()
        self.state.setText("Starting")
        work.start()

    def leave_export(self) -> None:
        """Give the export up."""
        if self._exporting is not None:
            self._exporting.leave()
            self.state.setText("Leaving")

    def stop(self) -> None:
        """Leave everything under way and wait for it."""
        self._settle.stop()
        for work in (self._painting, self._exporting):
            if work is not None:
                work.leave()
                work.wait()

    # -- pictures

    def _note_change(self) -> None:
        if self.isVisible():
            self._settle.start()

    def _paint_if_due(self) -> None:
        document = self._desk.document
        if self._painting is not None or self._pictured is document or not self.isVisible():
            return
        self._pictured = document
        work = Work(lambda tell: make_pictures(document, tell), self)
        work.done.connect(self._show_pictures)
        work.failed.connect(self._show_no_pictures)
        work.finished.connect(self._painting_ended)
        self._painting = work
        self.state.setText("Drawing the sheets")
        work.start()

    def _painting_ended(self) -> None:
        if self._painting is not None:
            self._painting.deleteLater()
        self._painting = None
        if self._pictured is not self._desk.document:
            self._settle.start()

    def _show_pictures(self, pictures: tuple[SheetPicture, ...]) -> None:
        opened = next((thumb.text() for thumb in self.thumbs if thumb.isChecked()), "")
        self.pictures = pictures
        self.state.setText("")
        for thumb in self.thumbs:
            thumb.hide()
            thumb.deleteLater()
        self.thumbs = [self._made_thumb(picture) for picture in pictures]
        for thumb in self.thumbs:
            self._flow.addWidget(thumb)
            if thumb.text() == opened:
                thumb.setChecked(True)
        self._open_checked()

    def _show_no_pictures(self, reason: str) -> None:
        self._show_pictures(())
        self.state.setText(reason)

    def _made_thumb(self, picture: SheetPicture) -> QToolButton:
        thumb = QToolButton()
        set_role(thumb, "role", "thumb")
        thumb.setCheckable(True)
        thumb.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        thumb.setText(f"{picture.name} {picture.title}")
        thumb.setAccessibleName(f"sheet {picture.name}, {picture.title}")
        high = round(THUMB_HIGH * text_scale(self))
        small = picture.image.scaledToHeight(high, Qt.TransformationMode.SmoothTransformation)
        pixmap = QPixmap.fromImage(small.convertToFormat(QImage.Format.Format_RGB32))
        with QPainter(pixmap) as painter:
            painter.setPen(QPen(QColor(LIGHT.rule), 1))
            painter.drawRect(pixmap.rect().adjusted(0, 0, -1, -1))
        thumb.setIcon(QIcon(pixmap))
        thumb.setIconSize(pixmap.size())
        thumb.clicked.connect(lambda: self._click(thumb))
        return thumb

    def _click(self, thumb: QToolButton) -> None:
        for other in self.thumbs:
            if other is not thumb:
                other.setChecked(False)
        self._open_checked()

    def close_sheet(self) -> None:
        """Put the large sheet away."""
        for thumb in self.thumbs:
            thumb.setChecked(False)
        self.opened.emit(None)

    def _open_checked(self) -> None:
        shown = zip(self.thumbs, self.pictures, strict=True)
        self.opened.emit(next((picture for thumb, picture in shown if thumb.isChecked()), None))

    # -- export

    def _exported(self, paths: tuple[Path, ...]) -> None:
        count = "1 file" if len(paths) == 1 else f"{len(paths)} files"
        self._desk.say(f"Wrote {count} into {paths[0].parent}." if paths else "Nothing was written.", passes=True)

    def _export_ended(self) -> None:
        if self._exporting is not None:
            self._exporting.deleteLater()
        self._exporting = None
        self.state.setText("")
        self._show_working()

    def _show_working(self) -> None:
        working = self._exporting is not None
        self.bar.setVisible(working)
        self.leave_button.setVisible(working)
        self.export_button.setEnabled(not working and bool(self.kinds))
        self.export_button.setToolTip("" if self.kinds else "Choose a format first")

    def _choose_folder(self) -> Path | None:
        chosen = QFileDialog.getExistingDirectory(self, "Folder for the sheets")
        if chosen:
            self._folder = Path(chosen)
            self._show_folder()
        return self._folder

    def _show_folder(self) -> None:
        folder = self.folder()
        self.place.setText("no folder yet" if folder is None else f"into {folder.name}")
        self.place.setToolTip("" if folder is None else str(folder))

    # -- widgets

    def _build(self) -> None:
        thumbs = QWidget()
        self._flow = FlowLayout(thumbs)
        self._flow.setContentsMargins(0, 0, 0, 0)
        self._flow.setSpacing(GAP)
        side = QVBoxLayout()
        side.setSpacing(GAP // 2)
        self.boxes = {kind: QCheckBox(word) for kind, word in KINDS}
        formats = QHBoxLayout()
        for box in self.boxes.values():
            box.setChecked(True)
            box.toggled.connect(self._show_working)
            formats.addWidget(box)
        formats.addStretch(1)
        self.place = label("", "quiet")
        self.place.setWordWrap(True)
        self.folder_button = QPushButton("Folder...")
        self.folder_button.clicked.connect(self._choose_folder)
        self.export_button = QPushButton("Export")
        set_role(self.export_button, "role", "main")
        self.export_button.clicked.connect(self.export)
        self.leave_button = QPushButton("Cancel")
        self.leave_button.clicked.connect(self.leave_export)
        self.bar = QProgressBar()
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("export under way")
        self.state = label("", "quiet")
        self.state.setWordWrap(True)
        buttons = QHBoxLayout()
        for button in (self.export_button, self.leave_button, self.folder_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        for part in (formats, buttons):
            side.addLayout(part)
        for widget in (self.place, self.bar, self.state):
            side.addWidget(widget)
        side.addStretch(1)
        self._side = QWidget()
        self._side.setLayout(side)
        side.setContentsMargins(0, 0, 0, 0)
        content = QWidget()
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, content)
        self._halves.setContentsMargins(0, 0, 0, 0)
        self._halves.setSpacing(GAP)
        self._halves.addWidget(thumbs, stretch=1)
        self._halves.addWidget(self._side)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(scrolled(content))
        self._show_working()

    def sizeHint(self) -> QSize:
        """Return the room for one row of sheets."""
        scale = text_scale(self)
        return QSize(0, round((THUMB_HIGH + 48) * scale))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the export under the sheets where there is no room beside them."""
        narrow = event.size().width() < STACKED_BELOW * text_scale(self)
        direction = QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        self._halves.setDirection(direction)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the pictures when they are looked at."""
        super().showEvent(event)
        self._paint_if_due()

    def hideEvent(self, event: QHideEvent) -> None:
        """Make no pictures that nobody sees."""
        super().hideEvent(event)
        self._settle.stop()


class SheetPage(QWidget):
    """One sheet, as large as fits."""

    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Sheet")
        self._picture: SheetPicture | None = None
        self._scaled: QPixmap | None = None
        self.back = QPushButton("Back to the plan", self)
        self.back.setShortcut("Esc")
        self.back.clicked.connect(self.left)

    def show_picture(self, picture: SheetPicture) -> None:
        """Show a sheet."""
        self._picture, self._scaled = picture, None
        self.setAccessibleDescription(f"{picture.name} {picture.title}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the sheet in the middle."""
        del event
        if self._picture is None:
            return
        room = self.size() * self.devicePixelRatioF()
        if self._scaled is None:
            small = self._picture.image.scaled(
                room, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            )
            self._scaled = QPixmap.fromImage(small)
            self._scaled.setDevicePixelRatio(self.devicePixelRatioF())
        with QPainter(self) as painter:
            box = self._scaled.deviceIndependentSize().toSize()
            x, y = (self.width() - box.width()) // 2, (self.height() - box.height()) // 2
            painter.drawPixmap(x, y, self._scaled)
            painter.setPen(QPen(QColor(LIGHT.rule), 1))
            painter.drawRect(x, y, box.width() - 1, box.height() - 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the sheet anew."""
        self._scaled = None
        self._place_back()

    def changeEvent(self, event: QEvent) -> None:
        """Keep the button at its size."""
        super().changeEvent(event)
        self._place_back()

    def _place_back(self) -> None:
        self.back.adjustSize()
        self.back.move(GAP, GAP)
