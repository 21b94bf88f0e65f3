import json
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

import siteplan.storage.site_file as site_file_module
from siteplan.errors import DamagedFileError, EntryError, ModelError, SiteFileError
from siteplan.model.document import Document
from siteplan.model.edits import with_number_typed
from siteplan.model.fields import number_fields
from siteplan.model.marks import BASES, Mark
from siteplan.model.parts import find_part, key_of, parts_of
from siteplan.model.project import Datum, Project
from siteplan.storage.quantity_texts import read_quantity
from siteplan.storage.site_file import dump_site, laid_out, load_site, read_site
from tests.model.sample_sites import courtyard, documents, unhurried

Raw = dict[str, Any]
TYPED = ["8'", "12'-6 1/2\"", "3.81 m", "170 in", "4293.4 mm", "(24'8 - 2\")/2", '1/2"', "12′-6½″"]


def raw_site() -> Raw:
    site: Raw = json.loads(dump_site(courtyard()))["site"]
    return site


def file_of(site: Raw, version: int = 1) -> bytes:
    return json.dumps({"version": version, "site": site}).encode()


def refusal(data: bytes) -> str:
    with pytest.raises(SiteFileError) as refused:
        load_site(data)
    return str(refused.value)


def refusal_with(path: str, value: object) -> str:
    """Return what is said of the sample site with one value changed, taken out (...) or put in."""
    site: Any = raw_site()
    *way, last = [int(piece) if piece.isdigit() else piece for piece in path.split(".")]
    inner = site
    for piece in way:
        inner = inner[piece]
    if value is ...:
        del inner[last]
    else:
        inner[last] = value
    return refusal(file_of(site))


def normal_marks(document: Document) -> dict[tuple[str, str], Mark]:
    """Return the marks of a document as a file keeps them: texts of numbers that still mean them, no empty marks."""
    marks = [_normal(document, mark) for mark in document.marks]
    return {(mark.of, mark.field): mark for mark in marks if mark is not None}


def _normal(document: Document, mark: Mark) -> Mark | None:
    part = find_part(document, mark.of)
    assert part is not None
    number = next((number for number in number_fields(part) if number.path == mark.field), None)
    if number is None or number.value is None:
        return mark
    try:
        means = read_quantity(mark.text, number.quantity, number.signed)
        text = mark.text if means == (number.value, mark.text, None, "") else ""
    except EntryError:
        text = ""
    return replace(mark, text=text) if text or mark.basis or mark.by else None


@st.composite
def typed_documents(draw: st.DrawFn) -> Document:
    """Return random documents some of whose lengths were typed."""
    document = draw(documents())
    lengths = [
        (key_of(part), number)
        for part in parts_of(document)
        for number in number_fields(part)
        if number.quantity == "length"
    ]
    chosen = draw(st.lists(st.sampled_from(lengths), max_size=4)) if lengths else []
    for key, number in chosen:
        text, basis = draw(st.sampled_from(TYPED)), draw(st.sampled_from([None, *BASES]))
        value = read_quantity(text, "length", number.signed).value
        try:
            document = with_number_typed(document, key, number.path, value, basis, text)
        except ModelError:
            continue
    return document


# there and back


@unhurried
@given(typed_documents())
def test_a_site_saved_and_loaded_is_the_same_to_the_last_digit(document: Document) -> None:
    loaded = load_site(dump_site(document))

    assert replace(loaded, marks=()) == replace(document, marks=())
    assert normal_marks(loaded) == normal_marks(document)


@unhurried
@given(typed_documents())
def test_a_site_loaded_and_saved_is_the_same_file(document: Document) -> None:
    data = dump_site(load_site(dump_site(document)))

    assert dump_site(load_site(data)) == data


def test_the_sample_site_is_the_same_after_saving_and_loading() -> None:
    loaded = load_site(dump_site(courtyard()))

    assert replace(loaded, marks=()) == replace(courtyard(), marks=())


