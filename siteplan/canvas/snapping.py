"""Snaps to named things, one at a time, each said in words. No Qt.

A snap is a shift of what is being dragged that brings one of its own places onto a named place, or onto the gate line.
"""

from collections.abc import Iterable, Iterator
from math import hypot
from typing import NamedTuple

from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.site import Edge

ON_GATE_LINE = "on the gate line"


class Snap(NamedTuple):
    """How far what is dragged must still go, and what it then meets."""

    dx_mm: float
    dy_mm: float
    at: Point  # where it meets
    words: str

    @property
    def distance_mm(self) -> float:
        """How far that is."""
        return hypot(self.dx_mm, self.dy_mm)


def snap_of(document: Document, dragged: str, own: Iterable[Point], reach_mm: float) -> Snap | None:
    """Return the snap in force for the places of a dragged record, or None; a named place beats the gate line.

    ``own`` are its places that may snap; the last of them goes onto the gate line.
    """
    own = tuple(own)
    named = tuple(named_places(document, dragged))
    places = (_snap((x, y), there, words) for x, y in own for there, words in named)
    nearest = min((snap for snap in places if snap.distance_mm <= reach_mm), key=_by_distance, default=None)
    if nearest is not None or not own:
        return nearest
    lines = (_snap(own[-1], (own[-1][0], y), ON_GATE_LINE) for y in gate_lines(document, dragged))
    return min((snap for snap in lines if snap.distance_mm <= reach_mm), key=_by_distance, default=None)


def named_places(document: Document, without: str) -> Iterator[tuple[Point, str]]:
    """Yield the places one can snap to, each with its name, without those of one record."""
    for edge in document.edges:
        if edge.id != without:
            yield from _edge_places(edge)
    for post in document.posts:
        if post.id != without and post.hinge is not None:
            yield post.hinge, f"hinge axis of post {post.id}"


def gate_lines(document: Document, without: str) -> Iterator[float]:
    """Yield how far inward the gate line runs: through each hinge axis, along x."""
    for post in document.posts:
        if post.id != without and post.hinge is not None:
            yield post.hinge[1]


def _edge_places(edge: Edge) -> Iterator[tuple[Point, str]]:
    name = f"{edge.kind} {edge.id}"
    last = len(edge.line) - 1
    for number, place in enumerate(edge.line):
        is_end = number in (0, last) and not edge.closed
        yield place, f"{'end' if is_end else 'corner'} of {name}"
    following = edge.walk[1:]
    for (x1, y1), (x2, y2) in zip(edge.line, following, strict=False):
        yield ((x1 + x2) / 2, (y1 + y2) / 2), f"middle of {name}"


def _snap(place: Point, there: Point, words: str) -> Snap:
    return Snap(there[0] - place[0], there[1] - place[1], there, words)


def _by_distance(snap: Snap) -> tuple[float, str]:
    return (snap.distance_mm, snap.words)
