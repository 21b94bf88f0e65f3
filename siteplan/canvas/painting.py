"""Primitives on the screen: paths made once a layer, and painted with lines that keep their width at every zoom.

Model paths keep y up; the painter flips them.  Fills are painted without antialiasing, outlines with it, texts one by
one: merged into one path they would cost more than all the rest.
"""

from collections.abc import Iterable, Iterator
from functools import lru_cache
from math import degrees
from typing import Final, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from siteplan.canvas.palette import LIGHT
from siteplan.canvas.pen_colours import NOT_FILLED, PIXELS_PER_PAPER_MM, ScreenLook, look_of
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.drawing.dimensions import explode
from siteplan.drawing.hatches import hatch_lines
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import (
    Arc,
    Circle,
    Dimension,
    Face,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Ring,
    Stroke,
    Symbol,
    Tone,
)
from siteplan.drawing.symbols import placed_symbol
from siteplan.export.fonts import FACES, FAMILY

FULL_TURN_DEG: Final = 360.0
LEAST_PIXELS: Final = 0.8  # no line is thinner
GAP_AROUND_NUMBER: Final = 2.0  # pixels of paper around the number of a dimension
ALIGN_SHARES: Final = {"left": 0.0, "middle": 0.5, "right": 1.0}


class Paths(NamedTuple):
    """Primitives made ready to paint, in model mm."""

    fills: tuple[tuple[Pen, Tone, QPainterPath], ...]
    lines: tuple[tuple[Pen, QPainterPath], ...]
    labels: tuple[Label, ...]
    on_paper: tuple[Dimension | Symbol | HatchArea, ...]  # what they are made of depends on the zoom

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to paint."""
        return not (self.fills or self.lines or self.labels or self.on_paper)


class Tint(NamedTuple):
    """One colour in place of those of the pens: what is selected, what a finding shows."""

    colour: str
    wash: str
    wider_mm: float = 0.0


SELECTED: Final = Tint(LIGHT.accent, LIGHT.wash, 0.15)
HOVERED: Final = Tint(LIGHT.accent, LIGHT.ground)


def paths_of(primitives: Iterable[Primitive]) -> Paths:
    """Return primitives made ready to paint; the lines of one pen become one path."""
    fills: list[tuple[Pen, Tone, QPainterPath]] = []
    lines: dict[Pen, QPainterPath] = {}
    labels: list[Label] = []
    on_paper: list[Dimension | Symbol | HatchArea] = []
    for primitive in primitives:
        match primitive:
            case Stroke() | Arc() | Circle():
                _add_line(lines.setdefault(primitive.pen, QPainterPath()), primitive)
            case Fill() if primitive.pen not in NOT_FILLED:
                fills.append((primitive.pen, primitive.tone, _area(primitive.rings)))
            case Label():
                labels.append(primitive)
            case Dimension() | Symbol() | HatchArea():
                on_paper.append(primitive)
    return Paths(tuple(fills), tuple(lines.items()), tuple(labels), tuple(on_paper))


def at_ratio(paths: Paths, ratio: float) -> Paths:
    """Return what is sized on paper as paths in model mm, where one paper mm is ``ratio``."""
    return paths_of(part for primitive in paths.on_paper for part in _parts_on_paper(primitive, ratio))


def ratio_of(frame: PlanFrame, text_scale: float) -> float:
    """Return how many mm of the model lie under one mm of paper."""
    return PIXELS_PER_PAPER_MM * text_scale / frame.scale


def paint_paths(
    painter: QPainter, paths: Paths, frame: PlanFrame, text_scale: float = 1.0, tint: Tint | None = None
) -> None:
    """Paint paths; a tint takes the place of the colours of the pens."""
    painter.save()
    painter.setWorldTransform(to_screen(frame), combine=True)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for pen, tone, path in paths.fills:
        painter.fillPath(path, QColor(_fill_colour(look_of(pen), tone, tint)))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen, path in paths.lines:
        painter.setPen(screen_pen(look_of(pen), text_scale, tint))
        painter.drawPath(path)
    painter.restore()
    for label in paths.labels:
        paint_label(painter, label, frame, text_scale, tint)


def to_screen(frame: PlanFrame) -> QTransform:
    """Return the transform from model mm to pixels."""
    x, y = frame.to_pixels((0.0, 0.0))
    return QTransform(frame.scale, 0.0, 0.0, -frame.scale, x, y)


def screen_pen(look: ScreenLook, text_scale: float, tint: Tint | None = None) -> QPen:
    """Return a pen that keeps its width at every zoom."""
    wider = tint.wider_mm if tint else 0.0
    width = max(LEAST_PIXELS, (look.width_mm + wider) * PIXELS_PER_PAPER_MM * text_scale)
    pen = QPen(QColor(tint.colour if tint else look.colour), width)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if look.dashes_mm:
        pen.setDashPattern([part * PIXELS_PER_PAPER_MM * text_scale / width for part in look.dashes_mm])
    return pen


def paint_label(painter: QPainter, label: Label, frame: PlanFrame, text_scale: float, tint: Tint | None = None) -> None:
    """Paint one text; the number of a dimension stands on a gap of paper."""
    font = label_font(label.face, round(label.height_mm * PIXELS_PER_PAPER_MM * text_scale / cap_share()))
    colour = tint.colour if tint else look_of(label.pen).colour
    at = QPointF(*frame.to_pixels(label.at))
    share, on_gap = ALIGN_SHARES[label.align], label.pen is Pen.DIMENSION
    paint_text(painter, label.text, at, font, colour, share, label.turn_rad, on_gap)


def paint_text(
    painter: QPainter,
    text: str,
    at: QPointF,
    font: QFont,
    colour: str,
    align: float = 0.0,
    turn_rad: float = 0.0,
    on_gap: bool = False,
) -> None:
    """Paint one line of text with ``at`` on its baseline, at its left end, or a share of its width along it."""
    metrics = QFontMetricsF(font)
    width = metrics.horizontalAdvance(text)
    painter.save()
    painter.translate(at)
    painter.rotate(-degrees(turn_rad))
    if on_gap:
        gap = QRectF(-align * width, -metrics.capHeight(), width, metrics.capHeight())
        around = GAP_AROUND_NUMBER
        painter.fillRect(gap.adjusted(-around, -around, around, around / 2), QColor(LIGHT.paper))
    painter.setFont(font)
    painter.setPen(QColor(colour))
    painter.drawText(QPointF(-align * width, 0.0), text)
    painter.restore()


@lru_cache(maxsize=64)
def label_font(face: Face, pixels: int, italic: bool = False) -> QFont:
    """Return a face of the program's own font."""
    font = QFont(FAMILY)
    font.setWeight(FACES[face][1])
    font.setPixelSize(max(1, pixels))
    font.setItalic(italic)
    return font


