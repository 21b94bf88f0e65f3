"""The primitives of every sheet of the demo sites as text; ``pytest --renew-golden`` writes them anew.

On a difference both texts and the difference are kept in ``golden_report/``.
"""

import json
from difflib import unified_diff
from pathlib import Path
from typing import Any

import msgspec
import pytest

from siteplan.drawing.primitives import Primitive, Sheet
from siteplan.drawing.sheets import make_sheets
from tests.demo import NAMES, ROOT, demo_site

HERE = Path(__file__).parent
REPORT = ROOT / "golden_report"
DECIMALS = 2


def rounded(value: Any) -> Any:
    match value:
        case float():
            return round(value, DECIMALS) + 0.0  # no minus zero
        case list():
            return [rounded(part) for part in value]
        case dict():
            return {key: rounded(part) for key, part in value.items()}
        case _:
            return value


def line_of(primitive: Primitive) -> str:
    return json.dumps(rounded(msgspec.to_builtins(primitive)), ensure_ascii=False)


def text_of(sheet: Sheet) -> str:
    lines = [f"# {sheet.name} {sheet.title} {sheet.paper}"]
    for view in sheet.views:
        frame = rounded([*view.centre, *view.frame])
        lines.append(f"# view {view.number} {view.title} {view.scale_text} {frame}")
        lines += [line_of(primitive) for primitive in (*view.model, *view.notes)]
    return "\n".join((*lines, "# paper", *(line_of(primitive) for primitive in sheet.items))) + "\n"


@pytest.mark.parametrize("name", NAMES)
def test_sheets_are_as_they_were(name: str, renew_golden: bool) -> None:
    found = "".join(text_of(sheet) for sheet in make_sheets(demo_site(name)).sheets)
    golden = HERE / f"{name}.txt"
    if renew_golden:
        golden.write_text(found, encoding="utf-8")
    kept = golden.read_text(encoding="utf-8")
    if found != kept:
        REPORT.mkdir(exist_ok=True)
        (REPORT / f"{name}.found.txt").write_text(found, encoding="utf-8")
        difference = list(unified_diff(kept.splitlines(), found.splitlines(), "kept", "found", lineterm=""))
        (REPORT / f"{name}.diff.txt").write_text("\n".join(difference), encoding="utf-8")
        pytest.fail(f"{name}: {len(difference)} lines differ, see {REPORT}")
