"""Who, where, for whom: what stands in the title block, and the questions only people can answer."""

from typing import Literal

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.quantities import (
    Grade,
    Length,
    Pressure,
    SignedAngle,
    SignedLength,
    WindSpeed,
    check_numbers,
    spoken,
)

Units = Literal["ftin", "ftdec", "in", "m", "mm"]
Paper = Literal["11x17", "ARCH D", "A3"]
Soil = Literal["rock", "layered rock", "gravel", "sand", "clay"]
Severity = Literal["Stop", "Guard", "Tight", "Ask", "Note"]
ISO_DATE_FORM = (4, 2, 2)


class Revision(Struct, frozen=True, kw_only=True):
    """One row of the revision table."""

    mark: str
    date: str = ""
    what: str = ""


class Use(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How the gate is used; None means nobody has said so yet."""

    land: Literal["home", "public", "industrial", "guarded"] | None = None
    dwellings: int | None = None
    openings_per_day: int | None = None
    fire_lane: bool | None = None
    fire_opening_device: Literal["shown", "none"] | None = None
    walk_gate: Literal["shown", "none"] | None = None

    def __post_init__(self) -> None:
        """Refuse counts below what can be counted."""
        for name, least in (("dwellings", 1), ("openings_per_day", 0)):
            count = getattr(self, name)
            if count is not None and count < least:
                raise ModelError(f"Project: {name} must be {least} or more, not {count}.")


class Project(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Project data: the fields of the title block (ISO 7200) and what a permit office asks besides."""

    title: str
    about: str = ""
    owner: str = ""  # legal owner
    address: str = ""
    parcel: str = ""
    prepared_by: str = ""  # creator
    licence: str = ""
    released_by: str = ""
    document_no: str = ""  # identification number
    issue_date: str = ""  # year-month-day, set by a person, never "now"
    revisions: tuple[Revision, ...] = ()
    units: Units = "ftin"
    paper: Paper = "11x17"
    scale: int | None = None  # ratio of the main view, 96 for 1/8" = 1'-0"; None: the largest that fits
    hatch: bool = True
    use: Use = Use()

    def __post_init__(self) -> None:
        """Refuse a date that is not written year-month-day, and a scale that enlarges."""
        if self.scale is not None and self.scale < 1:
            raise ModelError(f"Project: scale must be a ratio of 1 or more, such as 96, not {self.scale}.")
        parts = self.issue_date.split("-")
        if self.issue_date and (tuple(map(len, parts)) != ISO_DATE_FORM or not all(part.isdigit() for part in parts)):
            raise ModelError(f"Project: issue_date must be written like 2031-04-02, not {self.issue_date!r}.")


class Datum(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """What heights and directions are counted from."""

    height: str = "ground at the first hinge axis"  # what height 0 is, in words
    north_rad: SignedAngle = 1.5707963267948966  # direction of north in the plan, counter-clockwise from +x
    north_kind: Literal["true", "plan"] = "plan"
    property_lines: str = "from record"  # where the property lines come from

    def __post_init__(self) -> None:
        """Refuse a north that is no direction."""
        check_numbers(self)


class Conditions(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """Wind, soil and frost of the place: what loads are reckoned with.  Nothing here has a default that could pass."""

    wind_by: Literal["ASCE 7-16", "ASCE 7-22", "EN 1991-1-4"] = "ASCE 7-16"
    wind_speed_m_s: WindSpeed | None = None  # of the design wind: by ASCE 7 ultimate, by EN basic
    exposure: Literal["B", "C", "D"] | None = None  # ASCE 7
    terrain: Literal["0", "I", "II", "III", "IV"] | None = None  # EN 1991-1-4
    operating_wind_m_s: WindSpeed | None = None  # in which the leaf must still move
    soil: Soil | None = None
    frost_depth_mm: Length | None = None  # the adopted local figure
    concrete_pa: Pressure | None = None  # strength f'c
    pier_diameter_mm: Length | None = None
    grade_held: bool = False  # rigid paving holds the post at the ground
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse speeds and sizes no site can have."""
        positive = ("wind_speed_m_s", "operating_wind_m_s", "concrete_pa", "pier_diameter_mm")
        check_numbers(self, above_zero=positive, not_below_zero=("frost_depth_mm",))


class LocalLimit(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """One limit laid down locally, which takes the place of the row of the pack."""

    row: str  # name of the row in the table of limits
    value_mm: SignedLength | None = None  # of a length or a count
    angle_rad: SignedAngle | None = None  # of a row in degrees
    ratio: Grade | None = None
    margin_mm: Length | None = None
    severity: Severity | None = None
    reason: str
    by: str = ""

    def __post_init__(self) -> None:
        """Refuse a local limit that changes nothing or has no reason."""
        check_numbers(self, not_below_zero=("margin_mm",))
        if not self.reason.strip():
            raise ModelError(f"Local limit {self.row}: a reason is needed, such as the letter it comes from.")
        if all(part is None for part in (self.value_mm, self.angle_rad, self.ratio, self.margin_mm, self.severity)):
            raise ModelError(f"Local limit {self.row}: give a value, a margin or a severity.")
