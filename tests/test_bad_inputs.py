"""Bad inputs and failures that touch leaf, ground, files and the document: each gets its sentence, nothing is lost.

What is typed into a field is tested in ``tests/units``; the window's part in ``tests/windows``.
"""

import json
from math import pi
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from siteplan.drawing.primitives import Label
from siteplan.drawing.sheets import make_sheets
from siteplan.errors import DamagedFileError, ModelError, SheetError, SiteFileError
from siteplan.model.edits import added, removed, with_choice
from siteplan.model.gate import Post
from siteplan.model.site import Block, KeepClear, PlaneGround, Shot, ShotGround
from siteplan.reports.findings_text import line_of
from siteplan.rules.all_rules import check_site
from siteplan.storage.safe_save import last_good, save_site
from siteplan.storage.site_file import load_site, read_site
from tests.demo import INCH, NAMES, changed, demo_site, finding, path_of


def raw_site(name: str = "courtyard-pair") -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(path_of(name).read_text(encoding="utf-8"))
    return loaded


def refusal(file: dict[str, Any]) -> str:
    with pytest.raises(SiteFileError) as caught:
        load_site(json.dumps(file).encode())
    return str(caught.value)


class TestTheGate:
    def test_leaf_longer_than_the_opening_is_a_stop_with_the_overlap_and_still_drawn(self) -> None:
        site = changed(demo_site("hill-drive"), "A", length_mm=172 * INCH)

        assert "1 in too long" in line_of(finding(site, "M-01", "A", "PB"), site)
        assert make_sheets(site).sheets

    def test_leaves_that_overlap_when_closed_are_a_stop_with_the_amount(self) -> None:
        site = changed(demo_site("courtyard-pair"), "B", length_mm=100 * INCH)
        assert "cross by 1 in when closed" in line_of(finding(site, "M-04", "A", "B"), site)

    def test_post_in_the_way_is_allowed_and_asked_about(self) -> None:
        site = added(demo_site("hill-drive"), Post(id="PC", at=(100 * INCH, 30 * INCH)))
        assert "in the way of vehicles?" in line_of(finding(site, "A-05", "PC"), site)

    def test_hinge_axis_inside_the_post_is_asked_about(self) -> None:
        site = changed(demo_site("hill-drive"), "PA", hinge=(-6 * INCH, 0.0))
        asked = [each for each in check_site(site) if each.code == "A-05" and "PA" in each.subjects]
        assert "is the hinge let into the post?" in line_of(asked[0], site)

    @pytest.mark.parametrize(("angle", "said"), [("0 deg", "not 0 deg"), ("181 deg", "not 181 deg")])
    def test_open_angle_out_of_range_names_what_would_be_right(self, angle: str, said: str) -> None:
        file = raw_site()
        file["site"]["leaves"][0]["open_angle"] = angle
        text = refusal(file)
        assert (said in text, "at most 180 deg" in text, "$.site.leaves[0]" in text) == (True, True, True)

    def test_pair_whose_leaves_touch_while_moving_is_a_stop(self) -> None:
        left, right = demo_site("courtyard-pair").leaves
        thick = replace(left, length_mm=62.98 * INCH, thickness_mm=8 * INCH)
        site = replace(demo_site("courtyard-pair"), leaves=(thick, replace(right, open_angle_rad=pi / 18)))
        assert finding(site, "M-04", "A", "B").severity == "Stop"


