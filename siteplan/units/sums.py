"""Sums of lengths: plus, minus, times and divided by a plain number, brackets."""

import re
from typing import Final

from siteplan.units.cleaning import CleanText
from siteplan.units.field_rule import FieldRule
from siteplan.units.length_grammar import Amount, AmountKind, take_length
from siteplan.units.length_numbers import number_value
from siteplan.units.length_refusals import check_hyphen_before_fraction
from siteplan.units.tokens import EXAMPLES, Cursor, Kind, Token, cut

# 12-6, 12-6.5, 12-6-1/2, 12-6 1/2 and 12 6 1/2, whole entries only
UNMARKED_FEET: Final = re.compile(
    r"[+-]? ?([0-9]+)(?:-(?:[0-9]+\.?[0-9]*|\.[0-9]+)|-[0-9]+[- ][0-9]+/[0-9]+|[ ][0-9]+[ ][0-9]+/[0-9]+)"
)


def start_reading(entry: CleanText, rule: FieldRule) -> Cursor:
    """Return a cursor at the start of an entry; unmarked feet and inches get their foot mark, in inch-pound jobs."""
    tokens = cut(entry)
    unmarked = None if rule.is_metric else UNMARKED_FEET.fullmatch(entry.text)
    if unmarked:
        place = unmarked.end(1)
        behind = next(index for index, token in enumerate(tokens) if token.start >= place)
        tokens.insert(behind, Token(Kind.FOOT, "'", place, place, gap=False))
    return Cursor(entry, rule, tokens)


def take_all(cursor: Cursor) -> Amount:
    """Take a whole entry, one length or a sum; raise EntryError for whatever does not fit in."""
    total = _take_sum(cursor)
    left_over = cursor.peek()
    if left_over.kind is Kind.CLOSE:
        raise cursor.refusal("closes a bracket that is not open; write both or none")
    if left_over.kind is not Kind.END:
        raise cursor.refusal(f"is not a length: {left_over.text} does not fit there; write it like {EXAMPLES}")
    return total


def take_sign(cursor: Cursor) -> int:
    """Step over a sign in front; a minus only where the field is signed."""
    sign = cursor.peek()
    if sign.kind not in (Kind.PLUS, Kind.MINUS):
        return 1
    cursor.take()
    if cursor.peek().kind in (Kind.PLUS, Kind.MINUS):
        raise cursor.refusal("has two signs in a row; write one")
    if sign.kind is Kind.PLUS:
        return 1
    if not cursor.rule.signed:
        raise cursor.refusal('cannot be negative here; for the other side write "outside"', at=sign.start)
    return -1


def _take_sum(cursor: Cursor) -> Amount:
    """Take terms joined by plus and minus; a sign stands only in front of the whole entry."""
    start = cursor.peek().start
    sign = take_sign(cursor) if cursor.index == 0 else 1
    total = _take_product(cursor)
    if sign < 0:
        total = total._replace(value=-total.value)
    while cursor.peek().kind in (Kind.PLUS, Kind.MINUS):
        sign = 1 if cursor.peek().kind is Kind.PLUS else -1
        if sign < 0:
            _check_minus(cursor, total)
        cursor.take()
        if cursor.peek().kind in (Kind.PLUS, Kind.MINUS):
            raise cursor.refusal("has two signs in a row; write one")
        total = _add(cursor, start, total, sign, _take_product(cursor))
    return total


def _check_minus(cursor: Cursor, left: Amount) -> None:
    """Refuse a tight hyphen that has nothing to join and no finished term before it."""
    if left.is_finished:
        check_hyphen_before_fraction(cursor)
    elif not cursor.is_spaced():
        raise cursor.refusal("has a hyphen that fits no length; put a space on both sides of a minus")


def _add(cursor: Cursor, start: int, left: Amount, sign: int, right: Amount) -> Amount:
    """Return left plus or minus right; either both carry units or none does."""
    if (left.kind == "length") != (right.kind == "length"):
        bare = left if right.kind == "length" else right
        raise cursor.refusal(f"does not say the unit of {bare.said}; write it, like {bare.said} in")
    return Amount(left.value + sign * right.value, _kind_of(left, right), cursor.said(start), right.is_finished)


def _take_product(cursor: Cursor) -> Amount:
    """Take factors joined by times and divided by."""
    start = cursor.peek().start
    product = _take_factor(cursor)
    while cursor.peek().kind in (Kind.TIMES, Kind.SLASH):
        if cursor.take().kind is Kind.TIMES:
            product = _multiply(cursor, start, product, _take_factor(cursor))
        else:
            product = _divide(cursor, start, product)
    return product


def _take_factor(cursor: Cursor) -> Amount:
    """Take a length, or a sum in brackets."""
    if cursor.peek().kind is not Kind.OPEN:
        return take_length(cursor)
    bracket = cursor.take()
    inner = _take_sum(cursor)
    if cursor.peek().kind is not Kind.CLOSE:
        raise cursor.refusal("has a bracket that is not closed; write both or none", at=bracket.start)
    cursor.take()
    return Amount(inner.value, _kind_of(inner), cursor.said(bracket.start), is_finished=True)


def _multiply(cursor: Cursor, start: int, left: Amount, right: Amount) -> Amount:
    """Return the product of a length and one plain number."""
    if "number" not in (left.kind, right.kind):
        raise cursor.refusal("multiplies two lengths; one of them must be a plain number", at=start)
    return Amount(left.value * right.value, _kind_of(left, right), cursor.said(start), right.is_finished)


def _divide(cursor: Cursor, start: int, left: Amount) -> Amount:
    """Take the plain number below and return the quotient."""
    divisor = cursor.peek()
    if divisor.kind is not Kind.NUMBER or cursor.has_fraction():
        raise cursor.refusal("is divided by something else than one plain number")
    cursor.take()
    if cursor.peek().kind in (Kind.FOOT, Kind.INCH, Kind.METRIC):
        raise cursor.refusal("is divided by a length; divide by a plain number", at=divisor.start)
    value = number_value(cursor, divisor)
    if value == 0:
        raise cursor.refusal("is divided by zero; divide by a number above zero", at=divisor.start)
    return Amount(left.value / value, _kind_of(left), cursor.said(start), is_finished=False)


def _kind_of(*amounts: Amount) -> AmountKind:
    """Return the kind of what amounts give together; it is never again a plain number."""
    return "length" if any(amount.kind == "length" for amount in amounts) else "bare"
