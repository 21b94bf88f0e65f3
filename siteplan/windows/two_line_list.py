"""A list of things in two lines each: what people come for, and the rest in small, with a shape before it or not."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelection,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFocusEvent, QFont, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from siteplan.canvas.painting import label_font
from siteplan.canvas.palette import LIGHT
from siteplan.model.project import Severity
from siteplan.windows.icons import BOX, paint_severity
from siteplan.windows.style import text_scale

# Pixels at a text size of 100 %.
HEADLINE: Final = 13
DETAIL: Final = 12
EDGE: Final = 6
MARK_GAP: Final = 8
CORNER: Final = 5
BAR: Final = 3  # beside what is selected

Index = QModelIndex | QPersistentModelIndex


class ListItem(NamedTuple):
    """One thing of a list."""

    key: str
    headline: str
    detail: str = ""
    severity: Severity | None = None

    @property
    def spoken(self) -> str:
        """The whole item as one text."""
        word = f"{self.severity}: " if self.severity else ""
        return f"{word}{self.headline}. {self.detail}".strip()


class ItemModel(QAbstractListModel):
    """The items of a list."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.items: tuple[ListItem, ...] = ()

    def show(self, items: tuple[ListItem, ...]) -> None:
        """Show other items; while they are about the same things, the view keeps its place."""
        if [item.key for item in items] != [item.key for item in self.items]:
            self.beginResetModel()
            self.items = items
            self.endResetModel()
        elif items != self.items:
            self.items = items
            self.dataChanged.emit(self.index(0), self.index(len(items) - 1))

    def rowCount(self, parent: Index | None = None) -> int:
        """Return how many items there are."""
        return 0 if parent is not None and parent.isValid() else len(self.items)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return an item as one text, for whoever reads it aloud or copies it."""
        if index.isValid() and role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self.items[index.row()].spoken
        return None


class TwoLineList(QListView):
    """A list; one item at most is selected, by pointer or by key."""

    chosen = Signal(str)  # key

    def __init__(self, when_empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.when_empty = when_empty
        self.items = ItemModel(self)
        self.setModel(self.items)
        self.setItemDelegate(_TwoLines(self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(True)

    def show_items(self, items: Sequence[ListItem]) -> None:
        """Show items; what is selected stays selected while it is there."""
        key = self.current_key()
        self.items.show(tuple(items))
        self.mark(key)

    def current_key(self) -> str:
        """Return the key of the selected item, or an empty text."""
        row = self.currentIndex().row()
        return self.items.items[row].key if 0 <= row < len(self.items.items) else ""

    def mark(self, key: str) -> None:
        """Show an item as selected without telling anybody; an empty key shows none."""
        keys = [item.key for item in self.items.items]
        if key in keys:
            index = self.items.index(keys.index(key))
            if index != self.currentIndex():
                self._mark(index)
        elif self.currentIndex().isValid():
            self._mark(QModelIndex())

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Tell which item was selected."""
        super().selectionChanged(selected, deselected)
        chosen = selected.indexes()
        if chosen and not self.signalsBlocked():
            self.chosen.emit(self.items.items[chosen[0].row()].key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Take the focus without going to any item."""
        super().focusInEvent(event)
        if not self.selectionModel().hasSelection():
            self.selectionModel().clearCurrentIndex()

    def item_width(self) -> int:
        """Return the width of the items, the same with a scroll bar and without."""
        return max(1, self.width() - self.verticalScrollBar().sizeHint().width() - 2 * self.frameWidth())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the items, or a sentence when there are none."""
        super().paintEvent(event)
        if not self.items.items:
            with QPainter(self.viewport()) as painter:
                painter.setPen(QColor(LIGHT.mid))
                flags = Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
                edge = round(EDGE * text_scale(self))
                painter.drawText(self.viewport().rect().adjusted(0, edge, 0, 0), flags, self.when_empty)

    def _mark(self, index: QModelIndex) -> None:
        self.blockSignals(True)
        self.setCurrentIndex(index)
        if not index.isValid():
            self.clearSelection()
        self.blockSignals(False)
        self.viewport().update()


class _TwoLines(QStyledItemDelegate):
    """Paints an item: shape, headline, detail, each as many lines as it needs."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room an item needs at the width of the list."""
        view = self._view()
        box = QRect(0, 0, view.item_width(), 0)
        head, detail = self._boxes(box, self._item(index))
        edge = round(EDGE * text_scale(view))
        return QSize(box.width(), head.height() + detail.height() + 2 * edge)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint an item."""
        view, item, scale = self._view(), self._item(index), text_scale(self._view())
        painter.save()
        box = QRect(option.rect.topLeft(), QSize(view.item_width(), option.rect.height()))
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if selected:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(LIGHT.wash))
            painter.drawRoundedRect(box, CORNER * scale, CORNER * scale)
            if view.hasFocus():
                painter.setBrush(QColor(LIGHT.accent))
                painter.drawRoundedRect(QRect(box.left(), box.top(), round(BAR * scale), box.height()), 1, 1)
        head, detail = self._boxes(box, item)
        if item.severity is not None:
            paint_severity(painter, item.severity, QPointF(box.left() + EDGE * scale, head.top() - scale), scale * 0.9)
        painter.setPen(QColor(LIGHT.accent if selected else LIGHT.ink))
        painter.setFont(self._font("semibold"))
        painter.drawText(head, WRAPPED, item.headline)
        painter.setPen(QColor(LIGHT.mid))
        painter.setFont(self._font("regular"))
        painter.drawText(detail, WRAPPED, item.detail)
        painter.restore()

    def _view(self) -> TwoLineList:
        view = self.parent()
        assert isinstance(view, TwoLineList)
        return view

    def _item(self, index: Index) -> ListItem:
        return self._view().items.items[index.row()]

    def _font(self, face: str) -> QFont:
        scale = text_scale(self._view())
        if face == "semibold":
            return label_font("semibold", round(HEADLINE * scale))
        return label_font("regular", round(DETAIL * scale))

    def _boxes(self, box: QRect, item: ListItem) -> tuple[QRect, QRect]:
        """Return where headline and detail stand in the box of an item."""
        scale = text_scale(self._view())
        edge = round(EDGE * scale)
        mark = round((BOX + MARK_GAP) * scale) if item.severity is not None else 0
        left, width = box.left() + edge + mark, max(1, box.width() - 2 * edge - mark)
        tall = QRect(0, 0, width, 10_000)
        head = QFontMetrics(self._font("semibold")).boundingRect(tall, WRAPPED, item.headline)
        detail = (
            QFontMetrics(self._font("regular")).boundingRect(tall, WRAPPED, item.detail) if item.detail else QRect()
        )
        head_box = QRect(left, box.top() + edge, width, head.height())
        return head_box, QRect(left, head_box.bottom() + 1, width, detail.height())


WRAPPED: Final = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)
