"""Every by-hand number of the demo sites that concerns leaf, ground, gaps, openings, lines and controls.

The numbers were worked by hand with the formulas beside them, in inches and degrees, with the true thickness of the
leaf: contact of a corner at distance hypot(L, t/2), which leads the centreline by atan2(t/2, L).
"""

from math import asin, atan2, degrees, hypot, radians

import pytest
from msgspec.structs import replace

from siteplan.analysis.boundaries import control_reaches, crossings, headrooms
from siteplan.analysis.ground_fit import GroundFit, ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.measures import measures
from siteplan.analysis.openings import openings, pair_fits
from siteplan.analysis.pose import pose_at
from siteplan.model.document import Document
from siteplan.model.edits import flipped
from siteplan.model.site import PlaneGround
from siteplan.reports.findings_text import line_of
from siteplan.rules.all_rules import troubles
from tests.demo import INCH, changed, demo_site, finding, severities

ANGLE = 0.01  # degrees
LENGTH = 0.01  # inches


@pytest.fixture(scope="module")
def hill() -> Document:
    return demo_site("hill-drive")


@pytest.fixture(scope="module")
def court() -> Document:
    return demo_site("courtyard-pair")


@pytest.fixture(scope="module")
def fire_lane() -> Document:
    return demo_site("fire-lane-townhouses")


def clear_inches(document: Document) -> float:
    return openings(document)["G"].clear_mm / INCH


def fit_on(document: Document, grade: float) -> GroundFit:
    """The hill drive with its gate on a bench of even inward grade."""
    return ground_fits(replace(document, ground=PlaneGround(y_grade=grade)))["A"]


class TestHillDrive:
    def test_clear_opening_is_170_inches(self, hill: Document) -> None:
        assert clear_inches(hill) == pytest.approx(170.0, abs=LENGTH)

    def test_leaf_strikes_the_ground_at_10_58_degrees(self, hill: Document) -> None:
        first = finding(hill, "M-02", "A")
        by_hand = degrees(asin(4 / (0.125 * hypot(169, 1))) - atan2(1, 169))

        assert degrees(first.measured or 0) == pytest.approx(by_hand, abs=ANGLE)
        assert by_hand == pytest.approx(10.58, abs=ANGLE)

    def test_leaf_is_first_below_two_inches_at_5_09_degrees(self, hill: Document) -> None:
        angles = dict(finding(hill, "M-03", "A").angles)
        assert degrees(angles["first below"]) == pytest.approx(5.09, abs=ANGLE)

    def test_tip_would_be_17_1_inches_under_ground(self, hill: Document) -> None:
        assert dict(finding(hill, "M-02", "A").lengths)["deepest"] / INCH == pytest.approx(17.125, abs=LENGTH)

    @pytest.mark.parametrize(("grade", "gap"), [(0.02, 0.62), (0.01, 2.31), (0.01183, 2.0)])
    def test_least_gap_on_a_bench(self, hill: Document, grade: float, gap: float) -> None:
        assert fit_on(hill, grade).least.gap_mm / INCH == pytest.approx(gap, abs=LENGTH)

    def test_gap_on_a_two_percent_bench_is_a_stop(self, hill: Document) -> None:
        bench = replace(hill, ground=PlaneGround(y_grade=0.02))
        assert severities(bench, "M-03") == ["Stop"]

    def test_out_swing_enters_the_right_of_way_by_25_inches(self, hill: Document) -> None:
        over = finding(flipped(hill, "A", "side"), "C-40", "A", "R")

        assert over.severity == "Stop"
        assert (over.measured or 0) / INCH == pytest.approx(25.0, abs=LENGTH)

    def test_out_swing_first_crosses_at_58_10_degrees(self, hill: Document) -> None:
        (over,) = crossings(flipped(hill, "A", "side"))
        by_hand = degrees(asin(144 / hypot(169, 1)) - atan2(1, 169))

        assert degrees(over.first_angle_rad) == pytest.approx(by_hand, abs=ANGLE)
        assert by_hand == pytest.approx(58.10, abs=ANGLE)

    def test_raising_the_leaf_by_23_1_inches_keeps_two_inches(self, hill: Document) -> None:
        leaf = replace(hill.leaves[0], bottom_gap_mm=23.125 * INCH)
        fit = ground_fits(replace(hill, leaves=(leaf,)))["A"]
        assert fit.least.gap_mm / INCH == pytest.approx(2.0, abs=LENGTH)

    def test_guessed_weight_is_asked_for(self, hill: Document) -> None:
        asked = finding(hill, "A-02", "A")
        assert (asked.severity, dict(asked.words)["guessed"]) == ("Ask", "weight")

    def test_gap_of_exactly_four_inches_is_no_zone(self, hill: Document) -> None:
        assert severities(hill, "U-06") == []

    def test_right_of_way_stands_12_feet_from_the_gate_line(self, hill: Document) -> None:
        found = {measure.subjects[1]: measure.mm for measure in measures(hill) if measure.what.startswith("gate line")}
        assert (found["R"] / INCH, found["P"] / INCH) == pytest.approx((144.0, 384.0), abs=LENGTH)


