"""Boxes and hostile segments for the tests, and slow answers by other means to compare with."""

from math import cos, inf, sin
from typing import NamedTuple

import numpy as np
import shapely
from hypothesis import settings
from hypothesis import strategies as st

from siteplan.geometry.boxes import POINT_MM, Box
from siteplan.geometry.points import Array

MM = 25.4  # of an inch

unhurried = settings(max_examples=120, deadline=None)


class Scene(NamedTuple):
    """A box that turns near one segment."""

    box: Box
    segment: Array
    start_rad: float
    turn_rad: float
    margin_mm: float


def inch_box(x0: float, x1: float, y0: float, y1: float) -> Box:
    return Box(x0 * MM, x1 * MM, y0 * MM, y1 * MM)


def _box(begin: float, length: float, low: float, thickness: float) -> Box:
    return Box(begin, begin + length, low, low + thickness)


long_boxes = st.builds(_box, st.floats(-600, 300), st.floats(1500, 6000), st.floats(-120, 80), st.floats(5, 100))
stubby_boxes = st.builds(_box, st.floats(-900, 500), st.floats(1, 900), st.floats(-900, 500), st.floats(1, 900))
centred_boxes = st.builds(
    lambda begin, length, half: Box(begin, begin + length, -half, half),
    st.sampled_from((0.0, 25.0, -600.0)),
    st.floats(700, 6000),
    st.floats(1, 60),
)
all_boxes = long_boxes | stubby_boxes | centred_boxes

places = st.tuples(st.floats(-7000, 7000), st.floats(-7000, 7000))
near_places = st.tuples(st.floats(-60, 60), st.floats(-60, 60))
far_places = st.tuples(st.floats(-60_000, 60_000), st.floats(-60_000, 60_000))
shifts = st.tuples(st.floats(-1e-3, 1e-3), st.floats(-1e-3, 1e-3))
shares = st.floats(0, 1)


no_margins = st.just(0.0)


@st.composite
def scenes(draw: st.DrawFn, margins: st.SearchStrategy[float] = no_margins) -> Scene:
    """Draw a box and a segment: ordinary, long, near or through the pivot, tiny, a point, or touching at the start."""
    box = draw(all_boxes)
    start, turn = draw(st.floats(-4, 4)), draw(st.floats(0.01, 3))
    first = draw(places | near_places)
    kind = draw(st.sampled_from(("ordinary", "long", "near", "through pivot", "tiny", "point", "touching")))
    if kind == "touching":
        first = on_outline(box, draw(shares), start)
    second = {
        "near": draw(near_places),
        "long": draw(far_places),
        "through pivot": (-0.4 * first[0], -0.4 * first[1]),
        "tiny": tuple(np.add(first, draw(shifts))),
        "point": first,
    }.get(kind, draw(places))
    return Scene(box, np.array(((*first, *second),)), start, turn, draw(margins))


def on_outline(box: Box, share: float, angle_rad: float) -> tuple[float, float]:
    """Return the place a share of the way round the turned outline."""
    place = shapely.line_interpolate_point(pose(box, angle_rad).exterior, share, normalized=True)
    return place.x, place.y


def pose(box: Box, angle_rad: float) -> shapely.Polygon:
    """Return the box at an angle, turned by the matrix written out."""
    cosine, sine = cos(angle_rad), sin(angle_rad)
    return shapely.Polygon([(cosine * x - sine * y, sine * x + cosine * y) for x, y in box.corners])


def gaps_at(box: Box, segment: Array, angles_rad: Array) -> Array:
    """Return the distance of one segment from the box at each of many angles."""
    corners = np.array(box.corners)
    cosine, sine = np.cos(angles_rad)[:, None], np.sin(angles_rad)[:, None]
    x, y = cosine * corners[:, 0] - sine * corners[:, 1], sine * corners[:, 0] + cosine * corners[:, 1]
    gaps: Array = shapely.distance(shapely.polygons(np.stack((x, y), axis=2)), line(segment))
    return gaps


def line(segment: Array) -> shapely.LineString | shapely.Point:
    """Return a segment, shape (1, 4), as a shape; a point where it has no length (GEOS then divides by zero)."""
    ends = segment.reshape(2, 2)
    return shapely.Point(ends[0]) if np.hypot(*(ends[1] - ends[0])) < POINT_MM else shapely.LineString(ends)


def bisected_contact(scene: Scene, samples: int = 700) -> float:
    """Return the first contact as steps and bisection find it: never too early, inf when no sample touches."""
    angles = np.linspace(scene.start_rad, scene.start_rad + scene.turn_rad, samples)
    touching = np.flatnonzero(gaps_at(scene.box, scene.segment, angles) <= scene.margin_mm)
    if len(touching) == 0:
        return inf
    low, high = angles[max(touching[0] - 1, 0)], angles[touching[0]]
    for _ in range(50):
        middle = (low + high) / 2
        if gap_at(scene, middle) <= scene.margin_mm:
            high = middle
        else:
            low = middle
    return float(high)


def gap_at(scene: Scene, angle_rad: float) -> float:
    """Return the distance at one angle."""
    return float(shapely.distance(pose(scene.box, angle_rad), line(scene.segment)))
