from math import cos, degrees, hypot, pi, radians, sin

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pylinkage import Crank, Ground, RRRDyad
from pylinkage import Linkage as OtherLinkage

from siteplan.geometry.link_lengths import Lengths, bent_links, in_line_links, square_links, with_links
from siteplan.geometry.linkage import (
    Linkage,
    angles_at_reach,
    dead_points,
    farthest_reach,
    poses,
    reach_at,
    stopped_short_rad,
)
from siteplan.geometry.points import Point, turned

INCH = 25.4
STROKE = np.linspace(0, pi / 2, 200)


def inches(*numbers: float) -> Point:
    first, second = numbers
    return (first * INCH, second * INCH)


def arm_of(shaft: Point, pin: Point, links: object) -> Linkage:
    assert isinstance(links, Lengths)
    return with_links(shaft, pin, links)


# The worked arms: shaft 30 in out and 30 in in, pin 60 in along the leaf, open at 90 deg; worked by a second
# derivation with the links as unknowns and by bisection (own), to the digits given.
STRAIGHT = arm_of(inches(-30, 30), inches(60, 0), square_links(inches(-30, 30), inches(60, 0), pi / 2))
BENT = arm_of(inches(-30, 30), inches(60, 0), bent_links(inches(-30, 30), inches(60, 0), pi / 2, radians(5)))


@pytest.mark.parametrize(
    ("leaf", "crank", "elbow", "speed", "link", "bend", "leaf_arm", "shaft_arm"),
    [
        (0, -18.4349, (7.3509, 17.5497), 0, 18.4349, 0, -18.9737, 0),
        (5, -2.3441, (9.3383, 28.3896), 0.50354, 29.6658, 22.3217, -29.6964, -14.9535),
        (15, 14.5843, (8.1027, 39.9138), 0.65071, 41.0648, 40.6491, -39.4147, -25.6474),
        (30, 36.5017, (1.6482, 53.4199), 0.70407, 54.9611, 61.4627, -49.1257, -34.5879),
        (45, 57.7578, (-8.9954, 63.3002), 0.70122, 67.0939, 79.8516, -55.2686, -38.7553),
        (60, 79.6170, (-22.9042, 68.7266), 0.66661, 77.5831, 97.2001, -58.5965, -39.0608),
        (75, 103.1983, (-38.9893, 68.3313), 0.60121, 85.7755, 113.9738, -59.8370, -35.9748),
        (90, 130.3612, (-55.4970, 60.0000), 0.50000, 90.0000, 130.3612, -60.0000, -30.0000),
    ],
)
def test_pose_of_the_straight_square_arm(
    leaf: float,
    crank: float,
    elbow: Point,
    speed: float,
    link: float,
    bend: float,
    leaf_arm: float,
    shaft_arm: float,
) -> None:
    pose = poses(STRAIGHT, np.array((radians(leaf),)))

    assert degrees(pose.crank_rad[0]) == pytest.approx(crank, abs=6e-5)
    assert pose.elbow[0] / INCH == pytest.approx(np.array(elbow), abs=6e-5)
    assert pose.speed_ratio[0] == pytest.approx(speed, abs=6e-6)
    assert degrees(pose.link_rad[0]) == pytest.approx(link, abs=6e-5)
    assert degrees(pose.bend_rad[0]) == pytest.approx(bend, abs=6e-5)
    assert pose.part_arm_mm[0] / INCH == pytest.approx(leaf_arm, abs=6e-5)
    assert pose.shaft_arm_mm[0] / INCH == pytest.approx(shaft_arm, abs=6e-5)


@pytest.mark.parametrize(
    ("arm", "driving", "driven", "travel"),
    [(STRAIGHT, 39.371294, 55.497035, 148.7962), (BENT, 39.405803, 55.550290, 145.9299)],
)
def test_links_and_crank_travel_of_the_worked_arms(arm: Linkage, driving: float, driven: float, travel: float) -> None:
    cranks = poses(arm, STROKE).crank_rad

    assert (arm.driving_mm / INCH, arm.driven_mm / INCH) == pytest.approx((driving, driven), abs=6e-7)
    assert degrees(cranks[-1] - cranks[0]) == pytest.approx(travel, abs=6e-5)


def test_arm_in_line_at_both_ends_turns_its_crank_by_half_a_turn() -> None:
    shaft, pin = inches(-11.313708, 59.313708), inches(48, 0)
    arm = arm_of(shaft, pin, in_line_links(shaft, pin, pi / 2))

    pose = poses(arm, np.radians((0, 30, 45, 60, 90)))

    assert (arm.driving_mm / INCH, arm.driven_mm / INCH) == pytest.approx((33.941125, 49.941125), abs=2e-6)
    assert np.degrees(pose.crank_rad) == pytest.approx(np.array((-45, 17.5217, 38.1892, 58.6216, 135)), abs=1e-4)
    assert pose.speed_ratio == pytest.approx(np.array((0, 0.70577, 0.73799, 0.72083, 0)), abs=1e-5)


