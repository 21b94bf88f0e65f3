from math import degrees, pi, radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from siteplan.geometry.link_lengths import Lengths, Refusal, square_links, with_links
from siteplan.geometry.linkage import poses
from siteplan.geometry.points import Point
from siteplan.geometry.reach_map import Codes, ReachLimits, Reason, grid, nearest_good, reach_codes

INCH = 25.4
# The tight site beside a fence, worked by hand and by a loop over its cells: links 20-40 and 22-54 in, crank 160 deg,
# ratio 1.15, elbow 2 in and half an arm of 1-1/2 in clear of a fence 36 in out; pads 12-21 in out and 6-48 in in.
LIMITS = ReachLimits((20 * INCH, 40 * INCH), (22 * INCH, 54 * INCH), radians(160), 1.15, clear_mm=3.5 * INCH)
FENCE = np.array(((-36 * INCH, -400 * INCH, -36 * INCH, 400 * INCH),))
COLUMNS, ROWS = range(12, 22), range(6, 49)
SHAFTS = np.array([(-c * INCH, d * INCH) for d in ROWS for c in COLUMNS])


def codes(bracket: float, skipped: tuple[Reason, ...] = ()) -> Codes:
    pin = (bracket * INCH, 3 * INCH)
    return reach_codes(SHAFTS, pin, pi / 2, LIMITS, FENCE, skipped=skipped).reshape(len(ROWS), -1)


@pytest.mark.parametrize(("bracket", "count"), [(40, 77), (44, 69), (56, 0), (60, 0)])
def test_good_places_beside_the_fence(bracket: float, count: int) -> None:
    assert (codes(bracket) == Reason.GOOD).sum() == count


def test_lengths_alone_find_a_false_island() -> None:
    without = codes(40, skipped=(Reason.ELBOW,))

    island = (without == Reason.GOOD) & (codes(40) != Reason.GOOD)
    assert (without == Reason.GOOD).sum() == 99
    assert {ROWS[row] for row in np.nonzero(island)[0]} == {45, 46, 47, 48}


def test_picture_of_the_good_places() -> None:
    rows = ["".join("#" if code == Reason.GOOD else "." for code in codes(44)[d - 6]) for d in range(22, 7, -1)]

    assert rows == [
        "#.........", "#.........", "##........", "###.......", "###.......", "####......", "#####.....", "######....",
        "######....", "#######...", "########..", ".########.", "..########", "...#######", "..........",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("c", "d", "reason"),
    [
        (12, 8, Reason.DRIVEN),
        (21, 8, Reason.RATIO),
        (12, 10, Reason.DRIVEN),
        (21, 12, Reason.CLEAR),
        (21, 16, Reason.CLEAR),
        (12, 23, Reason.CLEAR),
    ],
)
def test_reason_of_single_places(c: int, d: int, reason: Reason) -> None:
    assert codes(44)[d - 6, c - 12] == reason


def slow_reason(shaft: Point, pin: Point, open_rad: float) -> Reason:
    """Return the reason against one place, worked out pose by pose."""
    if shaft[1] <= 1e-6:
        return Reason.SIDE
    links = square_links(shaft, pin, open_rad)
    if isinstance(links, Refusal):
        return {
            Refusal.ELBOW_FLIPS: Reason.ELBOW,
            Refusal.NO_LENGTH: Reason.LENGTH,
            Refusal.STRETCHED: Reason.REACH,
            Refusal.FOLDED: Reason.REACH,
        }[links]
    assert isinstance(links, Lengths)
    if not 20 * INCH <= links.driving_mm <= 40 * INCH:
        return Reason.DRIVING
    if not 22 * INCH <= links.driven_mm <= 54 * INCH:
        return Reason.DRIVEN
    arm = with_links(shaft, pin, links)
    pose = poses(arm, np.arange(0, open_rad + 1e-9, pi / 90))
    ends = poses(arm, np.linspace(0, open_rad, 2000)).crank_rad
    if degrees(ends[-1] - ends[0]) > 160:
        return Reason.TRAVEL
    if pose.elbow[:, 0].min() < (-36 + 3.5) * INCH:
        return Reason.CLEAR
    return Reason.RATIO if pose.torque_ratio[2:].min() < 1.15 else Reason.GOOD


@settings(max_examples=20)
@given(st.integers(30, 70), st.integers(-5, 6), st.integers(75, 105))
def test_map_agrees_with_poses_one_by_one(bracket: int, off: int, open_deg: int) -> None:
    pin, open_rad = (bracket * INCH, off * INCH), radians(open_deg)
    shafts = np.random.default_rng(bracket).uniform((-40 * INCH, -5 * INCH), (-4 * INCH, 60 * INCH), (30, 2))

    found = reach_codes(shafts, pin, open_rad, LIMITS, FENCE)

    slow = [slow_reason((x, y), pin, open_rad) for x, y in shafts.tolist()]
    assert [Reason(code) for code in found] == slow


def test_nearest_good_place() -> None:
    shafts = grid(-21 * INCH, 6 * INCH, -12 * INCH, 48 * INCH, 10, 43)
    found = reach_codes(shafts, (44 * INCH, 3 * INCH), pi / 2, LIMITS, FENCE)

    assert nearest_good(shafts, found, (-20 * INCH, 24 * INCH)) == pytest.approx((-14 * INCH, 19 * INCH), abs=3 * INCH)
    assert nearest_good(shafts, np.ones_like(found), (0.0, 0.0)) is None
