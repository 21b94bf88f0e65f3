"""How each leaf clears the ground under it, over its whole travel."""

from math import inf
from typing import NamedTuple

from siteplan.analysis.derived import Derived
from siteplan.analysis.ground import GroundResult, ground_surface
from siteplan.analysis.leaf_places import LeafPlace, leaf_places
from siteplan.geometry.ground_gap import (
    Underside,
    along_where_gap_between,
    angles_where_gap_between,
    first_gap_below,
    gap_at,
    gap_over_turn,
)
from siteplan.geometry.points import Point
from siteplan.geometry.terrain import Ground, turned_into

SAME_MM = 1e-3  # gaps farther from a limit than this need not be looked at angle by angle


class GapPlace(NamedTuple):
    """A gap under the leaf, the leaf angle and the place in the plan."""

    gap_mm: float
    angle_rad: float
    at: Point


class GroundFit(NamedTuple):
    """One leaf over its ground, with the true thickness of the leaf."""

    place: LeafPlace
    local_ground: Ground
    underside: Underside
    least: GapPlace
    greatest: GapPlace
    covered: bool  # False: the shots do not reach under the whole sweep

    def first_below(self, limit_mm: float) -> float | None:
        """Return the first leaf angle at which the gap falls to a limit; None if it never does."""
        if self.least.gap_mm > limit_mm + SAME_MM:
            return None
        angle = first_gap_below(
            self.place.body, self.underside, self.local_ground, limit_mm, 0.0, self.place.travel_rad
        )
        return angle if angle < inf else None

    def least_at(self, angle_rad: float) -> GapPlace:
        """Return the least gap at one leaf angle."""
        found = gap_at(self.place.body, self.underside, self.local_ground, [angle_rad])
        return self._in_plan(float(found.least_mm[0]), angle_rad, (found.least_at[0, 0], found.least_at[0, 1]))

    def greatest_at(self, angle_rad: float) -> GapPlace:
        """Return the greatest gap at one leaf angle."""
        found = gap_at(self.place.body, self.underside, self.local_ground, [angle_rad])
        return self._in_plan(float(found.greatest_mm[0]), angle_rad, (found.greatest_at[0, 0], found.greatest_at[0, 1]))

    def between(self, low_mm: float, high_mm: float) -> tuple[tuple[float, float], ...]:
        """Return the leaf angles, from and to, at which the gap somewhere lies between two limits."""
        if self.greatest.gap_mm < low_mm - SAME_MM or self.least.gap_mm > high_mm + SAME_MM:
            return ()
        return angles_where_gap_between(
            self.place.body, self.underside, self.local_ground, low_mm, high_mm, 0.0, self.place.travel_rad
        )

    def along_between(self, low_mm: float, high_mm: float, angle_rad: float) -> tuple[float, float] | None:
        """Return from where to where along the leaf the gap lies between two limits at one angle."""
        return along_where_gap_between(self.place.body, self.underside, self.local_ground, low_mm, high_mm, angle_rad)

    def _in_plan(self, gap_mm: float, angle_rad: float, local: Point) -> GapPlace:
        return GapPlace(gap_mm, angle_rad, self.place.frame.point_to_world((float(local[0]), float(local[1]))))


def ground_fit_of(place: LeafPlace, ground: GroundResult) -> GroundFit | None:
    """Return how one leaf clears the ground; None while the ground or the bottom gap is not known."""
    level = ground.height_at(place.frame.origin)
    if ground.surface is None or level is None or place.leaf.bottom_gap_mm is None:
        return None
    local = turned_into(ground.surface, place.frame)
    underside = Underside(level + place.leaf.bottom_gap_mm, place.leaf.rake)
    found = gap_over_turn(place.body, underside, local, 0.0, place.travel_rad)
    if found is None:
        return None
    least, greatest = (
        GapPlace(end.gap_mm, end.angle_rad, place.frame.point_to_world(end.place))
        for end in (found.least, found.greatest)
    )
    return GroundFit(place, local, underside, least, greatest, found.covered)


def _fits(places: dict[str, LeafPlace], ground: GroundResult) -> dict[str, GroundFit]:
    fits = ((name, ground_fit_of(place, ground)) for name, place in places.items())
    return {name: fit for name, fit in fits if fit is not None}


ground_fits = Derived(_fits, leaf_places, ground_surface)
