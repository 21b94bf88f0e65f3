"""What a drawing is made of, for every output alike: screen, DXF, PDF and PNG.

Places are in mm with y up: model mm inside a view, paper mm on a sheet.  Everything that has a size on paper, such as
a text height, a dimension offset or a symbol, is in paper mm whatever the scale.  A primitive says what it means
(``pen``); how that looks stands in one table (``pens.py``).  ``source`` is the id of the record or finding it shows.
"""

from typing import Literal

from msgspec import Struct

from siteplan.drawing.pens import Pen
from siteplan.geometry.points import Point

Ring = tuple[Point, ...]
Face = Literal["regular", "semibold", "bold"]
Align = Literal["left", "middle", "right"]
Pattern = Literal["concrete", "earth", "paving", "zone"]
Tone = Literal["solid", "wash", "paper"]


class Stroke(Struct, frozen=True, kw_only=True, tag_field="shape", tag="stroke"):
    """A line through points."""

    points: Ring
    pen: Pen
    closed: bool = False
    source: str = ""


class Arc(Struct, frozen=True, kw_only=True, tag_field="shape", tag="arc"):
    """A circular arc, kept as an arc so that every file holds it exactly; a negative sweep runs clockwise."""

    centre: Point
    radius: float
    start_rad: float
    sweep_rad: float
    pen: Pen
    source: str = ""


class Circle(Struct, frozen=True, kw_only=True, tag_field="shape", tag="circle"):
    """A full circle."""

    centre: Point
    radius: float
    pen: Pen
    source: str = ""


class Fill(Struct, frozen=True, kw_only=True, tag_field="shape", tag="fill"):
    """An area filled evenly; rings inside rings are holes (even-odd)."""

    rings: tuple[Ring, ...]
    pen: Pen
    tone: Tone = "solid"
    source: str = ""


class HatchArea(Struct, frozen=True, kw_only=True, tag_field="shape", tag="hatch"):
    """An area hatched; a boundary line stands beside every hatch as a primitive of its own."""

    rings: tuple[Ring, ...]
    pattern: Pattern
    pen: Pen
    source: str = ""


class Label(Struct, frozen=True, kw_only=True, tag_field="shape", tag="label"):
    """One line of text; ``at`` is on its baseline at the left, middle or right; the height is that of capitals."""

    at: Point
    text: str
    pen: Pen
    height_mm: float = 2.4  # paper
    turn_rad: float = 0.0
    align: Align = "left"
    face: Face = "regular"
    source: str = ""


class Dimension(Struct, frozen=True, kw_only=True, tag_field="shape", tag="dimension"):
    """A dimension: its lines and its text are worked out by ``dimensions.explode``.

    linear: ``first`` and ``second`` are measured along ``direction_rad``; the dimension line stands ``offset_mm``
    (paper) beyond them on the left of that direction, or on the right when negative.
    radius: ``first`` is the centre, ``second`` the place on the arc.
    angle: ``centre`` with the directions to ``first`` and ``second``, drawn at ``offset_mm`` (paper) from the centre.
    """

    kind: Literal["linear", "radius", "angle"]
    first: Point
    second: Point
    number: str  # the measured value as printed, in the units of the job
    note: str = ""  # a word behind the number
    centre: Point = (0.0, 0.0)
    direction_rad: float = 0.0
    offset_mm: float = 0.0  # paper
    text_share: float = 0.5  # of the line, where the middle of its text stands; below a half also: before the line
    pen: Pen = Pen.DIMENSION
    source: str = ""

    @property
    def text(self) -> str:
        """The number and the word behind it."""
        return f"{self.number} {self.note}".rstrip()


class Symbol(Struct, frozen=True, kw_only=True, tag_field="shape", tag="symbol"):
    """A drawn sign of a size on paper; what it is made of stands in ``symbols.py``."""

    name: str
    at: Point
    pen: Pen
    turn_rad: float = 0.0
    text: str = ""  # the letter or number inside
    source: str = ""


Primitive = Stroke | Arc | Circle | Fill | HatchArea | Label | Dimension | Symbol


class View(Struct, frozen=True, kw_only=True):
    """A window of a sheet onto the model at a drawing scale."""

    number: str
    title: str
    scale_text: str
    centre: Point  # model place shown in the middle of the frame
    ratio: float  # model length / paper length: 48 is 1/4" = 1'-0"
    frame: tuple[float, float, float, float]  # left, bottom, width, height on the sheet, paper mm
    model: tuple[Primitive, ...]  # things, in model mm
    notes: tuple[Primitive, ...] = ()  # annotation: model places, paper sizes


class Sheet(Struct, frozen=True, kw_only=True):
    """One sheet of paper; the origin is its lower left corner."""

    name: str  # C-101
    title: str
    width_mm: float
    height_mm: float
    paper: str
    views: tuple[View, ...]
    items: tuple[Primitive, ...]  # paper mm


class SheetSet(Struct, frozen=True, kw_only=True):
    """The sheets of one job, and what their files say about themselves."""

    title: str
    author: str
    subject: str
    issue_date: str  # year-month-day, or empty
    inches: bool  # drawing unit of the DXF: inches, else mm
    sheets: tuple[Sheet, ...]
    troubles: tuple[str, ...] = ()  # sentences on notes that found no free place
