"""The arm of each drive: its links, its way from closed to open, and what its elbow comes near."""

from math import inf, pi
from operator import attrgetter
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import FixedThings, Thing, fixed_things
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.geometry.link_errors import closing_loss
from siteplan.geometry.link_lengths import (
    Lengths,
    Refusal,
    Worked,
    bent_links,
    in_line_links,
    links_by_angles,
    refused_place,
    square_links,
    with_links,
)
from siteplan.geometry.link_motion import Stroke, stroke
from siteplan.geometry.linkage import DeadPoint, Linkage, Poses, dead_points, poses, stopped_short_rad
from siteplan.geometry.points import Array, Frame, Point
from siteplan.model.drives import Arm, Drive, DriveKind, Pad
from siteplan.model.site import BOUNDARIES, SOLID_EDGES, Edge

STEP_RAD = pi / 360  # of the elbow trail; between two steps it strays from its chord by less than 0.01 mm
RATIO_FROM_RAD = pi / 36  # nearer to closed than 5 deg the torque ratio grows without end
USUAL_HALF_WIDTH_MM = 38.1  # of an arm whose kind of drive is not chosen
LOOK_MM = 610.0
LEAST_RUN_MM = 1e-6
ARM_HALF_HEIGHT_MM = 50.8  # links, pins and bracket: what is this near above or below is in the way


class ArmPlace(NamedTuple):
    """One arm in the frame of its leaf, with its links or the reason why there are none."""

    drive: Drive
    layout: Arm
    kind: DriveKind | None
    place: LeafPlace
    shaft: Point
    pin: Point
    links: Worked

    @property
    def linkage(self) -> Linkage | None:
        """The arm, or None while no links can be worked out."""
        return None if isinstance(self.links, Refusal) else with_links(self.shaft, self.pin, self.links)

    @property
    def half_width_mm(self) -> float:
        """Half the width of the links."""
        return USUAL_HALF_WIDTH_MM if self.kind is None else self.kind.arm_half_width_mm


class ArmSetUp(NamedTuple):
    """All that the way of an arm hangs on: a leaf that is only made longer leaves it as it is."""

    arm: Linkage
    frame: Frame
    turn_rad: float
    half_width_mm: float
    level_mm: float | None  # height of the arm from the datum; None while it is not known
    own: tuple[str, ...]  # ids of its post, drive and pad


class ElbowGap(NamedTuple):
    """How near the edge of the arm comes to a thing at its elbow; below 0 it reaches beyond it by as much."""

    thing: str  # id
    what: str
    gap_mm: float
    angle_rad: float
    on_arm: Point  # in the plan
    on_thing: Point
    is_solid: bool  # False: a line nobody can bump into, such as a property line


class ArmWay(NamedTuple):
    """The way of an arm from closed to open."""

    arm: Linkage
    trail: Poses  # every half degree, ends included; NaN where the arm cannot reach
    short_rad: float  # where a closing leaf stops because the links are too short
    dead: tuple[DeadPoint, ...]
    least_ratio: float  # from 5 deg on
    least_ratio_rad: float
    crank_travel_rad: float
    closing_loss_mm: float  # of reach, a radian of the leaf near closed
    elbow_out_mm: float  # farthest from the hinge axis, away from the opening; middle of the arm
    elbow_in_mm: float  # and to the opening side
    gaps: tuple[ElbowGap, ...]  # nearest first

    @property
    def closed_bend_rad(self) -> float:
        """Bend of the elbow at the closed leaf."""
        return float(self.trail.bend_rad[0])

    @property
    def open_link_rad(self) -> float:
        """Angle of the driven link to the open leaf: square is pi / 2."""
        return float(self.trail.link_rad[-1])

    @property
    def is_whole(self) -> bool:
        """Whether the arm reaches at every angle and is dead at none."""
        return not self.dead and not self.short_rad and not bool(np.isnan(self.trail.crank_rad).any())


