"""Whatever place a drive is given, its arm runs, or a finding says why it does not; never a number that is none."""

from math import isfinite, radians

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.analysis.arms import arm_places, arm_ways
from siteplan.model.document import Document
from siteplan.model.drives import Arm
from siteplan.rules.all_rules import check_site
from tests.demo import demo_site

SITE = demo_site("tight-fence")
places = st.floats(-3000, 3000)


def with_arm(x: float, y: float, bracket: float, off: float, open_deg: float) -> Document:
    drive = replace(SITE.drives[0], shaft=(x, y), arm=Arm(bracket_mm=bracket, bracket_off_mm=off))
    leaf = replace(SITE.leaves[0], open_angle_rad=radians(open_deg))
    return replace(SITE, drives=(drive,), leaves=(leaf,))


@settings(max_examples=300)
@given(places, places, st.floats(-200, 4000), st.floats(-500, 500), st.floats(1, 180))
@example(0.0, 0.0, 0.0, 0.0, 90.0)
@example(-400.0, 0.0, 1000.0, 0.0, 90.0)
@example(-400.0, 1000.0, 1000.0, 0.0, 90.0)
def test_any_place_gives_findings_with_numbers(x: float, y: float, bracket: float, off: float, open_deg: float) -> None:
    site = with_arm(x, y, bracket, off, open_deg)

    found = [each for each in check_site(site) if each.code.startswith("R-") or each.code == "U-07"]

    assert all(each.measured is None or isfinite(each.measured) for each in found)
    says_why_not = [each for each in found if each.code == "R-01" and each.severity == "Stop"]
    ways = arm_ways(site)
    runs = "drive-A" in ways and ways["drive-A"].is_whole
    assert runs or says_why_not


@given(places, places, st.floats(100, 3600), st.floats(-300, 300), st.floats(10, 120))
def test_links_of_an_arm_that_runs_close_at_every_angle(
    x: float, y: float, bracket: float, off: float, open_deg: float
) -> None:
    site = with_arm(x, y, bracket, off, open_deg)
    way, place = arm_ways(site).get("drive-A"), arm_places(site)["drive-A"]
    if way is None or not way.is_whole:
        return

    driving = np.hypot(*(way.trail.elbow - np.array(place.shaft)).T)
    driven = np.hypot(*(way.trail.pin - way.trail.elbow).T)

    assert np.abs(driving - way.arm.driving_mm).max() < 1e-6
    assert np.abs(driven - way.arm.driven_mm).max() < 1e-6
