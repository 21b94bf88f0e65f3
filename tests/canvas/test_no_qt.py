import subprocess
import sys

import pytest

QT_FREE = (
    "siteplan.canvas.adding",
    "siteplan.canvas.drags",
    "siteplan.canvas.dragging",
    "siteplan.canvas.extents",
    "siteplan.canvas.names",
    "siteplan.canvas.palette",
    "siteplan.canvas.pen_colours",
    "siteplan.canvas.picking",
    "siteplan.canvas.plan_frame",
    "siteplan.canvas.snapping",
    "siteplan.windows.dial_facts",
    "siteplan.windows.part_help",
    "siteplan.windows.value_rows",
)


def modules_after(code: str) -> list[str]:
    """Return the modules a fresh interpreter has loaded after some code."""
    shown = f"{code}; import sys; print(*sys.modules)"
    return subprocess.run(
        [sys.executable, "-c", shown], check=True, capture_output=True, text=True, timeout=60
    ).stdout.split()


def test_tools_of_the_plan_import_no_qt() -> None:
    loaded = modules_after(f"import {', '.join(QT_FREE)}")

    assert [name for name in loaded if name.startswith(("PySide6", "shiboken6"))] == []


@pytest.mark.parametrize("library", ["ezdxf", "scipy", "pypdf", "siteplan.drawing.sheets", "siteplan.export.paint"])
def test_window_starts_without_what_only_sheets_need(library: str) -> None:
    assert library not in modules_after("import siteplan.windows.start")
