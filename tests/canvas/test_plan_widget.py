import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from siteplan.canvas.drags import MM_PER_INCH
from siteplan.geometry.points import Point
from siteplan.model.document import find_record
from siteplan.model.drives import Pad
from siteplan.model.gate import Leaf, Post
from tests.canvas.bench import LEFT, NO_KEY, Bench, send_move

INCH = MM_PER_INCH
POST_A = (-6 * INCH, 0.0)
ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def near(place: Point, bench: Bench, pixels: float = 1.0) -> object:
    """Return what compares equal to a place within some pixels."""
    return pytest.approx(place, abs=pixels / bench.plan.frame.scale)


def post(bench: Bench, id: str) -> Post:
    found = find_record(bench.document, id)
    assert isinstance(found, Post)
    return found


def leaf(bench: Bench, id: str) -> Leaf:
    found = find_record(bench.document, id)
    assert isinstance(found, Leaf)
    return found


def pad(bench: Bench, id: str) -> Pad:
    found = find_record(bench.document, id)
    assert isinstance(found, Pad)
    return found


def test_click_on_a_post_selects_it(bench: Bench) -> None:
    QTest.mouseClick(bench.plan, LEFT, NO_KEY, bench.pixel(POST_A))

    assert bench.plan.scene.selected == "PA"


def test_click_on_bare_paper_selects_nothing(bench: Bench) -> None:
    bench.plan.select("PA")

    QTest.mouseClick(bench.plan, LEFT, NO_KEY, QPoint(30, 30))

    assert bench.plan.scene.selected == ""


def test_click_within_six_pixels_of_a_line_selects_it(bench: Bench) -> None:
    QTest.mouseClick(bench.plan, LEFT, NO_KEY, bench.pixel((172 * INCH, 90 * INCH)) - QPoint(5, 0))

    assert bench.plan.scene.selected == "W"


def test_click_eight_pixels_off_a_line_misses_it(bench: Bench) -> None:
    QTest.mouseClick(bench.plan, LEFT, NO_KEY, bench.pixel((172 * INCH, 90 * INCH)) - QPoint(8, 0))

    assert bench.plan.scene.selected != "W"


def test_dragged_post_goes_where_the_pointer_goes(bench: Bench) -> None:
    bench.drag(POST_A, (-20 * INCH, -9 * INCH))

    assert post(bench, "PA").at == near((-20 * INCH, -9 * INCH), bench)


def test_dragged_post_takes_its_hinge_axis_along(bench: Bench) -> None:
    bench.drag(POST_A, (-20 * INCH, -9 * INCH))

    assert post(bench, "PA").hinge == near((-14 * INCH, -9 * INCH), bench)


def test_one_drag_is_one_undo_step(bench: Bench) -> None:
    bench.drag(POST_A, (-20 * INCH, -9 * INCH))

    assert [step.label for step in bench.history.past] == ["Move post PA"]


def test_two_drags_are_two_undo_steps(bench: Bench) -> None:
    bench.drag(POST_A, (-20 * INCH, -9 * INCH))
    bench.drag(post(bench, "PA").at, (-30 * INCH, -12 * INCH))

    assert len(bench.history.past) == 2


def test_escape_in_a_drag_puts_back_the_very_document(bench: Bench) -> None:
    before = bench.document
    bench.press(bench.pixel(POST_A))
    bench.move(bench.pixel((-20 * INCH, -9 * INCH)))

    bench.key(Qt.Key.Key_Escape)

    assert bench.document is before


def test_escape_in_a_drag_leaves_no_step(bench: Bench) -> None:
    bench.press(bench.pixel(POST_A))
    bench.move(bench.pixel((-20 * INCH, -9 * INCH)))

    bench.key(Qt.Key.Key_Escape)
    bench.release(bench.pixel(POST_A))

    assert bench.history.past == ()


def test_a_tremble_of_the_hand_moves_nothing(bench: Bench) -> None:
    before = bench.document
    at = bench.pixel(POST_A)

    bench.press(at)
    bench.move(at + QPoint(2, 1))
    bench.release(at + QPoint(2, 1))

    assert bench.document is before


def test_dragged_tip_changes_the_length_of_its_leaf(bench: Bench) -> None:
    bench.plan.select("A")

    bench.drag((61 * INCH, 0.0), (55 * INCH, 10 * INCH))

    assert leaf(bench, "A").length_mm == pytest.approx(55 * INCH, abs=1 / bench.plan.frame.scale)


def test_tip_dragged_past_its_hinge_axis_keeps_a_length(bench: Bench) -> None:
    bench.plan.select("A")

    bench.drag((61 * INCH, 0.0), (-55 * INCH, 0.0))

    assert leaf(bench, "A").length_mm > 0


def test_dragged_open_tip_changes_the_open_stop(bench: Bench) -> None:
    bench.plan.select("A")

    bench.drag((0.0, 61 * INCH), (61 * INCH, 61 * INCH))

    assert leaf(bench, "A").open_angle_rad == pytest.approx(0.7854, abs=0.02)


