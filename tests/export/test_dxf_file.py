"""The DXF file as a whole: readable, clean, to scale, the same bytes every time."""

import subprocess
import sys
from io import BytesIO
from math import dist, pi
from pathlib import Path

import pytest
from ezdxf import recover
from ezdxf._options import options
from ezdxf.audit import Auditor
from ezdxf.entities.arc import Arc as ArcEntity
from ezdxf.entities.hatch import Hatch
from ezdxf.entities.lwpolyline import LWPolyline
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pyogrio.raw import read
from shapely import Geometry, from_wkb

from siteplan.drawing.pens import Pen, line_patterns, looks
from siteplan.drawing.primitives import Fill, Label, Ring, SheetSet, Stroke, Symbol
from siteplan.errors import SheetError
from siteplan.export.dxf_file import write_dxf
from siteplan.geometry.points import point_at
from tests.export.dxf_samples import (
    CONTROL,
    FENCE,
    FOOT,
    INCH,
    LEAF_ARC,
    ROOT,
    drawn,
    full_bytes,
    full_file,
    model_of,
    notes_of,
    only,
    parsed,
    sheet,
    sheet_set,
    square,
    view,
)

PRINT_FILE = (
    "import sys; from siteplan.export.dxf_file import write_dxf; from tests.export.dxf_samples import full_set;"
    "sys.stdout.buffer.write(write_dxf(full_set()))"
)


def faults(auditor: Auditor) -> list[str]:
    return [entry.message for entry in (*auditor.errors, *auditor.fixes)]


def other_reader(path: Path, data: bytes) -> list[tuple[str, str, Geometry]]:
    """Return layer, text and shape of everything that GDAL finds in a file."""
    file = path / "plan.dxf"
    file.write_bytes(data)
    meta, _, shapes, columns = read(file)
    table = dict(zip(meta["fields"], columns, strict=True))
    return list(zip(table["Layer"], [text or "" for text in table["Text"]], from_wkb(shapes), strict=True))


# --- clean ---


@pytest.mark.parametrize("inches", [True, False])
def test_audit_finds_nothing(inches: bool) -> None:
    assert faults(parsed(full_bytes(inches)).audit()) == []


def test_the_recovering_reader_mends_nothing() -> None:
    _, auditor = recover.read(BytesIO(full_bytes()))

    assert faults(auditor) == []


def test_every_byte_is_plain_ascii() -> None:
    assert max(full_bytes()) <= 126


def test_lines_end_alike_on_every_system() -> None:
    assert b"\r" not in full_bytes()


def test_every_entity_stands_on_a_layer_of_the_table() -> None:
    assert {entity.dxf.layer for entity in drawn(full_file())} <= {layer.dxf.name for layer in full_file().layers}


def test_every_entity_leaves_its_look_to_its_layer() -> None:
    looks_of_entities = {
        (entity.dxf.get("color", 256), entity.dxf.get("linetype", "BYLAYER"), entity.dxf.get("lineweight", -1))
        for entity in drawn(full_file())
    }

    assert looks_of_entities == {(256, "BYLAYER", -1)}


@pytest.mark.parametrize("name", ["Model", "C-101", "C-102"])
def test_nothing_stands_on_layer_0_outside_blocks(name: str) -> None:
    assert not full_file().layouts.get(name).query("*[layer=='0']")


def test_symbol_blocks_take_the_layer_they_are_inserted_on() -> None:
    assert {entity.dxf.layer for entity in full_file().blocks.get("SITEPLAN-CONTROL")} == {"0"}


# --- tables and settings ---


@pytest.mark.parametrize("pen", Pen)
def test_every_pen_has_its_layer(pen: Pen) -> None:
    look, layer = looks()[pen], full_file().layers.get(looks()[pen].layer)

    assert (layer.color, layer.dxf.lineweight, layer.dxf.linetype, bool(layer.dxf.plot)) == (
        look.aci, round(100 * look.width_mm), look.line, look.plots,
    )  # fmt: skip


def test_layers_say_what_they_are_for() -> None:
    assert full_file().layers.get("L-SITE-GATE-SWNG-N").description == "swept arc"


