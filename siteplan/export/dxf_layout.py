"""The spaces of a DXF: model space with all things, and a layout for each sheet with its viewports and title block.

What has its size on paper can be right for one scale only.  In model space it is that of the first view of the set,
so that a reader of model space alone still has a complete plan; every further view has its own on paper, and its
viewport hides the layers of the other.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from siteplan.drawing.pens import Pen, looks
from siteplan.drawing.primitives import Dimension, Label, Primitive, Sheet, SheetSet, Symbol, View
from siteplan.export.dxf_plane import BLOCK_LAYER, Plane, frame_centre, paper_plane
from siteplan.export.dxf_shapes import draw
from siteplan.export.dxf_tables import FONTS
from siteplan.export.dxf_text import ascii_name, ascii_text
from siteplan.export.dxf_window import inside, window_of

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.viewport import Viewport
    from ezdxf.layouts.layout import Paperspace

PAPER_NAMES: Final = {"11x17": "ANSI_full_bleed_B", "ARCH D": "ARCH_full_bleed_D", "A3": "ISO_full_bleed_A3"}
PLOT_STYLE: Final = "monochrome.ctb"  # no standard ties colours to pens: the width on the layer counts
ZOOM_LOCKED: Final = 16384  # flag of a viewport
INVISIBLE: Final = 1  # flag of an attribute
TITLE_BLOCK: Final = "SITEPLAN-TITLE-BLOCK"
FIELD: Final = "field:"  # in front of the name of a field of the title block


def all_views(sheets: SheetSet) -> tuple[View, ...]:
    """Return the views of all sheets, in order."""
    return tuple(view for sheet in sheets.sheets for view in sheet.views)


def draw_model(doc: "Drawing", views: Sequence[View], unit_mm: float) -> None:
    """Draw the things of all views, each once, and the annotation of the first view."""
    plane = Plane(doc.modelspace(), unit_mm, ratio=views[0].ratio)
    for shape in dict.fromkeys(shape for view in views for shape in _things(view)):
        draw(plane, shape)
    taken = _layers_taken(views)
    for shape in _annotation(views[0]):
        draw(plane._replace(layer=_annotation_layer(shape, taken)), shape)
    _set_extents(doc, views, unit_mm)


def draw_sheet(layout: "Paperspace", sheet: Sheet, views: Sequence[View], unit_mm: float) -> None:
    """Set up one layout: page, viewports, the annotation that is not in model space, and everything on paper."""
    paper = Plane(layout, unit_mm)
    _set_page(paper, layout, sheet)
    for view in sheet.views:
        _add_viewport(layout, view, views, unit_mm)
        if view is not views[0]:
            plane = paper_plane(view, layout, unit_mm)
            for shape in _annotation(view):
                for part in inside(shape, window_of(view)):
                    draw(plane, part)
    for shape in sheet.items:
        draw(paper, shape)
    _add_title_values(paper, sheet)


def _is_thing(shape: Primitive) -> bool:
    """Return whether a primitive has its size in the model and not on paper."""
    return not isinstance(shape, Label | Dimension | Symbol)


def _things(view: View) -> Iterator[Primitive]:
    return filter(_is_thing, view.model)


def _annotation(view: View) -> tuple[Primitive, ...]:
    return (*(shape for shape in view.model if not _is_thing(shape)), *view.notes)


def _layer(shape: Primitive) -> str:
    return looks()[shape.pen].layer


def _layers_taken(views: Sequence[View]) -> frozenset[str]:
    """Return the layers on which further views show things, so that their viewports cannot hide them."""
    return frozenset(_layer(thing) for view in views[1:] for thing in _things(view))


def _annotation_layer(shape: Primitive, taken: frozenset[str]) -> str:
    """Return the layer of an annotation in model space: its own, or that of symbols where its own is taken."""
    return looks()[Pen.SIGN].layer if _layer(shape) in taken else _layer(shape)


def _hidden_layers(view: View, views: Sequence[View]) -> list[str]:
    """Return the layers of model space that the viewport of a view must not show."""
    taken = _layers_taken(views)
    notes = {_annotation_layer(shape, taken) for shape in _annotation(views[0])}
    used = {_layer(thing) for each in views for thing in _things(each)} | notes
    shown = {_layer(thing) for thing in _things(view)} | (notes if view is views[0] else set())
    return sorted(used - shown)


def _set_extents(doc: "Drawing", views: Sequence[View], unit_mm: float) -> None:
    """Set what model space shows first: the first view; its extents are what all views show."""
    windows = [window_of(view) for view in views]
    left, bottom = (min(window[side] for window in windows) / unit_mm for side in (0, 1))
    right, top = (max(window[side] for window in windows) / unit_mm for side in (2, 3))
    doc.modelspace().reset_extents((left, bottom, 0.0), (right, top, 0.0))
    doc.modelspace().reset_limits((left, bottom), (right, top))
    plane = Plane(doc.modelspace(), unit_mm, ratio=views[0].ratio)
    doc.set_modelspace_vport(plane.paper_size(views[0].frame[3]), plane.place(views[0].centre))


def _set_page(paper: Plane, layout: "Paperspace", sheet: Sheet) -> None:
    """Set paper without margins at 1:1, plotted in black, and the layout's own viewport out of sight."""
    width, height = paper.length(sheet.width_mm), paper.length(sheet.height_mm)
    name = PAPER_NAMES.get(sheet.paper, ascii_name(sheet.paper))
    layout.page_setup((width, height), units="inch" if paper.is_inches else "mm", scale=(1, 1), name=name, device="")
    layout.set_plot_style(PLOT_STYLE)
    layout.reset_extents((0.0, 0.0, 0.0), (width, height, 0.0))
    for viewport in layout.viewports():
        viewport.dxf.layer = paper.look(Pen.VIEW_FRAME)["layer"]


