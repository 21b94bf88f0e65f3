"""Rules on the arm between a drive and its leaf: whether it can be made, what it comes near, what the drive can do."""

from collections.abc import Iterator
from itertools import pairwise
from math import pi, sin

from msgspec.structs import replace

from siteplan.analysis.arms import ArmPlace, ArmWay, arm_places, arm_ways
from siteplan.analysis.risers import Riser, risers
from siteplan.geometry.link_lengths import Refusal, out_of_reach
from siteplan.model.drives import DriveKind, Rating
from siteplan.rules.findings import Finding, Reason
from siteplan.rules.registry import Site, at_least, at_most, rule

SAME_MM = 1e-3
SAME_RAD = 1e-9


def _finding(code: str, arm: ArmPlace, reason: Reason = "pass", **more: object) -> Finding:
    """Return a finding about the arm of a drive."""
    drive = arm.drive.id
    plain = Finding(code=code, severity="Note", reason=reason, subjects=(drive,), names=(f"arm of {drive}",))
    return replace(plain, **more)


def _stop(code: str, arm: ArmPlace, case: str, **more: object) -> Finding:
    return _finding(code, arm, "breach", severity="Stop", words=(("case", case),), **more)


def _running(site: Site) -> Iterator[tuple[ArmPlace, ArmWay]]:
    """Yield the arms that run from closed to open."""
    ways = arm_ways(site.document)
    for id, arm in arm_places(site.document).items():
        if id in ways and ways[id].is_whole:
            yield arm, ways[id]


@rule("R-01", "Every arm runs from closed to open", source="planar linkage · derived")
def arm_runs_through(site: Site) -> Iterator[Finding]:
    """Report an arm that cannot be made, or stands still on its way.

    Why it matters: the pad is concrete and the arm is welded; a place from which no arm works is found too late.
    How it is measured: link lengths in closed form by the rule of the arm, its reach and its dead points over the
    whole stroke; links that are given are taken as they are.
    How to cure it: move the pad or the bracket; the reach map shows where the shaft may stand.
    """
    for drive in site.document.drives:
        if drive.arm is None:
            yield Finding(code="R-01", severity="Ask", reason="missing", subjects=(drive.id,), names=(drive.id,))
    ways = arm_ways(site.document)
    for id, arm in arm_places(site.document).items():
        yield from _fault(arm, ways.get(id))


def _fault(arm: ArmPlace, way: ArmWay | None) -> Iterator[Finding]:
    past_tip = arm.pin[0] - arm.place.leaf.length_mm
    if past_tip > SAME_MM:
        yield _stop("R-01", arm, "past tip", lengths=(("past", past_tip),))
    elif isinstance(arm.links, Refusal):
        yield _stop("R-01", arm, arm.links.value)
    elif way is not None and way.short_rad:
        tip = arm.place.leaf.length_mm * sin(way.short_rad)
        short = (("short", -way.arm.spare_mm), ("tip", tip))
        yield _stop("R-01", arm, "short", measured=way.short_rad, unit="rad", lengths=short)
    elif way is not None and way.dead:
        dead = way.dead[0]
        yield _stop("R-01", arm, dead.kind, measured=dead.angle_rad, unit="rad", angle_rad=dead.angle_rad)
    elif (unreached := out_of_reach(arm.shaft, arm.pin, arm.place.travel_rad, arm.links)) is not None:
        yield _stop("R-01", arm, unreached.value)
    elif way is not None:
        lengths = (("driving", way.arm.driving_mm), ("driven", way.arm.driven_mm))
        yield _finding("R-01", arm, lengths=lengths, angles=(("bend", way.closed_bend_rad),))


@rule("R-02", "Links and crank travel are those of the drive", source="papers of the drive · book")
def arm_fits_its_drive(site: Site) -> Iterator[Finding]:
    """Report links that are not in stock, and a stroke that the crank cannot turn.

    Why it matters: a link out of its range cannot be bought; a crank beyond its travel breaks its stop.
    How it is measured: worked or given link lengths and crank travel against the ranges of the kind of drive.
    How to cure it: move the pad or the bracket, or choose another drive.
    """
    for arm, way in _running(site):
        if arm.kind is None:
            yield _finding("R-02", arm, "missing", severity="Ask")
            continue
        faults = [*_out_of_stock(arm, arm.kind, way), *_beyond_travel(arm, arm.kind, way)]
        yield from faults or [_finding("R-02", arm, measured=way.crank_travel_rad, unit="rad")]


