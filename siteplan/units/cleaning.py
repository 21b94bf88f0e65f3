"""Typed characters to the few that the grammars know, each with its place in the text as typed."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from siteplan.errors import EntryError

FULL_WIDTH = range(0xFF01, 0xFF5F)
FULL_WIDTH_SHIFT = 0xFF01 - ord("!")

# tab; no-break, figure, thin, narrow no-break and ideographic space
SPACES = "\t\u00a0\u2007\u2009\u202f\u3000"
APOSTROPHES = "\u2032\u2018\u2019`\u00b4"
DOUBLE_QUOTES = "\u2033\u201c\u201d"
DASHES = "\u2010\u2011\u2012\u2013\u2014\u2212"
SLASHES = "\u2044\u2215"
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

VULGAR_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5",
    "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "↉": "0/3",
}  # fmt: skip

EXPONENT = re.compile(r"[0-9.]e[+-]?[0-9]")
PIECE = re.compile(r"''| +|.", re.DOTALL)
DIGITS = "0123456789"
LONGEST_SHOWN = 40


def _plain_characters() -> dict[str, str]:
    """Map every look-alike to the character it stands for; one character to one character.

    General Unicode normalisation is not used: it would turn 12² into 122.
    """
    alike = {" ": SPACES, "'": APOSTROPHES, '"': DOUBLE_QUOTES, "-": DASHES, "/": SLASHES, "*": "\u00d7"}
    plain = {character: sign for sign, characters in alike.items() for character in characters}
    plain |= {capital: capital.lower() for capital in CAPITALS}
    narrow = {chr(code): chr(code - FULL_WIDTH_SHIFT) for code in FULL_WIDTH}
    return plain | {wide: plain.get(character, character) for wide, character in narrow.items()}


PLAIN = _plain_characters()


def named(noun: str, typed: str) -> str:
    """Return an entry as messages name it, like Length 12'; a long one is cut off."""
    shown = typed.strip()
    return f"{noun.capitalize()} {shown if len(shown) <= LONGEST_SHOWN else shown[:LONGEST_SHOWN] + '...'}"


class CleanText(NamedTuple):
    """A typed text in plain characters; ``places`` holds, for each of them, its place in the text as typed."""

    noun: str
    typed: str
    text: str
    places: tuple[int, ...]

    def refusal(self, reason: str, offers: tuple[str, ...] = (), at: int | None = None) -> EntryError:
        """Return the error of an entry that is not read; ``at`` is a place in the clean text."""
        place = None if at is None else (*self.places, len(self.typed))[at]
        return EntryError(f"{named(self.noun, self.typed)} {reason}.", offers, place)


def clean(typed: str, noun: str, longest: int) -> CleanText:
    """Return a typed text in plain characters, lower case, single spaces.

    ``noun`` is the word for the entry in messages. Raise EntryError for an empty text, one longer than ``longest``
    characters, a number with an exponent and digits other than 0-9.
    """
    shown = typed.strip()
    if not shown:
        raise EntryError(f"Nothing is typed where a {noun} is needed.", at=0)
    if len(shown) > longest:
        raise EntryError(
            f"This {noun} is too long: {len(shown)} characters, and at most {longest} are read.", at=longest
        )
    spelled = list(_spell_out(typed, noun))
    text = "".join(character for character, _ in spelled)
    pieces = [_join_piece(found.group(), spelled[found.start()][1]) for found in PIECE.finditer(text)]
    while pieces and pieces[0][0] == " ":
        pieces.pop(0)
    while pieces and pieces[-1][0] == " ":
        pieces.pop()
    entry = CleanText(noun, typed, "".join(piece for piece, _ in pieces), tuple(place for _, place in pieces))
    exponent = EXPONENT.search(entry.text)
    if exponent:
        raise entry.refusal("has an exponent; write the number in full", at=exponent.start())
    return entry


def _join_piece(piece: str, place: int) -> tuple[str, int]:
    """Return two apostrophes as one double quote and a run of spaces as one space."""
    if piece == "''":
        return '"', place
    return piece[0], place


def _spell_out(typed: str, noun: str) -> Iterator[tuple[str, int]]:
    """Yield plain characters, each with its place in the typed text; vulgar fractions become three or four."""
    before = ""
    for place, raw in enumerate(typed):
        character = PLAIN.get(raw, raw)
        spelled = VULGAR_FRACTIONS.get(character)
        if spelled is None:
            _check_digit(character, after=before, noun=noun, typed=typed, place=place)
            yield character, place
        else:
            if before in VULGAR_FRACTIONS or (before and before in DIGITS):
                yield " ", place
            for sign in spelled:
                yield sign, place
        before = character


def _check_digit(character: str, *, after: str, noun: str, typed: str, place: int) -> None:
    """Refuse digits of other scripts, and a digit that would run into the fraction before it."""
    thing = named(noun, typed)
    if character.isnumeric() and character not in DIGITS:
        raise EntryError(f"{thing} has the digit {character}; use the digits 0-9.", at=place)
    if character in DIGITS and after in VULGAR_FRACTIONS:
        raise EntryError(
            f"{thing} has a digit right after the fraction {after}; put a space or a mark between.", at=place
        )
