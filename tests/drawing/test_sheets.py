import pytest
import shapely
from msgspec.structs import replace

from siteplan.analysis.measures import measures
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Dimension, Label, Primitive, Sheet, SheetSet, Symbol
from siteplan.drawing.sheets import make_sheets
from siteplan.drawing.text_size import label_box
from siteplan.model.document import Document
from siteplan.model.site import Round
from siteplan.rules.all_rules import troubles
from tests.demo import NAMES, demo_site

PAPERS = ("11x17", "ARCH D", "A3")


@pytest.fixture(scope="module", params=NAMES)
def site(request: pytest.FixtureRequest) -> Document:
    return demo_site(request.param)


@pytest.fixture(scope="module")
def sheets(site: Document) -> SheetSet:
    return make_sheets(site)


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Label)]


def labels_of(primitives: tuple[Primitive, ...]) -> list[Label]:
    return [item for item in primitives if isinstance(item, Label)]


def test_every_note_has_a_free_place(sheets: SheetSet) -> None:
    assert sheets.troubles == ()


def test_pack_and_editions_stand_on_every_sheet(sheets: SheetSet) -> None:
    lines = [" ".join(texts(sheet)) for sheet in sheets.sheets]
    assert [line for line in lines if "US demo 2026-11" not in line or "UL325 2018" not in line] == []


def test_caution_stands_on_every_sheet(sheets: SheetSet) -> None:
    assert [sheet for sheet in sheets.sheets if "A moving gate can crush or kill." not in " ".join(texts(sheet))] == []


def test_title_block_is_filled_on_every_sheet(site: Document, sheets: SheetSet) -> None:
    wanted = (site.project.owner, site.project.issue_date, site.project.document_no)
    assert [value for sheet in sheets.sheets for value in wanted if value not in texts(sheet)] == []


def test_labels_of_a_sheet_stay_on_the_paper(sheets: SheetSet) -> None:
    outside = [
        label.text
        for sheet in sheets.sheets
        for label in labels_of(sheet.items)
        if not shapely.box(0, 0, sheet.width_mm, sheet.height_mm).contains(shapely.Polygon(label_box(label)))
    ]
    assert outside == []


def test_labels_of_a_sheet_do_not_overlap(sheets: SheetSet) -> None:
    for sheet in sheets.sheets:
        boxes = [shapely.Polygon(label_box(label)).buffer(-0.05) for label in labels_of(sheet.items)]
        pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects")
        assert (pairs[0] == pairs[1]).all(), [
            labels_of(sheet.items)[row].text for row in pairs[0][pairs[0] != pairs[1]]
        ]


def test_strip_texts_stay_inside_the_frame(sheets: SheetSet) -> None:
    for sheet in sheets.sheets:
        frame = sheet.width_mm - 10.0
        assert [label.text for label in labels_of(sheet.items) if label_box(label)[1][0] > frame] == []


def test_every_finding_is_numbered_in_the_tables(site: Document, sheets: SheetSet) -> None:
    last = sheets.sheets[2]
    marks = {item.text for item in last.items if isinstance(item, Symbol) and item.pen is Pen.FINDING}
    assert marks == {str(number + 1) for number in range(len(troubles(site)))}


def test_dimensions_of_the_plan_are_the_measures_of_the_report(site: Document, sheets: SheetSet) -> None:
    view = sheets.sheets[1].views[0]
    drawn = [item for item in view.notes if isinstance(item, Dimension) and item.note]
    assert len(drawn) == len([each for each in measures(site) if each.word])


def test_guessed_values_carry_their_sign(sheets: SheetSet) -> None:
    notes = " ".join(label.text for label in labels_of(sheets.sheets[1].views[0].notes))
    assert "~" in notes


@pytest.mark.parametrize("paper", PAPERS)
def test_every_paper_takes_the_site(site: Document, paper: str) -> None:
    sheets = make_sheets(replace(site, project=replace(site.project, paper=paper)))
    assert {sheet.paper for sheet in sheets.sheets} == {paper}


def test_more_findings_than_a_sheet_holds_go_on_the_next() -> None:
    base = demo_site("courtyard-pair")
    posts = tuple(Round(id=f"T{i}", what="bollard", at=(200.0 + 30 * i, 900.0), radius_mm=20.0) for i in range(40))
    names = [sheet.name for sheet in make_sheets(replace(base, obstacles=posts)).sheets]
    assert names[:4] == ["C-101", "C-102", "G-101", "G-102"]


def test_same_document_gives_the_same_sheets(site: Document, sheets: SheetSet) -> None:
    assert make_sheets(site) == sheets
