"""Undo and redo: the documents of the past, never inverse commands."""

from typing import NamedTuple

from siteplan.model.document import Document

MOST_STEPS = 500


class Step(NamedTuple):
    """One step of the past or the future: what it is called, and the document on its far side."""

    label: str
    document: Document


class _Drag(NamedTuple):
    token: object
    present: Document
    past: tuple[Step, ...]
    future: tuple[Step, ...]


class History:
    """The present document, those before it, and those undone.

    ``saved`` is the document as it stands in the file, or None when it stands in none.
    """

    def __init__(self, document: Document, saved: Document | None = None, most_steps: int = MOST_STEPS) -> None:
        self.present = document
        self.past: tuple[Step, ...] = ()
        self.future: tuple[Step, ...] = ()
        self.saved = saved
        self._most_steps = most_steps
        self._drag: _Drag | None = None

    @property
    def is_changed(self) -> bool:
        """Whether the present document is another one than that in the file."""
        return self.present is not self.saved

    @property
    def undo_label(self) -> str:
        """What the step is called that ``undo`` takes back; empty when there is none."""
        return self.past[-1].label if self.past else ""

    @property
    def redo_label(self) -> str:
        """What the step is called that ``redo`` brings back; empty when there is none."""
        return self.future[-1].label if self.future else ""

    def commit(self, label: str, document: Document, drag: object = None) -> None:
        """Make a document the present one; all commits of one drag are one step.  Nothing changed is no step."""
        if document is self.present:
            return
        if self._drag is not None and self._drag.token is drag and document is self._drag.present:
            self.revert_drag(drag)  # dragged back to where it began
            return
        if drag is None or self._drag is None or self._drag.token is not drag:
            self._drag = None if drag is None else _Drag(drag, self.present, self.past, self.future)
            self.past = (*self.past, Step(label, self.present))[-self._most_steps :]
        self.present, self.future = document, ()

    def undo(self) -> None:
        """Go back one step, if there is one."""
        if self.past:
            *past, step = self.past
            self.future = (*self.future, Step(step.label, self.present))
            self.past, self.present, self._drag = tuple(past), step.document, None

    def redo(self) -> None:
        """Go forward one step again, if there is one."""
        if self.future:
            *future, step = self.future
            self.past = (*self.past, Step(step.label, self.present))
            self.future, self.present, self._drag = tuple(future), step.document, None

    def revert_drag(self, drag: object) -> None:
        """Put everything back as it was before a drag began, steps to redo included."""
        if self._drag is not None and self._drag.token is drag:
            _, self.present, self.past, self.future = self._drag
            self._drag = None

    def mark_saved(self) -> None:
        """Take the present document as the one in the file."""
        self.saved = self.present