def _add_viewport(layout: "Paperspace", view: View, views: Sequence[View], unit_mm: float) -> "Viewport":
    """Add a locked viewport at the scale of a view; its frame is not plotted."""
    paper = Plane(layout, unit_mm)
    _, _, width, height = view.frame
    viewport = layout.add_viewport(
        center=paper.place(frame_centre(view)),
        size=(paper.length(width), paper.length(height)),
        view_center_point=paper.place(view.centre),
        view_height=paper.length(height) * view.ratio,
        dxfattribs=paper.look(Pen.VIEW_FRAME),
    )
    viewport.dxf.flags |= ZOOM_LOCKED
    viewport.frozen_layers = _hidden_layers(view, views)
    return viewport


def _title_values(sheet: Sheet) -> dict[str, list[Label]]:
    """Return the texts of each field of the title block, by the tag of the field."""
    values: dict[str, list[Label]] = {}
    for item in sheet.items:
        if isinstance(item, Label) and item.pen is Pen.TITLE_TEXT and item.source.startswith(FIELD):
            tag = ascii_name(item.source.removeprefix(FIELD)).upper().replace(" ", "_")
            values.setdefault(tag, []).append(item)
    return values


def _add_title_values(paper: Plane, sheet: Sheet) -> None:
    """Add a block that holds the values of the title block again, unseen, for programs that read attributes."""
    values = _title_values(sheet)
    if not values:
        return
    block = paper.doc.blocks.new(f"{TITLE_BLOCK}-{ascii_name(sheet.name)}")
    insert = paper.space.add_blockref(block.name, (0.0, 0.0), dxfattribs=paper.look(Pen.TITLE_TEXT))
    for tag, labels in values.items():
        first = labels[0]
        place, height = paper.place(first.at), paper.paper_size(first.height_mm)
        look = paper.look(first.pen) | {"style": FONTS[first.face][0], "height": height, "flags": INVISIBLE}
        block.add_attdef(tag, place, dxfattribs=look | {"layer": BLOCK_LAYER})
        insert.add_attrib(tag, ascii_text(" ".join(label.text for label in labels)), place, dxfattribs=look)