def _links(shaft: Point, pin: Point, open_rad: float, layout: Arm) -> Worked:
    if layout.driving_mm is not None and layout.driven_mm is not None:
        return refused_place(shaft, pin) or Lengths(layout.driving_mm, layout.driven_mm)
    match layout.rule:
        case "square" if layout.bend_rad:
            return bent_links(shaft, pin, open_rad, layout.bend_rad)
        case "square":
            return square_links(shaft, pin, open_rad, layout.spare_mm)
        case "in line":
            return in_line_links(shaft, pin, open_rad)
        case "by angles":
            return links_by_angles(shaft, pin, open_rad, layout.closed_link_rad, layout.open_link_rad)


def _arm_places(
    drives: tuple[Drive, ...], kinds: tuple[DriveKind, ...], places: dict[str, LeafPlace]
) -> dict[str, ArmPlace]:
    kind_of = {kind.id: kind for kind in kinds}
    found = {}
    for drive in drives:
        place = places.get(drive.leaf)
        if place is not None and drive.arm is not None:
            shaft = place.frame.point_to_local(drive.shaft)
            pin = (drive.arm.bracket_mm, drive.arm.bracket_off_mm)
            links = _links(shaft, pin, place.travel_rad, drive.arm)
            found[drive.id] = ArmPlace(drive, drive.arm, kind_of.get(drive.kind), place, shaft, pin, links)
    return found


def _set_ups(arms: dict[str, ArmPlace], pads: tuple[Pad, ...], ground: GroundResult) -> dict[str, ArmSetUp]:
    on = {pad.id: pad for pad in pads}
    return {
        id: ArmSetUp(
            linkage,
            arm.place.frame,
            arm.place.travel_rad,
            arm.half_width_mm,
            arm_level_mm(arm, on.get(arm.drive.pad), ground),
            (arm.place.leaf.post, id, arm.drive.pad),
        )
        for id, arm in arms.items()
        if (linkage := arm.linkage) is not None
    }


def _arm_ways(set_ups: dict[str, ArmSetUp], fixed: FixedThings, edges: tuple[Edge, ...]) -> dict[str, ArmWay]:
    return {id: way_of(set_up, fixed, edges) for id, set_up in set_ups.items()}


def arm_level_mm(arm: ArmPlace, pad: Pad | None, ground: GroundResult) -> float | None:
    """Return the height of the arm from the datum; None while it is not known."""
    if arm.kind is None or arm.kind.shaft_height_mm is None:
        return None
    level = ground.height_at(arm.drive.shaft) if ground.surface is not None else 0.0
    if level is None:
        return None
    return level + (0.0 if pad is None else pad.top_mm) + arm.drive.riser_mm + arm.kind.shaft_height_mm


def way_of(set_up: ArmSetUp, fixed: FixedThings, edges: tuple[Edge, ...]) -> ArmWay:
    """Return the way of an arm; a length out of reach leaves gaps in its trail."""
    arm, travel = set_up.arm, set_up.turn_rad
    angles = np.append(np.arange(0.0, travel, STEP_RAD), travel)
    trail = poses(arm, angles)
    judged = angles >= min(RATIO_FROM_RAD, travel)
    ratios = np.where(judged & np.isfinite(trail.torque_ratio), trail.torque_ratio, np.inf)
    least = int(np.argmin(ratios))
    cranks = trail.crank_rad[np.isfinite(trail.crank_rad)]
    reached = trail.elbow[np.isfinite(trail.crank_rad)]
    return ArmWay(
        arm,
        trail,
        stopped_short_rad(arm),
        dead_points(arm, travel),
        float(ratios[least]),
        float(angles[least]),
        float(cranks[-1] - cranks[0]) if len(cranks) else 0.0,
        closing_loss(arm.shaft, arm.pin),
        float(-reached[:, 0].min()) if len(reached) else 0.0,
        float(reached[:, 1].max()) if len(reached) else 0.0,
        _elbow_gaps(set_up, trail, fixed, edges),
    )


def stroke_of(place: ArmPlace, way: ArmWay) -> Stroke | None:
    """Return the stroke of an arm in time; None while its speed is not known or it cannot run through."""
    if place.kind is None or place.kind.speed_rad_s is None or not way.is_whole:
        return None
    return stroke(way.arm, place.place.travel_rad, place.kind.speed_rad_s, place.kind.ramp_s)


