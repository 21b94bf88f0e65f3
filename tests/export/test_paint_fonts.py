"""Letters on sheets, and what Qt needs before it paints: some of it can only be seen in a fresh process."""

import os
import subprocess
import sys
import threading
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

import msgspec
import pytest
from PySide6.QtGui import QFontMetricsF, QRawFont
from PySide6.QtWidgets import QApplication

import siteplan
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Face, Label, Sheet, SheetSet, Stroke
from siteplan.export.fonts import FACES, FONT_PIXELS, ensure_gui, font_of, missing_characters, mm_per_unit
from siteplan.export.paint import write_pdf, write_png

pytestmark = pytest.mark.usefixtures("gui")

PRINTED = "".join(map(chr, range(32, 127))) + "°±×–—½¼¾⅛⅜⅝⅞′″~"
FONT_FOLDERS = "<?xml version='1.0'?><fontconfig><dir>{0}</dir><cachedir>{0}/cache</cachedir></fontconfig>"
PAGE = Sheet(
    name="C-101",
    title="SITE PLAN",
    width_mm=60.0,
    height_mm=30.0,
    paper="",
    views=(),
    items=(
        Stroke(points=((5.0, 5.0), (55.0, 5.0)), pen=Pen.SWEEP),
        Label(at=(5.0, 10.0), text="LEAF 12'-6 1/2\"", pen=Pen.NOTE),
        Label(
            at=(5.0, 20.0), text="GATE \u2104 \u03a9 \u0416", pen=Pen.NOTE, face="bold"
        ),  # the first is not in the font
    ),
)
SHEETS = SheetSet(title="Gate", author="", subject="", issue_date="2026-03-31", inches=True, sheets=(PAGE,))

PNG_DIGEST = """
import sys
from hashlib import sha256
from importlib.resources import files
import msgspec
from siteplan.drawing.primitives import Sheet
from siteplan.export.paint import write_png
sys.stdout.write(sha256(write_png(msgspec.json.decode(sys.stdin.buffer.read(), type=Sheet), 110)).hexdigest())
"""
FIRST_USE_IN_A_WORKER = """
import sys, threading
from siteplan.errors import SheetError
from siteplan.export.fonts import ensure_gui
def work():
    try:
        ensure_gui()
    except SheetError as error:
        sys.stdout.write(str(error))
worker = threading.Thread(target=work, name="export")
worker.start()
worker.join()
"""
FONT_BEFORE_GUI = """
import sys
from PySide6.QtGui import QGuiApplication
from siteplan.errors import SheetError
from siteplan.export.fonts import font_of
application = QGuiApplication([])
try:
    font_of("bold")
except SheetError as error:
    sys.stdout.write(str(error))
"""
# 1000 void calls of a faulty edition of PySide6 lower the count of references to None by 1000; later the process dies
NONE_DRIFT = """
import sys
from PySide6.QtGui import QGuiApplication, QImage, QPainter, QPainterPath, QPen
application = QGuiApplication([])
path, pen, image = QPainterPath(), QPen(), QImage(4, 4, QImage.Format.Format_Grayscale8)
painter = QPainter(image)
def both():
    painter.save()
    painter.restore()
calls = (lambda: path.lineTo(1.0, 1.0), lambda: path.arcTo(0.0, 0.0, 1.0, 1.0, 0.0, 9.0),
         lambda: pen.setDashPattern([1.0, 2.0]), lambda: image.fill(0), lambda: image.setText("a", "b"),
         lambda: painter.drawLine(0, 0, 1, 1), lambda: painter.setPen(pen), lambda: painter.translate(0.0, 0.0),
         lambda: painter.strokePath(QPainterPath(), pen), both)
def drift(call):
    call()
    before = sys.getrefcount(None)
    for _ in range(1000):
        call()
    return abs(sys.getrefcount(None) - before)
worst = max(drift(call) for call in calls)
painter.end()
sys.stdout.write(str(worst))
"""


@pytest.fixture(scope="module")
def gui(qapp: QApplication) -> None:
    ensure_gui()


