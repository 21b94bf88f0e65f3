import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.cleaning import clean, named

LONGEST = 40


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("１２＇６＂", "12'6\""),
        ("1\t2\u00a03\u20074\u20095\u202f6\u30007", "1 2 3 4 5 6 7"),
        ("′‘’`´", '""\''),
        ("″“”", '"""'),
        ("‐‑‒–—−", "------"),
        ("1⁄2∕3", "1/2/3"),
        ("2×3", "2*3"),
        ("6½", "6 1/2"),
        ("½", "1/2"),
        ("6 ½", "6 1/2"),
        ("½½", "1/2 1/2"),
        ("'½", "'1/2"),
        ("12''", '12"'),
        ("ＦＴ FT", "ft ft"),
        ("  12   '  ", "12 '"),
        ("⅞⅒", "7/8 1/10"),
    ],
)
def test_look_alikes_become_plain_characters(typed: str, text: str) -> None:
    assert clean(typed, "length", LONGEST).text == text


@pytest.mark.parametrize("typed", ["12²", "٣", "Ⅻ", "三", "①"])
def test_digits_of_other_scripts_are_refused(typed: str) -> None:
    with pytest.raises(EntryError, match="use the digits 0-9"):
        clean(typed, "length", LONGEST)


@pytest.mark.parametrize("typed", ["½4", "⅙4", "½４"])
def test_digit_right_after_a_vulgar_fraction_is_refused(typed: str) -> None:
    with pytest.raises(EntryError, match="right after the fraction"):
        clean(typed, "length", LONGEST)


@pytest.mark.parametrize("typed", ["1e3", "1E+3", "1.e-3", "１ｅ３"])
def test_exponents_are_refused(typed: str) -> None:
    with pytest.raises(EntryError, match="write the number in full"):
        clean(typed, "length", LONGEST)


def test_text_of_the_greatest_length_is_taken() -> None:
    assert clean(f" {'1' * LONGEST} ", "length", LONGEST).text == "1" * LONGEST


def test_longer_text_is_refused_with_its_length() -> None:
    with pytest.raises(EntryError, match="41 characters, and at most 40"):
        clean("1" * 41, "length", LONGEST)


def test_every_character_knows_its_place_in_the_text_as_typed() -> None:
    assert clean("  6½''  x", "length", LONGEST).places == (2, 3, 3, 3, 3, 4, 6, 8)


def test_place_behind_the_last_character_is_the_end_of_the_text() -> None:
    entry = clean("12 ", "length", LONGEST)

    assert entry.refusal("ends too soon", at=2).at == 3


def test_long_text_is_cut_off_in_messages() -> None:
    assert named("length", "1" * 50) == f"Length {'1' * 40}..."


@given(st.text(alphabet="0123456789'\" ½⅛-–×ａＢc\t", min_size=1, max_size=40))
def test_cleaning_twice_changes_nothing(typed: str) -> None:
    try:
        once = clean(typed, "length", 200).text
    except EntryError:
        return

    assert clean(once, "length", 200).text == once
