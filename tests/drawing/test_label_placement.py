import random
from collections.abc import Callable
from functools import cache
from itertools import combinations, product
from math import cos, hypot, pi, sin

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.drawing import label_placement
from siteplan.drawing.dimensions import explode
from siteplan.drawing.label_candidates import Note
from siteplan.drawing.label_placement import Placed, Placement, place_notes
from siteplan.drawing.label_scene import scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Arc, Circle, Dimension, HatchArea, Label, Primitive, Ring, Stroke, Symbol, View
from siteplan.drawing.symbols import symbol_outline
from siteplan.drawing.text_size import text_width_mm
from siteplan.errors import SheetError
from siteplan.geometry.points import Point

FOOT = 304.8
RATIO = 48.0
WIDTH, HEIGHT = 250.0, 200.0


def feet(*places: Point) -> Ring:
    return tuple((x * FOOT, y * FOOT) for x, y in places)


def rectangle(left: float, bottom: float, width: float, height: float) -> Ring:
    return feet((left, bottom), (left + width, bottom), (left + width, bottom + height), (left, bottom + height))


SOLIDS: dict[str, tuple[Ring, Pen, str]] = {
    "wall left": (rectangle(-15, -0.3, 7.2, 0.6), Pen.WALL_EXISTING, "(E) BRICK WALL"),
    "wall right": (rectangle(7.8, -0.3, 8, 0.6), Pen.WALL_EXISTING, "(E) BRICK WALL"),
    "wall return": (rectangle(8.4, 5, 0.6, 3), Pen.WALL_EXISTING, "(E) WALL 5'-0\" HIGH"),
    "post left": (rectangle(-7.6, -0.35, 0.7, 0.7), Pen.POST, "(N) POST 8x8"),
    "post right": (rectangle(6.9, -0.35, 0.7, 0.7), Pen.POST, "(N) POST 8x8"),
    "pad left": (rectangle(-9.8, 0.8, 2, 2.4), Pen.PAD, "(N) PAD, DRIVE A"),
    "drive left": (rectangle(-9.4, 1.3, 1.2, 1.4), Pen.DRIVE, "DRIVE A"),
    "pad right": (rectangle(7.8, 0.8, 2, 2.4), Pen.PAD, "(N) PAD 2'-0\" x 2'-4\""),
    "cabinet": (rectangle(12, 2, 1.5, 1), Pen.OBSTACLE, "(E) CABINET"),
}
LINES: dict[str, tuple[Ring, Pen, str]] = {
    "leaf A": (feet((-6.6, 0), (-1.5, 0)), Pen.LEAF_CLOSED, "LEAF A 5'-1\""),
    "leaf B": (feet((6.6, 0), (-1.4, 0)), Pen.LEAF_CLOSED, "LEAF B 8'-0\""),
    "open A": (feet((-6.6, 0), (-6.6, 5.1)), Pen.LEAF_OPEN, "LEAF A OPEN"),
    "open B": (feet((6.6, 0), (6.6, 8)), Pen.LEAF_OPEN, "LEAF B OPEN"),
    "edge left": (feet((-7, -18), (-7, 20)), Pen.DRIVE_EDGE, "(E) DRIVE EDGE"),
    "edge right": (feet((7, -18), (7, 20)), Pen.DRIVE_EDGE, "(E) DRIVE EDGE"),
    "property": (feet((-40, -9), (40, -9)), Pen.PROPERTY_LINE, "PROPERTY LINE (RECORD)"),
    "right of way": (feet((-40, -11), (40, -11)), Pen.RIGHT_OF_WAY, "RIGHT-OF-WAY LINE (RECORD)"),
    "road": (feet((-40, -14), (40, -14)), Pen.ROAD_EDGE, "EDGE OF PAVEMENT"),
    "fence": (feet((-15, 0), (-15, 16)), Pen.FENCE_EXISTING, "(E) FENCE 5'-0\""),
}
SIGNS: dict[str, tuple[Point, str, float, str]] = {
    "sign inside": ((-4.5, 1.2), "warning_sign", 2.4, "WARNING SIGN"),
    "sign outside": ((-3.6, -1.1), "warning_sign", 2.4, "WARNING SIGN"),
    "control": ((-11, -4), "control", 1.5, "CONTROL STATION"),
    "hinge A": ((-6.6, 0), "hinge_pin", 0.7, "HINGE A"),
    "hinge B": ((6.6, 0), "hinge_pin", 0.7, "HINGE B"),
    "spot inside": ((0, 13), "spot_level", 1.2, "+101.25"),
    "spot outside": ((2, -7), "spot_level", 1.2, "+99.10"),
    "P1": ((11, -6), "survey_point", 1.4, "P1"),
    "P2": ((-11, 10), "survey_point", 1.4, "P2"),
}
DRIVE_AREA = Note(id="drive", lines=("(E) BRICK DRIVE",), kind="area", anchor=rectangle(-7, 9, 14, 10))
OPENING = Dimension(kind="linear", first=feet((-6.6, 0))[0], second=feet((6.6, 0))[0], number="13'-2\"", offset_mm=-18)
DIMENSIONS = (
    OPENING,
    replace(OPENING, first=feet((-6.9, 0))[0], second=feet((6.9, 0))[0], number="13'-10\"", offset_mm=-27),
    replace(
        OPENING,
        first=feet((13.5, 0))[0],
        second=feet((13.5, -9))[0],
        number="9'-0\"",
        direction_rad=-pi / 2,
        offset_mm=8,
    ),
)


