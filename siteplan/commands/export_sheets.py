"""Sheets of a document into files."""

from collections.abc import Callable
from pathlib import Path

from siteplan.drawing.primitives import SheetSet
from siteplan.drawing.sheets import make_sheets
from siteplan.errors import SheetError, WriteError
from siteplan.model.document import Document

KINDS = ("dxf", "png", "pdf")
PNG_DPI = 200
LONGEST_STEM = 40  # some offices take no file name above 60 characters


def export_sheets(
    document: Document,
    folder: Path,
    kinds: tuple[str, ...] = KINDS,
    progress: Callable[[str], None] | None = None,
) -> tuple[Path, ...]:
    """Write the sheets of a document into a folder and return the files written.

    Raises
    ------
    WriteError
        When the folder or a file cannot be written.
    SheetError
        When the site does not fit its paper, or there is no such kind of file.
    """
    tell = progress or (lambda _: None)
    sheets = make_sheets(document, tell)
    for trouble in sheets.troubles:
        tell(f"{trouble} Choose a larger paper or scale.")
    stem = file_stem(document)
    written: list[Path] = []
    for kind in kinds:
        for name, data in _files(sheets, stem, kind, tell):
            written.append(_write(folder / name, data))
            tell(f"Wrote {name}")
    return tuple(written)


def _files(sheets: SheetSet, stem: str, kind: str, tell: Callable[[str], None]) -> list[tuple[str, bytes]]:
    """Return file names and contents of one kind; a writer is loaded when it is asked for, as each is slow to load."""
    match kind:
        case "dxf":
            from siteplan.export.dxf_file import write_dxf

            return [(f"{stem}.dxf", write_dxf(sheets))]
        case "pdf":
            from siteplan.export.paint import write_pdf

            return [(f"{stem}.pdf", write_pdf(sheets, progress=tell))]
        case "png":
            from siteplan.export.paint import write_png

            return [(f"{stem}-{sheet.name}.png", write_png(sheet, PNG_DPI)) for sheet in sheets.sheets]
        case _:
            raise SheetError(f"Sheets cannot be written as {kind!r}; there are {', '.join(KINDS)}.")


def file_stem(document: Document) -> str:
    """Return the file name of a job without ending: letters, digits and hyphens of its title."""
    plain = "".join(
        letter if letter.isascii() and letter.isalnum() else " " for letter in document.project.title.lower()
    )
    return "-".join(plain.split())[:LONGEST_STEM] or "site"


def _write(path: Path, data: bytes) -> Path:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    except OSError as error:
        raise WriteError(f"{path} cannot be written: {error.strerror or error}.") from error
    return path
