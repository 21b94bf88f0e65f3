"""The entry of lengths; the tables are the program's own entry rule, row by row."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.field_rule import FieldRule, JobKind
from siteplan.units.reading import echo_reading, read_length, read_length_strictly, read_plain_mm
from siteplan.units.writing import write_plain_mm

NO_UNIT = FieldRule()
IN = FieldRule(bare_unit="in")
FT = FieldRule(bare_unit="ft")
M = FieldRule(bare_unit="m", job="m")
M_COMMA = FieldRule(bare_unit="m", job="m", decimal_comma=True)
SIGNED = FieldRule(signed=True)
RULES = [NO_UNIT, IN, FT, M, M_COMMA, SIGNED, FieldRule(bare_unit="in", minimum_mm=10, plausible_mm=(300, 9000))]

READ = [
    (NO_UNIT, "14'2 1/2\"", "170.5"),
    (NO_UNIT, "14' 2-1/2", "170.5"),
    (NO_UNIT, "14'2.5", "170.5"),
    (NO_UNIT, "14 ft 2 1/2 in", "170.5"),
    (NO_UNIT, "14ft2.5in", "170.5"),
    (NO_UNIT, "12'-6 1/2\"", "150.5"),
    (NO_UNIT, "12' 6.5", "150.5"),
    (NO_UNIT, "12'6.5\"", "150.5"),
    (NO_UNIT, "12' 6-1/2\"", "150.5"),
    (NO_UNIT, "12-6-1/2", "150.5"),
    (NO_UNIT, "12-6 1/2", "150.5"),
    (NO_UNIT, "12 6 1/2", "150.5"),
    (NO_UNIT, "12-6.5", "150.5"),
    (NO_UNIT, "12-6", "150"),
    (NO_UNIT, "14-2", "170"),
    (NO_UNIT, "12-11-63/64", "155.984375"),
    (NO_UNIT, "12'-6 3/16", "150.1875"),
    (NO_UNIT, "12'6-3/4\"", "150.75"),
    (NO_UNIT, "12'- 6\"", "150"),
    (NO_UNIT, "12' -6\"", "150"),
    (NO_UNIT, "12 ft 6 in", "150"),
    (NO_UNIT, "12FT 6IN", "150"),
    (NO_UNIT, "12'6''", "150"),
    (NO_UNIT, "12''", "12"),
    (NO_UNIT, "12'", "144"),
    (NO_UNIT, "12.'", "144"),
    (NO_UNIT, "12'-0\"", "144"),
    (NO_UNIT, "0'-6\"", "6"),
    (NO_UNIT, ".5'", "6"),
    (NO_UNIT, "12.5'", "150"),
    (NO_UNIT, "14.5 ft", "174"),
    (NO_UNIT, "150.5in", "150.5"),
    (NO_UNIT, '150.5"', "150.5"),
    (NO_UNIT, '1/2"', "0.5"),
    (NO_UNIT, '6 1/2"', "6.5"),
    (NO_UNIT, "6-1/2 in", "6.5"),
    (NO_UNIT, "12' ½\"", "144.5"),
    (NO_UNIT, "12'-1/2\"", "144.5"),
    (NO_UNIT, "14'1/2", "168.5"),
    (NO_UNIT, "12′-6½″", "150.5"),
    (NO_UNIT, "12’ 6”", "150"),
    (NO_UNIT, "１２'6", "150"),
    (NO_UNIT, "3.81 m", "150"),
    (NO_UNIT, "381cm", "150"),
    (NO_UNIT, "3810 mm", "150"),
    (NO_UNIT, "3,81 m", "150"),
    (NO_UNIT, "2 yd", "72"),
    (NO_UNIT, "+3'", "36"),
    (NO_UNIT, '0"', "0"),
    (IN, "14.5", "14.5"),
    (FT, "14.5", "174"),
    (IN, "170", "170"),
    (IN, "3 1/2", "3.5"),
    (IN, "3-1/2", "3.5"),
    (SIGNED, "-3'", "-36"),
    # the same rule, beyond the table
    (IN, "14-2", "170"),
    (SIGNED, "-14-2", "-170"),
    (NO_UNIT, "12 ft. 6 in.", "150"),
    (NO_UNIT, "12 ft .6 in", "144.6"),
    (NO_UNIT, "5 feet 6 inches", "66"),
    (NO_UNIT, "1 foot 1 inch", "13"),
    (NO_UNIT, "  12'   6\" ", "150"),
    (NO_UNIT, "12\u00a0ft\u20096\u202fin", "150"),
    (NO_UNIT, "12'–6⁄8\"", "144.75"),  # en dash joins, fraction slash
    (M_COMMA, "3.810 m", "150"),
    (M, "14'-2\"", "170"),
    (FieldRule(bare_unit="in", decimal_comma=True), "14.25", "14.25"),
]

METRIC_READ = [(M, "4.331", 4331.0), (M_COMMA, "4,33", 4330.0), (NO_UNIT, "4293.4 mm", 4293.4), (M_COMMA, ",5", 500.0)]

CONFIRM = [
    (NO_UNIT, "12'-13\"", "157", "13'-1\""),
    (NO_UNIT, "5'13\"", "73", "6'-1\""),
    (NO_UNIT, "12'-12\"", "156", "13'-0\""),
    (NO_UNIT, "12-12", "156", "13'-0\""),
    (NO_UNIT, '9/8"', "1.125", '1 1/8"'),
    (NO_UNIT, '31/2"', "15.5", '15 1/2"'),
    (IN, "31/2", "15.5", '15 1/2"'),
    (NO_UNIT, '2/2"', "1", '1"'),
]

REFUSED = [
    (NO_UNIT, "12' - 6\"", "reads two ways, joined or minus", ["12'-6\"", "11'-6\""]),
    (NO_UNIT, "12 ft - 6 in", "reads two ways, joined or minus", ["12'-6\"", "11'-6\""]),
    (NO_UNIT, '6 - 1/2"', "reads two ways, joined or minus", ['6 1/2"', '5 1/2"']),
    (NO_UNIT, "12.5'-6\"", "decimal feet and inches together", []),
    (NO_UNIT, "12'-6.5 1/2\"", "decimal inches and a fraction", []),
    (NO_UNIT, "12' 6\" 1/2", "after the inch mark", []),
    (NO_UNIT, '6 9/8"', "top is not below its bottom", ['7 1/8"']),
    (NO_UNIT, "12'61/2\"", "the fraction 61/2", ["12'-6 1/2\"", "14'-6 1/2\""]),
    (NO_UNIT, "12'-6 1/3\"", "tapes are read in 2nds to 64ths", []),
    (NO_UNIT, '1/0"', "zero below the line", []),
    (NO_UNIT, "14'2 1/0\"", "zero below the line", []),
    (NO_UNIT, '1/2/3"', "not a length", []),
    (NO_UNIT, "12'6'", "feet twice", ["12'6\""]),
    (NO_UNIT, "12\"6'", "inches before feet", []),
    (NO_UNIT, "5 feet 5 feet", "feet twice", []),
    (NO_UNIT, "12'-6'", "feet twice", ["12'-6\"", "12' - 6'"]),
    (NO_UNIT, "12'-", "no inches after the hyphen", []),
    (NO_UNIT, "3 m 81 cm", "two metric units", ["3.81 m"]),
    (NO_UNIT, "12", "does not say its unit", ['12"', "12'"]),
    (NO_UNIT, "12 6", "two numbers", ["12'-6\""]),
    (NO_UNIT, "6 1/2", "feet or inches", ['6 1/2"']),
    (FT, "3 1/2", "feet or inches", ['3 1/2"', "3.5'"]),
    (M, "14-2", "reads two ways", ["14'-2\"", "14 - 2"]),
    (NO_UNIT, "1,250 ft", "comma", ["1250 ft"]),
    (NO_UNIT, "12,5'", "comma", ["12.5'"]),
    (NO_UNIT, "3,810 m", "reads two ways", ["3.810 m", "3810 m"]),
    (M_COMMA, "4,331", "reads two ways", ["4.331 m", "4331"]),
    (M_COMMA, "4.331", "reads two ways", ["4.331 m", "4331"]),
    (M, "4,33", "comma", ["4.33"]),
    (NO_UNIT, "1 250 ft", "space inside a number", ["1250 ft"]),
    (NO_UNIT, "-5'", 'cannot be negative here; for the other side write "outside"', []),
    (NO_UNIT, "--5'", "two signs", []),
    (NO_UNIT, "1e3'", "write the number in full", []),
    (NO_UNIT, "1e400'", "write the number in full", []),
    (NO_UNIT, "nan", "not a length", []),
    (NO_UNIT, "inf in", "not a length", []),
    (NO_UNIT, "0x10'", "not a length", []),
    (NO_UNIT, "12²'", "use the digits 0-9", []),
    (NO_UNIT, "٣'", "use the digits 0-9", []),
    (NO_UNIT, "'", "not a length", []),
    (NO_UNIT, "abc", "write it like 12'-6 1/2\"", []),
    (NO_UNIT, "", "Nothing is typed", []),
    (NO_UNIT, " \t ", "Nothing is typed", []),
    (NO_UNIT, "1" * 40 + "'", "too long", []),
    # the same rule, beyond the table
    (NO_UNIT, "12 ft.6", "reads two ways", ["12 ft 6", "12 ft .6"]),
    (NO_UNIT, "12 6-1/2", "two numbers", ["12'-6 1/2\""]),
    (NO_UNIT, "12 ftin", "ftin is no unit", []),
    (NO_UNIT, "12.6.5'", "12.6.5 is not a number", []),
    (NO_UNIT, "12 6 ft", "two numbers and one mark", []),
    (NO_UNIT, "12' ft", "two marks", []),
    (NO_UNIT, "12' 6 cm", "feet and cm in one length", []),
    (NO_UNIT, "6 1/2 ft", "fraction before ft", ["6.5 ft"]),
    (NO_UNIT, "12' - 6 1/2'", "fraction before '", ["12' - 6.5'"]),
    (IN, "6 - 1/2", "reads two ways", ['6 1/2"', '5 1/2"']),
    (NO_UNIT, "3 m 2 in", "something after m", []),
    (NO_UNIT, '12\'6"-1/2"', "hyphen before a fraction", ['12\'6" - 1/2"']),
    (NO_UNIT, '3 m-1/2"', "hyphen before a fraction", ['3 m - 1/2"']),
    (NO_UNIT, "24'8 - 1/2\"", "reads two ways", ["24'-8 1/2\"", "24'-7 1/2\""]),
    (NO_UNIT, '1.5/2"', "fraction of decimal numbers", []),
    (NO_UNIT, '1/"', "no number stands below the line", []),
    (NO_UNIT, "8-2'", "does not say the unit of 8", ["8' - 2'"]),
    (NO_UNIT, '8-"', "nothing to join", []),
    (IN, "14.5-2", "reads two ways", ["14.5 - 2"]),
    (IN, "14 -2", "reads two ways", ["14'-2\"", "14 - 2"]),
    (IN, "31/2 ft", "fraction before ft", ["15.5 ft"]),
    (NO_UNIT, "1,250,000 mm", "comma", ["1250000 mm"]),
    (NO_UNIT, "3,5 yd", "comma", ["3.5 yd"]),
    (NO_UNIT, "⅙4", "digit right after the fraction", []),
    (NO_UNIT, "12;", "not a length", []),
    (FieldRule(zero_allowed=False), '0"', "above zero", []),
    (FieldRule(minimum_mm=25.4), '15/16"', 'is 15/16", and at least 1" is needed', []),
    (NO_UNIT, "9" * 390 + " mm", "larger than any number", []),
]


@pytest.mark.parametrize(("rule", "text", "inches"), READ)
def test_length_is_read_exactly(rule: FieldRule, text: str, inches: str) -> None:
    assert read_length(text, rule).exact == Fraction(inches)


@pytest.mark.parametrize(("rule", "text", "inches"), READ)
def test_plain_length_needs_no_second_enter(rule: FieldRule, text: str, inches: str) -> None:
    assert read_length_strictly(text, rule) == float(Fraction(inches) * Fraction("25.4"))


@pytest.mark.parametrize(("rule", "text", "mm"), METRIC_READ)
def test_metric_length_is_the_typed_number(rule: FieldRule, text: str, mm: float) -> None:
    assert read_length(text, rule).mm == mm


@pytest.mark.parametrize(("rule", "text", "inches", "shown"), CONFIRM)
def test_slip_is_read_and_its_value_asked_for_again(rule: FieldRule, text: str, inches: str, shown: str) -> None:
    reading = read_length(text, rule)

    assert (reading.exact, shown in reading.confirm) == (Fraction(inches), True)


@pytest.mark.parametrize(("rule", "text", "inches", "shown"), CONFIRM)
def test_slip_is_refused_where_nobody_can_confirm(rule: FieldRule, text: str, inches: str, shown: str) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length_strictly(text, rule)

    assert read_length(refusal.value.offers[0], rule).exact == Fraction(inches)


@pytest.mark.parametrize("rule", [NO_UNIT, IN])
def test_improper_fraction_offers_the_split_before_its_last_digit(rule: FieldRule) -> None:
    assert read_length('31/2"', rule).offers == ('3 1/2"',)


@pytest.mark.parametrize(("rule", "text", "reason", "offers"), REFUSED)
def test_refusal_names_the_reason(rule: FieldRule, text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length(text, rule)

    assert reason in str(refusal.value)


@pytest.mark.parametrize(("rule", "text", "reason", "offers"), REFUSED)
def test_refusal_offers_the_readings(rule: FieldRule, text: str, reason: str, offers: list[str]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length(text, rule)

    assert set(offers) <= set(refusal.value.offers)


@pytest.mark.parametrize(
    ("text", "place"), [('1/0"', 1), ("14'2 1/0\"", 6), ("  12' - 6\"", 6), ("12''' 6", 4), ("6½ abc", 3), ("'", 0)]
)
def test_refusal_points_at_the_fault_in_the_text_as_typed(text: str, place: int) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length(text)

    assert refusal.value.at == place


@pytest.mark.parametrize(("rule", "text"), [(IN, "170"), (IN, "160 + 10"), (IN, "340 / 2")])
def test_bare_number_in_a_feet_and_inch_job_is_echoed_as_a_question(rule: FieldRule, text: str) -> None:
    assert read_length(text, rule).note == "170 in = 14'-2\"?"


def test_bare_feet_in_a_feet_and_inch_job_are_echoed_as_a_question() -> None:
    assert read_length("14.5", FT).note == "14.5 ft = 14'-6\"?"


@pytest.mark.parametrize("text", ["3 1/2", '170"', "14'-2\""])
def test_inches_beyond_doubt_are_echoed_without_a_question(text: str) -> None:
    assert read_length(text, IN).note == ""


def test_decimal_feet_are_noted_with_their_inches() -> None:
    assert read_length("12.5'").note == "Tenths of a foot: 12.5 ft is 12'-6\"."


def test_third_of_a_bare_number_is_echoed_as_a_question() -> None:
    assert read_length("10 / 3", IN).note.startswith("3.333 in = ")


def test_echo_of_a_reading_starts_with_its_note() -> None:
    assert echo_reading(read_length("174", IN)) == "174 in = 14'-6\"? 14'-6\" = 14.50 ft = 4.420 m"


def test_bare_number_outside_the_plausible_range_asks_for_another_unit() -> None:
    reading = read_length("4293", FieldRule(bare_unit="in", plausible_mm=(300, 9000)))

    assert reading.confirm.startswith("4293 in = 357'-9\". Did you mean mm (14'-1\")?")


def test_bare_number_outside_the_plausible_range_offers_the_other_unit() -> None:
    reading = read_length("4293", FieldRule(bare_unit="in", plausible_mm=(300, 9000)))

    assert reading.offers == ("4293 mm",)


def test_feet_come_first_among_the_units_of_a_small_number() -> None:
    reading = read_length("14", FieldRule(bare_unit="in", plausible_mm=(1000, 20000)))

    assert reading.offers == ("14 ft", "14 m")


@pytest.mark.parametrize(("text", "words"), [("400'", "400' = 400'-0\" is more than 29'-6 3/8\""), ('3"', "less than")])
def test_marked_length_outside_the_plausible_range_is_asked_for_again(text: str, words: str) -> None:
    assert words in read_length(text, FieldRule(plausible_mm=(300, 9000))).confirm


def test_length_on_the_edge_of_the_plausible_range_is_taken_at_once() -> None:
    assert read_length("9 m", FieldRule(plausible_mm=(300, 9000))).confirm == ""


def test_strict_reading_refuses_a_length_outside_the_plausible_range() -> None:
    with pytest.raises(EntryError, match="more than"):
        read_length_strictly("10 m", FieldRule(plausible_mm=(300, 9000)))


@pytest.mark.parametrize(
    ("job", "offers"), [("ftin", ('12"', "12'")), ("ftdec", ("12'", '12"')), ("m", ("12 m", "12 mm"))]
)
def test_number_without_unit_is_offered_with_the_units_of_the_job(job: JobKind, offers: tuple[str, ...]) -> None:
    with pytest.raises(EntryError) as refusal:
        read_length("12", FieldRule(job=job))

    assert refusal.value.offers == offers


def test_minimum_of_a_signed_field_holds_for_both_signs() -> None:
    assert read_length('-2"', FieldRule(signed=True, minimum_mm=25)).exact == -2


@pytest.mark.parametrize(
    "text", ["4293.4  mm", "4293.4mm", " 4293.4 mm", "4293.4 mm\n", "+1 mm", "1e3 mm", "٣ mm", "1. mm", ""]
)
def test_only_the_form_the_program_writes_is_plain(text: str) -> None:
    assert read_plain_mm(text) is None


@given(
    st.integers(0, 500),
    st.sampled_from(["'", " '", "ft", " ft", " feet", "FT", "′", "’"]),
    st.sampled_from(["", " ", "-", "- ", " -", "–", "  "]),
    st.integers(0, 11 * 64 + 63),
    st.sampled_from([" ", "-", "  "]),
    st.sampled_from(["", '"', "''", "in", " in", " inches", " IN.", "″", "”"]),
)
def test_feet_and_inches_are_read_in_every_spelling(
    feet: int, foot: str, join: str, marks: int, separator: str, inch: str
) -> None:
    inches, part = divmod(Fraction(marks, 64), 1)
    text = f"{feet}{foot}{join}{inches}{f'{separator}{part}' if part else ''}{inch}"

    assert read_length(text).exact == 12 * feet + inches + part


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_written_mm_are_read_back_bit_for_bit(mm: float) -> None:
    plain = read_plain_mm(write_plain_mm(mm))

    assert plain is not None
    assert plain.hex() == mm.hex()


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_signed_field_reads_every_written_number_bit_for_bit(mm: float) -> None:
    assert read_length(f"{Decimal(repr(mm)):f} mm", SIGNED).mm.hex() == mm.hex()


PIECES = [
    *("1", "2", "12", "6", "0", "250", "1/2", "31/2", "9/8", "½", ".", ","),
    *("/", " / ", "-", " - ", " ", "+", "*", "(", ")"),
    *("'", '"', "''", " ft", "ft.", " in", " m", "mm"),
]
entries = st.one_of(st.text(max_size=45), st.lists(st.sampled_from(PIECES), max_size=9).map("".join))


@given(entries, st.sampled_from(RULES))
def test_any_text_is_read_or_refused_with_offers_that_are_read(text: str, rule: FieldRule) -> None:
    try:
        offers = read_length(text, rule).offers
    except EntryError as refusal:
        offers = refusal.offers

    assert all(read_length(offer, rule) for offer in offers)


@given(entries, st.sampled_from(RULES))
def test_exact_value_and_mm_agree(text: str, rule: FieldRule) -> None:
    try:
        reading = read_length(text, rule)
    except EntryError:
        return

    assert reading.mm == float(reading.exact * Fraction("25.4"))
