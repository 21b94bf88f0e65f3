import numpy as np
import pytest

from siteplan.drawing.label_candidates import Candidates, Note, candidates_of
from siteplan.drawing.label_costs import CostsAlone, PairCosts, costs_alone
from siteplan.drawing.label_scene import Scene, scene_of
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import HatchArea, Label, Primitive, Ring, Stroke, View

PIN = Note(id="pin", lines=("PIN",), kind="symbol", anchor=((0.0, 0.0),))  # its first box starts at (1, -1.2)
EAST, NORTH_EAST = 0, 1  # rows of its places
STEEP = 8 + 4  # row of the leader at 67.5 degrees to a knee at 7
HIGH = 3.2  # mm: height of a box grown by 0.4


def scene(*model: Primitive, width: float = 200.0) -> Scene:
    frame = (0.0, 0.0, width, 160.0)
    return scene_of(View(number="1", title="", scale_text="", centre=(0.0, 0.0), ratio=1.0, frame=frame, model=model))


def costs(*model: Primitive, note: Note = PIN, others: tuple[Note, ...] = (), width: float = 200.0) -> CostsAlone:
    notes, around = (note, *others), scene(*model, width=width)
    return costs_alone(candidates_of(notes, around), notes, around)


def upright(x: float, pen: Pen, source: str = "") -> Stroke:
    return Stroke(points=((x, -50.0), (x, 50.0)), pen=pen, source=source)


def rectangle(left: float, bottom: float, right: float, top: float) -> Ring:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def pad(*sides: float, source: str = "") -> Stroke:
    return Stroke(points=rectangle(*sides), pen=Pen.PAD, closed=True, source=source)


def test_free_place_costs_its_preference() -> None:
    assert costs().all[:3].tolist() == [0.0, 0.25, 0.5]


def test_thin_line_through_a_box_costs_8_a_mm_of_the_box_grown_by_0_4() -> None:
    assert costs(upright(3.0, Pen.SWEEP)).all[EAST] == pytest.approx(8 * HIGH)


def test_heavy_line_through_a_box_costs_16_a_mm() -> None:
    assert costs(upright(3.0, Pen.LEAF_CLOSED)).all[EAST] == pytest.approx(16 * HIGH)


def test_line_in_the_corner_of_a_box_counts_as_one_mm() -> None:
    line = Stroke(points=((3.0, 1.5), (3.0, 30.0)), pen=Pen.SWEEP)

    assert costs(line).all[EAST] == pytest.approx(8)


def test_pieces_of_one_line_count_together() -> None:
    line = Stroke(points=((3.0, -50.0), (3.0, 0.0), (3.0, 0.5), (3.0, 50.0)), pen=Pen.SWEEP)

    assert costs(line).all[EAST] == pytest.approx(8 * HIGH)


def test_slanting_line_counts_by_its_length_inside() -> None:
    line = Stroke(points=((3.0 - 10, -10.0), (3.0 + 10, 10.0)), pen=Pen.SWEEP)

    assert costs(line).all[EAST] == pytest.approx(8 * HIGH * 2**0.5)


def test_line_beside_a_box_costs_nothing() -> None:
    assert costs(upright(0.5, Pen.SWEEP)).all[EAST] == 0


def test_box_at_the_edge_of_the_view_costs_1000_and_100_a_square_mm_outside() -> None:
    # The view ends at x = 4, its margin at x = 3; the box starts at x = 1.
    found = candidates_of([PIN], scene())
    outside = (2 * found.half[EAST, 0] - 2) * 2.4

    assert costs(width=8.0).all[EAST] == pytest.approx(1000 + 100 * outside)


def test_box_on_a_solid_thing_costs_300_and_100_a_square_mm() -> None:
    inside = rectangle(2.0, -0.5, 3.0, 0.5)

    hatch = HatchArea(rings=(inside,), pattern="zone", pen=Pen.PAD_HATCH)
    assert costs(hatch).all[EAST] == pytest.approx(300 + 100 * 1.0)


def test_outline_of_a_solid_thing_counts_besides() -> None:
    assert costs(pad(2.0, -0.5, 3.0, 0.5)).all[EAST] == pytest.approx(300 + 100 + 16 * 4)


def test_words_of_an_area_may_stand_on_its_own_hatch() -> None:
    ring = rectangle(-30, -30, 30, 30)
    note = Note(id="drive", lines=("DRIVE",), kind="area", anchor=ring, source="drive")

    hatch = HatchArea(rings=(ring,), pattern="paving", pen=Pen.PAD_HATCH, source="drive")
    assert costs(hatch, note=note).all.min() == 0


def test_box_within_1_8_of_a_text_costs_20_and_10_a_square_mm() -> None:
    # The text stands on y = 2.4: 0.6 of the box grown by 1.8, which ends at y = 3, and all of its width.
    text = Label(at=(2.0, 2.4), text="I", pen=Pen.DIMENSION)
    shared = 0.6 * scene(text).shapes[0].area / 2.4

    assert costs(text).all[EAST] == pytest.approx(20 + 10 * shared)