def plan() -> View:
    outlines = [Stroke(points=ring, pen=pen, closed=True, source=name) for name, (ring, pen, _) in SOLIDS.items()]
    lines = [Stroke(points=points, pen=pen, source=name) for name, (points, pen, _) in LINES.items()]
    arcs = [
        Arc(centre=feet((-6.6, 0))[0], radius=5.1 * FOOT, start_rad=0, sweep_rad=pi / 2, pen=Pen.SWEEP),
        Arc(centre=feet((6.6, 0))[0], radius=8 * FOOT, start_rad=pi / 2, sweep_rad=pi / 2, pen=Pen.SWEEP),
    ]
    zone = HatchArea(rings=(rectangle(6.6, 0.4, 1.8, 7.6),), pattern="zone", pen=Pen.PAD_HATCH)
    signs = [
        Symbol(name=name, at=feet(at)[0], pen=Pen.SIGN, source=source) for source, (at, name, _, _) in SIGNS.items()
    ]
    return View(
        number="1",
        title="GATE PLAN",
        scale_text="",
        centre=(0.0, 0.0),
        ratio=RATIO,
        frame=(0.0, 0.0, WIDTH, HEIGHT),
        model=(*outlines, *lines, *arcs, zone),
        notes=(*DIMENSIONS, *signs),
    )


def notes() -> list[Note]:
    solids = [
        Note(id=name, lines=(text,), kind="solid", anchor=ring, source=name) for name, (ring, _, text) in SOLIDS.items()
    ]
    lines = [
        Note(id=name, lines=(text,), kind="line", anchor=line, source=name) for name, (line, _, text) in LINES.items()
    ]
    signs = [
        Note(id=name, lines=(text,), kind="symbol", anchor=feet(at), half_size_mm=half, source=name)
        for name, (at, _, half, text) in SIGNS.items()
    ]
    return [*solids, *lines, *signs, DRIVE_AREA]


@cache
def crowded() -> Placement:
    return place_notes(notes(), scene_of(plan()))


def text_area(label: Label) -> shapely.Polygon:
    """Return the rectangle of a label in model mm, worked out without the code under test."""
    width = text_width_mm(label.text, label.height_mm, label.face) * RATIO
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[label.align]
    cosine, sine = cos(label.turn_rad), sin(label.turn_rad)
    corners = [(x, y) for x, y in product((left, left + width), (0.0, label.height_mm * RATIO))]
    x, y = label.at
    places = [(x + cosine * dx - sine * dy, y + sine * dx + cosine * dy) for dx, dy in corners]
    return shapely.MultiPoint(places).convex_hull


def texts_of(placed: Placed) -> list[shapely.Polygon]:
    return [text_area(part) for part in placed.primitives if isinstance(part, Label)]


def leaders_of(placed: Placed) -> list[shapely.LineString]:
    return [shapely.LineString(part.points) for part in placed.primitives if isinstance(part, Stroke)]


@cache
def all_texts() -> list[shapely.Polygon]:
    return [text for placed in crowded().placed for text in texts_of(placed)]


@cache
def all_leaders() -> list[shapely.LineString]:
    return [leader for placed in crowded().placed for leader in leaders_of(placed)]


def things() -> list[shapely.Polygon]:
    return [shapely.Polygon(ring) for ring, _, _ in SOLIDS.values()]


