"""The plan: every thing of a site as primitives, in layers from the ground up.

Each layer is a derived result of its own records, so that a layer whose records did not change is the same object
and need not be drawn again.
"""

from collections.abc import Iterator, Mapping
from math import atan2, hypot, pi
from operator import attrgetter

import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Arc, Circle, Fill, HatchArea, Primitive, Ring, Stroke, Symbol
from siteplan.geometry.boxes import Box
from siteplan.geometry.points import distance_between
from siteplan.model.document import Document
from siteplan.model.drives import Drive, Pad
from siteplan.model.gate import Control, Post, Sign
from siteplan.model.project import Project
from siteplan.model.site import Edge, KeepClear, Obstacle, PlaneGround, Round, ShotGround, SurveyPoint
from siteplan.rules.findings import Finding

OVERHEAD_MM = 1828.8  # an underside above 6 ft is drawn as overhead
SHAFT_MM = 40.0  # radius of the circle drawn for a shaft
EDGE_PENS = {
    ("wall", "existing"): Pen.WALL_EXISTING,
    ("wall", "new"): Pen.WALL_NEW,
    ("fence", "existing"): Pen.FENCE_EXISTING,
    ("fence", "new"): Pen.FENCE_NEW,
}
LINE_PENS = {
    "kerb": Pen.KERB,
    "road edge": Pen.ROAD_EDGE,
    "drive edge": Pen.DRIVE_EDGE,
    "property line": Pen.PROPERTY_LINE,
    "right-of-way": Pen.RIGHT_OF_WAY,
}
Primitives = tuple[Primitive, ...]


def edge_pen(edge: Edge) -> Pen:
    """Return the pen of an edge."""
    return EDGE_PENS.get((edge.kind, edge.state)) or LINE_PENS[edge.kind]


def rings_of(area: BaseGeometry) -> Iterator[tuple[Ring, ...]]:
    """Yield the rings of each polygon of a geometry, the outer one first, without the repeated end."""
    for part in shapely.get_parts(area):
        if part.geom_type == "Polygon":
            yield tuple(_ring(line) for line in (part.exterior, *part.interiors))


def _ring(line: BaseGeometry) -> Ring:
    return tuple((float(x), float(y)) for x, y in line.coords[:-1])


def _solid(area: BaseGeometry, pen: Pen, source: str, tone: str = "wash") -> Iterator[Primitive]:
    """Yield an area filled lightly or fully, with its outline."""
    for rings in rings_of(area):
        yield Fill(rings=rings, pen=pen, tone="solid" if tone == "solid" else "wash", source=source)
        yield from (Stroke(points=ring, pen=pen, closed=True, source=source) for ring in rings)


def _edges(edges: tuple[Edge, ...]) -> Primitives:
    return tuple(primitive for edge in edges for primitive in _edge(edge))


def _edge(edge: Edge) -> Iterator[Primitive]:
    area = footprint(edge)
    if area.area:
        yield from _solid(area, edge_pen(edge), edge.id)
    else:
        yield Stroke(points=edge.line, pen=edge_pen(edge), closed=edge.closed, source=edge.id)


def _obstacles(obstacles: tuple[Obstacle, ...]) -> Primitives:
    return tuple(primitive for thing in obstacles for primitive in _obstacle(thing))


def _obstacle(thing: Obstacle) -> Iterator[Primitive]:
    if isinstance(thing, Round):
        yield Circle(centre=thing.at, radius=thing.radius_mm, pen=Pen.OBSTACLE, source=thing.id)
    elif thing.bottom_mm >= OVERHEAD_MM:
        yield Stroke(points=thing.outline, pen=Pen.OVERHEAD, closed=True, source=thing.id)
    else:
        yield from _solid(footprint(thing), Pen.OBSTACLE, thing.id)


def _areas(areas: tuple[KeepClear, ...]) -> Primitives:
    pens = {"fire lane": Pen.FIRE_LANE}
    return tuple(
        Stroke(points=area.outline, pen=pens.get(area.why, Pen.EASEMENT), closed=True, source=area.id) for area in areas
    )


def _ground(ground: PlaneGround | ShotGround | None) -> Primitives:
    shots = ground.shots if isinstance(ground, ShotGround) else ()
    return tuple(Symbol(name="spot_level", at=shot.at, pen=Pen.SPOT, source=shot.id) for shot in shots)


def _points(points: tuple[SurveyPoint, ...]) -> Primitives:
    return tuple(Symbol(name="survey_point", at=point.at, pen=Pen.SURVEY, source=point.id) for point in points)


def _pads(pads: tuple[Pad, ...], project: Project) -> Primitives:
    return tuple(primitive for pad in pads for primitive in _pad(pad, hatched=project.hatch))


def _pad(pad: Pad, hatched: bool) -> Iterator[Primitive]:
    (rings,) = rings_of(footprint(pad))
    if hatched:
        yield HatchArea(rings=rings, pattern="concrete", pen=Pen.PAD_HATCH, source=pad.id)
    yield Stroke(points=rings[0], pen=Pen.PAD, closed=True, source=pad.id)


def _drives(drives: tuple[Drive, ...]) -> Primitives:
    return tuple(primitive for drive in drives for primitive in _drive(drive))


