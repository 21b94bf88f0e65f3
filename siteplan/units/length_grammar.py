"""One length of an entry: feet and inches, inches, metric, or a number for the field's own unit.

A hyphen with a space on both sides subtracts and every other hyphen joins. What reads two ways is refused and
the readings are offered.
"""

from fractions import Fraction
from typing import Literal, NamedTuple

from siteplan.errors import EntryError
from siteplan.units.field_rule import INCHES, INCHES_PER_FOOT
from siteplan.units.length_numbers import TapeFraction, number_value, take_fraction
from siteplan.units.length_refusals import (
    Inches,
    check_hyphen_before_fraction,
    check_nothing_behind,
    check_proper,
    fraction_of_other_unit,
    joined_or_minus,
    number_missing,
    split_before_last_digit,
    two_metric_units,
    two_numbers,
    without_unit,
)
from siteplan.units.tokens import Cursor, Kind, Token
from siteplan.units.writing import exact_length

AmountKind = Literal["length", "number", "mixed", "bare"]


class Amount(NamedTuple):
    """One term, or what terms add up to.

    A length is in inches. The others count the field's own unit: a single number, which may also be a factor, a
    number with a fraction, and a bare sum or product.
    """

    value: Fraction
    kind: AmountKind
    said: str
    is_finished: bool  # ends in inches, a mark other than feet, a metric unit or a bracket: a tight hyphen subtracts


def take_length(cursor: Cursor) -> Amount:
    """Take one length; raise EntryError with offers for what is none or reads two ways."""
    if cursor.peek().kind is not Kind.NUMBER:
        raise number_missing(cursor)
    unit = cursor.peek(1).kind
    if unit is Kind.FOOT:
        return _take_feet(cursor)
    if unit is Kind.METRIC:
        return _take_metric(cursor)
    return _take_inches_alone(cursor)


def _take_feet(cursor: Cursor) -> Amount:
    """Take feet and the inches joined to them, if any."""
    feet, mark = cursor.take(), cursor.take()
    base = number_value(cursor, feet, mark) * INCHES_PER_FOOT
    behind = cursor.peek()
    if behind.kind in (Kind.FOOT, Kind.INCH, Kind.METRIC):
        raise cursor.refusal(f"has two marks after {feet.text}; write one")
    if behind.kind is Kind.NUMBER:
        return _take_joined_inches(cursor, feet, base)
    if behind.kind is Kind.MINUS and not cursor.is_spaced():
        cursor.take()
        if cursor.peek().kind is not Kind.NUMBER:
            raise cursor.refusal("has no inches after the hyphen; write them, or a minus with spaces on both sides")
        return _take_joined_inches(cursor, feet, base)
    if behind.kind is Kind.MINUS and feet.is_whole:
        _refuse_spaced_inches(cursor, feet, base)
    if base % INCHES_PER_FOOT and cursor.rule.job == "ftin":
        # tenths of a foot taken for inches are the costliest slip of the trade
        cursor.notes.append(f"Tenths of a foot: {feet.text} ft is {exact_length(base)}.")
    return Amount(base, "length", cursor.said(feet.start), is_finished=False)


def _take_joined_inches(cursor: Cursor, feet: Token, base: Fraction) -> Amount:
    """Take the inches of feet and inches."""
    inches = _take_inches(cursor, feet.start, base)
    _check_joined(cursor, feet, inches)
    check_proper(cursor, feet.start, base, inches)
    if inches.value >= INCHES_PER_FOOT:
        carried = exact_length(base + inches.value)
        cursor.doubts.append(f"{cursor.said(feet.start)} has 12 or more inches after the feet: {carried}.")
    check_nothing_behind(cursor, feet.start, inches)
    return Amount(base + inches.value, "length", cursor.said(feet.start), is_finished=True)


