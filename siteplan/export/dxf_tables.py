"""What stands at the front of a DXF: units and other settings, layers, line types and text styles."""

from typing import TYPE_CHECKING, Final

from siteplan.drawing.pens import Look, line_patterns, looks
from siteplan.drawing.primitives import Face, SheetSet
from siteplan.export.dxf_text import ascii_text
from siteplan.units.field_rule import MM_PER_INCH

if TYPE_CHECKING:
    from ezdxf.document import Drawing

APPLICATION: Final = "SITEPLAN"  # under this name every entity carries the id of what it shows
# The faces come from the same font files as in every other output.
FONTS: Final[dict[Face, tuple[str, str]]] = {
    "regular": ("SITEPLAN-REGULAR", "OpenSans-Regular.ttf"),
    "semibold": ("SITEPLAN-SEMIBOLD", "OpenSans-SemiBold.ttf"),
    "bold": ("SITEPLAN-BOLD", "OpenSans-Bold.ttf"),
}
# Names and values of the settings: DXF reference of release 2000.
SETTINGS: Final = {
    "$AUNITS": 0,  # decimal degrees
    "$AUPREC": 1,
    "$ANGBASE": 0,
    "$ANGDIR": 0,
    "$LTSCALE": 1,  # patterns are in paper units ...
    "$PSLTSCALE": 1,  # ... and look the same in every viewport
    "$LWDISPLAY": 1,
    "$TILEMODE": 0,  # opens on the sheet
}
INCH_SETTINGS: Final = {"$INSUNITS": 1, "$MEASUREMENT": 0, "$LUNITS": 4, "$LUPREC": 4}
METRIC_SETTINGS: Final = {"$INSUNITS": 4, "$MEASUREMENT": 1, "$LUNITS": 2, "$LUPREC": 4}
TEXT_SIZE_MM: Final = 2.4  # what a text typed into the file starts with, on paper
HUNDREDTHS: Final = 100


def unit_of(sheets: SheetSet) -> float:
    """Return the length of the drawing unit in mm."""
    return float(MM_PER_INCH) if sheets.inches else 1.0


def add_tables(doc: "Drawing", unit_mm: float) -> None:
    """Add the application id, the line types, the layers and the text styles."""
    doc.appids.add(APPLICATION)
    for name, parts_mm in line_patterns().items():
        if parts_mm:
            parts = [part / unit_mm for part in parts_mm]
            doc.linetypes.add(name, [sum(map(abs, parts)), *parts])
    for look in looks().values():
        if look.layer not in doc.layers:
            _add_layer(doc, look)
    for name, file in FONTS.values():
        doc.styles.add(name, font=file)


def _add_layer(doc: "Drawing", look: Look) -> None:
    layer = doc.layers.add(look.layer, color=look.aci, linetype=look.line, plot=look.plots)
    layer.dxf.lineweight = round(HUNDREDTHS * look.width_mm)
    layer.description = ascii_text(look.about)


def set_header(doc: "Drawing", sheets: SheetSet, ratio: float) -> None:
    """Set units and display of the file; ``ratio`` is that of the view annotated in model space."""
    settings = SETTINGS | (INCH_SETTINGS if sheets.inches else METRIC_SETTINGS)
    for name, value in settings.items():
        doc.header[name] = value
    doc.header["$DIMSCALE"] = ratio
    doc.header["$TEXTSIZE"] = TEXT_SIZE_MM * ratio / unit_of(sheets)
    doc.header["$TEXTSTYLE"] = FONTS["regular"][0]
    words = doc.ezdxf_metadata()
    for key, text in (("TITLE", sheets.title), ("AUTHOR", sheets.author), ("SUBJECT", sheets.subject)):
        words[key] = ascii_text(text)
