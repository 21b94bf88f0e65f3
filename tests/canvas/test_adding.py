import pytest
from msgspec.structs import replace

from siteplan.canvas.adding import (
    pairable,
    with_block,
    with_control,
    with_edge,
    with_keep_clear,
    with_leaf,
    with_pad,
    with_post,
    with_round,
    with_second_leaf,
    with_sign,
)
from siteplan.model.document import Document, find_record
from siteplan.model.edits import basis_of
from siteplan.model.project import Project
from siteplan.model.sanity import check_document

EMPTY = Document(project=Project(title="new"))


def two_posts() -> Document:
    first = with_post(EMPTY, (0.0, 0.0)).document
    return with_post(first, (4000.0, 0.0)).document


def hung() -> Document:
    site = two_posts()
    return with_leaf(site, site.posts[0]).document


@pytest.mark.parametrize(
    "make", [with_post, with_block, with_round, with_keep_clear, with_pad, with_control, with_sign]
)
def test_new_record_is_there_under_its_id(make: object) -> None:
    document, id = make((EMPTY), (100.0, 200.0))  # type: ignore[operator]  # one of several functions of one shape

    assert find_record(document, id) is not None


def test_new_site_can_be_saved() -> None:
    check_document(hung())


def test_hinge_axis_of_the_second_post_faces_the_first() -> None:
    first, second = two_posts().posts

    assert (first.hinge, second.hinge) == ((152.4, 0.0), (4000.0 - 152.4, 0.0))


def test_new_leaf_closes_against_the_free_post() -> None:
    assert hung().gates[0].latch_post == "P2"


def test_new_leaf_leaves_a_gap_to_the_latch_post() -> None:
    assert hung().leaves[0].length_mm == pytest.approx(4000.0 - 152.4 - 76.2 - 50.8)


def test_leaf_on_the_right_post_has_its_hinges_right() -> None:
    site = two_posts()

    assert with_leaf(site, site.posts[1]).document.leaves[0].hinges == "right"


def test_leaf_without_another_post_has_a_usual_length() -> None:
    site = with_post(EMPTY, (0.0, 0.0)).document

    assert with_leaf(site, site.posts[0]).document.leaves[0].length_mm == 3048.0


def test_numbers_of_a_new_leaf_are_guesses() -> None:
    site = replace(two_posts(), untagged="taped")

    document, id = with_leaf(site, site.posts[0])

    assert basis_of(document, id, "length_mm") == "guess"


def test_first_leaf_is_called_a() -> None:
    assert hung().leaves[0].id == "A"


def test_second_leaf_makes_a_pair() -> None:
    site = hung()

    paired = with_second_leaf(site, site.posts[1], site.gates[0]).document

    assert (paired.gates[0].leaves, paired.gates[0].latch_post) == (("A", "B"), "")


def test_leaves_of_a_pair_that_had_no_room_are_halves() -> None:
    site = hung()

    paired = with_second_leaf(site, site.posts[1], site.gates[0]).document

    assert paired.leaves[0].length_mm == paired.leaves[1].length_mm == pytest.approx((4000 - 2 * 152.4 - 50.8) / 2)


def test_second_leaf_takes_the_room_the_first_leaves() -> None:
    site = hung()
    short = replace(site, leaves=(replace(site.leaves[0], length_mm=1200.0),))

    paired = with_second_leaf(short, short.posts[1], short.gates[0]).document

    assert paired.leaves[1].length_mm == pytest.approx(4000 - 2 * 152.4 - 50.8 - 1200.0)


def test_post_that_carries_a_leaf_makes_no_pair() -> None:
    site = hung()

    assert pairable(site, site.posts[0]) is None


def test_latch_post_makes_a_pair_of_its_gate() -> None:
    site = hung()

    assert pairable(site, site.posts[1]) is site.gates[0]


def test_new_wall_is_thick() -> None:
    assert with_edge("wall", EMPTY, (0.0, 0.0)).document.edges[0].thickness_mm > 0


def test_new_kerb_is_a_line() -> None:
    assert with_edge("kerb", EMPTY, (0.0, 0.0)).document.edges[0].thickness_mm == 0
