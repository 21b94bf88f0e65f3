"""How the window looks: one stylesheet from the palette and the text size, and the font it is set in.

All sizes are pixels at a text size of 100 %; widgets that paint themselves take their scale from their font.
"""

from string import Template
from typing import Final

from PySide6.QtGui import QColor, QFont, QFontInfo, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.canvas.plan_paper import TEXT_PIXELS
from siteplan.export.fonts import FAMILY, ensure_gui

TEXT_PERCENTS: Final = (100, 125, 150, 175, 200)
GREYED: Final = "#7A858D"  # what cannot be used now
HANDLE: Final = "#C6CACC"  # of a scroll bar
GAP: Final = 12  # between cards
PADDING: Final = 16  # inside a card
RADIUS: Final = 8

_SIZES: Final = {
    "job": 17,
    "text": TEXT_PIXELS,
    "label": 12,
    "radius": RADIUS,
    "small_radius": 5,
    "pad1": 1,
    "pad2": 2,
    "pad4": 4,
    "pad6": 6,
    "pad8": 8,
    "pad10": 10,
    "pad14": 14,
    "pad24": 24,
    "scroll": 6,
    "scroll_least": 28,
    "row": 26,
}

_SHEET: Final = Template("""
* { font-family: "$family"; font-size: ${text}px; color: $ink; }
QMainWindow, QWidget#desk { background: $desk; }
QToolTip { background: $card; color: $ink; border: 1px solid $rule; padding: ${pad4}px; }
QMenuBar { background: $desk; padding: ${pad2}px ${pad8}px; }
QMenuBar::item { background: transparent; padding: ${pad4}px ${pad8}px; border-radius: ${small_radius}px; }
QMenuBar::item:selected { background: $wash; }
QMenu { background: $card; border: 1px solid $rule; padding: ${pad4}px; }
QMenu::item { padding: ${pad4}px ${pad24}px ${pad4}px ${pad14}px; border-radius: ${small_radius}px; }
QMenu::item:selected { background: $wash; color: $accent; }
QMenu::item:disabled { color: $greyed; }
QMenu::separator { height: 1px; background: $rule; margin: ${pad4}px ${pad8}px; }

QFrame#card { background: $card; border: 1px solid $rule; border-radius: ${radius}px; }
QFrame#line { background: $rule; border: none; }
QWidget#page, QScrollArea, QScrollArea > QWidget > QWidget, QStackedWidget { background: transparent; border: none; }

QLabel { background: transparent; border: none; }
QLabel[role="job"] { font-size: ${job}px; font-weight: 600; }
QLabel[role="strong"] { font-weight: 600; }
QLabel[role="aside"], QLabel[role="quiet"] { color: $mid; }
QLabel[role="label"] { color: $mid; }
QLabel[role="heading"] { color: $mid; font-size: ${label}px; font-weight: 600; }
QLabel[role="small"] { color: $mid; font-size: ${label}px; }
QLabel[role="refusal"] { color: $stop; font-size: ${label}px; }
QLabel[role="echo"] { color: $accent; font-size: ${label}px; }

QPushButton, QToolButton { background: $paper; border: 1px solid $rule; border-radius: ${small_radius}px;
    padding: ${pad4}px ${pad10}px; }
QPushButton:hover, QToolButton:hover { background: $wash; }
QPushButton:focus, QToolButton:focus { border: 1px solid $accent; background: $wash; }
QPushButton:pressed, QToolButton:pressed { background: $rule; }
QPushButton:disabled, QToolButton:disabled { color: $greyed; background: transparent; }
QPushButton[role="main"] { color: $accent; border: 1px solid $accent; font-weight: 600; }
QPushButton[role="main"]:disabled { color: $greyed; border: 1px solid $rule; }
QPushButton[role="quiet"], QToolButton[role="quiet"] { background: transparent; border: 1px solid transparent;
    padding: ${pad4}px ${pad6}px; }
QPushButton[role="quiet"]:hover, QToolButton[role="quiet"]:hover { background: $wash; }
QPushButton[role="quiet"]:focus, QToolButton[role="quiet"]:focus { border: 1px solid $accent; }
QToolButton[role="thumb"] { border: 1px solid transparent; background: transparent; padding: ${pad6}px;
    font-size: ${label}px; }
QToolButton[role="thumb"]:checked { border: 1px solid $accent; background: $wash; color: $accent; }
QToolButton[role="thumb"]:focus { border: 1px solid $accent; }
QPushButton[role="offer"] { color: $accent; padding: ${pad1}px ${pad8}px; font-size: ${label}px; }

QTabBar { background: transparent; border: none; }
QTabBar::tab { background: transparent; border: none; border-bottom: 2px solid transparent; color: $mid;
    font-weight: 600; padding: ${pad2}px 0px; margin-right: ${pad14}px; }
QTabBar::tab:selected { color: $ink; border-bottom: 2px solid $accent; }
QTabBar::tab:only-one { border-bottom: 2px solid transparent; }
QTabBar::tab:focus { color: $accent; }
QTabBar::tab:hover { color: $accent; }

QLineEdit { background: transparent; border: 1px solid transparent; border-radius: ${small_radius}px;
    padding: ${pad1}px ${pad4}px; selection-background-color: $accent; selection-color: $paper; }
QLineEdit:hover { border: 1px solid $rule; }
QLineEdit:focus { border: 1px solid $accent; background: $paper; }
QLineEdit[role="value"] { font-weight: 600; }
QLineEdit[refused="true"] { border: 1px solid $stop; background: $paper; }

QComboBox { background: transparent; border: 1px solid transparent; border-radius: ${small_radius}px;
    padding: ${pad1}px ${pad4}px ${pad1}px ${pad6}px; font-weight: 600; }
QComboBox:hover { border: 1px solid $rule; }
QComboBox:focus, QComboBox:on { border: 1px solid $accent; background: $paper; }
QComboBox::drop-down { border: none; width: 0px; }
QComboBox[role="tag"] { font-weight: 400; font-size: ${label}px; color: $mid; }
QComboBox[role="tag"][basis="guess"] { color: $ask; }
QComboBox QAbstractItemView { background: $card; border: 1px solid $rule; outline: none;
    selection-background-color: $wash; selection-color: $accent; padding: ${pad2}px; }

QAbstractItemView { background: transparent; border: none; outline: none; }

QProgressBar { background: $rule; border: none; border-radius: 3px; max-height: 6px; min-height: 6px; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }

QScrollBar:vertical { background: transparent; width: ${scroll}px; margin: 0px; border: none; }
QScrollBar::handle:vertical { background: $handle; border-radius: 3px; min-height: ${scroll_least}px; }
QScrollBar:horizontal { background: transparent; height: ${scroll}px; margin: 0px; border: none; }
QScrollBar::handle:horizontal { background: $handle; border-radius: 3px; min-width: ${scroll_least}px; }
QScrollBar::handle:hover { background: $mid; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0px; height: 0px; border: none; background: none; }
QScrollBar::add-page, QScrollBar::sub-page { background: none; }
QSplitter::handle { background: transparent; }
QSplitter::handle:hover { background: $rule; }
""")


