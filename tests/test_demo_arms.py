"""The arms of the demo sites, to the numbers worked by hand for them (law of cosines), in inches and degrees."""

from math import degrees

import pytest
from msgspec.structs import replace

from siteplan.analysis.arms import arm_places, arm_ways
from siteplan.analysis.as_built import as_built
from siteplan.analysis.risers import risers
from siteplan.model.drives import Arm, Built
from siteplan.rules.all_rules import troubles
from tests.demo import demo_site

INCH = 25.4


@pytest.mark.parametrize(
    ("site", "drive", "driving", "driven", "out", "inward", "travel", "ratio"),
    [
        ("hill-drive", "drive-A", 38.35, 44.89, 47.89, 64.35, 144.6, 1.386),
        ("courtyard-pair", "drive-A", 27.84, 32.07, 35.07, 45.84, 142.3, 1.369),
        ("courtyard-pair", "drive-B", 37.47, 39.45, 42.45, 61.47, 142.7, 1.376),
        ("fire-lane-townhouses", "drive-A", 37.47, 39.45, 42.45, 61.47, 142.7, 1.376),
        ("fire-lane-townhouses", "drive-B", 37.47, 39.45, 42.45, 61.47, 142.7, 1.376),
        ("riser-retrofit", "drive-B", 32.66, 40.15, 44.15, 56.66, 148.6, 1.407),
        ("tight-fence", "drive-A", 34.58, 26.10, 29.10, 46.58, 120.8, 1.221),
    ],
)
def test_arm_of_a_demo_site(
    site: str, drive: str, driving: float, driven: float, out: float, inward: float, travel: float, ratio: float
) -> None:
    way = arm_ways(demo_site(site))[drive]

    assert (way.arm.driving_mm / INCH, way.arm.driven_mm / INCH) == pytest.approx((driving, driven), abs=0.0051)
    assert (way.elbow_out_mm / INCH, way.elbow_in_mm / INCH) == pytest.approx((out, inward), abs=0.0051)
    assert degrees(way.crank_travel_rad) == pytest.approx(travel, abs=0.051)
    assert way.least_ratio == pytest.approx(ratio, abs=0.00051)


def test_edge_of_the_arm_passes_the_wall_of_the_court() -> None:
    gap = arm_ways(demo_site("courtyard-pair"))["drive-B"].gaps[0]

    assert (gap.thing, round(gap.gap_mm / INCH, 2)) == ("W", 9.03)


@pytest.mark.parametrize(
    ("c", "d", "b", "code", "measured"),
    [(14, 12, 60, "R-02", 49.90), (20, 24, 54, "R-03", 7.95), (16, 12, 44, "U-07", 5.40)],
)
def test_three_tries_beside_the_fence(c: float, d: float, b: float, code: str, measured: float) -> None:
    site = demo_site("tight-fence")
    drive = replace(site.drives[0], shaft=(-c * INCH, d * INCH), arm=Arm(bracket_mm=b * INCH, bracket_off_mm=3 * INCH))
    found = [each for each in troubles(replace(site, drives=(drive,))) if each.code == code]

    worst = found[0] if code != "R-03" else next(each for each in found if "F" in each.subjects)
    assert worst.measured is not None
    assert worst.measured / INCH == pytest.approx(measured, abs=0.0051)


def test_riser_of_the_retrofit() -> None:
    riser = risers(demo_site("riser-retrofit"))["drive-B"]

    assert (riser.shaft_mm / INCH, riser.needed_mm / INCH, riser.stock_mm) == pytest.approx((26, 4, 4 * INCH))


def test_retrofit_as_built() -> None:
    """Reach 73.21 in against links of 72.75: 1.56 deg short, tip 3.92 in open; 1/2 in more closes it."""
    built = as_built(arm_places(demo_site("riser-retrofit"))["drive-B"])

    assert built is not None
    assert built.arm.closed_reach_mm / INCH == pytest.approx(73.21, abs=0.0051)
    assert (built.arm.driving_mm + built.arm.driven_mm) / INCH == pytest.approx(72.75, abs=1e-9)
    assert degrees(built.short_rad) == pytest.approx(1.56, abs=0.0051)
    assert built.tip_mm / INCH == pytest.approx(3.92, abs=0.0051)
    assert built.verdict == "lengthen"
    assert built.change_mm == pytest.approx(INCH / 2)
    assert degrees(built.bend_rad) == pytest.approx(3.6, abs=0.051)
    assert degrees(built.link_rad) == pytest.approx(89.6, abs=0.051)


# hill drive, links cut exactly for the drawing: pad poured too far out, as drawn, or too near
@pytest.mark.parametrize(
    ("poured_out", "verdict", "change", "bend", "square"),
    [(1.0, "lengthen", 1.0, 3.5, 90.0), (0.0, "good", 0.0, 0.0, 90.0), (-1.0, "shorten", -0.5, None, None)],
)
def test_verdict_after_the_pour(
    poured_out: float, verdict: str, change: float, bend: float | None, square: float | None
) -> None:
    arm = arm_places(demo_site("hill-drive"))["drive-A"]
    drive = replace(arm.drive, built=Built(set_out_mm=(24 + poured_out) * INCH, set_in_mm=26 * INCH))

    built = as_built(arm._replace(drive=drive))

    assert built is not None
    assert built.verdict == verdict
    assert built.change_mm / INCH == pytest.approx(change, abs=1e-6)
    if bend is not None:
        assert degrees(built.bend_rad) == pytest.approx(bend, abs=0.051)
        assert degrees(built.link_rad) == pytest.approx(square, abs=0.051)


def test_findings_of_the_retrofit() -> None:
    found = [(each.code, each.severity) for each in troubles(demo_site("riser-retrofit"))]

    assert found == [
        ("F-09", "Stop"),
        ("F-10", "Stop"),
        ("U-02", "Guard"),
        ("U-06", "Guard"),
        ("M-06", "Tight"),
        ("A-02", "Ask"),
        ("U-19", "Ask"),
        ("R-07", "Note"),
        ("U-01", "Note"),
    ]


def test_torque_of_the_leaning_leaf() -> None:
    """240 lb at 6 ft, leaning 1.2 deg: 30.2 lbf.ft."""
    (finding,) = (each for each in troubles(demo_site("riser-retrofit")) if each.code == "F-10")

    assert finding.measured is not None
    assert finding.measured / 1.3558179483 == pytest.approx(30.2, abs=0.051)


def test_third_try_has_nothing_against_it_but_the_zone() -> None:
    found = [each.code for each in troubles(demo_site("tight-fence")) if each.severity in ("Stop", "Guard", "Tight")]

    assert found == ["U-07"]
