"""What a view shows of its annotation: on paper no viewport cuts off what reaches beyond the frame."""

from collections.abc import Iterator
from itertools import pairwise

from msgspec.structs import replace

from siteplan.drawing.primitives import Label, Primitive, Stroke, Symbol, View
from siteplan.geometry.points import Point

Window = tuple[float, float, float, float]


def window_of(view: View) -> Window:
    """Return the part of the model that a view shows: left, bottom, right, top in mm."""
    (x, y), (_, _, width, height) = view.centre, view.frame
    half_width, half_height = width * view.ratio / 2, height * view.ratio / 2
    return (x - half_width, y - half_height, x + half_width, y + half_height)


def inside(shape: Primitive, window: Window) -> Iterator[Primitive]:
    """Yield what lies in a window: lines are cut, texts and symbols go by their place, the rest stays whole."""
    match shape:
        case Stroke():
            yield from _cut_stroke(shape, window)
        case Label() | Symbol():
            if _contains(window, shape.at):
                yield shape
        case _:
            yield shape


def _cut_stroke(stroke: Stroke, window: Window) -> Iterator[Stroke]:
    if all(_contains(window, point) for point in stroke.points):
        yield stroke
        return
    ring = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    for first, second in pairwise(ring):
        part = cut_segment(first, second, window)
        if part:
            yield replace(stroke, points=part, closed=False)


def _contains(window: Window, point: Point) -> bool:
    left, bottom, right, top = window
    return left <= point[0] <= right and bottom <= point[1] <= top


def cut_segment(first: Point, second: Point, window: Window) -> tuple[Point, Point] | None:
    """Return the part of a segment inside a window, or None when no length of it is inside.

    Each side of the window bounds the share of the segment (Liang and Barsky 1984).
    """
    left, bottom, right, top = window
    dx, dy = second[0] - first[0], second[1] - first[1]
    begin, end = 0.0, 1.0
    for step, room in (
        (-dx, first[0] - left),
        (dx, right - first[0]),
        (-dy, first[1] - bottom),
        (dy, top - first[1]),
    ):
        if step < 0:
            begin = max(begin, room / step)
        elif step > 0:
            end = min(end, room / step)
        elif room < 0:
            return None
    if begin >= end:
        return None
    return (first[0] + begin * dx, first[1] + begin * dy), (first[0] + end * dx, first[1] + end * dy)
