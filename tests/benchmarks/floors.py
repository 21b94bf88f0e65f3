"""The bare GEOS and numpy work that no implementation of a full analysis can avoid, on ready arrays of true sizes."""

from collections.abc import Callable

import numpy as np
import shapely

from siteplan.analysis.fixed_things import fixed_things
from siteplan.analysis.leaf_places import leaf_places, swept_areas
from siteplan.analysis.near_things import LOOK_MM
from siteplan.model.document import Document

CANDIDATES = 24
ANGLES = 111


def analysis_floor(document: Document) -> Callable[[], object]:
    """For each leaf: query of the index, distance and area of the swept area, contact candidates, a profile."""
    fixed = fixed_things(document)
    lines = shapely.linestrings(fixed.segments.reshape(-1, 2, 2))
    leaves = []
    for leaf, area in swept_areas(document).items():
        left, bottom, right, top = area.bounds
        window = shapely.box(left - LOOK_MM, bottom - LOOK_MM, right + LOOK_MM, top + LOOK_MM)
        near = fixed.index.query(window)
        count = max(1, len(near))
        leaves.append((leaf_places(document)[leaf], area, window, lines[near], np.linspace(-1, 1, CANDIDATES * count)))

    def run() -> object:
        for _, area, window, near, cosines in leaves:
            fixed.index.query(window)
            shapely.distance(area, near)
            shapely.area(shapely.intersection(area, near))
            np.arccos(cosines.reshape(CANDIDATES, -1)).min(axis=0)
            np.hypot(cosines[None, : len(near)], np.ones((ANGLES, 1))).min(axis=1)
        return None

    return run
