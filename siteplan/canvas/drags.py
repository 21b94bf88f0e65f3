"""One drag from press to release: where it started from, and what each place of the pointer makes of it. No Qt."""

from typing import Final, NamedTuple

from siteplan.canvas.dragging import Handle, dragged, label_of, measured, own_places
from siteplan.canvas.snapping import Snap, snap_of
from siteplan.errors import ModelError
from siteplan.geometry.points import Point
from siteplan.model.document import Document

MM_PER_INCH: Final = 25.4
UNIT_STEPS_MM: Final = {"ftin": MM_PER_INCH, "in": MM_PER_INCH, "ftdec": 30.48, "m": 10.0, "mm": 10.0}
"""One step of an arrow key: an inch, a tenth of a foot, a centimetre."""


class DragState(NamedTuple):
    """What a drag has come to."""

    document: Document
    number: str = ""  # what people look for while they drag
    snap: Snap | None = None
    refusal: str = ""  # why it cannot go farther


class Drag:
    """One drag of one handle; every state is worked out from the start, so that nothing adds up."""

    def __init__(self, document: Document, handle: Handle, grip: Point) -> None:
        self.start = document
        self.handle = handle
        self.label = label_of(document, handle)
        self.token = object()  # all edits of one drag are one step of the history
        self.state = DragState(document)
        self._grip = grip
        self._own = own_places(document, handle)

    def move(self, to: Point, reach_mm: float) -> DragState:
        """Return the state with the pointer at a place; ``reach_mm`` 0 refuses snaps.

        What no site can have is refused in words, and the last state that a site can have stays.
        """
        dx, dy = to[0] - self._grip[0], to[1] - self._grip[1]
        snap = self._snap(dx, dy, reach_mm) if reach_mm > 0 else None
        if snap is not None:
            dx, dy = dx + snap.dx_mm, dy + snap.dy_mm
        at = (self.handle.at[0] + dx, self.handle.at[1] + dy)
        try:
            document = dragged(self.start, self.handle, at)
        except ModelError as error:
            self.state = self.state._replace(refusal=str(error), snap=None)
        else:
            number = measured(document, self.handle, self.start, document.project.units)
            self.state = DragState(document, number, snap)
        return self.state

    def _snap(self, dx: float, dy: float, reach_mm: float) -> Snap | None:
        moved = ((x + dx, y + dy) for x, y in self._own)
        return snap_of(self.start, self.handle.id, moved, reach_mm)
