import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from siteplan.errors import ModelError, SiteFileError, WriteError
from siteplan.model.document import Document
from siteplan.model.project import Project
from siteplan.storage.safe_save import last_good, save_site
from siteplan.storage.site_file import dump_site, read_site
from tests.model.sample_sites import courtyard

Break = Callable[[pytest.MonkeyPatch, OSError], None]


def titled(title: object) -> Document:
    return replace(courtyard(), project=Project(title=str(title)))


def title_in(path: Path) -> str:
    return read_site(path).document.project.title


def kept(path: Path) -> list[str]:
    """Return the titles of the kept versions, newest first."""
    folder = path.with_name(f".{path.name}.keep")
    return [title_in(version) for version in sorted(folder.iterdir())]


def saved_often(path: Path, times: int) -> Path:
    for number in range(times):
        save_site(titled(number), path)
    return path


def refuse(error: OSError) -> Callable[..., Any]:
    def refused(*_: object, **__: object) -> None:
        raise error

    return refused


def break_flush(monkeypatch: pytest.MonkeyPatch, error: OSError) -> None:
    monkeypatch.setattr(os, "fsync", refuse(error))


def break_rename(monkeypatch: pytest.MonkeyPatch, error: OSError) -> None:
    monkeypatch.setattr(os, "replace", refuse(error))


def break_open(monkeypatch: pytest.MonkeyPatch, error: OSError) -> None:
    opened = Path.open

    def refused(self: Path, mode: str = "r", *rest: Any, **more: Any) -> Any:
        if "w" in mode:
            raise error
        return opened(self, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", refused)


def break_keeping(monkeypatch: pytest.MonkeyPatch, error: OSError) -> None:
    monkeypatch.setattr(Path, "mkdir", refuse(error))


BREAKS = [break_flush, break_rename, break_open, break_keeping]


def test_a_saved_site_is_read_back(tmp_path: Path) -> None:
    save_site(titled("yard"), tmp_path / "yard.json")

    assert title_in(tmp_path / "yard.json") == "yard"


def test_a_first_save_leaves_the_file_alone_in_its_folder(tmp_path: Path) -> None:
    save_site(titled("yard"), tmp_path / "yard.json")

    assert [path.name for path in tmp_path.iterdir()] == ["yard.json"]


@pytest.mark.parametrize("name", ["yard one.json", "Hof é 庭.json", "no-ending", "x" * 240, ".hidden"])
def test_any_usual_name_is_saved_twice(tmp_path: Path, name: str) -> None:
    saved_often(tmp_path / name, 2)

    assert (title_in(tmp_path / name), kept(tmp_path / name)) == ("1", ["0"])


def test_a_path_of_more_than_240_letters_is_saved(tmp_path: Path) -> None:
    folder = tmp_path.joinpath(*["a folder with a long name"] * 12)
    folder.mkdir(parents=True)

    save_site(titled("deep"), folder / "yard.json")

    assert title_in(folder / "yard.json") == "deep"


def test_the_version_before_is_kept(tmp_path: Path) -> None:
    assert kept(saved_often(tmp_path / "yard.json", 2)) == ["0"]


def test_the_last_five_versions_are_kept_newest_first(tmp_path: Path) -> None:
    assert kept(saved_often(tmp_path / "yard.json", 9)) == ["7", "6", "5", "4", "3"]


def test_saving_the_same_again_keeps_no_further_version(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 2)

    save_site(titled(1), path)

    assert kept(path) == ["0"]


def test_a_kept_version_keeps_its_time(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 1)
    os.utime(path, (10**9, 10**9))

    save_site(titled("next"), path)

    assert (tmp_path / ".yard.json.keep" / "yard.1.json").stat().st_mtime == 10**9


def test_who_may_read_the_file_stays_as_it_was(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 1)
    path.chmod(0o600)

    save_site(titled("next"), path)

    assert path.stat().st_mode & 0o777 == 0o600


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    save_site(titled("yard"), tmp_path / "yard.json")
    (tmp_path / "link.json").symlink_to(tmp_path / "yard.json")

    save_site(titled("next"), tmp_path / "link.json")

    assert ((tmp_path / "link.json").is_symlink(), title_in(tmp_path / "yard.json")) == (True, "next")


def test_what_no_site_can_be_is_not_saved(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 1)

    with pytest.raises(ModelError, match="there are no posts"):
        save_site(replace(courtyard(), posts=()), path)

    assert title_in(path) == "0"


def test_half_a_character_is_not_saved(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 1)

    with pytest.raises(SiteFileError, match="half a character"):
        save_site(titled("\ud800"), path)

    assert title_in(path) == "0"


@pytest.mark.parametrize("break_it", BREAKS)
def test_a_save_that_fails_keeps_the_old_file_and_leaves_no_half_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, break_it: Break
) -> None:
    path = saved_often(tmp_path / "yard.json", 1)
    with monkeypatch.context() as broken:
        break_it(broken, OSError(errno.ENOSPC, "No space left on device"))
        with pytest.raises(WriteError):
            save_site(titled("next"), path)

    assert title_in(path) == "0"
    assert list(tmp_path.glob("*.part")) == list(tmp_path.glob(".*.part")) == []


