from contextlib import suppress
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.model.marks import BASES, Basis, Mark
from siteplan.model.quantities import Quantity
from siteplan.storage.quantity_texts import PLAIN_UNITS, Typed, plain_text, read_quantity, with_unit, write_quantity

QUANTITIES: list[Quantity] = list(PLAIN_UNITS)


def mark(basis: Basis | None = None, text: str = "", by: str = "") -> Mark:
    return Mark(of="A", field="x", basis=basis, text=text, by=by)


@pytest.mark.parametrize(
    ("text", "quantity", "typed"),
    [
        ("14'-1\"", "length", Typed(4292.6, "14'-1\"", None, "")),
        ("14'-1\" taped", "length", Typed(4292.6, "14'-1\"", "taped", "")),
        ("~12'", "length", Typed(3657.6, "12'", "guess", "")),
        ("12' told owner", "length", Typed(3657.6, "12'", "told", "owner")),
        ("4.293 m", "length", Typed(4293.0, "4.293 m", None, "")),
        ("4293.4127 mm", "length", Typed(4293.4127, "", None, "")),
        ("4293.4127 mm built", "length", Typed(4293.4127, "", "built", "")),
        ("90 deg", "angle", Typed(pi / 2, "90 deg", None, "")),
        ("420 lb", "weight", Typed(190.50879540, "420 lb", None, "")),  # 420 x 0.45359237
        ("12.5%", "grade", Typed(0.125, "12.5%", None, "")),
        ("1-1/2 in per ft", "grade", Typed(0.125, "1-1/2 in per ft", None, "")),
        ("30%", "grade", Typed(0.3, "30%", None, "")),
    ],
)
def test_text_is_read_with_its_tag(text: str, quantity: Quantity, typed: Typed) -> None:
    assert read_quantity(text, quantity, signed=False) == typed


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("12", "length"),
        ("-5'", "length"),
        ("5'13\"", "length"),
        ("", "length"),
        ("90", "angle"),
        ("heavy", "weight"),
        ("3:1", "grade"),
        ("9" * 399 + " mm", "length"),
        ("9" * 390 + " rad", "angle"),
        ("1e400 mm", "length"),
        ("nan", "length"),
        ("~12' taped", "length"),
    ],
)
def test_text_that_says_no_number_is_refused(text: str, quantity: Quantity) -> None:
    with pytest.raises(EntryError):
        read_quantity(text, quantity, signed=False)


@given(st.text(), st.sampled_from(QUANTITIES), st.booleans())
def test_any_text_is_read_or_refused(text: str, quantity: Quantity, signed: bool) -> None:
    with suppress(EntryError):
        assert isinstance(read_quantity(text, quantity, signed).value, float)


@pytest.mark.parametrize("quantity", QUANTITIES)
@given(number=st.floats(0, 1))
def test_plain_text_is_read_back_to_the_very_number(quantity: Quantity, number: float) -> None:
    assert read_quantity(plain_text(number, quantity), quantity, signed=True).value == number


@pytest.mark.parametrize("quantity", ["length", "angle"])
@given(number=st.floats(allow_nan=False, allow_infinity=False))
def test_plain_text_holds_any_number(quantity: Quantity, number: float) -> None:
    assert read_quantity(plain_text(number, quantity), quantity, signed=True).value == number


def test_text_as_typed_is_written_while_it_means_the_number() -> None:
    assert write_quantity(3657.6, "length", False, mark("told", "12'", "owner")).raw == "12' told owner"


def test_text_that_means_another_number_is_not_written() -> None:
    assert write_quantity(3657.5, "length", False, mark("taped", "12'")).raw == "3657.5 mm taped"


def test_text_typed_without_its_unit_is_not_written() -> None:
    assert write_quantity(304.8, "length", False, mark("taped", "12")).raw == "304.8 mm taped"


def test_zero_that_nobody_typed_is_the_bare_number() -> None:
    assert write_quantity(-0.0, "length", True, None).raw == 0


def test_guessed_zero_keeps_its_tag() -> None:
    assert write_quantity(0.0, "angle", True, mark("guess")).raw == "~0.0 rad"


@pytest.mark.parametrize("by", ["owner, by phone", "by phone", "two  blanks"])
def test_a_source_that_no_tag_can_hold_is_left_over(by: str) -> None:
    written = write_quantity(3657.6, "length", False, mark("told", "12'", by))

    assert written == ("12'", mark("told", by=by))


@given(
    st.sampled_from(QUANTITIES),
    st.floats(0, 1),
    st.sampled_from([None, *BASES]),
    st.text(max_size=8),
    st.text(max_size=8),
)
def test_what_is_written_is_read_back(
    quantity: Quantity, number: float, basis: Basis | None, text: str, by: str
) -> None:
    written = write_quantity(number, quantity, False, mark(basis, text, by))

    read = read_quantity(str(written.raw), quantity, signed=False) if written.raw else Typed(0.0, "", None, "")

    assert read.value == number
    assert (written.left_over or mark(read.basis, by=read.by)) == mark(basis, by=by)


@pytest.mark.parametrize(
    ("number", "quantity", "words"),
    [
        (2, "length", '"2 in" or "51 mm"'),
        (90, "angle", '"90 deg"'),
        (420, "weight", '"420 lb" or "191 kg"'),
        (0.5, "grade", '"0.5%" or "0.5 deg"'),
    ],
)
def test_a_number_without_unit_is_offered_with_one(number: float, quantity: Quantity, words: str) -> None:
    assert with_unit(number, quantity) == words
