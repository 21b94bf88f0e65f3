from math import degrees, pi

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from siteplan.drawing.label_candidates import Candidates, Note, anchor_of, box_half, candidates_of
from siteplan.drawing.label_scene import Scene, scene_of
from siteplan.drawing.primitives import Ring, View
from siteplan.drawing.text_size import text_width_mm
from siteplan.errors import SheetError

VIEW = View(number="1", title="", scale_text="", centre=(0.0, 0.0), ratio=1.0, frame=(0.0, 0.0, 200.0, 160.0), model=())
SCENE: Scene = scene_of(VIEW)
SIGN = Note(id="sign", lines=("SIGN",), kind="symbol", anchor=((10.0, 20.0),), half_size_mm=2.0)
KERB = Note(id="kerb", lines=("KERB",), kind="line", anchor=((-30.0, 0.0), (30.0, 0.0)))
DRIVE: Ring = ((-40.0, -30.0), (40.0, -30.0), (40.0, 30.0), (-40.0, 30.0))
LAWN = Note(id="lawn", lines=("LAWN",), kind="area", anchor=DRIVE)
PAD = Note(id="pad", lines=("PAD",), kind="solid", anchor=((0.0, 0.0), (12.0, 0.0), (12.0, 10.0), (0.0, 10.0)))


def places(note: Note, scene: Scene = SCENE) -> Candidates:
    return candidates_of([note], scene)


def beside(note: Note) -> Candidates:
    """Return the places without a leader."""
    found = places(note)
    return found.kept(~found.has_leader)


def led(note: Note) -> Candidates:
    """Return the places with a leader."""
    found = places(note)
    return found.kept(found.has_leader)


def test_box_is_the_widest_line_with_room_for_another_font() -> None:
    note = Note(id="a", lines=("PAD", "CONCRETE PAD"), kind="symbol", anchor=((0.0, 0.0),))

    assert box_half(note) == pytest.approx((1.15 * text_width_mm("CONCRETE PAD", 2.4) / 2, (2.4 + 3.8) / 2))


def test_first_place_of_a_symbol_is_one_mm_to_the_right_of_it() -> None:
    found = beside(SIGN)

    assert (found.middle[0] - found.half[0] * (1, 0)).tolist() == pytest.approx([10 + 2 + 1, 20])


def test_second_place_of_a_symbol_is_at_its_upper_right() -> None:
    found = beside(SIGN)

    assert (found.middle[1] - found.half[1]).tolist() == pytest.approx([10 + 0.7 * 3, 20 + 0.7 * 3])


def test_places_beside_a_symbol_cost_a_quarter_more_each() -> None:
    assert beside(SIGN).preference.tolist() == [0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75]


def test_text_beside_a_symbol_is_aligned_towards_it() -> None:
    assert beside(SIGN).align.tolist() == [-1, -1, -1, 1, 1, 1, 0, 0]


def test_first_place_of_a_line_is_one_mm_above_its_middle() -> None:
    assert beside(KERB).middle[0].tolist() == pytest.approx([0.0, 1.0 + 1.2])


def test_places_along_a_line_stay_within_it() -> None:
    found = beside(KERB)

    assert (np.abs(found.middle[:, 0]) + found.half[:, 0]).max() <= 30.0


def test_places_along_a_line_are_4_apart() -> None:
    assert np.unique(np.diff(np.unique(beside(KERB).middle[:, 0]))).tolist() == [4.0]


def test_place_below_a_line_costs_half_a_point_more() -> None:
    found = beside(KERB)
    below = found.middle[:, 1] < 0

    assert found.preference[below].min() == 0.5


@pytest.mark.parametrize("end", [(0.0, 50.0), (0.0, -50.0)])
def test_text_along_an_upright_line_reads_from_the_right_edge(end: tuple[float, float]) -> None:
    note = Note(id="a", lines=("KERB",), kind="line", anchor=((0.0, 0.0), end))

    assert degrees(beside(note).turn_rad[0]) == pytest.approx(90)


def test_line_too_short_for_its_text_has_leaders_only() -> None:
    note = Note(id="a", lines=("A LONG WORD",), kind="line", anchor=((0.0, 0.0), (5.0, 0.0)))

    assert len(beside(note).note) == 0


def test_pieces_of_a_straight_line_are_one() -> None:
    note = Note(id="a", lines=("KERB",), kind="line", anchor=((-30.0, 0.0), (-1.0, 0.0), (30.0, 0.0)))

    assert len(beside(note).note) == len(beside(KERB).note)


def test_leaders_of_a_line_start_at_five_places_of_its_length() -> None:
    assert sorted(set(led(KERB).leader[:, 0, 0].round(9).tolist())) == [-24.0, -15.0, 0.0, 15.0, 24.0]


def test_leader_of_a_line_beyond_the_view_starts_at_what_is_seen_of_it() -> None:
    note = Note(id="a", lines=("KERB",), kind="line", anchor=((0.0, 0.0), (1000.0, 0.0)))

    assert led(note).leader[0, 0].tolist() == pytest.approx([50.0, 0.0])


