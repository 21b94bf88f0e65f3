"""Layouts, viewports, annotation on paper and the title block of a DXF."""

import pytest
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.layouts.layout import Paperspace
from ezdxf.math import Vec3
from msgspec.structs import replace

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Label, Stroke
from siteplan.export.dxf_file import write_dxf
from tests.export.dxf_samples import (
    CONTROL,
    FOOT,
    INCH,
    THINGS,
    full_file,
    only,
    parsed,
    sheet,
    sheet_set,
    view,
    viewport,
)

NO_PLOT = "G-ANNO-NPLT"


def layout(name: str) -> Paperspace:
    return full_file().paperspace(name)


def title_block(name: str) -> Insert:
    (insert,) = [insert for insert in layout(name).query("INSERT") if insert.dxf.name.startswith("SITEPLAN-TITLE")]
    assert isinstance(insert, Insert)
    return insert


def texts(name: str) -> list[str]:
    return [text.dxf.text for text in full_file().layouts.get(name).query("TEXT")]


# Arithmetic: 1200 in over the ratio.
@pytest.mark.parametrize(("ratio", "paper_inches"), [(48, 25.0), (96, 12.5), (120, 10.0), (240, 5.0)])
def test_a_hundred_feet_measure_true_through_the_viewport(ratio: float, paper_inches: float) -> None:
    doc = parsed(write_dxf(sheet_set(sheet("C-101", view(ratio)))))
    matrix = viewport(doc, "C-101").get_transformation_matrix()

    line = only(doc.modelspace(), LWPolyline, "L-SITE-FENC-N")
    first, second = (matrix.transform(Vec3(point)) for point in line.get_points("xy"))

    assert first.distance(second) == pytest.approx(paper_inches, abs=1e-9)


def test_the_centre_of_a_view_lies_in_the_middle_of_its_frame() -> None:
    shown = viewport(full_file(), "C-101").get_transformation_matrix().transform((120.0, 60.0, 0.0))

    assert (shown.x * INCH, shown.y * INCH) == pytest.approx((180, 130))


def test_a_viewport_covers_the_frame_of_its_view() -> None:
    dxf = viewport(full_file(), "C-101").dxf

    assert (dxf.width * INCH, dxf.height * INCH) == pytest.approx((320, 200))


def test_a_viewport_keeps_its_scale() -> None:
    assert viewport(full_file(), "C-101").dxf.flags & 16384


def test_no_viewport_frame_is_plotted() -> None:
    assert {each.dxf.layer for name in ("C-101", "C-102") for each in layout(name).viewports()} == {NO_PLOT}


def test_the_layer_of_viewport_frames_is_not_plotted() -> None:
    assert full_file().layers.get(NO_PLOT).dxf.plot == 0


def test_each_sheet_has_a_layout_of_its_name() -> None:
    assert full_file().layouts.names_in_taborder() == ["Model", "C-101", "C-102"]


def test_paper_is_the_whole_page_in_inches() -> None:
    assert layout("C-101").dxf.paper_size == "ANSI_full_bleed_B_(17.00_x_11.00_Inches)"


def test_page_is_plotted_at_full_size() -> None:
    dxf = layout("C-101").dxf

    assert (dxf.scale_numerator, dxf.scale_denominator, dxf.left_margin, dxf.bottom_margin) == (1, 1, 0, 0)


def test_page_is_plotted_black_with_the_widths_of_the_layers() -> None:
    assert layout("C-101").get_plot_style_filename() == "monochrome.ctb"


def test_page_asks_for_line_widths() -> None:
    assert layout("C-101").dxf.plot_layout_flags & 128


def test_the_first_view_is_annotated_in_model_space() -> None:
    assert "TURNED" in texts("Model")


def test_the_first_view_is_not_annotated_again_on_paper() -> None:
    assert "TURNED" not in texts("C-101")


def test_a_further_view_is_annotated_on_paper() -> None:
    assert "TURNED" in texts("C-102")


def test_text_in_model_space_has_its_paper_height_times_the_ratio() -> None:
    (text,) = full_file().modelspace().query("TEXT[text=='TURNED']")

    assert text.dxf.height == pytest.approx(2.4 * 96 / INCH)


def test_text_of_a_further_view_has_its_paper_height() -> None:
    (text,) = layout("C-102").query("TEXT[text=='TURNED']")

    assert text.dxf.height == pytest.approx(2.4 / INCH)


def test_a_note_of_a_further_view_stands_where_the_viewport_shows_its_place() -> None:
    (text,) = layout("C-102").query("TEXT[text=='TURNED']")
    shown = viewport(full_file(), "C-102").get_transformation_matrix().transform((12.0, 60.0, 0.0))

    assert text.dxf.align_point.isclose(shown)


