import pytest
from hypothesis import given
from hypothesis import strategies as st

from siteplan.drawing.text_flow import fitted_height, wrapped
from siteplan.drawing.text_size import text_width_mm


def test_words_go_on_the_next_line_where_the_column_ends() -> None:
    assert wrapped("first issue", 12.0) == ("first", "issue")


def test_word_wider_than_the_column_goes_over_two_lines() -> None:
    assert wrapped("CP-0001-2031-REVISED", 24.0) == ("CP-0001-2031-", "REVISED")


@given(text=st.text("abcW- ", max_size=40), width=st.floats(4.0, 80.0))
def test_no_line_is_wider_than_the_column(text: str, width: float) -> None:
    assert max(text_width_mm(line, 2.4) for line in wrapped(text, width)) <= width


@given(text=st.text("abcW- ", max_size=40), width=st.floats(4.0, 80.0))
def test_no_letter_is_lost(text: str, width: float) -> None:
    assert "".join(wrapped(text, width)).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize(("width", "height"), [(100.0, 2.4), (1.0, 2.0)])
def test_line_shrinks_to_no_less_than_2_mm(width: float, height: float) -> None:
    assert fitted_height("first issue", width, 2.4) == height
