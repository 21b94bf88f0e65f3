from collections.abc import Callable
from operator import attrgetter
from typing import Any

import pytest
from msgspec.structs import replace

from siteplan.analysis.boundaries import boundaries, control_reaches, crossings, headrooms
from siteplan.analysis.derived import Derived
from siteplan.analysis.fixed_things import fixed_things
from siteplan.analysis.ground import ground_surface
from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.leaf_places import leaf_places, swept_areas
from siteplan.analysis.measures import measures
from siteplan.analysis.openings import openings, pair_fits
from siteplan.model.document import Document
from tests.demo import demo_site

RESULTS: dict[str, tuple[Derived[Any], set[str]]] = {
    "ground_surface": (ground_surface, {"ground"}),
    "leaf_places": (leaf_places, {"leaves", "posts"}),
    "swept_areas": (swept_areas, {"leaves", "posts"}),
    "fixed_things": (fixed_things, {"edges", "obstacles", "posts", "drives", "pads", "ground"}),
    "leaf_contacts": (leaf_contacts, {"leaves", "edges", "obstacles", "posts", "drives", "pads", "ground"}),
    "ground_fits": (ground_fits, {"leaves", "posts", "ground"}),
    "openings": (openings, {"gates", "leaves", "posts"}),
    "pair_fits": (pair_fits, {"gates", "leaves", "posts"}),
    "boundaries": (boundaries, {"edges"}),
    "crossings": (crossings, {"leaves", "posts", "edges", "keep_clear"}),
    "control_reaches": (control_reaches, {"controls", "leaves", "posts"}),
    "headrooms": (headrooms, {"gates", "leaves", "posts", "obstacles", "edges", "ground"}),
    "measures": (measures, {"gates", "leaves", "posts", "edges"}),
}
"""Which result hangs on which parts of the document."""

PARTS = (
    "edges",
    "obstacles",
    "posts",
    "leaves",
    "gates",
    "drives",
    "pads",
    "controls",
    "signs",
    "keep_clear",
    "points",
)


def with_part_made_anew(document: Document, part: str) -> Document:
    """Return the document with one tuple as a new object of the same content, and something in it."""
    records = getattr(document, part)
    return replace(document, **{part: (*records[:-1], replace(records[-1]))}) if records else document


@pytest.fixture(scope="module")
def document() -> Document:
    """The fire lane with its property line across the swing, so that no result is empty."""
    site = demo_site("fire-lane-townhouses")
    line = replace(site.edges[0], line=((-4000.0, 1500.0), (10000.0, 1500.0)))
    return replace(site, edges=(line, *site.edges[1:]))


@pytest.mark.parametrize("part", [*PARTS, "ground", "project", "datum", "marks"])
@pytest.mark.parametrize("name", RESULTS)
def test_result_is_worked_out_again_exactly_when_a_declared_part_changes(
    document: Document, name: str, part: str
) -> None:
    result, declared = RESULTS[name]
    before = result(document)
    changed = _changed(document, part)

    assert (result(changed) is before) == (part not in declared or changed is document)


def _changed(document: Document, part: str) -> Document:
    if part in ("ground", "project", "datum"):
        return replace(document, **{part: replace(getattr(document, part))})
    return with_part_made_anew(document, part)


def test_last_results_are_kept_for_undo(document: Document) -> None:
    calls: list[object] = []
    counted: Derived[int] = Derived(_counting(calls), attrgetter("leaves"))
    other = with_part_made_anew(document, "leaves")

    for each in (document, other, document, other):
        counted(each)

    assert len(calls) == 2


def _counting(calls: list[object]) -> Callable[[object], int]:
    def count(leaves: object) -> int:
        calls.append(leaves)
        return len(calls)

    return count
