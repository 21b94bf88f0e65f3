"""Where a number came from, beside the number."""

from typing import Literal, get_args

from msgspec import Struct

Basis = Literal["taped", "told", "guess", "book", "worked", "built"]
BASES: tuple[Basis, ...] = get_args(Basis)
STRONG_TO_WEAK: tuple[Basis, ...] = ("built", "taped", "book", "worked", "told", "guess")


class Mark(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How one number of one record came to be known."""

    of: str  # id of the record
    field: str  # path of the field in the record: length_mm, at.0, line.2.1
    basis: Basis | None = None  # None: only the text as typed is kept
    text: str = ""  # as typed; empty when nobody typed it
    by: str = ""  # who told it, or which book


def with_mark(marks: tuple[Mark, ...], mark: Mark) -> tuple[Mark, ...]:
    """Return the marks with the one of the same record and field replaced in its place, or added."""
    for number, old in enumerate(marks):
        if (old.of, old.field) == (mark.of, mark.field):
            return (*marks[:number], mark, *marks[number + 1 :])
    return (*marks, mark)


def without_marks_of(marks: tuple[Mark, ...], id: str, under: str = "") -> tuple[Mark, ...]:
    """Return the marks without those of a record, or of one of its fields and what lies under it."""
    kept = tuple(mark for mark in marks if mark.of != id or not _lies_under(mark.field, under))
    return marks if len(kept) == len(marks) else kept


def _lies_under(field: str, under: str) -> bool:
    return not under or field == under or field.startswith(under + ".")
