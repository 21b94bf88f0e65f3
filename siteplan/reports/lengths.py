"""How numbers of results are written in the units of a job."""

from siteplan.model.project import Units
from siteplan.units.angles import write_angle
from siteplan.units.beside import write_length_and_limit, write_length_beside
from siteplan.units.writing import LengthStyle, write_length

SHORT_MM = 914.4  # below 3 ft gaps are read in inches
TAPE_FRACTION = 16


def style_for(mm: float, units: Units) -> LengthStyle:
    """Return how a length of about this size is written: short gaps in decimal inches, long ones in feet and inches."""
    if units in ("ftin", "in"):
        return (
            LengthStyle("in", decimals=1) if abs(mm) < SHORT_MM or units == "in" else LengthStyle("ftin", TAPE_FRACTION)
        )
    return LengthStyle(units)


def length_text(mm: float, units: Units, limit_mm: float | None = None) -> str:
    """Return a length in the units of the job, never rounded across its limit."""
    style = style_for(mm, units)
    return write_length(mm, style) if limit_mm is None else write_length_beside(mm, limit_mm, style)


def length_and_limit(mm: float, limit_mm: float, units: Units) -> tuple[str, str]:
    """Return a measured length and its limit, written alike, in the order in which the two lengths stand."""
    measured, limit = write_length_and_limit(mm, limit_mm, style_for(limit_mm, units))
    return measured, limit.replace(".0 in", " in")


def angle_text(rad: float) -> str:
    """Return a leaf angle."""
    return write_angle(rad)