# Norton, Design of Machinery, example 4-1: ground 100, crank 40, coupler 120, rocker 80, crank at 40 deg:
# rocker at 57.33 deg, or crossed at -98.01 deg
@pytest.mark.parametrize(("rocker", "elbow"), [(57.33, 1), (-98.01, -1)])
def test_published_four_bar_linkage(rocker: float, elbow: int) -> None:
    cranks = [
        degrees(poses(Linkage((-100.0, 0.0), (80.0, 0.0), 40, 120, side), np.array((radians(rocker),))).crank_rad[0])
        for side in (1, -1)
    ]

    assert min(abs(crank - 40) for crank in cranks) < 0.02


# Norton, Design of Machinery, table P6-1 row a: ground 6, crank 2, coupler 7, rocker 9, crank at 30 deg and 10 rad/s:
# rocker at -3.99 rad/s, or crossed at -2.66 rad/s
@pytest.mark.parametrize("published", [-3.99, -2.66])
def test_published_speed_of_a_four_bar_linkage(published: float) -> None:
    elbow_place = (-6 + 2 * cos(radians(30)), 2 * sin(radians(30)))
    found = []
    for angle in angles_at_reach(elbow_place, (9.0, 0.0), 7.0):
        for side in (1, -1):
            pose = poses(Linkage((-6.0, 0.0), (9.0, 0.0), 2, 7, side), np.array((angle,)))
            if abs(degrees(pose.crank_rad[0]) - 30) < 1e-6:
                found.append(10 * pose.speed_ratio[0])

    assert min(abs(speed - published) for speed in found) < 0.01


@pytest.mark.parametrize(
    ("shaft", "pin"),
    [
        (inches(-30, 30), inches(60, 0)),
        (inches(-24, 26), inches(56, 3)),
        (inches(-16, 12), inches(44, 3)),
        (inches(-22, 24), inches(48, 4)),
    ],
)
def test_poses_agree_with_an_independent_linkage_library(shaft: Point, pin: Point) -> None:
    """pylinkage turns the crank from open towards closed, where the pose is far from any dead point."""
    arm = arm_of(shaft, pin, bent_links(shaft, pin, pi / 2, radians(8)))
    cranks = poses(arm, np.array((0.0, pi / 2))).crank_rad
    steps = 200
    turn = (cranks[0] - cranks[1]) / steps
    stand, pivot, start = Ground(*shaft), Ground(0.0, 0.0), turned(pin, pi / 2)
    crank = Crank(stand, arm.driving_mm, angular_velocity=float(turn), initial_angle=float(cranks[1]))
    bracket = RRRDyad(crank, pivot, arm.driven_mm, hypot(*pin), x=start[0], y=start[1])
    other = OtherLinkage([stand, pivot, crank, bracket])

    places = np.array([coordinates[3] for coordinates in other.step(iterations=steps)])
    leaf = np.arctan2(places[:, 1], places[:, 0]) - np.arctan2(pin[1], pin[0])

    ours = poses(arm, leaf).crank_rad
    theirs = cranks[1] + turn * np.arange(1, steps + 1)
    assert abs(leaf[-1]) < 1e-9
    assert np.abs(ours[:-1] - theirs[:-1]).max() < 1e-9


shafts = st.tuples(st.floats(-1500, -150), st.floats(150, 1500))
pins = st.tuples(st.floats(700, 2400), st.floats(-100, 100))
opens = st.floats(radians(70), radians(115))


@given(shafts, pins, opens)
def test_links_close_at_every_angle_and_stand_square_when_open(shaft: Point, pin: Point, open_rad: float) -> None:
    links = square_links(shaft, pin, open_rad)
    assume(isinstance(links, Lengths))
    arm = arm_of(shaft, pin, links)

    pose = poses(arm, np.linspace(0, open_rad, 50))

    assert not np.isnan(pose.crank_rad).any()
    driving = np.hypot(*(pose.elbow - shaft).T)
    driven = np.hypot(*(pose.pin - pose.elbow).T)
    assert driving == pytest.approx(np.full(50, arm.driving_mm), rel=1e-9)
    assert driven == pytest.approx(np.full(50, arm.driven_mm), rel=1e-9)
    assert pose.bend_rad[0] == pytest.approx(0, abs=1e-3)  # the root of a rounding error
    assert pose.link_rad[-1] == pytest.approx(pi / 2, abs=1e-9)
    assert pose.speed_ratio[-1] == pytest.approx(1 - turned(shaft, -open_rad)[0] / pin[0], abs=1e-9)


