"""Dimensions in a DXF."""

from math import hypot, pi, sqrt

import pytest
from ezdxf.document import Drawing
from ezdxf.entities.dimension import Dimension as DimensionEntity
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.drawing.primitives import Dimension
from siteplan.export.dxf_dimensions import dimension_text, measure
from siteplan.export.dxf_file import write_dxf
from siteplan.geometry.points import Point
from tests.export.dxf_samples import (
    ANGLE,
    CLEAR,
    FOOT,
    INCH,
    RADIUS,
    drawn,
    full_file,
    notes_of,
    only,
    parsed,
    sheet,
    sheet_set,
    view,
)

KINDS = (CLEAR, RADIUS, ANGLE)
places = st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))


def only_dimension(doc: Drawing, layout: str = "Model") -> DimensionEntity:
    return only(doc.layouts.get(layout), DimensionEntity)


def on_paper(*shapes: Dimension) -> Drawing:
    """Return a file with these dimensions on paper: beside the second view, at 1:24."""
    bare = sheet("C-101", view(96.0, model=(), notes=()), items=())
    return parsed(write_dxf(sheet_set(bare, sheet("C-102", view(24.0, "2", model=(), notes=shapes), items=()))))


def style_of(entity: DimensionEntity, name: str) -> float:
    doc = entity.doc
    assert doc is not None
    return float(doc.dimstyles.get(entity.dxf.dimstyle).dxf.get_default(name))


@pytest.mark.parametrize(
    ("dimension", "wanted"),
    [
        (CLEAR, "<> CLEAR"),
        (replace(CLEAR, note=""), "<>"),
        (RADIUS, "<>"),
        (ANGLE, "<>"),
        (replace(CLEAR, number="11'-11 7/8\""), "11'-11 7/8\" CLEAR"),
        (replace(CLEAR, number="12.00'", note=""), "12.00'"),
        (replace(RADIUS, number="11'-11 7/8\""), "R11'-11 7/8\""),
        (replace(ANGLE, number="92.5°"), "92.5%%d"),
    ],
)
def test_text_is_measured_again_only_where_that_gives_the_printed_number(dimension: Dimension, wanted: str) -> None:
    assert dimension_text(dimension, inches=True) == wanted


@pytest.mark.parametrize("number", ["12'-0\"", "12'-0 1/8\""])
def test_a_length_on_a_tie_keeps_its_printed_number(number: str) -> None:
    on_tie = replace(CLEAR, second=(12 * FOOT + INCH / 16, 0.0), number=number, note="")

    assert dimension_text(on_tie, inches=True) == number


def test_whole_millimetres_are_measured_again_in_a_metric_file() -> None:
    assert dimension_text(replace(CLEAR, second=(3658.2, 0.0), number="3658 mm"), inches=False) == "<> CLEAR"


def test_metres_stand_as_they_are_in_a_metric_file() -> None:
    assert dimension_text(replace(CLEAR, second=(3658.0, 0.0), number="3.658 m"), inches=False) == "3.658 m CLEAR"


@given(places, places, st.floats(-pi, pi))
def test_a_length_along_any_direction_is_at_most_the_distance(first: Point, second: Point, turn_rad: float) -> None:
    length = measure(replace(CLEAR, first=first, second=second, direction_rad=turn_rad))

    assert length <= hypot(second[0] - first[0], second[1] - first[1]) + 1e-6


def test_a_slanting_distance_is_measured_along_its_direction() -> None:
    assert measure(replace(CLEAR, second=(3000.0, 4000.0), direction_rad=0.0)) == pytest.approx(3000)


def test_an_angle_is_measured_counter_clockwise_from_first_to_second() -> None:
    assert measure(replace(ANGLE, first=ANGLE.second, second=ANGLE.first)) == pytest.approx(3 * pi / 2)


@pytest.mark.parametrize("entity", full_file().query("DIMENSION"), ids=lambda entity: entity.dxf.handle)
def test_every_dimension_has_a_block_with_lines_and_text(entity: DimensionEntity) -> None:
    block = full_file().blocks.get(entity.dxf.geometry)

    assert [len(block.query(kinds)) > 0 for kinds in ("TEXT", "LWPOLYLINE ARC")] == [True, True]


def test_every_dimension_has_a_block_of_its_own() -> None:
    blocks = [entity.dxf.geometry for entity in drawn(full_file()) if entity.dxftype() == "DIMENSION"]

    assert len(set(blocks)) == len(blocks) == 6


@pytest.mark.parametrize(
    ("dimension", "wanted"), [(CLEAR, "12'-0\" CLEAR"), (RADIUS, "R12'-0\""), (ANGLE, "90%%d")], ids=lambda each: each
)
def test_the_block_holds_the_printed_text(dimension: Dimension, wanted: str) -> None:
    doc = notes_of(dimension)

    assert [text.dxf.text for text in doc.blocks.get(only_dimension(doc).dxf.geometry).query("TEXT")] == [wanted]


