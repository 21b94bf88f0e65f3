import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.model.document import Document
from siteplan.model.fields import NumberField
from siteplan.model.parts import find_part
from siteplan.windows.value_rows import all_keys, number_text, part_name, read_count, read_entry, rows_of
from tests.demo import NAMES, demo_site

LENGTH = NumberField("length_mm", "length", "length", False, 1000.0)
ANGLE = NumberField("skew_rad", "skew", "angle", True, 0.1)


@pytest.fixture
def site() -> Document:
    return demo_site("courtyard-pair")


@pytest.mark.parametrize("name", NAMES)
def test_everything_on_a_site_has_rows(name: str) -> None:
    document = demo_site(name)

    assert [key for key in all_keys(document) if not rows_of(document, key)] == []


def test_nothing_has_no_rows(site: Document) -> None:
    assert rows_of(site, "nothing") == ()


@pytest.mark.parametrize(("key", "name"), [("project", "job"), ("datum", "datum"), ("A", "leaf A"), ("W", "wall W")])
def test_parts_are_called_by_their_trade_names(site: Document, key: str, name: str) -> None:
    part = find_part(site, key)

    assert part is not None
    assert part_name(part) == name


@given(st.floats(1.0, 20000.0))
def test_shown_length_is_within_a_thirty_second_of_an_inch(mm: float) -> None:
    field = LENGTH._replace(value=mm)

    assert read_entry(number_text(field, "ftin"), field._replace(path="any"), "ftin").value == pytest.approx(
        mm, abs=0.8
    )


@pytest.mark.parametrize(
    ("units", "text"),
    [("ftin", "14'-1\""), ("ftdec", "14.0833'"), ("in", "169.00 in"), ("m", "4.2926 m"), ("mm", "4292.6 mm")],
)
def test_length_is_written_finely_enough_to_be_read_back(units: str, text: str) -> None:
    assert number_text(LENGTH._replace(value=169 * 25.4), units) == text  # type: ignore[arg-type]  # one of the units


def test_odd_angle_shows_more_decimals() -> None:
    assert number_text(ANGLE._replace(value=0.1), "ftin") == "5.7296 deg"


def test_unknown_number_is_shown_as_nothing() -> None:
    assert number_text(LENGTH._replace(value=None), "ftin") == ""


def test_told_length_keeps_who_told_it() -> None:
    entry = read_entry("12' told owner", LENGTH, "ftin")

    assert (entry.text, entry.basis, entry.by) == ("12'", "told", "owner")


@pytest.mark.parametrize(("text", "count"), [("12", 12), ("  7 ", 7), ("", None)])
def test_whole_numbers_are_read(text: str, count: int | None) -> None:
    assert read_count(text, "dwellings") == count


@pytest.mark.parametrize("text", ["-1", "1.5", "two", "١٢"])
def test_other_texts_are_no_whole_numbers(text: str) -> None:
    with pytest.raises(EntryError, match="Dwellings"):
        read_count(text, "dwellings")
