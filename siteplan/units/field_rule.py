"""What a field takes, and the exact sizes of the units that lengths are typed in."""

from fractions import Fraction
from typing import Final, Literal

from msgspec import Struct

BareUnit = Literal["in", "ft", "m", "cm", "mm"]
JobKind = Literal["ftin", "ftdec", "in", "m", "mm"]

MM_PER_INCH: Final = Fraction(127, 5)
INCHES_PER_FOOT: Final = 12
# One inch is 25.4 mm and one yard 3 feet exactly (international yard and pound agreement of 1959).
INCHES: Final = {
    "in": Fraction(1),
    "ft": Fraction(INCHES_PER_FOOT),
    "yd": Fraction(3 * INCHES_PER_FOOT),
    "m": 1000 / MM_PER_INCH,
    "cm": 10 / MM_PER_INCH,
    "mm": 1 / MM_PER_INCH,
}
METRIC_UNITS: Final = ("m", "cm", "mm")
METRIC_JOBS: Final = ("m", "mm")


class FieldRule(Struct, frozen=True, kw_only=True):
    """What one field takes for a length.

    ``minimum_mm`` is the least size: in a signed field it holds for both signs.
    """

    bare_unit: BareUnit | None = None  # unit of a number typed without one; None refuses such a number
    signed: bool = False
    minimum_mm: float = 0.0
    zero_allowed: bool = True  # a tie or a baseline must be above zero
    plausible_mm: tuple[float, float] | None = None  # outside it, the value is taken only when confirmed
    job: JobKind = "ftin"
    decimal_comma: bool = False  # the person's locale writes 4,33

    @property
    def is_metric(self) -> bool:
        """Whether the job is in metric units, where unmarked feet-inch forms are not read."""
        return self.job in METRIC_JOBS

    @property
    def reads_comma(self) -> bool:
        """Whether a comma in a bare number is a decimal mark."""
        return self.decimal_comma and self.is_metric and self.bare_unit in METRIC_UNITS


ANY_LENGTH: Final = FieldRule()