class TestCourtyardPair:
    def test_clear_opening_is_158_inches(self, court: Document) -> None:
        assert clear_inches(court) == pytest.approx(158.0, abs=LENGTH)

    def test_open_leaf_is_11_inches_from_the_wall(self, court: Document) -> None:
        gap = finding(court, "U-04", "B", "W")

        assert gap.severity == "Guard"
        assert (gap.measured or 0) / INCH == pytest.approx(11.0, abs=LENGTH)

    def test_gap_at_86_degrees_is_15_99_inches(self, court: Document) -> None:
        (gap,) = (each for each in pose_at(court, "B", radians(86)).gaps if each.thing == "W")
        assert gap.gap_mm / INCH == pytest.approx(15.993, abs=0.001)

    def test_stopping_at_86_degrees_still_fails_and_is_not_printed_as_16(self, court: Document) -> None:
        stopped = replace(court, leaves=(court.leaves[0], replace(court.leaves[1], open_angle_rad=radians(86))))
        gap = finding(stopped, "U-04", "B", "W")

        assert gap.severity == "Guard"
        assert "15.99" in line_of(gap, stopped)

    @pytest.mark.parametrize(("angle", "severity"), [(85.99, "Note"), (86.0, "Guard")])
    def test_stop_angle_for_16_inches_lies_at_85_99_degrees(self, court: Document, angle: float, severity: str) -> None:
        stopped = replace(court, leaves=(court.leaves[0], replace(court.leaves[1], open_angle_rad=radians(angle))))
        assert finding(stopped, "U-04", "B", "W").severity == severity

    def test_finding_names_number_limit_witnesses_pack_and_rule(self, court: Document) -> None:
        text = line_of(finding(court, "U-04", "B", "W"), court)
        parts = ("11.0 in", "16 in", "(161.0 in, 72.0 in)", "(172.0 in, 72.0 in)", "US demo 2026-11", "U-04")
        assert [part for part in parts if part not in text] == []

    def test_meeting_gap_is_2_inches(self, court: Document) -> None:
        assert pair_fits(court)["G"].meeting_gap_mm / INCH == pytest.approx(2.0, abs=LENGTH)

    def test_unlike_leaves_are_noted(self, court: Document) -> None:
        assert finding(court, "M-05", "A", "B").severity == "Note"

    def test_missing_walk_gate_is_asked_for(self, court: Document) -> None:
        assert severities(court, "U-19") == ["Ask"]

    def test_nothing_but_the_pocket_stands_against_it(self, court: Document) -> None:
        serious = [each.code for each in troubles(court) if each.severity in ("Stop", "Guard", "Tight")]
        assert serious == ["U-04", "U-07"]

    @pytest.mark.parametrize(("side", "severities_found"), [("in", []), ("out", ["Stop", "Stop"])])
    def test_gate_on_its_property_line_may_swing_in_but_not_out(
        self, court: Document, side: str, severities_found: list[str]
    ) -> None:
        line = replace(court.edges[1], line=((-3000.0, 0.0), (8000.0, 0.0)))
        leaves = tuple(replace(leaf, swings=side, thickness_mm=1.0) for leaf in court.leaves)
        on_line = replace(court, edges=(court.edges[0], line, *court.edges[2:]), leaves=leaves)
        assert severities(on_line, "C-40") == severities_found


