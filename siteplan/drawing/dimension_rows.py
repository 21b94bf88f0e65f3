"""Dimensions set where their text stands neither on a line nor on another text: farther out, or along their line."""

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

import shapely
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from siteplan.drawing.dimensions import dimension_box, explode
from siteplan.drawing.label_scene import Scene
from siteplan.drawing.primitives import Dimension, Stroke

ROW_MM = 9.0  # from one row of dimensions to the next, on paper
MOST_ROWS = 2  # a dimension may go out
TEXT_SHARES = (0.5, 0.25, 0.75)  # of its line, best first


def set_rows(
    dimensions: Sequence[Dimension], scene: Scene, may_go: Collection[str] = frozenset()
) -> tuple[Dimension, ...]:
    """Return dimensions in their order, the linear ones where their text is free.

    ``scene`` is the view without them.  A text keeps clear of lines, of areas no text may cover, and of the texts and
    lines of the dimensions before it: its dimension goes out by up to MOST_ROWS rows, then its text along the line.
    Where nothing is free it stands where it strikes least; one of a source in ``may_go`` is left out there when its
    text would cover something or its line would strike a text.
    """
    lines = shapely.STRtree(shapely.linestrings(scene.segments.reshape(-1, 2, 2)))
    areas = shapely.STRtree(scene.shapes)
    set_already: list[_Drawn] = []
    result = []
    for dimension in dimensions:
        drawn = [_drawn(choice, scene) for choice in _choices(dimension)]
        struck = [_struck(each, lines, areas, set_already) for each in drawn]
        best = min(range(len(drawn)), key=struck.__getitem__)
        if struck[best][0] and dimension.source in may_go:
            continue
        result.append(drawn[best].dimension)
        set_already.append(drawn[best])
    return tuple(result)


class _Drawn(NamedTuple):
    """A dimension with the box of its text and its lines, in paper mm."""

    dimension: Dimension
    box: BaseGeometry
    lines: BaseGeometry


def _choices(dimension: Dimension) -> Iterator[Dimension]:
    """Yield where a dimension may stand, best first; one that stands on what it measures may go out on both sides."""
    if dimension.kind != "linear":
        yield dimension
        return
    sides = (1, -1) if not dimension.offset_mm else (1,) if dimension.offset_mm > 0 else (-1,)
    outward = [0.0, *(side * row * ROW_MM for side in sides for row in range(1, MOST_ROWS + 1))]
    for share in TEXT_SHARES:
        for out in outward:
            yield replace(dimension, offset_mm=dimension.offset_mm + out, text_share=share)


def _drawn(dimension: Dimension, scene: Scene) -> _Drawn:
    strokes = [part for part in explode(dimension, scene.ratio) if isinstance(part, Stroke)]
    return _Drawn(
        dimension,
        shapely.Polygon(scene.to_paper(dimension_box(dimension, scene.ratio))),
        shapely.MultiLineString([scene.to_paper(stroke.points) for stroke in strokes]),
    )


def _struck(drawn: _Drawn, lines: shapely.STRtree, areas: shapely.STRtree, before: Sequence[_Drawn]) -> tuple[int, int]:
    """Return how many areas and texts a dimension strikes, and how many lines run through its text."""
    texts = sum(each.box.intersects(drawn.box) or each.box.intersects(drawn.lines) for each in before)
    crossed = sum(each.lines.intersects(drawn.box) for each in before)
    return texts + len(areas.query(drawn.box, "intersects")), crossed + len(lines.query(drawn.box, "intersects"))
