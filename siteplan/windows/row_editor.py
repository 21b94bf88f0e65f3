"""One row of the Value card: what a field is called, what it holds, how that came to be known, and what was refused."""

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from siteplan.errors import EntryError
from siteplan.model.marks import BASES, Basis
from siteplan.model.project import Units
from siteplan.units.writing import echo_length
from siteplan.windows.cards import ChoiceBox, FlowLayout, label
from siteplan.windows.style import set_role
from siteplan.windows.value_rows import Entry, Row, read_count, read_entry

TAG_WORDS: Final[dict[Basis, str]] = {
    "taped": "taped",
    "told": "told t",
    "guess": "guess ~",
    "book": "book b",
    "worked": "worked =",
    "built": "built ●",
}
UNKNOWN: Final = "not known"
MOST_OFFERS: Final = 3
OFFER_GAP: Final = 4


class EntryField(QLineEdit):
    """A line of text that tells Enter, Escape and leaving apart."""

    entered = Signal()
    left = Signal()
    escaped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter; take Escape when there is something to put back."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Escape and self.isModified():
            self.escaped.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Mark the whole text, so that typing replaces it."""
        super().focusInEvent(event)
        if event.reason() != Qt.FocusReason.MouseFocusReason:
            self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the field was left."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class RowEditor(QWidget):
    """A row; a refused text stays in its field, with the reason and what would be read under it."""

    typed = Signal(object, object)  # Row, Entry; or None for not known
    chosen = Signal(object, object)  # Row, value
    tagged = Signal(object, str)  # Row, basis
    answered = Signal(object)  # itself, when it says why a text is not taken

    def __init__(self, row: Row, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.row = row
        self._units: Units = units
        self._asked = ""  # the text that waits for a second Enter
        self.name = label(row.label, "label")
        self.name.setWordWrap(True)
        self.field: EntryField | None = None
        self.choice: ChoiceBox | None = None
        self.tag: ChoiceBox | None = None
        self.message = label("", "echo")
        self.message.setWordWrap(True)
        self.message.hide()
        self.offers = QWidget()
        self._offer_row = FlowLayout(self.offers)
        self._offer_row.setContentsMargins(0, 0, 0, 0)
        self._offer_row.setSpacing(OFFER_GAP)
        self.offers.hide()
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(OFFER_GAP)
        self._grid.setColumnStretch(1, 1)
        self._grid.addWidget(self.name, 0, 0)
        self._grid.addWidget(self._made_value(), 0, 1)
        if row.kind == "number":
            self.tag = self._made_tag()
            self._grid.addWidget(self.tag, 0, 2)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(self._grid)
        layout.addWidget(self.message)
        layout.addWidget(self.offers)
        self.show_row(row)

    @property
    def is_draft(self) -> bool:
        """Whether the field holds a text that is not in the document."""
        return self.field is not None and self.field.isModified()

    def set_name_width(self, width: int) -> None:
        """Give the name the width that the names of the card share."""
        self._grid.setColumnMinimumWidth(0, width)
        self.name.setFixedWidth(width)

    def show_row(self, row: Row) -> None:
        """Show what the document holds; a text that is being written stays."""
        self.row = row
        if self.field is not None and not self.is_draft:
            self.field.setText(row.text)
            self.field.setCursorPosition(0)
        if self.choice is not None:
            self.choice.setCurrentText(row.text)
        if self.tag is not None:
            self.tag.setVisible(row.basis is not None)
            if row.basis is not None:
                self.tag.setCurrentIndex(BASES.index(row.basis))
                set_role(self.tag, "basis", row.basis)
        if self.field is not None:
            self.field.setToolTip(_other_forms(row))

    def refuse(self, reason: str, offers: tuple[str, ...] = ()) -> None:
        """Keep the text and say why it is not taken, and what would be."""
        if self.field is not None:
            set_role(self.field, "refused", "true")
        self._say(reason, "refusal")
        self._offer(offers)

    def settle(self) -> None:
        """Take the text as done: nothing to say any more."""
        self._asked = ""
        if self.field is not None:
            self.field.setModified(False)
            set_role(self.field, "refused", "false")
        self._say("", "echo")
        self._offer(())

    def _made_value(self) -> QWidget:
        row = self.row
        if row.kind == "fixed":
            fixed = label(row.text, "strong")
            fixed.setAccessibleName(row.label)
            return fixed
        if row.kind == "choice":
            self.choice = ChoiceBox()
            self.choice.addItems([word for word, _ in row.choices])
            self.choice.setAccessibleName(row.label)
            self.choice.activated.connect(lambda index: self.chosen.emit(self.row, self.row.choices[index][1]))
            return self.choice
        self.field = EntryField()
        set_role(self.field, "role", "value")
        self.field.setAccessibleName(row.label)
        self.field.setPlaceholderText(UNKNOWN if row.kind == "number" else "")
        self.field.textEdited.connect(self._echo)
        self.field.entered.connect(lambda: self._accept(is_sure=True))
        self.field.left.connect(lambda: self._accept(is_sure=False))
        self.field.escaped.connect(self._put_back)
        return self.field

    def _made_tag(self) -> ChoiceBox:
        tag = ChoiceBox(is_quiet=True)
        set_role(tag, "role", "tag")
        tag.addItems([TAG_WORDS[basis] for basis in BASES])
        tag.setAccessibleName(f"tag of {self.row.label}")
        tag.activated.connect(lambda index: self.tagged.emit(self.row, BASES[index]))
        return tag

    def _read(self) -> Entry | None:
        assert self.field is not None
        assert self.row.number is not None
        return read_entry(self.field.text(), self.row.number, self._units)

    def _echo(self, text: str) -> None:
        """Repeat under the field what is understood, while it is typed."""
        self._asked = ""
        assert self.field is not None
        set_role(self.field, "refused", "false")
        self._offer(())
        if self.row.kind != "number" or not text.strip():
            self._say("", "echo")
            return
        try:
            entry = self._read()
        except EntryError:
            self._say("", "echo")  # it is not finished: what is wrong is said when it is entered
        else:
            self._say(f"= {entry.echo}" if entry else "", "echo")

    def _accept(self, is_sure: bool) -> None:
        """Take the text, on Enter or when the field is left; what is doubtful needs a second Enter."""
        assert self.field is not None
        if not self.field.isModified():
            return
        text = self.field.text()
        try:
            if self.row.kind == "text":
                self.chosen.emit(self.row, text.strip())
            elif self.row.kind == "count":
                self.chosen.emit(self.row, read_count(text, self.row.label))
            elif not text.strip():
                self.typed.emit(self.row, None)
            else:
                self._accept_number(text, is_sure)
        except EntryError as refusal:
            self.refuse(str(refusal), refusal.offers)

    def _accept_number(self, text: str, is_sure: bool) -> None:
        entry = self._read()
        assert entry is not None
        if entry.confirm and not (is_sure and self._asked == text):
            self._asked = text if is_sure else ""
            self._say(entry.confirm, "refusal")
            self._offer(entry.offers)
            return
        self.typed.emit(self.row, entry)

    def _put_back(self) -> None:
        assert self.field is not None
        self.settle()
        self.field.setText(self.row.text)

    def _say(self, text: str, role: str) -> None:
        set_role(self.message, "role", role)
        self.message.setText(text)
        self.message.setVisible(bool(text))
        if role == "refusal":
            self.answered.emit(self)

    def _offer(self, offers: tuple[str, ...]) -> None:
        while (item := self._offer_row.takeAt(0)) is not None:
            button = item.widget()
            if button is not None:
                button.deleteLater()
        for offer in offers[:MOST_OFFERS]:
            button = QPushButton(offer)
            set_role(button, "role", "offer")
            button.setAccessibleName(f"take {offer}")
            button.clicked.connect(lambda _, text=offer: self._take(text))
            self._offer_row.addWidget(button)
        self.offers.setVisible(bool(offers))

    def _take(self, offer: str) -> None:
        assert self.field is not None
        self.field.setText(offer)
        self.field.setModified(True)
        self._accept(is_sure=True)
        self.field.setFocus()


def _other_forms(row: Row) -> str:
    """Return what else can be said of the value of a row: a length in other units, and how it was typed."""
    if row.number is None or row.number.value is None:
        return row.text
    forms = echo_length(row.number.value) if row.number.quantity == "length" else row.text
    return f"{forms}\nTyped as {row.typed}" if row.typed else forms


def name_width(editors: list[RowEditor], metrics: QFontMetrics, most: int) -> int:
    """Return the width that the names of some rows share, when they are set in a font."""
    widths = (metrics.horizontalAdvance(editor.row.label) + 2 for editor in editors)
    return min(most, max(widths, default=0))
