"""Weights as typed and as printed: kilograms inside."""

from fractions import Fraction
from typing import Final

from siteplan.units.cleaning import clean
from siteplan.units.field_rule import METRIC_JOBS, JobKind
from siteplan.units.offers import with_tried_offers
from siteplan.units.quantities import LONGEST_QUANTITY, split_quantity
from siteplan.units.writing import count_steps, fixed_point

KG_PER_POUND: Final = Fraction(45359237, 10**8)  # exact (international yard and pound agreement of 1959)
KILOGRAMS: Final = {"lb": KG_PER_POUND, "lbs": KG_PER_POUND, "kg": Fraction(1)}
LEAST_WHOLE: Final = 10  # below ten of the unit, one decimal is printed


@with_tried_offers
def read_weight(text: str) -> float:
    """Return a weight in kg: `420 lb`, `420 lbs` and `191 kg` are read.

    Raise EntryError for anything else, also for a number without a unit and for one below zero.
    """
    entry = clean(text, "weight", LONGEST_QUANTITY)
    number, unit = split_quantity(entry, KILOGRAMS, ("lb", "kg"), "420 lb or 191 kg", signed=False)
    return float(number * KILOGRAMS[unit])


def write_weight(weight_kg: float, job: JobKind) -> str:
    """Return a weight in pounds, or in kg for a metric job: 420 lb, 191 kg; below ten with one decimal."""
    unit = "kg" if job in METRIC_JOBS else "lb"
    tenths = count_steps(weight_kg, KILOGRAMS[unit] / 10)
    if abs(tenths) < 10 * LEAST_WHOLE:
        return f"{fixed_point(tenths, 1)} {unit}"
    return f"{count_steps(weight_kg, KILOGRAMS[unit])} {unit}"
