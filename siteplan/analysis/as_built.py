"""After the pour: how an arm stands as it was measured, and what to change, easiest first."""

from math import ceil, floor, pi
from typing import Literal, NamedTuple

import numpy as np

from siteplan.analysis.arms import ArmPlace
from siteplan.geometry.link_lengths import Lengths, with_links
from siteplan.geometry.linkage import Linkage, poses, stopped_short_rad
from siteplan.geometry.points import Point

# Our own figures for the card, to be changed as experience says.
GOOD_BEND_RAD = pi / 12  # 15 deg: up to this bend the closed arm is good
WISHED_SPARE_MM = 9.525  # 3/8 in: forgives what a careful hand misses
USUAL_STEP_MM = 3.175


class AsBuilt(NamedTuple):
    """An arm as measured, what it does when closed, and the change of the driven link that mends it."""

    arm: Linkage
    short_rad: float  # where the closing leaf stops; 0 where it closes
    tip_mm: float  # how far open its tip then stands
    verdict: Literal["good", "lengthen", "shorten"]
    change_mm: float  # of the driven link; 0 for a good arm
    bend_rad: float  # when closed, after the change
    link_rad: float  # driven link to the open leaf, after the change; square is pi / 2


def as_built(place: ArmPlace) -> AsBuilt | None:
    """Return the verdict on an arm that was measured; None while nothing was, or no links can be worked out."""
    built, designed = place.drive.built, place.links
    if built is None or not isinstance(designed, Lengths):
        return None
    shaft: Point = (
        place.shaft[0] if built.set_out_mm is None else -built.set_out_mm,
        place.shaft[1] if built.set_in_mm is None else built.set_in_mm,
    )
    pin: Point = (
        place.pin[0] if built.bracket_mm is None else built.bracket_mm,
        place.pin[1] if built.bracket_off_mm is None else built.bracket_off_mm,
    )
    measured = Lengths(built.driving_mm or designed.driving_mm, built.driven_mm or designed.driven_mm)
    arm = with_links(shaft, pin, measured)
    step = USUAL_STEP_MM if place.kind is None else place.kind.adjust_step_mm
    verdict, change = _change(arm, step)
    changed = arm._replace(driven_mm=arm.driven_mm + change)
    pose = poses(changed, np.array((0.0, place.place.travel_rad)))
    short = stopped_short_rad(arm)
    tip = place.place.leaf.length_mm * float(np.sin(short))
    return AsBuilt(arm, short, tip, verdict, change, float(pose.bend_rad[0]), float(pose.link_rad[1]))


def _change(arm: Linkage, step_mm: float) -> tuple[Literal["good", "lengthen", "shorten"], float]:
    """Return what to do with the driven link, in whole steps: never cut short, never more than needed."""
    spare = arm.spare_mm
    if spare < 0:
        return "lengthen", ceil(-spare / step_mm - 1e-9) * step_mm
    if poses(arm, np.zeros(1)).bend_rad[0] > GOOD_BEND_RAD:
        return "shorten", -floor((spare - WISHED_SPARE_MM) / step_mm + 1e-9) * step_mm
    return "good", 0.0
