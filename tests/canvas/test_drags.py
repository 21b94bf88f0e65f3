import pytest

from siteplan.canvas.dragging import handles_of
from siteplan.canvas.drags import Drag
from siteplan.model.document import Document
from tests.demo import demo_site

INCH = 25.4
AT = (-6 * INCH, 0.0)


@pytest.fixture
def site() -> Document:
    return demo_site("courtyard-pair")


def drag_of(site: Document, id: str = "PA", number: int = 0) -> Drag:
    handle = handles_of(site, id)[number]
    return Drag(site, handle, handle.at)


def test_every_state_is_worked_out_from_the_start(site: Document) -> None:
    drag = drag_of(site)

    drag.move((AT[0] - 500.0, 300.0), 0.0)
    state = drag.move((AT[0] - 100.0, 300.0), 0.0)

    assert state.document.posts[0].at == pytest.approx((AT[0] - 100.0, 300.0))


def test_dragged_back_to_its_start_it_is_the_very_document(site: Document) -> None:
    drag = drag_of(site)
    drag.move((AT[0] - 500.0, 300.0), 0.0)

    assert drag.move(drag.handle.at, 0.0).document is site


def test_snap_is_said_in_words(site: Document) -> None:
    state = drag_of(site).move((AT[0] - 500.0, 8.0), 20.0)

    assert state.snap is not None
    assert state.snap.words == "on the gate line"


def test_reach_of_nothing_refuses_snaps(site: Document) -> None:
    assert drag_of(site).move((AT[0] - 500.0, 8.0), 0.0).snap is None


def test_hinge_axis_of_a_snapped_post_lies_on_the_gate_line(site: Document) -> None:
    state = drag_of(site).move((AT[0] - 500.0, 8.0), 20.0)

    assert state.document.posts[0].hinge == pytest.approx((-500.0, 0.0), abs=1e-9)


def test_what_no_site_can_have_is_refused_in_words(site: Document) -> None:
    state = drag_of(site, "A").move((-1000.0, 0.0), 0.0)

    assert "Leaf A" in state.refusal


def test_refused_place_keeps_the_last_good_document(site: Document) -> None:
    drag = drag_of(site, "A")
    good = drag.move((1000.0, 0.0), 0.0).document

    assert drag.move((-1000.0, 0.0), 0.0).document is good


def test_number_is_the_length_while_a_tip_is_dragged(site: Document) -> None:
    assert drag_of(site, "A").move((50 * INCH, 0.0), 0.0).number == "4'-2\""


def test_drag_carries_the_label_of_its_step(site: Document) -> None:
    assert drag_of(site).label == "Move post PA"
