"""Rules on what lies around the gate: lines not to be crossed, controls, signs, fire access, people on foot."""

from collections.abc import Iterator

import shapely
from msgspec.structs import replace

from siteplan.analysis.boundaries import boundaries, control_reaches, crossings, headrooms
from siteplan.analysis.leaf_places import closed_leaves, swept_areas
from siteplan.analysis.openings import openings
from siteplan.model.gate import Sign
from siteplan.rules.findings import Finding, leaf_name
from siteplan.rules.registry import Site, at_least, at_most, rule

MIDDLE_OF_GATE = "gate"


def _ask(code: str, case: str, *subjects: str, **more: object) -> Finding:
    """Return the finding that asks for something nobody has said."""
    asked = Finding(code=code, severity="Ask", reason="missing", subjects=subjects, words=(("case", case),))
    return replace(asked, **more)


def _note(code: str, case: str, *subjects: str) -> Finding:
    """Return the finding of a check that does not apply."""
    return Finding(code=code, severity="Note", reason="n/a", subjects=subjects, words=(("case", case),))


@rule("C-40", "No leaf swings over a property line or right-of-way", rows=("OVER_LINE",))
def leaf_stays_inside_lines(site: Site) -> Iterator[Finding]:
    """Report a leaf that swings over a property line or right-of-way.

    Why it matters: people pass there who know nothing of the gate; the way is not ours to swing over.
    How it is measured: farthest reach of any corner of the leaf beyond the line, counted from the side of its hinge
    axis, over the whole travel in closed form, and the angle of first crossing.
    How to cure it: swing in, set the gate back, or stop the leaf earlier.
    """
    limit = site.pack["OVER_LINE"]
    over = [crossing for crossing in crossings(site.document) if crossing.beyond_mm > 0]
    for crossing in over:
        verdict = at_most(crossing.beyond_mm, limit)
        yield Finding(
            code="C-40",
            severity=verdict.severity,
            reason=verdict.reason,
            subjects=(crossing.leaf, crossing.over),
            names=(leaf_name(crossing.leaf), crossing.what),
            measured=crossing.beyond_mm,
            limit=limit.value,
            unit="mm",
            row=limit.row,
            angle_rad=crossing.at_angle_rad,
            witness=(crossing.farthest,),
            angles=(("first", crossing.first_angle_rad),),
        )
    if not boundaries(site.document):
        yield _ask("C-40", "no line", "site")
    crossed = {crossing.leaf for crossing in over}
    for leaf in swept_areas(site.document).keys() - crossed:
        yield Finding(code="C-40", severity="Note", reason="pass", subjects=(leaf,), names=(leaf_name(leaf),))


@rule("K-01", "No leaf swings into an area to keep clear", source="the area's owner · told")
def leaf_stays_out_of_areas(site: Site) -> Iterator[Finding]:
    """Report a leaf that swings into an area somebody wants free: an easement, a fire lane, a sight triangle.

    Why it matters: the area belongs to somebody else's work, or to somebody else's sight.
    How it is measured: shared area of the swept area and the drawn outline, and the angle of first contact.
    How to cure it: move the gate, shorten the leaf, or ask whom the area serves.
    """
    for crossing in crossings(site.document):
        if crossing.over in {area.id for area in site.document.keep_clear}:
            yield Finding(
                code="K-01",
                severity="Stop",
                reason="breach",
                subjects=(crossing.leaf, crossing.over),
                names=(leaf_name(crossing.leaf), crossing.what),
                measured=crossing.first_angle_rad,
                unit="rad",
                angle_rad=crossing.first_angle_rad,
                witness=(crossing.farthest,),
            )
    for area in site.document.keep_clear:
        if not shapely.make_valid(shapely.Polygon(area.outline)).area:
            yield Finding(
                code="K-01", severity="Note", reason="fact", subjects=(area.id,), words=(("case", "no area"),)
            )


@rule("U-14", "Controls stand away from moving parts", rows=("CONTROL_DISTANCE",))
def controls_stand_away(site: Site) -> Iterator[Finding]:
    """Report a control from which a person can reach the moving gate.

    Why it matters: whoever holds the button must not be where the leaf comes.
    How it is measured: true distance in the plan from the control to the area any leaf sweeps.
    How to cure it: move the control.
    """
    limit = site.pack["CONTROL_DISTANCE"]
    for reach in control_reaches(site.document):
        verdict = at_least(reach.distance_mm, limit)
        yield Finding(
            code="U-14",
            severity=verdict.severity,
            reason=verdict.reason,
            subjects=(reach.control.id, reach.leaf),
            names=(f"{reach.control.what} {reach.control.id}", leaf_name(reach.leaf)),
            measured=reach.distance_mm,
            limit=limit.value,
            unit="mm",
            row=limit.row,
            witness=(reach.control.at, reach.on_sweep),
        )


@rule("U-18", "Warning signs stand on both sides", rows=("SIGNS_EACH_SIDE", "SIGN_NEAR"))
def signs_stand_on_both_sides(site: Site) -> Iterator[Finding]:
    """Report a side of the gate without a warning sign that counts.

    Why it matters: the sign is the only thing that speaks to a stranger.
    How it is measured: signs seen from each side that stand within 10 ft of a leaf.
    How to cure it: add a sign.
    """
    limit, near = site.pack["SIGNS_EACH_SIDE"], site.pack["SIGN_NEAR"]
    if not swept_areas(site.document):
        return
    for side in ("outside", "inside"):
        counted = [sign for sign in site.document.signs if sign.seen_from == side and _is_near(site, sign, near.value)]
        enough = len(counted) >= limit.value
        yield Finding(
            code="U-18",
            severity="Note" if enough else limit.on_breach,
            reason="pass" if enough else "breach",
            subjects=(MIDDLE_OF_GATE, *(sign.id for sign in counted)),
            measured=len(counted),
            limit=limit.value,
            unit="count",
            row=limit.row,
            words=(("side", side),),
        )


