"""The dimensions of a plan: lengths measured between places, and gaps that findings speak of."""

from math import isclose, pi

from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.analysis.measures import Measure, measures
from siteplan.drawing.pens import Pen
from siteplan.drawing.plan_notes import BASIS_SIGNS
from siteplan.drawing.primitives import Dimension
from siteplan.geometry.points import direction_between, distance_between, point_at
from siteplan.model.document import Document
from siteplan.model.edits import weakest_basis
from siteplan.model.marks import Basis
from siteplan.model.project import Units
from siteplan.reports.findings_text import measured_and_limit
from siteplan.rules.findings import Finding
from siteplan.units.writing import LengthStyle, write_length

FIRST_ROW_MM, ROW_MM = 14.0, 9.0  # paper, from the measured places outward
LINE_ROW_MM = 12.0  # paper, first row of the distances to lines
DIMENSIONED_FINDINGS = ("U-04", "U-14")
ANGLE_RADIUS_MM = 14.0  # paper
WEAK_BASES: tuple[Basis, ...] = ("guess", "told")


def dimension_style(units: Units) -> LengthStyle:
    """Return how dimensions of a plan are written: fractions of 1/8 in, or whole mm."""
    return LengthStyle(units)


def measure_dimension(measure: Measure, units: Units, basis: Basis = "taped") -> Dimension:
    """Return the dimension of one measured length, with the sign of its basis beside the number."""
    first_row = LINE_ROW_MM if measure.what.startswith("gate line") else FIRST_ROW_MM
    before, after = BASIS_SIGNS[basis]
    return Dimension(
        kind="linear",
        first=measure.first,
        second=measure.second,
        number=f"{before}{write_length(measure.mm, dimension_style(units))}{after}",
        note=measure.word.upper(),
        direction_rad=measure.direction_rad,
        offset_mm=measure.side * (first_row + ROW_MM * measure.row),
        source=measure.subjects[0],
    )


def _based_dimension(measure: Measure, document: Document) -> Dimension:
    """Return a dimension that says when a number it rests on is guessed or told."""
    basis = weakest_basis(document, measure.fields)
    return measure_dimension(measure, document.project.units, basis if basis in WEAK_BASES else "taped")


def finding_dimension(finding: Finding, units: Units) -> Dimension | None:
    """Return the dimension of the gap a finding speaks of, with the number as it stands in its words."""
    if finding.code not in DIMENSIONED_FINDINGS or len(finding.witness) != 2 or not finding.measured:
        return None
    first, second = finding.witness
    if distance_between(first, second) == 0:
        return None
    return Dimension(
        kind="linear",
        first=first,
        second=second,
        number=measured_and_limit(finding, units)[0],
        direction_rad=direction_between(first, second),
        source=finding.key,
    )


def angle_dimensions(document: Document) -> tuple[Dimension, ...]:
    """Return the open angle of every leaf that does not open to square."""
    return tuple(
        _angle_dimension(place)
        for place in leaf_places(document).values()
        if not isclose(place.travel_rad, pi / 2, abs_tol=1e-6)
    )


def _angle_dimension(place: LeafPlace) -> Dimension:
    ends = [
        point_at(place.frame.origin, place.reach_mm, place.frame.angle_to_world(at)) for at in (0.0, place.travel_rad)
    ]
    first, second = ends if place.frame.side > 0 else ends[::-1]
    return Dimension(
        kind="angle",
        first=first,
        second=second,
        centre=place.frame.origin,
        number=f"{place.travel_rad * 180 / pi:g}°",
        offset_mm=ANGLE_RADIUS_MM,
        pen=Pen.DIMENSION,
        source=place.leaf.id,
    )


def gate_dimensions(document: Document, findings: tuple[Finding, ...]) -> tuple[Dimension, ...]:
    """Return the dimensions of the gate plan."""
    units = document.project.units
    lengths = (_based_dimension(each, document) for each in measures(document) if not each.what.startswith("gate line"))
    gaps = (finding_dimension(finding, units) for finding in findings)
    return (*lengths, *(gap for gap in gaps if gap is not None), *angle_dimensions(document))


def site_dimensions(document: Document) -> tuple[Dimension, ...]:
    """Return the dimensions of the site plan: the clear opening, and the distances to the lines around."""
    shown = (each for each in measures(document) if each.what == "clear opening" or each.what.startswith("gate line"))
    return tuple(
        _based_dimension(each._replace(row=0) if each.what == "clear opening" else each, document) for each in shown
    )
