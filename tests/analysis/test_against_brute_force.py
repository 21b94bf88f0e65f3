"""Whole random sites: every result of the analysis against a leaf stepped through its travel in plain shapes."""

from math import degrees, inf, pi, radians

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.analysis.boundaries import control_reaches, crossings
from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.openings import openings
from siteplan.model.document import Document
from siteplan.model.drives import Drive, Pad
from siteplan.model.gate import Control, Gate, Leaf, Plate, Post
from siteplan.model.project import Project
from siteplan.model.site import Block, Edge, Ground, Obstacle, PlaneGround, Round, Shot, ShotGround
from tests.analysis.stepped_leaf import (
    HIGH_MM,
    Solid,
    SteppedLeaf,
    ground_gaps,
    leaf_range,
    pocket_gap,
    reach_beyond,
    solids_of,
)

ROUNDING_MM = 1e-5
GRAZE_MM = 0.05  # nearer than this without touching, stepping cannot tell
ANGLE_DEG = 1e-3
CHORD_MM = 0.06  # the swept outline lies this far outside the true one at the most
LOOK_MM = 610.0
PIVOT_MM = 101.6  # 4 in
HEIGHT_MM = 1.0  # heights nearer than this are not told apart: rounds are chords there

unhurried = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

turns = st.floats(-pi, pi)
spots = st.tuples(st.floats(-3500, 7500), st.floats(-4000, 4000))
tops = st.sampled_from([None, 60.0, 150.0, 900.0])


@st.composite
def leaves(draw: st.DrawFn, id: str, hinges: str) -> Leaf:
    length = draw(st.floats(900, 3000))
    overlap = draw(st.floats(-300, 80))
    plate = Plate(what="edge", from_mm=length + overlap, to_mm=length + overlap + 70, off_from_mm=-60, off_to_mm=45)
    bracket = Plate(what="bracket", from_mm=300, to_mm=420, off_from_mm=draw(st.floats(-200, 0)), off_to_mm=90)
    return Leaf(
        id=id,
        post=f"P{id}",
        hinges=hinges,  # type: ignore[arg-type]  # drawn from the two words by the caller
        swings=draw(st.sampled_from(["in", "out"])),
        length_mm=length,
        near_edge_mm=draw(st.sampled_from([25.4, -300.0, -40.0, 0.0])),
        thickness_mm=draw(st.floats(20, 120)),
        plane_offset_mm=draw(st.sampled_from([0.0, 80.0, -70.0])),
        skew_rad=draw(st.sampled_from([0.0, 0.12, -0.2])),
        open_angle_rad=draw(st.floats(radians(30), pi)),
        height_mm=draw(st.sampled_from([1500.0, None])),
        bottom_gap_mm=draw(st.sampled_from([76.2, 120.0, None])),
        rake=draw(st.sampled_from([0.0, 0.05, -0.04])),
        plates=draw(st.sampled_from([(), (plate,), (plate, bracket)])),
    )


@st.composite
def posts(draw: st.DrawFn, id: str, x: float) -> Post:
    return Post(
        id=id,
        at=(x + draw(st.floats(-250, 250)), draw(st.floats(-100, 100))),
        hinge=(x, draw(st.sampled_from([0.0, 60.0]))),
        shape=draw(st.sampled_from(["square", "round"])),
        size_mm=draw(st.floats(60, 250)),
        depth_mm=draw(st.sampled_from([None, 150.0])),
        turn_rad=draw(turns),
        height_mm=draw(st.sampled_from([None, 1800.0])),
    )


@st.composite
def walls(draw: st.DrawFn, id: str) -> Edge:
    """A straight wall, one with a bend, or a closed one."""
    (x, y), turn, size = draw(spots), draw(turns), draw(st.floats(400, 3000))
    bend = draw(st.floats(-1.4, 1.4))
    first = (x + size * np.cos(turn), y + size * np.sin(turn))
    second = (first[0] + size * np.cos(turn + bend), first[1] + size * np.sin(turn + bend))
    square = tuple((x + dx * size, y + dy * size) for dx, dy in ((0, 0), (1, 0), (1.2, 1), (0, 1)))
    lines = [((x, y), first), ((x, y), first, second), square]
    line = draw(st.sampled_from(lines))
    return Edge(
        id=id,
        kind=draw(st.sampled_from(["wall", "fence", "kerb"])),
        line=tuple((float(a), float(b)) for a, b in draw(st.sampled_from([line, line[::-1]]))),
        closed=line is square,
        thickness_mm=draw(st.sampled_from([0.0, 100.0, 200.0])),
        thickness_lies=draw(st.sampled_from(["left", "right", "both"])),
        top_mm=draw(tops),
    )


