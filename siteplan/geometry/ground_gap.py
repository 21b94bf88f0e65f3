"""The vertical gap between a turning box and the ground under it. Lengths in mm, grades as rise over run, z up.

All is seen in the frame of the box: the pivot at the origin, the box along +x at angle 0, counter-clockwise positive.

At one angle the gap is linear between the corners of the box, the shots under it, and the places where its sides cross
edges of the ground: there lie the least and the greatest. As the box turns, each of these places keeps to a track:

    corner over a plane     constant + amplitude * cos(angle - phase)
    shot under the box      the same; constant where the underside is level
    side along an edge      constant + (P + Q cos d) / sin d, with d the angle between the normals of side and edge

so the angles at which a gap stands still or equals a limit are closed forms. A track begins and ends where a corner
meets an edge or a side meets a shot, closed forms too (circle and line). These angles are finitely many; the gaps found
there are exact, level underside or raked, and nothing is sampled (own derivation, compared with fine grids and with
bisection). Where a terrain ends, results speak of the ground that is known, and never of ground beyond it.
"""

from collections.abc import Sequence
from math import cos, inf, pi, prod, sin, tau
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from siteplan.errors import GeometryError
from siteplan.geometry.boxes import TOUCH_MM, Box
from siteplan.geometry.points import Array, Point, sorted_distinct
from siteplan.geometry.terrain import SLIVER_MM, Ground, Plane, Terrain, heights_at

ROUNDING_MM = 1e-9  # what touches by this much touches: above the rounding of plan coordinates, below any measure
ROUNDING_SHARE = 1e-12  # the same for cosines
ROUNDING_WEIGHT = 1e-9  # the same for barycentric weights
ROUNDING_RAD = 1e-12  # the same for angles
RIM_MM = 2 * SLIVER_MM  # this far beyond its outermost shots a terrain is still taken to cover
SIDE_TURNS = np.array((0.0, 0.0, pi / 2, pi / 2))  # from the axis of the box to the normals of the sides x0, x1, y0, y1


class Underside(NamedTuple):
    """The bottom of the box, level across: z = height + rake * distance along the box from the pivot."""

    height_mm: float  # at the pivot, from the same datum as the ground
    rake: float = 0.0


class Extremes(NamedTuple):
    """Least and greatest gap at each of k angles, and where; NaN where no ground is known under the box."""

    least_mm: Array  # (k,)
    least_at: Array  # (k, 2), in the frame, not in the axes of the turned box
    greatest_mm: Array
    greatest_at: Array


class GapAt(NamedTuple):
    """A gap, and the angle and place of the frame at which it occurs."""

    gap_mm: float
    angle_rad: float
    place: Point


class GapRange(NamedTuple):
    """Least and greatest gap over a turn."""

    least: GapAt
    greatest: GapAt
    covered: bool  # False: the terrain does not reach under the whole sweep, and beyond it the gap is not known


class _Spots(NamedTuple):
    """Places under the box at angles of its turn: angle (n,), gap (n,), place (n, 2)."""

    angle_rad: Array
    gap_mm: Array
    place: Array


class _Lines(NamedTuple):
    """Lines of edges of the ground, each field (n, 1): the foot is the place of the line nearest to the pivot."""

    normal_rad: Array  # to the right of the edge
    distance: Array  # of the foot from the pivot, along the normal
    foot_height: Array
    grade: Array  # along the edge


def gap_at(box: Box, underside: Underside, ground: Ground, angles_rad: Array | Sequence[float]) -> Extremes:
    """Return the exact least and greatest gap under the whole box at each angle, shape (k,)."""
    angles = np.asarray(angles_rad, dtype=np.float64)
    corners = _turned(np.array(box.corners)[None], angles[:, None])
    gaps = underside.height_mm + underside.rake * np.array(box.corners)[:, 0]
    gaps = gaps - heights_at(ground, corners.reshape(-1, 2)).reshape(len(angles), len(box.corners))
    if isinstance(ground, Terrain):
        edges = _edges_near(ground, box.reach_mm)
        edge_gaps, edge_places = _gaps_along(box, underside, edges[None], angles[:, None])
        gaps = np.concatenate((gaps, edge_gaps.reshape(len(angles), 2 * len(edges))), axis=1)
        corners = np.concatenate((corners, edge_places.reshape(len(angles), 2 * len(edges), 2)), axis=1)
    each = np.arange(len(angles))
    least = np.where(np.isnan(gaps), inf, gaps).argmin(axis=1)
    greatest = np.where(np.isnan(gaps), -inf, gaps).argmax(axis=1)
    known = ~np.isnan(gaps[each, least])
    places = np.where(known[:, None, None], corners, np.nan)
    return Extremes(gaps[each, least], places[each, least], gaps[each, greatest], places[each, greatest])