def test_marks_of_nothing_are_not_written() -> None:
    stray = replace(courtyard(), marks=(Mark(of="gone", field="x"), Mark(of="A", field="x")))

    assert load_site(dump_site(stray)).marks == ()


def test_a_mark_on_a_number_as_it_is_by_itself_is_kept() -> None:
    mark = Mark(of="B", field="thickness_mm", basis="taped", text='2"')

    assert load_site(dump_site(replace(courtyard(), marks=(mark,)))).marks == (mark,)


def test_a_mark_on_north_as_it_is_by_itself_is_kept() -> None:
    mark = Mark(of="datum", field="north_rad", basis="taped")

    assert load_site(dump_site(replace(courtyard(), datum=Datum(), marks=(mark,)))).marks == (mark,)


def test_a_source_that_no_tag_can_hold_is_kept() -> None:
    mark = Mark(of="A", field="length_mm", basis="told", text="8'", by="owner, by phone")

    assert load_site(dump_site(replace(courtyard(), marks=(mark,)))).marks == (mark,)


def test_half_a_character_is_refused_before_anything_is_written() -> None:
    with pytest.raises(SiteFileError, match=r"holds half a character, which no file can keep, after '.*owner is '"):
        dump_site(replace(courtyard(), project=Project(title="owner is \ud800")))


# the text


def test_fields_go_without_units_and_typed_texts_with_their_tags() -> None:
    assert raw_site()["leaves"][0]["length"] == "8' taped"


def test_a_number_that_nobody_typed_is_written_to_the_last_digit() -> None:
    assert raw_site()["points"][0]["at"] == ["100.0 mm", "-250.5 mm"]


def test_values_as_they_are_by_themselves_are_left_out() -> None:
    assert raw_site()["signs"] == [{"id": "N1", "at": ["100.0 mm", "-10.0 mm"], "seen_from": "outside"}]


def test_what_fits_on_a_line_stands_on_one_line() -> None:
    lines = dump_site(courtyard()).decode().splitlines()

    assert '  "gates": [{"id": "G1", "leaves": ["A", "B"]}],' in lines


def test_the_file_ends_with_a_line_end() -> None:
    assert dump_site(courtyard()).endswith(b"}\n")


def test_letters_stand_as_they_are() -> None:
    assert "Größe".encode() in dump_site(replace(courtyard(), project=Project(title="Größe")))


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    )
)
def test_laid_out_text_is_json_of_the_same(raw: object) -> None:
    assert json.loads(laid_out(raw)) == raw


# what people write


def test_untagged_text_keeps_what_was_typed() -> None:
    site = raw_site()
    site["leaves"][1]["length"] = "5'"

    marks = load_site(file_of(site)).marks

    assert Mark(of="B", field="length_mm", text="5'") in marks


def test_a_row_of_marks_adds_to_the_text_of_a_number() -> None:
    site = raw_site()
    site["leaves"][1]["length"] = "5'"
    site["marks"] = [{"of": "B", "field": "length", "basis": "told", "by": "owner, by phone"}]

    marks = load_site(file_of(site)).marks

    assert Mark(of="B", field="length_mm", basis="told", text="5'", by="owner, by phone") in marks


def test_a_byte_order_mark_is_passed_over() -> None:
    assert load_site(b"\xef\xbb\xbf" + dump_site(courtyard())) == load_site(dump_site(courtyard()))