def test_dragged_pad_moves_with_its_drive(bench: Bench) -> None:
    shaft_before = find_record(bench.document, "drive-A")

    bench.drag((-26 * INCH, 8 * INCH), (-46 * INCH, 8 * INCH))

    assert (pad(bench, "pad-A").at, find_record(bench.document, "drive-A") is shaft_before) == (
        near((-38 * INCH, 18 * INCH), bench),
        False,
    )


def test_dragged_corner_of_a_pad_changes_its_size(bench: Bench) -> None:
    bench.plan.select("pad-B")

    bench.drag((192 * INCH, 38 * INCH), (198 * INCH, 38 * INCH))

    assert pad(bench, "pad-B").width_mm == pytest.approx(36 * INCH, abs=2 / bench.plan.frame.scale)


def test_dragged_leaf_swings_and_leaves_the_document_alone(bench: Bench) -> None:
    before = bench.document

    bench.drag((30 * INCH, 0.0), (30 * INCH, 30 * INCH))

    assert bench.angles["A"] == pytest.approx(0.7854, abs=0.02)
    assert bench.document is before


def test_leaf_never_swings_beyond_its_open_stop(bench: Bench) -> None:
    bench.drag((30 * INCH, 0.0), (-30 * INCH, 30 * INCH))

    assert bench.angles["A"] == leaf(bench, "A").open_angle_rad


def test_post_snaps_onto_the_gate_line(bench: Bench) -> None:
    bench.drag(POST_A, (-40 * INCH, 1.0 * INCH))

    assert post(bench, "PA").at[1] == 0.0


def test_held_alt_refuses_snaps(bench: Bench) -> None:
    bench.drag(POST_A, (-40 * INCH, 1.0 * INCH), ALT)

    assert post(bench, "PA").at[1] == pytest.approx(1.0 * INCH, abs=1 / bench.plan.frame.scale)


def test_moves_of_one_turn_of_the_event_loop_are_one_edit(bench: Bench) -> None:
    edits: list[str] = []
    bench.plan.edited.connect(lambda label, document, token: edits.append(label))
    start = bench.pixel(POST_A)
    bench.press(start)

    for step in range(10):
        bench.move_only(start - QPoint(10 + step, 0))
    QApplication.processEvents()

    assert len(edits) == 1


def test_release_takes_the_last_place_of_the_pointer(bench: Bench) -> None:
    start, end = bench.pixel(POST_A), bench.pixel((-20 * INCH, -9 * INCH))
    bench.press(start)
    bench.move_only(end)

    bench.release(end)

    assert post(bench, "PA").at == near((-20 * INCH, -9 * INCH), bench)


def test_a_step_of_a_drag_is_painted(bench: Bench, qtbot: QtBot) -> None:
    bench.press(bench.pixel(POST_A))
    before = bench.plan.paints

    bench.move(bench.pixel((-20 * INCH, -9 * INCH)))

    qtbot.waitUntil(lambda: bench.plan.paints > before)


def test_still_window_paints_nothing(bench: Bench) -> None:
    QApplication.processEvents()
    before = bench.plan.paints

    QTest.qWait(50)

    assert bench.plan.paints == before


def test_drag_makes_only_layers_that_move(bench: Bench) -> None:
    bench.press(bench.pixel((-26 * INCH, 8 * INCH)))
    bench.move(bench.pixel((-36 * INCH, 8 * INCH)))
    before = bench.plan.scene.layers.builds

    bench.move(bench.pixel((-46 * INCH, 8 * INCH)))

    assert bench.plan.scene.layers.builds - before == 2  # pads and drives


@pytest.mark.parametrize(
    ("key", "modifiers", "inches"),
    [
        (Qt.Key.Key_Left, NO_KEY, (-1.0, 0.0)),
        (Qt.Key.Key_Up, NO_KEY, (0.0, 1.0)),
        (Qt.Key.Key_Right, SHIFT, (10.0, 0.0)),
        (Qt.Key.Key_Down, ALT, (0.0, -0.1)),
    ],
)
def test_arrow_nudges_the_selected_thing(
    bench: Bench, key: Qt.Key, modifiers: Qt.KeyboardModifier, inches: Point
) -> None:
    bench.plan.select("PA")

    bench.key(key, modifiers)

    assert post(bench, "PA").at == pytest.approx((POST_A[0] + inches[0] * INCH, inches[1] * INCH), abs=1e-9)


def test_held_arrow_is_one_undo_step(bench: Bench) -> None:
    bench.plan.select("PA")

    for repeats in (False, *[True] * 20):
        QApplication.sendEvent(bench.plan, QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Left, NO_KEY, "", repeats))

    assert post(bench, "PA").at[0] == pytest.approx(POST_A[0] - 21 * INCH)
    assert len(bench.history.past) == 1


def test_two_strokes_of_an_arrow_are_two_undo_steps(bench: Bench) -> None:
    bench.plan.select("PA")

    bench.key(Qt.Key.Key_Left)
    bench.key(Qt.Key.Key_Left)

    assert len(bench.history.past) == 2


