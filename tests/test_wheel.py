"""The wheel carries all it needs: it is built, installed into an empty environment and run from another folder."""

import subprocess
import sys
import venv
from pathlib import Path

import pytest

from tests.demo import ROOT, path_of


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ``siteplan`` command of a fresh environment; packages it needs are those of the test environment."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    (wheel,) = folder.glob("*.whl")
    venv.create(folder / "env", with_pip=True, system_site_packages=False)
    scripts = folder / "env" / ("Scripts" if sys.platform == "win32" else "bin")
    install = [str(scripts / "python"), "-m", "pip", "install", "--quiet", "--no-deps", str(wheel)]
    subprocess.run(install, check=True, capture_output=True)
    packages = [path for path in sys.path if path.endswith("site-packages")]
    site = next((folder / "env").rglob("site-packages"))
    (site / "borrowed.pth").write_text("\n".join(packages), encoding="utf-8")
    return scripts / "siteplan"


def run(command: Path, *words: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(command), *map(str, words)], capture_output=True, text=True, check=False, cwd=cwd)


def test_installed_program_checks_a_site(installed: Path, tmp_path: Path) -> None:
    done = run(installed, "check", path_of("hill-drive"), cwd=tmp_path)
    assert (done.returncode, "strikes the ground at 10.6 deg" in done.stdout) == (1, True), done.stderr


def test_installed_program_draws_sheets(installed: Path, tmp_path: Path) -> None:
    done = run(installed, "sheets", path_of("courtyard-pair"), "--to", tmp_path / "out", cwd=tmp_path)
    assert sorted({path.suffix for path in (tmp_path / "out").iterdir()}) == [".dxf", ".pdf", ".png"], done.stderr


def test_program_is_imported_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    python = installed.with_name("python")
    code = "import siteplan, siteplan.tables as t; print(siteplan.__file__, t.RESOURCES)"
    assert str(ROOT) not in run(python, "-c", code, cwd=tmp_path).stdout
