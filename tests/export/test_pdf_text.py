"""Painted text made searchable, on pages made by hand."""

from typing import Any

import pytest
from pypdf import PageObject
from pypdf.generic import ArrayObject, DecodedStreamObject, DictionaryObject, NameObject, NumberObject, StreamObject

from siteplan.errors import SheetError
from siteplan.export.pdf_text import join_letters, mend_fonts

WIDTHS = ArrayObject([NumberObject(0), ArrayObject(map(NumberObject, (600, 500, 700)))])


def stream(content: bytes) -> StreamObject:
    made = DecodedStreamObject()
    made.set_data(content)
    return made


def page(content: bytes, *, embedded: bool = True, meanings: bytes = b"") -> PageObject:
    """Return a page with one font, /F1, of three letters."""
    descriptor = DictionaryObject({NameObject("/FontFile2"): stream(b"")} if embedded else {})
    inner = DictionaryObject({NameObject("/W"): WIDTHS, NameObject("/FontDescriptor"): descriptor})
    font = DictionaryObject(
        {
            NameObject("/BaseFont"): NameObject("/Letters"),
            NameObject("/DescendantFonts"): ArrayObject([inner]),
            NameObject("/ToUnicode"): stream(meanings),
        }
    )
    made = PageObject.create_blank_page(width=10, height=10)
    fonts = DictionaryObject({NameObject("/F1"): font})
    made[NameObject("/Resources")] = DictionaryObject({NameObject("/Font"): fonts})
    made[NameObject("/Contents")] = stream(content)
    return made


def joined(content: bytes) -> bytes:
    made = page(content)
    join_letters(made)
    content_after: Any = made["/Contents"]
    return bytes(content_after.get_data())


def test_letters_become_one_string_with_the_rest_of_each_step() -> None:
    start = b"q\nBT\n/F1 1000 Tf 1 0 0 -1 0 0 Tm\n"

    text = joined(start + b"0 0 Td <0001> Tj\n500.25 0 Td <0002> Tj\n699.5 0 Td <0001> Tj\nET\nQ\n")

    assert text == start + b"[<0001>-0.2500<0002>0.5000<0001>] TJ\nET\nQ\n"


def test_a_single_letter_is_a_string() -> None:
    start = b"BT\n/F1 1000 Tf 1 0 0 -1 0 0 Tm\n"

    assert joined(start + b"0 0 Td <0001> Tj\nET\n") == start + b"[<0001>] TJ\nET\n"


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"10 10 m\n20 20 l\nS\n", id="no text"),
        pytest.param(b"BT\n/F1 1000 Tf 1 0 0 -1 0 0 Tm\n0 0 Td <0001> Tj\n5 9 Td <0002> Tj\nET\n", id="raised letter"),
    ],
)
def test_anything_else_is_left_as_it_is(content: bytes) -> None:
    assert joined(content) == content


def test_a_blank_means_a_blank_and_the_numbers_of_letters_stay() -> None:
    made = page(b"", meanings=b"<0001> <0009> [<0041> <0009> <0042>]")

    mend_fonts([made])

    resources: Any = made["/Resources"]
    assert resources["/Font"]["/F1"]["/ToUnicode"].get_data() == b"<0001> <0009> [<0041> <0020> <0042>]"


def test_a_font_that_is_not_embedded_is_refused() -> None:
    with pytest.raises(SheetError, match="NoneType for /FontFile2"):
        mend_fonts([page(b"", embedded=False)])


def test_a_page_without_content_is_refused() -> None:
    with pytest.raises(SheetError, match="NoneType for /Contents"):
        join_letters(PageObject.create_blank_page(width=10, height=10))
