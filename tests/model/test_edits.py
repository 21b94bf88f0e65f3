from collections.abc import Callable
from math import pi
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.errors import ModelError
from siteplan.model.document import Document, find_record, records_of
from siteplan.model.edits import (
    added,
    basis_of,
    flipped,
    free_id,
    mirrored,
    moved,
    names_swapped,
    removed,
    renamed,
    taken_along,
    with_choice,
    with_leaf_tip,
    with_number_typed,
    with_record,
)
from siteplan.model.fields import has_path, number_at, number_fields
from siteplan.model.gate import Post
from siteplan.model.history import History
from siteplan.model.marks import Mark
from siteplan.model.parts import find_part, key_of, parts_of
from siteplan.model.placing import closed_direction_rad, turn_side
from siteplan.model.project import Project
from siteplan.model.sanity import check_document
from siteplan.model.site import PlaneGround, Round
from tests.model.sample_sites import courtyard, documents, unhurried

SITE = courtyard()


def mark_of(document: Document, id: str, field: str) -> Mark | None:
    return next((mark for mark in document.marks if (mark.of, mark.field) == (id, field)), None)


def longer_leaf() -> Document:
    return with_record(SITE, replace(SITE.leaves[0], length_mm=2500.0))


# with_record


def test_with_record_shares_all_other_records() -> None:
    assert longer_leaf().leaves[1] is SITE.leaves[1]


def test_with_record_shares_collections_it_does_not_touch() -> None:
    assert longer_leaf().edges is SITE.edges


def test_with_the_same_record_is_the_very_document() -> None:
    assert with_record(SITE, replace(SITE.leaves[0])) is SITE


def test_with_record_makes_the_mark_of_a_changed_number_a_guess() -> None:
    assert mark_of(longer_leaf(), "A", "length_mm") == Mark(of="A", field="length_mm", basis="guess")


def test_with_record_keeps_the_marks_of_other_numbers() -> None:
    assert mark_of(longer_leaf(), "A", "weight_kg") == mark_of(SITE, "A", "weight_kg")


def test_with_record_keeps_the_very_marks_when_no_number_changes() -> None:
    assert with_record(SITE, replace(SITE.leaves[0], note="heavy")).marks is SITE.marks


def test_with_record_drops_the_mark_of_a_number_that_is_gone() -> None:
    assert mark_of(with_record(SITE, replace(SITE.leaves[0], weight_kg=None)), "A", "weight_kg") is None


def test_with_record_drops_marks_of_places_that_are_gone() -> None:
    assert mark_of(with_record(SITE, PlaneGround()), "ground", "shots.1.height_mm") is None


def test_a_changed_number_is_a_guess_even_where_numbers_are_taped_by_default() -> None:
    taped = replace(SITE, untagged="taped")

    assert basis_of(with_record(taped, replace(SITE.leaves[1], length_mm=1300.0)), "B", "length_mm") == "guess"


def test_an_unchanged_number_stays_taped_by_default() -> None:
    taped = replace(SITE, untagged="taped")

    assert basis_of(with_record(taped, replace(SITE.leaves[1], length_mm=1300.0)), "B", "thickness_mm") == "taped"


def test_ground_may_be_new() -> None:
    assert with_record(replace(SITE, ground=None), PlaneGround(x_grade=0.1)).ground == PlaneGround(x_grade=0.1)


def test_project_data_are_swapped_like_a_record() -> None:
    assert with_record(SITE, Project(title="Other")).project.title == "Other"


def test_a_local_limit_is_swapped_by_its_row() -> None:
    assert with_record(SITE, replace(SITE.local[0], margin_mm=76.2)).local[0].margin_mm == 76.2


def test_with_record_of_an_unknown_id_is_refused() -> None:
    with pytest.raises(ModelError, match="There is no 'Z' on this site"):
        with_record(SITE, replace(SITE.leaves[0], id="Z"))


def test_with_record_of_another_kind_is_refused() -> None:
    with pytest.raises(ModelError, match="Post A: the id 'A' belongs to Leaf A"):
        with_record(SITE, Post(id="A", at=(0.0, 0.0)))


def test_a_block_may_become_round() -> None:
    assert with_record(SITE, Round(id="K1", what="pole", at=(0.0, 0.0), radius_mm=50.0)).obstacles[0].what == "pole"


# with_number_typed


def test_a_typed_number_and_its_mark_change_together() -> None:
    site = with_number_typed(SITE, "B", "length_mm", 1219.2, "taped", "4'")

    assert (find_part(site, "B"), mark_of(site, "B", "length_mm")) == (
        replace(SITE.leaves[1], length_mm=1219.2),
        Mark(of="B", field="length_mm", basis="taped", text="4'"),
    )


