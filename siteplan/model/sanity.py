"""What no site can have across its records; what is merely doubtful is a finding, so a half-drawn site can be saved."""

from collections.abc import Iterable, Iterator
from math import isfinite
from typing import NamedTuple

from siteplan.errors import ModelError
from siteplan.model.document import Document, records_of
from siteplan.model.fields import StructT, number_fields
from siteplan.model.parts import REFERENCES, home_of, id_fault, key_of, listed, parts_of, referred, the_only
from siteplan.model.quantities import kind_name, name_of
from siteplan.model.site import ShotGround

MOST_FAULTS_TOLD = 10


class ModelFault(NamedTuple):
    """One thing no site can have."""

    key: str  # of the part it is about, see parts.key_of
    field: str  # path in the part; empty: the part as a whole
    message: str


def check_document(document: Document) -> None:
    """Refuse a document that no site can have.

    Raises
    ------
    ModelError
        Naming the things, the values and what exists instead, one fault a line, ten at most.
    """
    faults = [fault.message for fault in document_faults(document)]
    if faults:
        raise ModelError("\n".join(faults[:MOST_FAULTS_TOLD]))


def document_faults(document: Document) -> Iterator[ModelFault]:
    """Yield everything no site can have, in the order of the document."""
    yield from _id_faults(document)
    yield from _reference_faults(document)
    yield from _hinge_faults(document)
    yield from _number_faults(document)


def _id_faults(document: Document) -> Iterator[ModelFault]:
    for record in records_of(document):
        fault = id_fault(record.id)
        if fault:
            yield ModelFault(record.id, "id", f"{name_of(record)}: {fault}.")
    for key, parts in _by_key(parts_of(document)).items():
        if len(parts) > 1:
            owners = listed([name_of(part) for part in parts])
            yield ModelFault(key, "", f"{key!r} is used {len(parts)} times, by {owners}; give each a name of its own.")
    if isinstance(document.ground, ShotGround):
        for id, shots in _by_key(document.ground.shots).items():
            fault = id_fault(id)
            if fault:
                yield ModelFault("ground", "shots", f"Shot {id}: {fault}.")
            if len(shots) > 1:
                yield ModelFault("ground", "shots", f"Shot {id} stands {len(shots)} times; give each an id of its own.")


def _reference_faults(document: Document) -> Iterator[ModelFault]:
    for kind, field, target, verb in REFERENCES:
        word = kind_name(target)
        present = [part.id for part in getattr(document, home_of(target))]
        known = set(present)
        for record in getattr(document, home_of(kind)):
            named = referred(record, field)
            for id in dict.fromkeys(named):
                start = f"{name_of(record)}: {verb} {word} {id!r}"
                if id not in known:
                    yield ModelFault(record.id, field, f"{start}, but {the_only(target, present)}.")
                elif named.count(id) > 1:
                    yield ModelFault(record.id, field, f"{start} {named.count(id)} times; name each {word} once.")


def _hinge_faults(document: Document) -> Iterator[ModelFault]:
    without_axis = {post.id for post in document.posts if post.hinge is None}
    with_axis = [post.id for post in document.posts if post.hinge is not None]
    for leaf in document.leaves:
        if leaf.post in without_axis:
            message = f"{name_of(leaf)}: hangs on post {leaf.post!r}, which has no hinge axis; those with one: "
            yield ModelFault(leaf.id, "post", f"{message}{listed(with_axis)}.")


def _number_faults(document: Document) -> Iterator[ModelFault]:
    for part in parts_of(document):
        for number in number_fields(part):
            if number.value is not None and not isfinite(number.value):
                message = f"{name_of(part)}: {number.label} must be a plain number, not {number.value:g}."
                yield ModelFault(key_of(part), number.path, message)


def _by_key(parts: Iterable[StructT]) -> dict[str, list[StructT]]:
    found: dict[str, list[StructT]] = {}
    for part in parts:
        found.setdefault(key_of(part), []).append(part)
    return found
