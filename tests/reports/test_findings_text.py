from pathlib import Path

import pytest
from msgspec.structs import replace

from siteplan.reports.findings_text import line_of, words_of
from siteplan.rules.all_rules import RULES, check_site
from siteplan.rules.findings import Finding
from siteplan.tables import RESOURCES, read_table
from tests.demo import NAMES, ROOT, demo_site, finding

NEVER_USED = ("complies", "compliant", "certified", "approved", "illegal", "user error", "invalid", " safe ", "safe.")
TEXTS = [
    *RESOURCES.rglob("*.toml"),
    *(ROOT / "siteplan" / "windows").glob("*.py"),
    *(ROOT / "siteplan" / "canvas").glob("*.py"),
    *(ROOT / "siteplan" / "commands").glob("*.py"),
    ROOT / "README.md",
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("units", ["ftin", "m"])
def test_every_finding_of_the_demo_sites_has_words(name: str, units: str) -> None:
    site = demo_site(name)
    site = replace(site, project=replace(site.project, units=units))
    unfilled = [words for each in check_site(site) if "{" in (words := line_of(each, site))]
    assert unfilled == []


@pytest.mark.parametrize("code", RULES)
def test_every_rule_has_sentences(code: str) -> None:
    assert read_table("texts/findings")[code]


@pytest.mark.parametrize("path", TEXTS, ids=[str(path.relative_to(ROOT)) for path in TEXTS])
def test_words_never_used_are_not_used(path: Path) -> None:
    text = path.read_text(encoding="utf-8").lower()
    assert [word for word in NEVER_USED if word in text] == []


def test_measured_number_is_not_rounded_across_its_limit() -> None:
    site = demo_site("courtyard-pair")
    gap = replace(finding(site, "U-04", "B", "W"), measured=15.9999 * 25.4)
    assert "is 15.9999 in from" in words_of(gap, site).headline


def test_penetration_of_two_hundredths_is_not_printed_as_nothing() -> None:
    site = demo_site("hill-drive")
    struck = replace(finding(site, "M-02", "A"), lengths=(("deepest", 0.02 * 25.4),))
    assert words_of(struck, site).detail.startswith("0.02 in under ground")


def test_metric_job_reads_in_metres() -> None:
    site = demo_site("courtyard-pair")
    metric = replace(site, project=replace(site.project, units="m"))
    assert words_of(finding(metric, "U-04", "B", "W"), metric).headline == "Open leaf B is 0.279 m from wall W"


def test_source_and_basis_stand_in_the_rule_line() -> None:
    site = demo_site("courtyard-pair")
    line = words_of(finding(site, "U-04", "B", "W"), site).rule_line
    assert ("F2200 7.1.1.2" in line, "read" in line, "without margin" in line) == (True, True, True)


def test_page_tells_why_how_and_the_cure() -> None:
    site = demo_site("courtyard-pair")
    page = words_of(finding(site, "U-04", "B", "W"), site).page
    assert [head for head in ("Why it matters", "How it is measured", "How to cure it") if head not in page] == []


def test_finding_key_does_not_change_with_its_numbers() -> None:
    first = Finding(code="U-04", severity="Guard", reason="breach", subjects=("B", "W"), measured=279.4)
    assert first.key == replace(first, measured=280.0).key