def run(program: str, stdin: bytes = b"", **environment: str) -> str:
    """Run a program in a fresh process without a display and without a chosen platform; return what it writes."""
    dropped = {"QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"}
    kept = {key: text for key, text in os.environ.items() if key not in dropped}
    root = str(Path(siteplan.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-c", program], input=stdin, capture_output=True, check=True, cwd=root, env=kept | environment
    )
    return done.stdout.decode()


def test_every_character_that_may_be_printed_is_in_the_font() -> None:
    assert missing_characters(PRINTED) == ""


def test_a_character_that_is_not_in_the_font_is_named() -> None:
    assert missing_characters("12 \u2104") == "\u2104"


@pytest.mark.parametrize("face", FACES)
def test_a_face_is_the_one_of_its_file(face: Face) -> None:
    raw = QRawFont.fromFont(font_of(face))

    assert raw.styleName().lower() == face


@pytest.mark.parametrize("face", FACES)
def test_capitals_are_1462_of_2048_of_the_size(face: Face) -> None:
    # the figure stands in the OS/2 table of the font files
    assert mm_per_unit(font_of(face), 2.4) * FONT_PIXELS * 1462 / 2048 == pytest.approx(2.4, rel=1e-4)


@pytest.mark.parametrize("text", ["OFFICE office", "AVATAR To", "fi ffl"])
def test_a_text_is_as_wide_as_its_letters_together(text: str) -> None:
    metrics = QFontMetricsF(font_of("regular"))

    assert metrics.horizontalAdvance(text) == pytest.approx(sum(map(metrics.horizontalAdvance, text)), rel=1e-6)


def test_a_picture_is_the_same_without_any_font_on_the_machine(tmp_path: Path) -> None:
    (tmp_path / "fonts.conf").write_text(FONT_FOLDERS.format(tmp_path))

    digest = run(PNG_DIGEST, msgspec.json.encode(PAGE), FONTCONFIG_FILE=str(tmp_path / "fonts.conf"))

    assert digest == sha256(write_png(PAGE, 110)).hexdigest()


def test_a_picture_is_the_same_with_another_font_of_that_name_on_the_machine(tmp_path: Path) -> None:
    (tmp_path / "fonts.conf").write_text(FONT_FOLDERS.format(tmp_path))
    folder = files("ttf_opensans") / "ttf"
    font_tools = pytest.importorskip("fontTools.ttLib")
    regular, other = (font_tools.TTFont(folder / name) for name in ("OpenSans-Regular.ttf", "OpenSans-ExtraBold.ttf"))
    other["name"], other["OS/2"].usWeightClass = regular["name"], regular["OS/2"].usWeightClass
    other["OS/2"].fsSelection, other["head"].macStyle = regular["OS/2"].fsSelection, regular["head"].macStyle
    other.save(tmp_path / "other.ttf")

    digest = run(PNG_DIGEST, msgspec.json.encode(PAGE), FONTCONFIG_FILE=str(tmp_path / "fonts.conf"))

    assert digest == sha256(write_png(PAGE, 110)).hexdigest()


def test_a_worker_paints_the_same_as_the_main_thread() -> None:
    painted: list[bytes] = []

    worker = threading.Thread(target=lambda: painted.append(write_pdf(SHEETS)))
    worker.start()
    here = write_pdf(SHEETS)
    worker.join()

    assert painted == [here]


def test_first_use_in_a_worker_names_the_thread_and_the_remedy() -> None:
    assert "thread export: the main thread must call ensure_gui" in run(FIRST_USE_IN_A_WORKER)


def test_letters_before_their_files_are_loaded_are_refused() -> None:
    assert "bold letters of sheets are not loaded" in run(FONT_BEFORE_GUI, QT_QPA_PLATFORM="offscreen")


def test_void_calls_of_qt_do_not_use_up_none() -> None:
    assert int(run(NONE_DRIFT, QT_QPA_PLATFORM="offscreen")) <= 5
