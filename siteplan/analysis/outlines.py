"""Drawn outlines that cross themselves."""

from operator import attrgetter
from typing import NamedTuple

import shapely

from siteplan.analysis.derived import Derived
from siteplan.model.site import Block, KeepClear, Obstacle


class CrossedOutline(NamedTuple):
    """An outline that crosses itself."""

    id: str
    name: str
    fault: str  # where it does


def _crossed(obstacles: tuple[Obstacle, ...], areas: tuple[KeepClear, ...]) -> tuple[CrossedOutline, ...]:
    drawn = [(thing.id, thing.what, thing.outline) for thing in obstacles if isinstance(thing, Block)]
    drawn += [(area.id, area.why, area.outline) for area in areas]
    rings = [(id, what, shapely.Polygon(outline)) for id, what, outline in drawn]
    return tuple(
        CrossedOutline(id, f"{what} {id}", shapely.is_valid_reason(ring))
        for id, what, ring in rings
        if not ring.is_valid and shapely.make_valid(ring).area  # of the ring itself the halves of a bow tie cancel
    )


crossed_outlines = Derived(_crossed, attrgetter("obstacles"), attrgetter("keep_clear"))