@st.composite
def obstacles(draw: st.DrawFn, id: str) -> Obstacle:
    x, y = draw(spots)
    bottom = draw(st.sampled_from([0.0, 0.0, 1000.0, 1750.0, 2500.0]))
    top = draw(tops) if not bottom else None
    if draw(st.booleans()):
        return Round(id=id, what="bollard", at=(x, y), radius_mm=draw(st.floats(30, 400)), bottom_mm=bottom, top_mm=top)
    size = draw(st.floats(60, 900))
    outline = ((x, y), (x + size, y), (x + size, y + 300), (x + size / 2, y + 200), (x, y + 500))
    return Block(id=id, what="cabinet", outline=outline, bottom_mm=bottom, top_mm=top)


@st.composite
def grounds(draw: st.DrawFn) -> Ground:
    """A plane of any small slope, or rows of shots, each row level."""
    if draw(st.booleans()):
        grades = st.floats(-0.15, 0.15)
        return PlaneGround(height_mm=draw(st.floats(-500, 500)), x_grade=draw(grades), y_grade=draw(grades))
    rows = (-20000.0, draw(st.floats(-2500, -200)), draw(st.floats(100, 2500)), 20000.0)
    heights = [draw(st.floats(-200, 200)) for _ in rows]
    places = [(x, y, height) for y, height in zip(rows, heights, strict=True) for x in (-30000.0, 30000.0)]
    return ShotGround(
        shots=tuple(Shot(id=f"G{number}", at=(x, y), height_mm=z) for number, (x, y, z) in enumerate(places))
    )


@st.composite
def sites(draw: st.DrawFn) -> Document:
    width = draw(st.floats(3000, 4500))
    hinges = draw(st.sampled_from([("left",), ("right",), ("left", "right")]))
    hung = tuple(draw(leaves("A" if side == "left" else "B", side)) for side in hinges)
    line_turn, (x, y) = draw(turns), draw(spots)
    away = (50000 * np.cos(line_turn), 50000 * np.sin(line_turn))
    line = Edge(id="L", kind="property line", line=((x - away[0], y - away[1]), (x + away[0], y + away[1])))
    latch = {"left": "PB", "right": "PA"}[hinges[0]]
    return Document(
        project=Project(title="random"),
        edges=(line, *(draw(walls(f"W{number}")) for number in range(2))),
        obstacles=tuple(draw(obstacles(f"T{number}")) for number in range(3)),
        ground=draw(grounds()),
        posts=(draw(posts("PA", 0.0)), draw(posts("PB", width))),
        leaves=hung,
        gates=(Gate(id="G", leaves=tuple(leaf.id for leaf in hung), latch_post="" if len(hung) == 2 else latch),),
        pads=(
            Pad(
                id="D",
                at=draw(spots),
                width_mm=600,
                depth_mm=800,
                turn_rad=draw(turns),
                top_mm=draw(st.sampled_from([0.0, 100.0, 150.0])),
            ),
        ),
        drives=(
            Drive(
                id="M",
                leaf=hung[0].id,
                shaft=draw(spots),
                width_mm=300,
                depth_mm=draw(st.sampled_from([0.0, 400.0])),
                turn_rad=draw(turns),
            ),
        ),
        controls=(Control(id="K", what="keypad", at=draw(spots)),),
    )


def stepped_leaves(site: Document) -> list[SteppedLeaf]:
    return [SteppedLeaf(site, leaf) for leaf in site.leaves]


def meets(site: Document, stepped: SteppedLeaf, solid: Solid) -> bool:
    """Whether a thing and a leaf share a height; sites on the verge are passed over."""
    low, top = leaf_range(site, stepped)
    assume(abs(solid.high_mm - low) > HEIGHT_MM and abs(solid.low_mm - top) > HEIGHT_MM)
    return solid.high_mm > low and solid.low_mm < top


