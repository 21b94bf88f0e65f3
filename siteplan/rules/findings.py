"""What a check has found, as data; the words are made elsewhere."""

from typing import Literal

from msgspec import Struct

from siteplan.geometry.points import Point
from siteplan.model.project import Severity

Reason = Literal["breach", "near", "missing", "pass", "n/a", "fact"]
MeasureUnit = Literal["mm", "rad", "ratio", "kg", "N·m", "count", ""]
SEVERITIES: tuple[Severity, ...] = ("Stop", "Guard", "Tight", "Ask", "Note")  # worst first


class Finding(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One result of one check."""

    code: str
    severity: Severity
    reason: Reason
    subjects: tuple[str, ...]  # ids of the records, the one judged first
    names: tuple[str, ...] = ()  # what the subjects are called in a sentence
    measured: float | None = None
    limit: float | None = None
    unit: MeasureUnit = ""
    row: str = ""  # row of the table of limits
    angle_rad: float | None = None  # leaf angle it was measured at
    witness: tuple[Point, ...] = ()  # places in the plan
    lengths: tuple[tuple[str, float], ...] = ()  # further numbers for the wording: name, mm
    angles: tuple[tuple[str, float], ...] = ()  # name, radians
    words: tuple[tuple[str, str], ...] = ()  # name, word

    @property
    def key(self) -> str:
        """What the finding is called as long as the site is the same but for its numbers."""
        return ":".join((self.code, self.reason, *self.subjects))

    @property
    def is_trouble(self) -> bool:
        """Whether it belongs in the trouble list: everything but a pass and a check that does not apply."""
        return self.reason not in ("pass", "n/a")


def sort_findings(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return findings worst first, then by code and subject."""
    return tuple(sorted(findings, key=lambda each: (SEVERITIES.index(each.severity), each.code, each.subjects)))


def leaf_name(leaf: str) -> str:
    """Return what a leaf is called in a sentence."""
    return f"leaf {leaf}"
