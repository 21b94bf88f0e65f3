"""Rules on how a leaf hangs: the pivot off its post, a leaning hinge line, a latch left on, a sagging tip."""

from collections.abc import Iterator
from math import sin

import shapely

from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import leaf_places
from siteplan.model.gate import Leaf
from siteplan.rules.findings import Finding, leaf_name
from siteplan.rules.registry import Site, at_most, rule
from siteplan.units.measures import STANDARD_GRAVITY

STILL_NM = 0.1  # less than this moves no leaf


@rule("U-02", "The pivot stands near the face of its post", rows=("PIVOT_STAND_OFF",))
def pivot_stands_near_its_post(site: Site) -> Iterator[Finding]:
    """Report a hinge axis that stands too far off the post that carries it.

    Why it matters: between the turning leaf and its post a wedge opens and shuts; an arm that is in it is crushed.
    How it is measured: shortest distance from the hinge axis to the post.
    How to cure it: hinges that bring the axis nearer to the post, or a cover over the gap.
    """
    limit = site.pack["PIVOT_STAND_OFF"]
    posts = {post.id: post for post in site.document.posts}
    for id, place in leaf_places(site.document).items():
        post = posts[place.leaf.post]
        off = float(shapely.distance(shapely.Point(place.frame.origin), footprint(post)))
        verdict = at_most(off, limit)
        yield Finding(
            code="U-02",
            severity=verdict.severity,
            reason=verdict.reason,
            subjects=(id, post.id),
            names=(leaf_name(id), f"post {post.id}"),
            measured=off,
            limit=limit.value,
            unit="mm",
            row=limit.row,
        )


@rule("F-09", "No latch holds an automated leaf", source="ASTM F2200, F2200-20, general · read")
def no_latch_is_left(site: Site) -> Iterator[Finding]:
    """Report a gate whose latch is still at work.

    Why it matters: a drive that pulls against a latch breaks one of them, or lets go when nobody expects it.
    How it is measured: what was said of the latch.
    How to cure it: take the latch off or disable it; a lock must be released before the drive starts.
    """
    for gate in site.document.gates:
        if gate.latch is not None:
            present = gate.latch == "present"
            yield Finding(
                code="F-09",
                severity="Stop" if present else "Note",
                reason="breach" if present else "pass",
                subjects=(gate.id,),
                names=(f"gate {gate.id}",),
            )


@rule("F-10", "No leaf moves by its own weight", source="ASTM F2200, F2200-20, general · read; torque derived")
def leaf_does_not_move_by_itself(site: Site) -> Iterator[Finding]:
    """Report a leaf whose leaning hinge line turns it as soon as the drive lets go.

    Why it matters: released by hand, the leaf starts off by itself at whoever released it.
    How it is measured: weight times its distance from the hinge axis times the sine of the lean, at its worst; hinge
    friction counts as nothing.
    How to cure it: plumb the hinges.
    """
    for leaf in site.document.leaves:
        if leaf.lean_rad and leaf.weight_kg is None:
            names, lean = (leaf_name(leaf.id),), (("lean", leaf.lean_rad),)
            yield Finding(code="F-10", severity="Ask", reason="missing", subjects=(leaf.id,), names=names, angles=lean)
        elif leaf.lean_rad is not None and leaf.weight_kg is not None:
            torque = leaf.weight_kg * float(STANDARD_GRAVITY) * gravity_mm(leaf) / 1000 * sin(leaf.lean_rad)
            moves = torque > STILL_NM
            yield Finding(
                code="F-10",
                severity="Stop" if moves else "Note",
                reason="breach" if moves else "pass",
                subjects=(leaf.id,),
                names=(leaf_name(leaf.id),),
                measured=torque,
                unit="N·m",
                angles=(("lean", leaf.lean_rad),),
            )


def gravity_mm(leaf: Leaf) -> float:
    """Return how far the centre of gravity stands from the hinge axis: as given, else in the middle of the leaf."""
    return leaf.gravity_mm if leaf.gravity_mm is not None else (leaf.near_edge_mm + leaf.length_mm) / 2


@rule("M-06", "The tip does not sag", rows=("TIP_SAG",))
def tip_does_not_sag(site: Site) -> Iterator[Finding]:
    """Report a leaf whose tip hangs low.

    Why it matters: a sagging tip scrapes, misses its stop, and pulls at the upper hinge.
    How it is measured: as it was measured at the tip.
    How to cure it: true up the hinges, or brace the leaf.
    """
    limit = site.pack["TIP_SAG"]
    for leaf in site.document.leaves:
        verdict = at_most(leaf.sag_mm, limit)
        yield Finding(
            code="M-06",
            severity=verdict.severity,
            reason=verdict.reason,
            subjects=(leaf.id,),
            names=(leaf_name(leaf.id),),
            measured=leaf.sag_mm,
            limit=limit.value,
            unit="mm",
            row=limit.row,
        )
