"""Dimensions in a DXF: real DIMENSION entities, each with a block of its own that holds the drawn lines and text.

Without that block some readers refuse the file and others print a number of their own making.  The block comes from the
same function as in every other output.
"""

from collections.abc import Callable
from math import degrees, pi, sqrt
from typing import TYPE_CHECKING, Final, assert_never

from siteplan.drawing.dimensions import (
    ARROW_MM,
    EXTENSION_GAP_MM,
    EXTENSION_OVERRUN_MM,
    TEXT_GAP_MM,
    TEXT_MM,
    TICK_MM,
    explode,
)
from siteplan.drawing.primitives import Dimension, Label, Primitive, Ring
from siteplan.drawing.text_size import label_box
from siteplan.export.dxf_plane import Plane
from siteplan.export.dxf_tables import FONTS
from siteplan.export.dxf_text import ascii_text
from siteplan.geometry.points import Frame, Point, direction_between, distance_between, point_at
from siteplan.units.writing import LengthStyle, write_length

if TYPE_CHECKING:
    from ezdxf.entities import Dimension as DimensionEntity

Draw = Callable[[Plane, Primitive], None]

BY_LAYER: Final = 256  # colour number
TEXT_PLACED: Final = 128  # flag of the dimension type: the text stays where it was put
POINT_LAYER: Final = "Defpoints"  # measured places, never plotted; the name is laid down by the format
# DXF reference of release 2000, DIMSTYLE.
STYLE: Final = {
    "dimtad": 1,  # text above the line
    "dimtih": 0,
    "dimtoh": 0,  # text along the line, inside and outside
    "dimtofl": 1,
    "dimtmove": 1,
    "dimaunit": 0,
    "dimadec": 0,  # whole degrees
    "dimdsep": ord("."),
    "dimclrd": BY_LAYER,
    "dimclre": BY_LAYER,
    "dimclrt": BY_LAYER,
    "dimlwd": -1,
    "dimlwe": -1,  # line weights by layer as well
    "dimcen": 0.0,  # no mark at the centre of a radius
    "dimtxsty": FONTS["semibold"][0],
}
# Feet and inches to 1/8 in, no zero feet, zero inches kept, fractions not stacked.
INCH_STYLE: Final = {"dimlunit": 4, "dimdec": 3, "dimrnd": 0.125, "dimzin": 3, "dimfrac": 2}
METRIC_STYLE: Final = {"dimlunit": 2, "dimdec": 0, "dimrnd": 1.0, "dimzin": 8, "dimpost": "<> mm"}
ARROWS: Final = {"dimse1": 1, "dimse2": 1}  # no extension lines
SIZES_MM: Final = {
    "dimtxt": TEXT_MM,
    "dimgap": TEXT_GAP_MM,
    "dimexo": EXTENSION_GAP_MM,
    "dimexe": EXTENSION_OVERRUN_MM,
    "dimasz": ARROW_MM,
}
TICKS_MM: Final = {"dimtsz": TICK_MM / (2 * sqrt(2))}  # reach of a tick in x and in y
MEASURING_NOISE: Final = 1e-4  # mm or radians: nearer to a tie, two programs may round to either side


def dimension_style(plane: Plane, is_linear: bool) -> str:
    """Return the name of the style of dimensions in a plane, made when it is first asked for.

    In model space the style enlarges what has a size on paper; on paper it multiplies what it measures instead.
    """
    enlarged = plane.ratio * plane.scale
    place = "" if enlarged == plane.ratio else "-PAPER"
    name = f"SITEPLAN-{'TICK' if is_linear else 'ARROW'}-{plane.ratio:g}{place}"
    styles = plane.doc.dimstyles
    if name not in styles:
        units = INCH_STYLE if plane.is_inches else METRIC_STYLE
        sizes = {key: size / plane.unit_mm for key, size in (SIZES_MM | (TICKS_MM if is_linear else {})).items()}
        scales = {"dimscale": enlarged, "dimlfac": 1 / plane.scale}
        styles.add(name, dxfattribs=STYLE | units | ({} if is_linear else ARROWS) | sizes | scales)
    return name


