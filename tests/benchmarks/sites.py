"""Invented sites of any size at constant density, seeded."""

import numpy as np
from msgspec.structs import replace

from siteplan.analysis.fixed_things import fixed_things
from siteplan.analysis.leaf_places import leaf_places, swept_areas
from siteplan.model.document import Document
from siteplan.model.site import Block, Edge, PlaneGround
from tests.demo import demo_site

SEGMENTS_PER_BLOCK = 4
AREA_PER_BLOCK_MM2 = 4e5  # a block on 63 cm by 63 cm: as dense as things can stand
SIDE_MM = 150.0
WALL_GAP_MM, WAVE_MM = 450.0, 60.0


def crowded_site(segments: int) -> Document:
    """The courtyard pair among blocks scattered evenly around it, none inside the swing."""
    count = segments // SEGMENTS_PER_BLOCK
    base = demo_site("courtyard-pair")
    half = np.sqrt(count * AREA_PER_BLOCK_MM2) / 2
    random = np.random.default_rng(7)
    swept = list(swept_areas(base).values())
    blocks: list[Block] = []
    while len(blocks) < count:
        x, y = random.uniform(-half, half, 2)
        outline = ((x, y), (x + SIDE_MM, y), (x + SIDE_MM, y + SIDE_MM), (x, y + SIDE_MM))
        block = Block(id=f"T{len(blocks)}", what="block", outline=outline, top_mm=1500.0)
        if not any(_meets(area, outline) for area in swept):
            blocks.append(block)
    return replace(base, obstacles=tuple(blocks), ground=PlaneGround(x_grade=0.01, y_grade=0.005))


def _meets(area: object, outline: tuple[tuple[float, float], ...]) -> bool:
    import shapely  # only the benchmarks ask shapely for this

    return bool(shapely.intersects(area, shapely.Polygon(outline)))


def walled_site(segments: int) -> Document:
    """The courtyard pair between surveyed walls of many short pieces that follow the swing: all of it is near."""
    base = demo_site("courtyard-pair")
    walls = []
    for place in leaf_places(base).values():
        angles = np.linspace(0.2, 1.5, segments // 2 + 1)
        wave = place.reach_mm + WALL_GAP_MM + WAVE_MM * np.sin(40 * angles)
        line = place.frame.to_world(np.stack((wave * np.cos(angles), wave * np.sin(angles)), -1))
        walls.append(Edge(id=f"S{place.leaf.id}", kind="wall", line=tuple(map(tuple, line.tolist())), top_mm=1500.0))
    return replace(base, edges=(*base.edges[1:], *walls), ground=PlaneGround(x_grade=0.01, y_grade=0.005))


def with_leaf_moved(document: Document, step: int) -> Document:
    """The document with leaf B a hair longer or shorter: what one frame of a drag hands over."""
    leaf = document.leaves[1]
    length = leaf.length_mm + (0.01 if step % 2 else -0.01)
    return replace(document, leaves=(document.leaves[0], replace(leaf, length_mm=length)))


def warmed(document: Document) -> Document:
    """The document with what a drag of a leaf does not change already worked out."""
    fixed_things(document)
    leaf_places(document)
    return document
