import runpy
from importlib import import_module
from math import pi
from pathlib import Path
from typing import Any

import pytest
import ttf_opensans

from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Align, Face, Label
from siteplan.drawing.text_size import label_box, text_width_mm
from siteplan.tables import RESOURCES

FILES: dict[Face, str] = {"regular": "OpenSans-Regular", "semibold": "OpenSans-SemiBold", "bold": "OpenSans-Bold"}


def open_font(face: Face) -> Any:
    path = Path(ttf_opensans.__file__).parent / "ttf" / f"{FILES[face]}.ttf"
    return import_module("fontTools.ttLib").TTFont(path)


@pytest.mark.parametrize("face", FILES)
@pytest.mark.parametrize("text", ["W", "i", "′", "½", "°", "~", "±", '"', "\\", "é", "⅞", "—"])
def test_advance_is_that_of_the_font_file(face: Face, text: str) -> None:
    font = open_font(face)

    advance = font["hmtx"][font.getBestCmap()[ord(text)]][0]

    assert text_width_mm(text, font["OS/2"].sCapHeight, face) == pytest.approx(advance)


def test_table_is_what_its_script_makes_of_the_font_files() -> None:
    made = runpy.run_path(str(RESOURCES / "fonts" / "make_advances.py"))["advances_text"]()

    assert made == (RESOURCES / "fonts" / "advances.toml").read_text(encoding="utf-8")


def test_capital_height_is_that_of_the_letter_h() -> None:
    font = open_font("regular")

    assert font["glyf"]["H"].yMax == font["OS/2"].sCapHeight


def test_width_is_the_sum_of_the_characters() -> None:
    assert text_width_mm("12'-6", 2.4) == pytest.approx(sum(text_width_mm(each, 2.4) for each in "12'-6"))


def test_bold_is_wider_than_regular() -> None:
    assert text_width_mm("LEAF", 2.4, "bold") > text_width_mm("LEAF", 2.4)


def test_strange_character_takes_the_room_of_the_widest_letter() -> None:
    assert text_width_mm("☂", 2.4) == text_width_mm("W", 2.4)


@pytest.mark.parametrize(("align", "left"), [("left", 0.0), ("middle", -0.5), ("right", -1.0)])
def test_box_stands_about_the_place_as_the_text_is_aligned(align: Align, left: float) -> None:
    label = Label(at=(10.0, 5.0), text="PAD", pen=Pen.NOTE, align=align)

    assert label_box(label)[0] == pytest.approx((10.0 + left * text_width_mm("PAD", 2.4), 5.0))


def test_box_is_as_high_as_capitals_at_the_ratio_of_the_view() -> None:
    label = Label(at=(0.0, 0.0), text="PAD", pen=Pen.NOTE, height_mm=2.4)

    assert label_box(label, ratio=48)[2][1] == pytest.approx(2.4 * 48)


def test_box_of_a_text_turned_to_the_right_edge_stands_on_its_left() -> None:
    label = Label(at=(0.0, 0.0), text="PAD", pen=Pen.NOTE, turn_rad=pi / 2)

    assert label_box(label)[2] == pytest.approx((-2.4, text_width_mm("PAD", 2.4)))


def test_slack_widens_the_box_away_from_the_aligned_end() -> None:
    label = Label(at=(0.0, 0.0), text="PAD", pen=Pen.NOTE, align="right")

    assert label_box(label, slack=2.0)[0][0] == pytest.approx(-2 * text_width_mm("PAD", 2.4))