def gap_over_turn(box: Box, underside: Underside, ground: Ground, start_rad: float, turn_rad: float) -> GapRange | None:
    """Return the exact least and greatest gap over a turn; None where no ground is known under any of it.

    The box turns from ``start_rad`` to ``start_rad + turn_rad``; a turn below 0 is clockwise. Of equal gaps one is
    returned.
    """
    spots = _spots(box, underside, ground, start_rad, turn_rad, ())
    if not len(spots.gap_mm):
        return None
    least, greatest = (
        GapAt(float(spots.gap_mm[i]), float(spots.angle_rad[i]), (float(spots.place[i, 0]), float(spots.place[i, 1])))
        for i in (spots.gap_mm.argmin(), spots.gap_mm.argmax())
    )
    return GapRange(least, greatest, _covered(box, ground, start_rad, turn_rad))


def first_gap_below(
    box: Box, underside: Underside, ground: Ground, limit_mm: float, start_rad: float, turn_rad: float
) -> float:
    """Return the first angle of a turn at which the least gap is at or below a limit; inf where it never is.

    A turn below 0 is clockwise. The limit counts as reached from TOUCH_MM above it, so that rounding hides no graze.
    Ground that is not known is not met: whether there is any, ``gap_over_turn`` tells.
    """
    spots = _spots(box, underside, ground, start_rad, turn_rad, (limit_mm,))
    turned = np.abs(spots.angle_rad[spots.gap_mm <= limit_mm + TOUCH_MM] - start_rad)
    return start_rad + float(np.copysign(turned.min(), turn_rad)) if len(turned) else inf


def angles_where_gap_between(
    box: Box,
    underside: Underside,
    ground: Ground,
    low_mm: float,
    high_mm: float,
    start_rad: float,
    turn_rad: float,
) -> tuple[tuple[float, float], ...]:
    """Return the angles, from lower to higher, at which somewhere under the box the gap lies between two limits.

    The gap must differ from the limits by more than TOUCH_MM. Under one box the gap takes every value from its least
    to its greatest, so both are compared, exactly, between the angles at which they can pass a limit. (A terrain in
    several parts may leave values out: then an angle too many is returned, never one too few.)
    """
    spots = _spots(box, underside, ground, start_rad, turn_rad, (low_mm, high_mm))
    at_limit = np.abs(spots.gap_mm[:, None] - (low_mm, high_mm)).min(axis=1) <= TOUCH_MM
    ends = np.array((start_rad, start_rad + turn_rad))
    steps = np.concatenate((ends, spots.angle_rad[at_limit], _rim_angles(box, ground, start_rad, turn_rad)))
    steps = sorted_distinct(steps)
    steps = np.append(steps[:-1][np.diff(steps) > ROUNDING_RAD], steps[-1])
    lows, highs = (steps[:-1], steps[1:]) if len(steps) > 1 else (steps, steps)
    found = gap_at(box, underside, ground, (lows + highs) / 2)
    between = (found.least_mm < high_mm - TOUCH_MM) & (found.greatest_mm > low_mm + TOUCH_MM)
    changes = np.diff(np.concatenate(((False,), between, (False,))).astype(np.int8))
    return tuple(zip(lows[changes[:-1] == 1].tolist(), highs[changes[1:] == -1].tolist(), strict=True))