def test_typing_the_same_number_and_tag_is_the_very_document() -> None:
    assert with_number_typed(SITE, "A", "length_mm", 2438.4, "taped", "8'") is SITE


def test_a_new_tag_alone_shares_the_record() -> None:
    site = with_number_typed(SITE, "A", "length_mm", 2438.4, "told", "8'", "owner")

    assert site.leaves is SITE.leaves


def test_a_new_tag_takes_the_place_of_the_old_one() -> None:
    site = with_number_typed(SITE, "A", "length_mm", 2438.4, "told", "8'", "owner")

    assert basis_of(site, "A", "length_mm") == "told"


def test_clearing_a_number_clears_its_mark() -> None:
    assert mark_of(with_number_typed(SITE, "A", "weight_kg", None, None), "A", "weight_kg") is None


def test_a_number_of_the_ground_is_typed_like_any_other() -> None:
    site = with_number_typed(SITE, "ground", "shots.0.height_mm", 12.7, "taped", '1/2"')

    assert number_at(find_part(site, "ground") or SITE, "shots.0.height_mm") == 12.7


def test_a_number_typed_into_nothing_is_refused() -> None:
    with pytest.raises(ModelError, match="There is no 'Z' on this site"):
        with_number_typed(SITE, "Z", "length_mm", 1.0, "taped")


# with_choice


def test_a_choice_changes_a_word() -> None:
    assert with_choice(SITE, "A", "state", "existing").leaves[0].state == "existing"


def test_a_choice_reaches_a_field_within_a_field() -> None:
    assert with_choice(SITE, "project", "use.fire_lane", True).project.use.fire_lane is True


def test_the_same_choice_is_the_very_document() -> None:
    assert with_choice(SITE, "A", "state", "new") is SITE


def test_a_word_that_is_no_choice_is_refused() -> None:
    with pytest.raises(ModelError, match="Leaf A: swings must be in or out, not 'up'"):
        with_choice(SITE, "A", "swings", "up")


# moved


def test_a_post_moves_with_its_hinge_axis() -> None:
    post = moved(SITE, ["PA"], 10.0, 20.0).posts[0]

    assert (post.at, post.hinge) == ((-90.0, 20.0), (10.0, 70.8))


def test_a_pad_moves_its_drive() -> None:
    assert moved(SITE, ["D1"], 10.0, 0.0).drives[0].shaft == (-599.6, 660.4)


def test_a_pad_and_its_drive_picked_together_move_once() -> None:
    assert moved(SITE, ["D1", "M1"], 10.0, 0.0).drives[0].shaft == (-599.6, 660.4)


def test_a_wall_moves_as_a_whole() -> None:
    assert moved(SITE, ["F1"], 1.0, 2.0).edges[1].line == ((4001.0, 2.0), (9001.0, 2.0))


def test_a_moved_number_becomes_a_guess() -> None:
    assert basis_of(moved(SITE, ["PA"], 10.0, 0.0), "PA", "at.0") == "guess"


def test_a_number_across_the_move_keeps_its_mark() -> None:
    assert basis_of(moved(SITE, ["PA"], 10.0, 0.0), "PA", "at.1") == "taped"


@pytest.mark.parametrize(("ids", "dx_mm"), [(["PA"], 0.0), (["A"], 5.0), ([], 5.0)])
def test_a_move_of_nothing_is_the_very_document(ids: list[str], dx_mm: float) -> None:
    assert moved(SITE, ids, dx_mm, 0.0) is SITE


def test_a_move_of_an_unknown_id_is_refused() -> None:
    with pytest.raises(ModelError, match="There is no 'Z'"):
        moved(SITE, ["Z"], 1.0, 0.0)


# with_leaf_tip


def test_a_leaf_reaches_the_foot_of_its_tip_on_the_closed_line() -> None:
    site = with_leaf_tip(SITE, "B", (3000.0, 900.0))

    assert site.leaves[1].length_mm == pytest.approx(657.6)


def test_a_skewed_leaf_is_measured_along_its_own_line() -> None:
    straight = with_record(SITE, replace(SITE.leaves[0], skew_rad=pi / 6))

    # own derivation: the projection of (1000, 0) on a direction 30 degrees off it
    assert with_leaf_tip(straight, "A", (1000.0, 50.8)).leaves[0].length_mm == pytest.approx(866.0254)


