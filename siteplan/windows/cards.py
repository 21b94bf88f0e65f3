"""Cards: titled pages with a hairline border; a card with several pages has its titles as tabs."""

from typing import Final

from PySide6.QtCore import QPoint, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLayout,
    QLayoutItem,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QStyle,
    QStyleOptionComboBox,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from siteplan.canvas.palette import LIGHT
from siteplan.windows.style import PADDING, set_role, text_scale


def hairline(parent: QWidget | None = None) -> QFrame:
    """Return a thin line across a card."""
    line = QFrame(parent)
    line.setObjectName("line")
    line.setFixedHeight(1)
    return line


def label(text: str, role: str, parent: QWidget | None = None) -> QLabel:
    """Return a text that plays a role of the stylesheet."""
    made = QLabel(text, parent)
    made.setTextFormat(Qt.TextFormat.PlainText)
    set_role(made, "role", role)
    return made


class Card(QFrame):
    """A frame with one page, or several under tabs; each page may have a word at the right of its title."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.tabs = QTabBar()
        self.tabs.setAccessibleName("pages of this card")
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(False)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        self.aside = label("", "aside")
        self.aside.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.under = label("", "aside")  # the same word, where the tabs leave no room beside them
        self.under.hide()
        self.stack = QStackedWidget()
        self._asides: dict[QWidget, str] = {}
        head = QHBoxLayout()
        head.addWidget(self.tabs)
        head.addStretch(1)
        head.addWidget(self.aside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(PADDING, PADDING // 2, PADDING, PADDING // 2)
        layout.setSpacing(PADDING // 4)
        layout.addLayout(head)
        layout.addWidget(hairline())
        layout.addWidget(self.under)
        layout.addWidget(self.stack, stretch=1)
        self.tabs.currentChanged.connect(self._turn)

    def set_narrow(self, is_narrow: bool) -> None:
        """Put the words of the pages under their titles, or beside them."""
        self.aside.setVisible(not is_narrow)
        self.under.setVisible(is_narrow)

    def add_page(self, page: QWidget, title: str, aside: str = "") -> None:
        """Add a page behind the others."""
        self._asides[page] = aside
        self.stack.addWidget(page)
        self.tabs.addTab(title)
        self._turn(self.tabs.currentIndex())

    def take_pages(self) -> list[tuple[QWidget, str, str]]:
        """Take all pages out, with their titles and the words beside them."""
        taken: list[tuple[QWidget, str, str]] = []
        while (page := self.stack.widget(0)) is not None:
            taken.append((page, self.tabs.tabText(0), self._asides.pop(page)))
            self.stack.removeWidget(page)
            self.tabs.removeTab(0)
        return taken

    def has_page(self, page: QWidget) -> bool:
        """Return whether a page lies in this card."""
        return page in self._asides

    def set_aside(self, page: QWidget, text: str) -> None:
        """Set the word at the right of the title of a page."""
        self._asides[page] = text
        self._turn(self.tabs.currentIndex())

    def bring(self, page: QWidget) -> None:
        """Turn to a page."""
        self.tabs.setCurrentIndex(self.stack.indexOf(page))

    def _turn(self, index: int) -> None:
        page = self.stack.widget(index)
        if page is not None:
            self.stack.setCurrentIndex(index)
            self.aside.setText(self._asides.get(page, ""))
            self.under.setText(self.aside.text())


class ChoiceBox(QComboBox):
    """A choice among words: plain text until one points at it; the wheel scrolls the card, not the choice.

    A quiet one stands at the right edge and has no chevron.
    """

    CHEVRON: Final = 7.0  # pixels across, at a text size of 100 %

    def __init__(self, is_quiet: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_quiet = is_quiet
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the card."""
        event.ignore()

    def sizeHint(self) -> QSize:
        """Return the size of the longest word and the chevron."""
        return self._with_chevron(super().sizeHint())

    def minimumSizeHint(self) -> QSize:
        """Return the size of the longest word and the chevron."""
        return self._with_chevron(super().minimumSizeHint())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint frame and word as the stylesheet says, and a chevron where the pointer or the focus is."""
        del event
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        with QPainter(self) as painter:
            self.style().drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option, painter, self)
            if self._is_quiet:
                painter.setPen(self.palette().text().color())
                inside = self.rect().adjusted(0, 0, -self._edge(), 0)
                painter.drawText(
                    inside, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self.currentText()
                )
            else:
                self.style().drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option, painter, self)
                self._paint_chevron(painter)

    def _paint_chevron(self, painter: QPainter) -> None:
        half = self.CHEVRON * text_scale(self) / 2
        middle = QPointF(self.width() - 2.4 * half, self.height() / 2)
        lively = self.hasFocus() or self.underMouse()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(LIGHT.accent if lively else LIGHT.faint), 1.4 * text_scale(self)))
        tip = middle + QPointF(0.0, half / 2)
        painter.drawLine(middle + QPointF(-half, -half / 2), tip)
        painter.drawLine(tip, middle + QPointF(half, -half / 2))

    def _with_chevron(self, size: QSize) -> QSize:
        return size + QSize(self._edge() if self._is_quiet else 2 * self._edge(), 0)

    def _edge(self) -> int:
        return round(self.CHEVRON * text_scale(self))


class FlowLayout(QLayout):
    """Widgets in a row that goes on in the next line where the window is narrow."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item behind the others."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return an item, or None past the end."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take an item out, or return None past the end."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Return that no more room is wanted than is needed."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Return that the height depends on the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height at a width."""
        return self._lay_out(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:
        """Return the size of all items in one row."""
        sizes = [item.sizeHint() for item in self._items if not item.isEmpty()]
        margins = self.contentsMargins()
        width = sum(size.width() for size in sizes) + self.spacing() * max(0, len(sizes) - 1)
        height = max((size.height() for size in sizes), default=0)
        return QSize(width + margins.left() + margins.right(), height + margins.top() + margins.bottom())

    def minimumSize(self) -> QSize:
        """Return the size of the widest item."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        margins = self.contentsMargins()
        return size + QSize(margins.left() + margins.right(), margins.top() + margins.bottom())

    def setGeometry(self, rect: QRect) -> None:
        """Put the items in their places."""
        super().setGeometry(rect)
        self._lay_out(rect, move=True)

    def _lay_out(self, rect: QRect, move: bool) -> int:
        inside = rect.marginsRemoved(self.contentsMargins())
        x, y, line_height = inside.x(), inside.y(), 0
        for item in self._items:
            if item.isEmpty():  # hidden
                continue
            size = item.sizeHint()
            if x > inside.x() and x + size.width() > inside.right() + 1:
                x, y, line_height = inside.x(), y + line_height + self.spacing(), 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x, line_height = x + size.width() + self.spacing(), max(line_height, size.height())
        return y + line_height - rect.y() + self.contentsMargins().bottom()


def scrolled(content: QWidget) -> QScrollArea:
    """Return a widget that scrolls up and down inside itself, never sideways."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
    area.setWidget(content)
    return area
