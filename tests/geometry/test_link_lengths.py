from math import degrees, pi, radians

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from siteplan.geometry.link_lengths import (
    Lengths,
    Refusal,
    bracket_for_spare,
    in_line_links,
    links_by_angles,
    shaft_for_links,
    square_links,
    with_links,
)
from siteplan.geometry.linkage import poses
from siteplan.geometry.points import Point

INCH = 25.4

shafts = st.tuples(st.floats(-1500, -150), st.floats(150, 1500))
pins = st.tuples(st.floats(700, 2400), st.floats(-100, 100))
opens = st.floats(radians(70), radians(115))


# Arms of the demo sites, worked by hand (law of cosines), in inches: c, d, b, e; driving and driven link, closed reach,
# greatest reach of the elbow outward and inward, crank travel, least torque ratio from 5 deg on, closing loss in/deg
@pytest.mark.parametrize(
    ("c", "d", "b", "e", "driving", "driven", "reach", "out", "inward", "travel", "ratio", "loss"),
    [
        (24, 26, 56, 3, 38.35, 44.89, 83.24, 47.89, 64.35, 144.6, 1.386, 0.320),
        (18, 18, 40, 3, 27.84, 32.07, 59.91, 35.07, 45.84, 142.3, 1.369, 0.225),
        (20, 24, 54, 3, 37.47, 39.45, 76.92, 42.45, 61.47, 142.7, 1.376, 0.308),
        (18, 20, 46, 3, 32.21, 34.01, 66.22, 37.01, 52.21, 141.0, 1.364, 0.257),
        (22, 24, 48, 4, 32.66, 40.15, 72.80, 44.15, 56.66, 148.6, 1.407, 0.297),
        (14, 12, 60, 3, 49.90, 24.64, 74.55, 27.64, 61.90, 112.8, 1.165, 0.178),
        (16, 12, 44, 3, 34.58, 26.10, 60.67, 29.10, 46.58, 120.8, 1.221, 0.166),
    ],
)
def test_arms_worked_by_hand(
    c: float, d: float, b: float, e: float, driving: float, driven: float, reach: float, out: float,
    inward: float, travel: float, ratio: float, loss: float,
) -> None:  # fmt: skip
    shaft, pin = (-c * INCH, d * INCH), (b * INCH, e * INCH)

    links = square_links(shaft, pin, pi / 2)

    assert isinstance(links, Lengths)
    arm = with_links(shaft, pin, links)
    whole = poses(arm, np.linspace(0, pi / 2, 901))
    judged = poses(arm, np.linspace(radians(5), pi / 2, 851))
    assert links.driving_mm / INCH == pytest.approx(driving, abs=0.0051)
    assert links.driven_mm / INCH == pytest.approx(driven, abs=0.0051)
    assert arm.closed_reach_mm / INCH == pytest.approx(reach, abs=0.0051)
    assert -whole.elbow[:, 0].min() / INCH == pytest.approx(out, abs=0.0051)
    assert whole.elbow[:, 1].max() / INCH == pytest.approx(inward, abs=0.0051)
    assert degrees(whole.crank_rad[-1] - whole.crank_rad[0]) == pytest.approx(travel, abs=0.051)
    assert judged.torque_ratio.min() == pytest.approx(ratio, abs=0.00051)
    lost = (e * c + b * d) / (arm.closed_reach_mm / INCH)
    assert lost * pi / 180 == pytest.approx(loss, abs=0.00051)


def test_link_square_at_a_stop_of_86_degrees() -> None:
    """Courtyard pair, leaf B stopped at 86 deg: 37.63 and 39.29 in, worked by hand."""
    links = square_links((-20 * INCH, 24 * INCH), (54 * INCH, 3 * INCH), radians(86))

    assert isinstance(links, Lengths)
    assert (links.driving_mm / INCH, links.driven_mm / INCH) == pytest.approx((37.63, 39.29), abs=0.0051)