def along_where_gap_between(
    box: Box, underside: Underside, ground: Ground, low_mm: float, high_mm: float, angle_rad: float
) -> tuple[float, float] | None:
    """Return from where to where along the box, at one angle, the gap under its centreline lies between two limits.

    Distances along the box from the pivot, the outermost two where there are several stretches; None where there is
    none, or none longer than a place. The gap must differ from the limits by more than TOUCH_MM somewhere.
    """
    middle = (box.y0 + box.y1) / 2
    distances = _kinks_along(box._replace(y0=middle, y1=middle), ground, angle_rad)
    places = np.column_stack((distances, np.full_like(distances, middle)))
    gaps = underside.height_mm + underside.rake * distances - heights_at(ground, _turned(places, np.array(angle_rad)))
    begin, end = gaps[:-1], gaps[1:]
    between = (np.maximum(begin, end) > low_mm + TOUCH_MM) & (np.minimum(begin, end) < high_mm - TOUCH_MM)
    if not between.any():
        return None
    begin, rise = begin[between, None], (end - begin)[between, None]
    shares = np.divide(
        np.array((low_mm, high_mm)) - begin, rise, out=np.tile((0.0, 1.0), (len(rise), 1)), where=rise != 0
    )
    run = np.diff(distances)[between, None]
    reached = distances[:-1][between, None] + np.clip(shares, 0.0, 1.0) * run
    return float(reached.min()), float(reached.max())


def _kinks_along(line: Box, ground: Ground, angle_rad: float) -> Array:
    """Return in order the distances along a box without width of its ends and of the edges of the ground it crosses."""
    ends = np.array((line.x0, line.x1))
    if isinstance(ground, Plane):
        return ends
    edges = _edges_near(ground, line.reach_mm)
    _, places = _gaps_along(line, Underside(0.0), edges, np.full(len(edges), angle_rad))
    crossings = places @ np.array((cos(angle_rad), sin(angle_rad)))
    return sorted_distinct(np.concatenate((ends, crossings[~np.isnan(crossings)])))


def _spots(
    box: Box, underside: Underside, ground: Ground, start_rad: float, turn_rad: float, levels_mm: tuple[float, ...]
) -> _Spots:
    """Return spots that hold the least and greatest gap of the turn, and every first place of a gap at a level."""
    numbers = (*box, *underside, start_rad, turn_rad, *levels_mm, *(ground if isinstance(ground, Plane) else ()))
    if not np.isfinite(numbers).all():
        raise GeometryError(f"Ground gap: sizes, heights and angles must be finite numbers, not {numbers}.")
    ends = np.array((start_rad, start_rad + turn_rad))
    extremes = gap_at(box, underside, ground, ends)
    parts = [
        _Spots(ends, extremes.least_mm, extremes.least_at),
        _Spots(ends, extremes.greatest_mm, extremes.greatest_at),
        _corner_spots(box, underside, ground, start_rad, turn_rad, levels_mm),
    ]
    if isinstance(ground, Terrain):
        edges = _edges_near(ground, box.reach_mm)
        angles = _edge_angles(box, underside, edges, levels_mm)
        parts.append(_edge_spots(box, underside, edges, _within(angles, start_rad, turn_rad)))
    spots = _Spots(*(np.concatenate(field) for field in zip(*parts, strict=True)))
    known = ~np.isnan(spots.gap_mm)
    return _Spots(*(field[known] for field in spots))


def _corner_spots(
    box: Box, underside: Underside, ground: Ground, start_rad: float, turn_rad: float, levels_mm: tuple[float, ...]
) -> _Spots:
    """Return the corners of the box where their gap stands still or equals a level, each over its own facet."""
    near = _near(ground.vertices[ground.triangles], box.reach_mm) if isinstance(ground, Terrain) else np.arange(1)
    height, x_grade, y_grade = (ground.facets[near] if isinstance(ground, Terrain) else np.array([ground])).T
    corners = np.array(box.corners)
    along, across = corners[:, :1], corners[:, 1:]
    constant = underside.height_mm + underside.rake * along - height
    in_cosine, in_sine = -x_grade * along - y_grade * across, x_grade * across - y_grade * along
    amplitude, phase = np.hypot(in_cosine, in_sine), np.arctan2(in_sine, in_cosine)
    angles = [_angles_of(level - constant, amplitude, phase) for level in levels_mm]
    angles.append(np.stack((phase, phase + pi), axis=-1))
    within = _within(np.concatenate(angles, axis=-1), start_rad, turn_rad)
    corner, facet, column = np.nonzero(~np.isnan(within))
    angle = within[corner, facet, column]
    gap = constant[corner, facet] + amplitude[corner, facet] * np.cos(angle - phase[corner, facet])
    place = _turned(corners[corner], angle)
    if isinstance(ground, Terrain):
        gap[ground.weights(near[facet], place).min(axis=-1) < -ROUNDING_WEIGHT] = np.nan
    return _Spots(angle, gap, place)


