from math import degrees, pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.geometry.link_errors import (
    chance_of_closing,
    closing_loss,
    drawn_chance_of_closing,
    reach_spread,
    sensitivity,
    spare_for_chance,
)
from siteplan.geometry.link_lengths import Lengths, bent_links, square_links, with_links
from siteplan.geometry.link_motion import stroke, stroke_time
from siteplan.geometry.linkage import Linkage, poses, stopped_short_rad
from siteplan.geometry.points import Point

INCH = 25.4
SHAFT, PIN = (-24 * INCH, 26 * INCH), (56 * INCH, 3 * INCH)  # the hill drive


def arm(shaft: Point = SHAFT, pin: Point = PIN, spare: float = 0.0) -> Linkage:
    links = square_links(shaft, pin, pi / 2, spare)
    assert isinstance(links, Lengths)
    return with_links(shaft, pin, links)


REFERENCE = arm((-30 * INCH, 30 * INCH), (60 * INCH, 0.0))


# hill drive, links cut exactly: pad misplaced after cutting, worked by hand (law of cosines)
@pytest.mark.parametrize(
    ("moved_out", "short", "tip"), [(1.0, 2.95, 8.7), (0.25, 0.75, 2.2), (-0.5, 0.0, 0.0), (-1.0, 0.0, 0.0)]
)
def test_pad_too_far_out_stops_the_leaf_short(moved_out: float, short: float, tip: float) -> None:
    misplaced = arm()._replace(shaft=(SHAFT[0] - moved_out * INCH, SHAFT[1]))

    stopped = stopped_short_rad(misplaced)

    assert degrees(stopped) == pytest.approx(short, abs=0.0051)
    assert 169 * np.sin(stopped) == pytest.approx(tip, abs=0.051)


@pytest.mark.parametrize(
    ("longer", "bend"), [(1 / 16, 4.5), (1 / 8, 6.3), (1 / 4, 8.9), (3 / 8, 10.9), (1 / 2, 12.6), (1, 17.7)]
)
def test_links_too_long_only_bend_the_elbow(longer: float, bend: float) -> None:
    long = arm()._replace(
        driving_mm=arm().driving_mm + longer * INCH / 2, driven_mm=arm().driven_mm + longer * INCH / 2
    )

    assert degrees(poses(long, np.zeros(1)).bend_rad[0]) == pytest.approx(bend, abs=0.051)


def test_closing_loss_of_the_worked_arms() -> None:
    assert closing_loss(REFERENCE.shaft, REFERENCE.pin) / INCH == pytest.approx(18.97, abs=0.0051)
    assert closing_loss(SHAFT, PIN) / INCH == pytest.approx(18.36, abs=0.0051)


# degrees per inch at the open stop and at 5 deg, by finite differences of the pose (own)
@pytest.mark.parametrize(
    ("angle", "wanted"),
    [(90, (0.62, -0.95, 0.95, 0.0, 0.0, -0.95)), (5, (-1.78, -1.93, 1.75, 0.81, 1.68, -0.95))],
)
def test_sensitivity_of_the_worked_arm(angle: float, wanted: tuple[float, ...]) -> None:
    found = sensitivity(REFERENCE, radians(angle))

    assert [degrees(each) * INCH for each in found] == pytest.approx(wanted, abs=0.0051)


@given(st.floats(0.2, 1.5), st.integers(0, 5))
def test_sensitivity_is_the_slope_of_the_pose(angle: float, which: int) -> None:
    """Hold the crank where it stands, change one number a hair, and find the angle of the part again."""
    step = 1e-4
    crank = poses(REFERENCE, np.array((angle,))).crank_rad[0]
    changed = [
        REFERENCE._replace(driving_mm=REFERENCE.driving_mm + step),
        REFERENCE._replace(driven_mm=REFERENCE.driven_mm + step),
        REFERENCE._replace(shaft=(REFERENCE.shaft[0] - step, REFERENCE.shaft[1])),
        REFERENCE._replace(shaft=(REFERENCE.shaft[0], REFERENCE.shaft[1] + step)),
        REFERENCE._replace(pin=(REFERENCE.pin[0] + step, REFERENCE.pin[1])),
        REFERENCE._replace(pin=(REFERENCE.pin[0], REFERENCE.pin[1] + step)),
    ][which]
    near = np.linspace(angle - 1e-5, angle + 1e-5, 3)
    cranks = poses(changed, near).crank_rad

    found = float(np.interp(crank, cranks, near))

    assert (found - angle) / step == pytest.approx(sensitivity(REFERENCE, angle)[which], rel=1e-3, abs=1e-9)


