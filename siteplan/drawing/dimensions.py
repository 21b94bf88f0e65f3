"""Dimensions taken apart into lines, ticks, arrow heads and text: one function for every output.

Style and method are our own, after US architectural practice: a continuous line, the text above it and readable from
the bottom or the right edge of the sheet, ticks on lengths, arrow heads on radii and angles.
"""

from collections.abc import Iterator
from math import cos, pi
from typing import assert_never

from siteplan.drawing.primitives import Align, Arc, Dimension, Face, Fill, Label, Primitive, Ring, Stroke
from siteplan.drawing.text_size import WIDTH_SLACK, label_box, text_width_mm
from siteplan.geometry.points import Frame, Point, direction_between, distance_between, point_at

# Paper mm (own style).
TEXT_MM = 2.4
TEXT_GAP_MM = 0.8  # between line and text
TICK_MM = 1.6
EXTENSION_GAP_MM = 1.6  # between the measured place and its extension line
EXTENSION_OVERRUN_MM = 1.6
ARROW_MM = 2.1
ARROW_HALF_WIDTH_MM = 0.18 * ARROW_MM
OUTSIDE_GAP_MM = TICK_MM  # along the line, between its end and a text that found no room inside

_UPRIGHT_NOISE_RAD = 1e-9  # a text along a direction computed as 90 degrees still reads from the right edge
_FACE: Face = "semibold"


def explode(dimension: Dimension, ratio: float) -> tuple[Primitive, ...]:
    """Return the strokes, arcs, arrow heads and the text of a dimension.

    Places are in the unit of the dimension's own places; ``ratio`` is how many of them make one paper mm: the ratio
    of the view, or 1 on paper.
    """
    match dimension.kind:
        case "linear":
            return tuple(_linear(dimension, ratio))
        case "radius":
            return tuple(_radius(dimension, ratio))
        case "angle":
            return tuple(_angle(dimension, ratio))
        case _:
            assert_never(dimension.kind)


def dimension_box(dimension: Dimension, ratio: float) -> Ring:
    """Return the corners of the box around the text of a dimension, with room for the font of another reader."""
    label = next(part for part in explode(dimension, ratio) if isinstance(part, Label))
    return label_box(label, ratio, WIDTH_SLACK)


def dimension_places(dimension: Dimension, ratio: float) -> tuple[Point, ...]:
    """Return the places a dimension reaches with its lines, arrow heads and text."""
    places: list[Point] = []
    for part in explode(dimension, ratio):
        match part:
            case Stroke():
                places += part.points
            case Fill():
                places += part.rings[0]
            case Label():
                places += label_box(part, ratio, WIDTH_SLACK)
    return tuple(places)


def upright(turn_rad: float) -> float:
    """Return a text direction turned by half a turn where needed, so that it reads from the bottom or right edge.

    The result is above -90 degrees and at most 90 degrees.
    """
    reduced = turn_rad % (2 * pi)
    if pi / 2 + _UPRIGHT_NOISE_RAD < reduced <= 3 * pi / 2 + _UPRIGHT_NOISE_RAD:
        return reduced - pi
    return reduced if reduced <= pi else reduced - 2 * pi


def _linear(dimension: Dimension, ratio: float) -> Iterator[Primitive]:
    frame = Frame((0.0, 0.0), dimension.direction_rad)
    places = (frame.point_to_local(dimension.first), frame.point_to_local(dimension.second))
    outermost = max if dimension.offset_mm >= 0 else min
    line_at = outermost(place[1] for place in places) + dimension.offset_mm * ratio
    for along, across in places:
        reach = line_at - across
        if abs(reach) > EXTENSION_GAP_MM * ratio:
            side = 1 if reach > 0 else -1
            near = (along, across + side * EXTENSION_GAP_MM * ratio)
            far = (along, line_at + side * EXTENSION_OVERRUN_MM * ratio)
            yield _stroke(dimension, frame.point_to_world(near), frame.point_to_world(far))
    ends = [frame.point_to_world((along, line_at)) for along, _ in places]
    tick, half = dimension.direction_rad + pi / 4, TICK_MM / 2 * ratio
    for end in ends:
        yield _stroke(dimension, point_at(end, -half, tick), point_at(end, half, tick))
    backwards = places[1][0] < places[0][0]
    direction = dimension.direction_rad + (pi if backwards else 0.0)
    yield from _line_with_text(dimension, dimension.text, ends[0], distance_between(*ends), direction, ratio)


