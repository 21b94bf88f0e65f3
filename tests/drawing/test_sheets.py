import pytest
import shapely
from msgspec.structs import replace

from siteplan.analysis.measures import measures
from siteplan.drawing.dimensions import dimension_places
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Dimension, Label, Primitive, Sheet, SheetSet, Stroke, Symbol
from siteplan.drawing.sheets import make_sheets
from siteplan.drawing.symbols import symbol_outline
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


def swinging_out() -> Document:
    base = demo_site("courtyard-pair")
    return replace(base, leaves=tuple(replace(leaf, swings="out") for leaf in base.leaves))


def test_dimensions_of_a_gate_that_swings_out_lie_in_the_view() -> None:
    view = make_sheets(swinging_out()).sheets[1].views[0]
    dimensions = [item for item in view.notes if isinstance(item, Dimension)]
    tops = [y for each in dimensions for _, y in dimension_places(each, view.ratio)]
    assert max(tops) < view.centre[1] + view.frame[3] / 2 * view.ratio


def test_north_stands_outside_the_views(sheets: SheetSet) -> None:
    plans = [sheet for sheet in sheets.sheets if sheet.views]
    norths = [item for sheet in plans for item in sheet.items if isinstance(item, Symbol) and item.name == "north"]
    tops = [north.at[1] + y for north in norths for _, y in symbol_outline(replace(north, at=(0.0, 0.0)))]
    assert max(tops) < min(view.frame[1] for sheet in plans for view in sheet.views)


def test_words_of_a_sign_are_nearer_to_it_than_to_the_other(sheets: SheetSet) -> None:
    view = sheets.sheets[1].views[0]
    starts = [item.points[0][1] for item in view.notes if isinstance(item, Stroke) and item.source == "S1"]
    words = [label.at[1] for label in labels_of(view.notes) if label.source == "S1"]
    assert max(starts or words) < 0  # the sign seen from outside stands below the gate line


def test_guessed_length_carries_its_sign_in_the_dimension() -> None:
    base = demo_site("courtyard-pair")
    view = make_sheets(replace(base, untagged="guess")).sheets[1].views[0]
    numbers = [item.number for item in view.notes if isinstance(item, Dimension) and item.note]
    assert [number for number in numbers if not number.startswith("~")] == []


def test_severity_stands_in_words_beside_its_mark() -> None:
    assert "Stop" in texts(make_sheets(demo_site("fire-lane-townhouses")).sheets[1])


def test_long_note_goes_over_several_lines() -> None:
    base = demo_site("courtyard-pair")
    walls = tuple(replace(edge, note="wall of stone " * 6) if edge.kind == "wall" else edge for edge in base.edges)
    view = make_sheets(replace(base, edges=walls)).sheets[1].views[0]
    assert len([label for label in labels_of(view.notes) if label.source == "W"]) > 1


def test_table_that_is_cut_says_how_many_stops_are_elsewhere() -> None:
    base = demo_site("courtyard-pair")
    posts = tuple(Round(id=f"T{i}", what="bollard", at=(200.0 + 30 * i, 900.0), radius_mm=20.0) for i in range(20))
    assert "of them Stop." in " ".join(texts(make_sheets(replace(base, obstacles=posts)).sheets[1]))


@pytest.mark.parametrize("paper", PAPERS)
def test_word_of_a_severity_is_never_cut(paper: str) -> None:
    base = demo_site("courtyard-pair")
    sheets = make_sheets(replace(base, project=replace(base.project, paper=paper))).sheets
    assert ["Guard" in texts(sheet) for sheet in sheets] == [False, True, True]
