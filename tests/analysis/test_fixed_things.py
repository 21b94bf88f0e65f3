from math import inf

import pytest
import shapely
from msgspec.structs import replace

from siteplan.analysis.fixed_things import FixedThings, Thing, fixed_things, footprint
from siteplan.model.document import Document
from siteplan.model.drives import Pad
from siteplan.model.gate import Post
from siteplan.model.site import Block, Edge, PlaneGround, Round
from tests.demo import demo_site

WALL = Edge(id="W", kind="wall", line=((0.0, 0.0), (0.0, 1000.0)), thickness_mm=200.0, top_mm=1500.0)


def site_with(*obstacles: Block | Round, **parts: object) -> Document:
    return replace(demo_site("courtyard-pair"), obstacles=obstacles, **parts)


def thing(found: FixedThings, id: str) -> Thing:
    return next(each for each in found.things if each.id == id)


@pytest.mark.parametrize(
    ("lies", "bounds"),
    [("both", (-100, 0, 100, 1000)), ("left", (-200, 0, 0, 1000)), ("right", (0, 0, 200, 1000))],
)
def test_thickness_lies_on_the_side_walked_along(lies: str, bounds: tuple[float, ...]) -> None:
    assert footprint(replace(WALL, thickness_lies=lies)).bounds == pytest.approx(bounds)


def test_round_things_are_kept_as_true_circles() -> None:
    found = fixed_things(site_with(Round(id="T", what="tree", at=(3000.0, 4000.0), radius_mm=150.0)))
    assert found.discs.tolist() == [[3000.0, 4000.0, 150.0]]


def test_thing_of_unknown_height_is_taken_as_tall() -> None:
    found = fixed_things(site_with(Round(id="T", what="tree", at=(3000.0, 4000.0), radius_mm=150.0)))
    assert thing(found, "T").high_mm == inf


def test_heights_count_from_the_ground_beside_the_thing() -> None:
    block = Block(id="T", what="step", outline=((0.0, 1000.0), (500.0, 1000.0), (500.0, 2000.0)), top_mm=100.0)
    found = fixed_things(site_with(block, ground=PlaneGround(y_grade=0.1)))
    assert (thing(found, "T").low_mm, thing(found, "T").high_mm) == pytest.approx((100.0, 300.0))


def test_open_line_counts_the_ground_at_both_its_ends() -> None:
    line = replace(WALL, thickness_mm=0.0, line=((0.0, 0.0), (0.0, 1000.0)), top_mm=0.0)
    found = fixed_things(site_with(edges=(line,), ground=PlaneGround(y_grade=0.1)))
    assert thing(found, "W").high_mm == pytest.approx(100.0)


def test_flush_pad_is_ground_and_raised_pad_is_a_thing() -> None:
    pads = (
        Pad(id="flush", at=(0.0, 0.0), width_mm=500.0, depth_mm=500.0),
        Pad(id="raised", at=(0.0, 0.0), width_mm=500.0, depth_mm=500.0, top_mm=100.0),
    )
    names = {each.id for each in fixed_things(site_with(pads=pads)).things}
    assert ("flush" in names, "raised" in names) == (False, True)


def test_turned_post_keeps_its_corners() -> None:
    post = Post(id="P", at=(0.0, 0.0), size_mm=100.0, turn_rad=0.7853981633974483)
    assert footprint(post).bounds == pytest.approx((-70.71, -70.71, 70.71, 70.71), abs=0.01)


def test_lines_on_the_ground_are_no_things() -> None:
    names = {each.id for each in fixed_things(demo_site("courtyard-pair")).things}
    assert names == {"W", "PA", "PB"}


@pytest.mark.parametrize("name", ["segments", "discs", "lows", "highs"])
def test_arrays_cannot_change(name: str) -> None:
    assert not getattr(fixed_things(demo_site("courtyard-pair")), name).flags.writeable


@pytest.mark.parametrize(("lies", "outer", "inner"), [("left", 1000, 800), ("right", 1200, 1000)])
def test_closed_wall_has_both_its_faces(lies: str, outer: float, inner: float) -> None:
    square = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0))
    wall = replace(WALL, line=square, closed=True, thickness_mm=100.0, thickness_lies=lies)
    assert footprint(wall).area == pytest.approx(outer**2 - inner**2)


def test_closed_wall_there_and_back_is_a_wall() -> None:
    wall = replace(WALL, line=((0.0, 0.0), (1000.0, 0.0), (0.0, 0.0)), closed=True, thickness_mm=100.0)
    assert footprint(wall).area == pytest.approx(100.0 * 1000.0)


def test_wall_that_folds_back_keeps_both_its_legs() -> None:
    wall = replace(WALL, line=((0.0, 0.0), (1000.0, 0.0), (100.0, 300.0)), thickness_mm=100.0, thickness_lies="left")
    assert footprint(wall).contains(shapely.Point(950.0, 5.0))
