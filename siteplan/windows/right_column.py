"""The answers at the right: Value card, Trouble list with Yard list, Why card; under tabs where it is narrow."""

from typing import Final, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from siteplan.windows.cards import Card
from siteplan.windows.style import GAP

SHARES: Final = (34, 36, 30)  # of the height, at first


class Page(NamedTuple):
    """One page: its title, a shorter one for narrow tabs, and the card it lies in where there is room."""

    widget: QWidget
    title: str
    short_title: str
    card: int


class RightColumn(QWidget):
    """Three cards, or one with all pages as tabs."""

    def __init__(self, pages: tuple[Page, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.pages = pages
        self.is_narrow = False
        self.cards = tuple(Card() for _ in SHARES)
        self._asides = {page.widget: "" for page in pages}
        self._splitter = QSplitter(Qt.Orientation.Vertical)
        self._splitter.setHandleWidth(GAP)
        self._splitter.setChildrenCollapsible(False)
        for number, card in enumerate(self.cards):
            self._splitter.addWidget(card)
            self._splitter.setStretchFactor(number, SHARES[number])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._splitter)
        self._fill()
        self._splitter.setSizes([share * 10 for share in SHARES])

    def arrange(self, is_narrow: bool) -> None:
        """Put the pages under tabs, or into their cards."""
        if is_narrow != self.is_narrow:
            self.is_narrow = is_narrow
            self._fill()

    def set_aside(self, widget: QWidget, text: str) -> None:
        """Set the word beside the title of a page."""
        self._asides[widget] = text
        for card in self.cards:
            if card.has_page(widget):
                card.set_aside(widget, text)

    def bring(self, widget: QWidget) -> None:
        """Turn to a page."""
        for card in self.cards:
            if card.has_page(widget):
                card.bring(widget)

    def _fill(self) -> None:
        for card in self.cards:
            card.take_pages()
        for page in self.pages:
            card = self.cards[0 if self.is_narrow else page.card]
            title = page.short_title if self.is_narrow else page.title
            card.add_page(page.widget, title, self._asides[page.widget])
        for number, card in enumerate(self.cards):
            card.set_narrow(self.is_narrow)
            card.setVisible(number == 0 or not self.is_narrow)
