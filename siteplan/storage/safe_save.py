"""Saving so that nothing is ever lost: written aside, then put in place, with the last five versions kept beside it.

The versions kept of ``yard.json`` are ``.yard.json.keep/yard.1.json`` (the newest) to ``yard.5.json``.
"""

import errno
import os
from contextlib import suppress
from itertools import pairwise
from pathlib import Path
from stat import S_IMODE
from typing import Final

from siteplan.errors import SitePlanError, WriteError
from siteplan.model.document import Document
from siteplan.model.sanity import check_document
from siteplan.storage.file_values import clipped
from siteplan.storage.site_file import Opened, dump_site, read_site

VERSIONS_KEPT: Final = 5
LONGEST_NAME: Final = 245  # bytes; the folder of the kept versions has six more, of the 255 most systems take
ADVICE: Final = {
    errno.ENOSPC: "the disk is full; make room, or save it on another disk",
    errno.EDQUOT: "the space you may use there is full; make room, or save it elsewhere",
    errno.EACCES: "you may not write there; save it in another folder",
    errno.EPERM: "you may not write there; save it in another folder",
    errno.EROFS: "that disk can only be read; save it on another one",
    errno.ENOENT: "there is no such folder; make it, or choose another",
    errno.ENOTDIR: "part of the path is a file, where a folder is needed; choose another",
    errno.EISDIR: "something that is no file has that name; choose another",
}


def save_site(document: Document, path: Path) -> None:
    """Save a site; the file that stood there before is kept as the newest of five versions.

    Raises
    ------
    ModelError
        When no site can be as the document is; nothing is written.
    WriteError
        When the file cannot be written; what stood there before still does.
    """
    check_document(document)
    data = dump_site(document)
    try:
        _put_in_place(data, Path(os.path.realpath(path)))
    except (OSError, ValueError) as error:
        raise WriteError(f"Site is not saved as {path}: {_what_to_do(error, path)}.") from error


def last_good(path: Path) -> Opened | None:
    """Return the newest kept version of a site file that can still be read, or None."""
    for kept in _versions(Path(os.path.realpath(path))):
        with suppress(SitePlanError):
            opened = read_site(kept)
            note = f"This is an earlier version, kept as {kept}; {path.name} itself could not be read."
            return opened._replace(notes=(note, *opened.notes))
    return None


def _put_in_place(data: bytes, path: Path) -> None:
    if len(os.fsencode(path.name)) > LONGEST_NAME:
        raise OSError(errno.ENAMETOOLONG, "name too long")
    if path.exists() and not path.is_file():
        raise OSError(errno.EISDIR, "not a file")
    old = path.read_bytes() if path.exists() else None
    if old == data:
        return
    aside = path.with_name(f".siteplan-{os.getpid()}.part")
    try:
        _write(data, aside)
        if old is not None:
            os.chmod(aside, S_IMODE(path.stat().st_mode))
            _keep(old, path)
        os.replace(aside, path)
    finally:
        with suppress(OSError):
            aside.unlink(missing_ok=True)
    with suppress(OSError):  # not every system lets a folder be flushed
        _flush_folder(path.parent)


def _keep(old: bytes, path: Path) -> None:
    """Keep what is about to be replaced as the newest version, and let the oldest go."""
    newest, *_ = versions = _versions(path)
    newest.parent.mkdir(exist_ok=True)
    aside = newest.with_name("next.part")
    _write(old, aside)
    times = path.stat()
    os.utime(aside, ns=(times.st_atime_ns, times.st_mtime_ns))
    for newer, older in reversed([*pairwise(versions)]):
        if newer.exists():
            os.replace(newer, older)
    os.replace(aside, newest)


def _versions(path: Path) -> list[Path]:
    """Return where the versions of a file are kept, newest first."""
    folder = path.with_name(f".{path.name}.keep")
    return [folder / f"{path.stem}.{number}{path.suffix}" for number in range(1, VERSIONS_KEPT + 1)]


def _write(data: bytes, path: Path) -> None:
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def _what_to_do(error: OSError | ValueError, path: Path) -> str:
    if not isinstance(error, OSError):
        return f"a path cannot hold {str(path)!r}; choose another name"
    if error.errno == errno.ENAMETOOLONG:
        longest = max(path.parts, key=len)
        return f"the piece {clipped(longest)!r} of the path has {len(longest)} letters, which is too long; shorten it"
    return ADVICE.get(error.errno or 0, f"{error.strerror or error}; try again, or save it elsewhere")
