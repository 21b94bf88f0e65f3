from math import inf, isclose, nan, pi, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.angles import read_angle, write_angle
from siteplan.units.writing import plain_decimal


@pytest.mark.parametrize("text", ["90 deg", "90°", "90d", "+90 degrees", "90.0DEG", " 90  deg "])
def test_degrees_are_read_as_radians(text: str) -> None:
    assert read_angle(text) == pi / 2


@pytest.mark.parametrize(
    ("text", "rad"), [("1.5708 rad", 1.5708), ("-1 rad", -1), ("-45 deg", -pi / 4), ("−.5 rad", -0.5)]
)
def test_signed_angle_is_read(text: str, rad: float) -> None:
    assert read_angle(text) == rad


@pytest.mark.parametrize(
    ("text", "reason", "offers"),
    [
        ("90", "does not say its unit", ("90 deg", "90 rad")),
        ("-90", "does not say its unit", ("-90 deg", "-90 rad")),
        ("1,5 deg", "comma", ("1.5 deg",)),
        ("1,500 deg", "comma", ("1500 deg", "1.500 deg")),
        ("45d30'", "write it like 90 deg", ()),
        ("45 grad", "has the unit grad", ()),
        ("1.2.3 deg", "number that is not read", ()),
        ("9" * 390 + " deg", "larger than any number", ()),
        ("9" * 401, "too long", ()),
        ("1e3 deg", "write the number in full", ()),
        ("", "Nothing is typed", ()),
    ],
)
def test_refusal_of_an_angle_names_the_reason_and_offers_readings(
    text: str, reason: str, offers: tuple[str, ...]
) -> None:
    with pytest.raises(EntryError) as refusal:
        read_angle(text)

    assert (reason in str(refusal.value), refusal.value.offers) == (True, offers)


@pytest.mark.parametrize(
    ("degrees", "decimals", "text"),
    [
        (12.5, 1, "12.5 deg"),
        (12.25, 1, "12.3 deg"),
        (-12.25, 1, "-12.3 deg"),
        (-0.01, 1, "0.0 deg"),
        (89.6, 0, "90 deg"),
    ],
)
def test_angle_is_written_in_degrees(degrees: float, decimals: int, text: str) -> None:
    assert write_angle(radians(degrees), decimals) == text


@pytest.mark.parametrize("value", [inf, -inf, nan])
def test_infinite_angle_is_not_written(value: float) -> None:
    with pytest.raises(EntryError, match="finite"):
        write_angle(value)


@given(st.floats(-10, 10), st.integers(0, 6))
def test_written_angle_is_read_back_within_half_a_step(rad: float, decimals: int) -> None:
    assert isclose(read_angle(write_angle(rad, decimals)), rad, abs_tol=radians(0.51 / 10**decimals))


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_plain_radians_are_read_back_as_the_same_number(rad: float) -> None:
    assert read_angle(f"{plain_decimal(rad)} rad") == rad


def angle_or_refusal(text: str) -> float | EntryError:
    """Return what comes of a text."""
    try:
        return read_angle(text)
    except EntryError as refusal:
        return refusal


@given(st.text(max_size=60))
def test_any_text_is_an_angle_or_refused(text: str) -> None:
    assert isinstance(angle_or_refusal(text), float | EntryError)