def test_arrow_on_a_leaf_says_why_it_stays(bench: Bench) -> None:
    bench.plan.select("A")

    bench.key(Qt.Key.Key_Left)

    assert "post it hangs on" in bench.refusals[0]


def test_drag_ends_when_somebody_else_changes_the_document(bench: Bench) -> None:
    bench.press(bench.pixel(POST_A))
    bench.move(bench.pixel((-20 * INCH, -9 * INCH)))
    undone = bench.history.past[-1].document
    bench.history.undo()
    bench.plan.show_document(bench.document, bench.angles)

    bench.move(bench.pixel((-40 * INCH, -9 * INCH)))

    assert bench.document is undone


def test_arrow_without_selection_moves_the_paper(bench: Bench) -> None:
    before = bench.plan.middle

    bench.key(Qt.Key.Key_Right)

    assert bench.plan.middle[0] > before[0]


def test_escape_without_a_drag_clears_the_selection(bench: Bench) -> None:
    bench.plan.select("PA")

    bench.key(Qt.Key.Key_Escape)

    assert bench.plan.scene.selected == ""


def test_wheel_zooms_at_the_pointer(bench: Bench) -> None:
    before = bench.plan.frame.to_model((382.0, 466.0))

    turn_wheel(bench, QPoint(382, 466), QPoint(0, 0), QPoint(0, 240))

    assert bench.plan.frame.to_model((382.0, 466.0)) == pytest.approx(before)


def test_wheel_away_from_the_hand_enlarges(bench: Bench) -> None:
    before = bench.plan.frame.scale

    turn_wheel(bench, QPoint(382, 466), QPoint(0, 0), QPoint(0, 120))

    assert bench.plan.frame.scale > before


def test_two_fingers_move_the_paper(bench: Bench) -> None:
    before = bench.pixel(POST_A)

    turn_wheel(bench, QPoint(200, 200), QPoint(30, -20), QPoint(30, -20))

    assert bench.pixel(POST_A) - before == QPoint(30, -20)


def test_middle_button_moves_the_paper(bench: Bench) -> None:
    before, middle = bench.pixel(POST_A), Qt.MouseButton.MiddleButton

    QTest.mousePress(bench.plan, middle, NO_KEY, QPoint(300, 300))
    send_move(bench.plan, QPoint(340, 310), middle)
    QTest.mouseRelease(bench.plan, middle, NO_KEY, QPoint(340, 310))

    assert bench.pixel(POST_A) - before == QPoint(40, 10)


def test_held_space_moves_the_paper_instead_of_the_post(bench: Bench) -> None:
    before, document = bench.pixel(POST_A), bench.document
    QTest.keyPress(bench.plan, Qt.Key.Key_Space)

    bench.drag(POST_A, (-20 * INCH, -9 * INCH))

    assert (bench.pixel(POST_A) != before, bench.document is document) == (True, True)


def test_keys_enlarge_the_plan(bench: Bench) -> None:
    before = bench.plan.frame.scale

    bench.key(Qt.Key.Key_Plus)

    assert bench.plan.frame.scale > before


def test_plan_nobody_has_moved_is_fitted_again_to_a_smaller_room(bench: Bench) -> None:
    bench.plan.fit_gate()
    height = bench.plan.height()

    bench.plan.resize(bench.plan.width(), height - 120)

    fitted = bench.plan.frame
    bench.plan.fit_gate()
    assert bench.plan.frame == fitted


def test_plan_that_was_moved_by_hand_keeps_its_view(bench: Bench) -> None:
    bench.plan.fit_gate()
    QTest.keyClick(bench.plan, Qt.Key.Key_Plus)
    scale, middle = bench.plan.frame.scale, bench.plan.middle

    bench.plan.resize(bench.plan.width(), bench.plan.height() - 120)

    assert (bench.plan.frame.scale, bench.plan.middle) == (scale, middle)


def test_fit_plan_shows_the_far_road_edge(bench: Bench) -> None:
    bench.plan.fit_plan()

    x, y = bench.plan.frame.to_pixels((288 * INCH, -156 * INCH))
    assert (0 < x < bench.plan.width(), 0 < y < bench.plan.height()) == (True, True)


def test_pointer_over_a_thing_shows_it(bench: Bench) -> None:
    send_move(bench.plan, bench.pixel(POST_A), Qt.MouseButton.NoButton)

    assert bench.plan.scene.hovered == "PA"


def test_plan_has_a_name_for_those_who_hear_it(bench: Bench) -> None:
    assert (bench.plan.accessibleName(), "Yard list" in bench.plan.accessibleDescription()) == ("Plan", True)


def turn_wheel(bench: Bench, at: QPoint, fingers: QPoint, turned: QPoint) -> None:
    where = QPointF(at)
    event = QWheelEvent(
        where,
        bench.plan.mapToGlobal(where),
        fingers,
        turned,
        Qt.MouseButton.NoButton,
        NO_KEY,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(bench.plan, event)
