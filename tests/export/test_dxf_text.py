"""Texts for DXF files."""

from itertools import pairwise

import pytest
from ezdxf.tools.text import plain_text
from hypothesis import given
from hypothesis import strategies as st

from siteplan.export.dxf_text import NOT_IN_NAMES, ascii_name, ascii_text


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("90°", "90%%d"),
        ("±1", "%%p1"),
        ("⌀4", "%%c4"),
        ("Ø4", "%%c4"),
        ("12′-6″", "12'-6\""),
        ("‘a’ “b”", "'a' \"b\""),
        ("a – b — c · d − e", "a - b - c - d - e"),
        ("4 × 4", "4 x 4"),
        ("7′-0″ •", "7'-0\" *"),
        ("12½″", '12 1/2"'),
        ("½″", '1/2"'),
        ("3⅜", "3 3/8"),
        ("≤ 2, ≥ 1", "<= 2, >= 1"),
        ("é Å ñ", "e A n"),
        ("Straße", "Strasse"),
        ("日", "?"),
        ("a\nb\tc\u00a0d", "a b c d"),
        ("50 %", "50 %"),
        ("%%d", "%d"),
        ("%%%u", "%u"),
        ("5%°", "5% %%d"),
        ("％％d", "%d"),
        ("a\\P", "a/P"),
        ("m^2", "m^ 2"),
        ("", ""),
    ],
)
def test_text_is_written_in_ascii(text: str, wanted: str) -> None:
    assert ascii_text(text) == wanted


@given(st.text())
def test_every_text_becomes_printable_ascii(text: str) -> None:
    assert set(map(ord, ascii_text(text))) <= set(range(32, 127))


# Signs such as the degree sign, and those made of it, are written as codes on purpose.
UNCODED = st.characters(exclude_characters="°±⌀Ø℃℉")


@given(st.text(st.one_of(st.sampled_from("%\\^u"), UNCODED)))
def test_what_a_person_typed_never_acts_as_a_code(text: str) -> None:
    assert not set(pairwise(ascii_text(text))) & {("%", "%"), ("\\", "P"), ("^", "I")}


@pytest.mark.parametrize("text", ["90°", "±1°", "5 % ± 1 %", "m^2", "12'-6 1/2\""])
def test_a_reader_gives_the_text_back(text: str) -> None:
    assert plain_text(ascii_text(text)) == text


@given(st.text())
def test_names_hold_no_sign_that_names_may_not_hold(text: str) -> None:
    assert not set(ascii_name(text)) & set(NOT_IN_NAMES[1:-1])


def test_a_plain_name_stays() -> None:
    assert ascii_name("C-101") == "C-101"
