"""Texts for DXF files: ASCII only, because readers disagree about every other byte.

A widely used reader takes every DXF for Windows-1252 text, whatever the file says, and others leave escapes for single
characters undecoded.  The codes ``%%d``, ``%%p`` and ``%%c`` for degree, plus-minus and diameter are as old as the
format and widely decoded.
"""

import re
from typing import Final
from unicodedata import combining, normalize

VULGAR_FRACTION: Final = re.compile("(?<=[0-9])(?=[\u00bc-\u00be\u2150-\u215e\u2189])")
CODED_SIGN: Final = "[°±⌀Ø]"
QUOTES: Final = {"′‘’‛ʹ´": "'", "″“”‟ʺ": '"'}
SIGNS: Final = {
    "°": "%%d",
    "±": "%%p",
    "⌀Ø": "%%c",
    "‐‑‒–—―−·": "-",
    "•●": "*",
    "×": "x",
    "÷⁄": "/",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "ß": "ss",
    "æ": "ae",
    "Æ": "AE",
    "ø": "o",
    "ł": "l",
    "Ł": "L",
}
PRINTABLE: Final = range(32, 127)
NOT_IN_NAMES: Final = r"""[<>/\\":;?*|,=`'%^]"""


def _by_sign(table: dict[str, str]) -> dict[int, str]:
    return str.maketrans({sign: text for signs, text in table.items() for sign in signs})


PLAIN_QUOTES: Final = _by_sign(QUOTES)
REPLACEMENTS: Final = _by_sign(SIGNS)


def ascii_text(text: str) -> str:
    r"""Return one line of text for a DXF: characters 32 to 126, with the codes %%d, %%p and %%c where they are meant.

    What a person typed never acts as a code: ``%%`` becomes ``%``, ``\`` becomes ``/``, and a caret, which would turn
    the next letter into a control character, becomes a caret and a blank, as the format asks.  Accents are dropped;
    a character without a likeness becomes a question mark.
    """
    # Quotes come first: taken apart, a double prime would be two single ones.
    quoted = VULGAR_FRACTION.sub(" ", text).translate(PLAIN_QUOTES)
    apart = "".join(sign for sign in normalize("NFKD", quoted) if not combining(sign))
    harmless = re.sub("%+", "%", apart).replace("\\", "/").replace("^", "^ ")
    # Three percent signs in a row would be a code of their own.
    coded = re.sub(f"%(?={CODED_SIGN})", "% ", harmless).translate(REPLACEMENTS)
    return "".join(map(_in_ascii, coded))


def _in_ascii(sign: str) -> str:
    if sign.isspace():
        return " "
    return sign if ord(sign) in PRINTABLE else "?"


def ascii_name(text: str) -> str:
    """Return a text as the name of a layout, block or attribute: signs that names may not hold become hyphens."""
    return re.sub(NOT_IN_NAMES, "-", ascii_text(text))
