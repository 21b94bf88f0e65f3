"""PDF files: paper, scale, text, bookmarks, measuring, and the same bytes on every run."""

import os
import shutil
import subprocess
import sys
from hashlib import sha256
from io import BytesIO
from math import dist, pi
from pathlib import Path
from typing import Any

import msgspec
import pytest
from pypdf import PdfReader

import siteplan
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import (
    Arc,
    Circle,
    Dimension,
    Fill,
    HatchArea,
    Label,
    Primitive,
    Sheet,
    SheetSet,
    Stroke,
    Symbol,
    View,
)
from siteplan.errors import SheetError
from siteplan.export.paint import write_pdf
from siteplan.export.pdf_bytes import finished_pdf

pytestmark = pytest.mark.usefixtures("qapp")

HUNDRED_FEET_MM = 30480.0
POINTS_PER_MM = 72 / 25.4
PAPERS = {"11x17": (431.8, 279.4), "ARCH D": (914.4, 609.6), "A3": (420.0, 297.0), "A4": (297.0, 210.0)}
PDF_DIGEST = """
import sys
from hashlib import sha256
import msgspec
from siteplan.drawing.primitives import SheetSet
from siteplan.export.paint import write_pdf
sys.stdout.write(sha256(write_pdf(msgspec.json.decode(sys.stdin.buffer.read(), type=SheetSet))).hexdigest())
"""


def sheet(
    *items: Primitive, views: tuple[View, ...] = (), name: str = "C-101", paper: tuple[float, float] = PAPERS["11x17"]
) -> Sheet:
    return Sheet(
        name=name, title="SITE PLAN", width_mm=paper[0], height_mm=paper[1], paper="", views=views, items=items
    )


def view(*model: Primitive, ratio: float, scale_text: str = "") -> View:
    return View(
        number="1",
        title="PLAN",
        scale_text=scale_text,
        centre=(HUNDRED_FEET_MM / 2, 0.0),
        ratio=ratio,
        frame=(20.0, 30.0, 320.0, 200.0),
        model=model,
    )


def sheet_set(*sheets: Sheet, issue_date: str = "2026-03-31", inches: bool = True) -> SheetSet:
    return SheetSet(
        title="Gate (north) \u2013 1",
        author="A. Sample",
        subject="Gate plan",
        issue_date=issue_date,
        inches=inches,
        sheets=sheets,
    )


def read(sheets: SheetSet) -> PdfReader:
    return PdfReader(BytesIO(write_pdf(sheets)))


def text_of(*items: Primitive) -> str:
    return read(sheet_set(sheet(*items))).pages[0].extract_text()


def points_on_page(pdf: PdfReader, number: int = 0) -> list[tuple[float, float]]:
    """Return the places lines run to on a page, in points, in their order."""
    found: list[tuple[float, float]] = []

    def visit(operator: bytes, operands: list[Any], matrix: list[float], _text_matrix: list[float]) -> None:
        if operator in {b"m", b"l"}:
            x, y = map(float, operands)
            a, b, c, d, e, f = matrix
            found.append((a * x + c * y + e, b * x + d * y + f))

    pdf.pages[number].extract_text(visitor_operand_before=visit)
    return found


def measure(sheets: SheetSet) -> Any:
    """Return how to measure in the first view of the first page."""
    viewports: Any = read(sheets).pages[0]["/VP"]
    return viewports[0]["/Measure"]


@pytest.fixture(scope="module")
def full_set() -> SheetSet:
    field = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (0.0, 4000.0))
    plan = view(
        Stroke(points=((0.0, 0.0), (4000.0, 0.0)), pen=Pen.LEAF_CLOSED),
        Arc(centre=(0.0, 0.0), radius=4000.0, start_rad=0.0, sweep_rad=pi / 2, pen=Pen.SWEEP),
        Circle(centre=(0.0, 0.0), radius=75.0, pen=Pen.POST),
        Fill(rings=(field,), pen=Pen.PAD, tone="wash"),
        HatchArea(rings=(field,), pattern="concrete", pen=Pen.PAD_HATCH),
        Label(at=(0.0, 0.0), text="LEAF", pen=Pen.NOTE),
        Dimension(kind="linear", first=(0.0, 0.0), second=(4000.0, 0.0), number="4000", offset_mm=9.0),
        Symbol(name="stop", at=(9000.0, 0.0), pen=Pen.FINDING, text="3"),
        ratio=96.0,
    )
    words = (
        Label(at=(20.0, 20.0), text="SAMPLE OWNER", pen=Pen.TITLE_TEXT, face="bold"),
        Label(at=(20.0, 15.0), text="OWNER", pen=Pen.TITLE_CAPTION, face="semibold"),
    )
    return sheet_set(sheet(*words, views=(plan,)), sheet(*words, views=(plan,), name="C-501", paper=PAPERS["A3"]))


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_the_page_is_the_paper(paper: tuple[float, float]) -> None:
    box = read(sheet_set(sheet(paper=paper))).pages[0].mediabox

    assert tuple(map(float, box)) == pytest.approx((0, 0, paper[0] * POINTS_PER_MM, paper[1] * POINTS_PER_MM), abs=1e-4)


