"""Which part may import which: a table, and a test for every module; lazy imports count like others."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "siteplan"
LOW_TO_HIGH = (
    {"errors", "tables", "__init__"},
    {"units", "geometry"},
    {"model"},
    {"analysis"},
    {"rules"},
    {"reports"},
    {"drawing"},
    {"export", "storage"},
    {"canvas"},
    {"windows"},
    {"commands"},
    {"__main__"},
)
LEVEL = {part: level for level, parts in enumerate(LOW_TO_HIGH) for part in parts}
ANY_PART = {"msgspec"}
MAY_USE = {
    "numpy": {"geometry", "analysis", "rules", "drawing", "canvas"},
    "shapely": {"geometry", "analysis", "rules", "drawing", "canvas"},
    "ezdxf": {"export"},
    "pypdf": {"export"},
    "ttf_opensans": {"export", "windows", "canvas"},
    "click": {"commands"},
    "PySide6": {"export", "canvas", "windows"},
}
QT_FREE_MODULES = (
    *(
        f"siteplan.{part}"
        for part in ("errors", "tables", "units", "geometry", "model", "analysis", "rules", "reports")
    ),
    "siteplan.drawing.sheets",
    "siteplan.storage.site_file",
    "siteplan.export.dxf_file",
    "siteplan.canvas.dragging",
    "siteplan.canvas.picking",
    "siteplan.rules.all_rules",
    "siteplan.commands.main",
    "siteplan.commands.check",
    "siteplan.commands.swing",
    "siteplan.commands.new",
)
MODULES = sorted(PACKAGE.rglob("*.py"))


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        match node:
            case ast.Import():
                yield from (alias.name for alias in node.names)
            case ast.ImportFrom():
                assert node.level == 0, f"{path}:{node.lineno}: relative import"
                yield node.module or ""


def faults_of(path: Path) -> list[str]:
    part = part_of(path)
    faults = []
    for name in imports_of(path):
        root, *rest = name.split(".")
        if root == "siteplan" and rest:
            other = rest[0]
            if other != part and LEVEL[other] >= LEVEL[part]:
                faults.append(f"{part} may not import {name}")
        elif root not in {*sys.stdlib_module_names, "siteplan", *ANY_PART} and part not in MAY_USE.get(root, set()):
            faults.append(f"{part} may not import {name}")
    return faults


@pytest.mark.parametrize("path", MODULES, ids=[str(path.relative_to(PACKAGE)) for path in MODULES])
def test_module_imports_only_what_its_part_may_use(path: Path) -> None:
    assert faults_of(path) == []


def test_every_part_has_a_place_in_the_order() -> None:
    assert {part_of(path) for path in MODULES} - {"py.typed"} <= LEVEL.keys()


@pytest.mark.parametrize("path", [path for path in MODULES if part_of(path) == "export"], ids=str)
def test_widgets_stay_out_of_export(path: Path) -> None:
    assert "PySide6.QtWidgets" not in set(imports_of(path))


@pytest.mark.parametrize("module", QT_FREE_MODULES)
def test_module_loads_without_qt(module: str) -> None:
    code = f"import {module}, sys; raise SystemExit(any(name.startswith('PySide6') for name in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_checking_a_site_loads_neither_qt_nor_the_drawing_writers() -> None:
    site = PACKAGE.parent / "demo_sites" / "hill-drive.json"
    code = (
        "import sys; from siteplan.commands.main import program;"
        f"program.main(['check', r'{site}'], standalone_mode=False);"
        "raise SystemExit(any(n.split('.')[0] in ('PySide6', 'ezdxf', 'pypdf') for n in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False, capture_output=True).returncode == 0