def _radius(dimension: Dimension, ratio: float) -> Iterator[Primitive]:
    direction = direction_between(dimension.first, dimension.second)
    length = distance_between(dimension.first, dimension.second)
    yield _arrow(dimension, dimension.second, direction, ratio)
    yield from _line_with_text(dimension, f"R{dimension.text}", dimension.first, length, direction, ratio)


def _angle(dimension: Dimension, ratio: float) -> Iterator[Primitive]:
    """Yield the arc counter-clockwise from the direction of ``first`` to that of ``second``, and its text outside."""
    radius = abs(dimension.offset_mm) * ratio
    start = direction_between(dimension.centre, dimension.first)
    sweep = (direction_between(dimension.centre, dimension.second) - start) % (2 * pi)
    yield Arc(
        centre=dimension.centre,
        radius=radius,
        start_rad=start,
        sweep_rad=sweep,
        pen=dimension.pen,
        source=dimension.source,
    )
    yield _arrow(dimension, point_at(dimension.centre, radius, start), start - pi / 2, ratio)
    yield _arrow(dimension, point_at(dimension.centre, radius, start + sweep), start + sweep + pi / 2, ratio)
    middle = start + sweep / 2
    turn = upright(middle + pi / 2)
    is_upwards = cos(turn + pi / 2 - middle) > 0  # the text stands with its feet towards the centre
    beyond = TEXT_GAP_MM if is_upwards else TEXT_GAP_MM + TEXT_MM
    yield _label(dimension, dimension.text, point_at(dimension.centre, radius + beyond * ratio, middle), turn, "middle")


def _line_with_text(
    dimension: Dimension, text: str, start: Point, length: float, direction: float, ratio: float
) -> Iterator[Primitive]:
    """Yield the dimension line and its text above, or past one of its ends where the text is wider than the line."""
    turn = upright(direction)
    width = text_width_mm(text, TEXT_MM, _FACE) * ratio
    room = (length - width) / 2 - TEXT_GAP_MM * ratio
    first, last = 0.0, length
    align: Align = "middle"
    text_at = length / 2 + max(-room, min(room, (dimension.text_share - 1 / 2) * length))
    if room < 0:
        gap, is_before = OUTSIDE_GAP_MM * ratio, dimension.text_share < 1 / 2
        first, last = (-gap - width, length) if is_before else (0.0, length + gap + width)
        text_at = -gap if is_before else length + gap
        align = "left" if (cos(turn - direction) > 0) is not is_before else "right"
    yield _stroke(dimension, point_at(start, first, direction), point_at(start, last, direction))
    above = point_at(point_at(start, text_at, direction), TEXT_GAP_MM * ratio, turn + pi / 2)
    yield _label(dimension, text, above, turn, align)


def _stroke(dimension: Dimension, *points: Point) -> Stroke:
    return Stroke(points=points, pen=dimension.pen, source=dimension.source)


def _arrow(dimension: Dimension, tip: Point, direction: float, ratio: float) -> Fill:
    """Return an arrow head that points in a direction."""
    base = point_at(tip, -ARROW_MM * ratio, direction)
    half = ARROW_HALF_WIDTH_MM * ratio
    left, right = point_at(base, half, direction + pi / 2), point_at(base, -half, direction + pi / 2)
    return Fill(rings=((tip, left, right),), pen=dimension.pen, source=dimension.source)


def _label(dimension: Dimension, text: str, at: Point, turn_rad: float, align: Align) -> Label:
    return Label(
        at=at,
        text=text,
        pen=dimension.pen,
        height_mm=TEXT_MM,
        turn_rad=turn_rad,
        align=align,
        face=_FACE,
        source=dimension.source,
    )
