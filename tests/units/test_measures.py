from math import inf, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.field_rule import JobKind
from siteplan.units.measures import MeasureKind, read_measure, write_measure


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
    assert read_measure(text, "weight") == kg


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
        read_measure(text, "weight")

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
    assert write_measure(kg, "weight", job) == text


def test_infinite_weight_is_not_written() -> None:
    with pytest.raises(EntryError, match="finite"):
        write_measure(inf, "weight", "m")


@given(st.integers(10, 100_000), st.sampled_from(["lb", "kg"]))
def test_whole_weight_is_written_as_it_was_read(number: int, unit: str) -> None:
    assert (
        write_measure(read_measure(f"{number} {unit}", "weight"), "weight", "m" if unit == "kg" else "ftin")
        == f"{number} {unit}"
    )


@given(st.floats(0, 1e5))
def test_written_weight_is_read_back_within_half_a_step(kg: float) -> None:
    assert isclose(read_measure(write_measure(kg, "weight", "m"), "weight"), kg, abs_tol=0.5001)


def weight_or_refusal(text: str) -> float | EntryError:
    """Return what comes of a text."""
    try:
        return read_measure(text, "weight")
    except EntryError as refusal:
        return refusal


@given(st.text(max_size=60))
def test_any_text_is_a_weight_or_refused(text: str) -> None:
    assert isinstance(weight_or_refusal(text), float | EntryError)


# 1 lbf is 4.4482216152605 N, 1 lbf.ft 1.3558179483314 N.m, 1 psi 6894.757293168 Pa (NIST SP 811, appendix B)
@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("280 lbf-ft", "torque", 379.629025532792),
        ("280 lbf·ft", "torque", 379.629025532792),
        ("380 N·m", "torque", 380.0),
        ("380 Nm", "torque", 380.0),
        ("1.5 s", "time", 1.5),
        ("2 min", "time", 120.0),
        ("10 deg/s", "turning speed", 0.17453292519943295),
        ("115 mph", "wind speed", 51.4096),
        ("3000 psi", "pressure", 20684271.879504),
        ("20 MPa", "pressure", 20e6),
        ("25.56%", "share", 0.2556),
    ],
)
def test_measure_is_read_in_the_unit_used_inside(text: str, kind: MeasureKind, value: float) -> None:
    assert isclose(read_measure(text, kind), value, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "reason"),
    [
        ("280", "torque", "does not say its unit; write 280 lbf·ft or 280 N·m"),
        ("280 lb", "torque", "has the unit lb; write it like 280 lbf-ft"),
        ("fast", "turning speed", "write it like 10 deg/s"),
        ("12 knots", "wind speed", "has the unit knots"),
    ],
)
def test_refusal_of_a_measure_says_what_is_read(text: str, kind: MeasureKind, reason: str) -> None:
    with pytest.raises(EntryError) as refusal:
        read_measure(text, kind)

    assert reason in str(refusal.value)


@pytest.mark.parametrize(
    ("value", "kind", "job", "text"),
    [
        (379.629025532792, "torque", "ftin", "280 lbf·ft"),
        (379.629025532792, "torque", "m", "380 N·m"),
        (0.17453292519943295, "turning speed", "ftin", "10 deg/s"),
        (51.4096, "wind speed", "ftin", "115 mph"),
        (0.2556, "share", "ftin", "26 %"),
    ],
)
def test_measure_is_written_in_the_unit_of_the_job(value: float, kind: MeasureKind, job: JobKind, text: str) -> None:
    assert write_measure(value, kind, job) == text