def _check_joined(cursor: Cursor, feet: Token, inches: Inches) -> None:
    """Refuse feet twice, feet with metric units, and decimal feet with inches."""
    behind = cursor.peek()
    if behind.kind is Kind.FOOT and not inches.is_marked:
        as_inches = cursor.rewritten(inches.start, f'{cursor.said(inches.start)}"', end=behind.end)
        as_feet = cursor.rewritten(feet.end, f"' - {cursor.said(inches.start)}'", end=behind.end)
        raise cursor.refusal("has feet twice", as_inches + as_feet)
    if behind.kind is Kind.METRIC and not inches.is_marked:
        raise cursor.refusal(f"has feet and {behind.text} in one length; put a plus sign between", at=inches.start)
    if not feet.is_whole:
        raise cursor.refusal("has decimal feet and inches together; write whole feet before inches", at=feet.start)


def _refuse_spaced_inches(cursor: Cursor, feet: Token, base: Fraction) -> None:
    """Refuse whole feet, spaced hyphen, inches: drafting usage for joined, arithmetic for minus."""
    here, head = cursor.index, cursor.said(feet.start)
    hyphen = cursor.take()
    if cursor.peek().kind is Kind.NUMBER and cursor.peek(1).kind not in (Kind.FOOT, Kind.METRIC, Kind.TIMES):
        inches = _take_inches(cursor, cursor.peek().start, Fraction(0))
        if cursor.peek().kind is not Kind.FOOT:
            check_proper(cursor, feet.start, base, inches)
            tail = cursor.said(inches.start) + ("" if inches.is_marked else '"')
            alone = (exact_length(base + inches.value), exact_length(base - inches.value))
            raise joined_or_minus(cursor, feet.start, alone, (f"{head}-{tail}", f"{head} - ({tail})"), hyphen)
    cursor.index = here


def _take_inches(cursor: Cursor, start: int, base: Fraction) -> Inches:
    """Take a number, a whole number with a fraction, or a fraction, and the inch mark if there is one.

    ``start`` is where the length begins and ``base`` the inches of its feet.
    """
    first = cursor.peek()
    whole = None if cursor.has_fraction() else cursor.take()
    fraction: TapeFraction | None = None
    if whole is None or _takes_separator(cursor, whole, start, base):
        fraction = take_fraction(cursor)
    if whole is not None and fraction is not None and not whole.is_whole:
        raise cursor.refusal("has decimal inches and a fraction together; write one of them", at=whole.start)
    is_marked = cursor.peek().kind is Kind.INCH
    unit = cursor.take() if is_marked else None
    if unit is None and first.start > start:
        unit = Token(Kind.INCH, '"', first.end, first.end, gap=False)  # inches after feet need no mark
    value = Fraction(0) if whole is None else number_value(cursor, whole, unit)
    return Inches(first.start, whole, fraction, is_marked, value + (fraction.value if fraction else 0))


def _takes_separator(cursor: Cursor, whole: Token, start: int, base: Fraction) -> bool:
    """Step over the space or the tight hyphen between whole inches and a fraction; tell whether one follows."""
    if cursor.has_fraction():
        return True
    if cursor.peek().kind is not Kind.MINUS or not cursor.has_fraction(1):
        return False
    if cursor.is_spaced() and not whole.is_whole:
        return False
    head = cursor.said(start)
    hyphen = cursor.take()
    if not (hyphen.gap and cursor.peek().gap):
        return True
    fraction = take_fraction(cursor)
    tail = f'{fraction.said}"'
    if cursor.peek().kind is Kind.INCH:
        cursor.take()
    first, in_feet = base + int(whole.text), start < whole.start
    alone = (exact_length(first + fraction.value, in_feet), exact_length(first - fraction.value, in_feet))
    raise joined_or_minus(cursor, start, alone, (f"{head} {tail}", f'{head}" - {tail}'), hyphen)


