from math import pi

import pytest
from msgspec.structs import replace

from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.dragging import (
    Handle,
    dragged,
    handles_of,
    label_of,
    measured,
    name_of_record,
    own_places,
    swing_angle,
    whole_handle,
)
from siteplan.errors import ModelError
from siteplan.model.document import Document, find_record
from siteplan.model.edits import added
from siteplan.model.gate import Control
from siteplan.model.site import Block, KeepClear, Round
from tests.demo import demo_site

INCH = 25.4


@pytest.fixture
def site() -> Document:
    document = demo_site("courtyard-pair")
    document = added(document, Round(id="T1", what="tree", at=(-2000.0, 3000.0), radius_mm=150.0))
    document = added(
        document, Block(id="B1", what="cabinet", outline=((-3000.0, 0.0), (-2500.0, 0.0), (-2500.0, 500.0)))
    )
    document = added(document, Control(id="C1", what="keypad", at=(-1500.0, -3000.0)))
    return added(document, KeepClear(id="E1", why="easement", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))))


def handle(site: Document, id: str, part: str) -> Handle:
    return next(each for each in handles_of(site, id) if each.part == part)


def record(site: Document, id: str) -> object:
    return find_record(site, id)


@pytest.mark.parametrize(
    ("id", "parts"),
    [
        ("PA", ["whole", "hinge", "size"]),
        ("A", ["tip", "stop"]),
        ("pad-A", ["whole", "size"]),
        ("W", ["line.0", "line.1"]),
        ("B1", ["outline.0", "outline.1", "outline.2"]),
        ("T1", ["whole", "radius"]),
        ("C1", ["whole"]),
        ("S1", ["whole"]),
        ("drive-A", ["whole"]),
        ("G", []),
        ("nothing", []),
    ],
)
def test_handles_of_each_kind_of_thing(site: Document, id: str, parts: list[str]) -> None:
    assert [each.part for each in handles_of(site, id)] == parts


@pytest.mark.parametrize("id", ["PA", "pad-A", "W", "B1", "T1", "C1", "S1", "E1"])
def test_handle_dragged_nowhere_gives_the_very_document(site: Document, id: str) -> None:
    first = handles_of(site, id)[0]

    assert dragged(site, first, first.at) is site


def test_hinge_axis_is_dragged_alone(site: Document) -> None:
    changed = dragged(site, handle(site, "PA", "hinge"), (10.0, 20.0))

    post = next(each for each in changed.posts if each.id == "PA")
    assert (post.hinge, post.at) == ((10.0, 20.0), site.posts[0].at)


def test_end_of_a_wall_is_dragged_alone(site: Document) -> None:
    changed = dragged(site, handle(site, "W", "line.1"), (5.0, 6.0))

    assert changed.edges[0].line == ((172 * INCH, 72 * INCH), (5.0, 6.0))


def test_whole_wall_moves_with_all_its_places(site: Document) -> None:
    grip = whole_handle(site, "W", (0.0, 0.0))
    assert grip is not None

    changed = dragged(site, grip, (100.0, 0.0))

    assert changed.edges[0].line[1] == pytest.approx((172 * INCH + 100.0, 110 * INCH))


def test_leaf_has_no_place_of_its_own(site: Document) -> None:
    assert whole_handle(site, "A", (0.0, 0.0)) is None


def test_tip_behind_the_hinge_is_refused(site: Document) -> None:
    with pytest.raises(ModelError, match="Leaf A"):
        dragged(site, handle(site, "A", "tip"), (-1000.0, 0.0))


def test_open_stop_of_a_right_hand_leaf_is_counted_from_closed(site: Document) -> None:
    hinge_x = 160 * INCH

    changed = dragged(site, handle(site, "B", "stop"), (hinge_x + 500.0, 500.0))

    assert next(leaf for leaf in changed.leaves if leaf.id == "B").open_angle_rad == pytest.approx(0.75 * pi)


def test_open_stop_pulled_behind_the_closed_leaf_stays_just_open(site: Document) -> None:
    changed = dragged(site, handle(site, "A", "stop"), (500.0, -50.0))

    assert changed.leaves[0].open_angle_rad == pytest.approx(pi / 180)


def test_radius_follows_the_pointer(site: Document) -> None:
    changed = dragged(site, handle(site, "T1", "radius"), (-2000.0, 3400.0))

    assert next(each for each in changed.obstacles if isinstance(each, Round)).radius_mm == pytest.approx(400.0)


def test_square_post_stays_square(site: Document) -> None:
    changed = dragged(site, handle(site, "PA", "size"), (-6 * INCH + 100.0, 80.0))

    assert changed.posts[0].size_mm == pytest.approx(200.0)


def test_round_post_takes_its_corner_as_radius(site: Document) -> None:
    post = replace(site.posts[0], shape="round")
    site = replace(site, posts=(post, *site.posts[1:]))

    changed = dragged(site, handle(site, "PA", "size"), (-6 * INCH + 60.0, 80.0))

    assert changed.posts[0].size_mm == pytest.approx(200.0)


@pytest.mark.parametrize(
    ("id", "part", "label"),
    [
        ("PA", "whole", "Move post PA"),
        ("A", "tip", "Set length of leaf A"),
        ("A", "stop", "Set open stop of leaf A"),
        ("PA", "hinge", "Move hinge axis of post PA"),
        ("W", "line.1", "Move place of wall W"),
        ("T1", "radius", "Set radius of tree T1"),
    ],
)
def test_drag_is_named_for_the_history(site: Document, id: str, part: str, label: str) -> None:
    assert label_of(site, handle(site, id, part)) == label


@pytest.mark.parametrize(
    ("id", "part", "to", "words"),
    [
        ("A", "tip", (50 * INCH, 0.0), "4'-2\""),
        ("A", "stop", (500.0, 500.0), "45.0°"),
        ("PA", "whole", (-10 * INCH, 3 * INCH), '4" left, 3" inward'),
        ("pad-A", "size", (-6 * INCH, 33 * INCH), "2'-0\" by 2'-6\""),
        ("T1", "radius", (-2000.0 + 12 * INCH, 3000.0), "1'-0\""),
    ],
)
def test_number_beside_the_pointer(site: Document, id: str, part: str, to: tuple[float, float], words: str) -> None:
    taken = handle(site, id, part)

    assert measured(dragged(site, taken, to), taken, site, "ftin") == words


def test_snapping_places_of_a_post_end_with_its_hinge_axis(site: Document) -> None:
    assert own_places(site, handle(site, "PA", "whole"))[-1] == (0.0, 0.0)


def test_tip_of_a_leaf_snaps_to_nothing(site: Document) -> None:
    assert own_places(site, handle(site, "A", "tip")) == ()


def test_leaf_pulled_by_a_right_angle_opens_by_it(site: Document) -> None:
    place = leaf_places(site)["B"]
    x = 160 * INCH

    assert swing_angle(place, (x - 500.0, 0.0), (x, 500.0), 0.0) == pytest.approx(pi / 2)


def test_leaf_pulled_shut_stays_closed(site: Document) -> None:
    assert swing_angle(leaf_places(site)["A"], (500.0, 0.0), (500.0, -200.0), 0.1) == 0.0


def test_name_does_not_say_its_kind_twice(site: Document) -> None:
    found = find_record(site, "pad-A")

    assert found is not None
    assert name_of_record(found) == "pad-A"