@unhurried
@given(sites())
def test_things_touched_and_the_angles_of_first_contact(site: Document) -> None:
    for stepped in stepped_leaves(site):
        found = {touch.thing: degrees(touch.angle_rad) for touch in leaf_contacts(site)[stepped.leaf.id].touches}
        stepwise = {}
        for solid in solids_of(site):
            distance = stepped.distance_to(solid)
            if meets(site, stepped, solid) and (first := stepped.first_contact(distance)) < inf:
                stepwise[solid.id] = degrees(first)
        grazed = {id for id in found.keys() ^ stepwise.keys() if _is_grazed(site, stepped, id)}
        assert {id: at for id, at in found.items() if id not in grazed} == pytest.approx(
            {id: at for id, at in stepwise.items() if id not in grazed}, abs=ANGLE_DEG
        )


def _is_grazed(site: Document, stepped: SteppedLeaf, id: str) -> bool:
    solid = next(each for each in solids_of(site) if each.id == id)
    least, unknown = stepped.least(stepped.distance_to(solid))
    return least - unknown > 0 and least < ROUNDING_MM


@unhurried
@given(sites())
def test_least_gap_to_each_thing_over_the_travel(site: Document) -> None:
    for stepped in stepped_leaves(site):
        passes = {each.thing: each for each in leaf_contacts(site)[stepped.leaf.id].passes}
        for solid in solids_of(site):
            distance = stepped.distance_to(solid)
            least, unknown = stepped.least(distance)
            assume(abs(least - LOOK_MM) > 1)
            assert (solid.id in passes) == (meets(site, stepped, solid) and least < LOOK_MM), solid.id
            if solid.id in passes:
                passing = passes[solid.id]
                assert least - unknown - ROUNDING_MM <= passing.gap_mm <= least + ROUNDING_MM
                assert float(distance(np.array([passing.angle_rad]))[0]) == pytest.approx(passing.gap_mm, abs=1e-4)


@unhurried
@given(sites())
def test_gap_behind_the_open_leaf(site: Document) -> None:
    for stepped in stepped_leaves(site):
        pockets = leaf_contacts(site)[stepped.leaf.id].pockets
        found = {each.thing: each.gap_mm for each in pockets if each.angle_rad == stepped.travel}
        expected = {}
        for solid in solids_of(site):
            catches = solid.bottom_mm < HIGH_MM and solid.id != stepped.leaf.post and meets(site, stepped, solid)
            gap = pocket_gap(site, stepped, solid, PIVOT_MM)
            assume(abs(gap - LOOK_MM) > 1)
            if catches and gap < LOOK_MM:
                expected[solid.id] = gap
        assert found == pytest.approx(expected, abs=1e-4)


@unhurried
@given(sites())
def test_gap_to_the_ground_over_the_travel(site: Document) -> None:
    fits = ground_fits(site)
    for stepped in stepped_leaves(site):
        if stepped.leaf.bottom_gap_mm is None:
            assert stepped.leaf.id not in fits
            continue
        fit, angles = fits[stepped.leaf.id], np.linspace(0.0, stepped.travel, 501)
        lows, highs = ground_gaps(site, stepped, angles)
        between = 0.35 * stepped.reach * stepped.travel / 1000  # slopes of shots and rake together stay below 0.35
        ends = np.array([fit.least.angle_rad, fit.greatest.angle_rad])
        (at_least, _), (_, at_greatest) = ground_gaps(site, stepped, ends)
        assert fit.covered
        assert lows.min() - between <= fit.least.gap_mm <= lows.min() + ROUNDING_MM
        assert highs.max() - ROUNDING_MM <= fit.greatest.gap_mm <= highs.max() + between
        assert (at_least, at_greatest) == pytest.approx((fit.least.gap_mm, fit.greatest.gap_mm), abs=1e-6)