def test_box_beside_the_anchor_of_another_thing_costs_8() -> None:
    other = Note(id="other", lines=("OTHER",), kind="line", anchor=((-20.0, 3.0), (50.0, 3.0)))

    assert costs(others=(other,)).all[EAST] == pytest.approx(8)


def test_text_at_a_leader_is_not_misread() -> None:
    other = Note(id="other", lines=("OTHER",), kind="symbol", anchor=((6.0, 9.0),))

    assert costs(others=(other,)).all[STEEP] == costs().all[STEEP]


@pytest.mark.parametrize(("pen", "cost"), [(Pen.LEAF_OPEN, 5.0), (Pen.SWEEP, 2.0)])
def test_leader_across_a_line_costs_by_its_weight(pen: Pen, cost: float) -> None:
    line = Stroke(points=((-50.0, 3.0), (50.0, 3.0)), pen=pen)

    assert costs(line).all[STEEP] - costs().all[STEEP] == pytest.approx(cost)


def test_leader_may_cross_lines_at_its_anchor() -> None:
    line = Stroke(points=((-50.0, 0.5), (50.0, 0.5)), pen=Pen.SWEEP)

    assert costs(line).all[STEEP] == costs().all[STEEP]


def test_leader_through_a_foreign_thing_costs_60_beside_its_outline() -> None:
    assert costs(pad(0.0, 2.0, 4.0, 4.0)).hard[STEEP] == 60


def test_leader_may_leave_the_thing_under_its_anchor() -> None:
    assert costs(pad(-1.0, -1.0, 3.0, 3.0)).hard[STEEP] == 0


def test_leader_may_run_over_the_thing_it_explains() -> None:
    # The note has its place on one part of it, as on the inner line of a wall.
    note = Note(id="wall", lines=("WALL",), kind="line", anchor=((-1.0, 0.0), (1.0, 0.0)), source="wall")

    wall = pad(-0.5, -1.0, 0.5, 3.0, source="wall")
    assert costs(wall, note=note).hard[: 24 * 7].max() == 0


def test_leader_over_the_upper_of_two_things_costs_60() -> None:
    # The note is on the pad, and its leader starts in the drive that stands on it.
    note = Note(id="pad", lines=("PAD",), kind="solid", anchor=rectangle(-8, -8, 8, 8), source="pad")
    drive = Stroke(points=rectangle(-3, -3, 3, 3), pen=Pen.DRIVE, closed=True, source="drive")

    assert costs(pad(-8, -8, 8, 8, source="pad"), drive, note=note).hard[: 24 * 7].min() >= 60


def test_empty_plan_has_no_hard_costs() -> None:
    assert costs().hard[:8].max() == 0


def pair(first: tuple[float, float], second: tuple[float, float]) -> tuple[Candidates, PairCosts]:
    notes = [Note(id=str(row), lines=("PIN",), kind="symbol", anchor=(at,)) for row, at in enumerate((first, second))]
    candidates = candidates_of(notes, scene())
    return candidates, PairCosts(candidates)


def between(pairs: PairCosts, first: int, second: int) -> float:
    return float(pairs.between(np.array([first]), np.array([second]))[0, 0])


PLACES = 8 + 24 * 7  # of a symbol


def test_notes_far_apart_cost_nothing() -> None:
    _, pairs = pair((0.0, 0.0), (0.0, 20.0))

    assert between(pairs, EAST, PLACES + EAST) == 0


def test_boxes_nearer_than_1_8_cost_300_and_100_a_square_mm_of_the_first_grown() -> None:
    # One box above the other, 1 apart: 0.8 of the grown box and all of the width are shared.
    candidates, pairs = pair((0.0, 0.0), (0.0, 3.4))

    shared = 0.8 * 2 * candidates.half[0, 0]
    assert between(pairs, EAST, PLACES + EAST) == pytest.approx(300 + 100 * shared)


def test_leader_through_the_box_of_another_note_costs_120() -> None:
    _, pairs = pair((0.0, 0.0), (0.0, 3.5))
    to_14 = STEEP + 2 * 24

    assert between(pairs, to_14, PLACES + EAST) == 120


def test_leaders_that_cross_cost_60() -> None:
    _, pairs = pair((0.0, 0.0), (6.0, 0.0))
    steep_right, steep_left = STEEP + 2 * 24, PLACES + 8 + 2 * 24 + 7

    assert between(pairs, steep_right, steep_left) == 60


def test_leaders_side_by_side_cost_10() -> None:
    # The one runs to 14 and ends above the other, which turns off at 7.
    _, pairs = pair((0.0, 0.0), (0.7, 0.0))
    long, short = STEEP + 4 * 24, PLACES + STEEP

    assert between(pairs, long, short) == 10


@pytest.mark.parametrize("seed", range(5))
def test_cost_of_a_pair_is_the_same_both_ways(seed: int) -> None:
    _, pairs = pair((0.0, 0.0), (6.0, 3.0))
    rows = np.random.default_rng(seed).integers(0, PLACES, 40)

    there, back = pairs.between(rows, rows + PLACES), pairs.between(rows + PLACES, rows)
    assert there.tolist() == back.T.tolist()