def test_leaders_have_24_directions_none_level_and_none_upright() -> None:
    ray = led(PAD).leader[:, 1] - led(PAD).leader[:, 0]

    directions = np.unique(np.degrees(np.arctan2(ray[:, 1], ray[:, 0])).round(6) % 360)
    assert directions.tolist() == pytest.approx([7.5 + 15 * step for step in range(24)])


def test_shoulder_is_level_and_2_5_long() -> None:
    shoulder = led(PAD).leader[:, 2] - led(PAD).leader[:, 1]

    assert np.abs(shoulder).tolist() == [pytest.approx([2.5, 0.0])] * len(shoulder)


def test_text_starts_0_8_beyond_the_shoulder() -> None:
    found = led(PAD)

    edge = found.middle[:, 0] + found.align * found.half[:, 0]
    assert np.abs(edge - found.leader[:, 2, 0]).tolist() == pytest.approx([0.8] * len(edge))


def test_shoulder_meets_the_middle_of_the_first_line() -> None:
    found = led(Note(id="a", lines=("ONE", "TWO"), kind="solid", anchor=PAD.anchor))

    first_line = found.middle[:, 1] + found.half[:, 1] - 1.2
    assert first_line.tolist() == pytest.approx(found.leader[:, 2, 1].tolist())


def test_leader_costs_12_and_half_a_point_a_mm() -> None:
    # Own rule; the shortest: 7 to the knee and a shoulder of 2.5, at an angle that is no worse than another.
    point = Note(id="a", lines=("PIN",), kind="symbol", anchor=((0.0, 0.0),))

    assert led(point).preference.min() == pytest.approx(12 + 0.5 * 9.5)


def test_leader_near_level_or_upright_costs_4_more() -> None:
    found = led(Note(id="a", lines=("PIN",), kind="symbol", anchor=((0.0, 0.0),)))

    assert found.preference[:2].tolist() == pytest.approx([12 + 0.5 * 9.5 + 4, 12 + 0.5 * 9.5])


def test_leader_of_a_symbol_starts_at_its_edge() -> None:
    start = led(SIGN).leader[:, 0] - (10.0, 20.0)

    assert np.hypot(start[:, 0], start[:, 1]).tolist() == pytest.approx([2.4] * len(start))


def test_leader_of_a_solid_thing_starts_in_it() -> None:
    starts = shapely.points(led(PAD).leader[:, 0])

    assert shapely.contains(shapely.Polygon(PAD.anchor), starts).all()


def test_leader_costs_more_over_its_own_thing() -> None:
    towards_upper_right = led(PAD).kept(np.arange(len(led(PAD).note)) % (24 * 7) == 2)

    cheapest = towards_upper_right.preference.argmin()
    assert towards_upper_right.leader[cheapest, 0].tolist() == pytest.approx([10.5, 8.75])


def test_words_of_an_area_stand_in_it() -> None:
    assert shapely.contains(shapely.Polygon(DRIVE), places(LAWN).boxes()).all()


def test_first_words_of_an_area_stand_in_its_middle_at_no_cost() -> None:
    found = places(LAWN)

    assert found.middle[found.preference == 0].tolist() == [[0.0, 0.0]]


def test_area_too_small_for_its_words_has_leaders() -> None:
    note = Note(id="a", lines=("LAWN",), kind="area", anchor=((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0)))

    assert places(note).has_leader.all()


def test_anchor_beyond_the_view_is_kept_whole() -> None:
    note = Note(id="a", lines=("FAR",), kind="line", anchor=((500.0, 0.0), (600.0, 0.0)))

    assert anchor_of(note, SCENE).length == pytest.approx(100)


def test_note_of_several_lines_keeps_its_rows_apart() -> None:
    assert candidates_of([SIGN, PAD], SCENE).note[[0, -1]].tolist() == [0, 1]


def test_boxes_are_turned_with_the_text() -> None:
    found = beside(Note(id="a", lines=("KERB",), kind="line", anchor=((0.0, 0.0), (0.0, 50.0))))

    left, bottom, right, top = found.boxes()[0].bounds
    assert (right - left, top - bottom) == pytest.approx((2.4, 2 * found.half[0, 0]))


def test_grown_box_is_larger_on_every_side() -> None:
    box, grown = beside(SIGN).boxes()[0].bounds, beside(SIGN).boxes(0.6)[0].bounds

    assert np.subtract(grown, box).tolist() == pytest.approx([-0.6, -0.6, 0.6, 0.6])


@pytest.mark.parametrize(("lines", "anchor"), [((), ((0.0, 0.0),)), (("X",), ())])
def test_note_without_words_or_place_is_refused(lines: tuple[str, ...], anchor: Ring) -> None:
    with pytest.raises(SheetError, match="Note a: it needs a line of text and a place"):
        anchor_of(Note(id="a", lines=lines, kind="line", anchor=anchor), SCENE)


def test_direction_of_the_text_follows_a_slanting_line() -> None:
    note = Note(id="a", lines=("KERB",), kind="line", anchor=((0.0, 0.0), (30.0, 30.0)))

    assert beside(note).turn_rad[0] == pytest.approx(pi / 4)


def test_leader_starts_at_a_symbol_drawn_off_its_place() -> None:
    found = led(replace(SIGN, off_mm=(0.0, -6.0)))

    assert shapely.distance(shapely.points(found.leader[:, 0]), shapely.Point(10.0, 14.0)).max() < 3.0
