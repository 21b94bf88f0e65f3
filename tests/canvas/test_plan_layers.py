from math import radians

import pytest
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from siteplan.canvas.plan_frame import PlanFrame
from siteplan.canvas.plan_layers import DIMENSIONS, GAPS, POSE, PlanLayers, layer_order
from siteplan.canvas.plan_scene import PlanScene
from siteplan.drawing.primitives import Dimension
from siteplan.model.document import Document
from siteplan.model.edits import moved, with_number_typed
from siteplan.rules.all_rules import troubles
from siteplan.windows.style import dress
from tests.demo import demo_site

FRAME = PlanFrame(centre=(2000.0, 1000.0), scale=0.1, width=900.0, height=700.0)
ANGLES = {"A": 0.0, "B": radians(90)}


@pytest.fixture
def site(qapp: QApplication) -> Document:
    dress(qapp)
    return demo_site("courtyard-pair")


@pytest.fixture
def layers(site: Document) -> PlanLayers:
    made = PlanLayers()
    made.show(site, ANGLES)
    return made


def picture(scene: PlanScene) -> QImage:
    image = QImage(900, 700, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    with QPainter(image) as painter:
        scene.paint(painter, FRAME, 1.0, 1.0)
    return image


def scene_of(site: Document) -> PlanScene:
    scene = PlanScene()
    scene.show(site, ANGLES)
    return scene


def test_same_document_changes_no_layer(layers: PlanLayers, site: Document) -> None:
    assert layers.show(site, ANGLES) == frozenset()


def test_moved_pad_changes_pads_and_drives_only(layers: PlanLayers, site: Document) -> None:
    assert layers.show(moved(site, ["pad-A"], 10.0, 0.0), ANGLES) == {"pads", "drives"}


def test_swung_leaf_changes_its_pose_only(layers: PlanLayers, site: Document) -> None:
    assert layers.show(site, {**ANGLES, "A": 0.5}) == {POSE}


def test_moved_post_changes_its_leaf_and_its_dimensions(layers: PlanLayers, site: Document) -> None:
    changed = layers.show(moved(site, ["PB"], 10.0, 0.0), ANGLES)

    assert {"posts", "leaves", "sweeps", POSE, DIMENSIONS} <= changed


def test_leaf_at_its_angle_lies_over_its_ghosts() -> None:
    order = layer_order()

    assert order.index(POSE) == order.index("leaves") + 1


def test_gap_of_a_finding_is_dimensioned_in_the_colour_of_its_severity(layers: PlanLayers) -> None:
    assert [each.number for each in layers.layers[GAPS["Guard"]].primitives] == ["11.0 in"]  # type: ignore[union-attr]  # dimensions


def test_dimensions_cannot_be_hit(layers: PlanLayers) -> None:
    assert len(layers.targets()) == len(layer_order()) - len(GAPS) - 2


def test_selected_thing_is_painted_in_another_colour(site: Document) -> None:
    scene = scene_of(site)
    before = picture(scene)

    scene.select("B")

    assert picture(scene) != before


def test_finding_draws_its_witness(site: Document) -> None:
    scene = scene_of(site)
    before = picture(scene)

    scene.show_finding(next(each for each in troubles(site) if each.code == "U-04"))

    assert picture(scene) != before


def test_still_picture_shows_the_same_as_painting_all(site: Document) -> None:
    scene = scene_of(site)
    before = picture(scene)

    scene.begin_drag()

    assert picture(scene) == before


def test_moving_layers_are_painted_over_the_still_picture(site: Document) -> None:
    scene = scene_of(site)
    scene.begin_drag()
    picture(scene)
    changed = moved(site, ["pad-A"], 500.0, 0.0)

    scene.show(changed, ANGLES)

    assert picture(scene) != picture(scene_of(site))


def test_crowded_plan_leaves_names_out(site: Document) -> None:
    scene = scene_of(site)

    assert (scene.is_crowded(FRAME, 1.0), scene.is_crowded(FRAME._replace(scale=0.02), 1.0)) == (False, True)


def test_spot_level_stands_for_the_ground(qapp: QApplication) -> None:
    scene = scene_of(demo_site("hill-drive"))

    assert scene.thing_at((-20 * 304.8, 0.0), 30.0, 40.0) == "ground"


def test_handles_too_near_to_each_other_are_left_out(site: Document) -> None:
    scene = scene_of(site)
    scene.select("PA")

    assert [each.part for each in scene.handles_in(FRAME._replace(scale=0.05), 1.0)] == ["whole"]


def test_dimension_of_a_guess_carries_its_sign(layers: PlanLayers, site: Document) -> None:
    layers.show(with_number_typed(site, "B", "length_mm", 2463.8, "guess", "8'-1\""), ANGLES)

    numbers = [each.number for each in layers.layers[DIMENSIONS].primitives if isinstance(each, Dimension)]
    assert "~8'-1\"" in numbers


def test_words_of_dimensions_are_in_small_letters(layers: PlanLayers) -> None:
    notes = [each.note for each in layers.layers[DIMENSIONS].primitives if isinstance(each, Dimension)]

    assert notes == ["leaf A", "leaf B", "post faces"]