@pytest.mark.parametrize("name", [name for name, parts in line_patterns().items() if parts])
def test_line_patterns_are_in_paper_inches(name: str) -> None:
    pattern = full_file().linetypes.get(name).pattern_tags.tags

    drawn_parts = [tag.value for tag in pattern if tag.code == 49]
    assert drawn_parts == pytest.approx([part / INCH for part in line_patterns()[name]])


@pytest.mark.parametrize(
    ("name", "inches", "metric"),
    [
        ("$INSUNITS", 1, 4),
        ("$MEASUREMENT", 0, 1),
        ("$LUNITS", 4, 2),
        ("$TILEMODE", 0, 0),
        ("$PSLTSCALE", 1, 1),
        ("$LTSCALE", 1, 1),
        ("$LWDISPLAY", 1, 1),
        ("$DIMSCALE", 96, 96),
        ("$TEXTSIZE", 2.4 * 96 / INCH, 2.4 * 96),
        ("$DIMSTYLE", "SITEPLAN-TICK-96", "SITEPLAN-TICK-96"),
    ],
)
def test_header_tells_units_and_display(name: str, inches: object, metric: object) -> None:
    assert (full_file(True).header[name], full_file(False).header[name]) == (
        pytest.approx(inches), pytest.approx(metric),
    )  # fmt: skip


@pytest.mark.parametrize(("face", "font"), [("REGULAR", "Regular"), ("SEMIBOLD", "SemiBold"), ("BOLD", "Bold")])
def test_text_styles_name_the_font_files(face: str, font: str) -> None:
    assert full_file().styles.get(f"SITEPLAN-{face}").dxf.font == f"OpenSans-{font}.ttf"


def test_the_file_says_what_it_is() -> None:
    assert full_file().ezdxf_metadata()["TITLE"] == "Gate at the mill"


# --- one entity for each primitive ---


def test_an_arc_that_runs_clockwise_covers_the_same_angle() -> None:
    (arc,) = model_of(LEAF_ARC).modelspace().query("ARC")

    assert (arc.dxf.start_angle, arc.dxf.end_angle, arc.dxf.radius) == pytest.approx((0, 90, 144))


@given(st.floats(-7, 7), st.floats(-6, 6).filter(lambda sweep: abs(sweep) > 0.01))
@settings(max_examples=20, deadline=None)
def test_an_arc_keeps_its_two_ends(start_rad: float, sweep_rad: float) -> None:
    arc = only(model_of(replace(LEAF_ARC, start_rad=start_rad, sweep_rad=sweep_rad)).modelspace(), ArcEntity)
    ends = (arc.end_point, arc.start_point) if sweep_rad < 0 else (arc.start_point, arc.end_point)

    wanted = [point_at((0.0, 0.0), 144.0, angle) for angle in (start_rad, start_rad + sweep_rad)]
    assert [tuple(end.vec2) for end in ends] == [pytest.approx(end, abs=1e-9) for end in wanted]


def test_an_arc_of_a_whole_turn_is_a_circle() -> None:
    assert len(model_of(replace(LEAF_ARC, sweep_rad=-2 * pi)).modelspace().query("CIRCLE")) == 1


def test_a_stroke_is_one_polyline() -> None:
    line = only(model_of(FENCE).modelspace(), LWPolyline)

    assert (list(line.get_points("xy")), line.closed) == ([(0, 0), (1200, 0)], False)


def test_a_pattern_runs_on_through_the_corners_of_a_stroke() -> None:
    line = only(model_of(FENCE).modelspace(), LWPolyline)

    assert line.dxf.flags & 128


points = st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))


@given(st.lists(points, min_size=2, max_size=30).map(tuple), st.booleans())
@settings(max_examples=20, deadline=None)
def test_every_stroke_keeps_its_length(corners: Ring, inches: bool) -> None:
    shape = Stroke(points=corners, pen=Pen.FENCE_NEW)
    line = only(model_of(shape, inches=inches).modelspace(), LWPolyline)
    read_back = list(line.get_points("xy"))

    length_mm = sum(map(dist, read_back, read_back[1:])) * (INCH if inches else 1)
    assert length_mm == pytest.approx(sum(map(dist, corners, corners[1:])), abs=1e-6)


