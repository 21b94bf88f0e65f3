"""How far the plan reaches, to fit it into a window. No Qt."""

from collections.abc import Iterable, Iterator

import numpy as np

from siteplan.analysis.fixed_things import footprint
from siteplan.analysis.leaf_places import swept_areas
from siteplan.drawing.plan_view import plan_primitives
from siteplan.drawing.primitives import Arc, Circle, Primitive, Stroke, Symbol
from siteplan.geometry.points import Point
from siteplan.model.document import Document


def gate_places(document: Document) -> tuple[Point, ...]:
    """Return corners around the gate: posts, swept areas, pads and drives."""
    shapes = [*swept_areas(document).values(), *map(footprint, (*document.posts, *document.pads, *document.drives))]
    boxes = np.array([shape.bounds for shape in shapes if not shape.is_empty]).reshape(-1, 2, 2)
    return tuple((float(x), float(y)) for x, y in boxes.reshape(-1, 2))


def opening_mm(document: Document) -> float | None:
    """Return how far the hinge axes and latch posts of the gates reach along the gate line; None without a gate."""
    ends = [post.at[0] for post in document.posts]
    return max(ends) - min(ends) if document.gates and len(ends) > 1 else None


def plan_places(document: Document) -> tuple[Point, ...]:
    """Return places around everything that is drawn."""
    return tuple(_places(plan_primitives(document)))


def _places(primitives: Iterable[Primitive]) -> Iterator[Point]:
    for primitive in primitives:
        match primitive:
            case Stroke():
                yield from primitive.points
            case Symbol():
                yield primitive.at
            case Arc() | Circle():
                (x, y), radius = primitive.centre, primitive.radius
                if isinstance(primitive, Circle):
                    yield from ((x - radius, y - radius), (x + radius, y + radius))