@pytest.mark.parametrize(
    ("shaft", "pin", "why"),
    [
        ((-600.0, 600.0), (0.0, 0.0), Refusal.NO_LEVER),
        ((-600.0, 600.0), (-200.0, 0.0), Refusal.NO_LEVER),
        ((0.0, 0.0), (1200.0, 0.0), Refusal.ON_PIVOT),
        ((-600.0, 0.0), (1200.0, 0.0), Refusal.ON_LINE),
        ((-600.0, -600.0), (1200.0, 0.0), Refusal.PUSHES),
        ((-600.0, 1200.0), (1200.0, 0.0), Refusal.ELBOW_FLIPS),
        ((-600.0, 1300.0), (1200.0, 0.0), Refusal.ELBOW_FLIPS),
        ((400.0, 300.0), (1200.0, 0.0), Refusal.NO_LENGTH),
        ((-28.2 * INCH, 2.1 * INCH), (30 * INCH, -5 * INCH), Refusal.STRETCHED),
    ],
)
def test_places_without_a_square_arm_say_why(shaft: Point, pin: Point, why: Refusal) -> None:
    assert square_links(shaft, pin, pi / 2) is why


@given(
    st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000)),
    st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000)),
    st.floats(0.01, 3.1),
)
def test_any_place_gives_links_that_close_or_a_reason(shaft: Point, pin: Point, open_rad: float) -> None:
    links = square_links(shaft, pin, open_rad)

    if isinstance(links, Lengths):
        whole = poses(with_links(shaft, pin, links), np.linspace(0.0, open_rad, 60))
        assert np.isfinite(whole.crank_rad).all()
    else:
        assert isinstance(links, Refusal)


@given(shafts, pins, opens, st.floats(0, 20))
def test_shaft_is_found_back_from_its_links(shaft: Point, pin: Point, open_rad: float, spare: float) -> None:
    links = square_links(shaft, pin, open_rad, spare)
    assume(isinstance(links, Lengths))
    assert isinstance(links, Lengths)

    places = shaft_for_links(pin, open_rad, links, spare)

    assert min(abs(x - shaft[0]) + abs(y - shaft[1]) for x, y in places) < 1e-3


@given(shafts, pins, st.floats(0, 20))
def test_bracket_is_found_back_from_a_spare(shaft: Point, pin: Point, spare: float) -> None:
    links = square_links(shaft, pin, pi / 2, spare)
    assume(isinstance(links, Lengths))
    assert isinstance(links, Lengths)

    assert bracket_for_spare(shaft, pin[1], links, spare) == pytest.approx(pin[0], abs=1e-6)


@given(st.floats(-400, -100), st.floats(-900, -300), st.floats(700, 1500))
def test_pushing_arm_has_its_link_at_the_given_angles(x: float, y: float, along: float) -> None:
    shaft, pin = (x, y), (along, 0.0)
    links = links_by_angles(shaft, pin, pi / 2, -pi / 2, radians(-35))
    assume(isinstance(links, Lengths))
    assert isinstance(links, Lengths)

    pose = poses(with_links(shaft, pin, links), np.linspace(0.0, pi / 2, 60))

    assert np.isfinite(pose.crank_rad).all()
    assert (pose.link_rad[0], pose.link_rad[-1]) == pytest.approx((-pi / 2, radians(-35)), abs=1e-6)


def test_pushing_arm_whose_elbow_would_flip_is_refused() -> None:
    """The driven link is asked to stand before the leaf at closed and behind it when open."""
    links = links_by_angles((-200.0, -600.0), (1000.0, 0.0), pi / 2, radians(-90), radians(60))

    assert links is Refusal.ELBOW_FLIPS


def test_a_common_pushing_arm_can_be_made() -> None:
    assert isinstance(links_by_angles((-200.0, -600.0), (1000.0, 0.0), pi / 2, -pi / 2, radians(-35)), Lengths)


def test_shaft_off_the_line_of_both_pins_is_refused() -> None:
    assert in_line_links((-600.0, 600.0), (1200.0, 0.0), pi / 2) is Refusal.OFF_LINE
