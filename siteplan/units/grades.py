"""Grades as typed and as printed: rise over run inside, positive where the ground rises in the named direction."""

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import atan, degrees, radians, tan
from typing import Final, NamedTuple

from msgspec import Struct

from siteplan.errors import EntryError
from siteplan.units.beside import Shown, stand_beside, tell_apart
from siteplan.units.cleaning import CleanText, clean, named
from siteplan.units.field_rule import ANY_LENGTH, INCHES, INCHES_PER_FOOT
from siteplan.units.numerals import PLAIN_NUMBER
from siteplan.units.offers import with_tried_offers
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.reading import AGAIN, read_length
from siteplan.units.writing import FINEST_TAPE, ON_TAPE_MARK, count_steps, exact_decimal, exact_length, fixed_point

STEEP: Final = 0.2  # above 20 % a grade is asked for again
LEVEL_BELOW: Final = 1e-9
UPRIGHT_DEGREES: Final = 90
PERCENT: Final = Fraction(1, 100)
PERCENT_PLACES: Final = 2
MOST_DECIMALS: Final = 9
ECHO_DECIMALS: Final = 2

DEGREE_WORDS: Final = ("°", "deg", "degree", "degrees")
RUN_WORDS: Final = {"ft": "ft", "ft.": "ft", "foot": "ft", "in": "in", "inch": "in", "m": "m", "mm": "mm"}
EXAMPLES: Final = "12.5%, 1:8, 7 deg or 1-1/2 in per ft"

SIGN: Final = re.compile(r"(?:(?P<word>up|down) |(?P<sign>[+-]) ?)?")
RATIO: Final = re.compile(r"(?P<rise>[^:]*?) ?: ?(?P<run>[^:]*)")
PER: Final = re.compile(r"(?P<rise>.+?) ?(?:\bper |/ ?)(?P<run>ft\.?|foot|inch|in|mm|m)")
ONE_IN: Final = re.compile(r"(?P<rise>[0-9.]+) in (?P<run>[0-9.]+)")
MIXED_NUMBER: Final = re.compile(r"(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")


class GradeReading(Struct, frozen=True, kw_only=True):
    """A grade that was read."""

    ratio: float  # rise over run
    confirm: str = ""  # empty, or why Enter must be pressed a second time
    offers: tuple[str, ...] = ()  # other readings, each a text that is read
    is_steep: bool = False
    is_doubtful: bool = False  # for another reason than that it is steep


class _Slope(NamedTuple):
    """A grade without its sign, and what is doubtful about it."""

    ratio: Fraction
    doubts: tuple[str, ...] = ()
    offers: tuple[str, ...] = ()


@with_tried_offers
def read_grade(text: str) -> GradeReading:
    """Return the grade a person typed: percent, degrees, rise : run, a length per unit, or `level`.

    `down` or a minus in front makes it fall. A grade above 20 % must be confirmed. Raise EntryError, and never
    anything else, for a text that is no grade or reads two ways; its offers are texts that are read.
    """
    entry = clean(text, "grade", LONGEST_QUANTITY)
    found = SIGN.match(entry.text)
    start = found.end() if found else 0
    if entry.text.startswith(("+", "-"), start):
        raise entry.refusal("has two signs in a row; write one", at=start)
    slope = _read_slope(entry, start)
    ratio = float(slope.ratio)
    is_steep = ratio > STEEP
    if ratio and entry.text.startswith(("down ", "-")):
        ratio = -ratio
    doubts = [*slope.doubts, *([_steep_doubt(ratio)] if is_steep else [])]
    return GradeReading(
        ratio=ratio,
        confirm=" ".join([*doubts, AGAIN] if doubts else []),
        offers=slope.offers,
        is_steep=is_steep,
        is_doubtful=bool(slope.doubts),
    )


def read_grade_strictly(text: str, steep_allowed: bool = False) -> float:
    """Return a grade, rise over run, from a file or a command line, where nobody can press Enter again.

    Raise EntryError for whatever `read_grade` refuses or asks to confirm; a steep grade passes if ``steep_allowed``.
    """
    reading = read_grade(text)
    only_steep = reading.is_steep and not reading.is_doubtful
    if reading.confirm and not (only_steep and steep_allowed):
        doubt = reading.confirm.removesuffix(AGAIN).strip()
        raise EntryError(f"{named('grade', text)} needs a person to confirm it: {doubt}", reading.offers, 0)
    return reading.ratio


def echo_grade(ratio: float) -> str:
    """Return the forms under a field: 12.5 % = 1:8 = 1 1/2 in per ft = 7.13 degrees; a fall has `down` in front."""
    if abs(ratio) < LEVEL_BELOW:
        return "level"
    size = abs(ratio)
    forms = (
        f"{_trimmed(size * 100)} %",
        f"1:{_trimmed(1 / size)}",
        f"{_inches_per_foot(size)} in per ft",
        f"{_trimmed(degrees(atan(size)))} degrees",
    )
    return ("down " if ratio < 0 else "") + " = ".join(forms)


def describe_grade(ratio: float, going: str) -> str:
    """Return a grade as a sentence for the named direction: rises 1 1/2 in per ft going inside."""
    if abs(ratio) < LEVEL_BELOW:
        return f"is level going {going}"
    return f"{'rises' if ratio > 0 else 'falls'} {_inches_per_foot(abs(ratio))} in per ft going {going}"


def write_grade(ratio: float, decimals: int = 1) -> str:
    """Return a grade in percent, half rounded up on its size: 12.5 %; raise EntryError unless it is finite."""
    return f"{fixed_point(_count_percent(ratio, decimals), decimals)} %"


def write_grade_beside(ratio: float, limit: float, decimals: int = 1) -> str:
    """Return the text of a grade beside a limit that `write_grade` prints: never rounded onto it, nor across it."""
    return stand_beside(ratio, limit, lambda given: _spell_grade(given, decimals))