def add_dimension(plane: Plane, dimension: Dimension, draw: Draw) -> "DimensionEntity":
    """Add a dimension with its block; ``draw`` adds one primitive to a plane."""
    entity = _entity(plane, dimension)
    parts = explode(dimension, plane.ratio)
    block = plane.doc.blocks.new_anonymous_block(type_char="D")
    inside = plane._replace(space=block)
    for part in parts:
        draw(inside, part)
    for point in _measured_points(dimension):
        block.add_point(plane.place(point), dxfattribs={"layer": POINT_LAYER})
    label = next(part for part in parts if isinstance(part, Label))
    entity.update_dxf_attribs(
        plane.look(dimension.pen)
        | {
            "geometry": block.name,
            "text_midpoint": plane.place(_middle(label_box(label, plane.ratio))),
            "actual_measurement": _drawn_measure(plane, dimension),
            "dimtype": entity.dxf.dimtype | TEXT_PLACED,
        }
    )
    return entity


def _entity(plane: Plane, dimension: Dimension) -> "DimensionEntity":
    """Return the bare entity; its places are those from which a program works the dimension out again."""
    style = dimension_style(plane, dimension.kind == "linear")
    text = dimension_text(dimension, plane.is_inches)
    first, second, centre = map(plane.place, (dimension.first, dimension.second, dimension.centre))
    match dimension.kind:
        case "linear":
            base, angle = plane.place(_place_on_line(dimension, plane.ratio)), degrees(dimension.direction_rad)
            made = plane.space.add_linear_dim(base, first, second, text=text, angle=angle, dimstyle=style)
        case "radius":
            made = plane.space.add_radius_dim(first, second, text=text, dimstyle=style)
        case "angle":
            middle = direction_between(dimension.centre, dimension.first) + measure(dimension) / 2
            base = plane.place(point_at(dimension.centre, abs(dimension.offset_mm) * plane.ratio, middle))
            made = plane.space.add_angular_dim_3p(base, centre, first, second, text=text, dimstyle=style)
        case _:
            assert_never(dimension.kind)
    return made.dimension


def measure(dimension: Dimension) -> float:
    """Return what a dimension measures: a length in the unit of its places, or an angle in radians."""
    match dimension.kind:
        case "linear":
            frame = Frame((0.0, 0.0), dimension.direction_rad)
            return abs(frame.point_to_local(dimension.second)[0] - frame.point_to_local(dimension.first)[0])
        case "radius":
            return distance_between(dimension.first, dimension.second)
        case "angle":
            start = direction_between(dimension.centre, dimension.first)
            return (direction_between(dimension.centre, dimension.second) - start) % (2 * pi)
        case _:
            assert_never(dimension.kind)


def dimension_text(dimension: Dimension, inches: bool) -> str:
    """Return the text of the entity: ``<>`` where a program that measures again prints the same number.

    A number that was not rounded to the nearest step, or is written in another unit, stands as it is: nobody's program
    may round it across a limit.
    """
    if all(_as_measured(dimension, noise, inches) == dimension.number for noise in (-MEASURING_NOISE, MEASURING_NOISE)):
        return ascii_text(f"<> {dimension.note}".rstrip())
    return ascii_text(f"{'R' if dimension.kind == 'radius' else ''}{dimension.text}")


def _as_measured(dimension: Dimension, noise: float, inches: bool) -> str:
    """Return the number that the style prints for a measure off by a little."""
    if dimension.kind == "angle":
        return f"{round(degrees(measure(dimension) + noise))}°"
    return write_length(measure(dimension) + noise, LengthStyle("ftin" if inches else "mm"))


def _drawn_measure(plane: Plane, dimension: Dimension) -> float:
    """Return the measure in drawing units or radians; on paper too it is that of the thing itself."""
    return measure(dimension) if dimension.kind == "angle" else measure(dimension) / plane.unit_mm


def _place_on_line(dimension: Dimension, ratio: float) -> Point:
    """Return a place on the dimension line of a length: beyond the outermost of its two places."""
    frame = Frame((0.0, 0.0), dimension.direction_rad)
    outermost = max if dimension.offset_mm >= 0 else min
    outer = outermost(dimension.first, dimension.second, key=lambda place: frame.point_to_local(place)[1])
    return point_at(outer, dimension.offset_mm * ratio, dimension.direction_rad + pi / 2)


def _measured_points(dimension: Dimension) -> tuple[Point, ...]:
    ends = (dimension.first, dimension.second)
    return (*ends, dimension.centre) if dimension.kind == "angle" else ends


def _middle(corners: Ring) -> Point:
    (left, bottom), _, (right, top), _ = corners
    return ((left + right) / 2, (bottom + top) / 2)
