from math import inf, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.field_rule import JobKind
from siteplan.units.weights import read_weight, write_weight


# one pound is 0.45359237 kg exactly (international yard and pound agreement of 1959)
@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("420 lb", 190.5087954),
        ("420 lbs", 190.5087954),
        ("1LB", 0.45359237),
        ("191 kg", 191.0),
        ("0.5 kg", 0.5),
        ("0 kg", 0),
    ],
)
def test_weight_is_read_in_kg(text: str, kg: float) -> None:
    assert read_weight(text) == kg


@pytest.mark.parametrize(
    ("text", "reason", "offers"),
    [
        ("420", "does not say its unit", ("420 lb", "420 kg")),
        ("1,250 lb", "comma", ("1250 lb", "1.250 lb")),
        ("190,5 kg", "comma", ("190.5 kg",)),
        ("-5 kg", "cannot be negative", ()),
        ("-1,250 lb", "cannot be negative", ()),
        ("5 stone", "has the unit stone", ()),
        ("heavy", "write it like 420 lb", ()),
        ("", "Nothing is typed", ()),
    ],
)
def test_refusal_of_a_weight_names_the_reason_and_offers_readings(
    text: str, reason: str, offers: tuple[str, ...]
) -> None:
    with pytest.raises(EntryError) as refusal:
        read_weight(text)

    assert (reason in str(refusal.value), refusal.value.offers) == (True, offers)


@pytest.mark.parametrize(
    ("kg", "job", "text"),
    [
        (190.5087954, "ftin", "420 lb"),
        (190.5087954, "ftdec", "420 lb"),
        (190.5087954, "in", "420 lb"),
        (190.5087954, "m", "191 kg"),
        (190.5087954, "mm", "191 kg"),
        (2, "ftin", "4.4 lb"),
        (9.96, "m", "10 kg"),
        (9.94, "m", "9.9 kg"),
        (0, "m", "0.0 kg"),
    ],
)
def test_weight_is_written_in_the_unit_of_the_job(kg: float, job: JobKind, text: str) -> None:
    assert write_weight(kg, job) == text


def test_infinite_weight_is_not_written() -> None:
    with pytest.raises(EntryError, match="finite"):
        write_weight(inf, "m")


@given(st.integers(10, 100_000), st.sampled_from(["lb", "kg"]))
def test_whole_weight_is_written_as_it_was_read(number: int, unit: str) -> None:
    assert write_weight(read_weight(f"{number} {unit}"), "m" if unit == "kg" else "ftin") == f"{number} {unit}"


@given(st.floats(0, 1e5))
def test_written_weight_is_read_back_within_half_a_step(kg: float) -> None:
    assert isclose(read_weight(write_weight(kg, "m")), kg, abs_tol=0.5001)


def weight_or_refusal(text: str) -> float | EntryError:
    """Return what comes of a text."""
    try:
        return read_weight(text)
    except EntryError as refusal:
        return refusal


@given(st.text(max_size=60))
def test_any_text_is_a_weight_or_refused(text: str) -> None:
    assert isinstance(weight_or_refusal(text), float | EntryError)
