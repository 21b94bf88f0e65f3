"""What a line means, and the one table that says how it looks: layer, width, pattern, grey."""

from enum import StrEnum
from functools import cache

from msgspec import Struct, convert

from siteplan.tables import read_table


class Pen(StrEnum):
    """What a line, fill or text stands for."""

    LEAF_CLOSED = "leaf_closed"
    LEAF_OPEN = "leaf_open"
    LEAF_POSE = "leaf_pose"  # at the angle of the dial: screen only
    SWEEP = "sweep"
    POST = "post"
    PAD = "pad"
    PAD_HATCH = "pad_hatch"
    DRIVE = "drive"
    CONTROL = "control"
    SIGN = "sign"
    WALL_EXISTING = "wall_existing"
    WALL_NEW = "wall_new"
    FENCE_EXISTING = "fence_existing"
    FENCE_NEW = "fence_new"
    KERB = "kerb"
    ROAD_EDGE = "road_edge"
    DRIVE_EDGE = "drive_edge"
    PROPERTY_LINE = "property_line"
    RIGHT_OF_WAY = "right_of_way"
    EASEMENT = "easement"
    FIRE_LANE = "fire_lane"
    OBSTACLE = "obstacle"
    OVERHEAD = "overhead"
    SPOT = "spot"
    SURVEY = "survey"
    WITNESS = "witness"
    DIMENSION = "dimension"
    NOTE = "note"
    NOTE_EXISTING = "note_existing"
    FINDING = "finding"
    FRAME = "frame"
    TITLE_LINE = "title_line"
    TITLE_TEXT = "title_text"
    TITLE_CAPTION = "title_caption"
    VIEW_FRAME = "view_frame"


class Look(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a pen looks."""

    layer: str  # name in the DXF
    about: str  # words for the legend and the layer description
    aci: int  # colour number in the DXF
    width_mm: float  # on paper; the authority for the line weight
    line: str = "CONTINUOUS"  # name in LINE_PATTERNS
    grey: float = 0.0  # on paper: 0 black, 1 white
    plots: bool = True


@cache
def looks() -> dict[Pen, Look]:
    """Return the look of every pen."""
    rows = read_table("pens")["pen"]
    return {pen: convert(rows[pen.value], Look) for pen in Pen}


@cache
def line_patterns() -> dict[str, tuple[float, ...]]:
    """Return the line patterns in paper mm: dash positive, gap negative, 0 a dot; continuous is empty."""
    return {name: tuple(25.4 * part for part in row["inches"]) for name, row in read_table("pens")["line"].items()}
