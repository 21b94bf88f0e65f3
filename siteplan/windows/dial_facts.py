"""What the Leaf dial marks and says: angles of touches and limits, and the gaps of a leaf that stands still. No Qt."""

from math import ceil, degrees, floor, isnan, radians
from typing import Final, NamedTuple

from siteplan.analysis.leaf_places import leaf_places
from siteplan.analysis.pose import pose_at
from siteplan.errors import EntryError
from siteplan.model.document import Document
from siteplan.model.project import Severity, Units
from siteplan.reports.lengths import length_text
from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES
from siteplan.units.angles import read_angle

TICK_DEG: Final = 15
TICK_STEPS_DEG: Final = (15, 30, 45, 90)
LEAST_TOP_DEG: Final = 90
NO_GAP_MM: Final = 1e-3  # noise of a gap at the very angle of contact
SAME_ANGLE_RAD: Final = 1e-6
COARSE_DEG: Final = 1.0
FINE_DEG: Final = 0.1
STEP_NOISE: Final = 1e-6  # of a step: an angle this near to a whole step stands on it


class DialMark(NamedTuple):
    """A mark on the dial of one leaf."""

    angle_rad: float
    severity: Severity | None  # None: the open stop
    text: str


def dial_top_deg(document: Document) -> int:
    """Return where the dial ends: the greatest open stop, rounded up to a tick."""
    stops = [degrees(place.travel_rad) for place in leaf_places(document).values()]
    return max(LEAST_TOP_DEG, ceil(round(max(stops, default=0.0) / TICK_DEG, 6)) * TICK_DEG)


def dial_marks(document: Document, leaf: str) -> tuple[DialMark, ...]:
    """Return the marks of a leaf: each angle at which a finding about it was measured or begins, and its open stop.

    Of several marks at one angle the worst is kept.
    """
    found = [(SEVERITIES.index(severity), angle) for severity, angle in _finding_angles(document, leaf)]
    marks: list[DialMark] = []
    for rank, angle in sorted(found):
        if all(abs(mark.angle_rad - angle) > SAME_ANGLE_RAD for mark in marks):
            marks.append(DialMark(angle, SEVERITIES[rank], f"{degrees(angle):.1f}°"))
    stop = leaf_places(document)[leaf].travel_rad
    return (*marks, DialMark(stop, None, f"open stop {degrees(stop):.1f}°"))


def _finding_angles(document: Document, leaf: str) -> list[tuple[Severity, float]]:
    about = [finding for finding in troubles(document) if leaf in finding.subjects and finding.reason != "fact"]
    measured = [(each.severity, each.angle_rad) for each in about if each.angle_rad is not None]
    begins = [(each.severity, angle) for each in about for name, angle in each.angles if name == "first below"]
    return [*measured, *begins]


def pose_words(document: Document, leaf: str, angle_rad: float) -> str:
    """Return the numbers of a leaf that stands at an angle: nearest thing, gap over the ground, clear opening."""
    units = document.project.units
    pose = pose_at(document, leaf, angle_rad)
    parts = [f"Leaf {leaf} at {degrees(angle_rad):.1f}°"]
    nearest = next((gap for gap in pose.gaps if gap.thing != pose.place.leaf.post), None)
    if nearest is not None:
        parts.append(f"{nearest.what} {length_text(nearest.gap_mm, units, 0.0)}")
    if pose.least_ground is not None:
        parts.append(f"ground {_gap_text(pose.least_ground.gap_mm, units)}")
    if pose.opening is not None:
        parts.append(f"clear opening {length_text(pose.opening.clear_mm, units)}")
    return "  ·  ".join(parts)


def _gap_text(gap_mm: float, units: Units) -> str:
    """Return a gap over the ground; where no shot reaches under the leaf it is not known."""
    if isnan(gap_mm):
        return "not known here"
    return length_text(0.0 if abs(gap_mm) < NO_GAP_MM else gap_mm, units, 0.0)


def stepped(angle_rad: float, direction: int, step_deg: float) -> float:
    """Return the next whole step from an angle, up or down."""
    count = degrees(angle_rad) / step_deg
    whole = floor(count + STEP_NOISE) + 1 if direction > 0 else ceil(count - STEP_NOISE) - 1
    return radians(whole * step_deg)


def read_dial(text: str, stop_rad: float) -> float:
    """Return an angle typed on the dial, where a bare number is degrees.

    Raises
    ------
    EntryError
        When it is no angle, or not between closed and the open stop.
    """
    plain = text.strip().removesuffix("°").strip()
    angle = read_angle(f"{plain} deg" if plain.replace(".", "", 1).isdecimal() else text)
    if not 0 <= angle <= stop_rad + SAME_ANGLE_RAD:
        raise EntryError(f"A leaf angle lies between 0 and the open stop at {degrees(stop_rad):.1f}°, not at {text}.")
    return min(angle, stop_rad)
