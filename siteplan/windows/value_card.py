"""The Value card: the facts of what is selected, each with its tag, all of them to be typed over."""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from siteplan.errors import SitePlanError
from siteplan.model.document import Document
from siteplan.model.marks import BASES
from siteplan.model.parts import find_part
from siteplan.model.project import Units
from siteplan.windows.cards import scrolled
from siteplan.windows.desk import JOB, Desk
from siteplan.windows.row_editor import RowEditor, name_width
from siteplan.windows.style import text_scale
from siteplan.windows.value_rows import Entry, Row, part_name, rows_of, with_chosen, with_entry, with_tag, with_unknown

WIDEST_NAME: Final = 118  # pixels at a text size of 100 %; longer names take two lines
ROW_GAP: Final = 2


class ValueCard(QWidget):
    """The rows of the selected part; of the job when nothing is selected."""

    renamed = Signal(str)  # what the card is about

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAccessibleName("Value card")
        self._desk = desk
        self._shown: tuple[str, Units] = ("", "ftin")
        self.editors: list[RowEditor] = []
        self._content = QWidget()
        self._rows = QVBoxLayout(self._content)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(ROW_GAP)
        self._rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._area = scrolled(self._content)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._area)
        desk.document_changed.connect(self._refresh_if_seen)
        desk.selection_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the values of now; the rows are made anew only when they are about something else."""
        key = self._desk.selected or JOB
        part = find_part(self._desk.document, key)
        rows = rows_of(self._desk.document, key)
        units = self._desk.document.project.units
        if (key, units) != self._shown or [_shape(row) for row in rows] != [
            _shape(editor.row) for editor in self.editors
        ]:
            self._rebuild(rows)
            self._shown = (key, units)
        else:
            for editor, row in zip(self.editors, rows, strict=True):
                if row != editor.row:
                    editor.show_row(row)
        self.renamed.emit("" if part is None else part_name(part))

    def editor(self, path: str) -> RowEditor:
        """Return the row of a field."""
        return next(editor for editor in self.editors if editor.row.path == path)

    def _refresh_if_seen(self) -> None:
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while nobody looked."""
        self.refresh()
        super().showEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Share the room of the names anew when the text size changes."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._share_names()

    def _rebuild(self, rows: tuple[Row, ...]) -> None:
        for editor in self.editors:
            editor.hide()
            editor.deleteLater()
        self.editors = [RowEditor(row, self._desk.document.project.units) for row in rows]
        for editor in self.editors:
            editor.typed.connect(self._type)
            editor.chosen.connect(self._choose)
            editor.tagged.connect(self._tag)
            editor.answered.connect(self._show_answer, Qt.ConnectionType.QueuedConnection)
            self._rows.addWidget(editor)
        self._share_names()
        self._area.verticalScrollBar().setValue(0)

    def _show_answer(self, editor: RowEditor) -> None:
        """Bring a row into view with what it says; called once it has grown."""
        self._area.ensureWidgetVisible(editor, 0, editor.height())

    def _share_names(self) -> None:
        width = name_width(self.editors, self.fontMetrics(), round(WIDEST_NAME * text_scale(self)))
        for editor in self.editors:
            editor.set_name_width(width)

    def _type(self, row: Row, entry: Entry | None) -> None:
        document = self._desk.document
        self._change(
            row,
            lambda: (
                with_unknown(document, self._shown[0], row)
                if entry is None
                else with_entry(document, self._shown[0], row, entry)
            ),
        )

    def _choose(self, row: Row, value: object) -> None:
        self._change(row, lambda: with_chosen(self._desk.document, self._shown[0], row, value))

    def _tag(self, row: Row, basis: str) -> None:
        wanted = next(each for each in BASES if each == basis)
        self._change(row, lambda: with_tag(self._desk.document, self._shown[0], row, wanted))

    def _change(self, row: Row, edit: Callable[[], Document]) -> None:
        """Make one edit of a row, or say in the row why it cannot be."""
        editor = self.editor(row.path)
        part = find_part(self._desk.document, self._shown[0])
        assert part is not None
        try:
            document = edit()
        except SitePlanError as refusal:
            editor.show_row(editor.row)
            editor.refuse(str(refusal))
            return
        editor.settle()
        editor.show_row(editor.row)
        self._desk.commit(f"Set {row.label} of {part_name(part)}", document)


def _shape(row: Row) -> tuple[object, ...]:
    """Return what of a row decides which widgets it has."""
    return (row.path, row.label, row.kind, row.choices, row.text if row.kind == "fixed" else "")