def test_an_11_by_17_page_is_1224_by_792_points() -> None:
    assert tuple(read(sheet_set(sheet())).pages[0].mediabox) == (0, 0, 1224, 792)


@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="pdfinfo is not on this machine")
def test_another_reader_finds_the_same_paper(tmp_path: Path, full_set: SheetSet) -> None:
    (tmp_path / "set.pdf").write_bytes(write_pdf(full_set))

    said = subprocess.run(["pdfinfo", "-l", "2", tmp_path / "set.pdf"], capture_output=True, check=True, text=True)

    assert ("1224 x 792 pts" in said.stdout, "1190.55 x 841.89 pts (A3)" in said.stdout) == (True, True)


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_a_place_on_the_sheet_is_that_place_on_the_page(paper: tuple[float, float]) -> None:
    line = Stroke(points=((20.0, 30.0), (150.0, 200.0)), pen=Pen.FRAME)

    points = points_on_page(read(sheet_set(sheet(line, paper=paper))))

    wanted = [coordinate * POINTS_PER_MM for coordinate in (20.0, 30.0, 150.0, 200.0)]
    assert [*points[0], *points[1]] == pytest.approx(wanted, abs=1e-4)


def test_a_place_on_the_second_sheet_is_that_place_on_the_second_page() -> None:
    line = Stroke(points=((20.0, 30.0), (150.0, 200.0)), pen=Pen.FRAME)

    points = points_on_page(read(sheet_set(sheet(), sheet(line, paper=PAPERS["A3"]))), 1)

    wanted = [coordinate * POINTS_PER_MM for coordinate in (20.0, 30.0, 150.0, 200.0)]
    assert [*points[0], *points[1]] == pytest.approx(wanted, abs=1e-4)


@pytest.mark.parametrize(("ratio", "points"), [(48.0, 1800.0), (96.0, 900.0), (120.0, 720.0), (240.0, 360.0)])
def test_a_hundred_feet_are_true_to_scale_in_points(ratio: float, points: float) -> None:
    line = Stroke(points=((0.0, 0.0), (HUNDRED_FEET_MM, 0.0)), pen=Pen.LEAF_CLOSED)

    first, second = points_on_page(read(sheet_set(sheet(views=(view(line, ratio=ratio),)))))[-2:]

    # 100 ft at 1" = 10' are 10 in, 720 points
    assert dist(first, second) == pytest.approx(points, abs=1e-4)


def test_texts_are_found_with_plain_blanks() -> None:
    assert "SAMPLE OWNER 12'-6 1/2\"" in text_of(Label(at=(20.0, 20.0), text="SAMPLE OWNER 12'-6 1/2\"", pen=Pen.NOTE))


@pytest.mark.parametrize("turn_rad", [pi / 2, -pi / 2, pi, 0.3, 1.2, 1.57, -0.8])
def test_turned_texts_are_found_in_one_piece(turn_rad: float) -> None:
    first = Label(at=(120.0, 120.0), text="NORTH EDGE OF PAVEMENT 20'-0\"", pen=Pen.NOTE)
    turned = Label(at=(100.0, 100.0), text="LEAF 12'-6 1/2\" WIDE office", pen=Pen.NOTE, turn_rad=turn_rad)

    assert turned.text in text_of(first, turned, first)


@pytest.mark.parametrize(
    "text", ["A B C D E F G H", "ABCDEFGH I", "\u00b0\u00b1\u00d7 \u2013\u2014\u00bd\u2032\u2033~"]
)
def test_texts_of_any_number_of_letters_are_found(text: str) -> None:
    assert text_of(Label(at=(20.0, 20.0), text=text, pen=Pen.NOTE)) == text


def test_fonts_are_embedded_under_names_of_their_own(full_set: SheetSet) -> None:
    fonts: Any = read(full_set).pages[0]["/Resources"]
    inner = [font.get_object()["/DescendantFonts"][0].get_object() for font in fonts["/Font"].values()]

    found = {font["/BaseFont"]: "/FontFile2" in font["/FontDescriptor"] for font in inner}
    names = ("/SHEETA+OpenSans-Regular", "/SHEETB+OpenSans-SemiBold", "/SHEETC+OpenSans-Bold")  # in order of use
    assert found == dict.fromkeys(names, True)


def test_each_sheet_has_a_bookmark_to_its_page(full_set: SheetSet) -> None:
    pdf = read(full_set)
    outline: Any = pdf.outline

    marks = [(mark["/Title"], pdf.get_destination_page_number(mark)) for mark in outline]
    assert marks == [("C-101 SITE PLAN", 0), ("C-501 SITE PLAN", 1)]


def test_a_view_says_how_to_measure_feet() -> None:
    factor = measure(sheet_set(sheet(views=(view(ratio=240.0),))))["/X"][0]

    # 240 / (72 x 12) feet per point
    assert [factor["/U"], float(factor["/C"])] == ["ft", pytest.approx(0.2777778, abs=1e-7)]


