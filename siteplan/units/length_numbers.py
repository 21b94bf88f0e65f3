"""Single numbers of a length: decimal points, commas and tape fractions, all exact."""

from fractions import Fraction
from typing import Final, NamedTuple

from siteplan.errors import EntryError
from siteplan.units.field_rule import METRIC_UNITS
from siteplan.units.numerals import has_group, without_comma
from siteplan.units.tokens import Cursor, Kind, Token

TAPE_BOTTOMS: Final = (2, 4, 8, 16, 32, 64)


def number_value(cursor: Cursor, token: Token, unit: Token | None = None) -> Fraction:
    """Return the value of a number token; ``unit`` is the mark behind it, None for a bare number.

    A comma is a decimal mark only with a metric unit, typed or the field's own, and never before exactly three
    digits. Raise EntryError for every other comma, and for a bare point that the person's locale may read as a
    thousands mark.
    """
    if "," in token.text:
        return _comma_value(cursor, token, unit)
    if unit is None and cursor.rule.decimal_comma and has_group(token.text, "."):
        raise _two_readings(cursor, token, unit)
    return Fraction(token.text + "0" if token.text.endswith(".") else token.text)


def _comma_value(cursor: Cursor, token: Token, unit: Token | None) -> Fraction:
    """Return the value of a number with one decimal comma."""
    allowed = cursor.rule.reads_comma if unit is None else unit.text in METRIC_UNITS
    one_mark = token.text.count(",") == 1 and "." not in token.text and not token.text.endswith(",")
    if one_mark and allowed and not has_group(token.text, ","):
        return Fraction(token.text.replace(",", "."))
    if one_mark and allowed:
        raise _two_readings(cursor, token, unit)
    raise _comma_refusal(cursor, token)


def _comma_refusal(cursor: Cursor, token: Token) -> EntryError:
    """Refuse a comma where it is no decimal mark; offer the number without it and with a point."""
    offers = cursor.rewritten(token.start, *without_comma(token.text), end=token.end)
    return cursor.refusal("has a comma where none is a decimal mark", offers, token.start + token.text.index(","))


def _two_readings(cursor: Cursor, token: Token, unit: Token | None) -> EntryError:
    """Refuse a mark before exactly three digits; offer it as a point and as a thousands mark."""
    named = f" {cursor.rule.bare_unit}" if unit is None and cursor.rule.bare_unit else ""
    pointed = token.text.replace(",", ".") + named
    joined = token.text.replace(",", "").replace(".", "")
    offers = cursor.rewritten(token.start, pointed, joined, end=token.end)
    return cursor.refusal("reads two ways, as a decimal and with thousands", offers, token.start)


class TapeFraction(NamedTuple):
    """A fraction as a tape is read: a whole top over 2, 4, 8, 16, 32 or 64; it may be one or more."""

    top: Token
    bottom: int

    @property
    def value(self) -> Fraction:
        """The fraction as a number."""
        return Fraction(int(self.top.text), self.bottom)

    @property
    def said(self) -> str:
        """The fraction as typed."""
        return f"{self.top.text}/{self.bottom}"


def take_fraction(cursor: Cursor) -> TapeFraction:
    """Take top, slash and bottom; raise EntryError for a bottom that no tape has and for a second slash."""
    top, slash, bottom = cursor.take(), cursor.take(), cursor.take()
    if bottom.kind is not Kind.NUMBER:
        raise cursor.refusal("is not a length: no number stands below the line", at=slash.start)
    if not (top.is_whole and bottom.is_whole):
        raise cursor.refusal("has a fraction of decimal numbers; write whole numbers above and below", at=top.start)
    if int(bottom.text) == 0:
        raise cursor.refusal("has a zero below the line; a tape fraction is written like 1/2", at=slash.start)
    if int(bottom.text) not in TAPE_BOTTOMS:
        said = f"{top.text}/{bottom.text}"
        offers = cursor.rewritten(top.start, f"{top.text} / {bottom.text}")
        raise cursor.refusal(f"has the fraction {said}; tapes are read in 2nds to 64ths", offers, bottom.start)
    if cursor.peek().kind is Kind.SLASH and not cursor.is_spaced():
        raise cursor.refusal("is not a length: a fraction has one line")
    return TapeFraction(top, int(bottom.text))
