from math import cos, pi, sin

import pytest
from msgspec.structs import replace

from siteplan.errors import ModelError
from siteplan.model.gate import Leaf
from siteplan.model.placing import closed_direction_rad, hinge_of, turn_side
from tests.model.sample_sites import courtyard


def leaf(hinges: str, swings: str, skew_rad: float = 0.0) -> Leaf:
    plain = Leaf(id="A", post="PA", hinges="left", swings="in", length_mm=1000.0, skew_rad=skew_rad)
    return replace(plain, hinges=hinges, swings=swings)


# Own derivation: seen from outside, y into the property, so a left-hung leaf that swings in turns from +x towards +y.
@pytest.mark.parametrize(
    ("hinges", "swings", "side"), [("left", "in", 1), ("right", "in", -1), ("left", "out", -1), ("right", "out", 1)]
)
def test_turn_side_of_each_hand(hinges: str, swings: str, side: int) -> None:
    assert turn_side(leaf(hinges, swings)) == side


@pytest.mark.parametrize(("hinges", "direction"), [("left", 0.0), ("right", pi)])
def test_a_leaf_without_skew_closes_along_the_gate_line(hinges: str, direction: float) -> None:
    assert closed_direction_rad(leaf(hinges, "in")) == direction


@pytest.mark.parametrize("hinges", ["left", "right"])
@pytest.mark.parametrize(("swings", "inward"), [("in", 1), ("out", -1)])
def test_skew_turns_the_closed_tip_to_the_opening_side(hinges: str, swings: str, inward: int) -> None:
    assert sin(closed_direction_rad(leaf(hinges, swings, skew_rad=0.1))) * inward == pytest.approx(sin(0.1))


@pytest.mark.parametrize(("hinges", "along"), [("left", 1), ("right", -1)])
def test_skew_leaves_the_tip_on_its_side_of_the_hinge(hinges: str, along: int) -> None:
    assert cos(closed_direction_rad(leaf(hinges, "out", skew_rad=0.1))) * along == pytest.approx(cos(0.1))


def test_hinge_of_a_leaf_is_the_axis_of_its_post() -> None:
    assert hinge_of(courtyard(), courtyard().leaves[1]) == (3657.6, 50.8)


def test_a_leaf_on_a_missing_post_names_the_posts() -> None:
    with pytest.raises(ModelError, match="Leaf A: hangs on post 'PX', but the posts are PA and PB"):
        hinge_of(courtyard(), replace(leaf("left", "in"), post="PX"))


def test_a_leaf_on_a_post_without_axis_asks_for_one() -> None:
    bare = replace(courtyard().posts[0], hinge=None)

    with pytest.raises(ModelError, match="Leaf A: post 'PA' has no hinge axis"):
        hinge_of(replace(courtyard(), posts=(bare,)), leaf("left", "in"))
