from math import inf

import pytest
from hypothesis import given
from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.document import Document
from siteplan.model.fields import number_at, number_fields, with_number, with_places, with_value
from siteplan.model.gate import Leaf, Post
from siteplan.model.parts import parts_of
from siteplan.model.site import Edge
from tests.model.sample_sites import courtyard, documents, unhurried

LEAF = Leaf(id="A", post="P", hinges="left", swings="in", length_mm=2438.4)
WALL = Edge(id="W", kind="wall", line=((0.0, 1.0), (2.0, 3.0), (4.0, 5.0)))


def label_at(record: Struct, path: str) -> str:
    return next(number.label for number in number_fields(record) if number.path == path)


def plated_leaf() -> Leaf:
    return courtyard().leaves[0]


@pytest.mark.parametrize(
    ("record", "path", "label"),
    [
        (LEAF, "near_edge_mm", "near edge"),
        (LEAF, "open_angle_rad", "open angle"),
        (WALL, "line.2.0", "line 3, right"),
        (WALL, "line.0.1", "line 1, inward"),
        (Post(id="P", at=(0.0, 0.0)), "at.1", "at, inward"),
        (plated_leaf(), "plates.0.off_from_mm", "plate 1, off from"),
        (courtyard().ground, "shots.1.at.0", "shot 2, at, right"),
    ],
)
def test_label_says_the_field_in_words(record: Struct, path: str, label: str) -> None:
    assert label_at(record, path) == label


def test_a_number_not_known_is_listed_without_a_value() -> None:
    assert [number.value for number in number_fields(LEAF) if number.path == "height_mm"] == [None]


def test_a_place_not_known_lists_no_numbers() -> None:
    post = Post(id="P", at=(0.0, 0.0))

    assert not [number for number in number_fields(post) if number.path.startswith("hinge")]


def test_number_tells_its_quantity_and_sign() -> None:
    by_path = {number.path: (number.quantity, number.signed) for number in number_fields(LEAF)}

    assert (by_path["length_mm"], by_path["skew_rad"], by_path["rake"], by_path["weight_kg"]) == (
        ("length", False),
        ("angle", True),
        ("grade", True),
        ("weight", False),
    )


def test_with_number_changes_one_coordinate_of_a_line() -> None:
    assert with_number(WALL, "line.1.0", 7.0).line == ((0.0, 1.0), (7.0, 3.0), (4.0, 5.0))


def test_with_number_changes_a_plate_in_a_leaf() -> None:
    assert with_number(plated_leaf(), "plates.0.to_mm", 2500.0).plates[0].to_mm == 2500.0


def test_with_number_clears_a_number_that_may_be_unknown() -> None:
    assert with_number(plated_leaf(), "weight_kg", None).weight_kg is None


def test_with_number_of_the_same_value_is_the_very_record() -> None:
    assert with_number(LEAF, "length_mm", 2438.4) is LEAF


def test_with_number_refuses_to_clear_a_number_that_is_needed() -> None:
    with pytest.raises(ModelError, match="Leaf A: length must be a length, not None"):
        with_number(LEAF, "length_mm", None)


def test_with_number_refuses_what_no_site_can_have() -> None:
    with pytest.raises(ModelError, match="length must be a plain number, not inf"):
        with_number(LEAF, "length_mm", inf)


@pytest.mark.parametrize(
    "path", ["lenght_mm", "plates.0.from_mm", "length_mm.0", "", "line", "plates.-1.from_mm", "id."]
)
def test_a_path_to_nothing_is_refused(path: str) -> None:
    with pytest.raises(ModelError, match="Leaf A: there is no"):
        number_at(LEAF, path)


def test_a_path_to_a_word_is_not_a_number() -> None:
    with pytest.raises(ModelError, match="Leaf A: 'hinges' is not a number of a leaf"):
        number_at(LEAF, "hinges")


def test_with_value_refuses_a_word_the_field_does_not_know() -> None:
    with pytest.raises(ModelError, match="Leaf A: hinges must be left or right, not 'up'"):
        with_value(LEAF, "hinges", "up")


def test_with_value_gives_a_post_its_hinge_axis() -> None:
    assert with_value(Post(id="P", at=(0.0, 0.0)), "hinge", (1.0, 2.0)).hinge == (1.0, 2.0)


def test_with_places_changes_nothing_in_a_record_without_places() -> None:
    assert with_places(plated_leaf(), lambda place: (place[0] + 1, place[1])) == plated_leaf()


def test_with_places_reaches_every_place() -> None:
    moved = with_places(WALL, lambda place: (place[0] + 1, place[1]))

    assert moved.line == ((1.0, 1.0), (3.0, 3.0), (5.0, 5.0))


@unhurried
@given(documents())
def test_every_number_is_found_again_by_its_path(document: Document) -> None:
    found = [(part, number) for part in parts_of(document) for number in number_fields(part)]

    assert [number_at(part, number.path) for part, number in found] == [number.value for _, number in found]


@unhurried
@given(documents())
def test_every_number_can_be_set_to_itself(document: Document) -> None:
    found = [(part, number) for part in parts_of(document) for number in number_fields(part)]

    assert all(with_number(part, number.path, number.value) is part for part, number in found)