def _elbow_gaps(set_up: ArmSetUp, trail: Poses, fixed: FixedThings, edges: tuple[Edge, ...]) -> tuple[ElbowGap, ...]:
    known = np.isfinite(trail.crank_rad)
    if not known.any():
        return ()
    in_plan = set_up.frame.to_world(trail.elbow[known])
    angles = trail.angle_rad[known]
    lines = {edge.id: edge for edge in edges if edge.kind in (*SOLID_EDGES, *BOUNDARIES)}
    solid = [(thing.id, thing.what, thing.footprint) for thing in _in_the_way(set_up, in_plan, fixed)]
    drawn = [
        (edge.id, f"{edge.kind} {edge.id}", shapely.LineString(edge.walk))
        for edge in lines.values()
        if edge.kind in BOUNDARIES
    ]
    found = []
    for is_solid, shapes in ((True, solid), (False, drawn)):
        for id, what, shape in shapes:
            gap, at, on_thing = _nearest(set_up, in_plan, shape, lines.get(id))
            if gap < LOOK_MM:
                on_arm = (float(in_plan[at, 0]), float(in_plan[at, 1]))
                found.append(ElbowGap(id, what, gap, float(angles[at]), on_arm, on_thing, is_solid))
    return tuple(sorted(found, key=lambda each: (each.gap_mm, each.thing)))


def _in_the_way(set_up: ArmSetUp, in_plan: Array, fixed: FixedThings) -> list[Thing]:
    """Return the things near the trail of an elbow whose height meets that of the arm, without its own post and pad."""
    (left, bottom), (right, top) = in_plan.min(axis=0) - LOOK_MM, in_plan.max(axis=0) + LOOK_MM
    near = (
        fixed.things[number] for number in sorted(fixed.areas.query(shapely.box(left, bottom, right, top)).tolist())
    )
    level = set_up.level_mm
    low, high = (-inf, inf) if level is None else (level - ARM_HALF_HEIGHT_MM, level + ARM_HALF_HEIGHT_MM)
    return [thing for thing in near if thing.id not in set_up.own and thing.low_mm <= high and thing.high_mm >= low]


def _nearest(set_up: ArmSetUp, in_plan: Array, shape: BaseGeometry, line: Edge | None) -> tuple[float, int, Point]:
    """Return the gap from the edge of the arm to a shape, below 0 beyond a line; at which pose, and where on it."""
    path = shapely.LineString(in_plan) if len(in_plan) > 1 else shapely.Point(in_plan[0])
    on_path, on_thing = shapely.shortest_line(path, shape).coords
    hinge = set_up.frame.origin
    if line is not None and shapely.intersects(shapely.LineString([hinge, *in_plan]), shape):  # else it passes nothing
        beyond = _beyond(hinge, in_plan, line)
        farthest = int(np.argmax(beyond))
        if beyond[farthest] > 0:
            return -float(beyond[farthest]) - set_up.half_width_mm, farthest, on_thing
    at = int(np.argmin(np.hypot(*(in_plan - on_path).T)))
    return float(shapely.distance(path, shape)) - set_up.half_width_mm, at, on_thing


def _beyond(hinge: Point, places: Array, edge: Edge) -> Array:
    """Return how far each place lies beyond a line, seen from the hinge axis; 0 where it does not, shape (n,)."""
    line = np.array(edge.walk)
    runs = line[1:] - line[:-1]
    lengths = np.maximum(np.hypot(runs[:, 0], runs[:, 1]), LEAST_RUN_MM)[:, None]
    normals = np.stack((-runs[:, 1], runs[:, 0]), -1) / lengths
    side = np.where(((np.array(hinge) - line[:-1]) * normals).sum(axis=1) > 0, -1.0, 1.0)
    from_start = places[:, None] - line[:-1]
    off = side * (from_start * normals).sum(axis=2)
    share = (from_start * runs).sum(axis=2) / lengths[:, 0] ** 2
    beyond: Array = np.where((share >= 0) & (share <= 1), np.maximum(off, 0.0), 0.0).max(axis=1)
    return beyond


arm_places = Derived(_arm_places, attrgetter("drives"), attrgetter("drive_kinds"), leaf_places)
set_ups = Derived(_set_ups, arm_places, attrgetter("pads"), ground_surface, keeps_equal=True)
arm_ways = Derived(_arm_ways, set_ups, fixed_things, attrgetter("edges"))
