"""One leaf standing still at an angle: gaps to everything near, and to the ground."""

from math import degrees
from typing import NamedTuple

import numpy as np

from siteplan.analysis.fixed_things import fixed_things
from siteplan.analysis.ground import ground_surface
from siteplan.analysis.ground_fit import GapPlace, ground_fits
from siteplan.analysis.leaf_places import LeafPlace, leaf_places, swept_areas
from siteplan.analysis.near_things import LOOK_MM, Meeting, meet, things_beside
from siteplan.analysis.openings import Opening, clear_opening
from siteplan.errors import ModelError
from siteplan.model.document import Document


class Pose(NamedTuple):
    """A leaf at an angle."""

    place: LeafPlace
    angle_rad: float
    gaps: tuple[Meeting, ...]  # to fixed things within 2 ft of the sweep, by gap
    least_ground: GapPlace | None
    greatest_ground: GapPlace | None
    opening: Opening | None  # with this leaf at the angle and the other at its open stop


def pose_at(document: Document, leaf_id: str, angle_rad: float) -> Pose:
    """Return how a leaf stands at an angle.

    Raises
    ------
    ModelError
        When there is no such leaf, or the angle is not between closed and the open stop.
    """
    places = leaf_places(document)
    if leaf_id not in places:
        raise ModelError(f"There is no leaf {leaf_id!r}; the leaves are {', '.join(places) or 'none yet'}.")
    place = places[leaf_id]
    if not 0 <= angle_rad <= place.travel_rad + 1e-9:
        raise ModelError(
            f"Leaf {leaf_id}: the angle must lie between 0 and its open stop at {degrees(place.travel_rad):g} deg, "
            f"not {degrees(angle_rad):g} deg."
        )
    near = things_beside(place, swept_areas(document)[leaf_id], fixed_things(document), ground_surface(document))
    pieces = np.arange(len(near.owners))
    gaps = meet(place, near, pieces, np.full(len(pieces), angle_rad)) if near.things else ()
    fit = ground_fits(document).get(leaf_id)
    return Pose(
        place,
        angle_rad,
        tuple(sorted((gap for gap in gaps if gap.gap_mm < LOOK_MM), key=lambda gap: (gap.gap_mm, gap.thing))),
        fit.least_at(angle_rad) if fit else None,
        fit.greatest_at(angle_rad) if fit else None,
        _opening_at(document, leaf_id, angle_rad),
    )


def _opening_at(document: Document, leaf_id: str, angle_rad: float) -> Opening | None:
    places = leaf_places(document)
    posts = {post.id: post for post in document.posts}
    for gate in document.gates:
        if leaf_id in gate.leaves and all(leaf in places for leaf in gate.leaves):
            angles = tuple(angle_rad if leaf == leaf_id else places[leaf].travel_rad for leaf in gate.leaves)
            return clear_opening(gate, places, posts, angles)
    return None
