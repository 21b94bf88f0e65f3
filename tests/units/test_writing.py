from fractions import Fraction
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.field_rule import FieldRule
from siteplan.units.reading import read_length
from siteplan.units.writing import LengthStyle, echo_length, exact_length, plain_decimal, write_length, write_plain_mm

EIGHTHS = LengthStyle()
STYLES = [
    EIGHTHS,
    LengthStyle("ftin", 64),
    LengthStyle("ftdec"),
    LengthStyle("in"),
    LengthStyle("m"),
    LengthStyle("mm"),
]
SIGNED = FieldRule(signed=True)


# Rounding half up on the size in whole eighths, with carry; own rule of the sheets
@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (150.5, "12'-6 1/2\""),
        (144, "12'-0\""),
        (143.99, "12'-0\""),
        (11.97, "1'-0\""),
        (7.5, '7 1/2"'),
        (0, '0"'),
        (144.25, "12'-0 1/4\""),
        (-6, '-6"'),
        (-0.01, '0"'),
        (1 / 16, '1/8"'),
        (3 / 16, '1/4"'),
        (95, "7'-11\""),
        (143.9375, "12'-0\""),
        (150.53, "12'-6 1/2\""),
        (-150.5, "-12'-6 1/2\""),
    ],
)
def test_feet_and_inches_are_rounded_to_eighths(inches: float, text: str) -> None:
    assert write_length(inches * 25.4, EIGHTHS) == text


def test_halves_are_rounded_up() -> None:
    assert write_length(0.49 * 25.4, LengthStyle("ftin", 2)) == '1/2"'


@pytest.mark.parametrize(("inches", "text"), [(7.5, "0'-7 1/2\""), (0.5, "0'-1/2\""), (0, "0'-0\""), (12, "1'-0\"")])
def test_zero_feet_are_written_when_asked_for(inches: float, text: str) -> None:
    assert write_length(inches * 25.4, EIGHTHS, zero_feet=True) == text


@pytest.mark.parametrize(
    ("style", "mm", "text"),
    [
        (LengthStyle("ftdec"), 4419.6, "14.50'"),
        (LengthStyle("in"), 4330.7, "170.50 in"),
        (LengthStyle("m"), 4293.4, "4.293 m"),
        (LengthStyle("mm"), 4293.4, "4293 mm"),
        (LengthStyle("mm", decimals=1), 4293.4, "4293.4 mm"),
        (LengthStyle("in", decimals=0), 406.4, "16 in"),
        (LengthStyle("m"), -0.4, "0.000 m"),
        (LengthStyle("m"), -0.5, "-0.001 m"),
        (LengthStyle("mm"), 0.5, "1 mm"),
    ],
)
def test_other_units_have_their_usual_decimals(style: LengthStyle, mm: float, text: str) -> None:
    assert write_length(mm, style) == text


def test_echo_has_three_forms() -> None:
    assert echo_length(4419.6) == "14'-6\" = 14.50 ft = 4.420 m"


def test_echo_keeps_a_sixty_fourth() -> None:
    assert echo_length(155.984375 * 25.4).startswith("12'-11 63/64\" = ")


def test_echo_rounds_between_the_marks_of_a_tape() -> None:
    assert echo_length(4331) == "14'-2 1/2\" = 14.21 ft = 4.331 m"


@pytest.mark.parametrize("value", [inf, -inf, nan])
@pytest.mark.parametrize("style", STYLES)
def test_infinities_and_nan_are_refused(style: LengthStyle, value: float) -> None:
    with pytest.raises(EntryError, match="a finite number is needed"):
        write_length(value, style)


@pytest.mark.parametrize("value", [inf, -inf, nan])
def test_infinities_and_nan_have_no_plain_text(value: float) -> None:
    with pytest.raises(EntryError, match="a finite number is needed"):
        write_plain_mm(value)


@pytest.mark.parametrize(
    ("value", "text"), [(1e-7, "0.0000001"), (1e22, "10000000000000000000000"), (4293.4, "4293.4")]
)
def test_plain_decimal_has_no_exponent(value: float, text: str) -> None:
    assert plain_decimal(value) == text


@pytest.mark.parametrize(
    ("inches", "in_feet", "text"),
    [
        ("170.5", True, "14'-2 1/2\""),
        ("170.5", False, '170 1/2"'),
        ("12.1", True, "1'-0.1\""),
        ("-12.1", True, "-1'-0.1\""),
        ("0.1", True, '0.1"'),
        ("1/3", True, ""),
    ],
)
def test_exact_length_is_written_only_where_a_text_is_exact(inches: str, in_feet: bool, text: str) -> None:
    assert exact_length(Fraction(inches), in_feet) == text


@given(st.integers(-(10**7), 10**7))
def test_every_sixty_fourth_is_read_back_exactly(count: int) -> None:
    mm = float(Fraction(count, 64) * Fraction("25.4"))

    assert read_length(write_length(mm, LengthStyle("ftin", 64)), SIGNED).mm == mm


@given(st.integers(-(10**6), 10**6))
def test_every_whole_mm_is_read_back_exactly(mm: int) -> None:
    assert read_length(write_length(mm, LengthStyle("mm")), SIGNED).mm == mm


@given(st.floats(-1e7, 1e7), st.sampled_from(STYLES))
def test_printed_length_is_read_back_within_half_a_step(mm: float, style: LengthStyle) -> None:
    read_back = read_length(write_length(mm, style), SIGNED).exact * Fraction("25.4")

    assert abs(read_back - Fraction(mm)) <= style.step_mm * (Fraction(1, 2) + Fraction(1, 10**9))


@given(st.floats(-1e7, 1e7), st.sampled_from(STYLES))
def test_printing_again_what_was_read_back_changes_nothing(mm: float, style: LengthStyle) -> None:
    text = write_length(mm, style)

    assert write_length(read_length(text, SIGNED).mm, style) == text


@given(st.fractions(0, 1000, max_denominator=64).filter(lambda inches: 64 % inches.denominator == 0), st.booleans())
def test_exact_length_is_read_as_exactly_that(inches: Fraction, in_feet: bool) -> None:
    assert read_length(exact_length(inches, in_feet)).exact == inches
