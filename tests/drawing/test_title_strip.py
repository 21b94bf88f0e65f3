"""The strip with words that are longer than its fields."""

import pytest
from msgspec.structs import replace

from siteplan.drawing.pens import Pen, line_patterns, looks
from siteplan.drawing.primitives import Label, Sheet
from siteplan.drawing.sheets import make_sheets
from siteplan.drawing.text_size import label_box
from siteplan.drawing.title_strip import LEGEND_PENS, SAMPLE_MM
from siteplan.errors import SheetError
from siteplan.model.document import Document
from siteplan.model.project import Revision
from tests.demo import demo_site

REVISIONS = tuple(Revision(mark=mark, date="2031-04-02", what="wall taped again after the visit") for mark in "ABCDEF")


def site(**fields: object) -> Document:
    base = demo_site("courtyard-pair")
    return replace(base, project=replace(base.project, **fields))


def labels(document: Document, sheet: int = 1) -> list[Label]:
    made: Sheet = make_sheets(document).sheets[sheet]
    return [item for item in made.items if isinstance(item, Label)]


@pytest.mark.parametrize(
    "fields",
    [{"document_no": "CP-0001-2031-REVISED-ISSUE-OF-THE-PLAN"}, {"revisions": REVISIONS}, {"owner": "Sample " * 18}],
)
def test_long_words_stay_inside_the_strip(fields: dict[str, object]) -> None:
    found = labels(site(**fields))

    assert max(label_box(label)[1][0] for label in found) <= 431.8 - 12.7


def test_newest_revision_is_shown() -> None:
    assert "F" in [label.text for label in labels(site(revisions=REVISIONS))]


def test_revisions_without_room_are_counted() -> None:
    assert "WHAT (3 EARLIER)" in [label.text for label in labels(site(revisions=REVISIONS))]


def test_cautions_stand_beside_long_words() -> None:
    words = " ".join(label.text for label in labels(site(owner="Sample " * 18, revisions=REVISIONS)))

    assert "never ride it, never race it." in words


def test_words_that_leave_no_room_for_the_cautions_are_told() -> None:
    with pytest.raises(SheetError, match="no room for the cautions"):
        make_sheets(site(owner="Sample " * 150))


@pytest.mark.parametrize("pen", LEGEND_PENS)
def test_sample_in_the_legend_shows_the_whole_pattern(pen: Pen) -> None:
    assert sum(map(abs, line_patterns()[looks()[pen].line])) <= SAMPLE_MM


def test_legend_explains_the_survey_points_that_are_drawn() -> None:
    assert "SURVEY POINT" in [label.text for label in labels(demo_site("courtyard-pair"))]


def test_legend_leaves_out_symbols_that_are_not_drawn() -> None:
    assert "SPOT LEVEL" not in [label.text for label in labels(demo_site("courtyard-pair"))]
