import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import ModelError
from siteplan.model.gate import Leaf, Post
from siteplan.model.parts import find_part, id_fault, key_of, leaf_at, listed, parts_of, record_at, the_only
from tests.model.sample_sites import courtyard


def test_every_part_is_found_by_its_key() -> None:
    site = courtyard()

    assert [find_part(site, key_of(part)) for part in parts_of(site)] == list(parts_of(site))


@pytest.mark.parametrize("key", ["project", "datum", "ground", "local C-40", "A"])
def test_parts_go_by_these_keys(key: str) -> None:
    assert find_part(courtyard(), key) is not None


def test_record_at_an_unknown_id_names_what_there_is() -> None:
    with pytest.raises(ModelError, match=r"There is no 'Z' on this site; there is P1, P2, W1, .* and 9 more"):
        record_at(courtyard(), "Z")


def test_leaf_at_the_id_of_a_post_names_the_leaves() -> None:
    with pytest.raises(ModelError, match="There is no leaf 'PA': the leaves are A and B"):
        leaf_at(courtyard(), "PA")


@pytest.mark.parametrize("id", ["A", "Post-1", "Tür", "W.1"])
def test_one_word_is_an_id(id: str) -> None:
    assert id_fault(id) is None


@pytest.mark.parametrize("id", ["", " ", "A 1", "A\n", "A\u00a0", "\ud800", "datum"])
def test_an_id_with_a_fault(id: str) -> None:
    assert id_fault(id)


@given(st.text())
def test_id_fault_takes_any_text(id: str) -> None:
    assert id_fault(id) is None or id_fault(id)


@pytest.mark.parametrize(
    ("names", "words"),
    [([], "none"), (["A"], "A"), (["A", "B"], "A and B"), (list("ABCDEFGHIJ"), "A, B, C, D, E, F, G, H and 2 more")],
)
def test_names_are_listed_in_words(names: list[str], words: str) -> None:
    assert listed(names) == words


@pytest.mark.parametrize(
    ("kind", "ids", "words"),
    [
        (Post, [], "there are no posts"),
        (Leaf, ["A"], "the only leaf is A"),
        (Leaf, ["A", "B"], "the leaves are A and B"),
    ],
)
def test_what_there_is_in_words(kind: type, ids: list[str], words: str) -> None:
    assert the_only(kind, ids) == words