class TestTheGround:
    @pytest.mark.parametrize(
        ("shots", "said"),
        [
            ([(0, 0, 0), (1000, 0, 10)], "two shots define no plane"),
            ([(0, 0, 0), (1000, 0, 10), (2000, 0, 20)], "line"),
        ],
    )
    def test_shots_that_make_no_surface_are_asked_about_in_words(self, shots: list[Any], said: str) -> None:
        ground = ShotGround(shots=tuple(Shot(id=f"G{i}", at=(x, y), height_mm=z) for i, (x, y, z) in enumerate(shots)))
        site = replace(demo_site("courtyard-pair"), ground=ground)
        assert said in line_of(finding(site, "A-03", "ground"), site)

    def test_fourth_shot_that_disagrees_is_noted_and_kept(self) -> None:
        corners = [(-5000, -5000, 0), (9000, -5000, 0), (9000, 9000, 0), (-5000, 9000, 3 * INCH)]
        ground = ShotGround(
            shots=tuple(Shot(id=f"G{i}", at=(x, y), height_mm=z) for i, (x, y, z) in enumerate(corners))
        )
        site = replace(demo_site("courtyard-pair"), ground=ground)
        noted = next(each for each in check_site(site) if each.code == "A-03" and each.reason == "fact")
        assert "taken as triangles" in line_of(noted, site)

    def test_shots_that_do_not_reach_under_the_swing_are_asked_about(self) -> None:
        shots = ((-1000.0, -1000.0, 0.0), (2000.0, -1000.0, 0.0), (0.0, 1500.0, 0.0))
        ground = ShotGround(shots=tuple(Shot(id=f"G{i}", at=(x, y), height_mm=z) for i, (x, y, z) in enumerate(shots)))
        site = replace(demo_site("courtyard-pair"), ground=ground)
        asked = [each for each in check_site(site) if each.code == "A-03" and each.severity == "Ask"]
        assert asked

    def test_shots_far_from_the_gate_are_no_pass(self) -> None:
        shots = ((90e3, 90e3, 0.0), (95e3, 90e3, 0.0), (90e3, 95e3, 0.0))
        ground = ShotGround(shots=tuple(Shot(id=f"G{i}", at=(x, y), height_mm=z) for i, (x, y, z) in enumerate(shots)))
        site = replace(demo_site("courtyard-pair"), ground=ground)
        asked = {each.subjects[0] for each in check_site(site) if each.code == "A-03" and each.severity == "Ask"}
        assert asked == {"A", "B"}

    def test_grade_of_a_cliff_is_refused(self) -> None:
        with pytest.raises(ModelError, match="below 100 %, not 120 %"):
            PlaneGround(y_grade=1.2)


class TestOutlines:
    def test_outline_that_crosses_itself_is_asked_about_with_the_place(self) -> None:
        bow = Block(
            id="T", what="cabinet", outline=((9e3, 9e3), (9.5e3, 9.5e3), (9.5e3, 9e3), (9e3, 9.8e3)), top_mm=900.0
        )
        site = replace(demo_site("courtyard-pair"), obstacles=(bow,))
        assert "Self-intersection" in line_of(finding(site, "A-04", "T"), site)

    def test_keep_clear_area_without_area_is_left_out_with_a_note(self) -> None:
        flat = KeepClear(id="Z", why="easement", outline=((0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0)))
        site = replace(demo_site("courtyard-pair"), keep_clear=(flat,))
        assert finding(site, "K-01", "Z").severity == "Note"

    def test_wall_without_thickness_is_a_line_and_is_struck(self) -> None:
        site = changed(demo_site("courtyard-pair"), "W", thickness_mm=0.0, line=((1000.0, 500.0), (1000.0, 900.0)))
        assert finding(site, "M-01", "A", "W").severity == "Stop"


