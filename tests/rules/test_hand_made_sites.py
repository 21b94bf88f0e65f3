"""Sites made by hand on which a rule once kept silent, or said what misleads."""

import pytest
from msgspec.structs import replace

from siteplan.model.document import Document
from siteplan.model.edits import flipped
from siteplan.model.project import LocalLimit, Use
from siteplan.model.site import KeepClear, PlaneGround
from siteplan.reports.findings_text import line_of, words_of
from siteplan.rules.all_rules import check_site
from tests.demo import INCH, changed, demo_site, finding


@pytest.fixture(scope="module")
def court() -> Document:
    return demo_site("courtyard-pair")


@pytest.fixture(scope="module")
def hill() -> Document:
    return demo_site("hill-drive")


def with_limit(document: Document, row: str, value_mm: float, margin_mm: float | None = None) -> Document:
    return replace(document, local=(LocalLimit(row=row, value_mm=value_mm, margin_mm=margin_mm, reason="letter"),))


def cases(document: Document, code: str) -> list[str]:
    return [dict(each.words).get("case", "") for each in check_site(document) if each.code == code]


def test_leaf_that_grazes_the_ground_is_told_also_without_a_running_clearance(court: Document) -> None:
    grazing = with_limit(changed(court, "A", bottom_gap_mm=0.0), "GROUND_CLEARANCE", 0.0)
    assert "first below 0 in at 0.0 deg" in line_of(finding(grazing, "M-02", "A"), grazing)


def test_swing_just_within_what_a_letter_allows_has_words(hill: Document) -> None:
    allowed = with_limit(flipped(hill, "A", "side"), "OVER_LINE", 26 * INCH, 2 * INCH)
    over = finding(allowed, "C-40", "A", "R")
    assert (over.severity, "little less than" in words_of(over, allowed).detail) == ("Tight", True)


def test_upper_limit_of_the_gap_zone_is_the_one_laid_down_here(court: Document) -> None:
    changed_here = with_limit(court, "UNDER_LEAF_ZONE_HIGH", 20 * INCH)
    assert "below 20.0 in" in words_of(finding(changed_here, "U-06", "A"), changed_here).detail


def test_gap_that_grows_through_the_whole_zone_is_not_called_a_gap_above_it(court: Document) -> None:
    falling = replace(changed(court, "B", bottom_gap_mm=3 * INCH), ground=PlaneGround(x_grade=0.25))
    gap = finding(falling, "U-06", "B")
    assert (gap.severity, words_of(gap, falling).headline) == (
        "Guard", "Gap under leaf B lies between 4 in and 16.0 in from 0.0 deg: a person fits in",
    )  # fmt: skip


def test_pair_hung_on_one_side_is_asked_about(court: Document) -> None:
    assert "no opening" in cases(changed(court, "B", hinges="left"), "A-01")


def test_gate_whose_leaf_opens_away_from_its_latch_is_asked_about(hill: Document) -> None:
    assert "no opening" in cases(changed(hill, "A", hinges="right"), "A-01")


def test_leaf_without_a_hinge_axis_is_asked_about(court: Document) -> None:
    assert "no hinge" in cases(changed(court, "PA", hinge=None), "A-01")


def test_even_bow_tie_to_keep_clear_is_not_said_to_be_left_out(court: Document) -> None:
    tie = ((500.0, 500.0), (1500.0, 1500.0), (1500.0, 500.0), (500.0, 1500.0))
    area = KeepClear(id="E", why="easement", outline=tie)
    assert [each.severity for each in check_site(replace(court, keep_clear=(area,))) if each.code == "K-01"] == ["Stop"]


def test_fire_lane_that_nobody_spoke_of_is_not_called_none(court: Document) -> None:
    silent = replace(court, project=replace(court.project, use=Use()))
    assert words_of(finding(silent, "C-08"), silent).headline == "Not said whether there is a fire lane"


def test_arch_on_ground_without_shots_is_asked_about(hill: Document) -> None:
    lane = demo_site("fire-lane-townhouses")
    arch = ((-30000.0, 0.0), (6000.0, 0.0), (6000.0, 300.0), (-30000.0, 300.0))  # the shots begin at 20 ft
    assert "not covered" in cases(replace(changed(lane, "H", outline=arch), ground=hill.ground), "C-03")


def test_gap_that_only_reaches_the_zone_has_words(court: Document) -> None:
    # the far corner of the tip, 25.4 mm off the axis, reaches 4.0002 in under a level bottom on ground falling 0.1 %
    ground = PlaneGround(y_grade=-0.001)
    barely = replace(changed(court, "B", bottom_gap_mm=4 * INCH - 2463.8 * 0.001 + 0.0011), ground=ground)
    gap = finding(barely, "U-06", "B")
    assert (gap.severity, "along the leaf" in words_of(gap, barely).detail) == ("Guard", True)
