"""Runs the cases of rules kept as data, and sees to it that every rule with a limit has them."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from demo import demo_site
from msgspec.structs import replace

from siteplan.model.document import Document, find_record
from siteplan.model.edits import mirrored, removed, with_number_typed, with_record
from siteplan.model.site import Round
from siteplan.rules.all_rules import RULES, check_site
from siteplan.rules.findings import Finding
from siteplan.storage.file_values import to_record
from siteplan.units.reading import read_length

CASES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent.parent / "cases" / "rules.toml").read_text(encoding="utf-8")
)["case"]


def document_of(case: dict[str, Any]) -> Document:
    document = demo_site(case["site"])
    for change in case.get("set", ()):
        document = with_number_typed(document, change["id"], change["path"], read_length(change["to"]).mm, "taped")
    for blank in case.get("blank", ()):
        record = find_record(document, blank["id"])
        assert record is not None
        document = with_record(document, replace(record, **{blank["field"]: None}))
    if "add" in case:
        document = replace(document, obstacles=(*document.obstacles, to_record(Round, case["add"])))
    return removed(document, case.get("drop", ()))


def findings_about(case: dict[str, Any], document: Document) -> list[Finding]:
    wanted = set(case.get("case", {}).items())
    return [
        each
        for each in check_site(document)
        if each.code == case["rule"] and set(case["about"]) <= set(each.subjects) and wanted <= set(each.words)
    ]


@pytest.mark.parametrize("case", CASES, ids=[f"{case['rule']} {case['name']}" for case in CASES])
def test_rule_says_what_the_case_says(case: dict[str, Any]) -> None:
    found = [(each.severity, each.reason) for each in findings_about(case, document_of(case))]
    assert found == [(case["severity"], case["reason"])]


@pytest.mark.parametrize("case", CASES, ids=[f"{case['rule']} {case['name']}" for case in CASES])
def test_mirrored_case_says_the_same(case: dict[str, Any]) -> None:
    found = findings_about(case, mirrored(document_of(case)))
    assert [(each.severity, each.reason) for each in found] == [(case["severity"], case["reason"])]


@pytest.mark.parametrize("reasons", [{"breach"}, {"pass", "near", "n/a"}])
@pytest.mark.parametrize("code", [code for code, rule in RULES.items() if rule.rows and code != "U-01"])
def test_every_rule_with_a_limit_has_failing_and_passing_cases(code: str, reasons: set[str]) -> None:
    assert [case for case in CASES if case["rule"] == code and case["reason"] in reasons]


@pytest.mark.parametrize("code", [code for code, rule in RULES.items() if rule.rows and code not in ("U-01", "C-40")])
def test_every_rule_with_a_limit_has_a_case_on_the_limit(code: str) -> None:
    assert [case for case in CASES if case["rule"] == code and case.get("on")]


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES.keys())
@pytest.mark.parametrize("heading", ["Why it matters:", "How it is measured:", "How to cure it:"])
def test_every_rule_has_its_page(rule: Any, heading: str) -> None:
    assert heading in rule.page
