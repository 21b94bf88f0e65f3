"""Rules on the moving leaf: what it strikes, how near it passes, how the leaves of a pair meet."""

from collections.abc import Iterator

from msgspec.structs import replace

from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.analysis.near_things import Meeting
from siteplan.analysis.openings import clear_opening, pair_fits
from siteplan.model.gate import Gate
from siteplan.rules.findings import Finding, leaf_name
from siteplan.rules.registry import Site, at_least, rule

CLOSED_RAD = 1e-9


def _gate_of(site: Site, leaf: str) -> Gate | None:
    return next((gate for gate in site.document.gates if leaf in gate.leaves), None)


def _meeting(code: str, leaf: str, meeting: Meeting) -> Finding:
    """Return a passing finding about a leaf and a thing, with the gap between them."""
    return Finding(
        code=code,
        severity="Note",
        reason="pass",
        subjects=(leaf, meeting.thing),
        names=(leaf_name(leaf), meeting.what),
        measured=meeting.gap_mm,
        unit="mm",
        angle_rad=meeting.angle_rad,
        witness=(meeting.on_leaf, meeting.on_thing),
    )


@rule("M-01", "A moving leaf meets nothing on its way", source="plane geometry · derived")
def leaf_strikes_nothing(site: Site) -> Iterator[Finding]:
    """Report every fixed thing a leaf strikes.

    Why it matters: two solids cannot be in one place; the leaf, the drive or what is struck breaks, and whoever
    stands between is crushed.
    How it is measured: first contact in closed form with the true thickness of the leaf and its plates, for every
    thing whose height meets that of the leaf; a thing of unknown height is taken as tall.
    How to cure it: move the thing, shorten the leaf, or stop it before the contact.
    """
    for leaf, contacts in leaf_contacts(site.document).items():
        gate = _gate_of(site, leaf)
        for touch in contacts.touches:
            struck = replace(_meeting("M-01", leaf, touch), severity="Stop", reason="breach")
            if gate is not None and touch.thing == gate.latch_post and touch.angle_rad <= CLOSED_RAD:
                yield replace(struck, measured=_too_long_by(site, gate), words=(("case", "too long"),))
            else:
                yield replace(struck, measured=touch.angle_rad, unit="rad")
        if not contacts.touches:
            alone = Finding(code="M-01", severity="Note", reason="pass", subjects=(leaf,), names=(leaf_name(leaf),))
            yield alone if contacts.nearest is None else _meeting("M-01", leaf, contacts.nearest)


def _too_long_by(site: Site, gate: Gate) -> float:
    """Return by how much the closed leaf is longer than the opening, in mm."""
    posts = {post.id: post for post in site.document.posts}
    closed = clear_opening(gate, leaf_places(site.document), posts, (0.0,) * len(gate.leaves))
    return 0.0 if closed is None else -closed.clear_mm


@rule("U-04", "An open leaf keeps away from fixed things beyond its hinge", rows=("OPEN_LEAF_GAP",))
def open_leaf_keeps_away(site: Site) -> Iterator[Finding]:
    """Report fixed things too near to the open leaf, or passed too near by its tip.

    Why it matters: a person between the opening leaf and a wall cannot get out.
    How it is measured: true shortest distance at the open stop from the leaf to whatever stands farther along it
    than 4 in from the hinge axis, and least distance to things the tip passes after its first 16 in of travel
    (what is near the leaf before that belongs to the closing edge); the carrying post is left out, and so are
    things wholly above 6 ft or below the leaf.  F2200 speaks of the open position, UL 325 of any point of travel:
    the stricter is used.
    How to cure it: move the thing or the post, stop the leaf earlier, or guard the pocket in the opening direction.
    """
    limit = site.pack["OPEN_LEAF_GAP"]
    places = leaf_places(site.document)
    for leaf, contacts in leaf_contacts(site.document).items():
        gate = _gate_of(site, leaf)
        pockets = [each for each in contacts.pockets if gate is None or each.thing != gate.latch_post]
        yield from (_pocket(site, places[leaf], pocket) for pocket in pockets)
        if not pockets:
            yield Finding(
                code="U-04",
                severity="Note",
                reason="pass",
                subjects=(leaf,),
                names=(leaf_name(leaf),),
                limit=limit.value,
                unit="mm",
                row=limit.row,
            )


def _pocket(site: Site, place: LeafPlace, pocket: Meeting) -> Finding:
    limit = site.pack["OPEN_LEAF_GAP"]
    verdict = at_least(pocket.gap_mm, limit)
    case = "open" if pocket.angle_rad == place.travel_rad else "passing"
    return replace(
        _meeting("U-04", place.leaf.id, pocket),
        severity=verdict.severity,
        reason=verdict.reason,
        limit=limit.value,
        row=limit.row,
        words=(("case", case),),
    )


@rule("M-04", "The leaves of a pair do not meet before they are closed", source="plane geometry · derived")
def leaves_of_pair_meet_closed(site: Site) -> Iterator[Finding]:
    """Report a pair whose leaves cross when closed, or touch while they move together.

    Why it matters: the leaves jam, and the meeting edge is where hands are.
    How it is measured: distance of the two true rectangles at closed, and over both travels run as one.
    How to cure it: shorten a leaf, move a post, or close one leaf after the other.
    """
    for fit in pair_fits(site.document).values():
        meets = Finding(
            code="M-04",
            severity="Note",
            reason="pass",
            subjects=fit.gate.leaves,
            names=tuple(map(leaf_name, fit.gate.leaves)),
            measured=fit.meeting_gap_mm,
            unit="mm",
        )
        if fit.meeting_gap_mm <= 0:
            yield replace(
                meets, severity="Stop", reason="breach", measured=-fit.meeting_gap_mm, words=(("case", "cross"),)
            )
        elif fit.touch_share is not None:
            yield replace(meets, severity="Stop", reason="breach", words=(("case", "moving"),))
        else:
            yield meets


@rule("M-05", "The leaves of a pair are set each by itself when they differ")
def unlike_leaves_are_set_apart(site: Site) -> Iterator[Finding]:
    """Note a pair of unlike leaves.

    Why it matters: leaves of unlike length or open angle stop at their own angles, and their order of closing must
    be set.
    How it is measured: length and open angle of the two leaves.
    How to cure it: write the two open angles and the order of closing on the settings sheet.
    """
    for fit in pair_fits(site.document).values():
        if fit.differ:
            first, second = (leaf_places(site.document)[leaf] for leaf in fit.gate.leaves)
            yield Finding(
                code="M-05",
                severity="Note",
                reason="fact",
                subjects=fit.gate.leaves,
                names=tuple(map(leaf_name, fit.gate.leaves)),
                angles=(("first stop", first.travel_rad), ("second stop", second.travel_rad)),
            )
