"""PNG files: scale, ink, clipping and what the file says about itself."""

from math import pi

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from siteplan.drawing.pens import Pen, line_patterns, looks
from siteplan.drawing.primitives import (
    Align,
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Sheet,
    Stroke,
    Symbol,
    View,
)
from siteplan.errors import SheetError
from siteplan.export.paint import write_png

pytestmark = pytest.mark.usefixtures("qapp")

HUNDRED_FEET_MM = 30480.0
DPI = 200
DOTS_PER_MM = DPI / 25.4
FIELD = ((5.0, 5.0), (35.0, 5.0), (35.0, 25.0), (5.0, 25.0))
EVERY_KIND: tuple[Primitive, ...] = (
    Stroke(points=((5.0, 5.0), (35.0, 25.0)), pen=Pen.POST),
    Arc(centre=(20.0, 15.0), radius=10.0, start_rad=0.0, sweep_rad=2.0, pen=Pen.POST),
    Circle(centre=(20.0, 15.0), radius=5.0, pen=Pen.POST),
    Fill(rings=(FIELD,), pen=Pen.POST),
    Fill(rings=(FIELD,), pen=Pen.POST, tone="wash"),
    HatchArea(rings=(FIELD,), pattern="concrete", pen=Pen.PAD_HATCH),
    HatchArea(rings=(FIELD,), pattern="earth", pen=Pen.PAD_HATCH),
    HatchArea(rings=(FIELD,), pattern="paving", pen=Pen.PAD_HATCH),
    HatchArea(rings=(FIELD,), pattern="zone", pen=Pen.PAD_HATCH),
    Label(at=(5.0, 15.0), text="GATE", pen=Pen.NOTE),
    Dimension(kind="linear", first=(5.0, 5.0), second=(35.0, 5.0), number="30", offset_mm=8.0),
    Dimension(kind="radius", first=(10.0, 10.0), second=(30.0, 10.0), number="20"),
    Dimension(kind="angle", centre=(5.0, 5.0), first=(35.0, 5.0), second=(5.0, 25.0), number="90°", offset_mm=15.0),
    Symbol(name="stop", at=(20.0, 15.0), pen=Pen.FINDING, text="3"),
)


def sheet(*items: Primitive, views: tuple[View, ...] = (), width_mm: float = 40.0, height_mm: float = 30.0) -> Sheet:
    return Sheet(
        name="C-101", title="SITE PLAN", width_mm=width_mm, height_mm=height_mm, paper="", views=views, items=items
    )


def view(*model: Primitive, ratio: float = 1.0, frame: tuple[float, float, float, float]) -> View:
    centre = (frame[2] / 2 * ratio, frame[3] / 2 * ratio)
    return View(number="1", title="PLAN", scale_text="", centre=centre, ratio=ratio, frame=frame, model=model)


def darkness(png: bytes) -> NDArray[np.float64]:
    """Return how dark each pixel is, 0 white to 1 black, the first row at the top."""
    image = QImage.fromData(png).convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return 1.0 - rows[:, : image.width()] / 255.0


def darkest(*items: Primitive, views: tuple[View, ...] = ()) -> float:
    return float(darkness(write_png(sheet(*items, views=views), DPI)).max())


def middle_of_ink(columns: NDArray[np.float64]) -> float:
    return float((columns * np.arange(columns.size)).sum() / columns.sum())


@pytest.mark.parametrize("shape", EVERY_KIND, ids=lambda shape: type(shape).__name__)
def test_every_kind_of_primitive_leaves_ink(shape: Primitive) -> None:
    assert darkest(shape) > 0.05


@pytest.mark.parametrize("ratio", [48.0, 96.0, 120.0, 240.0])
def test_a_hundred_feet_are_true_to_scale_in_pixels(ratio: float) -> None:
    marks = [Stroke(points=((x, 0.0), (x, 20 * ratio)), pen=Pen.POST) for x in (ratio, HUNDRED_FEET_MM + ratio)]
    page = sheet(views=(view(*marks, ratio=ratio, frame=(5.0, 5.0, 690.0, 20.0)),), width_mm=700.0)

    columns = darkness(write_png(page, DPI)).sum(axis=0)

    between = 20 * int(DOTS_PER_MM)
    distance = between + middle_of_ink(columns[between:]) - middle_of_ink(columns[:between])
    assert distance == pytest.approx(HUNDRED_FEET_MM / ratio * DOTS_PER_MM, abs=0.05)