def test_zero_needs_no_unit() -> None:
    site = raw_site()
    site["posts"][0]["at"] = [0, 0.0]

    assert load_site(file_of(site)).posts[0].at == (0.0, 0.0)


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (
            "leaves.0.thickness",
            2,
            'Leaf A: thickness: 2 has no unit; write "2 in" or "51 mm" - at $.site.leaves[0].thickness',
        ),
        ("leaves.0.weight", 420.5, 'Leaf A: weight: 420.5 has no unit; write "420.5 lb" or "191 kg" - at '),
        ("posts.1.at.0", 12, "Post PB: at, right: 12 has no unit"),
        ("edges.0.line.1.1", "12", "Edge W1: line 2, inward: Length 12 "),
        ("leaves.0.plates.0.from", 1, "Leaf A: plate 1, from: 1 has no unit"),
        ("ground.shots.1.height", 1, "Shot ground: shot 2, height: 1 has no unit"),
        ("leaves.0.thickness", True, "Leaf A: thickness must be a length in quotes, not true"),
        ("leaves.0.thickness", float("nan"), "must be a length in quotes, not NaN"),
        ("leaves.0.thickness", float("inf"), "must be a length in quotes, not Infinity"),
        ("leaves.0.thickness", "-2 in", "Leaf A: thickness: Length -2 in cannot be negative"),
        ("leaves.0.length", "-3000 mm", "Leaf A: length must be above 0, not -3000 mm - at $.site.leaves[0]"),
        ("leaves.0.open_angle", "190 deg", "Leaf A: open_angle must be above 0 and at most 180 deg, not 190 deg"),
        ("leaves.0.swings", "up", "Leaf A: swings must be in or out, not 'up' - at $.site.leaves[0].swings"),
        ("leaves.0.swings", ["in"], "Leaf A: swings must be in or out, not a list of 1"),
        ("leaves.0.swings", ..., "Leaf A: swings is missing - at $.site.leaves[0].swings"),
        ("leaves.0.thicknes", "2 in", "Leaf A: 'thicknes' is not a field of a leaf; did you mean thickness?"),
        ("leaves.0.length_mm", 3000, "Leaf A: 'length_mm' is not a field of a leaf; did you mean length?"),
        ("leaves.0.xyzzy", 1, "Leaf A: 'xyzzy' is not a field of a leaf - at $.site.leaves[0]"),
        ("leaves.0.id", ..., "Leaf: id is missing"),
        ("leaves.0.id", 3, "Leaf: id must be a text, not 3"),
        ("leaves.0", "A", "must be a leaf in braces, not 'A' - at $.site.leaves[0]"),
        ("leaves", {}, "Site: leaves must be a list in brackets, not something in braces - at $.site.leaves"),
        ("posts.0.hinge", ["1 in"], "Post PA: hinge must be a list of 2 in brackets, not a list of 1"),
        ("obstacles.0.shape", "cube", "needs shape block or round, not 'cube' - at $.site.obstacles[0]"),
        ("obstacles.0", 7, "must be a block or a round in braces, not 7"),
        ("ground.kind", ..., "needs kind plane or shots, not null - at $.site.ground"),
        ("project.scale", 48.5, "Project: scale must be a whole number, not 48.5"),
        ("project.scale", 10**12, "Project: scale must be a whole number up to 1000000000"),
        ("project.scale", 10**500, "Project: scale must be a whole number"),
        ("project.use.fire_lane", 0, "Project: use, fire lane must be true or false, not 0"),
        ("project.issue_date", "2 April", "Project: issue_date must be written like 2031-04-02, not '2 April'"),
        ("project.title", "\ud800", "Project: title holds half a character"),
        ("project.revisions.0.mark", ..., "Project: revision 1, mark is missing"),
        ("local.0.margin", ..., "Local limit C-40: give a value, a margin or a severity"),
        ("leaves.0.post", "C", "Leaf A: hangs on post 'C', but the posts are PA and PB - at $.site.leaves[0].post"),
        ("points.1.id", "P1", "'P1' is used 2 times, by Survey point P1 and Survey point P1"),
        ("marks.0.of", "W1x", "Mark of W1x: there is no 'W1x' on this site; did you mean W1? - at $.site.marks[0]"),
        ("marks.0.field", "kin", "Mark of W1: 'kin' is not a field of it; did you mean kind?"),
        ("marks.0", {"of": "A", "field": "length", "basis": "told"}, "Mark of A: length has a tag already"),
        ("marks.0.field", "9" * 5000, "is not a field of it"),
    ],
)
def test_a_fault_names_thing_value_and_place(path: str, value: object, message: str) -> None:
    assert message in refusal_with(path, value)