def symbols() -> list[shapely.Polygon]:
    outlines = {name: symbol_outline(Symbol(name=name, at=(0, 0), pen=Pen.SIGN)) for _, name, _, _ in SIGNS.values()}
    return [
        shapely.Polygon([(x * FOOT + RATIO * dx, y * FOOT + RATIO * dy) for dx, dy in outlines[name]])
        for (x, y), name, _, _ in SIGNS.values()
    ]


def dimension_texts() -> list[shapely.Polygon]:
    return [text_area(part) for each in DIMENSIONS for part in explode(each, RATIO) if isinstance(part, Label)]


def overlaps(first: list[shapely.Polygon], second: list[shapely.Polygon]) -> int:
    return sum(one.intersects(other) for one, other in product(first, second))


def test_every_note_of_a_crowded_plan_is_placed_once() -> None:
    assert [placed.note.id for placed in crowded().placed] == sorted(note.id for note in notes())


def test_every_line_of_every_note_is_written() -> None:
    written = [part.text for part in crowded().primitives if isinstance(part, Label)]

    assert sorted(written) == sorted(line for note in notes() for line in note.lines)


def test_no_text_of_a_crowded_plan_lies_on_another() -> None:
    assert sum(one.intersects(other) for one, other in combinations(all_texts(), 2)) == 0


@pytest.mark.parametrize("taken", [things, symbols, dimension_texts])
def test_no_text_of_a_crowded_plan_covers_what_is_drawn(taken: Callable[[], list[shapely.Polygon]]) -> None:
    assert overlaps(all_texts(), taken()) == 0


@pytest.mark.parametrize("name", ["leaf A", "leaf B", "open A", "open B", "property", "right of way"])
def test_no_text_of_a_crowded_plan_is_struck_by_a_heavy_line(name: str) -> None:
    assert overlaps(all_texts(), [shapely.LineString(LINES[name][0])]) == 0


def test_no_text_of_a_crowded_plan_reaches_beyond_the_view() -> None:
    half_width, half_height = WIDTH / 2 * RATIO, HEIGHT / 2 * RATIO

    assert shapely.contains(shapely.box(-half_width, -half_height, half_width, half_height), all_texts()).all()


def test_leaders_of_a_crowded_plan_do_not_cross() -> None:
    assert sum(one.intersects(other) for one, other in combinations(all_leaders(), 2)) == 0


def test_leaders_of_a_crowded_plan_run_through_no_text() -> None:
    assert overlaps(all_leaders(), all_texts()) == 0


def test_crowded_plan_has_no_troubles() -> None:
    assert crowded().troubles == ()


@pytest.mark.parametrize("seed", range(3))
def test_order_of_the_notes_does_not_matter(seed: int) -> None:
    shuffled = notes()
    random.Random(seed).shuffle(shuffled)

    assert place_notes(shuffled, scene_of(plan())) == crowded()


def test_place_of_the_site_in_the_world_does_not_matter() -> None:
    def moved(part: Note) -> Note:
        return replace(part, anchor=tuple((x + 4096.0, y - 8192.0) for x, y in part.anchor))

    simple = [notes()[0], notes()[-1]]
    here = View(
        number="1", title="", scale_text="", centre=(0.0, 0.0), ratio=RATIO, frame=(0, 0, WIDTH, HEIGHT), model=()
    )
    there = replace(here, centre=(4096.0, -8192.0))

    costs = [
        [placed.cost for placed in place_notes(each, scene_of(view)).placed]
        for each, view in ((simple, here), (list(map(moved, simple)), there))
    ]
    assert costs[0] == pytest.approx(costs[1])


def test_making_room_lowers_the_cost_of_a_crowded_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    tight = replace(plan(), frame=(0.0, 0.0, 160.0, 130.0))
    with_room = sum(placed.cost for placed in place_notes(notes(), scene_of(tight)).placed)

    monkeypatch.setattr(label_placement, "MOST_TRIED", 0)

    assert with_room < sum(placed.cost for placed in place_notes(notes(), scene_of(tight)).placed)


POINT = Note(id="pin", lines=("PIN",), kind="symbol", anchor=((0.0, 0.0),))


def blank(width: float = WIDTH, *model: Primitive) -> View:
    return View(
        number="1", title="", scale_text="", centre=(0.0, 0.0), ratio=RATIO, frame=(0, 0, width, width), model=model
    )


