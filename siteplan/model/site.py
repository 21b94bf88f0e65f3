"""What stands on the site: measured points, edges, obstacles, ground, and areas to keep clear."""

from typing import Literal

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.quantities import (
    XY,
    Grade,
    Length,
    SignedLength,
    check_numbers,
    name_of,
    spoken,
)

State = Literal["existing", "new"]
EdgeKind = Literal["wall", "fence", "kerb", "road edge", "drive edge", "property line", "right-of-way"]
SOLID_EDGES: tuple[EdgeKind, ...] = ("wall", "fence", "kerb")
BOUNDARIES: tuple[EdgeKind, ...] = ("property line", "right-of-way")
LEAST_OUTLINE = 3


class SurveyPoint(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A measured point."""

    id: str
    at: XY
    height_mm: SignedLength | None = None
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse places no site can have."""
        check_numbers(self)


class Edge(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A line on the site, walked from its first to its last place: a wall, a kerb, a road edge, a property line."""

    id: str
    kind: EdgeKind
    line: tuple[XY, ...]
    closed: bool = False
    thickness_mm: Length = 0.0
    thickness_lies: Literal["left", "right", "both"] = "both"  # of the line, walking along it
    bottom_mm: SignedLength = 0.0  # above the ground beside it
    top_mm: SignedLength | None = None  # above the ground beside it; None: not known, taken as tall
    state: State = "existing"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse an edge without two places."""
        check_numbers(self, not_below_zero=("thickness_mm",))
        if len(self.line) < 2:
            raise ModelError(f"{name_of(self)}: a line needs 2 places or more, not {len(self.line)}.")

    @property
    def walk(self) -> tuple[XY, ...]:
        """Its places in order; a closed line comes back to its first."""
        return (*self.line, self.line[0]) if self.closed else self.line


class Block(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken, tag_field="shape", tag="block"):
    """A thing with a drawn outline: a cabinet, a step, a parked car, an arch overhead."""

    id: str
    what: str  # what it is, in a word: cabinet, arch, car
    outline: tuple[XY, ...]
    bottom_mm: SignedLength = 0.0
    top_mm: SignedLength | None = None
    state: State = "existing"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse an outline that encloses nothing."""
        check_numbers(self)
        if len(self.outline) < LEAST_OUTLINE:
            raise ModelError(f"{name_of(self)}: an outline needs 3 places or more, not {len(self.outline)}.")


class Round(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken, tag_field="shape", tag="round"):
    """A round thing: a tree, a bollard, a pole."""

    id: str
    what: str
    at: XY
    radius_mm: Length
    bottom_mm: SignedLength = 0.0
    top_mm: SignedLength | None = None
    state: State = "existing"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a round thing without a radius."""
        check_numbers(self, above_zero=("radius_mm",))


Obstacle = Block | Round


class PlaneGround(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken, tag_field="kind", tag="plane"):
    """Ground that rises evenly: height at the origin, and grades to the right (x) and inward (y)."""

    height_mm: SignedLength = 0.0
    x_grade: Grade = 0.0
    y_grade: Grade = 0.0

    def __post_init__(self) -> None:
        """Refuse a plane no site can have."""
        check_numbers(self)
        for grade in (self.x_grade, self.y_grade):
            if abs(grade) > 1:
                raise ModelError(f"Ground: a grade must be below 100 %, not {100 * grade:g} %.")


class Shot(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A spot height."""

    id: str
    at: XY
    height_mm: SignedLength

    def __post_init__(self) -> None:
        """Refuse places no site can have."""
        check_numbers(self)


class ShotGround(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken, tag_field="kind", tag="shots"):
    """Ground known by spot heights, taken as straight between them."""

    shots: tuple[Shot, ...]


Ground = PlaneGround | ShotGround


class KeepClear(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """An area that must stay free of the moving gate."""

    id: str
    why: Literal["easement", "right-of-way", "fire lane", "sight triangle", "other"]
    outline: tuple[XY, ...]
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse an outline that encloses nothing."""
        check_numbers(self)
        if len(self.outline) < LEAST_OUTLINE:
            raise ModelError(f"{name_of(self)}: an outline needs 3 places or more, not {len(self.outline)}.")
