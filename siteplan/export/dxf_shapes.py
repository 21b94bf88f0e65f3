"""Primitives as entities of a DXF: one kind of entity for each, bare of colour, width and line type of its own."""

from math import degrees, pi
from typing import TYPE_CHECKING, Final, assert_never

from msgspec.structs import replace

from siteplan.drawing.hatches import hatch_ratio, pattern_definition
from siteplan.drawing.primitives import (
    Align,
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Stroke,
    Symbol,
)
from siteplan.drawing.symbols import placed_symbol, symbol_primitives
from siteplan.export.dxf_dimensions import BY_LAYER, add_dimension
from siteplan.export.dxf_plane import BLOCK_LAYER, Plane
from siteplan.export.dxf_tables import APPLICATION, FONTS
from siteplan.export.dxf_text import ascii_name, ascii_text

if TYPE_CHECKING:
    from ezdxf.entities import Hatch
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.entities.text import Text

PATTERN_ALONG: Final = 128  # flag of a polyline: its pattern runs on through the corners
CUSTOM_PATTERN: Final = 2  # a pattern of our own, not one that the reader knows by name
EVEN_ODD: Final = 0  # style of a hatch
CORNERS_OF_TRIANGLE: Final = 3
STRING: Final = 1000  # group code of a text in extended data


def draw(plane: Plane, shape: Primitive) -> None:
    """Add a primitive to a plane; its entity carries the id of what it shows as extended data."""
    entity = _entity(plane, shape)
    if entity is not None and shape.source:
        entity.set_xdata(APPLICATION, [(STRING, ascii_text(shape.source))])


def _entity(plane: Plane, shape: Primitive) -> "DXFGraphic | None":
    match shape:
        case Stroke():
            points = map(plane.place, shape.points)
            flags = {"flags": PATTERN_ALONG}
            return plane.space.add_lwpolyline(points, close=shape.closed, dxfattribs=plane.look(shape.pen) | flags)
        case Arc():
            return _arc(plane, shape)
        case Circle():
            return _circle(plane, shape)
        case Fill():
            return _fill(plane, shape)
        case HatchArea():
            hatch = _hatch(plane, shape)
            pitch = plane.length(hatch_ratio(shape.rings, shape.pattern, plane.ratio))
            lines = pattern_definition(shape.pattern, pitch)
            hatch.set_pattern_fill(
                shape.pattern.upper(), BY_LAYER, style=EVEN_ODD, pattern_type=CUSTOM_PATTERN, definition=lines
            )
            return hatch
        case Label():
            return add_text(plane, shape) if shape.text else None
        case Dimension():
            return add_dimension(plane, shape, draw)
        case Symbol():
            return _symbol(plane, shape)
        case _:
            assert_never(shape)


def _circle(plane: Plane, shape: Circle | Arc) -> "DXFGraphic":
    return plane.space.add_circle(
        plane.place(shape.centre), plane.length(shape.radius), dxfattribs=plane.look(shape.pen)
    )


def _arc(plane: Plane, arc: Arc) -> "DXFGraphic":
    if abs(arc.sweep_rad) >= 2 * pi:
        return _circle(plane, arc)
    # Arcs of a DXF always run counter-clockwise.
    start, end = sorted((arc.start_rad, arc.start_rad + arc.sweep_rad))
    return plane.space.add_arc(
        plane.place(arc.centre),
        plane.length(arc.radius),
        degrees(start),
        degrees(end),
        dxfattribs=plane.look(arc.pen),
    )


def _fill(plane: Plane, fill: Fill) -> "DXFGraphic | None":
    """Add a solid fill; light ones are left out, as a line beside each shows the same area."""
    if fill.tone != "solid":
        return None
    if len(fill.rings) == 1 and len(fill.rings[0]) == CORNERS_OF_TRIANGLE:
        # Some readers drop every hatch; a solid triangle keeps their arrow heads.
        return plane.space.add_solid(map(plane.place, fill.rings[0]), dxfattribs=plane.look(fill.pen))
    hatch = _hatch(plane, fill)
    hatch.set_solid_fill(BY_LAYER, style=EVEN_ODD)
    return hatch


def _hatch(plane: Plane, shape: Fill | HatchArea) -> "Hatch":
    hatch = plane.space.add_hatch(BY_LAYER, dxfattribs=plane.look(shape.pen))
    for ring in shape.rings:
        hatch.paths.add_polyline_path(map(plane.place, ring), is_closed=True)
    return hatch


def add_text(plane: Plane, label: Label) -> "Text":
    """Add a line of text in the font of its face."""
    from ezdxf.enums import TextEntityAlignment  # here, as ezdxf takes .2 s and few runs export

    alignments: dict[Align, TextEntityAlignment] = {
        "left": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "right": TextEntityAlignment.RIGHT,
    }
    text = plane.space.add_text(
        ascii_text(label.text),
        height=plane.paper_size(label.height_mm),
        rotation=degrees(label.turn_rad),
        dxfattribs=plane.look(label.pen) | {"style": FONTS[label.face][0]},
    )
    return text.set_placement(plane.place(label.at), align=alignments[label.align])


def _symbol(plane: Plane, symbol: Symbol) -> "DXFGraphic":
    """Insert the block of a symbol at its size on paper; its texts stand beside the block, as they stay upright."""
    for part in placed_symbol(symbol, plane.ratio):
        if isinstance(part, Label):
            draw(plane, part)
    size = plane.paper_size(1.0)
    return plane.space.add_blockref(
        _symbol_block(plane, symbol),
        plane.place(symbol.at),
        dxfattribs=plane.look(symbol.pen)
        | {"rotation": degrees(symbol.turn_rad), "xscale": size, "yscale": size, "zscale": size},
    )


def _symbol_block(plane: Plane, symbol: Symbol) -> str:
    """Return the name of the block of a symbol, in mm of paper, made when it is first asked for."""
    name = ascii_name(f"SITEPLAN-{symbol.name.upper()}")
    if name not in plane.doc.blocks:
        inside = Plane(plane.doc.blocks.new(name), unit_mm=1.0, layer=BLOCK_LAYER)
        for part in symbol_primitives(replace(symbol, source="")):
            if not isinstance(part, Label):
                draw(inside, part)
    return name
