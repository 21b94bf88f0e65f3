"""What a place for a note costs: by itself, against the plan, and beside another note.

Costs are plain numbers; the constants are our own.  60 and more stands for a note that cannot be read or that reads as
if it belonged to another thing.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from siteplan.drawing.label_candidates import Candidates, Note, anchor_of
from siteplan.drawing.label_scene import Scene, Shapes
from siteplan.geometry.points import Array

VIEW_MARGIN_MM = 1.0
OUTSIDE_COST, OUTSIDE_COST_PER_MM2 = 1000.0, 100.0
COVER_MARGIN_MM = 0.6
COVER_COST, COVER_COST_PER_MM2 = 300.0, 100.0
TEXT_MARGIN_MM = 1.8  # more than the gap between the lines of one note, else two texts read as one
TEXT_COST, TEXT_COST_PER_MM2 = 20.0, 10.0
STRIKE_MARGIN_MM = 0.4
STRIKE_COST_PER_MM, HEAVY_STRIKE_COST_PER_MM, LEAST_STRIKE_MM = 8.0, 16.0, 1.0
MISREAD_MM, MISREAD_COST = 2.6, 8.0  # near the anchor of another thing
CROSS_FREE_MM = 0.8  # about the anchor, where a leader may cross lines
CROSS_COST, HEAVY_CROSS_COST = 2.0, 5.0
PIERCE_COST = 60.0
NOISE_MM = 0.02  # of places computed in two ways
PAIR_COST, PAIR_COST_PER_MM2 = 300.0, 100.0
LEADER_MARGIN_MM, LEADER_BOX_COST = 0.5, 120.0
LEADERS_CROSS_COST, LEADERS_NEAR_MM, LEADERS_NEAR_COST = 60.0, 0.8, 10.0

Rows = NDArray[np.intp]


class CostsAlone(NamedTuple):
    """Costs of places against the plan, shape (n,)."""

    all: Array
    hard: Array  # the part of it that makes a note unreadable or misleading


def costs_alone(candidates: Candidates, notes: Sequence[Note], scene: Scene) -> CostsAlone:
    """Return what each place costs as if there were no other note."""
    sources = np.array([note.source for note in notes], dtype=np.str_)[candidates.note]
    leaders = leaders_of(candidates)
    anchors = np.array([anchor_of(note, scene) for note in notes], dtype=object)
    boxes = candidates.boxes()
    hard = _outside(boxes, scene) + _covered(candidates, notes, sources, scene) + _struck(candidates, scene)
    hard += _pierced(candidates, leaders, anchors, sources, scene)
    soft = candidates.preference + _near_text(candidates, scene) + _misread(candidates, boxes, notes, anchors)
    soft += _crossed(candidates, notes, sources, scene)
    return CostsAlone(hard + soft, hard)


def leaders_of(candidates: Candidates) -> Shapes:
    """Return the leaders as lines; None for a place without."""
    lines = np.full(len(candidates.note), None, dtype=object)
    lines[candidates.has_leader] = shapely.linestrings(candidates.leader[candidates.has_leader])
    return lines


class PairCosts:
    """Costs of places beside each other."""

    def __init__(self, candidates: Candidates) -> None:
        self._note = candidates.note
        self._boxes, self._grown = candidates.boxes(), candidates.boxes(TEXT_MARGIN_MM)
        self._leaders = leaders_of(candidates)
        self._is_turned = candidates.turn_rad != 0
        self._box_bounds, self._grown_bounds = shapely.bounds(self._boxes), shapely.bounds(self._grown)
        self._leader_bounds = shapely.bounds(self._leaders)  # NaN without a leader, which is near nothing
        shapely.prepare(self._boxes)

    def between(self, rows: Rows, others: Rows) -> Array:
        """Return the cost of each place of ``rows`` beside each of ``others``, shape (rows, others)."""
        costs = np.zeros((len(rows), len(others)))
        self._add_boxes(costs, rows, others)
        self._add_leader_boxes(costs, rows, others)
        self._add_leader_boxes(costs.T, others, rows)
        self._add_leaders(costs, rows, others)
        return costs

    def _add_boxes(self, costs: Array, rows: Rows, others: Rows) -> None:
        i, j = _near(self._box_bounds[rows], self._box_bounds[others], TEXT_MARGIN_MM)
        left, right = rows[i], others[j]
        close = shapely.dwithin(self._boxes[left], self._boxes[right], TEXT_MARGIN_MM)
        i, j, left, right = i[close], j[close], left[close], right[close]
        is_first = self._note[left] <= self._note[right]
        first, second = np.where(is_first, left, right), np.where(is_first, right, left)
        shared = self._shared_areas(first, second)
        costs[i, j] += PAIR_COST + PAIR_COST_PER_MM2 * shared

    def _shared_areas(self, first: Rows, second: Rows) -> Array:
        """Return how much of a box each grown box covers; by its edges where both are level, which is quick."""
        shared = _shared_by_edges(self._grown_bounds[first], self._box_bounds[second])
        turned = self._is_turned[first] | self._is_turned[second]
        both = (self._grown[first[turned]], self._boxes[second[turned]])
        shared[turned] = shapely.area(shapely.intersection(*both))
        return shared

    def _add_leader_boxes(self, costs: Array, rows: Rows, others: Rows) -> None:
        i, j = _near(self._leader_bounds[rows], self._box_bounds[others], LEADER_MARGIN_MM)
        close = shapely.dwithin(self._leaders[rows[i]], self._boxes[others[j]], LEADER_MARGIN_MM)
        costs[i[close], j[close]] += LEADER_BOX_COST

    def _add_leaders(self, costs: Array, rows: Rows, others: Rows) -> None:
        i, j = _near(self._leader_bounds[rows], self._leader_bounds[others], LEADERS_NEAR_MM)
        distance = shapely.distance(self._leaders[rows[i]], self._leaders[others[j]])
        near = np.where(distance < LEADERS_NEAR_MM, LEADERS_NEAR_COST, 0.0)
        costs[i, j] += np.where(distance == 0, LEADERS_CROSS_COST, near)


def _near(first: Array, second: Array, margin: float) -> tuple[Rows, Rows]:
    """Return the pairs of boxes (left, bottom, right, top) that are no farther apart than a margin along x and y."""
    left, right = first[:, None, :], second[None, :, :]
    apart = np.maximum(left[..., :2] - right[..., 2:], right[..., :2] - left[..., 2:])
    i, j = np.nonzero((apart <= margin).all(axis=-1))
    return i, j


def _shared_by_edges(first: Array, second: Array) -> Array:
    """Return the areas shared by level boxes (left, bottom, right, top)."""
    low, high = np.maximum(first[:, :2], second[:, :2]), np.minimum(first[:, 2:], second[:, 2:])
    shared: Array = np.clip(high - low, 0.0, None).prod(axis=1)
    return shared


def _outside(boxes: Shapes, scene: Scene) -> Array:
    """Cost of boxes that are not wholly in the view."""
    left, bottom, right, top = scene.view.bounds
    margin = VIEW_MARGIN_MM
    inner = (left + margin, bottom + margin, right - margin, top - margin)
    bounds = shapely.bounds(boxes)
    is_outside = (bounds[:, :2] < inner[:2]).any(axis=1) | (bounds[:, 2:] > inner[2:]).any(axis=1)
    inside = shapely.area(shapely.intersection(boxes[is_outside], shapely.box(*inner)))
    costs = np.zeros(len(boxes))
    costs[is_outside] = OUTSIDE_COST + OUTSIDE_COST_PER_MM2 * (shapely.area(boxes[is_outside]) - inside)
    return costs


def _covered(candidates: Candidates, notes: Sequence[Note], sources: NDArray[np.str_], scene: Scene) -> Array:
    """Cost of boxes on a symbol, hatch, text or solid thing; the words of an area may stand on the area itself."""
    boxes = candidates.boxes(COVER_MARGIN_MM)
    row, shape = shapely.STRtree(scene.shapes).query(boxes, predicate="intersects")
    is_area = np.array([note.kind == "area" for note in notes], dtype=np.bool_)[candidates.note]
    is_own = is_area[row] & (sources[row] != "") & (sources[row] == scene.shape_sources[shape])
    row, shape = row[~is_own], shape[~is_own]
    shared = shapely.area(shapely.intersection(boxes[row], scene.shapes[shape]))
    return _summed(row, COVER_COST + COVER_COST_PER_MM2 * shared, len(boxes))


def _near_text(candidates: Candidates, scene: Scene) -> Array:
    """Cost of boxes so near a dimension text that both read as one."""
    texts = scene.shapes[scene.kinds == "text"]
    boxes = candidates.boxes(TEXT_MARGIN_MM)
    row, text = shapely.STRtree(texts).query(boxes, predicate="intersects")
    shared = shapely.area(shapely.intersection(boxes[row], texts[text]))
    return _summed(row, TEXT_COST + TEXT_COST_PER_MM2 * shared, len(boxes))


def _struck(candidates: Candidates, scene: Scene) -> Array:
    """Cost of lines through boxes, by their length inside, at least one mm a line."""
    row, segment = _segment_tree(scene).query(candidates.boxes(STRIKE_MARGIN_MM))
    length = _length_inside(candidates, row, scene.segments[segment])
    row, line, length = row[length > 0], scene.line_of[segment[length > 0]], length[length > 0]
    pairs, which = np.unique(row * len(scene.is_heavy) + line, return_inverse=True)
    struck = np.maximum(_summed(which, length, len(pairs)), LEAST_STRIKE_MM)
    row, line = np.divmod(pairs, max(1, len(scene.is_heavy)))
    rate = np.where(scene.is_heavy[line], HEAVY_STRIKE_COST_PER_MM, STRIKE_COST_PER_MM)
    return _summed(row, struck * rate, len(candidates.note))


def _length_inside(candidates: Candidates, row: Rows, segments: Array) -> Array:
    """Return how much of each segment, shape (n, 4), lies in the grown box of its row (Liang and Barsky 1984)."""
    turn = candidates.turn_rad[row]
    cosine, sine = np.cos(turn), np.sin(turn)
    points = segments.reshape(-1, 2, 2) - candidates.middle[row][:, None, :]
    x = cosine[:, None] * points[..., 0] + sine[:, None] * points[..., 1]
    y = cosine[:, None] * points[..., 1] - sine[:, None] * points[..., 0]
    start, step = np.stack((x[:, 0], y[:, 0]), -1), np.stack((x[:, 1] - x[:, 0], y[:, 1] - y[:, 0]), -1)
    half = candidates.half[row] + STRIKE_MARGIN_MM
    is_level = step == 0  # it does not move along this axis: inside for all of its length, or for none
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = np.stack(((-half - start) / step, (half - start) / step))
    never = is_level & (np.abs(start) >= half)
    enter = np.where(is_level, np.where(never, 2.0, 0.0), shares.min(axis=0)).max(axis=1)
    leave = np.where(is_level, 1.0, shares.max(axis=0)).min(axis=1)
    inside: Array = np.clip(np.minimum(leave, 1.0) - np.maximum(enter, 0.0), 0.0, None)
    return inside * np.hypot(step[:, 0], step[:, 1])


def _misread(candidates: Candidates, boxes: Shapes, notes: Sequence[Note], anchors: Shapes) -> Array:
    """Cost of boxes without a leader beside the anchor of another thing."""
    things = [None if note.kind == "area" else anchor for note, anchor in zip(notes, anchors, strict=True)]
    row, note = shapely.STRtree(things).query(boxes, predicate="dwithin", distance=MISREAD_MM)
    is_other = (candidates.note[row] != note) & ~candidates.has_leader[row]
    costs = np.zeros(len(candidates.note))
    costs[row[is_other]] = MISREAD_COST
    return costs


def _crossed(candidates: Candidates, notes: Sequence[Note], sources: NDArray[np.str_], scene: Scene) -> Array:
    """Cost of lines that leaders cross away from their anchor; a solid thing's own outline is no such line."""
    owner = np.flatnonzero(candidates.has_leader)
    leaders = candidates.leader[owner]
    pieces = np.concatenate((leaders[:, :2], leaders[:, 1:]))
    owner = np.concatenate((owner, owner))
    piece, segment = _segment_tree(scene).query(shapely.linestrings(pieces))
    row, line = owner[piece], scene.line_of[segment]
    is_solid = np.array([note.kind == "solid" for note in notes], dtype=np.bool_)[candidates.note]
    is_own = is_solid[row] & (sources[row] != "") & (sources[row] == scene.line_sources[line])
    crosses = _crosses_away(pieces[piece], scene.segments[segment], candidates.leader[row, 0]) & ~is_own
    costs = np.where(scene.is_heavy[line[crosses]], HEAVY_CROSS_COST, CROSS_COST)
    return _summed(row[crosses], costs, len(candidates.note))