def test_faults_are_told_together() -> None:
    site = raw_site()
    site["leaves"][0]["swings"] = "up"
    site["posts"][0]["size"] = 6

    assert len(refusal(file_of(site)).splitlines()) == 2


def test_no_more_than_ten_faults_are_told() -> None:
    site = raw_site()
    site["points"] = [{}] * 100

    assert len(refusal(file_of(site)).splitlines()) == 11


def test_a_name_that_stands_twice_is_refused() -> None:
    data = dump_site(courtyard()).replace(b'"radius": "152.4 mm"', b'"radius": "152.4 mm", "radius": "1 mm"')

    assert "Round T1: 'radius' stands twice; keep one of them - at $.site.obstacles[1]" in refusal(data)


@pytest.mark.parametrize("name", ["version", "site"])
def test_an_envelope_that_says_something_twice_is_refused(name: str) -> None:
    data = dump_site(courtyard()).replace(b"{", f'{{"{name}": 1,'.encode(), 1)

    assert f"'{name}' stands twice" in refusal(data)


# files that are none


def test_a_newer_version_is_refused_with_both_numbers() -> None:
    assert "Site file has version 7, and this program reads 1 to 1" in refusal(file_of({}, version=7))


@pytest.mark.parametrize("version", [0, -1, True, "1", 1.5, None, 10**30])
def test_a_version_that_is_none_is_refused(version: Any) -> None:
    assert "version" in refusal(file_of({}, version=version))


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "Site file is empty"),
        (b"\0\0\0\0", "Site file is empty"),
        (b"  \n", "Site file is empty"),
        (b"\x89PNG\r\n\0\1", "it is no text, with 1 zero bytes"),
        (b"{}", "This is not a site file but something in braces"),
        (b"[1, 2]", "This is not a site file but a list of 2"),
        (b"3", "This is not a site file but 3"),
        (b'{"version": 1}', 'one holds {"version": 1, "site": {...}}'),
        (b"hello", "cut off or no site file, at line 1, column 1: a value is missing here"),
        (b'{"version": 1, "si', "cut off or no site file, at line 1, column 16: the text that starts here"),
        (b'{"version": 1, "site": {', "cut off or no site file, at line 1, column 25"),
        (b'{"version": 1, "site": {}', "cut off or no site file, at line 1, column 26: a comma or a closing bracket"),
        (b'{"version": 1, "site": "\xc3', "cut off in line 1, in the middle of a letter"),
        (b"[" * 10**5, "nested deeper than any site"),
    ],
)
def test_a_damaged_file_says_so(data: bytes, message: str) -> None:
    assert message in refusal(data)


@pytest.mark.parametrize("percent", range(0, 100, 4))
def test_a_file_cut_off_anywhere_is_damaged(percent: int) -> None:
    data = dump_site(courtyard())

    with pytest.raises(DamagedFileError):
        load_site(data[: len(data) * percent // 100])


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b'{"version": 1,\n "site": {"project" 3}}', "at line 2, column 21: a colon is missing before this place"),
        (b'{"version": 1,\n "site": {3: 4}}', "at line 2, column 11: a name in double quotes is missing here"),
        (b'{"version": 1,\n "site": {"a": "14\'-1""}}', 'an inch mark inside a text is written \\"'),
        (b'{"version": 1, "site": {"a": "b\nc"}}', "a text runs over the end of its line"),
        (b'{"version": 1, "site": {"a": "\\x"}}', "a backslash stands before nothing it can go with"),
        (b'{"version": 1, "site": {}} {}', "something stands behind the end of the site"),
        (b'{"version": 1, "site": {"a": "\xe9"}}', "Site file is not UTF-8 text: line 1 holds the byte 0xe9"),
        (b'{"version": 1, "site": {}, "sight": 3}', "'sight' stands beside version and site"),
        (b'{"version": 1, "site": []}', "site must be a site in braces, not a list of 0"),
        (b'{"version": 1, "site": {"a": ' + b"9" * 10**5 + b"}}", "'a' is not a field of a document"),
    ],
)
def test_a_file_that_is_not_understood_says_where(data: bytes, message: str) -> None:
    assert message in refusal(data)