def style_sheet(percent: int) -> str:
    """Return the stylesheet of a window at a text size."""
    sizes = {name: max(1, round(size * percent / 100)) for name, size in _SIZES.items()}
    severities = {severity.lower(): colour for severity, colour in SEVERITY_COLOURS.items()}
    return _SHEET.substitute(family=FAMILY, greyed=GREYED, handle=HANDLE, **sizes, **LIGHT._asdict(), **severities)


def dress(application: QApplication) -> None:
    """Give an application the font, the colours and the plain style that the stylesheet builds on."""
    ensure_gui()
    application.setStyle("Fusion")
    font = QFont(FAMILY)
    font.setPixelSize(TEXT_PIXELS)
    application.setFont(font)
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: LIGHT.desk,
        QPalette.ColorRole.Base: LIGHT.card,
        QPalette.ColorRole.Text: LIGHT.ink,
        QPalette.ColorRole.WindowText: LIGHT.ink,
        QPalette.ColorRole.Highlight: LIGHT.accent,
        QPalette.ColorRole.HighlightedText: LIGHT.paper,
        QPalette.ColorRole.PlaceholderText: LIGHT.mid,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    application.setPalette(palette)


def percent_for(system_font: QFont) -> int:
    """Return the text size nearest to that of the system, never smaller than our own."""
    wanted = 100 * QFontInfo(system_font).pixelSize() / TEXT_PIXELS
    return min(TEXT_PERCENTS, key=lambda percent: abs(percent - wanted))


def text_scale(widget: QWidget) -> float:
    """Return the text size of a widget, 1 at 100 %."""
    return QFontInfo(widget.font()).pixelSize() / TEXT_PIXELS


def set_role(widget: QWidget, name: str, value: object) -> None:
    """Set a property that the stylesheet looks at, and let the widget look anew."""
    if widget.property(name) != value:
        widget.setProperty(name, value)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
