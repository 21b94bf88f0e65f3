import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.canvas.furniture import scale_bar


@pytest.mark.parametrize(
    ("longest_mm", "units", "texts"),
    [
        (3100.0, "ftin", ("0'", "2'-6\"", "5'", "7'-6\"", "10'")),
        (1300.0, "ftin", ("0'", "1'", "2'", "3'", "4'")),
        (2100.0, "m", ("0 m", "0.5 m", "1 m", "1.5 m", "2 m")),
        (11000.0, "mm", ("0 m", "2.5 m", "5 m", "7.5 m", "10 m")),
    ],
)
def test_bar_has_round_lengths_in_the_units_of_the_job(longest_mm: float, units: str, texts: tuple[str, ...]) -> None:
    assert scale_bar(longest_mm, units).texts == texts  # type: ignore[arg-type]  # one of the units


@given(st.floats(10.0, 1e6))
def test_bar_is_no_longer_than_asked_and_not_much_shorter(longest_mm: float) -> None:
    length = scale_bar(longest_mm, "ftin").length_mm

    assert longest_mm / 2.6 <= length <= longest_mm
