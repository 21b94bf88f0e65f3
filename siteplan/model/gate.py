"""The gate itself: posts with hinge axes, leaves, pads and drives, controls and signs."""

from math import pi
from typing import Literal

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.quantities import (
    XY,
    Angle,
    Grade,
    Length,
    SignedAngle,
    SignedLength,
    Weight,
    check_numbers,
    spoken,
)
from siteplan.model.site import State

Side = Literal["left", "right"]


class Post(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A post.  Its hinge axis is a place of its own: seldom the middle of the post."""

    id: str
    at: XY  # middle of the post
    hinge: XY | None = None  # hinge axis of the leaf it carries
    shape: Literal["square", "round"] = "square"
    size_mm: Length = 152.4  # along its own x, or the diameter
    depth_mm: Length | None = None  # along its own y; None: as the size
    turn_rad: SignedAngle = 0.0
    height_mm: Length | None = None
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a post without a size."""
        check_numbers(self, above_zero=("size_mm", "depth_mm", "height_mm"))


class Plate(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A part that stands out from a leaf: an edge profile, an overlap plate, a bracket.

    Places are counted along the leaf from the hinge axis, and off the axis line, positive to the opening side.
    """

    what: str
    from_mm: SignedLength
    to_mm: SignedLength
    off_from_mm: SignedLength
    off_to_mm: SignedLength

    def __post_init__(self) -> None:
        """Refuse a plate without a size."""
        check_numbers(self)
        if self.from_mm >= self.to_mm or self.off_from_mm >= self.off_to_mm:
            raise ModelError(f"Plate {self.what}: 'to' must lie beyond 'from', along the leaf and off it.")


class Leaf(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """One swinging leaf.  Left, right, in and out are seen from outside, standing in the street and looking in."""

    id: str
    post: str  # id of the post whose hinge axis carries it
    hinges: Side  # side the hinges are on
    swings: Literal["in", "out"]
    length_mm: Length  # hinge axis to tip
    near_edge_mm: SignedLength = 25.4  # hinge axis to the hinge end of the leaf; below 0: a heel behind the axis
    thickness_mm: Length = 50.8
    plane_offset_mm: SignedLength = 0.0  # middle of the leaf off the hinge axis, positive to the opening side
    skew_rad: SignedAngle = 0.0  # closed leaf off the gate line, positive to the opening side
    open_angle_rad: Angle = pi / 2
    height_mm: Length | None = None
    bottom_gap_mm: SignedLength | None = None  # leaf bottom over the ground at the hinge axis
    rake: Grade = 0.0  # rise of the leaf bottom towards the tip
    weight_kg: Weight | None = None
    plates: tuple[Plate, ...] = ()
    made_of: str = ""
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a leaf no site can have."""
        check_numbers(self, above_zero=("length_mm", "thickness_mm", "height_mm", "weight_kg"))
        if self.near_edge_mm >= self.length_mm:
            raise ModelError(
                f"Leaf {self.id}: near_edge must be less than the length {self.length_mm:g} mm, "
                f"not {self.near_edge_mm:g} mm."
            )
        if not 0 < self.open_angle_rad <= pi:
            raise ModelError(
                f"Leaf {self.id}: open_angle must be above 0 and at most 180 deg, "
                f"not {self.open_angle_rad * 180 / pi:g} deg."
            )
        if abs(self.rake) > 1:
            raise ModelError(f"Leaf {self.id}: rake must be below 100 %, not {100 * self.rake:g} %.")


class Gate(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """One opening: a single leaf and the post it closes against, or a pair of leaves."""

    id: str
    leaves: tuple[str, ...]  # ids, left leaf first
    latch_post: str = ""  # id of the post a single leaf closes against
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a gate without leaves."""
        if not 1 <= len(self.leaves) <= 2:
            raise ModelError(f"Gate {self.id}: a gate has 1 or 2 leaves, not {len(self.leaves)}.")


class Pad(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A concrete pad."""

    id: str
    at: XY  # middle of the pad
    width_mm: Length  # along its own x
    depth_mm: Length  # along its own y
    turn_rad: SignedAngle = 0.0
    top_mm: SignedLength = 0.0  # above the ground beside it
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a pad without a size."""
        check_numbers(self, above_zero=("width_mm", "depth_mm"))


class Drive(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A drive on its pad: where its shaft stands, and the outline of its housing."""

    id: str
    leaf: str  # id of the leaf it moves
    pad: str = ""  # id of the pad it stands on
    shaft: XY
    width_mm: Length = 0.0  # housing, along its own x; 0: not known
    depth_mm: Length = 0.0
    turn_rad: SignedAngle = 0.0
    height_mm: Length | None = None
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse sizes below zero."""
        check_numbers(self, above_zero=("height_mm",), not_below_zero=("width_mm", "depth_mm"))


class Control(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """Something a person operates: a keypad, a call box, a push button, a fire key switch."""

    id: str
    what: str
    at: XY
    height_mm: Length | None = None
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse places no site can have."""
        check_numbers(self, above_zero=("height_mm",))


class Sign(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A warning sign."""

    id: str
    at: XY
    seen_from: Literal["inside", "outside"]
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse places no site can have."""
        check_numbers(self)
