"""The gate itself: posts with hinge axes, leaves and what they are made of, controls and signs."""

from math import pi
from typing import Literal

from msgspec import Struct

from siteplan.errors import ModelError
from siteplan.model.quantities import (
    XY,
    Angle,
    Grade,
    Length,
    Share,
    SignedAngle,
    SignedLength,
    Time,
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


class Member(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """A straight bar of a leaf, or a row of like bars, between two ends.

    Ends are counted along the leaf from the hinge axis, and up from its bottom.
    """

    what: str
    shape: Literal["tube", "pipe", "bar", "rod"] = "tube"
    metal: Literal["steel", "aluminium"] = "steel"
    from_mm: SignedLength
    to_mm: SignedLength
    low_mm: Length
    high_mm: Length  # of its end at the tip side, or of its upper end
    face_mm: Length  # as seen from the street; the diameter of what is round
    depth_mm: Length | None = None  # across the leaf; None: as the face
    wall_mm: Length | None = None  # of a tube or pipe
    count: int = 1
    step_mm: Length = 0.0  # along the leaf, from one to the next

    def __post_init__(self) -> None:
        """Refuse a bar without a section."""
        check_numbers(self, above_zero=("face_mm", "depth_mm", "wall_mm"))
        if self.count < 1:
            raise ModelError(f"Member {self.what}: count must be 1 or more, not {self.count}.")
        if self.shape in ("tube", "pipe") and self.wall_mm is None:
            raise ModelError(f"Member {self.what}: a {self.shape} needs its wall, such as 1/8 in.")
        if self.wall_mm is not None and 2 * self.wall_mm > min(self.face_mm, self.depth_mm or self.face_mm):
            raise ModelError(f"Member {self.what}: wall {self.wall_mm:g} mm is more than half its width.")


class Panel(Struct, frozen=True, kw_only=True, omit_defaults=True, rename=spoken):
    """Sheet, boards or mesh of a leaf.  Places as those of its bars."""

    what: str
    from_mm: SignedLength
    to_mm: SignedLength
    low_mm: Length
    high_mm: Length
    weight_kg: Weight
    solid: Share = 1.0  # part of its area that stops the wind

    def __post_init__(self) -> None:
        """Refuse a panel without an area."""
        check_numbers(self)
        if self.from_mm >= self.to_mm or self.low_mm >= self.high_mm:
            raise ModelError(f"Panel {self.what}: 'to' must lie beyond 'from', and 'high' above 'low'.")
        if self.solid > 1:
            raise ModelError(f"Panel {self.what}: solid must be at most 100 %, not {100 * self.solid:g} %.")


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
    gravity_mm: Length | None = None  # centre of gravity along the leaf; None: by its parts, or in the middle
    solid: Share | None = None  # part of its face that stops the wind; None: by its parts, or not known
    hinge_spacing_mm: Length | None = None  # lowest to highest hinge
    lean_rad: Angle | None = None  # hinge line off plumb; None: not measured
    sag_mm: Length = 0.0  # of the tip
    cross_members_mm: tuple[Length, ...] = ()  # heights of their middles over the ground at the hinge axis
    members: tuple[Member, ...] = ()
    panels: tuple[Panel, ...] = ()
    plates: tuple[Plate, ...] = ()
    made_of: str = ""
    state: State = "new"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a leaf no site can have."""
        check_numbers(self, above_zero=("length_mm", "thickness_mm", "height_mm", "weight_kg", "hinge_spacing_mm"))
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
    latch: Literal["none", "present", "disabled"] | None = None  # on the leaves; None: nobody has said so yet
    closes_last: str = ""  # id of the leaf of a pair that closes last and opens first
    closing_lag_s: Time | None = None  # of the leaf that closes last, behind the other
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a gate without leaves."""
        if not 1 <= len(self.leaves) <= 2:
            raise ModelError(f"Gate {self.id}: a gate has 1 or 2 leaves, not {len(self.leaves)}.")


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
