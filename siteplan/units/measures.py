"""Weights, torques, times, speeds, pressures and shares as typed and as printed: one table of units serves them all."""

from fractions import Fraction
from typing import Final, Literal, NamedTuple

from siteplan.units.cleaning import clean
from siteplan.units.field_rule import METRIC_JOBS, JobKind
from siteplan.units.offers import with_tried_offers
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.writing import count_steps, fixed_point

MeasureKind = Literal["weight", "torque", "time", "turning speed", "wind speed", "pressure", "share"]

KG_PER_POUND: Final = Fraction(45359237, 10**8)  # exact (international yard and pound agreement of 1959)
STANDARD_GRAVITY: Final = Fraction(980665, 10**5)  # m/s2, exact (General Conference on Weights and Measures, 1901)
M_PER_FOOT: Final = Fraction(3048, 10**4)  # exact, as the pound
NEWTONS_PER_POUND: Final = KG_PER_POUND * STANDARD_GRAVITY
POUND_FEET: Final = NEWTONS_PER_POUND * M_PER_FOOT
MILES_PER_HOUR: Final = 5280 * M_PER_FOOT / 3600
POUNDS_PER_SQUARE_INCH: Final = NEWTONS_PER_POUND / (M_PER_FOOT / 12) ** 2
DEGREE: Final = Fraction(314159265358979323846, 180 * 10**20)  # radians, to more digits than a float holds
LEAST_WHOLE: Final = 10  # below ten of the unit, one decimal is printed


class Units(NamedTuple):
    """How one kind of number is typed and printed."""

    sizes: dict[str, Fraction]  # unit as typed, in lower case: its size in the unit used inside
    usual: tuple[str, str]  # printed in jobs in feet and inches, and in metric jobs
    example: str


UNITS: Final[dict[MeasureKind, Units]] = {
    "weight": Units({"lb": KG_PER_POUND, "lbs": KG_PER_POUND, "kg": Fraction(1)}, ("lb", "kg"), "420 lb or 191 kg"),
    "torque": Units(
        {
            **dict.fromkeys(("lbf·ft", "lbf-ft", "lb-ft", "ft-lb", "ft-lbf"), POUND_FEET),
            **dict.fromkeys(("n·m", "nm", "n-m"), Fraction(1)),
        },
        ("lbf·ft", "N·m"),
        "280 lbf-ft or 380 N-m",
    ),
    "time": Units({"s": Fraction(1), "sec": Fraction(1), "min": Fraction(60)}, ("s", "s"), "15 s"),
    "turning speed": Units({"deg/s": DEGREE, "°/s": DEGREE, "rad/s": Fraction(1)}, ("deg/s", "deg/s"), "10 deg/s"),
    "wind speed": Units({"mph": MILES_PER_HOUR, "m/s": Fraction(1)}, ("mph", "m/s"), "115 mph or 51 m/s"),
    "pressure": Units(
        {"psi": POUNDS_PER_SQUARE_INCH, "kpa": Fraction(1000), "mpa": Fraction(10**6), "pa": Fraction(1)},
        ("psi", "kPa"),
        "3000 psi or 20 MPa",
    ),
    "share": Units({"%": Fraction(1, 100)}, ("%", "%"), "26%"),
}
"""Kilograms, newton metres, seconds, radians a second, metres a second, pascals and plain shares inside."""


@with_tried_offers
def read_measure(text: str, kind: MeasureKind) -> float:
    """Return a number of a kind in the unit used inside: `420 lb`, `280 lbf-ft`, `15 s`, `10 deg/s` are read.

    Raise EntryError for anything else, also for a number without a unit and for one below zero.
    """
    units = UNITS[kind]
    entry = clean(text, kind, LONGEST_QUANTITY)
    number, unit = split_quantity(entry, units.sizes, units.usual, units.example, signed=False)
    return float(number * units.sizes[unit])


def write_measure(value: float, kind: MeasureKind, job: JobKind, with_tenth: bool = False) -> str:
    """Return a number in the unit that is usual in a job: 420 lb, 191 kg; below ten, or where wanted, with one decimal.

    Raise EntryError for infinities and NaN.
    """
    units = UNITS[kind]
    unit = units.usual[1 if job in METRIC_JOBS else 0]
    tenths = count_steps(value, units.sizes[unit.lower()] / 10)
    if with_tenth or abs(tenths) < 10 * LEAST_WHOLE:
        return f"{fixed_point(tenths, 1)} {unit}"
    return f"{count_steps(value, units.sizes[unit.lower()])} {unit}"
