"""What makes the text of a painted PDF one that can be searched, and its fonts the same on every run.

Qt paints a text letter by letter and gives the blank the meaning of a tab; the order of its fonts, and with it their
names, differs from run to run.  Clauses are those of ISO 32000-1:2008 (PDF 1.7).
"""

import re
from collections.abc import Iterable
from string import ascii_uppercase
from typing import TypeVar

from pypdf import PageObject
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, PdfObject, StreamObject

from siteplan.errors import SheetError

Kind = TypeVar("Kind", bound=PdfObject)

HEXADECIMAL = 16
TEXT = re.compile(
    rb"(?P<start>BT\n/(?P<font>\w+) 1000 Tf [^\n]*\n)0 0 Td (?P<letters><\w+> Tj\n(?:\S+ 0 Td <\w+> Tj\n)*)ET"
)
LETTER = re.compile(rb"(?:(\S+) 0 Td )?<(\w+)> Tj")  # how far from the letter before, and which letter
MEANINGS = re.compile(rb"\[[^]]*\]")
TAB, BLANK = b"<0009>", b"<0020>"


def join_letters(page: PageObject) -> None:
    """Make each text of a painted page one string; letter by letter, turned texts fall apart in a search.

    The letters stay where they are: what the rounded width of a letter lacks is put between it and the next
    (clause 9.4.3).  A text painted in another way is left as it is.  A page that is not as Qt paints it raises
    SheetError.
    """
    content = _found(page, "/Contents", StreamObject)
    widths = {name.removeprefix("/").encode(): _letter_widths(font) for name, font in _fonts(page).items()}
    content.set_data(TEXT.sub(lambda text: _as_one_string(text, widths[text["font"]]), content.get_data()))


def _as_one_string(text: re.Match[bytes], widths: dict[int, float]) -> bytes:
    """Return a text as one string with the rest of each step between its letters."""
    (_, letter), *following = LETTER.findall(text["letters"])
    string = b"<%b>" % letter
    for step, after in following:
        string += b"%.4f<%b>" % (widths[int(letter, HEXADECIMAL)] - float(step), after)
        letter = after
    return b"%b[%b] TJ\nET" % (text["start"], string)


def _letter_widths(font: DictionaryObject) -> dict[int, float]:
    """Return the width of each letter by its number, in thousandths of the size (clause 9.7.4.3).

    The array holds runs of two kinds: a first letter and the list of widths from it on, or a first and a last letter
    and the one width all between them share.
    """
    entries = [entry.get_object() for entry in _found(_inner_font(font), "/W", ArrayObject)]
    widths: dict[int, float] = {}
    at = 0
    while at < len(entries):
        first, after = int(entries[at]), entries[at + 1]
        if isinstance(after, ArrayObject):
            widths |= {first + number: float(width) for number, width in enumerate(after)}
            at += 2
        else:
            widths |= dict.fromkeys(range(first, int(after) + 1), float(entries[at + 2]))
            at += 3
    return widths


def mend_fonts(pages: Iterable[PageObject]) -> None:
    """Give each font a name that is the same on every run, and its blank the meaning of a blank.

    The name of a part of a font begins with six letters of its own (clause 9.6.4).  A font that is not embedded, or
    has no text to search for, raises SheetError.
    """
    fonts = {id(font): font for page in pages for font in _fonts(page).values()}
    for letter, font in zip(ascii_uppercase, fonts.values(), strict=False):
        inner = _inner_font(font)
        descriptor = _found(inner, "/FontDescriptor", DictionaryObject)
        _found(descriptor, "/FontFile2", StreamObject)
        name = NameObject(f"/SHEET{letter}+{_found(font, '/BaseFont', NameObject).removeprefix('/')}")
        font[NameObject("/BaseFont")] = inner[NameObject("/BaseFont")] = descriptor[NameObject("/FontName")] = name
        meanings = _found(font, "/ToUnicode", StreamObject)
        meanings.set_data(MEANINGS.sub(lambda part: part[0].replace(TAB, BLANK), meanings.get_data()))


def _fonts(page: PageObject) -> dict[str, DictionaryObject]:
    """Return the fonts of a page by their names in it, in the order of use."""
    fonts = _found(_found(page, "/Resources", DictionaryObject), "/Font", DictionaryObject)
    return {name: _found(fonts, name, DictionaryObject) for name in fonts}


def _inner_font(font: DictionaryObject) -> DictionaryObject:
    """Return the font that holds the letters (clause 9.7.6)."""
    return _of_kind(_found(font, "/DescendantFonts", ArrayObject)[0], DictionaryObject, "font")


def _found(holder: DictionaryObject, key: str, kind: type[Kind]) -> Kind:
    """Return what stands under a key."""
    return _of_kind(holder.get(key), kind, key)


def _of_kind(value: PdfObject | None, kind: type[Kind], key: str) -> Kind:
    """Return what a value or a reference leads to, or say that it is not of its kind."""
    found = None if value is None else value.get_object()
    if not isinstance(found, kind):
        raise SheetError(f"The painted PDF has {type(found).__name__} for {key}; {kind.__name__} would be right.")
    return found