def _edge_spots(box: Box, underside: Underside, edges: Array, angles_rad: Array) -> _Spots:
    """Return both ends of what lies under the box of each edge (n, 2, 3) at its angles (n, k), NaN among them."""
    edge, column = np.nonzero(~np.isnan(angles_rad))
    angle = angles_rad[edge, column]
    gaps, places = _gaps_along(box, underside, edges[edge], angle)
    under = ~np.isnan(gaps)
    return _Spots(np.repeat(angle, 2).reshape(-1, 2)[under], gaps[under], places[under])


def _edge_angles(box: Box, underside: Underside, edges: Array, levels_mm: tuple[float, ...]) -> Array:
    """Return where tracks along edges (n, 2, 3) begin, end, stand still, or equal a level; angles (n, k), NaN: none."""
    angles = [_meeting_angles(box, edges)]
    shot_radius, shot_rad = np.hypot(edges[..., 0], edges[..., 1]), np.arctan2(edges[..., 1], edges[..., 0])
    angles += [shot_rad, shot_rad + pi]
    shot_gap = underside.height_mm - edges[..., 2]
    angles += [_angles_of(level - shot_gap, underside.rake * shot_radius, shot_rad) for level in levels_mm]

    line, sides = _lines_of(edges), np.array(box)
    lengthwise = np.array((False, False, True, True))
    constant = underside.height_mm - line.foot_height + np.where(lengthwise, 0.0, underside.rake * sides)
    plain = np.where(lengthwise, underside.rake * line.distance, 0.0) - line.grade * sides
    in_cosine = line.grade * line.distance - np.where(lengthwise, underside.rake * sides, 0.0)
    side_phase = line.normal_rad - SIDE_TURNS
    angles.append(_angles_of(-in_cosine, plain, side_phase))
    for level in levels_mm:
        tilt = np.arctan2(level - constant, -in_cosine)
        angles.append(_angles_of(plain, np.hypot(level - constant, in_cosine), side_phase + tilt))
    return np.concatenate([_flat(array) for array in angles], axis=1)


def _meeting_angles(box: Box, edges: Array) -> Array:
    """Return where corners meet the lines of edges (n, 2, 3) and the lines of sides meet their shots, shape (n, 24)."""
    corners = np.array(box.corners)
    radius, direction = np.hypot(corners[:, 0], corners[:, 1]), np.arctan2(corners[:, 1], corners[:, 0])
    line = _lines_of(edges)
    corner_angles = _angles_of(line.distance, radius, line.normal_rad - direction)
    shot_radius, shot_rad = np.hypot(edges[..., 0], edges[..., 1]), np.arctan2(edges[..., 1], edges[..., 0])
    shot_angles = _angles_of(np.array(box), shot_radius[..., None], shot_rad[..., None] - SIDE_TURNS)
    return np.concatenate((_flat(corner_angles), _flat(shot_angles)), axis=1)


def _lines_of(edges: Array) -> _Lines:
    begin, run = edges[:, 0], edges[:, 1] - edges[:, 0]
    x, y, z = np.split(begin, 3, axis=1)
    along_x, along_y, grade = np.split(run / np.hypot(run[:, :1], run[:, 1:2]), 3, axis=1)
    foot_height = z - grade * (x * along_x + y * along_y)
    return _Lines(np.arctan2(-along_x, along_y), x * along_y - y * along_x, foot_height, grade)


