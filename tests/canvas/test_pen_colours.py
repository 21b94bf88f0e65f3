"""Contrast of every colour against what it stands on; the limits are those of WCAG 2.1, 1.4.3 and 1.4.11."""

import pytest

from siteplan.canvas.palette import LIGHT, MARK_CONTRAST, SEVERITY_COLOURS, TEXT_CONTRAST, contrast
from siteplan.canvas.pen_colours import look_of
from siteplan.drawing.pens import Pen
from siteplan.model.project import Severity
from siteplan.windows.style import GREYED

GROUNDS = {"desk": LIGHT.desk, "card": LIGHT.card, "paper": LIGHT.paper, "wash": LIGHT.wash}
DECORATIVE = (Pen.PAD_HATCH, Pen.VIEW_FRAME)  # their meaning stands in the outline beside them


def test_black_on_white_is_21_to_1() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)  # WCAG 2.1: the greatest contrast there is


def test_grey_on_white_matches_a_published_example() -> None:
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)  # W3C: the lightest grey that passes 4.5


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("role", ["ink", "mid", "accent"])
def test_text_can_be_read_on_every_ground(role: str, ground: str) -> None:
    assert contrast(getattr(LIGHT, role), GROUNDS[ground]) >= TEXT_CONTRAST


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("severity", list(SEVERITY_COLOURS))
def test_severity_can_be_read_on_every_ground(severity: Severity, ground: str) -> None:
    assert contrast(SEVERITY_COLOURS[severity], GROUNDS[ground]) >= TEXT_CONTRAST


@pytest.mark.parametrize("severity", list(SEVERITY_COLOURS))
def test_letter_can_be_read_in_its_severity(severity: Severity) -> None:
    assert contrast(LIGHT.paper, SEVERITY_COLOURS[severity]) >= TEXT_CONTRAST


@pytest.mark.parametrize("pen", [pen for pen in Pen if pen not in DECORATIVE])
def test_pen_can_be_seen_on_paper(pen: Pen) -> None:
    assert contrast(look_of(pen).colour, LIGHT.paper) >= MARK_CONTRAST


def test_selected_thing_differs_from_the_rest_by_more_than_colour() -> None:
    assert contrast(LIGHT.accent, LIGHT.ink) < contrast(LIGHT.accent, LIGHT.paper)


def test_greyed_command_is_still_legible() -> None:
    assert contrast(GREYED, LIGHT.card) >= MARK_CONTRAST


@pytest.mark.parametrize("pen", list(Pen))
def test_every_pen_has_a_look(pen: Pen) -> None:
    assert look_of(pen).width_mm > 0


def test_closed_leaf_is_a_ghost_of_the_leaf_at_the_angle_of_the_dial() -> None:
    assert look_of(Pen.LEAF_CLOSED).width_mm < look_of(Pen.LEAF_POSE).width_mm