def _take_inches_alone(cursor: Cursor) -> Amount:
    """Take inches without feet, or a number for the field's own unit."""
    start = cursor.peek().start
    inches = _take_inches(cursor, start, Fraction(0))
    if inches.fraction and not inches.is_marked and cursor.peek().kind in (Kind.FOOT, Kind.METRIC):
        raise fraction_of_other_unit(cursor, inches)
    if not inches.is_marked:
        _check_bare(cursor, inches)
    if inches.whole is None:
        _doubt_improper(cursor, inches)
    else:
        check_proper(cursor, start, Fraction(0), inches)
    said = cursor.said(start)
    if inches.is_marked:
        check_nothing_behind(cursor, start, inches)
        return Amount(inches.value, "length", said, is_finished=True)
    return Amount(inches.value, "mixed" if inches.fraction else "number", said, is_finished=False)


def _check_bare(cursor: Cursor, inches: Inches) -> None:
    """Refuse a bare amount that runs into something, and a bare fraction where the field's unit is not inches."""
    behind = cursor.peek()
    if behind.kind is Kind.MINUS and not cursor.is_spaced():
        raise _tight_hyphen(cursor, inches)
    if behind.kind is Kind.NUMBER:
        raise two_numbers(cursor, inches, lambda: _take_inches(cursor, behind.start, Fraction(0)))
    if inches.fraction and cursor.rule.bare_unit != "in":
        raise without_unit(cursor, inches)


def _tight_hyphen(cursor: Cursor, bare: Inches) -> EntryError:
    """Refuse a tight hyphen after a bare number; offer feet and inches, and the subtraction."""
    head, hyphen = cursor.said(bare.start), cursor.take()
    if cursor.peek().kind is not Kind.NUMBER:
        return cursor.refusal("has a hyphen with nothing to join; put spaces around a minus", at=hyphen.start)
    if cursor.peek(1).kind is Kind.FOOT:
        offers = cursor.rewritten(bare.start, f"{head}' - ", end=cursor.peek().start)
        return cursor.refusal(f"does not say the unit of {head}", offers, bare.start)
    inches = _take_inches(cursor, cursor.peek().start, Fraction(0))
    tail = cursor.said(inches.start)
    minus = f'{head}" - {tail}' if inches.is_marked else f"{head} - {tail}"
    if inches.is_marked and cursor.is_everything(bare.start):
        minus = exact_length(bare.value - inches.value)
    spellings = [*bare.before(inches), minus]
    offers = cursor.rewritten(bare.start, *spellings)
    return cursor.refusal("has a hyphen that reads two ways", offers, hyphen.start)


def _doubt_improper(cursor: Cursor, inches: Inches) -> None:
    """Ask again for an improper fraction that stands alone; offer the split before the last digit of its top."""
    if inches.fraction is None or inches.fraction.value < 1:
        return
    cursor.doubts.append(f"{cursor.said(inches.start)} is read as {exact_length(inches.value, in_feet=False)}.")
    cursor.offers += cursor.rewritten(inches.start, *split_before_last_digit(inches, Fraction(0)))


def _take_metric(cursor: Cursor) -> Amount:
    """Take a number with m, cm, mm or yd."""
    number, unit = cursor.take(), cursor.take()
    value = number_value(cursor, number, unit) * INCHES[unit.text]
    behind = cursor.peek()
    if behind.kind is Kind.NUMBER and cursor.peek(1).kind is Kind.METRIC:
        second, second_unit = cursor.take(), cursor.take()
        total = value + number_value(cursor, second, second_unit) * INCHES[second_unit.text]
        raise two_metric_units(cursor, number, unit, second, total)
    if behind.kind in (Kind.NUMBER, Kind.FOOT, Kind.INCH, Kind.METRIC, Kind.OPEN):
        raise cursor.refusal(f"has something after {unit.text}: {behind.text}; put a plus sign between two lengths")
    check_hyphen_before_fraction(cursor)
    return Amount(value, "length", cursor.said(number.start), is_finished=True)
