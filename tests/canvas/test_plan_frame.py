import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.canvas.plan_frame import GREATEST_SCALE, Margins, PlanFrame

FRAME = PlanFrame(centre=(1000.0, 500.0), scale=0.1, width=800.0, height=600.0)
NO_MARGINS = Margins(0.0, 0.0, 0.0, 0.0)
coordinates = st.floats(-1e5, 1e5)
pixels = st.floats(-2000.0, 2000.0)


def test_middle_of_the_window_shows_the_centre() -> None:
    assert FRAME.to_model((400.0, 300.0)) == (1000.0, 500.0)


def test_inward_lies_up_on_the_screen() -> None:
    assert FRAME.to_pixels((1000.0, 1500.0)) == (400.0, 200.0)


@given(coordinates, coordinates)
def test_pixels_of_a_place_lead_back_to_it(x: float, y: float) -> None:
    assert FRAME.to_model(FRAME.to_pixels((x, y))) == pytest.approx((x, y), abs=1e-6)


@given(pixels, pixels, st.floats(0.2, 5.0))
def test_zoom_keeps_the_place_under_the_pointer(x: float, y: float, factor: float) -> None:
    zoomed = FRAME.zoomed(factor, (x, y))

    assert zoomed.to_model((x, y)) == pytest.approx(FRAME.to_model((x, y)), abs=1e-6)


def test_zoom_ends_somewhere() -> None:
    assert FRAME.zoomed(1e9, (0.0, 0.0)).scale == GREATEST_SCALE


def test_pushed_paper_goes_with_the_hand() -> None:
    there = FRAME.to_pixels((0.0, 0.0))

    assert FRAME.panned(7.0, -3.0).to_pixels((0.0, 0.0)) == pytest.approx((there[0] + 7.0, there[1] - 3.0))


@pytest.mark.parametrize("place", [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2000.0)])
def test_fitted_places_lie_inside_the_margins(place: tuple[float, float]) -> None:
    fitted = FRAME.fitted([(0.0, 0.0), (4000.0, 2000.0)], Margins(50.0, 60.0, 70.0, 80.0))

    x, y = fitted.to_pixels(place)
    assert (50.0 - 1e-6 <= x <= 730.0 + 1e-6, 60.0 - 1e-6 <= y <= 520.0 + 1e-6) == (True, True)


def test_one_place_is_shown_at_a_usual_scale() -> None:
    fitted = FRAME.fitted([(5.0, 5.0)], NO_MARGINS)

    assert fitted.scale == pytest.approx(600.0 / 8000.0)


def test_no_places_show_the_origin() -> None:
    assert FRAME.fitted([], NO_MARGINS).centre == (0.0, 0.0)


def test_window_of_no_height_keeps_a_size() -> None:
    assert FRAME.resized(100.0, 0.0).height == 1.0