@pytest.mark.parametrize("tone", ["wash", "paper"])
def test_light_fills_are_left_out(tone: str) -> None:
    light = Fill(rings=(square(FOOT),), pen=Pen.SWEEP, tone="wash" if tone == "wash" else "paper")

    assert len(model_of(light).modelspace()) == 0


def test_a_solid_fill_is_a_solid_hatch_with_all_its_rings() -> None:
    fill = Fill(rings=(square(FOOT), square(100.0, 100.0)), pen=Pen.POST)
    hatch = only(model_of(fill).modelspace(), Hatch)

    assert (hatch.dxf.solid_fill, hatch.dxf.hatch_style, len(hatch.paths)) == (1, 0, 2)


def test_a_hatch_is_named_by_its_pattern() -> None:
    assert only(full_file().modelspace(), Hatch, "S-FNDN-PATT-N").dxf.pattern_name == "CONCRETE"


def test_a_hatch_keeps_its_pattern_at_the_scale_of_the_view() -> None:
    hatch = only(full_file().modelspace(), Hatch, "S-FNDN-PATT-N")

    lines = hatch.pattern.lines if hatch.pattern else []
    # The sides of the larger triangles are 0.9 mm of paper.
    assert lines[0].dash_length_items[0] == pytest.approx(0.9 * 96 / INCH)


def test_a_label_is_a_text_in_its_place() -> None:
    (text,) = notes_of(Label(at=(FOOT, 0.0), text="90°", pen=Pen.NOTE, turn_rad=pi / 2)).modelspace().query("TEXT")

    assert (text.dxf.text, *text.dxf.insert.vec2, text.dxf.rotation) == ("90%%d", pytest.approx(12), 0, 90)


@pytest.mark.parametrize(("align", "code"), [("left", 0), ("middle", 1), ("right", 2)])
def test_a_label_is_aligned_on_its_baseline(align: str, code: int) -> None:
    label = Label(at=(0.0, 0.0), text="A", pen=Pen.NOTE)
    aligned = {"left": label, "middle": replace(label, align="middle"), "right": replace(label, align="right")}[align]
    (text,) = notes_of(aligned).modelspace().query("TEXT")

    assert (text.dxf.halign, text.dxf.valign) == (code, 0)


def test_an_empty_label_is_left_out() -> None:
    assert len(notes_of(Label(at=(0.0, 0.0), text="", pen=Pen.NOTE)).modelspace()) == 0


def test_a_symbol_is_a_block_turned_in_its_place() -> None:
    (insert,) = model_of(CONTROL).modelspace().query("INSERT")

    assert (*insert.dxf.insert.vec2, insert.dxf.rotation) == pytest.approx((72, 72, 30))


def test_the_text_of_a_symbol_stays_upright() -> None:
    (text,) = model_of(CONTROL).modelspace().query("TEXT")

    assert (text.dxf.text, text.dxf.rotation) == ("K1", 0)


def test_two_symbols_of_a_name_share_a_block() -> None:
    doc = model_of(CONTROL, Symbol(name="control", at=(0.0, 0.0), pen=Pen.CONTROL, source="K2"))

    assert [block.name for block in doc.blocks if block.name.startswith("SITEPLAN")] == ["SITEPLAN-CONTROL"]


@pytest.mark.parametrize("kind", ["LWPOLYLINE", "ARC", "CIRCLE", "HATCH", "SOLID", "TEXT", "INSERT", "DIMENSION"])
def test_every_kind_of_entity_carries_the_id_of_what_it_shows(kind: str) -> None:
    entity = full_file().modelspace().query(kind)[0]

    assert entity.get_xdata("SITEPLAN")[0].value in {"F1", "L1", "T2", "P1", "K1", "opening"}


def test_what_shows_nothing_carries_no_id() -> None:
    assert not model_of(replace(FENCE, source="")).modelspace()[0].has_xdata("SITEPLAN")


# --- metric ---


@pytest.mark.parametrize(("inches", "length"), [(True, 1200.0), (False, 30480.0)])
def test_the_drawing_unit_is_the_inch_or_the_mm(inches: bool, length: float) -> None:
    line = only(full_file(inches).modelspace(), LWPolyline, "L-SITE-FENC-N")

    assert line.get_points("xy")[1] == pytest.approx((length, 0))


