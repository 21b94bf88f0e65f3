from math import cos, pi, sin

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from siteplan.canvas.painting import Tint, at_ratio, paint_paths, paths_of, ratio_of, screen_pen
from siteplan.canvas.palette import LIGHT
from siteplan.canvas.pen_colours import look_of
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Arc, Circle, Dimension, Fill, HatchArea, Label, Primitive, Stroke, Symbol
from siteplan.windows.style import dress

SQUARE = ((-500.0, -500.0), (500.0, -500.0), (500.0, 500.0), (-500.0, 500.0))
FRAME = PlanFrame(centre=(0.0, 0.0), scale=0.1, width=200.0, height=200.0)
EACH_KIND: tuple[Primitive, ...] = (
    Stroke(points=((0.0, 0.0), (1.0, 1.0)), pen=Pen.KERB),
    Arc(centre=(0.0, 0.0), radius=5.0, start_rad=0.0, sweep_rad=1.0, pen=Pen.SWEEP),
    Circle(centre=(0.0, 0.0), radius=5.0, pen=Pen.OBSTACLE),
    Fill(rings=(SQUARE,), pen=Pen.POST),
    HatchArea(rings=(SQUARE,), pattern="concrete", pen=Pen.PAD_HATCH),
    Label(at=(0.0, 0.0), text="leaf", pen=Pen.NOTE),
    Dimension(kind="linear", first=(0.0, 0.0), second=(900.0, 0.0), number="3'"),
    Symbol(name="control", at=(0.0, 0.0), pen=Pen.CONTROL),
)


@pytest.fixture(autouse=True)
def letters(qapp: QApplication) -> None:
    dress(qapp)


def painted(*primitives: Primitive, tint: Tint | None = None) -> QImage:
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    paths = paths_of(primitives)
    with QPainter(image) as painter:
        paint_paths(painter, paths, FRAME, tint=tint)
        paint_paths(painter, at_ratio(paths, ratio_of(FRAME, 1.0)), FRAME, tint=tint)
    return image


def is_inked(image: QImage, x: int, y: int) -> bool:
    return image.pixelColor(x, y).lightness() < 240


@pytest.mark.parametrize("primitive", EACH_KIND, ids=lambda each: type(each).__name__)
def test_each_kind_of_primitive_leaves_ink(primitive: Primitive) -> None:
    image = painted(primitive)

    assert any(is_inked(image, x, y) for x in range(200) for y in range(200))


@pytest.mark.parametrize("turn", [0.2, 0.9, 1.4])
def test_arc_ends_where_the_model_says(turn: float) -> None:
    path = paths_of([Arc(centre=(10.0, 20.0), radius=1000.0, start_rad=0.3, sweep_rad=turn, pen=Pen.SWEEP)]).lines[0][1]

    end = path.currentPosition()
    assert (end.x(), end.y()) == pytest.approx(
        (10.0 + 1000.0 * cos(0.3 + turn), 20.0 + 1000.0 * sin(0.3 + turn)), abs=0.5
    )  # Bezier curves are off by 2.7e-4 of the radius between their ends


def test_clockwise_arc_runs_clockwise() -> None:
    path = paths_of([Arc(centre=(0.0, 0.0), radius=1.0, start_rad=0.0, sweep_rad=-pi / 2, pen=Pen.SWEEP)]).lines[0][1]

    assert path.currentPosition().y() == pytest.approx(-1.0)


def test_inward_is_painted_upward() -> None:
    image = painted(Fill(rings=(((0.0, 500.0), (100.0, 500.0), (100.0, 600.0), (0.0, 600.0)),), pen=Pen.POST))

    assert is_inked(image, 105, 45)


def test_hole_of_a_fill_stays_paper() -> None:
    hole = ((-200.0, -200.0), (200.0, -200.0), (200.0, 200.0), (-200.0, 200.0))

    assert not is_inked(painted(Fill(rings=(SQUARE, hole), pen=Pen.POST)), 100, 100)


def test_lines_of_one_pen_become_one_path() -> None:
    lines = [Stroke(points=((0.0, float(y)), (1.0, float(y))), pen=Pen.KERB) for y in range(50)]

    assert len(paths_of(lines).lines) == 1


def test_pen_keeps_its_width_at_every_zoom() -> None:
    assert screen_pen(look_of(Pen.POST), 1.0).isCosmetic()


def test_pen_grows_with_the_text_size() -> None:
    assert screen_pen(look_of(Pen.POST), 2.0).widthF() == pytest.approx(2 * screen_pen(look_of(Pen.POST), 1.0).widthF())


def test_dashes_keep_their_length_on_paper() -> None:
    pen = screen_pen(look_of(Pen.SWEEP), 1.0)

    assert pen.dashPattern()[0] * pen.widthF() == pytest.approx(0.25 * 25.4 * 4.0)  # DASHED2: a dash of 1/4 in


def test_tint_takes_the_place_of_the_colour() -> None:
    image = painted(Fill(rings=(SQUARE,), pen=Pen.POST), tint=Tint(LIGHT.accent, LIGHT.wash))

    assert image.pixelColor(100, 100) == QColor(LIGHT.accent)


def test_ratio_tells_what_lies_under_a_millimetre_of_paper() -> None:
    assert ratio_of(FRAME, 1.0) == pytest.approx(40.0)


def test_turned_text_is_painted_where_it_belongs() -> None:
    image = painted(Label(at=(0.0, 0.0), text="MMMM", pen=Pen.NOTE, height_mm=5.0, turn_rad=pi / 2))

    assert any(is_inked(image, x, y) for x in range(80, 101) for y in range(40, 95))


def test_number_of_a_dimension_stands_on_a_gap_of_paper() -> None:
    image = painted(
        Fill(rings=(SQUARE,), pen=Pen.POST),
        Label(at=(0.0, 0.0), text="I", pen=Pen.DIMENSION, height_mm=5.0),
    )

    assert not is_inked(image, 99, 90)


def test_origin_lies_in_the_middle_of_a_centred_frame() -> None:
    assert QPointF(*FRAME.to_pixels((0.0, 0.0))) == QPointF(100.0, 100.0)


@pytest.mark.parametrize("pen", [Pen.LEAF_CLOSED, Pen.LEAF_OPEN])
def test_ghost_of_a_leaf_is_not_filled(pen: Pen) -> None:
    assert not is_inked(painted(Fill(rings=(SQUARE,), pen=pen)), 100, 100)