def _gaps_along(box: Box, underside: Underside, edges: Array, angles_rad: Array) -> tuple[Array, Array]:
    """Return gaps (..., 2) and places (..., 2, 2) at both ends of what lies under the box of edges (..., 2, 3).

    ``angles_rad`` has the leading shape of the edges or one that spreads over it. NaN where nothing is under the box.
    """
    begin, run = edges[..., 0, :], edges[..., 1, :] - edges[..., 0, :]
    begin_in_box, run_in_box = _turned(begin[..., :2], -angles_rad), _turned(run[..., :2], -angles_rad)
    low = np.array((box.x0, box.y0)) - ROUNDING_MM
    high = np.array((box.x1, box.y1)) + ROUNDING_MM
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # an edge along a side meets it nowhere
        at_low, at_high = (low - begin_in_box) / run_in_box, (high - begin_in_box) / run_in_box
    enters = np.maximum(np.minimum(at_low, at_high).max(axis=-1), 0.0)
    exits = np.minimum(np.maximum(at_low, at_high).min(axis=-1), 1.0)
    share = np.where((enters <= exits)[..., None], np.stack((enters, exits), axis=-1), np.nan)
    along = begin_in_box[..., :1] + share * run_in_box[..., :1]
    ground_height = begin[..., 2:] + share * run[..., 2:]
    places = begin[..., None, :2] + share[..., None] * run[..., None, :2]
    return underside.height_mm + underside.rake * along - ground_height, places


def _covered(box: Box, ground: Ground, start_rad: float, turn_rad: float) -> bool:
    """Tell whether all ground under the turn is known, but for a strip of RIM_MM along its edge."""
    if isinstance(ground, Plane):
        return True
    middle_x, middle_y = (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
    half_x, half_y = max(box.x1 - middle_x - RIM_MM, 0.0), max(box.y1 - middle_y - RIM_MM, 0.0)
    inner = Box(middle_x - half_x, middle_x + half_x, middle_y - half_y, middle_y + half_y)
    known = not np.isnan(heights_at(ground, inner.turned_corners(start_rad))).any()
    return known and not len(_rim_angles(inner, ground, start_rad, turn_rad))


def _rim_angles(box: Box, ground: Ground, start_rad: float, turn_rad: float) -> Array:
    """Return the angles of a turn at which a rim edge of a terrain comes under the box or passes out, and the start."""
    if isinstance(ground, Plane):
        return np.empty(0)
    edges = ground.vertices[ground.rim]
    edges = edges[_near(edges, box.reach_mm)]
    angles = _within(_meeting_angles(box, edges), start_rad, turn_rad)
    angles = np.concatenate((np.full((len(edges), 1), start_rad), angles), axis=1)
    return _edge_spots(box, Underside(0.0), edges, angles).angle_rad


def _edges_near(ground: Terrain, reach_mm: float) -> Array:
    edges = ground.vertices[ground.edges]
    return edges[_near(edges, reach_mm)]


def _near(parts: Array, reach_mm: float) -> NDArray[np.intp]:
    """Return which edges or triangles, shape (n, 2 or 3, 3), may lie within reach of the pivot."""
    low, high = parts[..., :2].min(axis=1), parts[..., :2].max(axis=1)
    reach = reach_mm + TOUCH_MM
    return np.flatnonzero(((low <= reach) & (high >= -reach)).all(axis=1))


def _flat(array: Array) -> Array:
    return array.reshape(len(array), prod(array.shape[1:]))


def _angles_of(level: float | Array, amplitude: Array, phase_rad: Array) -> Array:
    """Return both solutions of amplitude * cos(angle - phase) = level, shape (..., 2); NaN where there is none."""
    level, amplitude, phase = np.broadcast_arrays(level, amplitude, phase_rad)
    reached = (amplitude != 0) & (np.abs(level) <= (1 + ROUNDING_SHARE) * np.abs(amplitude))
    cosine = np.divide(level, amplitude, out=np.full(level.shape, np.nan), where=reached)
    opening = np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.stack((phase - opening, phase + opening), axis=-1)


def _within(angles_rad: Array, start_rad: float, turn_rad: float) -> Array:
    """Return angles brought into a turn by whole turns; NaN where they are not in it."""
    sense = np.copysign(1.0, turn_rad)
    turned = np.mod(sense * (angles_rad - start_rad), tau)
    within: Array = np.where(turned <= abs(turn_rad), start_rad + sense * turned, np.nan)
    return within


def _turned(points: Array, angles_rad: Array) -> Array:
    """Return points (..., 2) turned about the pivot by angles (...)."""
    cosine, sine = np.cos(angles_rad), np.sin(angles_rad)
    return np.stack(
        (cosine * points[..., 0] - sine * points[..., 1], sine * points[..., 0] + cosine * points[..., 1]), axis=-1
    )
