"""Numbers with a meaning: what kind of quantity a field of a record holds.

A field of a record is a plain float in the unit its name ends with.  The annotation says what kind of quantity it
is, so that one reader, one writer and one value card serve every field of every record (``fields.py``).
"""

from functools import cache
from math import isfinite
from typing import Annotated, Literal

from msgspec import Meta, Struct

from siteplan.errors import ModelError

Quantity = Literal[
    "length", "angle", "grade", "weight", "torque", "time", "turning speed", "wind speed", "pressure", "share"
]

Length = Annotated[float, Meta(extra={"quantity": "length"})]
SignedLength = Annotated[float, Meta(extra={"quantity": "length", "signed": True})]
Angle = Annotated[float, Meta(extra={"quantity": "angle"})]
SignedAngle = Annotated[float, Meta(extra={"quantity": "angle", "signed": True})]
Weight = Annotated[float, Meta(extra={"quantity": "weight"})]
Torque = Annotated[float, Meta(extra={"quantity": "torque"})]
Time = Annotated[float, Meta(extra={"quantity": "time"})]
TurningSpeed = Annotated[float, Meta(extra={"quantity": "turning speed"})]
WindSpeed = Annotated[float, Meta(extra={"quantity": "wind speed"})]
Pressure = Annotated[float, Meta(extra={"quantity": "pressure"})]
Share = Annotated[float, Meta(extra={"quantity": "share"})]
Grade = Annotated[float, Meta(extra={"quantity": "grade", "signed": True})]

XY = tuple[SignedLength, SignedLength]
"""A place in the plan: x to the right along the gate line, y into the property, seen from outside."""

FARTHEST_MM = 1e8
"""No site is 100 km across; a larger number is a slip, and would cost digits in every area."""

UNIT_ENDINGS = ("_rad_s", "_m_s", "_mm", "_rad", "_kg", "_nm", "_pa", "_s")


def spoken(field: str) -> str:
    """Return the name of a field without its unit: the word used in files, in messages and on the value card."""
    return field.removesuffix(next((ending for ending in UNIT_ENDINGS if field.endswith(ending)), ""))


def check_numbers(record: Struct, above_zero: tuple[str, ...] = (), not_below_zero: tuple[str, ...] = ()) -> None:
    """Refuse numbers that no site can have: not finite, farther than 100 km, or not above zero where named.

    Raises
    ------
    ModelError
        Naming the record, the field, the value and what would be right.
    """
    for name in record.__struct_fields__:
        for number in _floats(getattr(record, name)):
            if not isfinite(number) or abs(number) > FARTHEST_MM:
                raise ModelError(f"{name_of(record)}: {spoken(name)} must be a plain number, not {number:g}.")
    for name in (*above_zero, *not_below_zero):
        value = getattr(record, name)
        if value is not None and (value < 0 or (value == 0 and name in above_zero)):
            wanted = "above 0" if name in above_zero else "0 or more"
            raise ModelError(f"{name_of(record)}: {spoken(name)} must be {wanted}, not {value:g}{_unit(name)}.")


def name_of(record: Struct) -> str:
    """Return what a record is called in a message, its kind and id or row: "Leaf A", "Local limit C-40"."""
    return f"{kind_name(type(record)).capitalize()} {getattr(record, 'id', getattr(record, 'row', ''))}".rstrip()


@cache
def kind_name(kind: type) -> str:
    """Return what a kind of record is called within a sentence: "leaf", "keep clear"."""
    return "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in kind.__name__).strip()


def _unit(field: str) -> str:
    return next((f" {ending[1:]}" for ending in UNIT_ENDINGS if field.endswith(ending)), "")


def _floats(value: object) -> tuple[float, ...]:
    match value:
        case float():
            return (value,)
        case tuple():
            return tuple(number for part in value for number in _floats(part))
        case _:
            return ()