def test_a_tip_behind_the_hinge_is_refused() -> None:
    with pytest.raises(ModelError, match="Leaf B: length must be above 0"):
        with_leaf_tip(SITE, "B", (4000.0, 0.0))


# added, removed


def test_a_new_record_comes_last_of_its_kind() -> None:
    assert added(SITE, Post(id="PC", at=(1.0, 2.0))).posts[-1].id == "PC"


def test_a_new_record_is_guessed_where_numbers_are_taped_by_default() -> None:
    site = added(replace(SITE, untagged="taped"), Post(id="PC", at=(1.0, 2.0)))

    assert basis_of(site, "PC", "size_mm") == "guess"


@pytest.mark.parametrize(
    ("id", "message"),
    [
        ("", "An id must not be empty"),
        ("P C", "An id must be one word without blanks, not 'P C'"),
        ("A", "The id 'A' already belongs to Leaf A"),
        ("datum", "'datum' cannot be an id"),
    ],
)
def test_a_new_record_needs_an_id_of_its_own(id: str, message: str) -> None:
    with pytest.raises(ModelError, match=message):
        added(SITE, Post(id=id, at=(1.0, 2.0)))


def test_a_post_takes_its_leaf_their_gate_and_drive_along() -> None:
    assert taken_along(SITE, ["PA"]) == ("PA", "A", "G1", "M1")


def test_removing_a_post_leaves_nothing_that_hung_on_it() -> None:
    site = removed(SITE, ["PA"])

    assert [record.id for record in records_of(site) if record.id in ("PA", "A", "G1", "M1")] == []


def test_removing_a_record_removes_its_marks() -> None:
    assert {mark.of for mark in removed(SITE, ["PA"]).marks} == {"datum", "ground", "local C-40", "W1"}


def test_removing_a_pad_leaves_its_drive_standing_free() -> None:
    assert removed(SITE, ["D1"]).drives[0].pad == ""


def test_removing_a_latch_post_leaves_the_gate() -> None:
    gate = replace(SITE.gates[0], leaves=("B",), latch_post="PA")

    assert removed(replace(SITE, leaves=SITE.leaves[1:], drives=(), gates=(gate,)), ["PA"]).gates[0].latch_post == ""


def test_removing_the_ground_removes_its_marks() -> None:
    site = removed(SITE, ["ground"])

    assert (site.ground, [mark for mark in site.marks if mark.of == "ground"]) == (None, [])


def test_removing_nothing_is_the_very_document() -> None:
    assert removed(SITE, []) is SITE


def test_removing_ground_that_is_not_there_is_the_very_document() -> None:
    flat = replace(SITE, ground=None)

    assert removed(flat, ["ground"]) is flat


def test_removing_an_unknown_id_is_refused() -> None:
    with pytest.raises(ModelError, match="There is no 'Z'"):
        removed(SITE, ["Z"])


# flipped, mirrored


def test_flipping_the_hand_swaps_the_side_of_the_hinges() -> None:
    assert flipped(SITE, "A", "hand").leaves[0].hinges == "right"


def test_flipping_the_side_lets_the_leaf_swing_out() -> None:
    assert flipped(SITE, "A", "side").leaves[0].swings == "out"


@pytest.mark.parametrize("what", ["hand", "side"])
def test_flipping_twice_is_as_before(what: Literal["hand", "side"]) -> None:
    assert flipped(flipped(SITE, "A", what), "A", what) == SITE


def test_a_mirrored_site_swaps_right_and_left() -> None:
    site = mirrored(SITE)

    assert (site.leaves[0].hinges, site.posts[1].at, site.gates[0].leaves, site.edges[1].thickness_lies) == (
        "right",
        (-3757.6, 0.0),
        ("B", "A"),
        "right",
    )


def test_a_mirrored_site_turns_its_leaves_the_other_way() -> None:
    assert turn_side(mirrored(SITE).leaves[0]) == -turn_side(SITE.leaves[0])


def test_a_mirrored_leaf_closes_in_the_mirrored_direction() -> None:
    assert closed_direction_rad(mirrored(SITE).leaves[0]) == pytest.approx(pi - closed_direction_rad(SITE.leaves[0]))


def test_a_mirrored_plane_falls_the_other_way() -> None:
    site = mirrored(replace(SITE, ground=PlaneGround(x_grade=0.1, y_grade=0.2), marks=()))

    assert site.ground == PlaneGround(x_grade=-0.1, y_grade=0.2)


