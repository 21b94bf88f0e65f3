"""The entry of grades; the tables are the program's own entry rule, row by row."""

from collections.abc import Callable
from math import atan, degrees, inf, isclose, nan, nextafter, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.grades import (
    describe_grade,
    echo_grade,
    read_grade,
    read_grade_strictly,
    write_grade,
    write_grade_and_limit,
    write_grade_beside,
)

READ = [
    ("1-1/2 in per ft", 0.125),
    ('1 1/2"/ft', 0.125),
    ("12.5%", 0.125),
    ("1:8", 0.125),
    ("7.1°", 0.124557),
    ("7.1 deg", 0.124557),
    ("7.125 deg", 0.125000),
    ("8%", 0.08),
    ("4.6°", 0.080458),
    ("1/8:12", 0.0104167),
    ("125 mm per m", 0.125),
    ("level", 0),
    ("0%", 0),
    ("down 2%", -0.02),
    ("-2%", -0.02),
    # the same rule, beyond the table
    ("up 2%", 0.02),
    ("+2%", 0.02),
    ("-1:8", -0.125),
    ("1 : 8", 0.125),
    ("1-1/2:12", 0.125),
    ("1 1/2 in. per ft.", 0.125),
    ("down 1 1/2 in / ft", -0.125),
    ("1:1.", 1),
]

REFUSED = [
    ("12.5", "does not say %, degrees or in per ft", ["12.5 %", "12.5 deg"]),
    ("3:1", "reads two ways, 3 up or 3 along", ["1:3", "300%"]),
    ("1 in 8", "reads two ways", ["1:8"]),
    # the same rule, beyond the table
    ("7:3", "reads two ways", ["3:7"]),
    ("down 3:1", "reads two ways", ["down 1:3", "down 300%"]),
    ("-1 in 8", "reads two ways", ["-1:8"]),
    ("down 12.5", "does not say", ["down 12.5 %"]),
    ("12,5%", "comma", ["12.5 %"]),
    ("1,250%", "comma", ["1250 %", "1.250 %"]),
    ("down -2%", "two signs", []),
    ("1:0", "run of zero", []),
    ("1/0:3", "write rise and run as numbers", []),
    ("1:8:3", "not read", []),
    ("90°", "below 90 degrees", []),
    ("1.5 per ft", "does not say its unit", ['1.5" per ft']),
    ("12 6 per ft", "two numbers", ["12'-6\" per ft"]),
    ("5 stone", "has the unit stone", []),
    ("1e3%", "write the number in full", []),
    ("٣%", "use the digits 0-9", []),
    ("steep", "write it like 12.5%", []),
    ("1..2%", "not read", []),
    ("9" * 399 + "%", "larger than any number", []),
    ("9" * 390 + ":1", "reads two ways", []),
    ("", "Nothing is typed", []),
]


@pytest.mark.parametrize(("text", "ratio"), READ)
def test_grade_is_read_as_rise_over_run(text: str, ratio: float) -> None:
    assert isclose(read_grade(text).ratio, ratio, abs_tol=5e-7)


@pytest.mark.parametrize(("text", "reason", "offers"), REFUSED)
def test_refusal_of_a_grade_names_the_reason(text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_grade(text)

    assert reason in str(refusal.value)


@pytest.mark.parametrize(("text", "reason", "offers"), REFUSED)
def test_refusal_of_a_grade_offers_the_readings(text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_grade(text)

    assert set(offers) <= set(refusal.value.offers)


def test_steep_degrees_are_read() -> None:
    assert isclose(read_grade("12.5°").ratio, 0.221695, abs_tol=5e-7)


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("12.5°", "12.5 degrees = 22 %, steep. Sure?"),
        ("25%", "14 degrees = 25 %, steep. Sure?"),
        ("-25%", "14 degrees = 25 %, steep. Sure?"),
        ("1:4", "14 degrees = 25 %, steep. Sure?"),
        ("3 in per ft", "14 degrees = 25 %, steep. Sure?"),
        ("20.01%", "11.3 degrees = 20.01 %, steep. Sure?"),
    ],
)
def test_steep_grade_is_asked_for_again_in_any_form(text: str, question: str) -> None:
    assert read_grade(text).confirm.startswith(question)


@pytest.mark.parametrize("text", ["20%", "1:5", "-20%", "11 deg"])
def test_grade_up_to_a_fifth_is_taken_at_once(text: str) -> None:
    assert read_grade(text).confirm == ""


def test_improper_fraction_in_the_rise_is_asked_for_again() -> None:
    assert 'is read as 1 1/8"' in read_grade("9/8 in per ft").confirm


def test_improper_fraction_in_the_rise_offers_the_split_in_the_whole_text() -> None:
    assert read_grade("31/2 in per ft").offers == ('3 1/2" per ft',)


def test_steep_grade_is_refused_where_nobody_can_confirm() -> None:
    with pytest.raises(EntryError, match="steep"):
        read_grade_strictly("25%")


