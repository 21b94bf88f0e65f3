"""Rules on the ground under the leaf: striking it, running too near over it, leaving a gap a person fits into."""

from collections.abc import Iterator

from msgspec.structs import replace

from siteplan.analysis.ground_fit import GapPlace, GroundFit, ground_fits
from siteplan.rules.findings import Finding, leaf_name
from siteplan.rules.registry import SAME_MM, Site, Verdict, at_least, at_most, rule


def _over_ground(code: str, leaf: str, gap: GapPlace) -> Finding:
    """Return a passing finding about the gap between a leaf and the ground."""
    return Finding(
        code=code,
        severity="Note",
        reason="pass",
        subjects=(leaf, "ground"),
        names=(leaf_name(leaf), "ground"),
        measured=gap.gap_mm,
        unit="mm",
        angle_rad=gap.angle_rad,
        witness=(gap.at,),
    )


@rule("M-02", "A moving leaf does not strike the ground", source="plane geometry · derived")
def leaf_clears_ground(site: Site) -> Iterator[Finding]:
    """Report a leaf whose underside meets the ground.

    Why it matters: the leaf stops dead, and the arm goes on pushing.
    How it is measured: gap between the true underside (both faces of the leaf) and the ground over the whole
    travel, in closed form; the report names the angle of first contact and the deepest place.
    How to cure it: raise or rake the leaf, regrade, move the gate to level ground, or swing the other way.
    """
    limit = site.pack["GROUND_CLEARANCE"]
    for leaf, fit in ground_fits(site.document).items():
        angle = fit.first_below(0.0)
        if angle is None:
            yield _over_ground("M-02", leaf, fit.least)
        else:
            low = fit.first_below(max(0.0, limit.value - SAME_MM))  # the limit may be laid down as nothing
            yield replace(
                _over_ground("M-02", leaf, fit.least_at(angle)),
                severity="Stop",
                reason="breach",
                measured=angle,
                unit="rad",
                limit=limit.value,
                lengths=(("deepest", -fit.least.gap_mm),),
                angles=(("deepest at", fit.least.angle_rad), ("first below", angle if low is None else low)),
            )


@rule("M-03", "A moving leaf keeps a running clearance over the ground", rows=("GROUND_CLEARANCE",))
def leaf_keeps_ground_clearance(site: Site) -> Iterator[Finding]:
    """Report a leaf that runs too near over the ground.

    Why it matters: settlement, snow, gravel and a sagging tip eat a small clearance up.
    How it is measured: least gap over the whole travel with the true thickness, against the running clearance;
    the report names the angle from which it is less.
    How to cure it: raise the leaf, rake its bottom, or regrade.
    """
    limit = site.pack["GROUND_CLEARANCE"]
    for leaf, fit in ground_fits(site.document).items():
        verdict = at_least(fit.least.gap_mm, limit)
        first = fit.first_below(limit.value - SAME_MM) if verdict.reason == "breach" else None
        yield replace(
            _over_ground("M-03", leaf, fit.least),
            severity=verdict.severity,
            reason=verdict.reason,
            limit=limit.value,
            row=limit.row,
            angles=() if first is None else (("first below", first),),
        )


@rule(
    "U-06",
    "No gap under the leaf in which a person can be caught",
    rows=("UNDER_LEAF_ZONE_LOW", "UNDER_LEAF_ZONE_HIGH"),
)
def gap_under_leaf_is_no_zone(site: Site) -> Iterator[Finding]:
    """Report a gap under the leaf that lies between the two limits anywhere in the travel.

    Why it matters: a person on the ground can be drawn under the bottom edge.
    How it is measured: the gap under the true underside over the whole travel; both limits are open, so exactly
    4 in is no zone; the wording is absolute and does not ask whether the gap shrinks.
    How to cure it: lower or rake the leaf, regrade, or guard the bottom edge.
    """
    low, high = site.pack["UNDER_LEAF_ZONE_LOW"], site.pack["UNDER_LEAF_ZONE_HIGH"]
    for leaf, fit in ground_fits(site.document).items():
        live = fit.between(low.value + SAME_MM, high.value - SAME_MM)
        if live:
            yield _zone(site, leaf, fit, live[0][0], live[-1][1])
        else:
            above = fit.least.gap_mm > low.value  # the whole gap is too large to catch anybody
            verdict = Verdict("Note", "pass") if above else at_most(fit.greatest.gap_mm, low)
            yield replace(
                _over_ground("U-06", leaf, fit.greatest),
                severity=verdict.severity,
                reason=verdict.reason,
                limit=low.value,
                row=low.row,
                lengths=(("upper limit", high.value),),
            )


def _zone(site: Site, leaf: str, fit: GroundFit, from_rad: float, to_rad: float) -> Finding:
    """Return the finding of a zone under a leaf that is live from one angle to another."""
    low, high = site.pack["UNDER_LEAF_ZONE_LOW"], site.pack["UNDER_LEAF_ZONE_HIGH"]
    through = fit.greatest.gap_mm >= high.value  # then the gap is widest where it is no zone any more
    along = fit.along_between(low.value, high.value, from_rad if through else fit.greatest.angle_rad)
    body = fit.place.body
    return replace(
        _over_ground("U-06", leaf, fit.greatest),
        severity=low.on_breach,
        reason="breach",
        limit=low.value,
        row=low.row,
        lengths=(
            ("upper limit", high.value),
            *zip(("from along", "to along"), along or (body.x0, body.x1), strict=True),
        ),
        angles=(("from", from_rad), ("to", to_rad)),
        words=(("case", "through"),) if through else (),
    )