def test_a_mirrored_number_keeps_its_basis_and_loses_its_text() -> None:
    typed = with_number_typed(SITE, "PA", "at.0", -101.6, "taped", '-4"')

    assert mark_of(mirrored(typed), "PA", "at.0") == Mark(of="PA", field="at.0", basis="taped")


@unhurried
@given(documents())
def test_mirrored_twice_is_as_before_but_for_the_rounding_of_north(document: Document) -> None:
    twice = mirrored(mirrored(document))

    assert replace(twice, datum=document.datum, marks=()) == replace(document, marks=())


# names


def test_a_new_name_is_followed_by_all_that_named_it() -> None:
    site = renamed(SITE, "A", "L1")

    assert (site.leaves[0].id, site.gates[0].leaves, site.drives[0].leaf) == ("L1", ("L1", "B"), "L1")


def test_a_new_name_takes_its_marks_along() -> None:
    assert basis_of(renamed(SITE, "A", "L1"), "L1", "length_mm") == "taped"


def test_a_name_in_use_is_refused() -> None:
    with pytest.raises(ModelError, match="The id 'B' already belongs to Leaf B"):
        renamed(SITE, "A", "B")


def test_the_same_name_is_the_very_document() -> None:
    assert renamed(SITE, "A", "A") is SITE


def test_swapped_names_are_followed_by_all_that_named_them() -> None:
    site = names_swapped(SITE, "PA", "PB")

    assert [leaf.post for leaf in site.leaves] == ["PB", "PA"]


def test_swapped_names_take_their_marks_along() -> None:
    assert mark_of(names_swapped(SITE, "PA", "PB"), "PB", "at.0") is not None


def test_names_swapped_twice_is_as_before() -> None:
    assert names_swapped(names_swapped(SITE, "PA", "B"), "PA", "B") == SITE


def test_a_free_id_counts_on_from_the_highest() -> None:
    assert free_id(SITE, "P") == "P3"


def test_the_first_free_id_ends_in_1() -> None:
    assert free_id(SITE, "X") == "X1"


def test_the_id_of_a_removed_record_is_not_free() -> None:
    assert free_id(removed(SITE, ["P2"]), "P") == "P3"


def test_the_old_name_of_a_renamed_record_is_not_free() -> None:
    assert free_id(renamed(SITE, "P2", "Q"), "P") == "P3"


# any sequence of edits

EDITS: list[Callable[[Document, str], Document]] = [
    lambda site, id: removed(site, [id]),
    lambda site, id: moved(site, [id], 12.5, -3.0),
    lambda site, id: renamed(site, id, free_id(site, "R")),
    lambda site, id: added(site, Round(id=free_id(site, "T"), what=id, at=(0.0, 0.0), radius_mm=1.0)),
    lambda site, id: with_number_typed(site, *first_number(site, id), "taped", "1 mm"),
    lambda site, id: with_choice(site, id, "note", "seen"),
    lambda site, id: mirrored(site),
]

steps = st.lists(st.tuples(st.sampled_from(EDITS), st.integers(0, 99)), max_size=8)


def first_number(document: Document, id: str) -> tuple[str, str, float | None]:
    part = find_record(document, id) or document.project
    return next(((id, number.path, number.value) for number in number_fields(part)), ("datum", "north_rad", 1.0))


def edited(document: Document, edits: list[tuple[Callable[[Document, str], Document], int]]) -> History:
    history = History(document)
    for edit, number in edits:
        ids = [record.id for record in records_of(history.present)] or [""]
        if ids != [""]:
            history.commit("edit", edit(history.present, ids[number % len(ids)]))
    return history


def undone(history: History) -> History:
    while history.past:
        history.undo()
    return history


@unhurried
@given(documents(), steps)
def test_after_any_edits_the_document_is_one_a_site_can_have(
    document: Document, edits: list[tuple[Callable[[Document, str], Document], int]]
) -> None:
    check_document(edited(document, edits).present)


@unhurried
@given(documents(), steps)
def test_after_any_edits_every_mark_points_to_a_field_and_none_twice(
    document: Document, edits: list[tuple[Callable[[Document, str], Document], int]]
) -> None:
    site = edited(document, edits).present
    parts = {key_of(part): part for part in parts_of(site)}

    assert all(has_path(parts[mark.of], mark.field) for mark in site.marks)
    assert len({(mark.of, mark.field) for mark in site.marks}) == len(site.marks)


@unhurried
@given(documents(), steps)
def test_all_edits_undone_is_the_very_first_document(
    document: Document, edits: list[tuple[Callable[[Document, str], Document], int]]
) -> None:
    history = edited(document, edits)

    assert undone(history).present is document
