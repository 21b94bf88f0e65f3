import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.errors import EntryError
from siteplan.units.tags import BASIS_WORDS, Basis, Tagged, join_tag, split_tag


@pytest.mark.parametrize(
    ("typed", "text", "basis", "by"),
    [
        ("~12'", "12'", "guess", ""),
        ("12'?", "12'", "guess", ""),
        ("~ 12' ?", "12'", "guess", ""),
        ("12' told owner", "12'", "told", "owner"),
        ("12' told by owner", "12'", "told", "owner"),
        ("12', told by the  owner ", "12'", "told", "the owner"),
        ("12' TOLD Owner", "12'", "told", "Owner"),
        ("12' told", "12'", "told", ""),
        ("12' told by", "12'", "told", ""),
        ("12' told owner?", "12'", "told", "owner?"),
        ("12' book hinge sheet 4", "12'", "book", "hinge sheet 4"),
        ("12' taped", "12'", "taped", ""),
        ("12' guess", "12'", "guess", ""),
        ("420 lb, worked", "420 lb", "worked", ""),
        ("12' Built", "12'", "built", ""),
        ("12'-6 1/2\"", "12'-6 1/2\"", None, ""),
        ("taped", "", "taped", ""),
        ("12'taped", "12'taped", None, ""),
        ("12' told owner, inside", "12' told owner, inside", None, ""),
        ("", "", None, ""),
    ],
)
def test_tag_is_split_from_the_text(typed: str, text: str, basis: Basis | None, by: str) -> None:
    assert split_tag(typed) == (text, basis, by)


@pytest.mark.parametrize("typed", ["~12' taped", "12' taped built", "12'? told owner", "12' told owner, book sheet 4"])
def test_two_tags_are_refused(typed: str) -> None:
    with pytest.raises(EntryError, match="two tags"):
        split_tag(typed)


@pytest.mark.parametrize(
    ("basis", "by", "joined"),
    [
        (None, "", "12'"),
        ("guess", "", "~12'"),
        ("taped", "", "12' taped"),
        ("told", "owner", "12' told owner"),
        ("told", "", "12' told"),
        ("book", "sheet 4", "12' book sheet 4"),
        ("worked", "", "12' worked"),
        ("built", "", "12' built"),
    ],
)
def test_tag_is_joined_to_the_text(basis: Basis | None, by: str, joined: str) -> None:
    assert join_tag("12'", basis, by) == joined


@pytest.mark.parametrize(
    ("text", "basis", "by"),
    [
        ("~12'", "guess", ""),
        ("12' taped", None, ""),
        ("12'", "told", "a, b"),
        ("12'", "told", "by owner"),
        ("12'", "taped", "me"),
    ],
)
def test_tag_that_would_not_come_back_is_refused(text: str, basis: Basis | None, by: str) -> None:
    with pytest.raises(EntryError):
        join_tag(text, basis, by)


texts = st.sampled_from(["12'-6 1/2\"", "3.81 m", "~", "1 250 ft", "level", "90°", "", " 12'", "12',"]) | st.text(
    max_size=12
)
sources = st.sampled_from(["", "owner", "the owner's son", "sheet 4"]) | st.text(max_size=12)


@given(texts, st.sampled_from([None, *BASIS_WORDS.values()]), sources)
def test_joined_tag_comes_back_or_is_refused(text: str, basis: Basis | None, by: str) -> None:
    try:
        joined = join_tag(text, basis, by)
    except EntryError:
        return

    assert split_tag(joined) == (text, basis, by)


@given(st.sampled_from(list(BASIS_WORDS.values())), st.integers(1, 999))
def test_plain_length_takes_every_tag(basis: Basis, feet: int) -> None:
    assert split_tag(join_tag(f"{feet}'", basis)) == (f"{feet}'", basis, "")


def tag_or_refusal(text: str) -> Tagged | EntryError:
    """Return what comes of a text."""
    try:
        return split_tag(text)
    except EntryError as refusal:
        return refusal


@given(st.text(max_size=60))
def test_any_text_is_split_or_refused(text: str) -> None:
    assert isinstance(tag_or_refusal(text), Tagged | EntryError)