def test_metric_paper_is_in_mm() -> None:
    assert full_file(False).paperspace("C-101").dxf.paper_size == "ANSI_full_bleed_B_(431.80_x_279.40_MM)"


# --- an independent reader ---


@pytest.mark.parametrize("text", ['(N) LEAF L1 12 1/2" x 90° ± 1°', "12'-0\" CLEAR", "R12'-0\"", "90°", "K1"])
def test_another_reader_finds_every_text(tmp_path: Path, text: str) -> None:
    assert text in {found for _, found, _ in other_reader(tmp_path, full_bytes())}


# The reader draws arcs as chords of 4 degrees: 2 sin(1/2 of 4 degrees) for each, 22.5 of them, 0.02 % short.
@pytest.mark.parametrize(
    ("layer", "wanted", "off"),
    [("L-SITE-FENC-N", 1200.0, 1e-9), ("L-SITE-GATE-SWNG-N", 144 * pi / 2, 0.06), ("L-SITE-GATE-POST-N", 48.0, 1e-9)],
)
def test_another_reader_finds_the_right_lengths(tmp_path: Path, layer: str, wanted: float, off: float) -> None:
    found = [shape.length for on, _, shape in other_reader(tmp_path, full_bytes()) if on == layer]

    assert found[0] == pytest.approx(wanted, abs=off)


def test_another_reader_finds_the_hole_of_a_fill(tmp_path: Path) -> None:
    areas = [shape.area for on, text, shape in other_reader(tmp_path, full_bytes()) if text == "SOLID"]

    assert areas[0] == pytest.approx(144 - (100 / INCH) ** 2)


# --- the same bytes every time ---


@pytest.mark.parametrize(("seed", "zone"), [("0", "UTC"), ("1", "Asia/Tokyo"), ("77", "America/Denver")])
def test_the_same_set_gives_the_same_bytes(seed: str, zone: str) -> None:
    around = {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C", "PYTHONPATH": str(ROOT)}
    run = subprocess.run([sys.executable, "-c", PRINT_FILE], env=around, cwd=ROOT, capture_output=True, check=True)

    assert run.stdout == full_bytes()


def test_classes_of_what_is_in_the_file_come_in_the_order_of_their_names() -> None:
    used = full_file().entitydb.dxf_types_in_use()

    names = [each.dxf.name for each in full_file().classes if each.dxf.name in used]
    assert names == sorted(names)


@pytest.mark.parametrize("name", ["$TDCREATE", "$TDUPDATE", "$TDUCREATE", "$TDUUPDATE"])
def test_the_date_of_the_file_is_the_issue_date(name: str) -> None:
    # Julian day 2 451 545 is 1 January 2000; 2 April 2031 is 11 414 days later.
    assert f"{name}\n 40\n{2_451_545 + 11_414}.0\n".encode() in full_bytes()


@pytest.mark.parametrize("name", ["$FINGERPRINTGUID", "$VERSIONGUID"])
def test_another_content_has_another_id(name: str) -> None:
    ids = [data.decode().split(name)[1].split("\n")[2] for data in (full_bytes(True), full_bytes(False))]

    assert ids[0] != ids[1]


def test_a_set_without_issue_date_can_be_written() -> None:
    assert write_dxf(sheet_set(sheet("C-101", view()), issue_date=""))


@pytest.mark.parametrize("before", [True, False])
def test_the_setting_of_the_library_is_given_back(before: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(options, "write_fixed_meta_data_for_testing", before)

    write_dxf(sheet_set(sheet("C-101")))

    assert options.write_fixed_meta_data_for_testing is before


# --- what cannot be written ---


@pytest.mark.parametrize(
    ("sheets", "message"),
    [
        (sheet_set(), "has no sheet"),
        (sheet_set(sheet("C-101"), sheet("C-101")), "C-101: the name stands on more than one sheet"),
        (sheet_set(sheet("C-101"), issue_date="2031-13-45"), "'2031-13-45' is not in the calendar"),
    ],
)
def test_a_set_that_cannot_be_written_says_why(sheets: SheetSet, message: str) -> None:
    with pytest.raises(SheetError, match=message):
        write_dxf(sheets)


def test_a_set_without_views_has_an_empty_model_space() -> None:
    assert len(parsed(write_dxf(sheet_set(sheet("G-101")))).modelspace()) == 0
