"""What stands on the plan wherever it is moved: the scale bar and the north arrow."""

from math import floor, log10, pi
from typing import Final, NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from siteplan.canvas.painting import at_ratio, label_font, paint_paths, paint_text, paths_of
from siteplan.canvas.palette import LIGHT
from siteplan.canvas.pen_colours import PIXELS_PER_PAPER_MM
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Symbol
from siteplan.model.project import Datum, Units
from siteplan.units.writing import LengthStyle, write_length

# Pixels at a text size of 100 %.
LEAST_ROOM: Final = 200.0  # in a smaller window they would cover the plan
MARGIN: Final = 20.0
BAR_LONGEST: Final = 300.0
BAR_HEIGHT: Final = 5.0
BAR_TEXT: Final = 11
BAR_TEXT_GAP: Final = 5.0
NORTH_HALF: Final = 34.0
NORTH_SHARE: Final = 0.75  # of its size on sheets
BAR_SHARE: Final = 0.33  # of the window, at most
ROOM_FOR_TEXT: Final = 30.0  # a field of the bar with less has no text of its own
TENTHS: Final = 10.0
TAPE_FRACTION: Final = 16
METRE_DECIMALS: Final = 2
FIELDS: Final = 4
BAR_STEPS: Final = (0.4, 1.0, 2.0, 4.0)  # of a bar: four fields of a tenth, a quarter, a half, one whole
FOOT_MM: Final = 304.8
METRE_MM: Final = 1000.0


class ScaleBar(NamedTuple):
    """A bar of a round length, with a text at each of its fields."""

    length_mm: float
    texts: tuple[str, ...]


def scale_bar(longest_mm: float, units: Units) -> ScaleBar:
    """Return the longest bar of round length that is no longer than asked."""
    unit_mm = METRE_MM if units in ("m", "mm") else FOOT_MM
    decade = TENTHS ** floor(log10(longest_mm / unit_mm))
    length = max(step * decade * unit_mm for step in BAR_STEPS if step * decade * unit_mm <= longest_mm)
    style = LengthStyle("m", decimals=METRE_DECIMALS) if units in ("m", "mm") else LengthStyle("ftin", TAPE_FRACTION)
    texts = tuple(_plain(write_length(length * field / FIELDS, style, zero_feet=True)) for field in range(FIELDS + 1))
    return ScaleBar(length, texts)


def _plain(text: str) -> str:
    """Return a length without what a scale bar need not say: 5'-0" is 5', 2.50 m is 2.5 m."""
    if text.endswith(" m"):
        return f"{text.removesuffix(' m').rstrip('0').rstrip('.')} m"
    return text.removesuffix('-0"') if text.endswith('-0"') else text.removeprefix("0'-")


def paint_furniture(painter: QPainter, frame: PlanFrame, text_scale: float, units: Units, datum: Datum) -> None:
    """Paint the scale bar at the lower right and the north arrow at the upper right."""
    if min(frame.width, frame.height) >= LEAST_ROOM * text_scale:
        _paint_bar(painter, frame, text_scale, units)
        _paint_north(painter, frame, text_scale, datum)


def _paint_bar(painter: QPainter, frame: PlanFrame, text_scale: float, units: Units) -> None:
    longest = min(BAR_LONGEST * text_scale, BAR_SHARE * frame.width)
    bar = scale_bar(longest / frame.scale, units)
    width, height = bar.length_mm * frame.scale, BAR_HEIGHT * text_scale
    font = label_font("regular", round(BAR_TEXT * text_scale))
    right = frame.width - (MARGIN + BAR_TEXT) * text_scale
    left, top = right - width, frame.height - MARGIN * text_scale - height
    painter.save()
    painter.setPen(QPen(QColor(LIGHT.ink), 1.0))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for field, text in enumerate(bar.texts):
        at = left + field * width / FIELDS
        if field < FIELDS:
            painter.setBrush(QColor(LIGHT.ink if field % 2 == 0 else LIGHT.paper))
            painter.drawRect(QRectF(at, top, width / FIELDS, height))
        if width / FIELDS >= ROOM_FOR_TEXT * text_scale or field in (0, FIELDS):
            paint_text(painter, text, QPointF(at, top - BAR_TEXT_GAP * text_scale), font, LIGHT.mid, align=1 / 2)
    painter.restore()


def _paint_north(painter: QPainter, frame: PlanFrame, text_scale: float, datum: Datum) -> None:
    half = NORTH_HALF * text_scale
    symbol = Symbol(name="north", at=(0.0, 0.0), pen=Pen.NOTE, turn_rad=datum.north_rad - pi / 2)
    pixels = PlanFrame(scale=PIXELS_PER_PAPER_MM * text_scale * NORTH_SHARE, width=frame.width, height=frame.height)
    away = (frame.width / 2 - MARGIN * text_scale - half, frame.height / 2 - MARGIN * text_scale - half)
    at_corner = pixels._replace(centre=(-away[0] / pixels.scale, -away[1] / pixels.scale))
    paint_paths(painter, at_ratio(paths_of((symbol,)), 1.0), at_corner, text_scale * NORTH_SHARE)
