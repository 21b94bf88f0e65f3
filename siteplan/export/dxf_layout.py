"""The spaces of a DXF: model space with all things, and one layout a sheet with viewports, notes and title block."""

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from shapely import LineString, box, get_parts

from siteplan.drawing.pens import Pen, looks
from siteplan.drawing.primitives import Dimension, Label, Primitive, Sheet, SheetSet, Stroke, Symbol, View
from siteplan.errors import SheetError
from siteplan.export.dxf_plane import Plane, frame_centre, paper_plane
from siteplan.export.dxf_shapes import draw, entity_text
from siteplan.export.dxf_tables import unit_of
from siteplan.export.dxf_text import ascii_name, ascii_text

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Paperspace

PAPER_NAMES: Final = {"11x17": "ANSI_full_bleed_B", "ARCH D": "ARCH_full_bleed_D", "A3": "ISO_full_bleed_A3"}
PLOT_STYLE: Final = "monochrome.ctb"  # no standard ties colours to pens: the width on the layer counts
ZOOM_LOCKED: Final = 16384  # flag of a viewport
INVISIBLE: Final = 1  # flag of an attribute
TITLE_BLOCK: Final = "SITEPLAN-TITLE-BLOCK"
FIELD: Final = "field:"  # in front of the name of a field of the title block


def all_views(sheets: SheetSet) -> tuple[View, ...]:
    """Return the views of all sheets; the first of them is annotated in model space."""
    return tuple(view for sheet in sheets.sheets for view in sheet.views)


def is_thing(shape: Primitive) -> bool:
    """Return whether a primitive has its size in the model, and not on paper."""
    return not isinstance(shape, Label | Dimension | Symbol)


def things(view: View) -> tuple[Primitive, ...]:
    """Return what a view shows that has its size in the model."""
    return tuple(filter(is_thing, view.model))


def annotation(view: View) -> tuple[Primitive, ...]:
    """Return what a view shows that has its size on paper, and the lines that go with it."""
    return (*(shape for shape in view.model if not is_thing(shape)), *view.notes)