# chance that the gate closes for a spare and a placing error of 1/8 in (careful) and 1/2 in (rough): worked by draws
@pytest.mark.parametrize(
    ("spare", "placing", "percent"),
    [(0, 1 / 8, 50), (1 / 8, 1 / 8, 76), (1 / 4, 1 / 8, 92.5), (3 / 8, 1 / 8, 98.5), (1 / 2, 1 / 8, 99.8),
     (1 / 8, 1 / 2, 57), (1 / 4, 1 / 2, 64), (3 / 8, 1 / 2, 70.5), (1 / 2, 1 / 2, 76), (3 / 4, 1 / 2, 86),
     (1, 1 / 2, 92.5)],
)  # fmt: skip
def test_chance_that_the_gate_closes(spare: float, placing: float, percent: float) -> None:
    closed_form = chance_of_closing(SHAFT, PIN, spare * INCH, placing * INCH)

    assert 100 * closed_form == pytest.approx(percent, abs=0.75)
    assert drawn_chance_of_closing(SHAFT, PIN, spare * INCH, placing * INCH) == pytest.approx(closed_form, abs=0.01)


def test_spare_gives_its_chance_back() -> None:
    assert reach_spread(SHAFT, PIN) == pytest.approx(1.387, abs=0.0005)
    assert chance_of_closing(SHAFT, PIN, spare_for_chance(SHAFT, PIN, 0.95, 3.0), 3.0) == pytest.approx(0.95)


def test_spare_designed_in_beforehand() -> None:
    """Hill drive with 3/8 in and 1/4 in of spare: links, bend and holding ratio, worked by hand."""
    for spare, links, bend, holding in (
        (0.375, (38.495, 45.121), 10.9, 0.317),
        (0.25, (38.446, 45.044), 8.9, 0.269),
    ):
        made = arm(spare=spare * INCH)
        pose = poses(made, np.zeros(1))
        assert (made.driving_mm / INCH, made.driven_mm / INCH) == pytest.approx(links, abs=0.00051)
        assert degrees(pose.bend_rad[0]) == pytest.approx(bend, abs=0.051)
        assert pose.speed_ratio[0] == pytest.approx(holding, abs=0.00051)


@pytest.mark.parametrize(("ramp", "total"), [(0.0, 14.88), (1.0, 15.88)])
def test_time_of_the_worked_stroke(ramp: float, total: float) -> None:
    assert stroke(REFERENCE, pi / 2, radians(10), ramp).total_s == pytest.approx(total, abs=0.0051)


def test_speeds_of_the_worked_stroke() -> None:
    """At 10 deg/s of the shaft: peak 7.07 deg/s near 36 deg, first 10 deg in 2.51 s, last 10 deg in 1.86 s."""
    even = stroke(REFERENCE, pi / 2, radians(10), 0.0)

    assert degrees(even.peak_rad_s) == pytest.approx(7.07, abs=0.0051)
    assert degrees(even.angles_rad[np.argmax(even.speeds_rad_s)]) == pytest.approx(36, abs=0.6)
    assert even.time_at(radians(10)) == pytest.approx(2.51, abs=0.0051)
    assert even.total_s - even.time_at(radians(80)) == pytest.approx(1.86, abs=0.0051)


def test_leaf_at_a_bend_of_3_degrees() -> None:
    """Bend 3 deg, 10 deg/s, ramps of 1 s on the worked pad: 15.71 s, 1.60 ft/s mean and 1.98 ft/s peak at 16 ft."""
    links = bent_links(REFERENCE.shaft, REFERENCE.pin, pi / 2, radians(3))
    assert isinstance(links, Lengths)
    moved = stroke(with_links(REFERENCE.shaft, REFERENCE.pin, links), pi / 2, radians(10), 1.0)

    assert moved.total_s == pytest.approx(15.71, abs=0.0051)
    assert 16 * (pi / 2) / moved.total_s == pytest.approx(1.60, abs=0.0051)
    assert 16 * moved.peak_rad_s == pytest.approx(1.98, abs=0.0051)


@given(st.floats(0.1, 4.0), st.floats(0.02, 1.0), st.floats(0.0, 5.0))
def test_speed_of_the_stroke_adds_up_to_its_angle(travel: float, speed: float, ramp: float) -> None:
    total = stroke_time(travel, speed, ramp)
    reached = min(speed, speed / ramp * total / 2) if ramp else speed
    ramps = min(ramp, total / 2)

    assert reached * (total - ramps) == pytest.approx(travel, rel=1e-9)


def test_stroke_speed_is_the_slope_of_its_angle() -> None:
    moved = stroke(REFERENCE, pi / 2, radians(10), 1.0)
    slope = np.gradient(moved.angles_rad, moved.times_s)

    assert moved.speeds_rad_s[20:-20] == pytest.approx(slope[20:-20], abs=2e-3)
