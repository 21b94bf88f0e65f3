from math import cos, degrees, pi, radians, sin, sqrt
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.drawing.dimensions import EXTENSION_GAP_MM, dimension_box, dimension_places, explode, upright
from siteplan.drawing.primitives import Arc, Dimension, Fill, Label, Stroke
from siteplan.drawing.text_size import WIDTH_SLACK, text_width_mm
from siteplan.geometry.points import Point, distance_between, turned

OPENING = Dimension(kind="linear", first=(0.0, 0.0), second=(100.0, 0.0), number="12'-6 1/2\"", offset_mm=10.0)
NARROW = replace(OPENING, second=(5.0, 0.0))
SWING = Dimension(kind="angle", first=(30.0, 0.0), second=(0.0, 30.0), number="90°", centre=(0.0, 0.0), offset_mm=20.0)
SWEPT = Dimension(kind="radius", first=(0.0, 0.0), second=(0.0, 60.0), number="7'-11\"")

APART = 1e-3  # nearer, rounding decides which way a drawing goes

angles = st.floats(-7, 7).filter(lambda angle: abs(cos(angle)) > 1e-6)
places = st.tuples(st.floats(-1000, 1000), st.floats(-1000, 1000))
offsets = st.floats(-40, 40)


def strokes(dimension: Dimension, ratio: float = 1.0) -> list[Stroke]:
    return [part for part in explode(dimension, ratio) if isinstance(part, Stroke)]


def label(dimension: Dimension, ratio: float = 1.0) -> Label:
    return next(part for part in explode(dimension, ratio) if isinstance(part, Label))


def arrows(dimension: Dimension, ratio: float = 1.0) -> list[Fill]:
    return [part for part in explode(dimension, ratio) if isinstance(part, Fill)]


def approx(points: Any) -> Any:
    return [pytest.approx(point, abs=1e-9) for point in points]


def dimension_line(dimension: Dimension, ratio: float = 1.0) -> Stroke:
    """Return the line: the last stroke."""
    return strokes(dimension, ratio)[-1]


def test_extension_lines_run_from_a_gap_beyond_the_thing_to_an_overrun_beyond_the_line() -> None:
    # Own style: gap 1.6, overrun 1.6, both in paper mm.
    assert list(strokes(OPENING)[1].points) == approx([(100.0, 1.6), (100.0, 11.6)])


def test_line_runs_between_the_two_measured_places() -> None:
    assert list(dimension_line(OPENING).points) == approx([(0.0, 10.0), (100.0, 10.0)])


def test_tick_is_1_6_long_at_45_degrees() -> None:
    reach = 1.6 / 2 / sqrt(2)

    assert list(strokes(OPENING)[2].points) == approx([(-reach, 10 - reach), (reach, 10 + reach)])


def test_text_stands_a_gap_of_0_8_above_the_middle_of_the_line() -> None:
    assert label(OPENING).at == pytest.approx((50.0, 10.8))


def test_text_is_the_number_and_its_word() -> None:
    assert label(replace(OPENING, note="CLEAR")).text == "12'-6 1/2\" CLEAR"


def test_sizes_on_paper_grow_with_the_ratio_of_the_view() -> None:
    scaled = replace(OPENING, second=(4800.0, 0.0))

    assert list(strokes(scaled, 48.0)[1].points) == approx([(4800.0, 1.6 * 48), (4800.0, 11.6 * 48)])


def test_line_stands_beyond_the_outermost_of_two_places() -> None:
    assert dimension_line(replace(OPENING, second=(100.0, 25.0))).points[0] == pytest.approx((0.0, 35.0))


def test_line_of_a_negative_offset_stands_beyond_the_lowest_place() -> None:
    dimension = replace(OPENING, second=(100.0, -25.0), offset_mm=-10.0)

    assert dimension_line(dimension).points[0] == pytest.approx((0.0, -35.0))


def test_place_nearer_to_the_line_than_the_gap_has_no_extension_line() -> None:
    lines_and_ticks = 3

    assert len(strokes(replace(OPENING, offset_mm=1.5))) == lines_and_ticks


