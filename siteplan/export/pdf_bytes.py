"""What turns painted pages into the PDF of a set: exact page boxes, bookmarks, measuring scales, repeatable bytes.

Tables and clauses are those of ISO 32000-1:2008 (PDF 1.7).  Painted files differ from run to run in their dates,
their ids and the order of their fonts, so the pages are taken over into a new file that has none of these.
"""

from datetime import date
from hashlib import sha256
from io import BytesIO

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    PdfObject,
    RectangleObject,
    TextStringObject,
)

from siteplan.drawing.primitives import Sheet, SheetSet, View
from siteplan.errors import SheetError
from siteplan.export.pdf_text import join_letters, mend_fonts

HEADER = "%PDF-1.6"  # the first version with measuring scales
POINTS_PER_MM = 72 / 25.4
POINTS_PER_FOOT = 72 * 12
MM_PER_METRE = 1000
INCHES_PER_FOOT = 12
INCH_PARTS = 8  # lengths on plans are shown to 1/8 in
DECIMAL_PARTS = 100
DATE_WITHOUT_ISSUE = "2000-01-01"
ID_DIGITS = 32
PROGRAM = "siteplan"


def sheet_heading(sheet: Sheet) -> str:
    """Return how a sheet is called in lists: ``C-101 SITE PLAN``."""
    return f"{sheet.name} {sheet.title}".rstrip()


def finished_pdf(painted: bytes, sheets: SheetSet) -> bytes:
    """Return the file of a set from its painted pages, one for each sheet in order.

    Pages that are not as they are known to be painted raise SheetError.
    """
    reader = PdfReader(BytesIO(painted))
    if len(reader.pages) != len(sheets.sheets):
        raise SheetError(f"The PDF was painted with {len(reader.pages)} pages; {len(sheets.sheets)} would be right.")
    writer = PdfWriter()
    writer.pdf_header = HEADER
    for number, sheet in enumerate(sheets.sheets):
        page = writer.add_page(reader.pages[number])
        _set_boxes(page, sheet)
        _set_measures(page, sheet, inches=sheets.inches)
        join_letters(page)
        writer.add_outline_item(title=sheet_heading(sheet), page_number=number)
    mend_fonts(writer.pages)
    writer.metadata = _description(sheets)
    writer.root_object[NameObject("/ViewerPreferences")] = _dictionary(PrintScaling=NameObject("/None"))
    store = BytesIO()
    writer.write(store)
    return _with_id(store.getvalue())


def _set_boxes(page: PageObject, sheet: Sheet) -> None:
    """Give a page the size of its paper; painted pages are rounded to whole points."""
    box = RectangleObject((0, 0, sheet.width_mm * POINTS_PER_MM, sheet.height_mm * POINTS_PER_MM))
    page.mediabox = box
    page.trimbox = box


def _set_measures(page: PageObject, sheet: Sheet, *, inches: bool) -> None:
    """Say the scale of each view, so that lengths can be measured in the file (clause 12.9)."""
    page[NameObject("/VP")] = ArrayObject(_viewport(view, inches=inches) for view in sheet.views)


def _viewport(view: View, *, inches: bool) -> DictionaryObject:
    """Return the viewport of a view (table 260)."""
    left, bottom, width, height = (part * POINTS_PER_MM for part in view.frame)
    return _dictionary(
        Type=NameObject("/Viewport"),
        BBox=RectangleObject((left, bottom, left + width, bottom + height)),
        Name=TextStringObject(view.title),
        Measure=_measure(view, inches=inches),
    )


def _measure(view: View, *, inches: bool) -> DictionaryObject:
    """Return the scale of a view (tables 261 and 262)."""
    if inches:
        along = _number_format("ft", view.ratio / POINTS_PER_FOOT)
        distance = [_number_format("ft", 1), _number_format("in", INCHES_PER_FOOT, "/F", INCH_PARTS)]
        area = _number_format("sq ft", 1)
    else:
        along = _number_format("m", view.ratio / POINTS_PER_MM / MM_PER_METRE)
        distance = [_number_format("m", 1, "/D", MM_PER_METRE)]
        area = _number_format("sq m", 1)
    return _dictionary(
        Type=NameObject("/Measure"),
        Subtype=NameObject("/RL"),
        R=TextStringObject(view.scale_text),
        X=ArrayObject([along]),
        D=ArrayObject(distance),
        A=ArrayObject([area]),
    )


def _number_format(unit: str, factor: float, form: str = "/D", parts: int = DECIMAL_PARTS) -> DictionaryObject:
    """Return how a measured number is shown (table 263): ``/D`` as decimals, ``/F`` as a fraction, of 1/parts."""
    return _dictionary(
        Type=NameObject("/NumberFormat"),
        U=TextStringObject(unit),
        C=FloatObject(factor),
        F=NameObject(form),
        D=NumberObject(parts),
    )


def _dictionary(**entries: PdfObject) -> DictionaryObject:
    """Return a dictionary of the file."""
    return DictionaryObject({NameObject(f"/{key}"): value for key, value in entries.items()})


def _description(sheets: SheetSet) -> dict[str, str]:
    """Return what the file says about itself; the date is that of issue, never that of writing."""
    try:
        issued = date.fromisoformat(sheets.issue_date or DATE_WITHOUT_ISSUE)
    except ValueError as error:
        raise SheetError(f"Issue date {sheets.issue_date} cannot be read; year-month-day would be right.") from error
    stamp = f"D:{issued:%Y%m%d}000000Z"
    return {
        "/Title": sheets.title,
        "/Author": sheets.author,
        "/Subject": sheets.subject,
        "/Creator": PROGRAM,
        "/Producer": PROGRAM,
        "/CreationDate": stamp,
        "/ModDate": stamp,
    }


def _with_id(body: bytes) -> bytes:
    """Return a file with the id made of its content (clause 14.4); the trailer stands last, so that nothing moves."""
    digits = sha256(body).hexdigest()[:ID_DIGITS].encode()
    before, trailer, after = body.rpartition(b"trailer\n<<\n")
    if not trailer:
        raise SheetError("The PDF has no trailer where its id would stand.")
    return before + trailer + b"/ID [ <" + digits + b"> <" + digits + b"> ]\n" + after
