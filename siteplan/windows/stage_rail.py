"""The stage rail at the left: one verb each, with its icon."""

from typing import Final

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QFrame, QVBoxLayout, QWidget

from siteplan.canvas.painting import label_font
from siteplan.canvas.palette import LIGHT
from siteplan.windows.commands import STAGE_KEYS, STAGES
from siteplan.windows.icons import BOX, paint_stage_icon
from siteplan.windows.style import text_scale

# Pixels at a text size of 100 %.
WIDE: Final = 76
HIGH: Final = 58
ICON_TOP: Final = 8
WORD_HIGH: Final = 20
TEXT: Final = 13
CORNER: Final = 6
BAR: Final = 3
EDGE: Final = 6


class StageButton(QAbstractButton):
    """One stage: its icon with the word beneath."""

    def __init__(self, stage: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(stage)
        self.setCheckable(True)
        self.setAccessibleName(f"stage {stage}")
        self.setToolTip(f"{stage} ({STAGE_KEYS[stage]})")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def sizeHint(self) -> QSize:
        """Return the size of icon and word."""
        scale = text_scale(self)
        return QSize(round(WIDE * scale), round(HIGH * scale))

    def minimumSizeHint(self) -> QSize:
        """Return the size of icon and word."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint ground, bar, icon and word."""
        del event
        scale = text_scale(self)
        chosen, lively = self.isChecked(), self.underMouse() or self.hasFocus()
        colour = LIGHT.accent if chosen or lively else LIGHT.mid
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if chosen or self.hasFocus():
                painter.setPen(QColor(LIGHT.accent) if self.hasFocus() else Qt.PenStyle.NoPen)
                painter.setBrush(QColor(LIGHT.wash) if chosen else Qt.BrushStyle.NoBrush)
                painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), CORNER, CORNER)
            if chosen:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(LIGHT.accent))
                bar = QRect(1, round(HIGH * scale / 4), round(BAR * scale), round(HIGH * scale / 2))
                painter.drawRoundedRect(bar, 1, 1)
            at = QPointF((self.width() - BOX * scale) / 2, ICON_TOP * scale)
            paint_stage_icon(painter, self.text(), at, scale, colour)
            painter.setPen(QColor(LIGHT.accent if chosen else LIGHT.ink))
            painter.setFont(label_font("semibold" if chosen else "regular", round(TEXT * scale)))
            word = QRect(0, self.height() - round((WORD_HIGH + EDGE) * scale), self.width(), round(WORD_HIGH * scale))
            painter.drawText(word, Qt.AlignmentFlag.AlignCenter, self.text())


class StageRail(QFrame):
    """The stages, one of them in front."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setAccessibleName("Stage rail")
        self.buttons = {stage: StageButton(stage) for stage in STAGES}
        self._group = QButtonGroup(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(EDGE, 2 * EDGE, EDGE, 2 * EDGE)
        layout.setSpacing(EDGE)
        for stage, button in self.buttons.items():
            self._group.addButton(button)
            layout.addWidget(button)
            button.clicked.connect(lambda _, stage=stage: self.chosen.emit(stage))
        layout.addStretch(1)

    def show_stage(self, stage: str) -> None:
        """Show which stage is in front."""
        self.buttons[stage].setChecked(True)
