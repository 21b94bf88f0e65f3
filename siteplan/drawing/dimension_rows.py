"""Dimensions set farther out where their text would stand on a line or on another text."""

from collections.abc import Sequence

import shapely
from msgspec.structs import replace

from siteplan.drawing.dimensions import dimension_box
from siteplan.drawing.label_scene import Scene
from siteplan.drawing.primitives import Dimension

ROW_MM = 9.0  # from one row of dimensions to the next, on paper
MOST_ROWS = 2  # a dimension may go out


def set_rows(dimensions: Sequence[Dimension], scene: Scene) -> tuple[Dimension, ...]:
    """Return dimensions in their order, the linear ones moved out by up to MOST_ROWS rows to where their text is free.

    ``scene`` is the view without them.  A text keeps clear of lines, of areas no text may cover, and of the texts of
    the dimensions before it; one that is free in no row stays where it was.
    """
    lines = shapely.STRtree(shapely.linestrings(scene.segments.reshape(-1, 2, 2)))
    taken = shapely.STRtree(scene.shapes)
    texts: list[shapely.Polygon] = []
    result = []
    for dimension in dimensions:
        outward = ROW_MM if dimension.offset_mm >= 0 else -ROW_MM
        rows = range(MOST_ROWS + 1) if dimension.kind == "linear" else range(1)
        choices = [replace(dimension, offset_mm=dimension.offset_mm + row * outward) for row in rows]
        boxes = [shapely.Polygon(scene.to_paper(dimension_box(choice, scene.ratio))) for choice in choices]
        trees = (lines, taken, shapely.STRtree(texts))
        free = (row for row in rows if not any(len(tree.query(boxes[row], "intersects")) for tree in trees))
        row = next(free, 0)
        result.append(choices[row])
        texts.append(boxes[row])
    return tuple(result)
