"""The frame of a sheet with its grid, and what stands under a view: number, title, scale, scale bar."""

from collections.abc import Iterator
from itertools import pairwise
from string import ascii_uppercase

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Fill, Label, Primitive, Stroke, Symbol, View
from siteplan.drawing.text_flow import CAPTION_MM, TEXT_MM, TITLE_MM
from siteplan.model.project import Units

GRID_MM = 50.0
GRID_LETTERS = tuple(letter for letter in ascii_uppercase if letter not in "IO")
FOOT_MM = 304.8
BAR_FEET = (1, 5, 10, 20, 50, 100)  # length of one field of a bar
BAR_METRES = (0.1, 0.2, 0.5, 1, 2, 5, 10, 50)
BAR_FIELDS = 4
LEAST_FIELD_MM = 12.0  # paper
BAR_HEIGHT_MM = 1.4
RING_MM = 5.0


def frame_items(
    frame: tuple[float, float, float, float],
) -> Iterator[Primitive]:
    """Yield the frame, with letters along the top and numbers down the left so that a reply can name a square."""
    left, bottom, right, top = frame
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    yield Stroke(points=corners, pen=Pen.FRAME, closed=True)
    columns, rows = max(2, round((right - left) / GRID_MM)), max(2, round((top - bottom) / GRID_MM))
    for number in range(columns):
        x = left + (right - left) * (number + 0.5) / columns
        yield _grid_label((x, top + 2.2), GRID_LETTERS[number % len(GRID_LETTERS)])
    for number in range(rows):
        y = top - (top - bottom) * (number + 0.5) / rows
        yield _grid_label((left - 3.2, y - CAPTION_MM / 2), str(number + 1))


def _grid_label(at: tuple[float, float], text: str) -> Label:
    return Label(at=at, text=text, pen=Pen.TITLE_CAPTION, height_mm=CAPTION_MM, align="middle")


def view_title(view: View, band_mm: float) -> Iterator[Primitive]:
    """Yield the number of a view in a ring, its title and its scale, under the view."""
    left, bottom = view.frame[0], view.frame[1] - band_mm
    middle = bottom + band_mm / 2
    text_left = left + 2 * RING_MM + 3.0
    yield Symbol(name="view_ring", at=(left + RING_MM, middle), pen=Pen.NOTE, text=view.number)
    yield Label(at=(text_left, middle + 1.4), text=view.title, pen=Pen.NOTE, height_mm=TITLE_MM, face="bold")
    yield Stroke(points=((left + 2 * RING_MM, middle), (left + 86.0, middle)), pen=Pen.NOTE)
    yield Label(at=(text_left, middle - TEXT_MM - 1.6), text=view.scale_text, pen=Pen.NOTE, height_mm=TEXT_MM)


def scale_bar(view: View, units: Units, band_mm: float) -> Iterator[Primitive]:
    """Yield a bar of four fields, every other one filled, in round lengths of the job's units."""
    unit_mm, steps, word = (1000.0, BAR_METRES, " m") if units in ("m", "mm") else (FOOT_MM, BAR_FEET, "'")
    field = next((step for step in steps if step * unit_mm / view.ratio >= LEAST_FIELD_MM), steps[-1])
    width = field * unit_mm / view.ratio
    left = view.frame[0] + 104.0
    bottom = view.frame[1] - band_mm / 2 - BAR_HEIGHT_MM
    ends = [left + width * number for number in range(BAR_FIELDS + 1)]
    for number, (start, end) in enumerate(pairwise(ends)):
        ring = ((start, bottom), (end, bottom), (end, bottom + BAR_HEIGHT_MM), (start, bottom + BAR_HEIGHT_MM))
        if number % 2 == 0:
            yield Fill(rings=(ring,), pen=Pen.NOTE)
        yield Stroke(points=ring, pen=Pen.DIMENSION, closed=True)
    for number, x in enumerate(ends):
        text = f"{field * number:g}{word}"
        yield Label(at=(x, bottom + BAR_HEIGHT_MM + 1.4), text=text, pen=Pen.NOTE, align="middle")