class TestFiles:
    def test_newer_version_is_refused_with_both_numbers(self) -> None:
        text = refusal({**raw_site(), "version": 7})
        assert ("7" in text, "1" in text) == (True, True)

    def test_half_written_file_says_so(self, tmp_path: Path) -> None:
        path = tmp_path / "half.json"
        path.write_bytes(path_of("hill-drive").read_bytes()[:700])
        with pytest.raises(DamagedFileError):
            read_site(path)

    def test_last_good_version_is_found_after_damage(self, tmp_path: Path) -> None:
        path, site = tmp_path / "site.json", demo_site("hill-drive")
        save_site(site, path)
        save_site(replace(site, project=replace(site.project, title="Second")), path)
        path.write_bytes(path.read_bytes()[:300])

        found = last_good(path)

        assert found is not None
        assert found.document.project.title == "Hill drive"

    def test_number_without_unit_is_refused_with_what_would_be_right(self) -> None:
        file = raw_site()
        file["site"]["leaves"][0]["thickness"] = 2
        assert "has no unit" in refusal(file)

    def test_misspelt_field_gets_the_nearest_right_name(self) -> None:
        file = raw_site()
        file["site"]["leaves"][0]["thicknes"] = "2 in"
        assert "thickness" in refusal(file)

    def test_leaf_on_a_post_that_is_not_there_names_the_posts(self) -> None:
        file = raw_site()
        file["site"]["leaves"][0]["post"] = "PC"
        text = refusal(file)
        assert ("PC" in text, "PA and PB" in text) == (True, True)

    def test_several_faults_are_told_at_once(self) -> None:
        file = raw_site()
        file["site"]["leaves"][0]["thickness"] = "1 in 8"
        file["site"]["posts"][1]["size"] = "wide"
        text = refusal(file)
        assert ("Leaf A" in text, "Post PB" in text) == (True, True)


class TestTheDocument:
    def test_deleting_a_post_takes_what_hangs_on_it(self) -> None:
        site = removed(demo_site("hill-drive"), ["PA"])
        assert (site.leaves, site.gates, site.drives) == ((), (), ())

    @pytest.mark.parametrize("name", NAMES)
    @pytest.mark.parametrize("units", ["ftdec", "in", "m", "mm"])
    def test_changing_units_moves_nothing(self, name: str, units: str) -> None:
        site = demo_site(name)
        other = with_choice(site, "project", "units", units)
        assert [each.measured for each in check_site(other)] == [each.measured for each in check_site(site)]

    @pytest.mark.parametrize("field", ["bottom_gap_mm", "height_mm", "weight_kg"])
    @pytest.mark.parametrize("name", NAMES)
    def test_missing_input_is_asked_for_and_never_passes(self, name: str, field: str) -> None:
        site = changed(demo_site(name), "A", **{field: None})
        asked = [each for each in check_site(site) if each.code == "A-01" and "A" in each.subjects]
        assert len(asked) == 1

    def test_leaf_that_opens_to_180_degrees_is_worked_out(self) -> None:
        site = changed(demo_site("courtyard-pair"), "A", open_angle_rad=pi)
        assert [each for each in check_site(site) if each.code == "M-01"]


class TestSheetsThatDoNotFit:
    def test_scale_too_large_names_the_one_that_fits(self) -> None:
        site = demo_site("hill-drive")
        with pytest.raises(SheetError, match="does not fit 11x17; choose 1\" = 10'"):
            make_sheets(replace(site, project=replace(site.project, scale=24)))

    def test_scale_that_is_not_listed_is_refused(self) -> None:
        site = demo_site("hill-drive")
        with pytest.raises(SheetError, match="1:137 is not in the list"):
            make_sheets(replace(site, project=replace(site.project, scale=137)))

    def test_site_without_anything_says_so(self) -> None:
        site = demo_site("hill-drive")
        empty = replace(
            site, edges=(), obstacles=(), posts=(), leaves=(), gates=(), pads=(), drives=(), signs=(), ground=None
        )
        with pytest.raises(SheetError, match="nothing to draw"):
            make_sheets(empty)

    def test_long_title_block_texts_stay_in_their_fields(self) -> None:
        site = demo_site("hill-drive")
        long = replace(
            site.project, owner="The Association of Owners of the Upper and the Lower Sample Hill Road, Limited"
        )
        sheets = make_sheets(replace(site, project=long))
        labels = [item for item in sheets.sheets[0].items if isinstance(item, Label)]
        heights = [label.height_mm for label in labels if label.source == "field:owner"]
        assert min(heights) >= 2.0