def write_grade_and_limit(ratio: float, limit: float, decimals: int = 1) -> tuple[str, str]:
    """Return a grade and its limit as texts that stand in the same order as the two grades."""
    return tell_apart(ratio, limit, lambda given: _spell_grade(given, decimals))


def _read_slope(entry: CleanText, start: int) -> _Slope:
    """Read what stands behind the sign."""
    if entry.text[start:] == "level":
        return _Slope(Fraction(0))
    ratio = RATIO.fullmatch(entry.text, start)
    if ratio:
        return _Slope(_read_ratio(entry, ratio))
    per = PER.fullmatch(entry.text, start)
    if per:
        return _read_rise_per_unit(entry, per)
    one_in = ONE_IN.fullmatch(entry.text, start)
    if one_in:
        spelled = f"{entry.text[:start]}{one_in['rise']}:{one_in['run']}"
        raise entry.refusal('reads two ways, "in" being inches too', (spelled,), start)
    if PLAIN_NUMBER.fullmatch(entry.text, start):
        offers = tuple(f"{entry.text} {unit}" for unit in ("%", "deg", "in per ft"))
        raise entry.refusal("does not say %, degrees or in per ft", offers, start)
    number, unit = split_quantity(entry, ("%", *DEGREE_WORDS), ("%", "deg"), EXAMPLES, signed=False, start=start)
    if unit == "%":
        return _Slope(number * PERCENT)
    if number >= UPRIGHT_DEGREES:
        raise entry.refusal("is upright or more; write a grade below 90 degrees", at=start)
    return _Slope(Fraction(tan(radians(float(number)))))


def _read_ratio(entry: CleanText, found: re.Match[str]) -> Fraction:
    """Return rise : run, both in the same unit; refuse 3:1, which earthwork reads the other way round."""
    rise, run = (_ratio_part(entry, found, part) for part in ("rise", "run"))
    if run == 0:
        raise entry.refusal("has a run of zero; write the run above zero", at=found.start("run"))
    if rise > run:
        head = entry.text[: found.start()]
        percent = exact_decimal(rise / run / PERCENT)
        spellings = (f"{found['run']}:{found['rise']}", *((f"{percent}%",) if percent else ()))
        offers = tuple(f"{head}{spelled}" for spelled in spellings)
        reason = f"reads two ways, {found['rise']} up or {found['rise']} along"
        raise entry.refusal(reason, offers, found.start())
    return rise / run


def _ratio_part(entry: CleanText, found: re.Match[str], part: str) -> Fraction:
    """Return one part of a ratio: a decimal number, a fraction or a whole number with a fraction."""
    said = found[part]
    mixed = MIXED_NUMBER.fullmatch(said)
    if mixed and int(mixed["bottom"]):
        return int(mixed["whole"] or 0) + Fraction(int(mixed["top"]), int(mixed["bottom"]))
    if PLAIN_NUMBER.fullmatch(said):
        return Fraction(said.rstrip("."))
    raise entry.refusal(f"is not a grade; write rise and run as numbers, like {EXAMPLES}", at=found.start(part))


def _read_rise_per_unit(entry: CleanText, found: re.Match[str]) -> _Slope:
    """Return a length per unit of run; the rise is read like any length and carries its unit."""
    first, last = found.span("rise")
    head, tail = entry.text[:first], entry.text[last:]
    try:
        rise = read_length(found["rise"], ANY_LENGTH)
    except EntryError as refusal:
        spelled = [f"{head}{offer}{tail}" for offer in refusal.offers]
        reason = str(refusal).partition("; write ")[0] if spelled else str(refusal)
        raise EntryError(reason, spelled, entry.places[first]) from None
    doubts = (rise.confirm.removesuffix(AGAIN).strip(),) if rise.confirm else ()
    offers = tuple(f"{head}{offer}{tail}" for offer in rise.offers)
    return _Slope(rise.exact / INCHES[RUN_WORDS[found["run"]]], doubts, offers)


def _steep_doubt(ratio: float) -> str:
    """Return the question about a grade above 20 %."""
    angle = _trimmed(degrees(atan(abs(ratio))), places=1)
    return f"{angle} degrees = {write_grade_beside(abs(ratio), STEEP, decimals=0)}, steep. Sure?"


def _spell_grade(ratio: float, decimals: int) -> Iterator[Shown]:
    """Yield the texts of a grade, plainest first; the exact one last."""
    for finer in range(decimals, MOST_DECIMALS + 1):
        yield Shown(write_grade(ratio, finer), float(_count_percent(ratio, finer) * PERCENT / 10**finer))
    yield Shown(f"{Decimal(repr(ratio)).scaleb(PERCENT_PLACES):f} %", ratio)


def _count_percent(ratio: float, decimals: int) -> int:
    """Return a grade in whole units of the last decimal of its percent."""
    return count_steps(ratio, PERCENT / 10**decimals)


def _inches_per_foot(ratio: float) -> str:
    """Return inches per foot: a tape fraction where the grade lies on one, otherwise a decimal number."""
    inches = ratio * INCHES_PER_FOOT
    marks = count_steps(inches, Fraction(1, FINEST_TAPE))
    if abs(Fraction(inches) * FINEST_TAPE - marks) < ON_TAPE_MARK:
        return exact_length(Fraction(marks, FINEST_TAPE), in_feet=False).removesuffix('"')
    return _trimmed(inches)


def _trimmed(value: float, places: int = ECHO_DECIMALS) -> str:
    """Return a number with at most so many decimals, without trailing zeros."""
    text = fixed_point(count_steps(value, Fraction(1, 10**places)), places)
    return text.rstrip("0").rstrip(".")