@given(shafts, pins, opens, st.floats(radians(2), radians(15)))
def test_bend_at_closed_is_the_one_asked_for(shaft: Point, pin: Point, open_rad: float, bend: float) -> None:
    links = bent_links(shaft, pin, open_rad, bend)
    assume(isinstance(links, Lengths))

    pose = poses(arm_of(shaft, pin, links), np.array((0.0, open_rad)))

    assert pose.bend_rad[0] == pytest.approx(bend, abs=1e-6)
    assert pose.link_rad[1] == pytest.approx(pi / 2, abs=1e-9)


@given(shafts, pins)
def test_mirrored_arm_mirrors(shaft: Point, pin: Point) -> None:
    links = square_links(shaft, pin, pi / 2, 10.0)
    assume(isinstance(links, Lengths))
    arm = arm_of(shaft, pin, links)
    mirrored = arm._replace(shaft=(shaft[0], -shaft[1]), pin=(pin[0], -pin[1]), elbow=-arm.elbow)

    here, there = poses(arm, STROKE), poses(mirrored, -STROKE)

    assert there.crank_rad == pytest.approx(-here.crank_rad, abs=1e-9)
    assert there.bend_rad == pytest.approx(here.bend_rad, abs=1e-9)
    assert there.torque_ratio == pytest.approx(here.torque_ratio, rel=1e-9)


@given(shafts, pins)
def test_torque_ratio_adds_up_to_the_travel_of_the_crank(shaft: Point, pin: Point) -> None:
    """Virtual work: what the crank turns is the integral of the ratio over the turn of the leaf."""
    links = square_links(shaft, pin, pi / 2, 25.0)
    assume(isinstance(links, Lengths) and not dead_points(arm_of(shaft, pin, links), pi / 2))
    angles = pi / 4 * (1 - np.cos(np.linspace(0, pi, 4001)))

    pose = poses(arm_of(shaft, pin, links), angles)

    added = np.trapezoid(pose.torque_ratio, angles)
    assert added == pytest.approx(pose.crank_rad[-1] - pose.crank_rad[0], rel=1e-4)


@given(shafts, pins, st.floats(0.2, 3.0))
def test_extremes_of_reach_hold_at_every_angle(shaft: Point, pin: Point, turn_rad: float) -> None:
    least, greatest = farthest_reach(shaft, pin, turn_rad)

    stepped = [reach_at(shaft, pin, float(angle)) for angle in np.linspace(0, turn_rad, 400)]

    assert least <= min(stepped) + 1e-9
    assert max(stepped) <= greatest + 1e-9
    assert min(stepped) - least < 0.01 * greatest
    assert greatest - max(stepped) < 0.01 * greatest


@given(shafts, pins, st.floats(0.05, 1.5))
def test_reach_at_an_angle_is_found_back(shaft: Point, pin: Point, angle: float) -> None:
    assert min(abs(each - angle) for each in angles_at_reach(shaft, pin, reach_at(shaft, pin, angle))) < 1e-6


def test_links_too_short_stop_the_leaf_before_it_is_closed() -> None:
    """Links 0.1 in short on the worked arm: 0.30 deg, by the closing loss 18.97 in a radian (first order)."""
    short = STRAIGHT._replace(driven_mm=STRAIGHT.driven_mm - 0.1 * INCH)

    assert degrees(stopped_short_rad(short)) == pytest.approx(0.30, abs=0.005)
    assert stopped_short_rad(STRAIGHT) == 0


def test_shaft_past_the_bracket_is_a_dead_point_on_the_way() -> None:
    """Elbow on the line of shaft and pin at 84 deg by construction: there the arm pushes no further."""
    shaft, pin = (-300.0, 700.0), (900.0, 0.0)
    at = radians(84)
    reach = reach_at(shaft, pin, at)
    arm = Linkage(shaft, pin, 1000.0, 1000.0 - reach, 1)

    found = dead_points(arm, pi / 2)

    assert [each.kind for each in found if abs(degrees(each.angle_rad) - 84) < 1e-6] == ["folded"]


@given(shafts, pins, opens)
def test_ratio_keeps_its_sign_where_there_is_no_dead_point(shaft: Point, pin: Point, open_rad: float) -> None:
    links = square_links(shaft, pin, open_rad, 5.0)
    assume(isinstance(links, Lengths))
    arm = arm_of(shaft, pin, links)
    assume(not dead_points(arm, open_rad))

    ratio = poses(arm, np.linspace(1e-3, open_rad - 1e-3, 300)).torque_ratio

    assert (np.sign(ratio) == np.sign(ratio[0])).all()


def test_out_of_reach_is_no_number() -> None:
    assert np.isnan(poses(Linkage((-1000.0, 500.0), (900.0, 0.0), 100.0, 100.0), np.array((0.0, 1.0))).crank_rad).all()
