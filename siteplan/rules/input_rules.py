"""Rules on what is not known: missing values, guesses that decide a result, ground that makes no surface."""

from collections.abc import Iterator

import numpy as np
import shapely

from siteplan.analysis.boundaries import way_through
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.ground import ground_surface
from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_places import leaf_places
from siteplan.analysis.openings import openings
from siteplan.analysis.outlines import crossed_outlines
from siteplan.errors import GeometryError
from siteplan.geometry.terrain import heights_at, plane_through_three
from siteplan.model.edits import basis_of
from siteplan.model.quantities import spoken
from siteplan.model.site import ShotGround
from siteplan.rules.findings import Finding, leaf_name
from siteplan.rules.registry import Site, rule

NEEDED = {
    "bottom_gap_mm": "whether it clears the ground",
    "height_mm": "what it passes over and under",
    "weight_kg": "drive, hinges and footing",
}
DECIDING = ("length_mm", "near_edge_mm", "thickness_mm", "bottom_gap_mm", "height_mm", "weight_kg")
UNEVEN_MM = 25.4  # a fourth shot that strays more than this from the plane of the others is reported
SHOTS_OF_A_CHECKED_PLANE = 4  # three make a plane, the fourth checks it; more are meant as a surface


@rule("A-01", "Every value a result waits for is given")
def needed_values_are_given(site: Site) -> Iterator[Finding]:
    """Ask for values of a leaf that are missing.

    Why it matters: a result that waits for a value is not a pass.
    How it is measured: blank fields of each leaf, and leaves without a gate or a hinge axis, gates with no way through.
    How to cure it: measure, or write a guess and mark it so.
    """
    for leaf in site.document.leaves:
        for field, waits in NEEDED.items():
            if getattr(leaf, field) is None:
                yield _missing("A-01", leaf.id, leaf_name(leaf.id), field=spoken(field).replace("_", " "), waits=waits)
        if not any(leaf.id in gate.leaves for gate in site.document.gates):
            yield _missing("A-01", leaf.id, leaf_name(leaf.id), case="no gate")
        if leaf.id not in leaf_places(site.document):
            yield _missing("A-01", leaf.id, leaf_name(leaf.id), case="no hinge")
    for gate in site.document.gates:
        opening = openings(site.document).get(gate.id)
        if len(gate.leaves) == 1 and not gate.latch_post:
            yield _missing("A-01", gate.id, f"gate {gate.id}", case="no latch post")
        elif opening is None or opening.clear_mm <= 0:
            yield _missing("A-01", gate.id, f"gate {gate.id}", case="no opening")
    if not site.document.leaves:
        yield _missing("A-01", "site", "site", case="no leaf")


def _missing(code: str, subject: str, name: str, **words: str) -> Finding:
    return Finding(
        code=code, severity="Ask", reason="missing", subjects=(subject,), names=(name,), words=tuple(words.items())
    )


@rule("A-02", "No result rests on a guess")
def nothing_rests_on_a_guess(site: Site) -> Iterator[Finding]:
    """Ask for values of a leaf that are only guessed.

    Why it matters: concrete and steel follow these numbers.
    How it is measured: the marks of the fields that decide the results of a leaf.
    How to cure it: measure them, or name who told them.
    """
    for leaf in site.document.leaves:
        guessed = [
            spoken(field).replace("_", " ")
            for field in DECIDING
            if getattr(leaf, field) is not None and basis_of(site.document, leaf.id, field) == "guess"
        ]
        if guessed:
            yield _missing("A-02", leaf.id, leaf_name(leaf.id), guessed=", ".join(guessed))


@rule("A-03", "The ground is known wherever a leaf swings")
def ground_is_known(site: Site) -> Iterator[Finding]:
    """Ask for the ground where it is not known.

    Why it matters: rising ground is the commonest strike.
    How it is measured: whether the shots make a surface, and whether it reaches under the whole sweep; shots that
    stray from an even plane are noted and taken as triangles.
    How to cure it: take the missing shots, or say that the ground is level.
    """
    ground = site.document.ground
    result = ground_surface(site.document)
    if ground is None:
        yield _missing("A-03", "ground", "ground", case="none")
    elif result.fault:
        yield _missing("A-03", "ground", "ground", case="fault", fault=result.fault)
    fits = ground_fits(site.document)
    for leaf, place in leaf_places(site.document).items():
        waits_for_shots = result.surface is not None and place.leaf.bottom_gap_mm is not None
        if waits_for_shots and (leaf not in fits or not fits[leaf].covered):
            yield _missing("A-03", leaf, leaf_name(leaf), case="not covered")
    if isinstance(ground, ShotGround) and result.surface is not None and len(ground.shots) == SHOTS_OF_A_CHECKED_PLANE:
        yield from _uneven(ground)


def _uneven(ground: ShotGround) -> Iterator[Finding]:
    shots = np.array([(*shot.at, shot.height_mm) for shot in ground.shots])
    try:
        plane = plane_through_three(shots[:-1])
    except GeometryError:
        return  # the first three stand in one line: nothing for the fourth to disagree with
    last = ground.shots[-1]
    astray = abs(last.height_mm - float(heights_at(plane, shots[-1:, :2])[0]))
    if astray > UNEVEN_MM:
        yield Finding(
            code="A-03",
            severity="Note",
            reason="fact",
            subjects=("ground", last.id),
            names=("ground", f"shot {last.id}"),
            measured=astray,
            unit="mm",
            witness=(last.at,),
            words=(("case", "uneven"),),
        )


@rule("A-04", "Drawn outlines do not cross themselves")
def outlines_do_not_cross(site: Site) -> Iterator[Finding]:
    """Ask about an outline that crosses itself.

    Why it matters: what is inside such an outline is anybody's guess.
    How it is measured: validity of the drawn ring; the checks go on with its repaired shape.
    How to cure it: put the corners in order.
    """
    for outline in crossed_outlines(site.document):
        yield _missing("A-04", outline.id, outline.name, fault=outline.fault)


@rule("A-05", "Posts stand where a vehicle does not want to be, and hinges outside their posts")
def posts_stand_aside(site: Site) -> Iterator[Finding]:
    """Ask about a post in the way through a gate, and about a hinge axis inside the body of its post.

    Why it matters: a post in the way is driven into; an axis drawn inside the post puts the clear opening off by
    inches.
    How it is measured: the outline of each post against the way through each gate, and against its own hinge axis.
    How to cure it: move the post, or put the axis where it is.
    """
    places = leaf_places(site.document)
    for post in site.document.posts:
        if post.hinge is not None and footprint(post).contains(shapely.Point(post.hinge)):
            yield _missing("A-05", post.id, f"post {post.id}", case="axis inside")
        for gate, opening in openings(site.document).items():
            if way_through(opening, places).intersection(footprint(post)).area > 1:
                yield Finding(
                    code="A-05",
                    severity="Ask",
                    reason="missing",
                    subjects=(post.id, gate),
                    names=(f"post {post.id}", f"gate {gate}"),
                    witness=(post.at,),
                    words=(("case", "in the way"),),
                )
