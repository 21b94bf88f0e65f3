"""What a leaf meets: heights on slopes, plates, things around and beyond; each site as small as it can be."""

from math import asin, atan2, hypot, pi

import pytest
from msgspec.structs import replace

from siteplan.analysis.leaf_contacts import LeafContacts, leaf_contacts
from siteplan.model.document import Document
from siteplan.model.gate import Leaf, Plate, Post
from siteplan.model.project import Project
from siteplan.model.site import Block, Edge, PlaneGround, Round, Shot, ShotGround

LEAF = Leaf(id="A", post="P", hinges="left", swings="in", length_mm=3000.0, height_mm=1500.0, bottom_gap_mm=75.0)
POST = Post(id="P", at=(-900.0, 0.0), hinge=(0.0, 0.0))
SITE = Document(project=Project(title="one leaf"), ground=PlaneGround(), posts=(POST,), leaves=(LEAF,))
STONE = Round(id="T", what="stone", at=(2000.0, 1000.0), radius_mm=50.0, top_mm=50.0)


def contacts(leaf: Leaf = LEAF, site: Document = SITE, **parts: object) -> LeafContacts:
    return leaf_contacts(replace(site, leaves=(leaf,), **parts))["A"]


def touched(found: LeafContacts) -> list[str]:
    return [touch.thing for touch in found.touches]


def test_plate_that_meets_a_thing_before_the_body_gives_the_first_angle() -> None:
    plate = Plate(what="bracket", from_mm=1000.0, to_mm=1200.0, off_from_mm=0.0, off_to_mm=200.0)
    wall = Edge(id="W", kind="wall", line=((0.0, 1100.0), (5000.0, 1100.0)))
    (touch,) = contacts(replace(LEAF, length_mm=1300.0, plates=(plate,)), edges=(wall,)).touches
    by_hand = asin(1100 / hypot(1200, 200)) - atan2(200, 1200)  # the corner of the bracket meets the wall
    assert touch.angle_rad == pytest.approx(by_hand, abs=1e-6)


def test_heel_of_a_raked_leaf_hangs_lower_than_its_hinge_end() -> None:
    leaf = replace(LEAF, near_edge_mm=-600.0, rake=0.1)
    under_heel = replace(STONE, at=(0.0, -500.0), top_mm=40.0)
    assert touched(contacts(leaf, obstacles=(under_heel,))) == ["T"]


def test_plate_beyond_the_tip_of_a_raked_leaf_hangs_lower_still() -> None:
    plate = Plate(what="overlap", from_mm=2900.0, to_mm=3400.0, off_from_mm=-20.0, off_to_mm=20.0)
    leaf = replace(LEAF, rake=-0.02, plates=(plate,))
    assert touched(contacts(leaf, obstacles=(replace(STONE, at=(0.0, 3200.0), top_mm=10.0),))) == ["T"]


SHOTS_UP_THE_HILL = ShotGround(
    shots=tuple(
        Shot(id=f"G{number}", at=at, height_mm=9000.0)
        for number, at in enumerate([(-4000.0, 500.0), (4000.0, 500.0), (4000.0, 5000.0), (-4000.0, 5000.0)])
    )
)


@pytest.mark.parametrize("lift", [-18000.0, 0.0])
def test_leaf_whose_hinge_stands_beyond_the_shots_may_meet_anything(lift: float) -> None:
    shots = tuple(replace(shot, height_mm=shot.height_mm + lift) for shot in SHOTS_UP_THE_HILL.shots)
    assert touched(contacts(obstacles=(replace(STONE, top_mm=900.0),), ground=ShotGround(shots=shots))) == ["T"]


def test_pocket_of_a_leaf_whose_hinge_stands_beyond_the_shots_is_found() -> None:
    wall = Edge(id="W", kind="wall", line=((-300.0, 1000.0), (-300.0, 2000.0)), top_mm=900.0)
    found = contacts(edges=(wall,), ground=SHOTS_UP_THE_HILL)
    assert [each.thing for each in found.pockets] == ["W"]


def test_kerb_over_a_hump_of_the_ground_counts_at_its_highest() -> None:
    shots = [(-9000.0, -500.0), (9000.0, -500.0), (0.0, 0.0)]
    ridge = [Shot(id=f"G{x}{y}", at=(x, y), height_mm=z) for x, z in shots for y in (-9000.0, 9000.0)]
    kerb = Edge(id="K", kind="kerb", line=((-8000.0, 1500.0), (8000.0, 1500.0)), top_mm=150.0)
    assert touched(contacts(edges=(kerb,), ground=ShotGround(shots=tuple(ridge)))) == ["K"]


def test_thing_that_surrounds_the_whole_swing_is_struck_from_the_start() -> None:
    slab = Block(id="T", what="slab", outline=((-9e3, -9e3), (9e3, -9e3), (9e3, 9e3), (-9e3, 9e3)), top_mm=100.0)
    assert [(touch.thing, touch.angle_rad) for touch in contacts(obstacles=(slab,)).touches] == [("T", 0.0)]


def test_round_thing_that_surrounds_the_whole_swing_is_struck_from_the_start() -> None:
    plinth = Round(id="T", what="plinth", at=(0.0, 0.0), radius_mm=9000.0, top_mm=100.0)
    assert touched(contacts(obstacles=(plinth,), posts=(replace(POST, at=(-90000.0, 0.0)),))) == ["T"]


def test_thing_with_top_and_underside_interchanged_still_stands_there() -> None:
    assert touched(contacts(obstacles=(replace(STONE, bottom_mm=2500.0, top_mm=0.0),))) == ["T"]


def test_thing_four_feet_over_risen_ground_catches_a_person() -> None:
    shelf = replace(STONE, at=(-300.0, 2000.0), bottom_mm=1200.0, top_mm=1300.0)
    found = contacts(replace(LEAF, height_mm=2500.0), obstacles=(shelf,), ground=PlaneGround(y_grade=0.4))
    assert [each.thing for each in found.pockets] == ["T"]


def test_wall_from_the_latch_round_the_yard_is_passed_by_the_tip() -> None:
    yard = ((3200.0, -100.0), (3200.0, 400.0), (5000.0, 400.0), (5000.0, 2400.0), (2300.0, 2400.0))
    wall = Edge(id="W", kind="wall", line=yard)
    found = contacts(edges=(wall,))
    assert [round(each.gap_mm) for each in found.pockets if 0.2 < each.angle_rad < pi / 2] == [324]


def test_leaf_shorter_than_the_hinge_zone_has_no_pockets() -> None:
    assert contacts(replace(LEAF, length_mm=90.0), obstacles=(replace(STONE, at=(0.0, 300.0)),)).pockets == ()