def test_slanting_places_are_measured_along_the_direction() -> None:
    dimension = replace(OPENING, second=(100.0, 70.0))

    assert distance_between(*dimension_line(dimension).points) == pytest.approx(100.0)


def test_text_too_wide_for_the_line_starts_past_the_second_end() -> None:
    assert (label(NARROW).at[0] > NARROW.second[0], label(NARROW).align) == (True, "left")


def test_line_is_extended_under_a_text_outside() -> None:
    text_end = label(NARROW).at[0] + text_width_mm(NARROW.text, 2.4, "semibold")

    assert dimension_line(NARROW).points[1] == pytest.approx((text_end, 10.0))


def test_text_outside_a_line_that_runs_leftwards_ends_at_it() -> None:
    dimension = replace(NARROW, first=(5.0, 0.0), second=(0.0, 0.0))

    assert (label(dimension).at[0] < 0, label(dimension).align) == (True, "right")


@pytest.mark.parametrize(
    ("direction_deg", "reads_deg"), [(0, 0), (89, 89), (90, 90), (91, -89), (180, 0), (270, 90), (271, -89), (-90, 90)]
)
def test_text_reads_from_the_bottom_or_the_right_edge(direction_deg: float, reads_deg: float) -> None:
    turn = label(replace(OPENING, direction_rad=radians(direction_deg))).turn_rad

    assert degrees(turn) == pytest.approx(reads_deg)


def test_direction_a_hair_above_90_degrees_still_reads_from_the_right_edge() -> None:
    assert upright(pi / 2 + 1e-12) == pytest.approx(pi / 2)


def test_radius_line_runs_from_the_centre_to_the_arc() -> None:
    assert list(dimension_line(SWEPT).points) == approx([(0.0, 0.0), (0.0, 60.0)])


def test_radius_arrow_points_at_the_arc() -> None:
    assert arrows(SWEPT)[0].rings[0][0] == (0.0, 60.0)


def test_radius_text_says_r() -> None:
    assert label(SWEPT).text == "R7'-11\""


def test_radius_text_stands_at_mid_line() -> None:
    assert label(SWEPT).at == pytest.approx((-0.8, 30.0))


def test_arrow_is_2_1_long_with_a_half_width_of_0_18_of_that() -> None:
    assert list(arrows(SWEPT)[0].rings[0]) == approx([(0.0, 60.0), (-0.378, 57.9), (0.378, 57.9)])


def test_angle_arc_runs_counter_clockwise_from_first_to_second() -> None:
    arc = next(part for part in explode(SWING, 1.0) if isinstance(part, Arc))

    assert (arc.start_rad, arc.sweep_rad) == pytest.approx((0.0, pi / 2))


def test_angle_arc_has_the_offset_as_its_radius() -> None:
    arc = next(part for part in explode(SWING, 48.0) if isinstance(part, Arc))

    assert arc.radius == pytest.approx(20 * 48)


@pytest.mark.parametrize(("end", "tip", "back"), [(0, (20.0, 0.0), (20.0, 2.1)), (1, (0.0, 20.0), (2.1, 20.0))])
def test_angle_arrows_lie_along_the_tangents_of_the_arc(end: int, tip: Point, back: Point) -> None:
    ring = arrows(SWING)[end].rings[0]

    base = ((ring[1][0] + ring[2][0]) / 2, (ring[1][1] + ring[2][1]) / 2)

    assert [ring[0], base] == approx([tip, back])


@pytest.mark.parametrize("middle_deg", [0, 45, 90, 135, 180, 225, 270, 315])
def test_angle_text_stays_outside_the_arc(middle_deg: int) -> None:
    first, second = (turned((30.0, 0.0), radians(middle_deg + side)) for side in (-30, 30))

    box = dimension_box(replace(SWING, first=first, second=second), 1.0)

    nearest = min(distance_between((0.0, 0.0), corner) for corner in box)
    assert nearest > 20.0 + 0.8 - 1e-9