def test_a_save_after_one_that_failed_is_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = saved_often(tmp_path / "yard.json", 3)
    with monkeypatch.context() as broken:
        break_rename(broken, OSError(errno.EIO, "Input/output error"))
        with pytest.raises(WriteError):
            save_site(titled("lost"), path)

    save_site(titled("next"), path)

    assert last_good(path) is not None
    assert title_in(path) == "next"


@pytest.mark.parametrize(
    ("number", "advice"),
    [
        (errno.ENOSPC, "the disk is full; make room"),
        (errno.EACCES, "you may not write there; save it in another folder"),
        (errno.EROFS, "that disk can only be read"),
        (errno.EIO, "Input/output error; try again"),
    ],
)
def test_a_save_that_fails_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, advice: str
) -> None:
    break_flush(monkeypatch, OSError(number, os.strerror(number)))

    with pytest.raises(WriteError, match=rf"Site is not saved as .*yard\.json: {advice}"):
        save_site(titled("yard"), tmp_path / "yard.json")


@pytest.mark.parametrize(
    ("name", "advice"),
    [
        ("missing/yard.json", "there is no such folder; make it"),
        ("file.txt/yard.json", "part of the path is a file"),
        ("x" * 300, "has 300 letters, which is too long; shorten it"),
        ("x" * 250, "has 250 letters, which is too long; shorten it"),
        (f"{'y' * 300}/yard.json", "has 300 letters, which is too long; shorten it"),
        ("folder", "something that is no file has that name"),
        ("a\0b", "choose another name"),
    ],
)
def test_a_path_that_cannot_be_says_why(tmp_path: Path, name: str, advice: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file.txt").touch()

    with pytest.raises(WriteError, match=advice):
        save_site(titled("yard"), tmp_path / name)


# the last good version


def test_last_good_is_the_newest_version_that_can_be_read(tmp_path: Path) -> None:
    path = saved_often(tmp_path / "yard.json", 4)
    (tmp_path / ".yard.json.keep" / "yard.1.json").write_bytes(b'{"version": 1, "si')

    opened = last_good(path)

    assert opened is not None
    assert opened.document.project.title == "1"


def test_last_good_says_which_version_it_is(tmp_path: Path) -> None:
    opened = last_good(saved_often(tmp_path / "yard.json", 2))

    assert opened is not None
    assert (opened.path.name, "kept as" in opened.notes[0]) == ("yard.1.json", True)


def test_without_kept_versions_there_is_no_last_good(tmp_path: Path) -> None:
    assert last_good(saved_often(tmp_path / "yard.json", 1)) is None


def test_a_damaged_file_saved_over_is_kept_too(tmp_path: Path) -> None:
    path = tmp_path / "yard.json"
    path.write_bytes(b"{half")

    save_site(titled("next"), path)

    assert (tmp_path / ".yard.json.keep" / "yard.1.json").read_bytes() == b"{half"


def test_what_is_saved_is_what_is_dumped(tmp_path: Path) -> None:
    save_site(titled("yard"), tmp_path / "yard.json")

    assert (tmp_path / "yard.json").read_bytes() == dump_site(titled("yard"))
