"""What lies over the layers of the plan: names, handles, and the words beside the pointer."""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from siteplan.canvas.dragging import Handle
from siteplan.canvas.drags import DragState
from siteplan.canvas.names import CAPITAL_MM, SHORTEST_VISIBLE_MM, Box, LineName, Name, Placing, in_view
from siteplan.canvas.painting import ALIGN_SHARES, cap_share, label_font, paint_text, ratio_of
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.canvas.pen_colours import PIXELS_PER_PAPER_MM
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.geometry.points import Point

# Pixels at a text size of 100 %.
HANDLE: Final = 8.0
HANDLE_LINE: Final = 1.5
CROSS: Final = 9.0
POINTER_AWAY: Final = QPointF(18.0, 22.0)
POINTER_TEXT: Final = 13
POINTER_LINE: Final = 18.0
POINTER_EDGE: Final = 6.0
POINTER_CORNER: Final = 4.0
POINTER_GROUND: Final = 0.85  # how much of what lies below the words is hidden
LINE_NAME_OFF_MM: Final = 1.4  # paper, from a line to the feet of its name
LINE_NAME_INSET_MM: Final = 4.0  # from the upper or right end of the line
EDGE_INSET: Final = 24.0  # names of lines keep this far from the edge of the window


def paint_name(
    painter: QPainter, name: Name, frame: PlanFrame, text_scale: float, selected: str, placing: Placing
) -> None:
    """Paint the name of one thing, clear of others where there is room."""
    per_mm = PIXELS_PER_PAPER_MM * text_scale
    font = name_font(text_scale, name.is_new)
    spot = placing.spot_of(
        name, lambda text: QFontMetricsF(font).horizontalAdvance(text) / per_mm, ratio_of(frame, text_scale)
    )
    x, y = frame.to_pixels(spot.at)
    at = QPointF(x + spot.dx_mm * per_mm, y - (spot.dy_mm - CAPITAL_MM / 2) * per_mm)
    paint_text(painter, name.text, at, font, _name_colour(name.source, selected), ALIGN_SHARES[spot.align])


def paint_line_name(
    painter: QPainter, name: LineName, frame: PlanFrame, text_scale: float, selected: str, placing: Placing
) -> None:
    """Paint the name of a line along the part of it that is in view, clear of others where there is room."""
    ratio = ratio_of(frame, text_scale)
    part = in_view(name, view_box(frame, EDGE_INSET * text_scale), SHORTEST_VISIBLE_MM * ratio)
    if part is None:
        return
    font = name_font(text_scale, name.is_new)
    half_mm = QFontMetricsF(font).horizontalAdvance(name.text) / 2 / frame.scale
    sizes = (half_mm, LINE_NAME_INSET_MM * ratio, LINE_NAME_OFF_MM * ratio, CAPITAL_MM * ratio)
    feet, turn = placing.beside_of(name, part, *sizes)
    at = QPointF(*frame.to_pixels(feet))
    paint_text(painter, name.text, at, font, _name_colour(name.source, selected), align=1 / 2, turn_rad=turn)


def paint_handles(painter: QPainter, handles: tuple[Handle, ...], frame: PlanFrame, text_scale: float) -> None:
    """Paint the handles of what is selected."""
    painter.save()
    painter.setPen(QPen(QColor(LIGHT.accent), HANDLE_LINE * text_scale))
    painter.setBrush(QColor(LIGHT.paper))
    half = HANDLE * text_scale / 2
    for handle in handles:
        x, y = frame.to_pixels(handle.at)
        painter.drawRoundedRect(QRectF(x - half, y - half, 2 * half, 2 * half), 2, 2)
    painter.restore()


def paint_hint(painter: QPainter, text: str, frame: PlanFrame, text_scale: float) -> None:
    """Paint what to do first in the middle of an empty plan."""
    font = label_font("regular", round(POINTER_TEXT * text_scale))
    paint_text(painter, text, QPointF(frame.width / 2, frame.height / 2), font, LIGHT.mid, align=1 / 2)


def paint_snap_cross(painter: QPainter, place: Point, frame: PlanFrame, text_scale: float) -> None:
    """Paint the cross where a snap meets: one and the same for every kind."""
    x, y = frame.to_pixels(place)
    half = CROSS * text_scale
    painter.setPen(QPen(QColor(LIGHT.ink), 1.0))
    painter.drawLine(QPointF(x - half, y), QPointF(x + half, y))
    painter.drawLine(QPointF(x, y - half), QPointF(x, y + half))


def paint_pointer_words(
    painter: QPainter, pointer: QPointF, state: DragState, frame: PlanFrame, text_scale: float
) -> None:
    """Paint beside the pointer what the drag measures, what it snaps to, or why it cannot go farther."""
    pixels = round(POINTER_TEXT * text_scale)
    lines = [
        (state.number, label_font("semibold", pixels), LIGHT.ink),
        (state.snap.words if state.snap else "", label_font("regular", pixels, italic=True), LIGHT.accent),
        (state.refusal, label_font("regular", pixels), SEVERITY_COLOURS["Stop"]),
    ]
    shown = [line for line in lines if line[0]]
    if not shown:
        return
    width = max(QFontMetricsF(font).horizontalAdvance(text) for text, font, _ in shown)
    pitch, edge = POINTER_LINE * text_scale, POINTER_EDGE * text_scale
    away = POINTER_AWAY * text_scale
    x = min(pointer.x() + away.x(), frame.width - width - 2 * edge)
    y = min(pointer.y() + away.y(), frame.height - len(shown) * pitch)
    ground = QColor(LIGHT.paper)
    ground.setAlphaF(POINTER_GROUND)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ground)
    box = QRectF(x - edge, y - pitch + edge / 2, width + 2 * edge, len(shown) * pitch + edge / 2)
    painter.drawRoundedRect(box, POINTER_CORNER, POINTER_CORNER)
    for number, (text, font, colour) in enumerate(shown):
        paint_text(painter, text, QPointF(x, y + number * pitch), font, colour)


def view_box(frame: PlanFrame, inset: float) -> Box:
    """Return the part of the model in the window, less an edge of pixels: left, bottom, right, top."""
    left, bottom = frame.to_model((inset, frame.height - inset))
    right, top = frame.to_model((frame.width - inset, inset))
    return (left, bottom, right, top)


def name_font(text_scale: float, is_new: bool) -> QFont:
    """Return the font of names: upright for what is new, italic for what is there already."""
    pixels = round(CAPITAL_MM * PIXELS_PER_PAPER_MM * text_scale / cap_share())
    return label_font("regular", pixels, italic=not is_new)


def _name_colour(source: str, selected: str) -> str:
    return LIGHT.accent if source == selected else LIGHT.mid
