"""Text set in columns on a sheet, in paper mm, from the top down."""

from collections.abc import Iterator

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Face, Label, Primitive, Stroke
from siteplan.drawing.text_size import text_width_mm

TEXT_MM, TITLE_MM, CAPTION_MM, SHEET_NUMBER_MM = 2.4, 3.5, 1.8, 5.0
LEAST_TEXT_MM = 2.0
LINE_PITCH = 1.6  # heights of a capital from baseline to baseline


def wrapped(text: str, width_mm: float, height_mm: float = TEXT_MM, face: Face = "regular") -> tuple[str, ...]:
    """Return a text in lines no wider than a column; a word wider than the column goes over as many as it takes."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _parts(paragraph, width_mm, height_mm, face):
            longer = f"{line} {word}".strip()
            if line and text_width_mm(longer, height_mm, face) > width_mm:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)


def _parts(paragraph: str, width_mm: float, height_mm: float, face: Face) -> Iterator[str]:
    """Yield the words of a paragraph, those wider than the column cut into pieces that fit."""
    for word in paragraph.split():
        rest = word
        while text_width_mm(rest, height_mm, face) > width_mm and len(rest) > 1:
            fitting = (
                end for end in range(len(rest) - 1, 1, -1) if text_width_mm(rest[:end], height_mm, face) <= width_mm
            )
            cut = next(fitting, 1)
            yield rest[:cut]
            rest = rest[cut:]
        yield rest


def fitted_height(text: str, width_mm: float, height_mm: float, face: Face = "regular") -> float:
    """Return the height at which a line fits a width, no less than 2 mm."""
    width = text_width_mm(text, height_mm, face)
    return height_mm if width <= width_mm else max(LEAST_TEXT_MM, height_mm * width_mm / width)


class Column:
    """A column that is filled from the top down; ``y`` is where the next thing begins."""

    def __init__(self, left_mm: float, top_mm: float, width_mm: float) -> None:
        self.left, self.y, self.width = left_mm, top_mm, width_mm
        self.items: list[Primitive] = []

    def gap(self, height_mm: float) -> None:
        """Leave room."""
        self.y -= height_mm

    def rule(self, pen: Pen = Pen.TITLE_LINE, out_mm: float = 0.0) -> None:
        """Draw a line across the column, reaching out on both sides."""
        ends = ((self.left - out_mm, self.y), (self.left + self.width + out_mm, self.y))
        self.items.append(Stroke(points=ends, pen=pen))

    def line(
        self, text: str, height_mm: float = TEXT_MM, face: Face = "regular", pen: Pen = Pen.TITLE_TEXT, source: str = ""
    ) -> None:
        """Set one line."""
        self.y -= height_mm
        self.items.append(
            Label(at=(self.left, self.y), text=text, pen=pen, height_mm=height_mm, face=face, source=source)
        )
        self.y -= height_mm * (LINE_PITCH - 1)

    def paragraph(self, text: str, height_mm: float = TEXT_MM, hang_mm: float = 0.0, mark: str = "") -> None:
        """Set a text over as many lines as it takes, behind a mark when there is one."""
        for number, line in enumerate(wrapped(text, self.width - hang_mm, height_mm)):
            self.y -= height_mm
            if mark and not number:
                self.items.append(Label(at=(self.left, self.y), text=mark, pen=Pen.NOTE, height_mm=height_mm))
            self.items.append(Label(at=(self.left + hang_mm, self.y), text=line, pen=Pen.NOTE, height_mm=height_mm))
            self.y -= height_mm * (LINE_PITCH - 1)