@lru_cache(maxsize=1)
def cap_share() -> float:
    """Return the height of capitals as a share of the size of the font."""
    measured = 1000
    return QFontMetricsF(label_font("regular", measured)).capHeight() / measured


def _fill_colour(look: ScreenLook, tone: Tone, tint: Tint | None) -> str:
    if tone == "paper":
        return LIGHT.paper
    if tone == "wash":
        return tint.wash if tint else look.wash
    return tint.colour if tint else look.colour


def _parts_on_paper(primitive: Dimension | Symbol | HatchArea, ratio: float) -> Iterator[Primitive]:
    match primitive:
        case Dimension():
            yield from explode(primitive, ratio)
        case Symbol():
            yield from placed_symbol(primitive, ratio)
        case HatchArea():
            for line in hatch_lines(primitive.rings, primitive.pattern, ratio):
                yield Stroke(points=line, pen=primitive.pen, source=primitive.source)


def _add_line(path: QPainterPath, primitive: Stroke | Arc | Circle) -> None:
    match primitive:
        case Stroke():
            path.addPolygon(QPolygonF([QPointF(x, y) for x, y in primitive.points]))
            if primitive.closed:
                path.closeSubpath()
        case Arc():
            _add_arc(path, primitive)
        case Circle():
            path.addEllipse(QPointF(*primitive.centre), primitive.radius, primitive.radius)


def _add_arc(path: QPainterPath, arc: Arc) -> None:
    # Qt counts angles clockwise on paths with y up
    (x, y), radius = arc.centre, arc.radius
    box = QRectF(x - radius, y - radius, 2 * radius, 2 * radius)
    start, sweep = -degrees(arc.start_rad), -degrees(arc.sweep_rad)
    path.arcMoveTo(box, start)
    path.arcTo(box, start, max(-FULL_TURN_DEG, min(FULL_TURN_DEG, sweep)))


def _area(rings: Iterable[Ring]) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in rings:
        path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ring]))
        path.closeSubpath()
    return path
