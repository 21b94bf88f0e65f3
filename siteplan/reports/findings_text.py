"""Findings in words: thing, number, limit, where, pack."""

from typing import NamedTuple

from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.project import Units
from siteplan.reports.lengths import angle_text, length_and_limit, length_text
from siteplan.rules.all_rules import RULES
from siteplan.rules.findings import Finding, MeasureUnit
from siteplan.rules.limits import Limit, pack_of
from siteplan.tables import read_table
from siteplan.units.measures import write_measure
from siteplan.units.writing import LengthStyle, write_length


class Words(NamedTuple):
    """One finding in words."""

    headline: str  # thing and number
    detail: str  # limit and where
    rule_line: str  # code, source, how well we know it
    page: str  # why it matters, how it is measured, how to cure it
    witness: str  # the measured places, along and inward from the first hinge axis

    def in_one_line(self, pack: str, code: str) -> str:
        """Return the whole finding as one line."""
        where = f" Witness {self.witness}." if self.witness else ""
        return f"{self.headline}; {self.detail}.{where} [pack {pack}, rule {code}]"


def words_of(finding: Finding, document: Document) -> Words:
    """Return a finding in words, in the units of the job."""
    units = document.project.units
    template = _template(finding)
    values = _values(finding, units)
    return Words(
        _capital(template["headline"].format_map(values)),
        template["detail"].format_map(values),
        _rule_line(finding, document),
        _page(finding),
        _witness(finding.witness, units),
    )


def line_of(finding: Finding, document: Document) -> str:
    """Return a finding as one line with pack and rule."""
    return words_of(finding, document).in_one_line(pack_of(document).label, finding.code)


def _template(finding: Finding) -> dict[str, str]:
    rows = read_table("texts/findings")[finding.code][finding.reason]
    case = dict(finding.words).get("case", "").replace(" ", "_")
    found: dict[str, str] = rows.get(case, rows) if case else rows
    if finding.code == "M-01" and finding.reason == "pass" and len(finding.names) < 2:
        return {**found, "detail": "nothing stands near"}
    return found


def _values(finding: Finding, units: Units) -> dict[str, str]:
    """Return the texts a template may ask for."""
    names = (*finding.names, "", "")
    measured, limit = measured_and_limit(finding, units)
    texts = {
        "first": names[0],
        "second": names[1],
        "subject": finding.subjects[0],
        "measured": measured,
        "limit": limit,
        "angle": "" if finding.angle_rad is None else angle_text(finding.angle_rad),
    }
    texts |= {name.replace(" ", "_"): length_text(mm, units, 0.0) for name, mm in finding.lengths}
    for name, rad in finding.angles:
        key = name.replace(" ", "_")
        texts[f"angle_{key}" if key in texts else key] = angle_text(rad)
    texts |= {name.replace(" ", "_"): word for name, word in finding.words}
    return texts


def measured_and_limit(finding: Finding, units: Units) -> tuple[str, str]:
    """Return the texts of the measured number and of its limit; empty where there is none."""
    value, limit = finding.measured, finding.limit
    if finding.unit == "mm" and value is not None and limit is not None:
        return length_and_limit(value, limit, units)
    return _number(value, finding.unit, units), _number(limit, "mm" if finding.unit == "rad" else finding.unit, units)


def _number(value: float | None, unit: MeasureUnit, units: Units) -> str:
    if value is None:
        return ""
    match unit:
        case "mm":
            return length_text(value, units, 0.0).replace(".0 in", " in")
        case "rad":
            return angle_text(value)
        case "kg":
            return write_measure(value, "weight", units)
        case "N·m":
            return write_measure(value, "torque", units, with_tenth=True)
        case "ratio":
            return f"{value:.2f}"
        case _:
            return f"{value:g}"


def _rule_line(finding: Finding, document: Document) -> str:
    if not finding.row:
        return f"{finding.code} · {RULES[finding.code].source}"
    return f"{finding.code} · {source_of(pack_of(document)[finding.row])}"


def source_of(limit: Limit) -> str:
    """Return where a limit comes from, and how well we know it."""
    changed = f" · here: {limit.changed}" if limit.changed else ""
    return f"{limit.title}, {limit.edition}, {limit.clause} · {limit.basis}{changed}"


def _page(finding: Finding) -> str:
    rule = RULES[finding.code]
    lines = (line.strip() for line in rule.page.splitlines())
    return f"{rule.title}\n" + "\n".join(lines)


def _witness(places: tuple[Point, ...], units: Units) -> str:
    style = LengthStyle("in", decimals=1) if units in ("ftin", "ftdec", "in") else LengthStyle(units)
    return " to ".join(f"({write_length(x, style)}, {write_length(y, style)})" for x, y in places)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
