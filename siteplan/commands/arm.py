"""``siteplan arm``: links, way and as-built verdict of the arm of a leaf."""

from math import degrees
from pathlib import Path
from typing import Any

import click
import msgspec

from siteplan.analysis.arms import ArmPlace, ArmWay, arm_places, arm_ways, stroke_of
from siteplan.analysis.as_built import AsBuilt, as_built
from siteplan.errors import ModelError
from siteplan.model.document import Document
from siteplan.model.parts import leaf_at
from siteplan.model.project import Units
from siteplan.reports.findings_text import words_of
from siteplan.reports.lengths import length_text
from siteplan.rules.all_rules import check_site
from siteplan.storage.site_file import read_site
from siteplan.units.writing import write_tape

Row = dict[str, Any]


@click.command("arm")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--leaf", required=True, help="Id of the leaf.")
@click.option("--json", "as_json", is_flag=True, help="The same as JSON.")
def command(file: Path, leaf: str, as_json: bool) -> int:
    """Show the arm that moves a leaf of FILE: its links, how it runs, and what was measured after the pour."""
    document = read_site(file).document
    leaf_at(document, leaf)  # says which leaves there are when this one is not
    arms = [arm for arm in arm_places(document).values() if arm.place.leaf.id == leaf]
    if not arms:
        raise ModelError(f"Leaf {leaf} has no arm: give its drive an arm with the reach of its bracket.")
    rows = [row for arm in arms for row in arm_rows(document, arm)]
    text = msgspec.json.format(msgspec.json.encode(rows), indent=1).decode()
    click.echo(text if as_json else "\n".join(_line(row, document.project.units) for row in rows))
    return 0


def arm_rows(document: Document, arm: ArmPlace) -> list[Row]:
    """Return every number of one arm with its unit, and what stands against it in words."""
    way = arm_ways(document).get(arm.drive.id)
    rows = [] if way is None else _way_rows(arm, way)
    built = as_built(arm)
    if built is not None:
        rows += _built_rows(built, document.project.units)
    told = [each for each in check_site(document) if each.subjects[0] == arm.drive.id and each.is_trouble]
    rows += [{"what": each.severity, "words": words_of(each, document).headline} for each in told]
    return [{"drive": arm.drive.id, **row} for row in rows]


def _way_rows(arm: ArmPlace, way: ArmWay) -> list[Row]:
    rows: list[Row] = [
        {"what": "driving link", "mm": way.arm.driving_mm},
        {"what": "driven link", "mm": way.arm.driven_mm},
        {"what": "closed reach", "mm": way.arm.closed_reach_mm},
        {"what": "spare reach", "mm": way.arm.spare_mm},
        {"what": "bend when closed", "deg": degrees(way.closed_bend_rad)},
        {"what": "driven link to open leaf", "deg": degrees(way.open_link_rad)},
        {"what": "crank travel", "deg": degrees(way.crank_travel_rad)},
        {"what": "least torque ratio", "ratio": way.least_ratio, "at_deg": degrees(way.least_ratio_rad)},
        {"what": "elbow, farthest out", "mm": way.elbow_out_mm},
        {"what": "elbow, farthest in", "mm": way.elbow_in_mm},
    ]
    rows += [
        {"what": f"edge of arm to {gap.what}", "mm": gap.gap_mm, "at_deg": degrees(gap.angle_rad)} for gap in way.gaps
    ]
    moved = stroke_of(arm, way)
    return rows if moved is None else [*rows, {"what": "time of a stroke", "s": moved.total_s}]


def _built_rows(built: AsBuilt, units: Units) -> list[Row]:
    change = write_tape(abs(built.change_mm)) if units == "ftin" else length_text(abs(built.change_mm), units)
    said = {
        "good": "good as built",
        "lengthen": f"add {change} to the driven link",
        "shorten": f"shorten the driven link by {change}",
    }[built.verdict]
    return [
        {"what": "as built, reach", "mm": built.arm.closed_reach_mm},
        {"what": "as built, links together", "mm": built.arm.driving_mm + built.arm.driven_mm},
        {"what": "as built, leaf stops at", "deg": degrees(built.short_rad)},
        {"what": "as built, tip stands open", "mm": built.tip_mm},
        {"what": "as built, verdict", "words": said},
        {"what": "bend when closed, then", "deg": degrees(built.bend_rad)},
        {"what": "driven link to open leaf, then", "deg": degrees(built.link_rad)},
    ]


def _line(row: Row, units: Units) -> str:
    match row:
        case {"mm": mm}:
            number = write_tape(mm) if units == "ftin" else length_text(mm, units, 0.0)
        case {"deg": deg}:
            number = f"{deg:.1f} deg"
        case {"ratio": ratio}:
            number = f"{ratio:.2f}"
        case {"s": seconds}:
            number = f"{seconds:.1f} s"
        case _:
            number = row["words"]
    at = f" at {row['at_deg']:.1f} deg" if "at_deg" in row else ""
    return f"{row['drive']}: {row['what']} {number}{at}"