def test_note_without_room_is_placed_all_the_same() -> None:
    assert len(place_notes([POINT], scene_of(blank(4.0))).primitives) > 0


def test_note_without_room_is_a_trouble() -> None:
    assert place_notes([POINT], scene_of(blank(4.0))).troubles == ("Note pin has no free place.",)


def test_one_note_too_many_for_a_narrow_view_is_a_trouble() -> None:
    # Left and right of their common place there is room for one text each.
    narrow = replace(blank(), frame=(0.0, 0.0, 24.0, 5.5))
    crowd = [replace(POINT, id=name) for name in ("first", "second", "third")]

    assert len(place_notes(crowd, scene_of(narrow)).troubles) > 0


def test_two_notes_of_one_id_are_refused() -> None:
    with pytest.raises(SheetError, match="Note pin: two notes have this id"):
        place_notes([POINT, POINT], scene_of(blank()))


def test_no_notes_need_no_place() -> None:
    assert place_notes([], scene_of(blank())) == Placement(())


def test_note_beside_its_symbol_has_no_leader() -> None:
    (part,) = place_notes([POINT], scene_of(blank())).primitives

    assert isinstance(part, Label)


def test_note_beside_its_symbol_starts_one_mm_from_it() -> None:
    (part,) = place_notes([replace(POINT, half_size_mm=2.0)], scene_of(blank())).primitives

    assert isinstance(part, Label)
    assert part.at == pytest.approx((3 * RATIO, -1.2 * RATIO))


def test_lines_of_a_note_stand_3_8_apart() -> None:
    upper, lower = place_notes([replace(POINT, lines=("ONE", "TWO"))], scene_of(blank())).primitives

    assert isinstance(upper, Label)
    assert isinstance(lower, Label)
    assert upper.at[1] - lower.at[1] == pytest.approx(3.8 * RATIO)


def solid_note() -> Placed:
    ring = ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0))
    return place_notes([replace(POINT, kind="solid", anchor=ring)], scene_of(blank())).placed[0]


def test_note_on_a_solid_thing_has_a_leader_and_a_dot_of_the_pen_of_dimensions() -> None:
    pens = [(type(part), part.pen) for part in solid_note().primitives]

    assert pens[1:3] == [(Stroke, Pen.DIMENSION), (Circle, Pen.DIMENSION)]


def test_dot_of_a_leader_is_0_35_on_paper() -> None:
    dot = next(part for part in solid_note().primitives if isinstance(part, Circle))

    assert dot.radius == pytest.approx(0.35 * RATIO)


def test_text_ends_0_8_from_the_shoulder_of_its_leader() -> None:
    label, leader = solid_note().primitives[:2]

    assert isinstance(label, Label)
    assert isinstance(leader, Stroke)
    end = leader.points[-1]
    assert hypot(label.at[0] - end[0], label.at[1] + 1.2 * RATIO - end[1]) == pytest.approx(0.8 * RATIO)


def test_parts_carry_the_source_of_the_thing() -> None:
    placed = place_notes([replace(POINT, source="hinge-a")], scene_of(blank())).primitives

    assert {part.source for part in placed} == {"hinge-a"}


def test_note_goes_round_a_wall() -> None:
    wall = Stroke(points=rectangle(0.1, -2, 3, 4), pen=Pen.WALL_NEW, closed=True)

    (part,) = place_notes([POINT], scene_of(blank(WIDTH, wall))).primitives

    assert isinstance(part, Label)
    assert not text_area(part).intersects(shapely.Polygon(wall.points))


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.floats(-4000, 4000), st.floats(-4000, 4000)), min_size=2, max_size=7))
def test_texts_overlap_only_where_that_is_told(places: list[Point]) -> None:
    crowd = [replace(POINT, id=str(row), anchor=(at,)) for row, at in enumerate(places)]

    placement = place_notes(crowd, scene_of(blank()))

    texts = [text for placed in placement.placed if placed.has_free_place for text in texts_of(placed)]
    assert not any(one.intersects(other) for one, other in combinations(texts, 2))


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.floats(-9000, 9000), st.floats(-9000, 9000)), min_size=1, max_size=7))
def test_no_note_is_ever_left_out(places: list[Point]) -> None:
    crowd = [replace(POINT, id=str(row), anchor=(at,)) for row, at in enumerate(places)]

    assert len(place_notes(crowd, scene_of(blank(60.0))).placed) == len(places)
