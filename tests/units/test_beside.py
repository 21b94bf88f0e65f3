from math import inf, nextafter, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.units.angles import read_angle, write_angle
from siteplan.units.beside import (
    write_angle_and_limit,
    write_angle_beside,
    write_length_and_limit,
    write_length_beside,
)
from siteplan.units.field_rule import FieldRule
from siteplan.units.reading import read_length
from siteplan.units.writing import LengthStyle, write_length

EIGHTHS = LengthStyle()
STYLES = [
    EIGHTHS,
    LengthStyle("ftin", 16),
    LengthStyle("ftdec"),
    LengthStyle("in", decimals=1),
    LengthStyle("m"),
    LengthStyle("mm"),
]
SIGNED = FieldRule(signed=True)


def order(first: float, second: float) -> int:
    """Return -1, 0 or 1 as the first is below, at or above the second."""
    return (first > second) - (first < second)


lengths = st.floats(-20000, 20000)
close_pairs = st.one_of(
    st.tuples(lengths, lengths),
    st.tuples(lengths, st.floats(-30, 30)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    st.tuples(lengths, st.floats(-1e-3, 1e-3)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    lengths.map(lambda mm: (nextafter(mm, inf), mm)),
    lengths.map(lambda mm: (mm, mm)),
)
tape_limits = st.integers(-800 * 8, 800 * 8).map(lambda count: count * 25.4 / 8)


@pytest.mark.parametrize(
    ("inches", "limit", "style", "text"),
    [
        (15.99, 16, EIGHTHS, "1'-3 63/64\""),
        (15.999, 16, EIGHTHS, "15.999 in"),
        (16.01, 16, EIGHTHS, "1'-4 1/64\""),
        (0.02, 0, EIGHTHS, '1/32"'),
        (-0.02, 0, EIGHTHS, '-1/32"'),
        (0.001, 0, EIGHTHS, "0.001 in"),
        (16, 16, EIGHTHS, "1'-4\""),
        (12, 16, EIGHTHS, "1'-0\""),
        (15.99, 16, LengthStyle("in", decimals=1), "15.99 in"),
        (11, 16, LengthStyle("in", decimals=1), "11.0 in"),
        (11.99, 12, LengthStyle("ftdec"), "0.999'"),
        (15.99, 16, LengthStyle("mm"), "406.1 mm"),
    ],
)
def test_length_is_printed_as_finely_as_its_limit_needs(
    inches: float, limit: float, style: LengthStyle, text: str
) -> None:
    assert write_length_beside(inches * 25.4, limit * 25.4, style) == text


def test_length_a_hair_from_its_limit_is_printed_exactly() -> None:
    assert write_length_beside(406.399999, 406.4, EIGHTHS) == "406.399999 mm"


def test_limit_is_printed_plainly_beside_a_length_near_it() -> None:
    assert write_length_and_limit(406.1, 406.4, EIGHTHS) == ("1'-3 63/64\"", "1'-4\"")


def test_limit_whose_rounding_passes_the_length_is_printed_more_finely() -> None:
    # 400 mm is 15.748 in and is rounded up to 15 3/4 in; 400.02 mm lies between the two
    assert write_length_and_limit(400.02, 400, EIGHTHS) == ("1'-3 3/4\"", "15.748 in")


def test_length_between_a_limit_and_its_rounding_is_not_printed_as_the_limit() -> None:
    assert write_length_beside(15.72 * 25.4, 400, LengthStyle("in", decimals=1)) == "15.72 in"


def test_length_equal_to_the_rounded_limit_is_printed_exactly() -> None:
    assert write_length_beside(15.7 * 25.4, 400, LengthStyle("in", decimals=1)) == "398.78 mm"


@given(close_pairs, st.sampled_from(STYLES))
def test_printed_length_and_printed_limit_stand_in_the_order_of_the_lengths(
    pair: tuple[float, float], style: LengthStyle
) -> None:
    printed = [read_length(text, SIGNED).mm for text in write_length_and_limit(*pair, style)]

    assert order(*printed) == order(*pair)


@given(tape_limits, st.floats(-30, 30), st.sampled_from([EIGHTHS, LengthStyle("ftin", 16)]))
def test_length_beside_a_limit_on_a_tape_mark_stays_on_its_side(
    limit: float, beyond: float, style: LengthStyle
) -> None:
    mm = limit + beyond
    printed = read_length(write_length_beside(mm, limit, style), SIGNED).mm

    assert order(printed, read_length(write_length(limit, style), SIGNED).mm) == order(mm, limit)


@given(close_pairs.filter(lambda pair: pair[0] != pair[1]), st.sampled_from(STYLES))
def test_length_apart_from_its_limit_never_has_the_text_of_the_limit(
    pair: tuple[float, float], style: LengthStyle
) -> None:
    assert write_length_beside(*pair, style) != write_length(pair[1], style)


@given(close_pairs, st.sampled_from(STYLES))
def test_length_beside_a_limit_stands_on_the_right_side_of_the_limit_proper_or_printed(
    pair: tuple[float, float], style: LengthStyle
) -> None:
    printed = read_length(write_length_beside(*pair, style), SIGNED).mm
    limits = (pair[1], read_length(write_length(pair[1], style), SIGNED).mm)

    assert order(*pair) in [order(printed, limit) for limit in limits]


@given(close_pairs, st.sampled_from(STYLES))
def test_length_beside_a_limit_is_off_by_no_more_than_in_plain_print(
    pair: tuple[float, float], style: LengthStyle
) -> None:
    printed = read_length(write_length_beside(*pair, style), SIGNED).mm

    assert abs(printed - pair[0]) <= float(style.step_mm) * 0.5001


@pytest.mark.parametrize(
    ("degrees", "limit", "text"),
    [(89.99, 90, "89.99 deg"), (90, 90, "90.0 deg"), (10.9, 90, "10.9 deg"), (0.01, 0, "0.01 deg")],
)
def test_angle_is_printed_as_finely_as_its_limit_needs(degrees: float, limit: float, text: str) -> None:
    assert write_angle_beside(radians(degrees), radians(limit)) == text


def test_limit_angle_is_printed_more_finely_when_its_rounding_passes_the_angle() -> None:
    assert write_angle_and_limit(radians(7.12), radians(7.125)) == ("7.1 deg", "7.13 deg")


def test_angle_between_a_limit_and_its_rounding_is_not_printed_as_the_limit() -> None:
    assert write_angle_beside(radians(7.12), radians(7.125)) == "7.12 deg"


angles = st.floats(-7, 7)


@given(
    st.one_of(
        st.tuples(angles, angles),
        st.tuples(angles, st.floats(-1e-3, 1e-3)).map(lambda pair: (pair[0], pair[0] + pair[1])),
        angles.map(lambda rad: (nextafter(rad, inf), rad)),
    )
)
def test_printed_angle_and_printed_limit_stand_in_the_order_of_the_angles(pair: tuple[float, float]) -> None:
    printed = [read_angle(text) for text in write_angle_and_limit(*pair)]

    assert order(*printed) == order(*pair)


@given(angles, st.integers(-360, 360))
def test_angle_beside_whole_degrees_stays_on_its_side(rad: float, degrees: int) -> None:
    limit = radians(degrees)

    assert order(read_angle(write_angle_beside(rad, limit)), read_angle(write_angle(limit))) == order(rad, limit)
