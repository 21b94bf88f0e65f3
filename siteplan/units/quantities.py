"""A number with its unit: the one form in which angles, measures and most grades are typed."""

import re
from collections.abc import Collection
from fractions import Fraction
from math import isfinite
from typing import Final

from siteplan.units.cleaning import CleanText
from siteplan.units.numerals import PLAIN_NUMBER, without_comma

LONGEST_QUANTITY: Final = 400  # room for any float written without an exponent
NUMBER_AND_UNIT: Final = re.compile(r"(?P<sign>[+-]?) ?(?P<number>[0-9.,]+) ?(?P<unit>(?:[a-z°%][a-z/·-]*)?)")


def split_quantity(
    entry: CleanText,
    units: Collection[str],
    usual: tuple[str, str],
    example: str,
    *,
    signed: bool = True,
    start: int = 0,
) -> tuple[Fraction, str]:
    """Return number and unit of the text from ``start`` on, which must be nothing else.

    ``usual`` are the two units that are offered for a bare number, ``example`` stands in messages. Raise EntryError
    for any other text, a unit that is none of ``units``, a comma, and a minus unless the number is ``signed``.
    """
    found = NUMBER_AND_UNIT.fullmatch(entry.text, start)
    if found is None:
        raise entry.refusal(f"is not read; write it like {example}", at=start)
    sign, number, unit = found.groups()
    if sign == "-" and not signed:
        raise entry.refusal(f"cannot be negative; write it like {example}", at=start)
    if unit and unit not in units:
        raise entry.refusal(f"has the unit {unit}; write it like {example}", at=found.start("unit"))
    spellings = without_comma(number) if "," in number else (number,) if PLAIN_NUMBER.fullmatch(number) else ()
    if spellings and not isfinite(float(spellings[0])):
        raise entry.refusal(f"is larger than any number the program holds; write it like {example}", at=start)
    if unit and spellings == (number,):
        value = Fraction(number.rstrip("."))
        return (-value if sign == "-" else value), unit
    head = entry.text[: found.start("number")]
    offers = tuple(f"{head}{spelled} {name}" for spelled in spellings for name in ((unit,) if unit else usual))
    reason = "has a comma" if "," in number else "has a number that is not read" if unit else "does not say its unit"
    raise entry.refusal(f"{reason}", offers, found.start("number"))
