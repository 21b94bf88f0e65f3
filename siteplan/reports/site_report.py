"""Everything a site's sheets say, as plain data: numbers with unit, record and basis, and the findings."""

from math import degrees
from typing import Any

from siteplan import __version__
from siteplan.analysis.boundaries import control_reaches
from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.leaf_places import swept_areas
from siteplan.analysis.measures import measures
from siteplan.analysis.openings import pair_fits
from siteplan.model.document import Document, find_record
from siteplan.model.edits import basis_of, weakest_basis
from siteplan.model.fields import number_fields
from siteplan.model.marks import Basis
from siteplan.model.parts import Part, key_of, parts_of
from siteplan.model.quantities import Quantity
from siteplan.reports.findings_text import line_of, words_of
from siteplan.reports.lengths import length_text
from siteplan.rules.all_rules import check_site
from siteplan.rules.findings import Finding
from siteplan.rules.limits import pack_of

UNITS: dict[Quantity, str] = {
    "length": "mm",
    "angle": "deg",
    "grade": "rise/run",
    "weight": "kg",
    "torque": "N·m",
    "time": "s",
    "turning speed": "rad/s",
    "wind speed": "m/s",
    "pressure": "Pa",
    "share": "",
}
Row = dict[str, Any]


def site_report(document: Document) -> Row:
    """Return the whole report; every number stands with its unit, the record it belongs to and its basis."""
    pack = pack_of(document)
    return {
        "program": f"siteplan {__version__}",
        "site": document.project.title,
        "issue_date": document.project.issue_date,
        "pack": {"name": pack.name, "label": pack.label, "editions": dict(pack.editions)},
        "given": [row for part in parts_of(document) for row in _given(document, part)],
        "results": [*_leaf_results(document), *_plan_results(document)],
        "findings": [finding_row(finding, document) for finding in check_site(document)],
    }


def _given(document: Document, part: Part) -> list[Row]:
    return [
        {
            "of": key_of(part),
            "what": field.label,
            "value": degrees(field.value) if field.quantity == "angle" else field.value,
            "unit": UNITS[field.quantity],
            "basis": basis_of(document, key_of(part), field.path),
        }
        for field in number_fields(part)
        if field.value is not None
    ]


def basis_of_records(document: Document, subjects: tuple[str, ...]) -> Basis:
    """Return the weakest basis of all numbers of some records."""
    records = (record for subject in subjects if (record := find_record(document, subject)) is not None)
    known = (
        (record.id, field.path) for record in records for field in number_fields(record) if field.value is not None
    )
    return weakest_basis(document, known)


def _result(
    document: Document, what: str, subjects: tuple[str, ...], value: float, unit: str, basis: Basis | None = None
) -> Row:
    units = document.project.units
    text = {"mm": length_text(value, units), "deg": f"{value:.2f} deg"}.get(unit, f"{value:g} {unit}")
    basis = basis or basis_of_records(document, subjects)
    return {"what": what, "of": list(subjects), "value": value, "unit": unit, "text": text, "basis": basis}


def _leaf_results(document: Document) -> list[Row]:
    rows = []
    for leaf, contacts in leaf_contacts(document).items():
        rows.append(_result(document, "swept area", (leaf,), swept_areas(document)[leaf].area / 1e6, "m2"))
        rows += [
            _result(document, "first contact", (leaf, touch.thing), degrees(touch.angle_rad), "deg")
            for touch in contacts.touches
        ]
        rows += [_result(document, "least gap", (leaf, near.thing), near.gap_mm, "mm") for near in contacts.passes]
        rows += [
            _result(document, "gap of the open leaf", (leaf, pocket.thing), pocket.gap_mm, "mm")
            for pocket in contacts.pockets
        ]
    for leaf, fit in ground_fits(document).items():
        rows.append(_result(document, "least gap over ground", (leaf,), fit.least.gap_mm, "mm"))
        rows.append(_result(document, "leaf angle of it", (leaf,), degrees(fit.least.angle_rad), "deg"))
        rows.append(_result(document, "greatest gap over ground", (leaf,), fit.greatest.gap_mm, "mm"))
        contact = fit.first_below(0.0)
        if contact is not None:
            rows.append(_result(document, "first contact with ground", (leaf,), degrees(contact), "deg"))
    return rows


def _plan_results(document: Document) -> list[Row]:
    rows = [
        _result(document, each.what, each.subjects, each.mm, "mm", weakest_basis(document, each.fields))
        for each in measures(document)
    ]
    rows += [
        _result(document, "meeting gap", fit.gate.leaves, fit.meeting_gap_mm, "mm")
        for fit in pair_fits(document).values()
    ]
    rows += [
        _result(document, "control to moving leaf", (reach.control.id, reach.leaf), reach.distance_mm, "mm")
        for reach in control_reaches(document)
    ]
    return rows


def finding_row(finding: Finding, document: Document) -> Row:
    """Return one finding as data with its words; lengths in mm, angles in degrees."""
    words = words_of(finding, document)
    in_degrees = finding.unit == "rad" and finding.measured is not None
    return {
        "key": finding.key,
        "code": finding.code,
        "severity": finding.severity,
        "reason": finding.reason,
        "subjects": list(finding.subjects),
        "measured": degrees(finding.measured or 0.0) if in_degrees else finding.measured,
        "limit": finding.limit,
        "unit": "deg" if finding.unit == "rad" else finding.unit,
        "angle_deg": None if finding.angle_rad is None else degrees(finding.angle_rad),
        "witness_mm": [list(place) for place in finding.witness],
        "further_mm": dict(finding.lengths),
        "further_deg": {name: degrees(rad) for name, rad in finding.angles},
        "words": dict(finding.words),
        "basis": basis_of_records(document, finding.subjects),
        "headline": words.headline,
        "detail": words.detail,
        "rule": words.rule_line,
        "line": line_of(finding, document),
    }
