"""Where each leaf turns: its frame, its boxes, its travel, and the area it sweeps."""

from operator import attrgetter
from typing import NamedTuple

import shapely
from shapely.geometry.base import BaseGeometry

from siteplan.analysis.derived import Derived
from siteplan.geometry.boxes import Box
from siteplan.geometry.points import Array, Frame, Point
from siteplan.geometry.sweeps import swept_polygon
from siteplan.model.gate import Leaf, Post
from siteplan.model.placing import closed_direction_rad, turn_side

CHORD_ERROR_MM = 0.05  # swept outlines lie outside the true arcs by no more than this


GRID_MM = 1e-6  # a union without a grid may lose area


class LeafPlace(NamedTuple):
    """One leaf in its own frame: hinge axis at the origin, closed along +x', opening counter-clockwise."""

    leaf: Leaf
    frame: Frame
    body: Box
    boxes: tuple[Box, ...]  # the body, then its plates

    @property
    def travel_rad(self) -> float:
        """From closed to the open stop."""
        return self.leaf.open_angle_rad

    @property
    def reach_mm(self) -> float:
        """Distance of its farthest corner from the hinge axis."""
        return max(box.reach_mm for box in self.boxes)

    def corners(self, angle_rad: float, box: Box | None = None) -> Array:
        """Return the corners of the body, or of a box, at a leaf angle, in the plan, shape (4, 2)."""
        return self.frame.to_world((box or self.body).turned_corners(angle_rad))

    def outline(self, angle_rad: float) -> BaseGeometry:
        """Return the area of the leaf at an angle, in the plan."""
        areas = [shapely.polygons(self.corners(angle_rad, box)) for box in self.boxes]
        return areas[0] if len(areas) == 1 else shapely.union_all(areas, grid_size=GRID_MM)

    def place(self, along_mm: float, off_mm: float, angle_rad: float) -> Point:
        """Return a place on the leaf at an angle, in the plan."""
        turned = Frame((0.0, 0.0), angle_rad).point_to_world((along_mm, off_mm))
        return self.frame.point_to_world(turned)


def leaf_place(leaf: Leaf, hinge: Point) -> LeafPlace:
    """Return where a leaf turns."""
    half = leaf.thickness_mm / 2
    body = Box(leaf.near_edge_mm, leaf.length_mm, leaf.plane_offset_mm - half, leaf.plane_offset_mm + half)
    plates = (Box(plate.from_mm, plate.to_mm, plate.off_from_mm, plate.off_to_mm) for plate in leaf.plates)
    return LeafPlace(leaf, Frame(hinge, closed_direction_rad(leaf), turn_side(leaf)), body, (body, *plates))


def _places(leaves: tuple[Leaf, ...], posts: tuple[Post, ...]) -> dict[str, LeafPlace]:
    hinges = {post.id: post.hinge for post in posts}
    return {leaf.id: leaf_place(leaf, hinge) for leaf in leaves if (hinge := hinges.get(leaf.post)) is not None}


def _sweep_each(places: dict[str, LeafPlace]) -> dict[str, BaseGeometry]:
    return {id: swept_area_of(place) for id, place in places.items()}


def swept_area_of(place: LeafPlace) -> BaseGeometry:
    """Return the area a leaf covers between closed and open, in the plan, never too small."""
    local = swept_polygon(place.boxes, 0.0, place.travel_rad, CHORD_ERROR_MM)
    return shapely.transform(local, place.frame.to_world)


def _closed_each(places: dict[str, LeafPlace]) -> tuple[BaseGeometry, ...]:
    return tuple(place.outline(0.0) for place in places.values())


leaf_places = Derived(_places, attrgetter("leaves"), attrgetter("posts"))
swept_areas = Derived(_sweep_each, leaf_places)
closed_leaves = Derived(_closed_each, leaf_places)
