"""Small sets of sheets for tests of the DXF writer: every kind of primitive, two views of different scale."""

from functools import cache
from io import StringIO
from math import pi
from pathlib import Path
from typing import TypeVar

from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.entities.viewport import Viewport
from ezdxf.layouts.base import BaseLayout

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import (
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Ring,
    Sheet,
    SheetSet,
    Stroke,
    Symbol,
    View,
)
from siteplan.export.dxf_file import write_dxf

ROOT = Path(__file__).parent.parent.parent
FOOT = 304.8
INCH = 25.4
PAPER_MM = (431.8, 279.4)


def square(side_mm: float, at: float = 0.0) -> Ring:
    low, high = at, at + side_mm
    return ((low, low), (high, low), (high, high), (low, high))


FENCE = Stroke(points=((0.0, 0.0), (100 * FOOT, 0.0)), pen=Pen.FENCE_NEW, source="F1")
LEAF_ARC = Arc(centre=(0.0, 0.0), radius=12 * FOOT, start_rad=pi / 2, sweep_rad=-pi / 2, pen=Pen.SWEEP, source="L1")
CONTROL = Symbol(name="control", at=(6 * FOOT, 6 * FOOT), pen=Pen.CONTROL, text="K1", turn_rad=pi / 6, source="K1")
THINGS: tuple[Primitive, ...] = (
    FENCE,
    Stroke(points=square(FOOT), pen=Pen.POST, closed=True, source="P1"),
    LEAF_ARC,
    Arc(centre=(0.0, 0.0), radius=FOOT, start_rad=1.0, sweep_rad=-2 * pi, pen=Pen.OBSTACLE, source="T2"),
    Circle(centre=(FOOT, FOOT), radius=40.0, pen=Pen.DRIVE, source="D1"),
    Fill(rings=(square(FOOT), square(100.0, 100.0)), pen=Pen.POST, source="P1"),
    Fill(rings=(((0.0, 0.0), (90.0, 0.0), (45.0, 80.0)),), pen=Pen.POST, source="P1"),
    Fill(rings=(square(5 * FOOT),), pen=Pen.SWEEP, tone="wash", source="L1"),
    Fill(rings=(square(5 * FOOT),), pen=Pen.DRIVE, tone="paper", source="D1"),
    HatchArea(rings=(square(3 * FOOT),), pattern="concrete", pen=Pen.PAD_HATCH, source="pad"),
)
CLEAR = Dimension(
    kind="linear",
    first=(0.0, 0.0),
    second=(12 * FOOT, 0.0),
    number="12'-0\"",
    note="CLEAR",
    offset_mm=-14.0,
    source="opening",
)
RADIUS = Dimension(kind="radius", first=(0.0, 0.0), second=(12 * FOOT, 0.0), number="12'-0\"", source="L1")
ANGLE = Dimension(
    kind="angle", centre=(0.0, 0.0), first=(FOOT, 0.0), second=(0.0, FOOT), number="90°", offset_mm=14.0, source="L1"
)
NOTES: tuple[Primitive, ...] = (
    Label(at=(FOOT, 4 * FOOT), text="(N) LEAF L1 12½″ × 90° ± 1°", pen=Pen.NOTE, source="L1"),
    Label(at=(FOOT, 5 * FOOT), text="TURNED", pen=Pen.NOTE, align="middle", turn_rad=pi / 2, face="bold"),
    Label(at=(FOOT, 6 * FOOT), text="", pen=Pen.NOTE),
    Stroke(points=((-900 * FOOT, FOOT), (900 * FOOT, FOOT)), pen=Pen.WITNESS, source="U-04"),
    CLEAR,
    RADIUS,
    ANGLE,
)
ITEMS: tuple[Primitive, ...] = (
    Stroke(points=square(250.0, 10.0), pen=Pen.FRAME, closed=True),
    Label(at=(370.0, 20.0), text="Owner Número Uno", pen=Pen.TITLE_TEXT, height_mm=2.8, source="field:owner"),
    Label(at=(370.0, 16.0), text="and Partner", pen=Pen.TITLE_TEXT, height_mm=2.8, source="field:owner"),
    Label(at=(370.0, 30.0), text="A", pen=Pen.TITLE_TEXT, align="right", source="field:revision A mark"),
    Symbol(name="north", at=(380.0, 200.0), pen=Pen.NOTE, turn_rad=0.5, text="plan north"),
)


def view(
    ratio: float = 96.0,
    number: str = "1",
    model: tuple[Primitive, ...] = THINGS,
    notes: tuple[Primitive, ...] = NOTES,
) -> View:
    return View(
        number=number,
        title="PLAN",
        scale_text="",
        centre=(10 * FOOT, 5 * FOOT),
        ratio=ratio,
        frame=(20.0, 30.0, 320.0, 200.0),
        model=model,
        notes=notes,
    )


def sheet(name: str, *views: View, items: tuple[Primitive, ...] = ITEMS) -> Sheet:
    width, height = PAPER_MM
    return Sheet(name=name, title="", width_mm=width, height_mm=height, paper="11x17", views=views, items=items)


def sheet_set(*sheets: Sheet, inches: bool = True, issue_date: str = "2031-04-02") -> SheetSet:
    return SheetSet(
        title="Gate at the mill",
        author="A. Drawer",
        subject="Site plan 7",
        issue_date=issue_date,
        inches=inches,
        sheets=sheets,
    )


def full_set(inches: bool = True) -> SheetSet:
    """Return a set with everything: a plan, and a sheet with a plan of the gate at a larger scale."""
    model = (*THINGS, CONTROL)
    return sheet_set(
        sheet("C-101", view(96.0, model=model)), sheet("C-102", view(24.0, "2", model=model)), inches=inches
    )


def model_of(*shapes: Primitive, inches: bool = True) -> Drawing:
    """Return the file of one view that shows only these things."""
    return parsed(write_dxf(sheet_set(sheet("C-101", view(model=shapes, notes=()), items=()), inches=inches)))


def notes_of(*shapes: Primitive, inches: bool = True) -> Drawing:
    """Return the file of one view at 1:96 that is annotated by these."""
    return parsed(write_dxf(sheet_set(sheet("C-101", view(model=(), notes=shapes), items=()), inches=inches)))


def parsed(data: bytes) -> Drawing:
    return Drawing.read(StringIO(data.decode("ascii")))


@cache
def full_bytes(inches: bool = True) -> bytes:
    return write_dxf(full_set(inches))


@cache
def full_file(inches: bool = True) -> Drawing:
    """Return the full set as read back; tests must not change it."""
    return parsed(full_bytes(inches))


def drawn(doc: Drawing) -> list[DXFGraphic]:
    """Return every entity of every space and block, attributes included."""
    entities = [entity for block in doc.blocks for entity in block]
    attributes = [attribute for insert in entities if isinstance(insert, Insert) for attribute in insert.attribs]
    return [*entities, *attributes]


Entity = TypeVar("Entity", bound=DXFGraphic)


def only(space: BaseLayout, kind: type[Entity], layer: str = "") -> Entity:
    """Return the only entity of a kind in a space, or on a layer of it."""
    (found,) = [each for each in space if isinstance(each, kind) and layer in ("", each.dxf.layer)]
    return found


def viewport(doc: Drawing, layout: str) -> Viewport:
    """Return the only viewport of a layout onto the model."""
    (found,) = [each for each in doc.paperspace(layout).viewports() if each.dxf.id != 1]
    return found
