"""Lines, areas and things overhead, each on a site as small as it can be."""

from math import asin, atan2, degrees, hypot

import pytest
from msgspec.structs import replace

from siteplan.analysis.boundaries import Crossing, Headroom, crossings, headrooms
from siteplan.analysis.outlines import crossed_outlines
from siteplan.model.document import Document
from siteplan.model.gate import Gate, Leaf, Plate, Post
from siteplan.model.project import Project
from siteplan.model.site import Block, Edge, Ground, KeepClear, PlaneGround, Shot, ShotGround

LEAF = Leaf(id="A", post="PA", hinges="left", swings="in", length_mm=3000.0)
POSTS = (Post(id="PA", at=(-200.0, 0.0), hinge=(0.0, 0.0)), Post(id="PB", at=(3300.0, 0.0)))
SITE = Document(
    project=Project(title="one leaf"),
    ground=PlaneGround(),
    posts=POSTS,
    leaves=(LEAF,),
    gates=(Gate(id="G", leaves=("A",), latch_post="PB"),),
)
LINE = Edge(id="L", kind="property line", line=((-9000.0, 2000.0), (9000.0, 2000.0)))
BEAM = Block(
    id="H", what="beam", outline=((-9e3, 0.0), (9e3, 0.0), (9e3, 300.0), (-9e3, 300.0)), bottom_mm=4000.0, top_mm=4200.0
)
BOW_TIE = ((500.0, 500.0), (1500.0, 1500.0), (1500.0, 500.0), (500.0, 1500.0))


def crossing(**parts: object) -> Crossing:
    (found,) = crossings(replace(SITE, **parts))
    return found


def headroom(**parts: object) -> Headroom:
    (found,) = headrooms(replace(SITE, **parts))
    return found


def shots(*places: tuple[float, float, float]) -> Ground:
    return ShotGround(
        shots=tuple(Shot(id=f"G{number}", at=(x, y), height_mm=z) for number, (x, y, z) in enumerate(places))
    )


def test_first_angle_over_a_line_is_that_of_body_or_plate_whichever_comes_first() -> None:
    plate = Plate(what="bracket", from_mm=2000.0, to_mm=2400.0, off_from_mm=0.0, off_to_mm=400.0)
    found = crossing(leaves=(replace(LEAF, plates=(plate,)),), edges=(LINE,))
    by_hand = min(asin(2000 / hypot(3000, 25.4)) - atan2(25.4, 3000), asin(2000 / hypot(2400, 400)) - atan2(400, 2400))
    assert degrees(found.first_angle_rad) == pytest.approx(degrees(by_hand), abs=1e-6)


def test_hinge_on_the_closing_side_of_a_closed_line_stands_on_it() -> None:
    around = ((4000.0, 0.0), (4000.0, 9000.0), (-4000.0, 9000.0), (-4000.0, 0.0))
    leaf = replace(LEAF, plane_offset_mm=50.0)
    assert crossings(replace(SITE, leaves=(leaf,), edges=(replace(LINE, line=around, closed=True),))) == ()


def test_leaf_whose_outer_face_stands_on_a_line_does_not_swing_over_it() -> None:
    face = replace(LINE, line=((-9000.0, -LEAF.thickness_mm / 2), (9000.0, -LEAF.thickness_mm / 2)))
    assert crossings(replace(SITE, edges=(face,))) == ()


def test_area_the_closed_leaf_stands_in_is_entered_from_the_start() -> None:
    area = KeepClear(id="E", why="easement", outline=((-500.0, -500.0), (3500.0, -500.0), (3500.0, 500.0)))
    assert crossing(keep_clear=(area,)).first_angle_rad == 0.0


def test_even_bow_tie_is_told_to_cross_itself() -> None:
    block = Block(id="T", what="cabinet", outline=BOW_TIE)
    assert [each.id for each in crossed_outlines(replace(SITE, obstacles=(block,)))] == ["T"]


def test_wall_that_hangs_over_the_way_is_overhead() -> None:
    wall = Edge(id="H", kind="wall", line=((-500.0, 0.0), (4000.0, 0.0)), bottom_mm=4000.0, top_mm=4500.0)
    assert headroom(edges=(wall,)).clear_mm == pytest.approx(4000.0)


def test_hump_in_the_middle_of_the_way_counts_below_a_beam() -> None:
    hump = shots((-9000.0, -9000.0, 0.0), (9000.0, -9000.0, 0.0), (9000.0, 9000.0, 0.0), (-9000.0, 9000.0, 0.0),
                 (1500.0, 150.0, 600.0))  # fmt: skip
    assert headroom(obstacles=(BEAM,), ground=hump).clear_mm == pytest.approx(4000.0 - 600.0)


def test_beam_whose_ends_lie_beyond_the_shots_counts_from_the_known_ground() -> None:
    known = shots(*((x, y, -3000.0) for x in (-4500.0, 4500.0) for y in (-4500.0, 4500.0)))
    found = headroom(obstacles=(BEAM,), ground=known)
    assert found.clear_mm == pytest.approx(4000.0)
    assert not found.covered
