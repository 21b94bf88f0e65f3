"""Drawing scales: the standard lists, how a scale is written, which is the largest that fits."""

from collections.abc import Callable

from siteplan.errors import SheetError
from siteplan.model.project import Units

ARCHITECT = {
    4: '3" = 1\'-0"',
    8: '1 1/2" = 1\'-0"',
    12: '1" = 1\'-0"',
    16: '3/4" = 1\'-0"',
    24: '1/2" = 1\'-0"',
    32: '3/8" = 1\'-0"',
    48: '1/4" = 1\'-0"',
    64: '3/16" = 1\'-0"',
    96: '1/8" = 1\'-0"',
    128: '3/32" = 1\'-0"',
    192: '1/16" = 1\'-0"',
}
"""Ratios of the US architectural scales, by arithmetic: 12 in over the inches on paper."""
ENGINEER_FEET = (10, 20, 30, 40, 50, 60, 100, 200)  # 1" = 10' and so on, one county's list
INCHES_PER_FOOT = 12
METRIC = (2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000)  # ISO 5455:1979, with 25 and 250 from common practice
INCH_RATIOS = tuple(sorted({*ARCHITECT, *(INCHES_PER_FOOT * feet for feet in ENGINEER_FEET)}))


def ratios_for(units: Units) -> tuple[int, ...]:
    """Return the listed ratios, largest scale first."""
    return METRIC if units in ("m", "mm") else INCH_RATIOS


def scale_text(ratio: float, units: Units) -> str:
    """Return how a scale is written: 1/8" = 1'-0", 1" = 20', 1:50."""
    if ratio == 1:
        return "FULL SIZE"
    if units not in ("m", "mm"):
        if ratio in ARCHITECT:
            return ARCHITECT[int(ratio)]
        if ratio % INCHES_PER_FOOT == 0:
            return f"1\" = {ratio / INCHES_PER_FOOT:g}'"
    return f"1:{ratio:g}"


def largest_that_fits(fits: Callable[[float], bool], units: Units) -> int:
    """Return the ratio of the largest listed scale at which a view fits.

    Raises
    ------
    SheetError
        When the view fits at none of them.
    """
    for ratio in ratios_for(units):
        if fits(ratio):
            return ratio
    raise SheetError(
        f"The site does not fit this paper even at {scale_text(ratios_for(units)[-1], units)}; choose a larger paper."
    )