def test_box_for_the_placement_of_notes_leaves_room_for_another_font() -> None:
    box = dimension_box(OPENING, 1.0)

    assert box[1][0] - box[0][0] == pytest.approx(WIDTH_SLACK * text_width_mm(OPENING.text, 2.4, "semibold"))


@given(st.floats(-20, 20))
def test_upright_never_stands_on_its_head(turn: float) -> None:
    result = upright(turn)

    assert -pi / 2 < result <= pi / 2 + 1e-8


@given(st.floats(-20, 20))
def test_upright_keeps_the_line_it_reads_along(turn: float) -> None:
    assert sin(upright(turn) - turn) == pytest.approx(0.0, abs=1e-9)


@given(places, places, angles, offsets)
def test_text_is_above_its_line_on_whatever_side_the_offset_is(
    first: Point, second: Point, angle: float, offset: float
) -> None:
    dimension = replace(OPENING, first=first, second=second, direction_rad=angle, offset_mm=offset)

    text, start = label(dimension), dimension_line(dimension).points[0]

    up = turned((text.at[0] - start[0], text.at[1] - start[1]), -text.turn_rad)[1]
    assert up == pytest.approx(0.8, abs=1e-6)


@given(places, places, angles, offsets)
def test_turning_the_plan_turns_every_stroke_with_it(first: Point, second: Point, angle: float, offset: float) -> None:
    assume(abs(first[0] - second[0]) > APART and abs(abs(offset) - EXTENSION_GAP_MM) > APART)
    level = replace(OPENING, first=first, second=second, offset_mm=offset)
    askew = replace(level, first=turned(first, angle), second=turned(second, angle), direction_rad=angle)

    expected = [turned(point, angle) for stroke in strokes(level) for point in stroke.points]

    assert [point for stroke in strokes(askew) for point in stroke.points] == [
        pytest.approx(point, abs=1e-6) for point in expected
    ]


@given(places, places, angles, offsets, st.floats(1, 2000))
def test_scaling_the_plan_and_the_ratio_scales_every_stroke(
    first: Point, second: Point, angle: float, offset: float, ratio: float
) -> None:
    along = turned((first[0] - second[0], first[1] - second[1]), -angle)[0]
    assume(abs(along) > APART and abs(abs(offset) - EXTENSION_GAP_MM) > APART)
    paper = replace(OPENING, first=first, second=second, direction_rad=angle, offset_mm=offset)
    model = replace(paper, first=(first[0] * ratio, first[1] * ratio), second=(second[0] * ratio, second[1] * ratio))

    expected = [(x * ratio, y * ratio) for stroke in strokes(paper) for x, y in stroke.points]

    assert [point for stroke in strokes(model, ratio) for point in stroke.points] == [
        pytest.approx(point, rel=1e-6, abs=1e-6 * ratio) for point in expected
    ]


def test_text_stands_at_its_share_of_the_line() -> None:
    assert label(replace(OPENING, text_share=0.25)).at[0] == pytest.approx(25.0)


def test_text_moved_along_the_line_stays_within_its_ends() -> None:
    half = text_width_mm(OPENING.text, 2.4, "semibold") / 2

    assert label(replace(OPENING, text_share=0.0)).at[0] == pytest.approx(0.8 + half)


def test_text_wider_than_the_line_stands_before_it_for_a_share_below_a_half() -> None:
    box = dimension_box(replace(NARROW, text_share=0.25), 1.0)

    assert max(x for x, _ in box) < 0


def test_line_is_drawn_under_a_text_that_stands_before_it() -> None:
    narrow = replace(NARROW, text_share=0.25)

    assert dimension_line(narrow).points[0][0] == pytest.approx(-1.6 - text_width_mm(NARROW.text, 2.4, "semibold"))


def test_places_of_a_dimension_reach_to_the_top_of_its_text() -> None:
    assert max(y for _, y in dimension_places(OPENING, 1.0)) == pytest.approx(10.0 + 0.8 + 2.4)
