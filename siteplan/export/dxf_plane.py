"""Where the primitives of a DXF go: a space of the file, and how mm become its drawing units."""

from typing import TYPE_CHECKING, NamedTuple

from siteplan.drawing.pens import Pen, looks
from siteplan.drawing.primitives import View
from siteplan.geometry.points import Point

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

BLOCK_LAYER = "0"  # inside a block definition it means the layer of the inserted block


class Plane(NamedTuple):
    """A space that takes primitives, and the scales that places and paper sizes have in it."""

    space: "BaseLayout"
    unit_mm: float  # length of a drawing unit
    ratio: float = 1.0  # model length / paper length of the view
    scale: float = 1.0  # length in the space / length in the primitives
    origin: Point = (0.0, 0.0)  # the place in the primitives that lies at ``target``
    target: Point = (0.0, 0.0)  # in mm of the space
    layer: str = ""  # takes everything; empty: the layer of the pen

    @property
    def doc(self) -> "Drawing":
        """The file the space belongs to."""
        doc = self.space.doc
        assert doc is not None
        return doc

    @property
    def is_inches(self) -> bool:
        """Whether the drawing unit is the inch."""
        return self.unit_mm != 1

    def place(self, point: Point) -> Point:
        """Return the place of a point of a primitive, in drawing units."""
        x, y = (
            (end + (value - start) * self.scale) / self.unit_mm
            for value, start, end in zip(point, self.origin, self.target, strict=True)
        )
        return (x, y)

    def length(self, length_mm: float) -> float:
        """Return a length of a primitive in drawing units."""
        return length_mm * self.scale / self.unit_mm

    def paper_size(self, size_mm: float) -> float:
        """Return a size on paper in drawing units."""
        return self.length(size_mm * self.ratio)

    def look(self, pen: Pen) -> dict[str, str]:
        """Return the attributes of an entity: everything but the layer is left to the layer."""
        return {"layer": self.layer or looks()[pen].layer}


def frame_centre(view: View) -> Point:
    """Return the middle of the frame of a view on its sheet, in paper mm."""
    left, bottom, width, height = view.frame
    return (left + width / 2, bottom + height / 2)


def paper_plane(view: View, space: "BaseLayout", unit_mm: float) -> Plane:
    """Return the plane that takes model places of a view on paper."""
    return Plane(space, unit_mm, ratio=view.ratio, scale=1 / view.ratio, origin=view.centre, target=frame_centre(view))