def test_a_file_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site_file_module, "LARGEST_BYTES", 100)

    assert "Site file is larger than" in refusal(dump_site(courtyard()))


# opening


def test_read_site_gives_document_version_and_path(tmp_path: Path) -> None:
    path = tmp_path / "yard é.json"
    path.write_bytes(dump_site(courtyard()))

    assert read_site(path) == (load_site(dump_site(courtyard())), 1, (), path)


def test_an_older_file_is_brought_up_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site_file_module, "CURRENT", 2)
    monkeypatch.setattr(site_file_module, "upgraded", lambda site, version: site)
    path = tmp_path / "old.json"
    path.write_bytes(file_of(raw_site(), version=1))

    assert read_site(path).notes == ("Brought from file version 1 to 2; saving writes version 2.",)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SiteFileError, match=r"There is no file .*yard\.json"):
        read_site(tmp_path / "yard.json")


@pytest.mark.parametrize("name", ["", "a\0b", "x" * 300])
def test_a_path_that_is_no_file_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(SiteFileError, match="cannot be opened"):
        read_site(tmp_path / name)


# whatever stands in a file

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6) | st.sampled_from(TYPED),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


def spots(raw: Any) -> list[tuple[Any, Any]]:
    """Return every container of a file with a name or number in it."""
    if isinstance(raw, dict):
        return [spot for name, inner in raw.items() for spot in [(raw, name), *spots(inner)]]
    if isinstance(raw, list):
        return [spot for number, inner in enumerate(raw) for spot in [(raw, number), *spots(inner)]]
    return []


def load_or_refuse(data: bytes) -> None:
    with suppress(SiteFileError):
        dump_site(load_site(data))


@given(st.integers(0, 10**6), json_values)
def test_any_value_anywhere_is_read_or_refused(number: int, value: object) -> None:
    raw = json.loads(dump_site(courtyard()))
    found = spots(raw)
    container, place = found[number % len(found)]
    container[place] = value

    load_or_refuse(json.dumps(raw).encode())


@given(st.integers(0, 10**6))
def test_anything_missing_is_read_or_refused(number: int) -> None:
    raw = json.loads(dump_site(courtyard()))
    found = spots(raw)
    container, place = found[number % len(found)]
    del container[place]

    load_or_refuse(json.dumps(raw).encode())


@given(st.integers(0, 10**6), st.text(max_size=9), json_values)
def test_any_name_added_is_read_or_refused(number: int, name: str, value: object) -> None:
    raw = json.loads(dump_site(courtyard()))
    containers = [container for container, _ in spots(raw) if isinstance(container, dict)]
    containers[number % len(containers)][name] = value

    load_or_refuse(json.dumps(raw).encode())


@given(json_values)
def test_any_site_is_read_or_refused(value: object) -> None:
    load_or_refuse(json.dumps({"version": 1, "site": value}).encode())


@given(st.binary(max_size=60))
def test_any_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(SiteFileError):
        load_site(data)


@given(st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), min_size=1, max_size=4))
def test_a_site_with_any_bytes_changed_is_read_or_refused(flips: list[tuple[int, int]]) -> None:
    data = bytearray(dump_site(courtyard()))
    for place, byte in flips:
        data[place % len(data)] = byte

    load_or_refuse(bytes(data))