def _crosses_away(pieces: Array, segments: Array, anchors: Array) -> NDArray[np.bool_]:
    """Tell which pieces, shape (n, 2, 2), cross their segment, shape (n, 4), away from their anchor, shape (n, 2)."""
    start, run = pieces[:, 0], pieces[:, 1] - pieces[:, 0]
    offset, along = segments[:, :2] - start, segments[:, 2:] - segments[:, :2]
    with np.errstate(divide="ignore", invalid="ignore"):
        on_piece = _cross(offset, along) / _cross(run, along)
        on_segment = _cross(offset, run) / _cross(run, along)
    meets = (on_piece >= 0) & (on_piece <= 1) & (on_segment >= 0) & (on_segment < 1)
    away = start + np.where(meets, on_piece, 0.0)[:, None] * run - anchors
    return meets & (np.hypot(away[:, 0], away[:, 1]) > CROSS_FREE_MM)


def _cross(first: Array, second: Array) -> Array:
    product: Array = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    return product


def _pierced(
    candidates: Candidates, leaders: Shapes, anchors: Shapes, sources: NDArray[np.str_], scene: Scene
) -> Array:
    """Cost of leaders through a foreign symbol, solid thing or text.

    Not foreign is what lies under the whole anchor, as the pad under a drive, and the thing itself.
    """
    kept = scene.kinds != "hatch"
    shapes, shape_sources = scene.shapes[kept], scene.shape_sources[kept]
    row, shape = shapely.STRtree(shapes).query(leaders, predicate="intersects")
    is_under = shapely.covers(shapely.buffer(shapes, NOISE_MM)[shape], anchors[candidates.note[row]])
    starts = shapely.points(candidates.leader[row, 0])
    is_own = (sources[row] == shape_sources[shape]) & shapely.intersects(starts, shapes[shape])
    foreign = row[~is_under & ~is_own]
    return _summed(foreign, np.full(len(foreign), PIERCE_COST), len(leaders))


def _segment_tree(scene: Scene) -> shapely.STRtree:
    return shapely.STRtree(shapely.linestrings(scene.segments.reshape(-1, 2, 2)))


def _summed(rows: Rows, values: Array, count: int) -> Array:
    """Return the sums of the values of each row, shape (count,)."""
    return np.bincount(rows, weights=values, minlength=count).astype(np.float64)