class TestFireLaneTownhouses:
    def test_clear_opening_is_241_inches_and_tight(self, fire_lane: Document) -> None:
        width = finding(fire_lane, "C-01", "G")

        assert width.severity == "Tight"
        assert (width.measured or 0) / INCH == pytest.approx(241.0, abs=LENGTH)

    def test_first_design_is_three_inches_short(self, fire_lane: Document) -> None:
        width = finding(first_design(fire_lane), "C-01", "G")

        assert width.severity == "Stop"
        assert (width.measured or 0) / INCH == pytest.approx(237.0, abs=LENGTH)

    @pytest.mark.parametrize(("first", "faces"), [(False, 252.0), (True, 248.0)])
    def test_post_faces(self, fire_lane: Document, first: bool, faces: float) -> None:
        document = first_design(fire_lane) if first else fire_lane
        (found,) = (measure for measure in measures(document) if measure.what == "post faces")
        assert found.mm / INCH == pytest.approx(faces, abs=LENGTH)

    def test_opening_the_first_design_past_square_does_not_help(self, fire_lane: Document) -> None:
        document = first_design(fire_lane)
        leaves = tuple(replace(leaf, open_angle_rad=radians(100)) for leaf in document.leaves)
        assert clear_inches(replace(document, leaves=leaves)) < 238.0  # the hinge end of the leaf governs

    def test_open_right_leaf_is_14_inches_from_the_cabinet(self, fire_lane: Document) -> None:
        gap = finding(fire_lane, "U-04", "B", "U")

        assert gap.severity == "Guard"
        assert (gap.measured or 0) / INCH == pytest.approx(14.0, abs=LENGTH)

    def test_arch_is_four_inches_short(self, fire_lane: Document) -> None:
        arch = finding(fire_lane, "C-03", "H")

        assert arch.severity == "Stop"
        assert headrooms(fire_lane)[0].clear_mm / INCH == pytest.approx(162.0 - 4.0, abs=LENGTH)

    def test_keypad_is_66_2_inches_from_the_corner_of_the_leaf(self, fire_lane: Document) -> None:
        keypad = finding(fire_lane, "U-14", "K")

        assert keypad.severity == "Stop"
        assert (keypad.measured or 0) / INCH == pytest.approx(hypot(31, 58.5), abs=LENGTH)

    def test_keypad_moved_out_stands_far_enough(self, fire_lane: Document) -> None:
        moved = changed(fire_lane, "K", at=(-30 * INCH, -68 * INCH))

        assert control_reaches(moved)[0].distance_mm / INCH == pytest.approx(73.4, abs=0.05)
        assert severities(moved, "U-14") == []

    def test_stopping_the_right_leaf_short_breaks_the_fire_lane(self, fire_lane: Document) -> None:
        right = replace(fire_lane.leaves[1], open_angle_rad=radians(88))
        stopped = replace(fire_lane, leaves=(fire_lane.leaves[0], right))
        assert finding(stopped, "C-01", "G").severity == "Stop"

    def test_fire_department_device_is_asked_for(self, fire_lane: Document) -> None:
        assert severities(fire_lane, "C-08") == ["Ask"]

    def test_missing_walk_gate_is_asked_for(self, fire_lane: Document) -> None:
        assert severities(fire_lane, "U-19") == ["Ask"]

    def test_twelve_homes_are_class_two(self, fire_lane: Document) -> None:
        assert dict(finding(fire_lane, "U-01").words)["class"] == "II"

    def test_leaf_touches_nothing(self, fire_lane: Document) -> None:
        assert leaf_contacts(fire_lane)["B"].touches == ()


def first_design(document: Document) -> Document:
    """Hinges 20'-0" apart, leaves 9'-11", faces 20'-8" apart; the cabinet as far behind as before."""
    right = replace(document.posts[1], at=(248 * INCH, 0.0), hinge=(240 * INCH, 0.0))
    leaves = tuple(replace(leaf, length_mm=119 * INCH) for leaf in document.leaves)
    return replace(document, posts=(document.posts[0], right), leaves=leaves)
