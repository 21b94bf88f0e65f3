"""A number as the text it stands for in a file: as typed, with its unit and its tag.

    "14'-1\" taped"    "~420 lb"    "12' told owner"    "90 deg"    "12.5%"    "4293.4 mm"

A number that nobody typed stands as the exact plain text of its value: millimetres, radians, kilograms, rise : 1.
"""

from collections.abc import Callable
from math import isfinite
from typing import NamedTuple

from siteplan.errors import EntryError
from siteplan.model.marks import Basis, Mark
from siteplan.model.quantities import Quantity
from siteplan.units.angles import read_angle
from siteplan.units.field_rule import FieldRule
from siteplan.units.grades import read_grade_strictly
from siteplan.units.reading import read_length_strictly, read_plain_mm
from siteplan.units.tags import join_tag, split_tag
from siteplan.units.weights import read_weight
from siteplan.units.writing import plain_decimal

ANY_SIGN = FieldRule(signed=True)
NOT_BELOW_ZERO = FieldRule()
PLAIN_UNITS: dict[Quantity, str] = {"length": " mm", "angle": " rad", "weight": " kg", "grade": ":1"}
EXAMPLES: dict[Quantity, Callable[[float], str]] = {
    "length": lambda number: f'write "{number:g} in" or "{number * 25.4:.0f} mm"',
    "angle": lambda number: f'write "{number:g} deg"',
    "weight": lambda number: f'write "{number:g} lb" or "{number * 0.45359237:.0f} kg"',
    "grade": lambda number: f'write "{number:g}%" or "{number:g} deg"',
}