def test_steep_grade_passes_where_it_is_allowed() -> None:
    assert read_grade_strictly("25%", steep_allowed=True) == 0.25


def test_slip_in_the_rise_is_refused_even_where_steep_grades_are_allowed() -> None:
    with pytest.raises(EntryError, match="confirm"):
        read_grade_strictly("31/2 in per ft", steep_allowed=True)


@pytest.mark.parametrize(
    ("ratio", "text"),
    [
        (0.125, "12.5 % = 1:8 = 1 1/2 in per ft = 7.13 degrees"),
        (-0.125, "down 12.5 % = 1:8 = 1 1/2 in per ft = 7.13 degrees"),
        (0.08, "8 % = 1:12.5 = 0.96 in per ft = 4.57 degrees"),
        (0, "level"),
    ],
)
def test_echo_of_a_grade_has_all_forms(ratio: float, text: str) -> None:
    assert echo_grade(ratio) == text


@pytest.mark.parametrize(
    ("ratio", "text"),
    [
        (0.125, "rises 1 1/2 in per ft going inside"),
        (-0.125, "falls 1 1/2 in per ft going inside"),
        (0, "is level going inside"),
    ],
)
def test_grade_is_told_for_its_direction(ratio: float, text: str) -> None:
    assert describe_grade(ratio, "inside") == text


@pytest.mark.parametrize("value", [inf, -inf, nan])
@pytest.mark.parametrize("write", [echo_grade, write_grade, lambda ratio: describe_grade(ratio, "inside")])
def test_infinite_grade_is_not_written(write: Callable[[float], str], value: float) -> None:
    with pytest.raises(EntryError, match="finite"):
        write(value)


@pytest.mark.parametrize(
    ("ratio", "limit", "text"),
    [(0.125, 0.02, "12.5 %"), (0.0201, 0.02, "2.01 %"), (0.02, 0.02, "2.0 %"), (0.0204, 0.0202, "2.04 %")],
)
def test_grade_is_printed_as_finely_as_its_limit_needs(ratio: float, limit: float, text: str) -> None:
    assert write_grade_beside(ratio, limit) == text


def test_limit_grade_is_printed_more_finely_when_its_rounding_passes_the_grade() -> None:
    assert write_grade_and_limit(0.02041, 0.02042) == ("2.0 %", "2.04 %")


ratios = st.floats(-0.9, 0.9)


@given(st.one_of(st.tuples(ratios, ratios), ratios.map(lambda ratio: (nextafter(ratio, inf), ratio))))
def test_printed_grade_and_printed_limit_stand_in_the_order_of_the_grades(pair: tuple[float, float]) -> None:
    printed = [read_grade(text).ratio for text in write_grade_and_limit(*pair)]

    assert (printed[0] > printed[1], printed[0] < printed[1]) == (pair[0] > pair[1], pair[0] < pair[1])


@given(st.integers(1, 9999).map(lambda count: count / 100))
def test_percent_ratio_and_metric_forms_give_the_same_number(percent: float) -> None:
    forms = [f"{percent}%", f"{percent}:100", f"{percent} mm per 100 mm".replace("100 mm", "m")]
    first, second, third = (read_grade(form).ratio for form in forms)

    assert (first == second, isclose(first, 10 * third)) == (True, True)


@given(st.integers(1, 8999).map(lambda count: count / 100))
def test_degrees_differ_from_percent(number: float) -> None:
    assert read_grade(f"{number} deg").ratio > 1.7 * read_grade(f"{number}%").ratio


@given(st.floats(0, 89))
def test_degrees_are_read_as_their_tangent(angle: float) -> None:
    assert isclose(degrees(atan(read_grade(f"{angle:.6f} deg").ratio)), angle, abs_tol=1e-6)


@given(st.sampled_from(["1:8", "12.5%", "3 deg", "1 in per ft"]))
def test_down_and_minus_are_the_same(text: str) -> None:
    assert read_grade(f"down {text}").ratio == read_grade(f"-{text}").ratio == -read_grade(text).ratio


PIECES = [
    "1",
    "12",
    "8",
    "0",
    "1/2",
    "%",
    "°",
    " deg",
    ":",
    " in",
    " per ",
    "/",
    "ft",
    "m",
    "-",
    "down ",
    "level",
    ".",
    ",",
    " ",
]


@given(st.one_of(st.text(max_size=45), st.lists(st.sampled_from(PIECES), max_size=9).map("".join)))
def test_any_text_is_a_grade_or_refused_with_offers_that_are_read(text: str) -> None:
    try:
        offers = read_grade(text).offers
    except EntryError as refusal:
        offers = refusal.offers

    assert all(read_grade(offer) for offer in offers)


def test_tangent_of_the_table_is_not_percent() -> None:
    # 12.5 degrees is 22.2 %
    assert isclose(tan(radians(12.5)), 0.222, abs_tol=5e-4)
