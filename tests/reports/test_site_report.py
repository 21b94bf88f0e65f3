"""The report carries every number that the sheets print."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from siteplan.drawing.primitives import Dimension, Label, SheetSet
from siteplan.drawing.sheets import make_sheets
from siteplan.reports.site_report import basis_of_records, site_report
from siteplan.units.measures import write_measure
from siteplan.units.writing import LengthStyle, write_length
from tests.demo import NAMES, changed, demo_site

LENGTH = re.compile(r"\d+'-\d+(?: \d+/\d+)?\"|\d+(?: \d+/\d+)?\"|\d+ LB")
STYLES = (LengthStyle("ftin", 8), LengthStyle("ftin", 16), LengthStyle("in", decimals=1))


def printed_in_views(sheets: SheetSet) -> Iterator[str]:
    for sheet in sheets.sheets:
        for view in sheet.views:
            for item in (*view.model, *view.notes):
                if isinstance(item, Label | Dimension):
                    yield from LENGTH.findall(item.text if isinstance(item, Label) else item.number)


def texts_of(report: dict[str, Any]) -> set[str]:
    rows = [*report["given"], *report["results"]]
    values = [row["value"] for row in rows if row["unit"] == "mm"]
    values += [row["measured"] for row in report["findings"] if row["unit"] == "mm" and row["measured"] is not None]
    weights = {write_measure(row["value"], "weight", "ftin").upper() for row in rows if row["unit"] == "kg"}
    return weights | {write_length(abs(value), style) for value in values for style in STYLES}


@pytest.mark.parametrize("name", NAMES)
def test_every_number_on_the_plans_is_in_the_report(name: str) -> None:
    site = demo_site(name)
    known = texts_of(site_report(site))
    assert [text for text in printed_in_views(make_sheets(site)) if text not in known] == []


@pytest.mark.parametrize("name", NAMES)
def test_report_is_plain_data_with_units(name: str) -> None:
    report = site_report(demo_site(name))
    assert {row["unit"] for row in (*report["given"], *report["results"])} <= {
        "mm",
        "deg",
        "kg",
        "rise/run",
        "m2",
        "N·m",
        "s",
    }


def test_result_is_as_weak_as_its_weakest_number() -> None:
    site = demo_site("courtyard-pair")
    assert (basis_of_records(site, ("W",)), basis_of_records(site, ("W", "A"))) == ("taped", "guess")


def test_basis_changes_nothing_that_is_measured() -> None:
    site = demo_site("courtyard-pair")
    other = changed(site, "A", note="measured again")
    assert [row["value"] for row in site_report(other)["results"]] == [
        row["value"] for row in site_report(site)["results"]
    ]
