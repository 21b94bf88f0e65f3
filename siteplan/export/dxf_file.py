"""Sheets as a DXF file of release 2000: to scale, readable by many programs, and the same bytes every time."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from hashlib import sha256
from io import StringIO
from typing import TYPE_CHECKING, Final
from uuid import UUID

from siteplan.drawing.primitives import SheetSet
from siteplan.errors import SheetError
from siteplan.export.dxf_dimensions import dimension_style
from siteplan.export.dxf_layout import all_views, draw_model, draw_sheet
from siteplan.export.dxf_plane import Plane
from siteplan.export.dxf_tables import add_tables, set_header, unit_of
from siteplan.export.dxf_text import ascii_name

if TYPE_CHECKING:
    from ezdxf.document import Drawing

RELEASE: Final = "R2000"  # the newest whose texts every reader decodes alike
FIRST_LAYOUT: Final = "Layout1"  # made by the library together with model space
DATES: Final = re.compile(r"(\$TDU?(?:CREATE|UPDATE)\n *40\n)[^\n]*")
GUIDS: Final = re.compile(r"(\$(?:FINGERPRINT|VERSION)GUID\n *2\n)[^\n]*")
GUID_BYTES: Final = 16
JULIAN_DAY_ZERO: Final = 1_721_425  # Julian day number of 31 December of the year 0, Gregorian calendar


def write_dxf(sheets: SheetSet) -> bytes:
    """Return the DXF file of a set: model space at full size, and one layout for each sheet.

    The drawing unit is the inch or the mm.  Every text is ASCII.  The same set gives the same bytes.

    Raises
    ------
    SheetError
        When there is no sheet, two sheets have one name, or the issue date is not in the calendar.
    """
    from ezdxf.document import Drawing  # here, as it takes .2 s and few runs export

    names = _layout_names(sheets)
    with _fixed_marks():
        doc = Drawing.new(RELEASE)
        _fill(doc, sheets, names)
        # Left to itself, the library takes the kinds from a set, in an order that may change from run to run.
        for kind in sorted(doc.entitydb.dxf_types_in_use()):
            doc.classes.add_class(kind)
        stream = StringIO()
        doc.write(stream)
    return _stamped(stream.getvalue(), sheets.issue_date).encode("ascii")


def _layout_names(sheets: SheetSet) -> list[str]:
    """Return the names of the layouts, one a sheet."""
    names = [ascii_name(sheet.name) for sheet in sheets.sheets]
    if not names:
        raise SheetError(f"Set {sheets.title!r} has no sheet; a DXF file needs one at least.")
    for name in names:
        if names.count(name) > 1:
            raise SheetError(f"Sheet {name}: the name stands on more than one sheet; each sheet needs its own.")
    return names


def _fill(doc: "Drawing", sheets: SheetSet, names: list[str]) -> None:
    """Put everything into a new file, in an order that depends on the set alone."""
    unit_mm, views = unit_of(sheets), all_views(sheets)
    ratio = views[0].ratio if views else 1.0
    add_tables(doc, unit_mm)
    set_header(doc, sheets, ratio)
    doc.header["$DIMSTYLE"] = dimension_style(Plane(doc.modelspace(), unit_mm, ratio=ratio), is_linear=True)
    if views:
        draw_model(doc, views, unit_mm)
    doc.layouts.rename(FIRST_LAYOUT, names[0])
    layouts = [doc.paperspace(names[0]), *(doc.layouts.new(name) for name in names[1:])]
    for layout, sheet in zip(layouts, sheets.sheets, strict=True):
        draw_sheet(layout, sheet, views, unit_mm)


@contextmanager
def _fixed_marks() -> Iterator[None]:
    """Keep the time of day and the version of the library out of the file."""
    # Here, as it takes .2 s and few runs export; the package offers ``options``, but not to a type checker.
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _stamped(text: str, issue_date: str) -> str:
    """Return the text of a file with its dates set to the issue date and its ids made from its content."""
    if issue_date:
        text = DATES.sub(rf"\g<1>{_julian_day(issue_date)}", text)
    guid = str(UUID(bytes=sha256(text.encode()).digest()[:GUID_BYTES])).upper()
    return GUIDS.sub(rf"\g<1>{{{guid}}}", text)


def _julian_day(issue_date: str) -> float:
    """Return the Julian day number of a date; in a DXF a day starts at midnight."""
    try:
        return float(date.fromisoformat(issue_date).toordinal() + JULIAN_DAY_ZERO)
    except ValueError:
        raise SheetError(f"Issue date {issue_date!r} is not in the calendar; write it like 2031-04-02.") from None