def test_annotation_of_the_first_view_is_hidden_in_further_viewports() -> None:
    hidden = set(viewport(full_file(), "C-102").frozen_layers)
    noted = {entity.dxf.layer for entity in full_file().modelspace().query("TEXT DIMENSION INSERT")}

    assert noted <= hidden


def test_the_first_viewport_hides_nothing_of_its_view() -> None:
    assert viewport(full_file(), "C-101").frozen_layers == []


def test_a_further_viewport_shows_the_layers_of_its_things() -> None:
    hidden = set(viewport(full_file(), "C-102").frozen_layers)
    things = {entity.dxf.layer for entity in full_file().modelspace().query("ARC CIRCLE HATCH LWPOLYLINE")}

    assert things - hidden == {
        "L-SITE-FENC-N", "L-SITE-GATE-POST-N", "L-SITE-GATE-SWNG-N", "C-SITE-OBST-E", "E-SITE-EQPM-N", "S-FNDN-PATT-N",
    }  # fmt: skip


def test_things_that_only_a_further_view_shows_are_hidden_in_the_first() -> None:
    wall = Stroke(points=((0.0, 0.0), (FOOT, 0.0)), pen=Pen.WALL_NEW)
    sheets = sheet_set(sheet("C-101", view(96.0)), sheet("C-102", view(24.0, "2", model=(*THINGS, wall))))

    assert viewport(parsed(write_dxf(sheets)), "C-101").frozen_layers == ["L-SITE-WALL-N"]


def test_a_symbol_keeps_its_own_layer_where_one_view_shows_it() -> None:
    doc = parsed(write_dxf(sheet_set(sheet("C-101", view(96.0, model=(*THINGS, CONTROL))))))

    assert [insert.dxf.layer for insert in doc.modelspace().query("INSERT")] == ["E-SITE-EQPM-N"]


@pytest.mark.parametrize(("name", "scale"), [("Model", 96 / INCH), ("C-102", 1 / INCH)])
def test_a_symbol_has_its_paper_size_in_every_view(name: str, scale: float) -> None:
    (insert,) = full_file().layouts.get(name).query("INSERT[name=='SITEPLAN-CONTROL']")

    assert insert.dxf.xscale == pytest.approx(scale)


def test_a_line_of_a_further_view_ends_at_the_frame() -> None:
    line = only(layout("C-102"), LWPolyline, "G-ANNO-REVC")

    assert [point[0] * INCH for point in line.get_points("xy")] == pytest.approx([20, 340])


def test_a_note_outside_the_frame_of_a_further_view_is_left_out() -> None:
    far = Label(at=(900 * FOOT, 0.0), text="FAR", pen=Pen.NOTE)
    sheets = sheet_set(sheet("C-101", view(96.0)), sheet("C-102", view(24.0, "2", notes=(far,))))

    assert not parsed(write_dxf(sheets)).paperspace("C-102").query("TEXT[text=='FAR']")


def test_title_block_is_plain_text() -> None:
    assert "Owner Numero Uno" in texts("C-101")


@pytest.mark.parametrize(("tag", "text"), [("OWNER", "Owner Numero Uno and Partner"), ("REVISION_A_MARK", "A")])
def test_title_block_holds_its_values_as_attributes(tag: str, text: str) -> None:
    assert title_block("C-101").get_attrib_text(tag) == text


def test_attributes_of_the_title_block_are_unseen() -> None:
    assert all(attribute.is_invisible for attribute in title_block("C-101").attribs)


def test_block_of_the_title_block_defines_its_attributes() -> None:
    block = full_file().blocks.get(title_block("C-102").dxf.name)

    assert [each.dxf.tag for each in block.query("ATTDEF")] == ["OWNER", "REVISION_A_MARK"]


def test_a_sheet_without_fields_has_no_title_block() -> None:
    doc = parsed(write_dxf(sheet_set(sheet("C-101", items=()))))

    assert not doc.paperspace("C-101").query("INSERT")


def test_a_thing_that_two_views_show_stands_in_model_space_once() -> None:
    assert len(full_file().modelspace().query("LWPOLYLINE[layer=='L-SITE-FENC-N']")) == 1


def test_two_views_on_one_sheet_have_two_viewports() -> None:
    left, right = replace(view(96.0), frame=(20.0, 20.0, 150.0, 150.0)), view(24.0, "2")

    assert len(parsed(write_dxf(sheet_set(sheet("C-101", left, right)))).paperspace("C-101").viewports()) == 3
