"""What is refused within one length, with the readings that are offered instead."""

from collections.abc import Callable
from fractions import Fraction
from typing import Final, NamedTuple

from siteplan.errors import EntryError
from siteplan.units.field_rule import INCHES, INCHES_PER_FOOT
from siteplan.units.length_numbers import TapeFraction
from siteplan.units.numerals import GROUP
from siteplan.units.tokens import EXAMPLES, Cursor, Kind, Token
from siteplan.units.writing import exact_decimal, exact_length


class Inches(NamedTuple):
    """Inches as typed: whole or decimal number, tape fraction, or both."""

    start: int
    whole: Token | None
    fraction: TapeFraction | None
    is_marked: bool
    value: Fraction

    def before(self, second: "Inches") -> tuple[str, ...]:
        """Return this number and the inches behind it as feet and inches, where they can be that."""
        if self.fraction or self.whole is None or not self.whole.is_whole or second.value >= INCHES_PER_FOOT:
            return ()
        return (exact_length(self.value * INCHES_PER_FOOT + second.value),)


STARTS_SOMETHING: Final = (Kind.NUMBER, Kind.FOOT, Kind.INCH, Kind.METRIC, Kind.OPEN)


def number_missing(cursor: Cursor) -> EntryError:
    """Refuse a mark or sign where a number must stand."""
    found = cursor.peek()
    if found.kind in (Kind.PLUS, Kind.MINUS) and cursor.index:
        return cursor.refusal("has two signs in a row; write one")
    where = f"before {found.text}" if found.text else "at its end"
    return cursor.refusal(f"is not a length: a number is missing {where}; write it like {EXAMPLES}")


def joined_or_minus(
    cursor: Cursor, start: int, alone: tuple[str, str], in_sum: tuple[str, str], hyphen: Token
) -> EntryError:
    """Refuse a hyphen that may join or subtract; offer both values, or both spellings within a longer sum."""
    spellings = alone if cursor.is_everything(start) else in_sum
    return cursor.refusal("reads two ways, joined or minus", cursor.rewritten(start, *spellings), hyphen.start)


def fraction_of_other_unit(cursor: Cursor, inches: Inches) -> EntryError:
    """Refuse `6 1/2 ft` and `1/2 m`: fractions are of inches only."""
    unit = cursor.peek()
    space = "" if unit.text == "'" else " "
    number = f"{exact_decimal(inches.value)}{space}{unit.text}"
    offers = cursor.rewritten(inches.start, number, end=unit.end)
    return cursor.refusal(f"has a fraction before {unit.text}, and fractions are of inches only", offers, inches.start)


def without_unit(cursor: Cursor, inches: Inches) -> EntryError:
    """Refuse a bare fraction where the field's unit is not inches."""
    in_inches, in_feet = exact_length(inches.value, in_feet=False), f"{exact_decimal(inches.value)}'"
    splits = split_before_last_digit(inches, Fraction(0))
    offers = cursor.rewritten(inches.start, in_inches, *splits, in_feet)
    said = cursor.said(inches.start)
    return cursor.refusal(f"does not say whether {said} is feet or inches", offers)


def two_numbers(cursor: Cursor, first: Inches, take_second: Callable[[], Inches]) -> EntryError:
    """Refuse two numbers with a space between; offer the joined number, or feet and inches."""
    place, head = cursor.peek().start, cursor.said(first.start)
    if first.whole and not first.fraction and _is_group(first.whole, cursor.peek()):
        joined = head + cursor.take().text
        offers = cursor.rewritten(first.start, joined)
        return cursor.refusal("has a space inside a number", offers, place)
    if cursor.peek(1).kind in (Kind.FOOT, Kind.METRIC):
        return cursor.refusal("has two numbers and one mark; write a mark after each", at=place)
    spellings = first.before(take_second())
    return cursor.refusal("has two numbers without a mark between", cursor.rewritten(first.start, *spellings), place)


def _is_group(head: Token, tail: Token) -> bool:
    """Whether two numbers look like one with a space between the thousands."""
    return head.is_whole and tail.is_whole and len(head.text) <= GROUP and len(tail.text) == GROUP


def two_metric_units(cursor: Cursor, number: Token, unit: Token, second: Token, total: Fraction) -> EntryError:
    """Refuse `3 m 81 cm`; offer the total in the first unit."""
    whole = f"{exact_decimal(total / INCHES[unit.text])} {unit.text}"
    offers = cursor.rewritten(number.start, whole)
    return cursor.refusal("has two metric units, and one only is read", offers, second.start)


def check_nothing_behind(cursor: Cursor, start: int, inches: Inches) -> None:
    """Refuse what may not follow inches: numbers, marks, and a tight hyphen before a fraction."""
    behind = cursor.peek()
    if behind.kind is Kind.NUMBER and cursor.peek(1).kind is Kind.FOOT and start == inches.start:
        raise cursor.refusal("has inches before feet; write the feet first")
    if behind.kind in STARTS_SOMETHING:
        what = "the inch mark" if inches.is_marked else "the inches"
        raise cursor.refusal(f"has something after {what}: {behind.text}; nothing may follow within one length")
    check_hyphen_before_fraction(cursor)


def check_hyphen_before_fraction(cursor: Cursor) -> None:
    """Refuse a tight hyphen between a finished term and a fraction: it neither joins nor subtracts."""
    if cursor.peek().kind is Kind.MINUS and not cursor.is_spaced() and cursor.has_fraction(1):
        offers = cursor.rewritten(cursor.end, " - ", end=cursor.peek(1).start)
        raise cursor.refusal("has a hyphen before a fraction with nothing to join", offers)


def check_proper(cursor: Cursor, start: int, base: Fraction, inches: Inches) -> None:
    """Refuse an improper fraction after feet or whole inches; offer its value, the split and the division."""
    fraction = inches.fraction
    if fraction is None or fraction.value < 1:
        return
    spellings = [
        exact_length(base + inches.value, in_feet=start < inches.start),
        *split_before_last_digit(inches, base),
    ]
    if inches.whole is None and not inches.is_marked:
        spellings.append(cursor.said(start).replace("/", " / "))
    reason = f"reads as the fraction {fraction.said}, whose top is not below its bottom"
    raise cursor.refusal(reason, cursor.rewritten(start, *spellings), fraction.top.start)


def split_before_last_digit(inches: Inches, base: Fraction) -> tuple[str, ...]:
    """Return `3 1/2"` for 31/2, where that makes a proper fraction and no whole inches stand before it."""
    if inches.whole is not None or inches.fraction is None:
        return ()
    head, last = inches.fraction.top.text[:-1], int(inches.fraction.top.text[-1])
    if not head or not 0 < last < inches.fraction.bottom:
        return ()
    split = base + int(head) + Fraction(last, inches.fraction.bottom)
    return (exact_length(split, in_feet=base > 0),)
