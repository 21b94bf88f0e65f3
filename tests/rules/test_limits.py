from typing import Any

import pytest

from siteplan.errors import PackError
from siteplan.model.project import LocalLimit
from siteplan.rules.all_rules import RULES
from siteplan.rules.limits import pack_names, shipped_pack, to_limit, with_changes

ROW: dict[str, Any] = {
    "value": 16,
    "unit": "in",
    "about": "a gap",
    "title": "a standard",
    "edition": "2020",
    "clause": "1",
    "basis": "read",
    "on_breach": "Guard",
}


@pytest.mark.parametrize("name", pack_names())
def test_every_row_names_its_source_and_edition(name: str) -> None:
    blank = [limit.row for limit in shipped_pack(name).limits if not (limit.title and limit.edition and limit.clause)]
    assert blank == []


def test_every_row_is_used_by_a_rule() -> None:
    used = {row for rule in RULES.values() for row in rule.rows}
    assert {limit.row for limit in shipped_pack("us").limits} == used


@pytest.mark.parametrize(
    ("row", "mm"),
    [
        ("OPEN_LEAF_GAP", 406.4),  # ASTM F2200-20, 7.1.1.2: 16 in (406 mm)
        ("UNDER_LEAF_ZONE_LOW", 101.6),  # UL 325 2018, zone (a): 4 in (101.6 mm)
        ("UNDER_LEAF_ZONE_HIGH", 406.4),  # UL 325 2018, zone (a): 16 in (406.4 mm)
        ("CONTROL_DISTANCE", 1828.8),  # UL 325 installation text: 6 ft (1.8288 m)
        ("FIRE_WIDTH", 6096.0),  # IFC 503.2.1: 20 ft (6096 mm)
        ("FIRE_HEIGHT", 4114.8),  # IFC 503.2.1: 13 ft 6 in (4115 mm)
    ],
)
def test_published_limits(row: str, mm: float) -> None:
    assert shipped_pack("us")[row].value == pytest.approx(mm, abs=1e-9)


def test_inches_become_millimetres() -> None:
    assert to_limit("GAP", ROW).value == pytest.approx(406.4)


@pytest.mark.parametrize("fault", [{"unit": "furlong"}, {"basis": "hearsay"}, {"value": "wide"}, {"clouse": "1"}])
def test_wrong_row_is_refused_by_name(fault: dict[str, Any]) -> None:
    with pytest.raises(PackError, match="GAP"):
        to_limit("GAP", {**ROW, **fault})


def test_local_limit_takes_over_with_its_reason() -> None:
    change = LocalLimit(row="OPEN_LEAF_GAP", value_mm=304.8, reason="letter of 2031-01-05", by="sample town")
    limit = with_changes(shipped_pack("us"), (change,))["OPEN_LEAF_GAP"]

    assert (limit.value, limit.changed) == (304.8, "letter of 2031-01-05, sample town")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (LocalLimit(row="LINK_SQUARE", value_mm=5.0, reason="letter"), "takes angle, and not value"),
        (LocalLimit(row="LEAST_RATIO", angle_rad=0.1, reason="letter"), "takes ratio, and not angle"),
        (LocalLimit(row="OPEN_LEAF_GAP", ratio=1.0, reason="letter"), "takes value, and not ratio"),
        (LocalLimit(row="LEAST_RATIO", margin_mm=1.0, reason="letter"), "takes ratio, and not margin"),
    ],
)
def test_local_limit_of_another_unit_is_refused(change: LocalLimit, said: str) -> None:
    with pytest.raises(PackError, match=said):
        with_changes(shipped_pack("us"), (change,))


def test_local_limit_of_unknown_row_names_the_rows_there_are() -> None:
    with pytest.raises(PackError, match=r"'OPEN_GAP' is not a row .* OPEN_LEAF_GAP"):
        with_changes(shipped_pack("us"), (LocalLimit(row="OPEN_GAP", value_mm=1.0, reason="letter"),))


def test_pack_whose_low_is_above_its_high_is_refused() -> None:
    with pytest.raises(PackError, match="must be below"):
        with_changes(shipped_pack("us"), (LocalLimit(row="UNDER_LEAF_ZONE_LOW", value_mm=500.0, reason="letter"),))


def test_unknown_pack_names_those_there_are() -> None:
    with pytest.raises(PackError, match="'mars'; there are us, us-demo"):
        shipped_pack("mars")
