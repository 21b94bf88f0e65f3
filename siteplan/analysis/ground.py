"""The ground of a site as a surface."""

from operator import attrgetter
from typing import NamedTuple

import numpy as np

from siteplan.analysis.derived import Derived
from siteplan.errors import GeometryError
from siteplan.geometry.terrain import Ground, Plane, heights_at, terrain_from_shots
from siteplan.model.site import Ground as GroundRecord
from siteplan.model.site import PlaneGround, ShotGround


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
