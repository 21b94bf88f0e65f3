"""``siteplan swing``: one leaf at an angle, or what it touches first."""

from math import degrees, isnan
from pathlib import Path
from typing import Any

import click
import msgspec

from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.near_things import Meeting
from siteplan.analysis.pose import Pose, pose_at
from siteplan.model.document import Document
from siteplan.reports.lengths import length_text
from siteplan.storage.site_file import read_site
from siteplan.units.angles import read_angle

Row = dict[str, Any]


@click.command("swing")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--leaf", required=True, help="Id of the leaf.")
@click.option("--at", "angle", help="Leaf angle, such as 60 or '60 deg'; closed is 0.")
@click.option("--touch", is_flag=True, help="List what the leaf touches, and at which angle.")
@click.option("--json", "as_json", is_flag=True, help="The same as JSON.")
def command(file: Path, leaf: str, angle: str | None, touch: bool, as_json: bool) -> int:
    """Show the gaps of a leaf of FILE at an angle, or its first contacts."""
    document = read_site(file).document
    if touch == (angle is not None):
        raise click.UsageError("Say either --at ANGLE or --touch.")
    if touch:
        pose_at(document, leaf, 0.0)  # says which leaves there are when this one is not
        rows = touch_rows(document, leaf)
        _show(rows, [row["line"] for row in rows] or [f"Leaf {leaf} touches nothing."], as_json)
        return 0
    pose = pose_at(document, leaf, _angle(angle or ""))
    rows = pose_rows(pose)
    _show(rows, [_line(row, document) for row in rows], as_json)
    return 0


def _angle(text: str) -> float:
    """Read an angle; on this command line a bare number is degrees."""
    plain = text.strip()
    return read_angle(f"{plain} deg" if plain.replace(".", "", 1).isdecimal() else plain)


def _show(rows: list[Row], lines: list[str], as_json: bool) -> None:
    click.echo(msgspec.json.format(msgspec.json.encode(rows), indent=1).decode() if as_json else "\n".join(lines))


def touch_rows(document: Document, leaf: str) -> list[Row]:
    """Return first contacts of a leaf, by angle."""
    rows = [_meeting_row("touch", touch) for touch in leaf_contacts(document)[leaf].touches]
    fit = ground_fits(document).get(leaf)
    angle = fit.first_below(0.0) if fit else None
    if fit is not None and angle is not None:
        place = fit.least_at(angle).at
        rows.append({"what": "touch", "thing": "ground", "angle_deg": degrees(angle), "at_mm": list(place)})
    rows.sort(key=lambda row: row["angle_deg"])
    for row in rows:
        row["line"] = f"Leaf {leaf} touches {row['thing']} at {row['angle_deg']:.2f} deg."
    return rows


def pose_rows(pose: Pose) -> list[Row]:
    """Return the gaps of a leaf standing at an angle."""
    rows = [_meeting_row("gap", gap) for gap in pose.gaps]
    for name, ground in (
        ("least gap over ground", pose.least_ground),
        ("greatest gap over ground", pose.greatest_ground),
    ):
        if ground is not None:
            known = not isnan(ground.gap_mm)  # no shot reaches under the leaf at some angles
            gap, at = (ground.gap_mm, list(ground.at)) if known else (None, None)
            rows.append({"what": name, "thing": "ground", "mm": gap, "at_mm": at})
    if pose.opening is not None:
        rows.append({"what": "clear opening", "thing": pose.opening.gate.id, "mm": pose.opening.clear_mm})
    return [{**row, "leaf": pose.place.leaf.id, "angle_deg": degrees(pose.angle_rad)} for row in rows]


def _meeting_row(what: str, meeting: Meeting) -> Row:
    return {
        "what": what,
        "thing": meeting.thing,
        "name": meeting.what,
        "mm": meeting.gap_mm,
        "angle_deg": degrees(meeting.angle_rad),
        "on_leaf_mm": list(meeting.on_leaf),
        "on_thing_mm": list(meeting.on_thing),
    }


def _line(row: Row, document: Document) -> str:
    name = row.get("name", row["thing"])
    number = "not known here" if row["mm"] is None else length_text(row["mm"], document.project.units, 0.0)
    return f"Leaf {row['leaf']} at {row['angle_deg']:.2f} deg: {row['what']} {number}, {name}"