def test_a_view_says_its_scale_in_words() -> None:
    page = sheet(views=(view(ratio=240.0, scale_text="1\" = 20'"),))

    assert measure(sheet_set(page))["/R"] == "1\" = 20'"


def test_a_metric_set_is_measured_in_metres() -> None:
    factor = measure(sheet_set(sheet(views=(view(ratio=50.0),)), inches=False))["/X"][0]

    assert [factor["/U"], float(factor["/C"])] == ["m", pytest.approx(50 * 25.4 / 72 / 1000, rel=1e-6)]


def test_the_measuring_area_is_the_frame_of_the_view() -> None:
    viewports: Any = read(sheet_set(sheet(views=(view(ratio=96.0),)))).pages[0]["/VP"]

    wanted = [edge * POINTS_PER_MM for edge in (20.0, 30.0, 340.0, 230.0)]
    assert [float(edge) for edge in viewports[0]["/BBox"]] == pytest.approx(wanted, abs=1e-4)


def test_the_file_is_of_the_edition_with_measuring(full_set: SheetSet) -> None:
    assert write_pdf(full_set).startswith(b"%PDF-1.6\n")


def test_printing_is_at_actual_size_unless_told_otherwise(full_set: SheetSet) -> None:
    catalogue: Any = read(full_set).trailer["/Root"]

    assert catalogue["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_the_file_says_no_more_than_the_set_does(full_set: SheetSet) -> None:
    assert read(full_set).metadata == {
        "/Title": "Gate (north) \u2013 1",
        "/Author": "A. Sample",
        "/Subject": "Gate plan",
        "/Creator": "siteplan",
        "/Producer": "siteplan",
        "/CreationDate": "D:20260331000000Z",
        "/ModDate": "D:20260331000000Z",
    }


def test_without_an_issue_date_the_date_is_a_fixed_one() -> None:
    said: Any = read(sheet_set(sheet(), issue_date="")).metadata

    assert said["/CreationDate"] == "D:20000101000000Z"


def test_an_issue_date_that_is_none_is_named() -> None:
    with pytest.raises(SheetError, match="Issue date soon"):
        write_pdf(sheet_set(sheet(), issue_date="soon"))


def test_a_set_without_sheets_is_refused() -> None:
    with pytest.raises(SheetError, match="has no sheet"):
        write_pdf(sheet_set())


def test_painted_pages_that_are_not_those_of_the_set_are_refused(full_set: SheetSet) -> None:
    with pytest.raises(SheetError, match="painted with 2 pages; 1 would be right"):
        finished_pdf(write_pdf(full_set), sheet_set(sheet()))


def test_a_page_without_text_can_be_written() -> None:
    assert len(read(sheet_set(sheet(Stroke(points=((0.0, 0.0), (9.0, 9.0)), pen=Pen.FRAME)))).pages) == 1


def test_progress_names_each_sheet(full_set: SheetSet) -> None:
    named: list[str] = []

    write_pdf(full_set, named.append)

    assert named == ["C-101 SITE PLAN", "C-501 SITE PLAN"]


def test_an_exception_of_progress_ends_the_work(full_set: SheetSet) -> None:
    def stop(heading: str) -> None:
        raise SheetError(f"Stopped at {heading}.")

    with pytest.raises(SheetError, match="Stopped at C-101"):
        write_pdf(full_set, stop)


@pytest.mark.parametrize(("zone", "seed"), [("UTC", "0"), ("Asia/Tokyo", "1"), ("America/New_York", "2")])
def test_fresh_processes_give_the_same_bytes(zone: str, seed: str, full_set: SheetSet) -> None:
    environment = os.environ | {"TZ": zone, "PYTHONHASHSEED": seed, "QT_QPA_PLATFORM": "offscreen"}
    root = str(Path(siteplan.__file__).parents[1])

    done = subprocess.run(
        [sys.executable, "-c", PDF_DIGEST],
        input=msgspec.json.encode(full_set),
        capture_output=True,
        check=True,
        cwd=root,
        env=environment,
    )

    assert done.stdout.decode() == sha256(write_pdf(full_set)).hexdigest()


def test_another_content_has_another_id(full_set: SheetSet) -> None:
    ids: list[Any] = [read(sheets).trailer["/ID"] for sheets in (full_set, sheet_set(sheet()))]

    assert ids[0] != ids[1]


@pytest.mark.parametrize("text", ["1234567890", "0123456789 9876543210 aaaa", "".join(map(chr, range(33, 127)))])
def test_any_run_of_letters_can_be_painted_and_found(qapp: object, text: str) -> None:
    """Qt writes widths of equal letters as a range: the digits are such a range."""
    del qapp
    label = Label(at=(10.0, 10.0), text=text, pen=Pen.NOTE)
    sheet = Sheet(name="A", title="T", width_mm=420, height_mm=297, paper="A3", views=(), items=(label,))
    pdf = write_pdf(SheetSet(title="t", author="", subject="", issue_date="", inches=False, sheets=(sheet,)))
    assert text in PdfReader(BytesIO(pdf)).pages[0].extract_text()
