"""Runs the cases of rules kept as data, and sees to it that every rule with a limit has them."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from siteplan.model.document import Document
from siteplan.model.edits import mirrored, removed
from siteplan.rules.all_rules import RULES, check_site
from siteplan.rules.findings import Finding
from siteplan.storage.site_file import load_site
from tests.demo import path_of

CASES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent.parent / "cases" / "rules.toml").read_text(encoding="utf-8")
)["case"]


def document_of(case: dict[str, Any]) -> Document:
    """The demo file of a case with its changes made in the text of the file."""
    file = json.loads(path_of(case["site"]).read_text(encoding="utf-8"))
    records = {
        record["id"]: record for records in file["site"].values() if isinstance(records, list) for record in records
    }
    for change in case.get("set", ()):
        *places, last = change["path"].split(".")
        target: Any = records[change["id"]]
        for place in places:
            target = target[int(place) if place.isdigit() else place]
        target[int(last) if last.isdigit() else last] = change["to"]
    for blank in case.get("blank", ()):
        del records[blank["id"]][blank["field"]]
    if "add" in case:
        file["site"].setdefault("obstacles", []).append(case["add"])
    if "local" in case:
        file["site"]["local"] = [{**case["local"], "reason": "a case"}]
    return removed(load_site(json.dumps(file).encode()), case.get("drop", ()))


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
