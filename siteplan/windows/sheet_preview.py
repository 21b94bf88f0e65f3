"""The Sheet tray: small pictures of the sheets, made beside the window; and one of them large in place of the plan."""

from typing import Final, NamedTuple

from PySide6.QtCore import QSize, Qt, QTimer, Signal
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
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QToolButton, QVBoxLayout, QWidget

from siteplan.canvas.palette import LIGHT
from siteplan.model.document import Document
from siteplan.windows.background import Tell, Work
from siteplan.windows.cards import FlowLayout, label, scrolled
from siteplan.windows.desk import Desk
from siteplan.windows.export_panel import Export, ExportPanel
from siteplan.windows.style import GAP, set_role, text_scale

PICTURE_DPI: Final = 110
SETTLE_MS: Final = 400  # after the last change, before pictures are made anew
# Pixels at a text size of 100 %.
THUMB_HIGH: Final = 100
TRAY_HIGH: Final = 150
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
        self._pictured: Document | None = None
        self._work: Work | None = None
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._paint_if_due)
        self.pictures: tuple[SheetPicture, ...] = ()
        self.thumbs: list[QToolButton] = []
        self.panel = ExportPanel(desk, export)
        self.state = label("", "quiet")
        self.state.setWordWrap(True)
        thumbs = QWidget()
        self._flow = FlowLayout(thumbs)
        self._flow.setContentsMargins(0, 0, 0, 0)
        self._flow.setSpacing(GAP)
        left = QVBoxLayout()
        left.addWidget(thumbs)
        left.addWidget(self.state)
        left.addStretch(1)
        content = QWidget()
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, content)
        self._halves.setContentsMargins(0, 0, 0, 0)
        self._halves.setSpacing(2 * GAP)
        self._halves.addLayout(left, 1)
        self._halves.addWidget(self.panel)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(scrolled(content))
        desk.document_changed.connect(self._note_change)

    def stop(self) -> None:
        """Leave everything under way and wait until it has ended."""
        self._settle.stop()
        self.panel.stop()
        if self._work is not None:
            self._work.leave()
            self._work.wait()

    def close_sheet(self) -> None:
        """Put the large sheet away."""
        self._check("")
        self.opened.emit(None)

    def _note_change(self) -> None:
        if self.isVisible():
            self._settle.start()

    def _paint_if_due(self) -> None:
        document = self._desk.document
        if self._work is not None or self._pictured is document or not self.isVisible():
            return
        self._pictured = document
        work = Work(lambda tell: make_pictures(document, tell), self)
        work.done.connect(self._show_pictures)
        work.failed.connect(self._show_no_pictures)
        work.finished.connect(self._end)
        self._work = work
        self.state.setText("Drawing the sheets" if not self.thumbs else "")
        work.start()

    def _end(self) -> None:
        if self._work is not None:
            self._work.deleteLater()
        self._work = None
        if self._pictured is not self._desk.document:
            self._note_change()

    def _show_pictures(self, pictures: tuple[SheetPicture, ...]) -> None:
        opened = next((thumb.text() for thumb in self.thumbs if thumb.isChecked()), "")
        self.pictures = pictures
        self.state.setText("")
        self.state.hide()
        for thumb in self.thumbs:
            thumb.hide()
            thumb.deleteLater()
        self.thumbs = [self._made_thumb(picture) for picture in pictures]
        for thumb in self.thumbs:
            self._flow.addWidget(thumb)
        self._check(opened)
        self._open_checked()

    def _show_no_pictures(self, reason: str) -> None:
        self._show_pictures(())
        self.state.setText(reason)
        self.state.show()

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
        thumb.clicked.connect(lambda checked: self._click(thumb.text() if checked else ""))
        return thumb

    def _click(self, name: str) -> None:
        self._check(name)
        self._open_checked()

    def _check(self, name: str) -> None:
        for thumb in self.thumbs:
            thumb.setChecked(thumb.text() == name)

    def _open_checked(self) -> None:
        shown = zip(self.thumbs, self.pictures, strict=True)
        self.opened.emit(next((picture for thumb, picture in shown if thumb.isChecked()), None))

    def sizeHint(self) -> QSize:
        """Return the room for one row of sheets."""
        return QSize(0, round(TRAY_HIGH * text_scale(self)))

    def minimumSizeHint(self) -> QSize:
        """Return the room for one row of sheets."""
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the export under the sheets where there is no room beside them."""
        narrow = event.size().width() < STACKED_BELOW * text_scale(self)
        self._halves.setDirection(QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight)

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
        self.back = QPushButton("Back to the plan")
        self.back.setShortcut("Esc")
        self.back.clicked.connect(self.left)
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(row)
        layout.addStretch(1)

    def show_picture(self, picture: SheetPicture) -> None:
        """Show a sheet."""
        self._picture, self._scaled = picture, None
        self.setAccessibleDescription(f"{picture.name} {picture.title}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the sheet under the button, in the middle."""
        del event
        if self._picture is None:
            return
        top = self.back.geometry().bottom() + GAP
        if self._scaled is None:
            room = QSize(self.width(), max(1, self.height() - top)) * self.devicePixelRatioF()
            fitted = self._picture.image.scaled(
                room, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            )
            self._scaled = QPixmap.fromImage(fitted)
            self._scaled.setDevicePixelRatio(self.devicePixelRatioF())
        with QPainter(self) as painter:
            box = self._scaled.deviceIndependentSize().toSize()
            x = (self.width() - box.width()) // 2
            painter.drawPixmap(x, top, self._scaled)
            painter.setPen(QPen(QColor(LIGHT.rule), 1))
            painter.drawRect(x, top, box.width() - 1, box.height() - 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the sheet anew."""
        del event
        self._scaled = None
