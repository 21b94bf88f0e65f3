from math import pi

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.names import (
    LineName,
    Placing,
    busy_shapes,
    clipped,
    in_view,
    line_names,
    names_of,
)
from siteplan.geometry.points import Point, distance_between
from siteplan.model.document import Document
from siteplan.model.edits import moved
from tests.demo import demo_site

INCH = 25.4
BOX = (0.0, 0.0, 100.0, 50.0)
coordinates = st.floats(-300.0, 300.0)


@pytest.fixture
def site() -> Document:
    return demo_site("courtyard-pair")


def ten_mm(text: str) -> float:
    del text
    return 10.0


def name_of(site: Document, source: str) -> tuple[Point, float]:
    found = next(name for name in names_of(site) if name.source == source)
    return found.spots[0].at, found.spots[0].dy_mm


def test_leaf_name_stands_outside_the_closed_leaf(site: Document) -> None:
    assert name_of(site, "B")[1] < 0


def test_name_of_a_leaf_that_swings_out_stands_inside(site: Document) -> None:
    site = replace(site, leaves=(site.leaves[0], replace(site.leaves[1], swings="out")))

    assert name_of(site, "B")[1] > 0


def test_leaf_name_makes_room_for_a_sign(site: Document) -> None:
    assert name_of(site, "A")[0][0] == pytest.approx(61 * INCH / 4)  # signs hang at 36 in, beside the middle


def test_pad_name_goes_above_where_a_post_stands_below(site: Document) -> None:
    name = next(name for name in names_of(site) if name.source == "pad-A")
    below, above = name.spots

    assert Placing(shapely.STRtree([])).spot_of(name, ten_mm, 20.0) == below
    assert Placing(shapely.STRtree([shapely.Point(below.at).buffer(100.0)])).spot_of(name, ten_mm, 20.0) == above


def test_name_keeps_clear_of_another_name(site: Document) -> None:
    name = next(name for name in names_of(site) if name.source == "pad-A")
    placing = Placing(shapely.STRtree([]))

    assert placing.spot_of(name, ten_mm, 20.0) != placing.spot_of(name._replace(text="another"), ten_mm, 20.0)


def test_name_that_has_its_place_keeps_it(site: Document) -> None:
    name = next(name for name in names_of(site) if name.source == "pad-A")
    placing = Placing(shapely.STRtree([]))

    assert placing.spot_of(name, ten_mm, 20.0) == placing.spot_of(name, ten_mm, 20.0)


def test_line_name_keeps_off_the_open_leaf() -> None:
    site = demo_site("hill-drive")
    drive = ((6 * INCH, -1000.0), (6 * INCH, 5000.0))  # the open leaf stands 1 in beside the hinge axis

    name = LineName("drive", (drive,), "DL", is_new=False)
    (x, y), turn = Placing(busy_shapes(site)).beside_of(name, drive, 300.0, 40.0, 14.0, 200.0)

    assert turn == pytest.approx(pi / 2)
    letters = shapely.box(min(x, x - 200.0), y - 300.0, max(x, x - 200.0), y + 300.0)
    open_leaf = leaf_places(site)["A"].outline(pi / 2)
    assert not letters.intersects(open_leaf)


def test_every_pad_and_post_is_named(site: Document) -> None:
    assert {"pad-A", "pad-B", "post PA", "post PB"} <= {name.text for name in names_of(site)}


def test_spot_levels_carry_their_heights() -> None:
    assert "+4'-3\"" in {name.text for name in names_of(demo_site("hill-drive"))}


def test_wall_is_named_by_its_note(site: Document) -> None:
    assert "wall return" in {name.text for name in line_names(site)}


def test_names_of_lines_stay_while_a_pad_moves(site: Document) -> None:
    before = line_names(site)

    assert line_names(moved(site, ["pad-A"], 100.0, 0.0)) is before


def test_segment_across_a_box_is_cut_at_its_sides() -> None:
    assert clipped(((-50.0, 25.0), (150.0, 25.0)), BOX) == ((0.0, 25.0), (100.0, 25.0))


@pytest.mark.parametrize("piece", [((0.0, 60.0), (100.0, 60.0)), ((-10.0, 0.0), (-10.0, 50.0))])
def test_segment_beside_a_box_is_not_in_it(piece: tuple[Point, Point]) -> None:
    assert clipped(piece, BOX) is None


@given(coordinates, coordinates, coordinates, coordinates)
def test_cut_segment_lies_in_its_box(x1: float, y1: float, x2: float, y2: float) -> None:
    part = clipped(((x1, y1), (x2, y2)), BOX)

    assert part is None or all(-1e-6 <= x <= 100 + 1e-6 and -1e-6 <= y <= 50 + 1e-6 for x, y in part)


def test_name_takes_the_longest_piece_in_view() -> None:
    name = LineName("wall", (((0.0, 10.0), (20.0, 10.0)), ((20.0, 10.0), (20.0, 500.0))), "W", True)

    part = in_view(name, BOX, 5.0)

    assert part is not None
    assert distance_between(*part) == pytest.approx(40.0)


def test_line_hardly_in_view_is_not_named() -> None:
    name = LineName("wall", (((-100.0, 10.0), (3.0, 10.0)),), "W", True)

    assert in_view(name, BOX, 5.0) is None
