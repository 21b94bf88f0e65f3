"""The entry of a length: text to mm, with what must be confirmed and what is offered."""

import re
from fractions import Fraction
from math import isfinite
from typing import Final

from msgspec import Struct

from siteplan.errors import EntryError
from siteplan.units.beside import write_length_and_limit
from siteplan.units.cleaning import clean, named
from siteplan.units.field_rule import ANY_LENGTH, INCHES, MM_PER_INCH, FieldRule, JobKind
from siteplan.units.length_grammar import Amount
from siteplan.units.numerals import PLAIN_NUMBER
from siteplan.units.offers import tried, with_tried_offers
from siteplan.units.sums import start_reading, take_all
from siteplan.units.tokens import Cursor
from siteplan.units.writing import LengthStyle, echo_length, exact_decimal, exact_length, write_length

LONGEST_ENTRY: Final = 40
LONGEST_PLAIN: Final = 400  # the smallest float has 326 decimals
PLAIN_MM: Final = re.compile(r"-?[0-9]+(?:\.[0-9]+)? mm")
AGAIN: Final = "Press Enter again to keep it."
FEET_FIRST: Final = ("ft", "in", "mm", "cm", "m")
METRIC_FIRST: Final = ("mm", "m", "cm", "in", "ft")
UNITS_ASKED: Final[dict[JobKind, tuple[str, ...]]] = {
    "ftin": ('"', "'"),
    "ftdec": ("'", '"'),
    "in": ('"', "'"),
    "m": (" m", " mm"),
    "mm": (" mm", " m"),
}


class LengthReading(Struct, frozen=True, kw_only=True):
    """A length that was read."""

    mm: float
    exact: Fraction  # inches
    confirm: str = ""  # empty, or why Enter must be pressed a second time
    offers: tuple[str, ...] = ()  # other readings, each a text that is read
    note: str = ""  # what to show beside the echo


@with_tried_offers
def read_length(text: str, rule: FieldRule = ANY_LENGTH) -> LengthReading:
    """Return the length a person typed into a field.

    The value is worked out in exact fractions and rounded once, to the nearest float in mm. Raise EntryError, and
    never anything else, for a text that is no length, reads two ways, or is not taken by the field; its offers are
    texts that are read.
    """
    plain = read_plain_mm(text)
    cursor = start_reading(clean(text, "length", LONGEST_ENTRY if plain is None else LONGEST_PLAIN), rule)
    amount = take_all(cursor)
    exact = _in_inches(cursor, amount)
    # the text of -0.0 is its own number, which no fraction can hold
    mm = float(exact * MM_PER_INCH) if plain is None else plain
    _check_size(cursor, mm)
    _doubt_size(cursor, amount, mm)
    doubts = [*cursor.doubts, AGAIN] if cursor.doubts else []
    return LengthReading(
        mm=mm,
        exact=exact,
        confirm=" ".join(doubts),
        offers=tried(cursor.offers, lambda offer: read_length(offer, rule)),
        note=" ".join(cursor.notes),
    )


def read_length_strictly(text: str, rule: FieldRule = ANY_LENGTH) -> float:
    """Return a length in mm from a file or a command line, where nobody can press Enter again.

    Raise EntryError for whatever `read_length` refuses or asks to confirm.
    """
    reading = read_length(text, rule)
    if reading.confirm:
        plainly = exact_length(reading.exact)
        doubt = reading.confirm.removesuffix(AGAIN).strip()
        raise EntryError(
            f"{named('length', text)} needs a person to confirm it: {doubt}",
            tried((plainly, *reading.offers), lambda offer: read_length(offer, rule)),
            0,
        )
    return reading.mm


def read_plain_mm(text: str) -> float | None:
    """Return the number of a text of exactly the form `4293.4 mm`, which may be negative; None for any other text.

    This is the form the program writes (`write_plain_mm`); the number comes back bit for bit.
    """
    if len(text) > LONGEST_PLAIN or not PLAIN_MM.fullmatch(text):
        return None
    return float(text.removesuffix(" mm"))


def echo_reading(reading: LengthReading) -> str:
    """Return the line under the field: the note, if there is one, and the three forms of the length."""
    return f"{reading.note} {echo_length(reading.mm)}".strip()


def _in_inches(cursor: Cursor, amount: Amount) -> Fraction:
    """Return an amount in inches; a bare one through the field's own unit."""
    if amount.kind == "length":
        return amount.value
    unit = cursor.rule.bare_unit
    if unit is None:
        offers = tuple(f"{cursor.entry.text}{mark}" for mark in UNITS_ASKED[cursor.rule.job])
        if not PLAIN_NUMBER.fullmatch(cursor.entry.text):
            raise cursor.refusal("has no unit; write one behind each length")
        raise cursor.refusal("does not say its unit", offers)
    exact = amount.value * INCHES[unit]
    if cursor.rule.job == "ftin" and amount.kind != "mixed":
        # a bare number is never silently taken for feet, nor for inches, in a feet-and-inch job
        cursor.notes.append(f"{_number(amount.value)} {unit} = {exact_length(exact) or echo_length(_mm(exact))}?")
    return exact


def _check_size(cursor: Cursor, mm: float) -> None:
    """Refuse a size the field does not take."""
    rule = cursor.rule
    if not isfinite(mm):
        raise cursor.refusal("is larger than any number the program holds; write a smaller one", at=0)
    if mm < 0 and not rule.signed:
        raise cursor.refusal('cannot be negative here; for the other side write "outside"', at=0)
    if mm == 0 and not rule.zero_allowed:
        raise cursor.refusal("is zero, and a length above zero is needed here", at=0)
    if abs(mm) < rule.minimum_mm:
        size, least = write_length_and_limit(abs(mm), rule.minimum_mm, LengthStyle(rule.job))
        raise cursor.refusal(f"is {size}, and at least {least} is needed here", at=0)


def _doubt_size(cursor: Cursor, amount: Amount, mm: float) -> None:
    """Ask again for a length outside the field's plausible range; offer the units in which it would lie inside."""
    rule, style = cursor.rule, LengthStyle(cursor.rule.job)
    if rule.plausible_mm is None or rule.plausible_mm[0] <= mm <= rule.plausible_mm[1]:
        return
    low, high = rule.plausible_mm
    others = (
        {}
        if amount.kind in ("length", "mixed")
        else {
            unit: _mm(amount.value * INCHES[unit])
            for unit in (METRIC_FIRST if rule.is_metric else FEET_FIRST)
            if unit != rule.bare_unit
        }
    )
    fitting = {unit: other for unit, other in others.items() if low <= other <= high}
    number = _number(amount.value)
    cursor.offers += [f"{number} {unit}" for unit in fitting]
    if fitting:
        unit, other = next(iter(fitting.items()))
        said = f"{number} {rule.bare_unit} = {write_length(mm, style)}"
        cursor.doubts.append(f"{said}. Did you mean {unit} ({write_length(other, style)})?")
        return
    bound, side = (low, "less") if mm < low else (high, "more")
    size, limit = write_length_and_limit(mm, bound, style)
    cursor.doubts.append(f"{cursor.entry.typed.strip()} = {size} is {side} than {limit}.")


def _mm(inches: Fraction) -> float:
    """Return inches as mm, rounded once."""
    return float(inches * MM_PER_INCH)


def _number(value: Fraction) -> str:
    """Return a bare number as text."""
    return exact_decimal(value) or f"{float(value):.3f}"
