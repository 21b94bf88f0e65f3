"""The ground of a site as a surface."""

from math import inf
from operator import attrgetter
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from siteplan.analysis.derived import Derived
from siteplan.errors import GeometryError
from siteplan.geometry.points import Array, Point
from siteplan.geometry.terrain import Ground, Plane, Terrain, heights_at, terrain_from_shots
from siteplan.model.site import Ground as GroundRecord
from siteplan.model.site import PlaneGround, ShotGround


class Levels(NamedTuple):
    """The ground under some shapes, from the datum: lowest and highest known place of each, 0 where none is known."""

    low_mm: Array  # (n,)
    high_mm: Array
    known: NDArray[np.bool_]  # False: the shots do not reach under the whole shape


class GroundResult(NamedTuple):
    """The ground, or why there is none."""

    surface: Ground | None
    fault: str = ""  # why the shots make no surface

    def height_at(self, place: tuple[float, float]) -> float | None:
        """Return the height at a place; None where no ground is known."""
        if self.surface is None:
            return None
        height = float(heights_at(self.surface, np.array([place]))[0])
        return None if np.isnan(height) else height

    def level_range(self, place: Point) -> tuple[float, float]:
        """Return between which heights the ground at a place lies; 0 while no ground is given at all.

        Where shots are given but do not reach, it may lie anywhere.
        """
        if self.surface is None:
            return 0.0, 0.0
        level = self.height_at(place)
        return (-inf, inf) if level is None else (level, level)

    def levels_under(self, shapes: NDArray[np.object_]) -> Levels:
        """Return the levels of the ground under shapes of the plan, shape (n,): level at 0 while no ground is given.

        On a surface of flat pieces they lie at corners of a shape or where it meets edges of the surface.
        """
        count = len(shapes)
        if self.surface is None:
            return Levels(np.zeros(count), np.zeros(count), np.ones(count, dtype=bool))
        places, owners = shapely.get_coordinates(shapes, return_index=True)
        if isinstance(self.surface, Terrain):
            edges = shapely.linestrings(self.surface.vertices[self.surface.edges, :2])
            of_shape, of_edge = shapely.STRtree(edges).query(shapes, predicate="intersects")
            shared = shapely.intersection(shapes[of_shape], edges[of_edge])
            more, rows = shapely.get_coordinates(shared, return_index=True)
            places, owners = np.vstack((places, more)), np.concatenate((owners, of_shape[rows]))
        levels = heights_at(self.surface, places)
        unknown = np.isnan(levels)
        low, high, known = np.full(count, inf), np.full(count, -inf), np.ones(count, dtype=bool)
        np.minimum.at(low, owners, np.where(unknown, inf, levels))
        np.maximum.at(high, owners, np.where(unknown, -inf, levels))
        known[owners[unknown]] = False
        return Levels(np.where(low < inf, low, 0.0), np.where(high > -inf, high, 0.0), known)


def _surface(ground: GroundRecord | None) -> GroundResult:
    match ground:
        case PlaneGround():
            return GroundResult(Plane(ground.height_mm, ground.x_grade, ground.y_grade))
        case ShotGround():
            shots = np.array([(*shot.at, shot.height_mm) for shot in ground.shots]).reshape(-1, 3)
            try:
                return GroundResult(terrain_from_shots(shots))
            except GeometryError as error:
                return GroundResult(None, str(error))
        case None:
            return GroundResult(None)


ground_surface = Derived(_surface, attrgetter("ground"))