@unhurried
@given(sites())
def test_first_contact_with_the_ground(site: Document) -> None:
    for stepped in stepped_leaves(site):
        if stepped.leaf.bottom_gap_mm is None:
            continue
        fit = ground_fits(site)[stepped.leaf.id]
        assume(abs(fit.least.gap_mm) > GRAZE_MM)
        first, angles = fit.first_below(0.0), np.linspace(0.0, stepped.travel, 501)
        struck = np.flatnonzero(ground_gaps(site, stepped, angles)[0] <= 0)
        assert (first is None) == (fit.least.gap_mm > 0)
        if first is None:
            assert not len(struck)
            continue
        assert not len(struck) or first <= angles[struck[0]] + ROUNDING_MM
        before = np.linspace(0.0, max(0.0, first - radians(ANGLE_DEG)), 501)
        assert first < radians(ANGLE_DEG) or ground_gaps(site, stepped, before)[0].min() > 0
        at = ground_gaps(site, stepped, np.array([first]))[0][0]
        assert at == pytest.approx(0, abs=1e-5) or first == 0


@unhurried
@given(sites())
def test_clear_opening_of_the_open_gate(site: Document) -> None:
    posts = {solid.id: solid for solid in solids_of(site)}
    sides: dict[str, list[float]] = {"left": [], "right": []}
    for stepped in stepped_leaves(site):
        sides[stepped.leaf.hinges] += stepped.corners_at(np.array([stepped.travel]))[..., 0].ravel().tolist()
    for id, side in (("PA", "left"), ("PB", "right")):
        post = posts[id]
        sides[side] += [post.shape.bounds[0] - post.radius_mm, post.shape.bounds[2] + post.radius_mm]
    clear = min(sides["right"]) - max(sides["left"])
    assert openings(site)["G"].clear_mm == pytest.approx(clear, abs=0.5)  # a turned round post is drawn in chords


def _line_solid(edge: Edge) -> Solid:
    shape = shapely.LinearRing(edge.line) if edge.closed else shapely.LineString(edge.line)
    return Solid(edge.id, shape, 0.0, -inf, inf, 0.0)


@unhurried
@given(sites())
def test_swing_over_a_line(site: Document) -> None:
    found = {crossing.leaf: crossing for crossing in crossings(site)}
    line = np.array(site.edges[0].line)
    for stepped in stepped_leaves(site):
        distance = stepped.distance_to(_line_solid(site.edges[0]))
        angles = np.linspace(0.0, stepped.travel, 2001)
        beyond = float(reach_beyond(stepped, line, angles).max())
        between = stepped.reach * stepped.travel / 4000
        assume(abs(beyond) > between + GRAZE_MM)
        assume(float(_line_solid(site.edges[0]).shape.distance(shapely.Point(stepped.hinge))) > 2)
        assert (stepped.leaf.id in found) == (beyond > 0)
        if beyond > 0:
            crossing = found[stepped.leaf.id]
            at = reach_beyond(stepped, line, np.array([crossing.at_angle_rad]))[0]
            assert beyond - ROUNDING_MM <= crossing.beyond_mm <= beyond + between
            assert at == pytest.approx(crossing.beyond_mm, abs=1e-4)
            assert degrees(crossing.first_angle_rad) == pytest.approx(
                degrees(stepped.first_contact(distance)), abs=ANGLE_DEG
            )


@unhurried
@given(sites())
def test_first_crossing_of_a_closed_line_around_the_gate(site: Document) -> None:
    around = ((-1500.0, -900.0), (5800.0, -1200.0), (6100.0, 1400.0), (-1400.0, 1100.0))
    ring = replace(site.edges[0], closed=True, line=around)
    found = {crossing.leaf: crossing for crossing in crossings(replace(site, edges=(ring,)))}
    for stepped in stepped_leaves(site):
        distance = stepped.distance_to(_line_solid(ring))
        first = stepped.first_contact(distance)
        assume(first < inf or stepped.least(distance)[0] > GRAZE_MM)
        assert (stepped.leaf.id in found) == (first < inf)
        if first < inf:
            assert degrees(found[stepped.leaf.id].first_angle_rad) == pytest.approx(degrees(first), abs=ANGLE_DEG)


@unhurried
@given(sites())
def test_distance_of_a_control_from_the_moving_leaves(site: Document) -> None:
    (reach,) = control_reaches(site)
    control = Solid("K", shapely.Point(site.controls[0].at), 0.0, 0.0, inf, 0.0)
    found = [stepped.least(stepped.distance_to(control)) for stepped in stepped_leaves(site)]
    least, unknown = min(found)
    assert least - unknown - CHORD_MM <= reach.distance_mm <= least + ROUNDING_MM
