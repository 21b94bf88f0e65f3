"""Where a note could stand: beside its symbol, along its line, in its area, or at the end of a leader.

Paper mm about the centre of the view, y up.  Method and constants are our own.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import cos, pi, sin
from typing import Literal, NamedTuple

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from siteplan.drawing.dimensions import upright
from siteplan.drawing.hatches import even_odd_area
from siteplan.drawing.label_scene import Scene, Shapes
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Ring
from siteplan.drawing.text_size import LINE_PITCH_MM, WIDTH_SLACK, text_width_mm
from siteplan.errors import SheetError
from siteplan.geometry.points import Array, Point, direction_between

TEXT_MM = 2.4
SYMBOL_GAP_MM = 1.0
CORNER_SHARE = 0.7
RANK_COST = 0.25
SIDES = ((1, 0), (1, 1), (1, -1), (-1, 0), (-1, 1), (-1, -1), (0, 1), (0, -1))  # best first: E NE SE W NW SW N S
LINE_GAP_MM = 1.0
STATION_MM = 4.0
OFF_MIDDLE_COST = 0.02  # per mm
BELOW_COST = 0.5
STRAIGHT_MM = 0.02  # a line is straight as long as it keeps to this
REACHES_MM = (7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0)
DIRECTIONS_RAD = tuple((7.5 + 15 * step) * pi / 180 for step in range(24))
SHOULDER_MM = 2.5
SHOULDER_GAP_MM = 0.8
LEADER_COST, LEADER_COST_PER_MM = 12.0, 0.5
SLOPE_COST = 4.0  # of a leader nearer than 10 degrees to level or upright
LEADER_PLACES = (1 / 2, 1 / 4, 3 / 4, 1 / 10, 9 / 10)  # of the length of a line
CORNER_PLACE = 0.75  # of the way from the middle of a solid thing to a corner
OWN_COST_PER_MM = 0.5  # of a leader over the thing it comes from
CORNER_LEAST_MM = 2.5  # from the middle; a nearer place gains nothing
MOST_CORNERS = 4
SYMBOL_CLEAR_MM = 0.4  # between a symbol and the start of its leader


class Note(Struct, frozen=True, kw_only=True):
    """Words that explain one thing of a view."""

    id: str
    lines: tuple[str, ...]
    kind: Literal["symbol", "line", "area", "solid"]
    anchor: Ring  # model places: one point of a symbol, the points of a line, the ring of an area or a solid thing
    half_size_mm: float = 0.0  # of the symbol, on paper
    off_mm: Point = (0.0, 0.0)  # from the place of a symbol to the middle of its drawing, on paper
    pen: Pen = Pen.NOTE
    source: str = ""  # of the thing, as in its own primitives


class Candidates(NamedTuple):
    """Places for notes, one a row; those of one note stand together, in the order they are numbered."""

    note: NDArray[np.intp]  # (n,) row of the note
    middle: Array  # (n, 2) of the box around the text
    half: Array  # (n, 2) half width and half height of the box
    turn_rad: Array  # (n,)
    align: NDArray[np.intp]  # (n,) -1 the text keeps to the left of the box, 0 middle, 1 right
    preference: Array  # (n,) what the place costs by itself
    leader: Array  # (n, 3, 2) start, knee and end of the shoulder; NaN without a leader

    def boxes(self, grown_mm: float = 0.0) -> Shapes:
        """Return the boxes, grown on every side."""
        corner = self.half + grown_mm
        along = np.stack((np.cos(self.turn_rad), np.sin(self.turn_rad)), -1) * corner[:, :1]
        across = np.stack((-np.sin(self.turn_rad), np.cos(self.turn_rad)), -1) * corner[:, 1:]
        corners = [self.middle + a * along + b * across for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        polygons: Shapes = shapely.polygons(np.stack(corners, 1))
        return polygons

    def kept(self, rows: NDArray[np.bool_]) -> "Candidates":
        """Return some of the places."""
        return Candidates._make(column[rows] for column in self)

    @property
    def has_leader(self) -> NDArray[np.bool_]:
        """Whether a place has a leader, shape (n,)."""
        return ~np.isnan(self.leader[:, 0, 0])


def candidates_of(notes: Sequence[Note], scene: Scene) -> Candidates:
    """Return the places of all notes."""
    blocks = [_block(row, note, scene) for row, note in enumerate(notes)]
    return Candidates._make(np.concatenate(columns) for columns in zip(*blocks, strict=True))


def anchor_of(note: Note, scene: Scene) -> BaseGeometry:
    """Return what a note explains: a point, a line or an area, in paper mm; the part within the view if there is one.

    Raises
    ------
    SheetError
        When a note has no words or no place.
    """
    if not note.lines or not note.anchor:
        raise SheetError(f"Note {note.id}: it needs a line of text and a place, not {note.lines!r} at {note.anchor!r}.")
    places = scene.to_paper(note.anchor)
    enough_for_area = 3
    if note.kind in ("area", "solid") and len(places) >= enough_for_area:
        whole = even_odd_area([tuple((x, y) for x, y in places.tolist())])
        return _largest(whole, scene.view, shapely.area)
    if len(places) > 1:
        return _largest(shapely.LineString(places), scene.view, shapely.length)
    return shapely.Point(places[0] + note.off_mm)


def box_half(note: Note) -> tuple[float, float]:
    """Return half the width and half the height of the box around the text of a note."""
    width = max(text_width_mm(line, TEXT_MM) for line in note.lines) * WIDTH_SLACK
    return (width / 2, (TEXT_MM + LINE_PITCH_MM * (len(note.lines) - 1)) / 2)


def _block(row: int, note: Note, scene: Scene) -> Candidates:
    anchor, half = anchor_of(note, scene), box_half(note)
    match anchor.geom_type, note.kind:
        case "Point", _:
            start = (anchor.x, anchor.y)
            parts = [_beside_symbol(start, note.half_size_mm, half), _leaders(start, half, note.half_size_mm)]
        case "LineString", _:
            stations = [_along_piece(piece, half) for piece in _pieces(anchor)]
            starts = [anchor.interpolate(share, normalized=True) for share in LEADER_PLACES]
            parts = [*stations, *(_leaders((start.x, start.y), half) for start in starts)]
        case _, "area" if (inside := _inside_area(anchor, half)) is not None:
            parts = [inside]
        case _:
            parts = [_off_own(_leaders(start, half), anchor) for start in _solid_places(anchor)]
    block = Candidates._make(np.concatenate(columns) for columns in zip(*parts, strict=True))
    return block._replace(note=np.full(len(block.note), row))


def _rows(
    middle: Array,
    half: Point,
    align: NDArray[np.intp],
    preference: Array,
    turn_rad: float = 0.0,
    leader: Array | None = None,
) -> Candidates:
    count = len(middle)
    return Candidates(
        note=np.zeros(count, dtype=np.intp),
        middle=middle,
        half=np.tile(half, (count, 1)),
        turn_rad=np.full(count, turn_rad),
        align=align,
        preference=preference,
        leader=np.full((count, 3, 2), np.nan) if leader is None else leader,
    )


def _beside_symbol(start: Point, half_size_mm: float, half: Point) -> Candidates:
    sides = np.array(SIDES)
    is_corner = (sides != 0).all(axis=1)
    away = (half_size_mm + SYMBOL_GAP_MM) * np.where(is_corner, CORNER_SHARE, 1.0)
    middle = np.array(start) + sides * (away[:, None] + half)
    return _rows(middle, half, -sides[:, 0], RANK_COST * np.arange(len(sides), dtype=np.float64))


def _pieces(line: BaseGeometry) -> list[tuple[Point, Point]]:
    """Return the straight pieces of a line."""
    corners = [(x, y) for x, y in shapely.get_coordinates(line.simplify(STRAIGHT_MM)).tolist()]
    return list(pairwise(corners))


def _along_piece(piece: tuple[Point, Point], half: Point) -> Candidates:
    """Return places above and below a straight piece, from its middle outwards; none when it is too short."""
    turn = upright(direction_between(*piece))
    along, up = np.array((cos(turn), sin(turn))), np.array((-sin(turn), cos(turn)))
    first, last = np.array(piece)
    room = np.hypot(*(last - first)) / 2 - half[0]
    count = int(room // STATION_MM) if room >= 0 else -1
    steps = sorted(range(-count, count + 1), key=lambda step: (abs(step), step))
    off_middle = STATION_MM * np.array(steps, dtype=np.float64)
    on_line = (first + last) / 2 + off_middle[:, None] * along
    away = (LINE_GAP_MM + half[1]) * up
    middle = np.concatenate((on_line + away, on_line - away))
    cost = OFF_MIDDLE_COST * np.abs(off_middle)
    align = np.zeros(len(middle), dtype=np.intp)
    return _rows(middle, half, align, np.concatenate((cost, cost + BELOW_COST)), turn)


def _inside_area(area: BaseGeometry, half: Point) -> Candidates | None:
    """Return places on a grid about the centre of an area; None when its text fits nowhere inside."""
    centre = np.array(_centre(area))
    left, bottom, right, top = area.bounds
    low = np.ceil((np.array((left, bottom)) - centre) / STATION_MM)
    high = np.floor((np.array((right, top)) - centre) / STATION_MM)
    grid = np.meshgrid(np.arange(low[0], high[0] + 1), np.arange(low[1], high[1] + 1), indexing="ij")
    off_centre = STATION_MM * np.stack(grid, -1).reshape(-1, 2)
    cost = OFF_MIDDLE_COST * np.hypot(off_centre[:, 0], off_centre[:, 1])
    rows = _rows(centre + off_centre, half, np.zeros(len(off_centre), dtype=np.intp), cost)
    shapely.prepare(area)
    fits = shapely.contains(area, rows.boxes())
    return rows.kept(fits) if fits.any() else None


def _leaders(start: Point, half: Point, half_size_mm: float = 0.0) -> Candidates:
    """Return places at the end of leaders that start at a point, or at the edge of the symbol about it."""
    reach, direction = (grid.ravel() for grid in np.meshgrid(REACHES_MM, DIRECTIONS_RAD, indexing="ij"))
    ray = np.stack((np.cos(direction), np.sin(direction)), -1)
    begin = np.array(start) + (half_size_mm + SYMBOL_CLEAR_MM if half_size_mm else 0.0) * ray
    knee = np.array(start) + (half_size_mm + reach)[:, None] * ray
    side = np.sign(ray[:, :1])
    level = np.array((1.0, 0.0))
    end = knee + SHOULDER_MM * side * level
    first_line = end + (SHOULDER_GAP_MM + half[0]) * side * level
    middle = first_line + np.array((0.0, TEXT_MM / 2 - half[1]))
    is_level_or_upright = np.abs(ray).max(axis=1) > cos(10 * pi / 180)
    cost = LEADER_COST + LEADER_COST_PER_MM * (reach + SHOULDER_MM) + SLOPE_COST * is_level_or_upright
    align = -side[:, 0].astype(np.intp)
    return _rows(middle, half, align, cost, leader=np.stack((begin, knee, end), 1))


def _off_own(rows: Candidates, area: BaseGeometry) -> Candidates:
    """Return places whose leaders cost more the longer they run over the thing they come from."""
    over = shapely.length(shapely.intersection(shapely.linestrings(rows.leader), area))
    return rows._replace(preference=rows.preference + OWN_COST_PER_MM * over)


def _solid_places(area: BaseGeometry) -> list[Point]:
    """Return places in a solid thing where a leader may end: its middle, then towards its corners.

    A thing may stand on another, as a drive on its pad; the middle then belongs to the upper one.
    """
    middle = _centre(area)
    corners = shapely.get_coordinates(area.simplify(STRAIGHT_MM))[:-1][:MOST_CORNERS]
    places = middle + CORNER_PLACE * (corners - middle)
    is_apart = np.hypot(*(places - middle).T) > CORNER_LEAST_MM
    kept = places[is_apart & shapely.contains_xy(area, places)]
    return [middle, *((x, y) for x, y in kept.tolist())]


def _centre(area: BaseGeometry) -> Point:
    inside = area.centroid if area.contains(area.centroid) else area.representative_point()
    return (inside.x, inside.y)


def _largest(whole: BaseGeometry, view: BaseGeometry, size: Callable[[Shapes], Array]) -> BaseGeometry:
    """Return the largest connected part within the view; of the whole where nothing lies in the view."""
    within = shapely.intersection(whole, view)
    parts = shapely.get_parts(shapely.get_parts(within if size(within) > 0 else whole))
    return parts[int(np.argmax(size(parts)))]
