"""The bare GEOS and numpy work that no implementation of a full analysis can avoid, on ready arrays of true sizes."""

from collections.abc import Callable

import numpy as np
import shapely

from siteplan.analysis.boundaries import boundaries
from siteplan.analysis.fixed_things import fixed_things
from siteplan.analysis.ground import ground_surface
from siteplan.analysis.leaf_places import leaf_places, swept_areas
from siteplan.analysis.near_things import LOOK_MM, things_beside
from siteplan.geometry.points import Array
from siteplan.model.document import Document

CONTACTS = 24  # candidate angles a segment at which a box first touches it
TURNS = 12  # of the 26 candidate angles a segment at which a distance can be least, those that lie in the turn
SIDES = 6  # distances that make one distance of box and segment: two ends, four corners
OUTLINE = 165  # places of a swept outline


def _contact(count: int, cosines: Array) -> object:
    np.arctan2(cosines[:count], cosines[:count])
    return np.arccos(cosines[: CONTACTS * count].reshape(CONTACTS, -1)).min(axis=0)


def _distance(count: int, numbers: Array) -> object:
    return np.hypot(numbers[: SIDES * count], numbers[: SIDES * count]).reshape(SIDES, -1).min(axis=0)


def analysis_floor(document: Document) -> Callable[[], object]:
    """Return the floor of one full analysis.

    For each leaf: its outline and area, the query of the index, the near outlines in its frame, contact with them,
    least gap over the travel and over the part of it beyond the closing edge, gap of the open leaf, contact with the
    lines, distance of lines and controls to the swept area, and the ground under its corners.
    """
    fixed, ground = fixed_things(document), ground_surface(document)
    lines = [shapely.LineString(line.line) for line in boundaries(document)]
    leaves = []
    for leaf, area in swept_areas(document).items():
        left, bottom, right, top = area.bounds
        window = shapely.box(left - LOOK_MM, bottom - LOOK_MM, right + LOOK_MM, top + LOOK_MM)
        place = leaf_places(document)[leaf]
        near = things_beside(place, area, fixed, ground)
        footprints = np.array([thing.footprint for thing in near.things], dtype=object)
        leaves.append((place, area, window, near.segments, footprints))
    numbers = np.linspace(-1, 1, 200_000)
    angles = np.linspace(0, 1.5, OUTLINE)
    corners = np.ones((4, 2))

    def run() -> object:
        for place, area, window, segments, footprints in leaves:
            outline = 2000 * np.stack((np.cos(angles), np.sin(angles)), -1)
            shapely.polygons(outline)
            fixed.index.query(window)
            place.frame.segments_to_local(segments)
            count = len(segments)
            for _ in range(2):  # the whole travel, and beyond the closing edge
                _contact(count, numbers)
                np.mod(numbers[: CONTACTS * count], 6.28)
                _distance(TURNS * count, numbers)
            _distance(count, numbers)
            shapely.contains(footprints, shapely.polygons(corners + outline[:4]))
            _contact(len(lines), numbers)
            shapely.distance(area, lines)
            np.arccos(np.cos(corners) @ np.ones(2) / 9)  # the ground: each corner a wave over the travel
        return None

    return run
