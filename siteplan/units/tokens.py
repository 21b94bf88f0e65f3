"""A clean text cut into numbers, marks and signs, and a cursor that walks over them."""

import re
from collections.abc import Iterator
from enum import Enum, auto
from typing import Final, NamedTuple

from siteplan.errors import EntryError
from siteplan.units.cleaning import CleanText
from siteplan.units.field_rule import FieldRule
from siteplan.units.numerals import PLAIN_NUMBER

EXAMPLES: Final = "12'-6 1/2\", 12.5 ft or 3.81 m"


class Kind(Enum):
    """What a token is."""

    NUMBER = auto()
    FOOT = auto()
    INCH = auto()
    METRIC = auto()  # m, cm, mm and yd: units that stand alone
    PLUS = auto()
    MINUS = auto()  # a hyphen or a minus: the grammar tells which
    TIMES = auto()
    SLASH = auto()
    OPEN = auto()
    CLOSE = auto()
    END = auto()


SIGNS: Final = {
    "'": Kind.FOOT, '"': Kind.INCH, "+": Kind.PLUS, "-": Kind.MINUS, "*": Kind.TIMES, "/": Kind.SLASH,
    "(": Kind.OPEN, ")": Kind.CLOSE,
}  # fmt: skip
WORDS: Final = {
    "ft": Kind.FOOT, "feet": Kind.FOOT, "foot": Kind.FOOT, "in": Kind.INCH, "inch": Kind.INCH, "inches": Kind.INCH,
    "m": Kind.METRIC, "cm": Kind.METRIC, "mm": Kind.METRIC, "yd": Kind.METRIC,
}  # fmt: skip
LEXEME: Final = re.compile(r"""(?P<number>[0-9.,]+)|(?P<word>(?:ft|in)\.|[a-z]+)|(?P<sign>['"+*/()-])|(?P<space>[ ])""")


class Token(NamedTuple):
    """One number, mark or sign; ``gap`` tells whether a space stands before it."""

    kind: Kind
    text: str
    start: int
    end: int
    gap: bool

    @property
    def is_whole(self) -> bool:
        """Whether this is a number of digits only: 12, but not 12. nor 12.0."""
        return self.kind is Kind.NUMBER and self.text.isdigit()


def cut(entry: CleanText) -> list[Token]:
    """Return the tokens of a text with an END behind them; raise EntryError for what no length contains."""
    return list(_cut(entry))


def _cut(entry: CleanText) -> Iterator[Token]:
    """Yield the tokens of a text."""
    place, gap, text = 0, False, entry.text
    while place < len(text):
        found = LEXEME.match(text, place)
        if found is None:
            raise entry.refusal(f"is not a length; write it like {EXAMPLES}", at=place)
        lexeme, start, place = found.group(), place, found.end()
        if found.lastgroup == "space":
            gap = True
            continue
        yield Token(_kind_of(entry, found), lexeme, start, place, gap)
        gap = False
    yield Token(Kind.END, "", place, place, gap=False)


def _kind_of(entry: CleanText, found: re.Match[str]) -> Kind:
    """Return the kind of a lexeme that is not a space."""
    lexeme = found.group()
    if found.lastgroup == "sign":
        return SIGNS[lexeme]
    if found.lastgroup == "number":
        if "," not in lexeme and not PLAIN_NUMBER.fullmatch(lexeme):
            raise entry.refusal(f"is not a length: {lexeme} is not a number", at=found.start())
        return Kind.NUMBER
    if lexeme.endswith(".") and entry.text[found.end() : found.end() + 1].isdigit():
        raise _dot_refusal(entry, found.end())
    kind = WORDS.get(lexeme.rstrip("."))
    if kind is None:
        raise entry.refusal(f"is not a length: {lexeme} is no unit; write it like {EXAMPLES}", at=found.start())
    return kind


def _dot_refusal(entry: CleanText, after: int) -> EntryError:
    """Refuse `12 ft.6`: 6 inches or 0.6 inch."""
    head, tail = entry.text[: after - 1], entry.text[after:]
    offers = (f"{head} {tail}", f"{head} .{tail}")
    return entry.refusal("has a point between unit and number that reads two ways", offers, after - 1)


class Cursor:
    """The tokens of one entry, taken from left to right."""

    def __init__(self, entry: CleanText, rule: FieldRule, tokens: list[Token]) -> None:
        self.entry = entry
        self.rule = rule
        self.index = 0
        self.doubts: list[str] = []  # sentences for which Enter must be pressed again
        self.offers: list[str] = []  # other readings that go with the doubts
        self.notes: list[str] = []
        self._tokens = tokens

    def peek(self, ahead: int = 0) -> Token:
        """Return the next token, or one behind it, without taking it."""
        return self._tokens[min(self.index + ahead, len(self._tokens) - 1)]

    def take(self) -> Token:
        """Return the next token and step over it."""
        token = self.peek()
        self.index += 1
        return token

    @property
    def end(self) -> int:
        """The place behind the last token taken."""
        return self._tokens[self.index - 1].end if self.index else 0

    def is_spaced(self, ahead: int = 0) -> bool:
        """Whether a sign has a space on both sides."""
        return self.peek(ahead).gap and self.peek(ahead + 1).gap

    def has_fraction(self, ahead: int = 0) -> bool:
        """Whether a tape fraction comes next: number, slash without spaces, and whatever stands below the line."""
        if self.peek(ahead).kind is not Kind.NUMBER or self.peek(ahead + 1).kind is not Kind.SLASH:
            return False
        slash, below = self.peek(ahead + 1), self.peek(ahead + 2)
        if slash.gap != below.gap:
            text = self.entry.text
            head, tail = text[: slash.start].rstrip(), text[slash.end :].lstrip()
            offers = (f"{head}/{tail}", f"{head} / {tail}")
            raise self.refusal("has a slash with a space on one side only: fraction or division", offers, slash.start)
        return not slash.gap

    def said(self, start: int) -> str:
        """Return the text from a place up to the last token taken."""
        return self.entry.text[start : self.end]

    def is_everything(self, start: int) -> bool:
        """Whether the text from a place up to the last token taken is all there is."""
        return start == 0 and self.peek().kind is Kind.END

    def rewritten(self, start: int, *spellings: str, end: int | None = None) -> tuple[str, ...]:
        """Return the whole text with one part written in other ways; without ``end``, up to the last token taken."""
        head, tail = self.entry.text[:start], self.entry.text[self.end if end is None else end :]
        return tuple(f"{head}{spelling}{tail}" for spelling in spellings)

    def refusal(self, reason: str, offers: tuple[str, ...] = (), at: int | None = None) -> EntryError:
        """Return the error of an entry that is not read; without ``at``, the place of the next token."""
        return self.entry.refusal(reason, offers, self.peek().start if at is None else at)
