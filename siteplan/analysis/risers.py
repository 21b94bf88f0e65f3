"""The riser under each drive: what lifts its shaft to the height of the bracket."""

from operator import attrgetter
from typing import NamedTuple

from siteplan.analysis.arms import ArmPlace, arm_level_mm, arm_places
from siteplan.analysis.derived import Derived
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.model.drives import Pad

LEVEL_MM = 12.7  # half an inch off level may pass


class Riser(NamedTuple):
    """Heights are over the ground at the hinge axis."""

    bracket_mm: float
    shaft_mm: float  # without a riser
    needed_mm: float  # to bring them level; below 0 the shaft stands too high
    stock_mm: float | None  # the riser in stock that does it within half an inch


def _risers(arms: dict[str, ArmPlace], pads: tuple[Pad, ...], ground: GroundResult) -> dict[str, Riser]:
    on = {pad.id: pad for pad in pads}
    found = ((id, _riser(arm, on.get(arm.drive.pad), ground)) for id, arm in arms.items())
    return {id: riser for id, riser in found if riser is not None}


def _riser(arm: ArmPlace, pad: Pad | None, ground: GroundResult) -> Riser | None:
    """Return the riser of one drive; None while a height is not known."""
    bracket, level = arm.layout.bracket_height_mm, arm_level_mm(arm, pad, ground)
    at_hinge = 0.0 if ground.surface is None else ground.height_at(arm.place.frame.origin)
    if bracket is None or pad is None or arm.kind is None or level is None or at_hinge is None:
        return None
    shaft = level - at_hinge - arm.drive.riser_mm
    needed = bracket - shaft
    stock = [riser for riser in (0.0, *arm.kind.risers_mm) if abs(riser - needed) <= LEVEL_MM]
    return Riser(bracket, shaft, needed, min(stock, key=lambda riser: abs(riser - needed), default=None))


risers = Derived(_risers, arm_places, attrgetter("pads"), ground_surface)
