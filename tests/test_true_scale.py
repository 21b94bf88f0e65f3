"""A line of 100 ft measures right in every file the program writes, at four scales."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from pyogrio import raw
from PySide6.QtGui import QImage

from siteplan.commands.export_sheets import export_sheets
from siteplan.model.document import Document
from siteplan.model.project import Project
from siteplan.model.site import Edge, PlaneGround

FOOT = 304.8
RATIOS = (120, 192, 240, 480)  # 1" = 10', 1/16" = 1'-0", 1" = 20', 1" = 40'
PNG_DPI = 200
POPPLER_DPI = 300


def site_at(ratio: int) -> Document:
    line = Edge(id="D", kind="drive edge", line=((-50 * FOOT, 0.0), (50 * FOOT, 0.0)))
    return Document(
        project=Project(title="Hundred feet", paper="ARCH D", scale=ratio), edges=(line,), ground=PlaneGround()
    )


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory, qapp: object) -> dict[int, dict[str, Path]]:
    """The files of each scale by their ending; of the PNGs the site plan."""
    del qapp
    written = {}
    for ratio in RATIOS:
        folder = tmp_path_factory.mktemp(f"at{ratio}")
        paths = export_sheets(site_at(ratio), folder)
        written[ratio] = {path.suffix: path for path in paths if path.suffix != ".png" or "C-101" in path.name}
    return written


def grey_of(path: Path) -> NDArray[np.uint8]:
    image = QImage(str(path)).convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width()].copy()


def grey_map_of(path: Path) -> NDArray[np.uint8]:
    """The pixels of a portable grey map."""
    kind, size, _, pixels = path.read_bytes().split(b"\n", 3)
    assert kind == b"P5"
    width, height = map(int, size.split())
    return np.frombuffer(pixels, dtype=np.uint8).reshape(height, width)


def longest_run(pixels: NDArray[np.uint8], inside: slice) -> int:
    """The longest unbroken run of ink in any row of the upper drawing field."""
    longest = 0
    for row in pixels[inside]:
        ends = np.flatnonzero(np.diff(np.concatenate(([0], (row < 200).astype(np.int8), [0]))))
        longest = max(longest, int((ends[1::2] - ends[::2]).max(initial=0)))
    return longest


def field_of(pixels: NDArray[np.uint8]) -> slice:
    """Rows of the middle of the sheet, clear of frame and title band."""
    return slice(pixels.shape[0] // 4, pixels.shape[0] * 3 // 4)


@pytest.mark.parametrize("ratio", RATIOS)
def test_line_is_100_feet_in_the_model_of_the_dxf(files: dict[int, dict[str, Path]], ratio: int) -> None:
    _, _, shapes, fields = raw.read(files[ratio][".dxf"], columns=["Layer"])
    lengths = [
        shapely.from_wkb(shape).length for shape, layer in zip(shapes, fields[0], strict=True) if "DRIV" in layer
    ]
    assert min(lengths, key=lambda length: abs(length - 1200)) == pytest.approx(1200, abs=1e-6)


@pytest.mark.parametrize("ratio", RATIOS)
def test_line_measures_right_in_the_png(files: dict[int, dict[str, Path]], ratio: int) -> None:
    pixels = grey_of(files[ratio][".png"])
    assert longest_run(pixels, field_of(pixels)) == pytest.approx(1200 / ratio * PNG_DPI, abs=1.5)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not on this machine; pypdf measures elsewhere")
@pytest.mark.parametrize("ratio", RATIOS)
def test_line_measures_right_in_the_pdf_as_poppler_draws_it(files: dict[int, dict[str, Path]], ratio: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        target = os.path.join(folder, "page")
        command = ["pdftoppm", "-r", str(POPPLER_DPI), "-f", "1", "-l", "1", "-gray"]
        subprocess.run([*command, str(files[ratio][".pdf"]), target], check=True)
        pixels = grey_map_of(next(Path(folder).iterdir()))
    assert longest_run(pixels, field_of(pixels)) == pytest.approx(1200 / ratio * POPPLER_DPI, abs=2)
