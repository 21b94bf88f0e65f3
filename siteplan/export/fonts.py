"""The letters on sheets: Open Sans from its own files, so that text is the same on every machine."""

import os
import sys
import threading
from functools import cache
from importlib.resources import files

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QFontMetricsF, QGuiApplication, QRawFont

from siteplan.drawing.primitives import Face
from siteplan.errors import SheetError

FILE_FAMILY, FAMILY = "Open Sans", "Site Plan"  # the same length, so that nothing moves in the file
FONT_PIXELS = 1000  # large, so that rounding to pixels does not move letters
FACES: dict[Face, tuple[str, QFont.Weight]] = {
    "regular": ("OpenSans-Regular.ttf", QFont.Weight.Normal),
    "semibold": ("OpenSans-SemiBold.ttf", QFont.Weight.DemiBold),
    "bold": ("OpenSans-Bold.ttf", QFont.Weight.Bold),
}
NAME_ENCODINGS = ("utf-16-be", "mac-roman")  # of the two kinds of names in a font file
LIGATURES = ("liga", "clig")  # a ligature is one glyph for several letters: a search for the word would miss it
DISPLAY_VARIABLES = ("DISPLAY", "WAYLAND_DISPLAY")

_LOADING = threading.Lock()  # a second thread waits until all faces are there


def ensure_gui() -> None:
    """Make Qt ready to paint: an application object and the fonts of the sheets.

    Fonts need an application object, and Qt wants it made in the main thread.  Once this has run there, sheets may be
    painted in any thread: a picture and a PDF belong to the thread that makes them.  Without a display, as on a build
    machine, the platform without windows is taken, unless ``QT_QPA_PLATFORM`` names one.  A program with windows makes
    its own application object first; it is used as it is.

    Raises
    ------
    SheetError
        When there is no application object and this is not the main thread, or a font file cannot be loaded.
    """
    if QGuiApplication.instance() is None:
        if threading.current_thread() is not threading.main_thread():
            raise SheetError(
                f"Sheets cannot be painted first in thread {threading.current_thread().name}: the main thread must "
                "call ensure_gui once before."
            )
        _own_application()
    with _LOADING:
        if not QFontDatabase.hasFamily(FAMILY):  # fonts go with the application object that they were given to
            _load_files()


@cache
def _own_application() -> QGuiApplication:
    """Make the application object and keep it for as long as the program runs."""
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in DISPLAY_VARIABLES):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    return QGuiApplication([])


def _load_files() -> None:
    """Give Qt the font files; a missing font would be no error to it but a row of boxes.

    They go by a family name of our own: of two fonts of one name Qt takes the one installed on the machine, and that
    may be another edition with other widths.
    """
    folder = files("ttf_opensans") / "ttf"
    for name, _ in FACES.values():
        font_file = (folder / name).read_bytes()
        for encoding in NAME_ENCODINGS:
            font_file = font_file.replace(FILE_FAMILY.encode(encoding), FAMILY.encode(encoding))
        if QFontDatabase.addApplicationFontFromData(QByteArray(font_file)) < 0:
            raise SheetError(f"Font file {name} cannot be loaded; installing ttf-opensans again would mend it.")


def font_of(face: Face) -> QFont:
    """Return a face at ``FONT_PIXELS``, without hinting, ligatures or letters of other fonts.

    So the width of a text is the sum of the advances of its letters, at every size; these files hold no kerning.
    Before ``ensure_gui`` has run, SheetError is raised: Qt would take another font and say nothing.
    """
    font = QFont(FAMILY)
    font.setWeight(FACES[face][1])
    font.setPixelSize(FONT_PIXELS)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setStyleStrategy(QFont.StyleStrategy.PreferOutline | QFont.StyleStrategy.NoFontMerging)
    for feature in LIGATURES:
        font.setFeature(QFont.Tag(feature), 0)
    if QFontInfo(font).family() != FAMILY:
        raise SheetError(f"The {face} letters of sheets are not loaded; ensure_gui must run once before.")
    return font


def mm_per_unit(font: QFont, height_mm: float) -> float:
    """Return the scale at which capitals of a font are ``height_mm`` high."""
    return height_mm / QFontMetricsF(font).capHeight()


def missing_characters(text: str) -> str:
    """Return the characters of a text that the font does not have; they would print as boxes."""
    raw = QRawFont.fromFont(font_of("regular"))
    return "".join(character for character in text if not raw.supportsCharacter(ord(character)))
