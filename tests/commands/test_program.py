"""The whole program from the command line, as its user calls it."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.demo import NAMES, ROOT, demo_site, path_of


def run(*words: str | Path, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "siteplan", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=cwd)


def report(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(run("check", path_of(name), "--json").stdout)
    return loaded


@pytest.fixture(scope="module")
def hill_report() -> dict[str, Any]:
    return report("hill-drive")


def write_site(tmp_path: Path, **changes: object) -> Path:
    """A level single-leaf site against which nothing stands, with changes to its project."""
    file = json.loads(path_of("courtyard-pair").read_text(encoding="utf-8"))
    site = file["site"]
    site["edges"] = [edge for edge in site["edges"] if edge["id"] != "W"]
    for leaf in site["leaves"]:
        leaf["height"] = leaf["height"].removeprefix("~")
    site["project"]["use"]["walk_gate"] = "shown"
    site["project"]["use"].update(changes)
    path = tmp_path / "site.json"
    path.write_text(json.dumps(file), encoding="utf-8")
    return path


class TestExitCodes:
    def test_nothing_to_stop_leaves_with_0(self, tmp_path: Path) -> None:
        assert run("check", write_site(tmp_path), "--strict", "--complete").returncode == 0

    def test_a_stop_leaves_with_1(self) -> None:
        assert run("check", path_of("hill-drive")).returncode == 1

    def test_a_guard_leaves_with_0(self) -> None:
        assert run("check", path_of("courtyard-pair")).returncode == 0

    def test_a_guard_leaves_with_1_when_strict(self) -> None:
        assert run("check", path_of("courtyard-pair"), "--strict").returncode == 1

    def test_an_ask_leaves_with_2_when_it_must_be_complete(self, tmp_path: Path) -> None:
        assert run("check", write_site(tmp_path, walk_gate=None), "--complete").returncode == 2

    def test_unreadable_entry_leaves_with_3_and_names_the_place(self, tmp_path: Path) -> None:
        path = write_site(tmp_path)
        path.write_text(path.read_text(encoding="utf-8").replace("5'-1\\\"", "12 6"), encoding="utf-8")
        done = run("check", path)

        assert done.returncode == 3
        assert "12 6" in done.stderr

    def test_half_written_file_leaves_with_4(self, tmp_path: Path) -> None:
        path = write_site(tmp_path)
        path.write_bytes(path.read_bytes()[:400])
        assert run("check", path).returncode == 4

    def test_target_that_cannot_be_written_leaves_with_5(self, tmp_path: Path) -> None:
        (tmp_path / "out").write_text("a file where a folder is wanted", encoding="utf-8")
        done = run("sheets", path_of("courtyard-pair"), "--to", tmp_path / "out", "--as", "dxf")

        assert done.returncode == 5
        assert "cannot be written" in done.stderr

    @pytest.mark.parametrize("words", [("swing", "--leaf"), ("draw",), ("check", "no-such-file.json")])
    def test_words_not_understood_leave_with_3(self, words: tuple[str, ...]) -> None:
        done = run(*words)

        assert done.returncode == 3
        assert "Traceback" not in done.stderr


class TestCheck:
    @pytest.mark.parametrize("name", NAMES)
    def test_prints_caution_and_pack(self, name: str) -> None:
        text = run("check", path_of(name)).stdout
        assert ("A moving gate can crush or kill" in text, "US demo 2026-11" in text) == (True, True)

    def test_clean_site_is_told_what_was_looked_at(self, tmp_path: Path) -> None:
        assert "0 Stop, 0 Guard, 0 Tight, 0 Ask" in run("check", write_site(tmp_path)).stdout

    def test_unknown_pack_names_those_there_are(self) -> None:
        done = run("check", path_of("hill-drive"), "--pack", "mars")
        assert (done.returncode, "us-demo" in done.stderr) == (3, True)

    def test_every_number_of_the_report_has_unit_record_and_basis(self, hill_report: dict[str, Any]) -> None:
        rows = [*hill_report["given"], *hill_report["results"]]
        assert [row for row in rows if not (row["unit"] and row["of"] and row["basis"])] == []

    def test_report_holds_the_clear_opening(self, hill_report: dict[str, Any]) -> None:
        (row,) = (row for row in hill_report["results"] if row["what"] == "clear opening")
        assert row["value"] == pytest.approx(170 * 25.4, abs=0.25)

    @pytest.mark.parametrize(("what", "basis"), [("leaf length", "taped"), ("swept area", "guess")])
    def test_result_is_as_sure_as_what_it_rests_on(self, hill_report: dict[str, Any], what: str, basis: str) -> None:
        (row,) = (row for row in hill_report["results"] if row["what"] == what)
        assert row["basis"] == basis  # the weight of the leaf is guessed, its length taped

    def test_report_keeps_every_finding_also_the_passes(self, hill_report: dict[str, Any]) -> None:
        assert {"breach", "missing", "pass"} <= {row["reason"] for row in hill_report["findings"]}


class TestArm:
    def test_links_and_verdict_after_the_pour(self) -> None:
        done = run("arm", path_of("riser-retrofit"), "--leaf", "B", "--json")
        rows = {row["what"]: row for row in json.loads(done.stdout)}
        assert rows["driving link"]["mm"] / 25.4 == pytest.approx(32.66, abs=0.0051)
        assert rows["as built, verdict"]["words"] == 'add 1/2" to the driven link'

    def test_leaf_without_an_arm_is_told(self) -> None:
        done = run("arm", path_of("courtyard-pair"), "--leaf", "C")
        assert (done.returncode, "the leaves are A and B" in done.stderr) == (3, True)


class TestSwing:
    def test_gap_at_an_angle(self) -> None:
        done = run("swing", path_of("courtyard-pair"), "--leaf", "B", "--at", "86", "--json")
        (row,) = (row for row in json.loads(done.stdout) if row.get("name") == "wall W")
        assert row["mm"] / 25.4 == pytest.approx(15.993, abs=0.001)

    def test_first_touch_with_the_ground(self) -> None:
        done = run("swing", path_of("hill-drive"), "--leaf", "A", "--touch", "--json")
        assert [(row["thing"], round(row["angle_deg"], 2)) for row in json.loads(done.stdout)] == [("ground", 10.58)]

    def test_gap_where_no_shot_reaches_is_not_known(self, tmp_path: Path) -> None:
        site = json.loads(path_of("hill-drive").read_text())
        ground = site["site"]["ground"]
        ground["shots"] = ground["shots"][:4]  # up to the gate line, none inside
        path = tmp_path / "few-shots.json"
        path.write_text(json.dumps(site))

        lines = [
            line for line in run("swing", path, "--leaf", "A", "--at", "80").stdout.splitlines() if "ground" in line
        ]
        rows = json.loads(run("swing", path, "--leaf", "A", "--at", "80", "--json").stdout)

        assert [line.split(": ")[1] for line in lines] == [
            "least gap over ground not known here, ground",
            "greatest gap over ground not known here, ground",
        ]
        assert [(row["mm"], row["at_mm"]) for row in rows if row["thing"] == "ground"] == [(None, None)] * 2

    def test_unknown_leaf_names_those_there_are(self) -> None:
        done = run("swing", path_of("courtyard-pair"), "--leaf", "C", "--touch")
        assert (done.returncode, "A, B" in done.stderr) == (3, True)

    def test_angle_beyond_the_stop_names_the_stop(self) -> None:
        done = run("swing", path_of("courtyard-pair"), "--leaf", "B", "--at", "120")
        assert (done.returncode, "90 deg" in done.stderr) == (3, True)


class TestNew:
    def test_new_file_can_be_checked(self, tmp_path: Path) -> None:
        run("new", tmp_path / "first.json")
        assert "0 Stop" in run("check", tmp_path / "first.json").stdout

    def test_new_does_not_overwrite(self, tmp_path: Path) -> None:
        path = write_site(tmp_path)
        before = path.read_bytes()

        assert run("new", path).returncode == 5
        assert path.read_bytes() == before

    def test_new_file_is_all_guesses(self, tmp_path: Path) -> None:
        run("new", tmp_path / "first.json", "--units", "m")
        rows = json.loads(run("check", tmp_path / "first.json", "--json").stdout)["given"]
        assert {row["basis"] for row in rows} == {"guess"}


class TestSheets:
    def test_sheets_come_without_fonts_and_without_a_screen(self, tmp_path: Path) -> None:
        done = subprocess.run(
            [sys.executable, "-m", "siteplan", "sheets", str(path_of("courtyard-pair")), "--to", str(tmp_path / "out")],
            capture_output=True,
            text=True,
            check=False,
            cwd=ROOT,
            env={"PATH": "/usr/bin:/bin", "HOME": str(tmp_path / "home"), "QT_QPA_PLATFORM": "offscreen",
                 "FONTCONFIG_FILE": str(tmp_path / "no-fonts.conf")},
        )  # fmt: skip

        assert done.returncode == 0, done.stderr
        assert sorted(path.suffix for path in (tmp_path / "out").iterdir()) == [".dxf", ".pdf", ".png", ".png", ".png"]

    def test_progress_is_told(self, tmp_path: Path) -> None:
        done = run("sheets", path_of("courtyard-pair"), "--to", tmp_path, "--as", "dxf")
        assert "Laying out the gate plan" in done.stderr

    def test_same_input_gives_the_same_bytes(self, tmp_path: Path) -> None:
        for folder in ("first", "second"):
            run("sheets", path_of("hill-drive"), "--to", tmp_path / folder)
        first, second = (
            {path.name: path.read_bytes() for path in (tmp_path / folder).iterdir()} for folder in ("first", "second")
        )
        assert first == second

    def test_unknown_kind_is_refused_with_those_there_are(self, tmp_path: Path) -> None:
        done = run("sheets", path_of("hill-drive"), "--to", tmp_path, "--as", "svg")
        assert (done.returncode, "dxf, png, pdf" in done.stderr) == (3, True)


def test_help_names_every_verb() -> None:
    text = run("--help").stdout
    assert [verb for verb in ("check", "sheets", "swing", "new", "open") if verb not in text] == []


def test_input_file_is_never_written(tmp_path: Path) -> None:
    path = write_site(tmp_path)
    before = path.read_bytes()
    for words in (
        ("check", path),
        ("swing", path, "--leaf", "A", "--at", "10"),
        ("sheets", path, "--to", tmp_path / "o"),
    ):
        run(*words)
    assert path.read_bytes() == before


def test_demo_sites_load_without_notes() -> None:
    assert [demo_site(name).project.title for name in NAMES] == ["Hill drive", "Courtyard pair", "Fire-lane townhouses"]