def _out_of_stock(arm: ArmPlace, kind: DriveKind, way: ArmWay) -> Iterator[Finding]:
    for link, length, least, most in (
        ("driving link", way.arm.driving_mm, kind.driving_least_mm, kind.driving_most_mm),
        ("driven link", way.arm.driven_mm, kind.driven_least_mm, kind.driven_most_mm),
    ):
        for case, bound, sign in (("too short", least, -1), ("too long", most, 1)):
            if bound is not None and sign * (length - bound) > SAME_MM:
                found = _stop("R-02", arm, case, measured=length, limit=bound, unit="mm")
                yield replace(found, words=(("case", case), ("link", link)))


def _beyond_travel(arm: ArmPlace, kind: DriveKind, way: ArmWay) -> Iterator[Finding]:
    most = kind.crank_travel_rad
    if most is not None and way.crank_travel_rad > most + SAME_RAD:
        turn = way.crank_travel_rad
        yield _stop("R-02", arm, "travel", measured=turn, unit="rad", angles=(("most", most),))


@rule("R-03", "The elbow passes clear of fixed things", rows=("ARM_CLEARANCE",))
def elbow_passes_clear(site: Site) -> Iterator[Finding]:
    """Report what the elbow reaches, or passes too near.

    Why it matters: the elbow swings out farther than anybody expects, with the force of the drive behind it.
    How it is measured: edge of the arm along the trail of the elbow, from closed to open, to walls, fences, obstacles
    and boundary lines; the carrying post and the drive's own pad are left out.
    How to cure it: a shorter bracket, the shaft nearer to the gate line, or the pad moved; the ratio pays for it.
    """
    limit = site.pack["ARM_CLEARANCE"]
    for arm, way in _running(site):
        for gap in way.gaps:
            verdict = at_least(gap.gap_mm, limit)
            if verdict.reason != "pass":
                yield replace(
                    _finding("R-03", arm, verdict.reason, severity=verdict.severity),
                    subjects=(arm.drive.id, gap.thing),
                    names=(f"elbow of {arm.drive.id}", gap.what),
                    measured=abs(gap.gap_mm),
                    limit=limit.value,
                    unit="mm",
                    row=limit.row,
                    angle_rad=gap.angle_rad,
                    witness=(gap.on_arm, gap.on_thing),
                    words=(("case", "beyond" if gap.gap_mm < 0 else ""),),
                )
        if not any(at_least(gap.gap_mm, limit).reason != "pass" for gap in way.gaps):
            yield _finding("R-03", arm, limit=limit.value, unit="mm", row=limit.row)


@rule("U-07", "No arm closes in on a fixed thing", rows=("ARM_ZONE",))
def arm_closes_in_on_nothing(site: Site) -> Iterator[Finding]:
    """Report fixed things that an arm passes so near that a person could be caught between.

    Why it matters: an exposed arm is a moving part; between it and a wall there is no way out.
    How it is measured: as the clearance of the elbow, against the reach of a body.
    How to cure it: a shroud, a beam across the place, or another place for the drive.
    """
    limit = site.pack["ARM_ZONE"]
    for arm, way in _running(site):
        solid = (gap for gap in way.gaps if gap.is_solid and gap.gap_mm >= 0)
        near = [gap for gap in solid if at_least(gap.gap_mm, limit).reason == "breach"]
        for gap in near:
            yield replace(
                _finding("U-07", arm, "breach", severity=limit.on_breach),
                subjects=(arm.drive.id, gap.thing),
                names=(f"arm of {arm.drive.id}", gap.what),
                measured=gap.gap_mm,
                limit=limit.value,
                unit="mm",
                row=limit.row,
                angle_rad=gap.angle_rad,
                witness=(gap.on_arm, gap.on_thing),
            )
        if not near:
            yield _finding("U-07", arm, limit=limit.value, unit="mm", row=limit.row)


@rule("R-04", "The driven link stands square to the open leaf", rows=("LINK_SQUARE",))
def link_stands_square(site: Site) -> Iterator[Finding]:
    """Report a driven link that is off square at the open stop.

    Why it matters: off square the drive pushes along the leaf instead of holding it.
    How it is measured: angle of the driven link to the leaf at its open stop, for arms that pull.
    How to cure it: move the bracket, or work the links out anew.
    """
    limit = site.pack["LINK_SQUARE"]
    for arm, way in _running(site):
        if arm.layout.rule == "square":
            off = abs(way.open_link_rad - pi / 2)
            verdict = at_most(off, limit)
            yield _finding(
                "R-04",
                arm,
                verdict.reason,
                severity=verdict.severity,
                measured=way.open_link_rad,
                unit="rad",
                row=limit.row,
                angles=(("most", limit.value),),
            )


