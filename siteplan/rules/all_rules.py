"""All rules at work on a site.  Whoever asks for findings asks here: importing this registers every rule there is."""

from siteplan.analysis.derived import KEPT
from siteplan.model.document import Document
from siteplan.rules import access_rules, arm_rules, ground_rules, hang_rules, input_rules, leaf_rules
from siteplan.rules.findings import Finding, sort_findings
from siteplan.rules.limits import pack_of
from siteplan.rules.registry import RULES, Site

RULE_MODULES = (
    leaf_rules,
    ground_rules,
    access_rules,
    hang_rules,
    arm_rules,
    input_rules,
)  # by hand: no folder is scanned

_known: list[tuple[Document, tuple[Finding, ...]]] = []


def check_site(document: Document) -> tuple[Finding, ...]:
    """Return the findings of all rules, worst first; remembered while the document is the same object."""
    for known, findings in _known:
        if known is document:
            return findings
    site = Site(document, pack_of(document))
    found = sort_findings(tuple(finding for each in RULES.values() for finding in each.check(site)))
    _known[:] = [(document, found), *_known[: KEPT - 1]]
    return found


def troubles(document: Document) -> tuple[Finding, ...]:
    """Return the findings that belong in the trouble list."""
    return tuple(finding for finding in check_site(document) if finding.is_trouble)


__all__ = ["RULES", "RULE_MODULES", "check_site", "troubles"]