def _is_near(site: Site, sign: Sign, near_mm: float) -> bool:
    """Whether a sign hangs on, or stands near, a closed leaf."""
    return bool((shapely.distance(closed_leaves(site.document), shapely.Point(sign.at)) <= near_mm).any())


@rule("C-01", "A fire lane keeps its clear width", rows=("FIRE_WIDTH",))
def fire_lane_is_wide_enough(site: Site) -> Iterator[Finding]:
    """Report a gate on a fire lane that is too narrow when open.

    Why it matters: the engine does not get through.
    How it is measured: clear opening at the open stops with true thickness of leaves and posts.  Post to post is
    not clear opening.
    How to cure it: longer leaves, posts farther apart, or opening to square.
    """
    lane = site.document.project.use.fire_lane
    limit = site.pack["FIRE_WIDTH"]
    for gate, opening in openings(site.document).items():
        if lane is None:
            yield _ask("C-01", "not said", gate, measured=opening.clear_mm, limit=limit.value, unit="mm", row=limit.row)
        elif not lane:
            yield _note("C-01", "no fire lane", gate)
        else:
            verdict = at_least(opening.clear_mm, limit)
            yield Finding(
                code="C-01",
                severity=verdict.severity,
                reason=verdict.reason,
                subjects=(gate,),
                names=(f"gate {gate}",),
                measured=opening.clear_mm,
                limit=limit.value,
                unit="mm",
                row=limit.row,
                witness=opening.between,
            )


@rule("C-03", "Nothing hangs too low over a fire lane", rows=("FIRE_HEIGHT",))
def fire_lane_is_high_enough(site: Site) -> Iterator[Finding]:
    """Report a thing over the way through a gate that is too low for a fire engine.

    Why it matters: the engine does not get through.
    How it is measured: lowest underside over the highest ground under it, within the clear opening and a leaf
    length to both sides.
    How to cure it: raise or remove it.
    """
    limit = site.pack["FIRE_HEIGHT"]
    lane = site.document.project.use.fire_lane
    for headroom in headrooms(site.document):
        verdict = at_least(headroom.clear_mm, limit)
        found = Finding(
            code="C-03",
            severity=verdict.severity,
            reason=verdict.reason,
            subjects=(headroom.obstacle, headroom.gate),
            names=(headroom.what, f"gate {headroom.gate}"),
            measured=headroom.clear_mm,
            limit=limit.value,
            unit="mm",
            row=limit.row,
            witness=(headroom.at,),
        )
        yield found if lane else replace(found, severity="Note", reason="fact")
        if not headroom.covered:
            yield _ask("C-03", "not covered", headroom.obstacle, headroom.gate, names=found.names)


@rule("C-08", "A fire lane opens for the fire department", source="IFC 2021, 503.6 · memory")
def fire_lane_opens_for_engines(site: Site) -> Iterator[Finding]:
    """Ask how the fire department opens the gate, also without power.

    Why it matters: minutes.
    How it is measured: whether the project says that an opening device is shown.
    How to cure it: show the key switch, the receiver and the manual release.
    """
    use = site.document.project.use
    if use.fire_lane is None:
        yield _note("C-08", "not said", MIDDLE_OF_GATE)
    elif use.fire_lane and use.fire_opening_device is None:
        yield _ask("C-08", "not said", MIDDLE_OF_GATE)
    elif use.fire_lane and use.fire_opening_device == "none":
        yield _ask("C-08", "none", MIDDLE_OF_GATE)
    else:
        yield _note("C-08", "no fire lane" if not use.fire_lane else "shown", MIDDLE_OF_GATE)


@rule("U-19", "People on foot have an opening of their own", source="UL 325 2018, installation text · practice")
def people_have_own_opening(site: Site) -> Iterator[Finding]:
    """Ask for the walk gate while the plan is silent.

    Why it matters: people who have no way of their own walk through the moving gate.
    How it is measured: whether the project says that a walk gate is shown.
    How to cure it: show the walk gate, away from the swing of the leaves.
    """
    walk_gate = site.document.project.use.walk_gate
    if walk_gate is None:
        yield _ask("U-19", "not said", MIDDLE_OF_GATE)
    elif walk_gate == "none":
        yield Finding(code="U-19", severity="Guard", reason="breach", subjects=(MIDDLE_OF_GATE,))
    else:
        yield Finding(code="U-19", severity="Note", reason="pass", subjects=(MIDDLE_OF_GATE,))


@rule("U-01", "The usage class is known", rows=("CLASS_TWO_DWELLINGS",))
def usage_class_is_known(site: Site) -> Iterator[Finding]:
    """Note the usage class, or ask for what decides it.

    Why it matters: class, kind of drive and guards hang together.
    How it is measured: use of the land, and the number of dwellings the gate serves.
    How to cure it: say who uses the gate.
    """
    use = site.document.project.use
    limit = site.pack["CLASS_TWO_DWELLINGS"]
    known = {"public": "II", "industrial": "III", "guarded": "IV"}
    if use.land is None or (use.land == "home" and use.dwellings is None):
        yield _ask("U-01", "not said", MIDDLE_OF_GATE)
        return
    many = use.dwellings is not None and use.dwellings >= limit.value
    usage_class = known.get(use.land, "II" if many else "I")
    yield Finding(
        code="U-01",
        severity="Note",
        reason="fact",
        subjects=(MIDDLE_OF_GATE,),
        measured=use.dwellings,
        limit=limit.value,
        unit="count",
        row=limit.row,
        words=(("class", usage_class), ("land", use.land)),
    )
