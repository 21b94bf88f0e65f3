"""Pads, drives and the two-link arms between a drive and its leaf, as designed and as built.

The numbers of an arm are those of the trade: set-out c and set-in d of the shaft follow from its place, the bracket
stands b along the leaf from the hinge axis and e off the leaf's line, on the side of the drive where positive.
"""

from math import pi
from typing import Literal

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.quantities import (
    XY,
    Angle,
    Length,
    SignedAngle,
    SignedLength,
    Time,
    Torque,
    TurningSpeed,
    Weight,
    check_numbers,
    name_of,
    spoken,
)
from siteplan.model.site import State

LinkRule = Literal["square", "in line", "by angles"]


class Pad(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A concrete pad."""

    id: str
    at: XY  # middle of the pad
    width_mm: Length  # along its own x
    depth_mm: Length  # along its own y
    turn_rad: SignedAngle = 0.0
    top_mm: SignedLength = 0.0  # above the ground beside it
    thick_mm: Length | None = None  # of the concrete
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a pad without a size."""
        check_numbers(self, above_zero=("width_mm", "depth_mm", "thick_mm"))


class Rating(Struct, frozen=True, kw_only=True, rename=spoken):
    """One corner of the chart of what a drive may move: a leaf so long may weigh so much."""

    length_mm: Length
    weight_kg: Weight

    def __post_init__(self) -> None:
        """Refuse a rating without a length."""
        check_numbers(self, above_zero=("length_mm", "weight_kg"))


class Anchor(Struct, frozen=True, kw_only=True, rename=spoken):
    """One hole of a base, from its middle: across it and toward its back."""

    across_mm: SignedLength
    back_mm: SignedLength


class CutOut(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """The opening of a base for conduits; its middle counted as those of the holes."""

    across_mm: SignedLength = 0.0
    back_mm: SignedLength = 0.0
    width_mm: Length
    depth_mm: Length


class DriveKind(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """What is known of one kind of drive, out of its papers.  Unknown numbers are left out and asked for."""

    id: str
    base_width_mm: Length | None = None
    base_depth_mm: Length | None = None
    base_height_mm: Length | None = None
    shaft_across_mm: SignedLength = 0.0  # from the middle of the base
    shaft_back_mm: SignedLength = 0.0
    shaft_height_mm: Length | None = None  # above the foot of the base
    anchors: tuple[Anchor, ...] = ()
    cut_out: CutOut | None = None
    driving_least_mm: Length | None = None
    driving_most_mm: Length | None = None
    driven_least_mm: Length | None = None
    driven_most_mm: Length | None = None
    adjust_step_mm: Length = 3.175  # links are set or cut in steps of this
    arm_half_width_mm: Length = 38.1
    crank_travel_rad: Angle | None = None
    torque_nm: Torque | None = None  # at the shaft
    breakaway_least_nm: Torque | None = None
    breakaway_most_nm: Torque | None = None
    speed_rad_s: TurningSpeed | None = None  # of the shaft
    ramp_s: Time = 0.0  # to reach that speed, and to come to rest
    chart: tuple[Rating, ...] = ()  # shortest leaf first
    classes: tuple[str, ...] = ()  # of use, as its papers say: I, II, III, IV
    openings_per_day: int | None = None
    supplies: tuple[str, ...] = ()
    risers_mm: tuple[Length, ...] = ()  # heights in stock
    mass_kg: Weight | None = None
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse ranges that hold nothing."""
        sizes = ("base_width_mm", "base_depth_mm", "base_height_mm", "shaft_height_mm", "mass_kg")
        check_numbers(self, above_zero=(*sizes, "adjust_step_mm", "crank_travel_rad", "torque_nm", "speed_rad_s"))
        for low, high in (
            ("driving_least_mm", "driving_most_mm"),
            ("driven_least_mm", "driven_most_mm"),
            ("breakaway_least_nm", "breakaway_most_nm"),
        ):
            least, most = getattr(self, low), getattr(self, high)
            if least is not None and most is not None and least > most:
                raise ModelError(f"{name_of(self)}: {spoken(low)} {least:g} lies above {spoken(high)} {most:g}.")
        lengths = [corner.length_mm for corner in self.chart]
        if lengths != sorted(set(lengths)):
            raise ModelError(f"{name_of(self)}: the lengths of its chart must rise from row to row.")


class Arm(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """How the links between a drive and its leaf are laid out.

    Links that are not given are worked out by the rule: square (straight, or with the bend, when closed; the driven
    link square to the leaf when open), in line (in line at both ends), by angles (of the driven link to the leaf).
    """

    bracket_mm: SignedLength  # b: bracket pin along the leaf from the hinge axis
    bracket_off_mm: SignedLength = 0.0  # e: off the leaf's line, to the opening side where positive
    bracket_height_mm: Length | None = None  # over the ground at the hinge axis
    rule: LinkRule = "square"
    bend_rad: Angle = 0.0  # of the elbow off straight when closed
    spare_mm: Length = 0.0  # sum of the links over the closed reach
    closed_link_rad: SignedAngle = -pi / 2  # rule by angles: driven link against the leaf when closed, and when open
    open_link_rad: SignedAngle = -pi / 5
    driving_mm: Length | None = None
    driven_mm: Length | None = None

    def __post_init__(self) -> None:
        """Refuse a bend and a spare at once, and links without a length."""
        check_numbers(self, above_zero=("bracket_height_mm", "driving_mm", "driven_mm"))
        if self.bend_rad and self.spare_mm:
            raise ModelError("Arm: give a bend or a spare reach, not both; one follows from the other.")
        if (self.driving_mm is None) != (self.driven_mm is None):
            raise ModelError("Arm: give both links, or neither and let them be worked out.")


class Built(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """An arm as it was measured after the pour; what was not measured is as designed."""

    set_out_mm: SignedLength | None = None  # c: shaft outward of the hinge axis, away from the opening
    set_in_mm: SignedLength | None = None  # d: shaft off the gate line, to the opening side
    bracket_mm: SignedLength | None = None
    bracket_off_mm: SignedLength | None = None
    driving_mm: Length | None = None
    driven_mm: Length | None = None
    by: str = ""
    date: str = ""

    def __post_init__(self) -> None:
        """Refuse links without a length."""
        check_numbers(self, above_zero=("driving_mm", "driven_mm"))


class Drive(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A drive on its pad: where its shaft stands, the outline of its housing, and its arm."""

    id: str
    leaf: str  # id of the leaf it moves
    pad: str = ""  # id of the pad it stands on
    kind: str = ""  # id of the kind of drive; empty: not chosen yet
    shaft: XY
    width_mm: Length = 0.0  # housing, along its own x; 0: not known
    depth_mm: Length = 0.0
    turn_rad: SignedAngle = 0.0
    height_mm: Length | None = None
    riser_mm: Length = 0.0  # base piece that lifts it
    arm: Arm | None = None
    built: Built | None = None
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse sizes below zero."""
        check_numbers(self, above_zero=("height_mm",), not_below_zero=("width_mm", "depth_mm", "riser_mm"))
