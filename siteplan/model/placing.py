"""Where a leaf hangs and which way it turns. Lengths in mm, angles in radians, seen from outside, y into the property.

Two facts are kept about a leaf, the side its hinges are on and whether it swings in or out; all else follows.
"""

from math import pi

from siteplan.errors import ModelError
from siteplan.model.document import Document
from siteplan.model.gate import Leaf, Post
from siteplan.model.parts import the_only
from siteplan.model.quantities import XY


def turn_side(leaf: Leaf) -> int:
    """Return +1 when the leaf opens counter-clockwise in the plan, -1 when clockwise."""
    return 1 if (leaf.hinges == "left") == (leaf.swings == "in") else -1


def closed_direction_rad(leaf: Leaf) -> float:
    """Return the direction from the hinge axis to the tip of the closed leaf, counter-clockwise from +x.

    The gate line runs along x; skew turns the closed leaf off it, towards its opening side when positive.
    """
    along_gate_line = 0.0 if leaf.hinges == "left" else pi
    return along_gate_line + turn_side(leaf) * leaf.skew_rad


def hinge_of(document: Document, leaf: Leaf) -> XY:
    """Return the place of the hinge axis a leaf hangs on.

    Raises
    ------
    ModelError
        When the post is missing or has no hinge axis.
    """
    for post in document.posts:
        if post.id == leaf.post:
            if post.hinge is None:
                raise ModelError(
                    f"Leaf {leaf.id}: post {post.id!r} has no hinge axis; give it one to hang the leaf on."
                )
            return post.hinge
    names = the_only(Post, [post.id for post in document.posts])
    raise ModelError(f"Leaf {leaf.id}: hangs on post {leaf.post!r}, but {names}.")