@pytest.mark.parametrize(
    ("dimension", "heads"), [(CLEAR, 0), (RADIUS, 1), (ANGLE, 2)], ids=["length", "radius", "angle"]
)
def test_arrow_heads_are_solids(dimension: Dimension, heads: int) -> None:
    doc = notes_of(dimension)

    assert len(doc.blocks.get(only_dimension(doc).dxf.geometry).query("SOLID")) == heads


@pytest.mark.parametrize(("dimension", "points"), [(CLEAR, 2), (RADIUS, 2), (ANGLE, 3)], ids=lambda each: str(each)[:9])
def test_the_block_marks_the_measured_places(dimension: Dimension, points: int) -> None:
    doc = notes_of(dimension)

    marks = doc.blocks.get(only_dimension(doc).dxf.geometry).query("POINT[layer=='Defpoints']")
    assert len(marks) == points


@pytest.mark.parametrize(("dimension", "wanted"), [(CLEAR, 144.0), (RADIUS, 144.0), (ANGLE, pi / 2)], ids=str)
def test_the_measurement_is_in_inches_or_radians(dimension: Dimension, wanted: float) -> None:
    assert only_dimension(notes_of(dimension)).dxf.actual_measurement == pytest.approx(wanted)


@pytest.mark.parametrize(("dimension", "wanted"), [(CLEAR, 144.0), (RADIUS, 144.0), (ANGLE, pi / 2)], ids=str)
def test_on_paper_the_measurement_is_that_of_the_thing(dimension: Dimension, wanted: float) -> None:
    entity = only_dimension(on_paper(dimension), "C-102")

    assert entity.dxf.actual_measurement == pytest.approx(wanted)


def test_in_model_space_the_drawn_places_measure_the_length() -> None:
    assert only_dimension(notes_of(CLEAR)).get_measurement() == pytest.approx(144)


def test_on_paper_the_style_multiplies_the_drawn_length_to_the_true_one() -> None:
    entity = only_dimension(on_paper(CLEAR), "C-102")

    assert float(entity.get_measurement()) * style_of(entity, "dimlfac") == pytest.approx(144)


@pytest.mark.parametrize("dimension", [RADIUS, ANGLE], ids=["radius", "angle"])
def test_radius_and_angle_are_measured_between_their_places(dimension: Dimension) -> None:
    wanted = {"radius": 144.0, "angle": 90.0}[dimension.kind]

    assert only_dimension(notes_of(dimension)).get_measurement() == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("dimlunit", 4),
        ("dimdec", 3),
        ("dimrnd", 0.125),
        ("dimzin", 3),
        ("dimfrac", 2),
        ("dimtad", 1),
        ("dimdsep", 46),
        ("dimclrd", 256),
        ("dimscale", 96),
        ("dimlfac", 1),
        ("dimtxt", 2.4 / INCH),
        ("dimexo", 1.6 / INCH),
        ("dimtsz", 1.6 / INCH / (2 * sqrt(2))),
    ],
)
def test_style_in_model_space_writes_feet_and_inches_at_the_scale(name: str, wanted: float) -> None:
    assert style_of(only_dimension(notes_of(CLEAR)), name) == pytest.approx(wanted)


@pytest.mark.parametrize(("name", "wanted"), [("dimscale", 1), ("dimlfac", 24), ("dimtxt", 2.4 / INCH)])
def test_style_on_paper_multiplies_what_it_measures(name: str, wanted: float) -> None:
    assert style_of(only_dimension(on_paper(CLEAR), "C-102"), name) == pytest.approx(wanted)


@pytest.mark.parametrize("dimension", [RADIUS, ANGLE], ids=["radius", "angle"])
def test_radius_and_angle_have_arrows_instead_of_ticks(dimension: Dimension) -> None:
    assert style_of(only_dimension(notes_of(dimension)), "dimtsz") == 0


@pytest.mark.parametrize(("name", "wanted"), [("dimlunit", 2), ("dimdec", 0), ("dimtxt", 2.4)])
def test_metric_style_writes_whole_millimetres(name: str, wanted: float) -> None:
    assert style_of(only_dimension(notes_of(CLEAR, inches=False)), name) == pytest.approx(wanted)


@pytest.mark.parametrize("dimension", KINDS, ids=lambda each: each.kind)
def test_text_stays_where_it_was_put(dimension: Dimension) -> None:
    assert only_dimension(notes_of(dimension)).dxf.dimtype & 128


def test_text_of_a_length_below_its_line_stands_above_that_line() -> None:
    x, y, _ = only_dimension(notes_of(CLEAR)).dxf.text_midpoint

    # Line 14 mm below, gap 0.8 mm, half of a text of 2.4 mm, at 1:96.
    assert (x, y) == pytest.approx((72, (-14 + 0.8 + 1.2) * 96 / INCH))


def test_line_of_a_length_stands_at_its_offset() -> None:
    _, y, _ = only_dimension(notes_of(CLEAR)).dxf.defpoint

    assert y == pytest.approx(-14 * 96 / INCH)


def test_line_of_a_length_stands_beyond_the_outermost_place() -> None:
    slanting = replace(CLEAR, second=(12 * FOOT, -10 * FOOT))

    assert only_dimension(notes_of(slanting)).dxf.defpoint.y == pytest.approx(-120 - 14 * 96 / INCH)
