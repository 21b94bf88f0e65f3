"""Sums in a length field; the tables are the program's own entry rule, row by row."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.field_rule import FieldRule
from siteplan.units.reading import read_length
from siteplan.units.writing import exact_length

NO_UNIT = FieldRule()
IN = FieldRule(bare_unit="in")
FT = FieldRule(bare_unit="ft")
M_COMMA = FieldRule(bare_unit="m", job="m", decimal_comma=True)
SIGNED = FieldRule(signed=True)

READ = [
    (NO_UNIT, "12'6+3\"", "153"),
    (NO_UNIT, "2*7'1", "170"),
    (NO_UNIT, "(24'8-2\")/2", "147"),
    (NO_UNIT, "(24'8 - 2\")/2", "147"),
    (NO_UNIT, "24'8-2\"", "294"),
    (NO_UNIT, "24'8 - 2\"", "294"),
    (NO_UNIT, '150.5"-2"', "148.5"),
    (NO_UNIT, "12' - 6'", "72"),
    (NO_UNIT, "14'2 / 2", "85"),
    (NO_UNIT, "3 m + 2 in", "15254/127"),
    (IN, "14 - 2", "12"),
    (FT, "14 - 2", "144"),
    # the same rule, beyond the table
    (NO_UNIT, '(24\'8")-2"', "294"),
    (NO_UNIT, "12'/2", "72"),
    (NO_UNIT, "12' / 2 / 2", "36"),
    (NO_UNIT, "7'1 × 2", "170"),
    (NO_UNIT, "2*(7' + 1\")", "170"),
    (NO_UNIT, "12' - (6\")", "138"),
    (NO_UNIT, "12.5' - 6\"", "144"),
    (NO_UNIT, "12' - 2*3\"", "138"),
    (NO_UNIT, "24'8-2 1/2\"", "293.5"),
    (NO_UNIT, '1/2"/2', "0.25"),
    (NO_UNIT, "3 m-2 in", "14746/127"),
    (NO_UNIT, "10' / 3", "40"),
    (IN, "2*3", "6"),
    (IN, "3 1/2 + 1", "4.5"),
    (IN, "(14 + 2)*3", "48"),
    (IN, "1 / 2", "0.5"),
    (M_COMMA, "1,5 + 2", "137.795275590551181102362204724409448818897637795275590551181"),
    (SIGNED, "-3' + 2\"", "-34"),
    (SIGNED, '3" - 5"', "-2"),
    (SIGNED, "-(3' + 2\")", "-38"),
]

REFUSED = [
    (NO_UNIT, "24'8-2", "does not say the unit of 2", []),
    (NO_UNIT, '8-2"', "reads two ways", ["8'-2\"", '6"']),
    (NO_UNIT, "12'6 + 3", "does not say the unit of 3", []),
    (NO_UNIT, "14'2/2", "reads as the fraction 2/2", ["14'2 / 2", "14'-1\""]),
    (NO_UNIT, "2*3", "has no unit", []),
    (NO_UNIT, "12'/0", "divided by zero", []),
    # the same rule, beyond the table
    (NO_UNIT, '14.5 - 1/2"', "does not say the unit of 14.5", []),
    (NO_UNIT, "12'1 /2", "slash with a space on one side only", ["12'1/2", "12'1 / 2"]),
    (NO_UNIT, "2*7-1", "reads two ways", ["2*7'-1\""]),
    (NO_UNIT, "20' - 12' - 6\"", "reads two ways, joined or minus", ["20' - 12'-6\"", "20' - 12' - (6\")"]),
    (NO_UNIT, "3'*2'", "multiplies two lengths", []),
    (NO_UNIT, "6'/2'", "divided by a length", []),
    (NO_UNIT, "6'/2/3", "something else than one plain number", []),
    (NO_UNIT, "6'/(2)", "something else than one plain number", []),
    (NO_UNIT, "12'/2-6\"", "fits no length", []),
    (NO_UNIT, '3" - 5"', "cannot be negative", []),
    (NO_UNIT, "-2\" + 3'", "cannot be negative", []),
    (NO_UNIT, "3' + -2'", "two signs", []),
    (NO_UNIT, "3' * -2", "two signs", []),
    (NO_UNIT, "(3'", "not closed", []),
    (NO_UNIT, "3')", "not open", []),
    (NO_UNIT, "2(3')", "does not fit there", []),
    (NO_UNIT, "()", "a number is missing before )", []),
    (NO_UNIT, "3' +", "a number is missing at its end", []),
    (NO_UNIT, "(-3')", "two signs", []),
    (NO_UNIT, '1/2 + 3"', "feet or inches", ['1/2" + 3"']),
    (NO_UNIT, "12'6\"-", "a number is missing", []),
]


@pytest.mark.parametrize(("rule", "text", "inches"), READ)
def test_sum_is_worked_out_exactly(rule: FieldRule, text: str, inches: str) -> None:
    assert abs(read_length(text, rule).exact - Fraction(inches)) < Fraction(1, 10**50)


@pytest.mark.parametrize(("rule", "text", "reason", "offers"), REFUSED)
def test_refusal_of_a_sum_names_the_reason(rule: FieldRule, text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length(text, rule)

    assert reason in str(refusal.value)


@pytest.mark.parametrize(("rule", "text", "reason", "offers"), REFUSED)
def test_refusal_of_a_sum_offers_the_readings(rule: FieldRule, text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length(text, rule)

    assert set(offers) <= set(refusal.value.offers)


def test_sum_with_a_carried_term_is_asked_for_again() -> None:
    assert "12 or more inches" in read_length('12\'13" + 2"').confirm


def test_sum_with_an_improper_fraction_offers_the_split_within_it() -> None:
    assert read_length("12' + 31/2\"").offers == ("12' + 3 1/2\"",)


lengths = st.integers(1, 64 * 12 * 50).map(lambda count: Fraction(count, 64))


@given(lengths, lengths)
def test_spaced_plus_adds(first: Fraction, second: Fraction) -> None:
    assert read_length(f"{exact_length(first)} + {exact_length(second)}").exact == first + second


@given(lengths, lengths)
def test_minus_before_a_bracket_subtracts(first: Fraction, second: Fraction) -> None:
    assert read_length(f"{exact_length(first)} - ({exact_length(second)})", SIGNED).exact == first - second


@given(lengths, st.integers(1, 99))
def test_times_and_divided_by_undo_each_other(length: Fraction, factor: int) -> None:
    assert read_length(f"{factor}*({exact_length(length)})/{factor}").exact == length
