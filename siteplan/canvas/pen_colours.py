"""How each pen looks on the screen: colour, width and dashes; the widths are those on paper, enlarged."""

from functools import cache
from typing import Final, NamedTuple

from siteplan.canvas.palette import LIGHT
from siteplan.drawing.pens import Pen, line_patterns, looks

PIXELS_PER_PAPER_MM: Final = 4.0  # at a text size of 100 %
LEAST_WIDTH_MM: Final = 0.2
GHOST_MM: Final = 0.22


class ScreenLook(NamedTuple):
    """How a pen looks on the screen; width and dashes in paper mm."""

    colour: str
    width_mm: float
    dashes_mm: tuple[float, ...] = ()  # dash, gap, dash, gap
    wash: str = ""  # of an area that is filled lightly


# The leaf at the angle of the dial is what people look at; where it comes from and goes to are ghosts.
_GHOST_DASHES: Final = (1.3, 0.9)
_GHOSTS: Final = {
    Pen.LEAF_CLOSED: ScreenLook(LIGHT.mid, GHOST_MM, _GHOST_DASHES),
    Pen.LEAF_OPEN: ScreenLook(LIGHT.mid, GHOST_MM, _GHOST_DASHES),
}

NOT_FILLED: Final = tuple(_GHOSTS)
"""Pens of which only the outlines are painted."""

_COLOURS: Final = {
    Pen.LEAF_POSE: LIGHT.ink,
    Pen.SWEEP: LIGHT.swept,
    Pen.WALL_EXISTING: LIGHT.mid,
    Pen.FENCE_EXISTING: LIGHT.mid,
    Pen.KERB: LIGHT.mid,
    Pen.ROAD_EDGE: LIGHT.mid,
    Pen.DRIVE_EDGE: LIGHT.mid,
    Pen.OBSTACLE: LIGHT.mid,
    Pen.OVERHEAD: LIGHT.mid,
    Pen.SPOT: LIGHT.mid,
    Pen.SURVEY: LIGHT.mid,
    Pen.PAD: LIGHT.mid,
    Pen.PAD_HATCH: LIGHT.faint,
    Pen.DIMENSION: LIGHT.ink,
    Pen.NOTE_EXISTING: LIGHT.mid,
    Pen.TITLE_CAPTION: LIGHT.mid,
    Pen.VIEW_FRAME: LIGHT.faint,
}
"""Pens that are not ink."""

_SWEPT_WASH: Final = "#EDF2F5"
_WASHES: Final = {Pen.SWEEP: _SWEPT_WASH, Pen.POST: LIGHT.ink}


@cache
def look_of(pen: Pen) -> ScreenLook:
    """Return how a pen looks on the screen."""
    if pen in _GHOSTS:
        return _GHOSTS[pen]
    look = looks()[pen]
    dashes = tuple(max(LEAST_WIDTH_MM, abs(part)) for part in line_patterns()[look.line])
    colour = _COLOURS.get(pen, LIGHT.ink)
    return ScreenLook(colour, max(LEAST_WIDTH_MM, look.width_mm), dashes, _WASHES.get(pen, LIGHT.ground))
