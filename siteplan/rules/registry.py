"""The register of rules: code, title, the rows of limits they compare with."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from siteplan.errors import PackError
from siteplan.model.document import Document
from siteplan.model.project import Severity
from siteplan.rules.findings import Finding, Reason
from siteplan.rules.limits import Limit, LimitUnit, Pack

SAME_MM = 1e-3  # measured and limit nearer than this are equal: the figure of the reference is 1e-6 m
SAME: dict[LimitUnit, float] = {"mm": SAME_MM, "rad": 1e-6, "ratio": 1e-6, "count": 1e-6}


class Site(NamedTuple):
    """What a rule may look at: the site and the pack it is judged against."""

    document: Document
    pack: Pack


Check = Callable[[Site], Iterator[Finding]]


class Rule(NamedTuple):
    """One rule; its docstring is its page in the manual."""

    code: str
    title: str
    rows: tuple[str, ...]
    source: str  # where a rule without a row of limits comes from, and how well we know it
    check: Check

    @property
    def page(self) -> str:
        """The rule's page."""
        return self.check.__doc__ or ""


RULES: dict[str, Rule] = {}


def rule(
    code: str, title: str, rows: tuple[str, ...] = (), source: str = "siteplan · own rule"
) -> Callable[[Check], Check]:
    """Register a rule under a code of its own."""

    def register(check: Check) -> Check:
        if code in RULES:
            raise PackError(f"Rule {code} is registered twice: {RULES[code].title!r} and {title!r}.")
        RULES[code] = Rule(code, title, rows, source, check)
        return check

    return register


class Verdict(NamedTuple):
    """What comes of comparing a number with a limit."""

    severity: Severity
    reason: Reason


def at_least(measured: float, limit: Limit) -> Verdict:
    """Judge a number that must not be below its limit; equal passes."""
    return _judge(measured - limit.value, limit)


def at_most(measured: float, limit: Limit) -> Verdict:
    """Judge a number that must not be above its limit; equal passes."""
    return _judge(limit.value - measured, limit)


def _judge(spare: float, limit: Limit) -> Verdict:
    same = SAME[limit.unit]
    if spare < -same:
        return Verdict(limit.on_breach, "breach")
    if spare < limit.margin_mm - same:
        return Verdict("Tight", "near")
    return Verdict("Note", "pass")
