"""Where a typed value comes from: the tag before or behind it."""

import re
from typing import Final, Literal, NamedTuple

from siteplan.errors import EntryError

Basis = Literal["taped", "told", "guess", "book", "worked", "built"]

BASIS_WORDS: Final[dict[str, Basis]] = {
    "taped": "taped", "told": "told", "guess": "guess", "book": "book", "worked": "worked", "built": "built",
}  # fmt: skip
WITH_SOURCE: Final = re.compile(r"(.*?)(?:^|[\s,]+)(told|book)(?:\s+([^,]*))?", re.IGNORECASE | re.DOTALL)
ONE_WORD: Final = re.compile(r"(.*?)(?:^|[\s,]+)(taped|guess|worked|built)", re.IGNORECASE | re.DOTALL)
FRONT_MARKS: Final = "~～"
END_MARKS: Final = "?？"


class Tagged(NamedTuple):
    """A typed text without its tag; ``by`` is who told it, or which book."""

    text: str
    basis: Basis | None
    by: str = ""


def split_tag(text: str) -> Tagged:
    """Return a typed text and its tag apart; the basis is None for a text without a tag.

    A `~` in front or a `?` behind is a guess; `taped`, `guess`, `worked`, `built`, `told [by] WHO` and `book WHICH`
    stand behind, and the words of the last two run to the end. Raise EntryError for two different tags.
    """
    tagged = _take_tag(text.strip())
    if tagged.basis and _take_tag(tagged.text).basis:
        raise EntryError(f"Entry {text.strip()} has two tags; keep one.")
    return tagged


def join_tag(text: str, basis: Basis | None, by: str = "") -> str:
    """Return a text with its tag, from which `split_tag` gives both back: ~12', 12' told owner.

    Raise EntryError for a text that has a tag already and for a source that cannot stand behind one.
    """
    if basis is None:
        joined = text
    elif basis == "guess":
        joined = f"~{text}"
    else:
        joined = f"{text} {basis} {by}".strip()
    if split_tag(joined) != (text, basis, by):
        raise EntryError(f"Entry {text} cannot carry the tag {basis} {by}; give one tag, and a source without commas.")
    return joined


def _take_tag(text: str) -> Tagged:
    """Return a text and its outermost tag apart."""
    source = WITH_SOURCE.fullmatch(text)
    if source:
        words = (source[3] or "").split()
        if source[2].lower() == "told" and words and words[0].lower() == "by":
            words = words[1:]
        return Tagged(source[1].strip(), BASIS_WORDS[source[2].lower()], " ".join(words))
    word = ONE_WORD.fullmatch(text)
    if word:
        return Tagged(word[1].strip(), BASIS_WORDS[word[2].lower()])
    bare = text.lstrip(f"{FRONT_MARKS} ").rstrip(f"{END_MARKS} ")
    return Tagged(bare, None if bare == text else "guess")