def _drive(drive: Drive) -> Iterator[Primitive]:
    for rings in rings_of(footprint(drive)):
        yield Fill(rings=rings, pen=Pen.DRIVE, tone="paper", source=drive.id)
        yield Stroke(points=rings[0], pen=Pen.DRIVE, closed=True, source=drive.id)
    yield Circle(centre=drive.shaft, radius=SHAFT_MM, pen=Pen.DRIVE, source=drive.id)


def _posts(posts: tuple[Post, ...]) -> Primitives:
    return tuple(primitive for post in posts for primitive in _post(post))


def _post(post: Post) -> Iterator[Primitive]:
    yield from _solid(footprint(post), Pen.POST, post.id, tone="solid")
    if post.hinge is not None:
        yield Symbol(name="hinge_pin", at=post.hinge, pen=Pen.POST, source=post.id)


def _sweeps(places: dict[str, LeafPlace], swept: dict[str, BaseGeometry]) -> Primitives:
    return tuple(primitive for leaf, place in places.items() for primitive in _sweep(place, swept[leaf]))


def _sweep(place: LeafPlace, swept: BaseGeometry) -> Iterator[Primitive]:
    for rings in rings_of(swept):
        yield Fill(rings=rings, pen=Pen.SWEEP, tone="wash", source=place.leaf.id)
    yield _tip_arc(place, place.body)
    if place.body.x0 < 0:
        yield _tip_arc(place, Box(-place.body.x0, -place.body.x0, -place.body.y1, -place.body.y0), behind=True)


def _tip_arc(place: LeafPlace, box: Box, behind: bool = False) -> Arc:
    """Return the arc of the farthest corners of the free end, from closed to open; behind: of the heel."""
    low, high = atan2(box.y0, box.x1), atan2(box.y1, box.x1)
    radius = max(hypot(box.x1, box.y0), hypot(box.x1, box.y1))
    start = place.frame.angle_to_world(low) + (pi if behind else 0.0)
    sweep = place.frame.side * (place.travel_rad + high - low)
    return Arc(
        centre=place.frame.origin, radius=radius, start_rad=start, sweep_rad=sweep, pen=Pen.SWEEP, source=place.leaf.id
    )


def _leaves(places: dict[str, LeafPlace]) -> Primitives:
    opened = (_outline(place, place.travel_rad, Pen.LEAF_OPEN) for place in places.values())
    closed = (primitive for place in places.values() for primitive in _shown(place, 0.0, Pen.LEAF_CLOSED))
    return (*(line for lines in opened for line in lines), *closed)


def _outline(place: LeafPlace, angle_rad: float, pen: Pen) -> Primitives:
    rings = rings_of(place.outline(angle_rad))
    return tuple(Stroke(points=ring, pen=pen, closed=True, source=place.leaf.id) for each in rings for ring in each)


def _shown(place: LeafPlace, angle_rad: float, pen: Pen) -> Iterator[Primitive]:
    yield from _solid(place.outline(angle_rad), pen, place.leaf.id, tone="solid")


def _controls(controls: tuple[Control, ...]) -> Primitives:
    return tuple(Symbol(name="control", at=control.at, pen=Pen.CONTROL, source=control.id) for control in controls)


def _signs(signs: tuple[Sign, ...]) -> Primitives:
    return tuple(Symbol(name=f"sign_{sign.seen_from}", at=sign.at, pen=Pen.SIGN, source=sign.id) for sign in signs)


PLAN_LAYERS: tuple[tuple[str, Derived[Primitives]], ...] = (
    ("areas", Derived(_areas, attrgetter("keep_clear"))),
    ("sweeps", Derived(_sweeps, leaf_places, swept_areas)),
    ("edges", Derived(_edges, attrgetter("edges"))),
    ("obstacles", Derived(_obstacles, attrgetter("obstacles"))),
    ("ground", Derived(_ground, attrgetter("ground"))),
    ("pads", Derived(_pads, attrgetter("pads"), attrgetter("project"))),
    ("drives", Derived(_drives, attrgetter("drives"))),
    ("leaves", Derived(_leaves, leaf_places)),
    ("posts", Derived(_posts, attrgetter("posts"))),
    ("controls", Derived(_controls, attrgetter("controls"))),
    ("signs", Derived(_signs, attrgetter("signs"))),
    ("points", Derived(_points, attrgetter("points"))),
)
"""The layers of the plan, bottom to top."""


def plan_primitives(document: Document) -> Primitives:
    """Return the whole plan."""
    return tuple(primitive for _, layer in PLAN_LAYERS for primitive in layer(document))


def pose_primitives(document: Document, angles: Mapping[str, float]) -> Primitives:
    """Return leaves at given angles."""
    places = leaf_places(document)
    shown = (_shown(places[leaf], angle, Pen.LEAF_POSE) for leaf, angle in angles.items() if leaf in places)
    return tuple(primitive for each in shown for primitive in each)


def witness_primitives(finding: Finding) -> Primitives:
    """Return where a finding was measured: its places, joined when there are two."""
    marks = tuple(Symbol(name="spot_level", at=place, pen=Pen.WITNESS, source=finding.key) for place in finding.witness)
    if len(finding.witness) == 2 and distance_between(*finding.witness) > 0:
        return (Stroke(points=finding.witness, pen=Pen.WITNESS, source=finding.key), *marks)
    return marks
