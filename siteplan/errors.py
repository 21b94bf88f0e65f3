"""The program's own exceptions; every message names the thing, the value and what would be right.

SitePlanError
    EntryError        a typed length, angle, weight or grade that cannot be read (also a ValueError)
    ModelError        a value that no site can have (also a ValueError, so that msgspec adds the place in the file)
    GeometryError     shapes from which no result can be worked out
    SiteFileError     a site file that cannot be read or written
        DamagedFileError    a site file that is cut off or not a site file at all
        WriteError          a target that cannot be written
    PackError         a rule pack or a table of limits that cannot be used
    SheetError        a sheet that cannot be laid out or exported
"""

from collections.abc import Sequence


class SitePlanError(Exception):
    """Anything the program says no to."""


class EntryError(SitePlanError, ValueError):
    """A typed text that cannot be read; the text itself is kept by whoever typed it.

    ``offers`` are texts that would be read; ``at`` is the place of the fault in the text, or None.
    """

    def __init__(self, message: str, offers: Sequence[str] = (), at: int | None = None) -> None:
        super().__init__(message)
        self.offers = tuple(offers)
        self.at = at


class ModelError(SitePlanError, ValueError):
    """A value that no site can have."""


class GeometryError(SitePlanError):
    """Shapes from which no result can be worked out."""


class SiteFileError(SitePlanError):
    """A site file that cannot be read or written."""


class DamagedFileError(SiteFileError):
    """A site file that is cut off, or not a site file at all."""


class WriteError(SiteFileError):
    """A target that cannot be written."""


class PackError(SitePlanError):
    """A rule pack or a table of limits that cannot be used."""


class SheetError(SitePlanError):
    """A sheet that cannot be laid out or exported."""