def test_y_runs_up_from_the_lower_edge() -> None:
    ink = darkness(write_png(sheet(Stroke(points=((0.0, 5.0), (40.0, 5.0)), pen=Pen.POST)), DPI))

    assert middle_of_ink(ink.sum(axis=1)) + 0.5 == pytest.approx((30 - 5) * DOTS_PER_MM, abs=0.3)


def test_capitals_have_their_exact_height() -> None:
    ink = darkness(write_png(sheet(Label(at=(5.0, 5.0), text="H", pen=Pen.NOTE, height_mm=10.0)), DPI))

    assert ink.max(axis=1).sum() / DOTS_PER_MM == pytest.approx(10.0, abs=0.02)


def test_a_text_in_a_view_has_the_height_of_its_paper_at_any_ratio() -> None:
    label = Label(at=(480.0, 480.0), text="H", pen=Pen.NOTE, height_mm=10.0)

    ink = darkness(write_png(sheet(views=(view(label, ratio=48.0, frame=(0.0, 0.0, 40.0, 30.0)),)), DPI))

    assert ink.max(axis=1).sum() / DOTS_PER_MM == pytest.approx(10.0, abs=0.02)


def test_a_line_in_a_view_has_the_width_of_its_pen_at_any_ratio() -> None:
    line = Stroke(points=((480.0, 0.0), (480.0, 1440.0)), pen=Pen.FRAME)

    ink = darkness(write_png(sheet(views=(view(line, ratio=48.0, frame=(0.0, 0.0, 40.0, 30.0)),)), DPI))

    assert ink[ink.shape[0] // 2].sum() / DOTS_PER_MM == pytest.approx(0.70, abs=0.02)


@pytest.mark.parametrize(("align", "share"), [("left", 0.0), ("middle", 0.5), ("right", 1.0)])
def test_a_text_stands_at_its_anchor(align: Align, share: float) -> None:
    label = Label(at=(20.0, 10.0), text="HHHH", pen=Pen.NOTE, align=align)

    columns = np.flatnonzero(darkness(write_png(sheet(label), DPI)).max(axis=0)) / DOTS_PER_MM

    assert columns[0] + share * (columns[-1] - columns[0]) == pytest.approx(
        20.0, abs=0.5
    )  # letters have room beside them


def test_a_turned_text_runs_upward() -> None:
    label = Label(at=(20.0, 5.0), text="HHHH", pen=Pen.NOTE, turn_rad=pi / 2)

    rows = np.flatnonzero(darkness(write_png(sheet(label), DPI)).max(axis=1)) / DOTS_PER_MM

    assert rows[-1] == pytest.approx(30 - 5, abs=0.5)


def test_a_hatch_larger_than_its_view_leaves_no_ink_outside() -> None:
    wide = ((-100.0, -100.0), (100.0, -100.0), (100.0, 100.0), (-100.0, 100.0))
    hatch = HatchArea(rings=(wide,), pattern="earth", pen=Pen.PAD_HATCH)

    ink = darkness(write_png(sheet(views=(view(hatch, frame=(10.0, 10.0, 20.0, 10.0)),)), DPI))

    outside = np.ones_like(ink, dtype=bool)
    outside[round(10 * DOTS_PER_MM) : round(20 * DOTS_PER_MM), round(10 * DOTS_PER_MM) : round(30 * DOTS_PER_MM)] = (
        False
    )
    assert (ink[outside].max(), ink.max() > 0.1) == (0.0, True)


def test_a_hatch_leaves_no_ink_outside_its_own_area() -> None:
    hatch = HatchArea(rings=(FIELD,), pattern="earth", pen=Pen.PAD_HATCH)

    columns = np.flatnonzero(darkness(write_png(sheet(hatch), DPI)).max(axis=0)) / DOTS_PER_MM

    assert (columns.min() >= 4.8, columns.max() <= 35.2) == (True, True)


def test_lines_of_a_hatch_do_not_take_the_dashes_of_their_pen() -> None:
    dashed, plain = (HatchArea(rings=(FIELD,), pattern="zone", pen=pen) for pen in (Pen.EASEMENT, Pen.PAD))

    assert write_png(sheet(dashed), DPI) == write_png(sheet(plain), DPI)


def test_a_failure_inside_a_view_is_told_without_a_word_of_qt() -> None:
    unknown = Symbol(name="no such sign", at=(5.0, 5.0), pen=Pen.NOTE)

    with pytest.raises(SheetError, match="no such sign"):
        write_png(sheet(views=(view(unknown, frame=(0.0, 0.0, 40.0, 30.0)),)), DPI)


def test_pens_that_do_not_plot_leave_no_ink() -> None:
    assert darkest(Stroke(points=((5.0, 5.0), (35.0, 25.0)), pen=Pen.VIEW_FRAME)) == 0.0


def test_a_fill_in_paper_hides_what_is_below() -> None:
    below = Fill(rings=(FIELD,), pen=Pen.POST)

    ink = darkness(write_png(sheet(below, Fill(rings=(FIELD,), pen=Pen.POST, tone="paper")), DPI))

    assert ink[ink.shape[0] // 2, ink.shape[1] // 2] == 0.0


def test_existing_things_are_grey() -> None:
    assert darkest(Fill(rings=(FIELD,), pen=Pen.WALL_EXISTING)) == pytest.approx(1 - 0.35, abs=0.01)


def test_a_dashed_line_has_the_share_of_ink_of_its_pattern() -> None:
    dash, gap = line_patterns()[looks()[Pen.LEAF_OPEN].line]
    line = Stroke(points=((0.0, 10.0), (3 * (dash - gap), 10.0)), pen=Pen.LEAF_OPEN)

    ink = darkness(write_png(sheet(line), DPI))

    assert ink.sum() / DOTS_PER_MM**2 == pytest.approx(3 * dash * looks()[Pen.LEAF_OPEN].width_mm, rel=0.02)


def test_a_dash_has_its_length_on_paper() -> None:
    dash, gap = line_patterns()[looks()[Pen.LEAF_OPEN].line]
    line = Stroke(points=((10.0, 10.0), (10.0 + dash - gap, 10.0)), pen=Pen.LEAF_OPEN)

    columns = np.flatnonzero(darkness(write_png(sheet(line), DPI)).max(axis=0) > 0.3) / DOTS_PER_MM

    assert columns[-1] - columns[0] == pytest.approx(dash, abs=0.2)


@pytest.mark.parametrize(("dpi", "dots_per_metre"), [(110, 4331), (200, 7874), (300, 11811), (600, 23622)])
def test_the_file_says_its_dots_per_metre(dpi: int, dots_per_metre: int) -> None:
    image = QImage.fromData(write_png(sheet(), dpi))

    assert (image.dotsPerMeterX(), image.dotsPerMeterY()) == (dots_per_metre, dots_per_metre)


def test_an_11_by_17_sheet_at_200_has_3400_by_2200_pixels() -> None:
    image = QImage.fromData(write_png(sheet(width_mm=431.8, height_mm=279.4), 200))

    assert (image.width(), image.height()) == (3400, 2200)


def test_the_file_says_title_author_and_program_only() -> None:
    image = QImage.fromData(write_png(sheet(), 50, title="Gate", author="A. Sample"))

    texts = {key: image.text(key) for key in image.textKeys()}
    assert texts == {"Title": "Gate", "Author": "A. Sample", "Software": "siteplan"}


def test_without_a_title_the_heading_of_the_sheet_is_the_title() -> None:
    assert QImage.fromData(write_png(sheet(), 50)).text("Title") == "C-101 SITE PLAN"


def test_a_sheet_above_120_million_pixels_names_the_size() -> None:
    with pytest.raises(SheetError, match="C-101 at 600 dots per inch has 28800 x 21600 pixels"):
        write_png(sheet(width_mm=1219.2, height_mm=914.4), 600)


def test_no_dots_per_inch_are_refused() -> None:
    with pytest.raises(SheetError, match="0 dots per inch"):
        write_png(sheet(), 0)


def test_two_runs_give_the_same_bytes() -> None:
    page = sheet(*EVERY_KIND)

    assert write_png(page, DPI) == write_png(page, DPI)