@rule("R-05", "The arm keeps its lever", rows=("LEAST_RATIO",))
def arm_keeps_its_lever(site: Site) -> Iterator[Finding]:
    """Report an arm whose torque ratio falls too low.

    Why it matters: with little lever the drive stalls in wind, and pads a hair off matter more.
    How it is measured: crank turn for each turn of the leaf, at its least from 5 deg on.
    How to cure it: a longer bracket, or the shaft farther from the gate line.
    """
    limit = site.pack["LEAST_RATIO"]
    for arm, way in _running(site):
        verdict = at_least(way.least_ratio, limit)
        yield _finding(
            "R-05",
            arm,
            verdict.reason,
            severity=verdict.severity,
            measured=way.least_ratio,
            limit=limit.value,
            unit="ratio",
            row=limit.row,
            angle_rad=way.least_ratio_rad,
        )


@rule("R-06", "The drive is rated for its leaf", source="papers of the drive · book")
def drive_is_rated(site: Site) -> Iterator[Finding]:
    """Report a leaf that is longer or heavier than the chart of its drive allows.

    Why it matters: an overloaded drive wears out, and cannot stop what it has set going.
    How it is measured: length and weight of the leaf against the chart, straight between its rows.
    How to cure it: a lighter or shorter leaf, two leaves, or another drive.
    """
    for arm in arm_places(site.document).values():
        if arm.kind is None:
            continue  # asked for already
        leaf, chart = arm.place.leaf, arm.kind.chart
        if not chart:
            yield _finding("R-06", arm, "missing", severity="Ask")
            continue
        most = rated_kg(chart, leaf.length_mm)
        if most is None:
            longest = chart[-1].length_mm
            yield _stop("R-06", arm, "length", measured=leaf.length_mm, limit=longest, unit="mm")
        elif leaf.weight_kg is None:
            continue  # asked for already
        elif leaf.weight_kg > most * (1 + 1e-9):
            yield _stop("R-06", arm, "weight", measured=leaf.weight_kg, limit=most, unit="kg")
        else:
            yield _finding("R-06", arm, measured=leaf.weight_kg, limit=most, unit="kg")


def rated_kg(chart: tuple[Rating, ...], length_mm: float) -> float | None:
    """Return what a leaf so long may weigh: straight between the rows of a chart; None beyond its longest."""
    if length_mm > chart[-1].length_mm + SAME_MM:
        return None
    for low, high in pairwise(chart):
        if low.length_mm <= length_mm <= high.length_mm:
            share = (length_mm - low.length_mm) / (high.length_mm - low.length_mm)
            return low.weight_kg + share * (high.weight_kg - low.weight_kg)
    return chart[0].weight_kg if length_mm <= chart[0].length_mm else chart[-1].weight_kg


@rule("R-07", "The arm runs level", source="siteplan · own rule")
def arm_runs_level(site: Site) -> Iterator[Finding]:
    """Tell which riser brings the shaft level with its bracket.

    Why it matters: a link out of level is shorter in the plan, and its pins bind.
    How it is measured: height of the bracket on a cross-member less that of the shaft, against risers in stock; half
    an inch off level may pass.
    How to cure it: another riser, another cross-member, or the pad higher or lower.
    """
    for id, riser in risers(site.document).items():
        arm = arm_places(site.document)[id]
        yield _riser_finding(arm, riser)


def _riser_finding(arm: ArmPlace, riser: Riser) -> Finding:
    drawn = arm.drive.riser_mm
    lengths = (
        ("needed", riser.needed_mm),
        ("bracket", riser.bracket_mm),
        ("shaft", riser.shaft_mm),
        ("drawn", drawn),
    )
    if riser.stock_mm is None:
        case = "too low" if riser.needed_mm < 0 else "no stock"
        return _stop("R-07", arm, case, measured=abs(riser.needed_mm), unit="mm", lengths=lengths)
    if abs(riser.stock_mm - drawn) > SAME_MM:
        off = _finding("R-07", arm, "breach", severity="Tight", measured=riser.stock_mm, unit="mm", lengths=lengths)
        return replace(off, words=(("case", "another drawn"),))
    return _finding("R-07", arm, "fact", measured=riser.stock_mm, unit="mm", lengths=lengths)
