"""Make ``advances.toml`` from the font files of the ``ttf-opensans`` package; run once, and again for another font."""  # noqa: INP001 - a script, not part of a package

from pathlib import Path

import ttf_opensans
from fontTools.ttLib import TTFont

FACES = {"regular": "OpenSans-Regular", "semibold": "OpenSans-SemiBold", "bold": "OpenSans-Bold"}
FOLDER = Path(ttf_opensans.__file__).parent / "ttf"
PRINTABLE = range(0x20, 0x7F)
LATIN_1 = range(0xA0, 0x100)
SOFT_HYPHEN = 0xAD  # never printed
FURTHER = "–—‘’“”•…′″⁄€⅛⅜⅝⅞−≈≠≤≥∞"  # dashes, quotes, primes, fractions, signs
ESCAPED = {'"': '\\"', "\\": "\\\\"}
HEAD = """\
# Widths of characters, so that a layout is the same whatever program or screen draws it.
# Source: the font files Open Sans Regular, SemiBold and Bold of the Python package ttf-opensans 2020.10.30, digitized
# data copyright Google Corporation, Apache License 2.0; made by make_advances.py.  Kerning is left out: a pair such as
# AV is drawn a little narrower than the sum of its advances.
# basis = "read" for the whole table.  Advances, heights of capitals and the em are in font units.

"""


def advances_text() -> str:
    """Return the text of the table."""
    fonts = [TTFont(FOLDER / f"{name}.ttf") for name in FACES.values()]
    codes = [code for code in (*PRINTABLE, *LATIN_1, *map(ord, FURTHER)) if code != SOFT_HYPHEN]
    lines = [
        f"faces = {list(FACES)}".replace("'", '"'),
        f"units_per_em = {[font['head'].unitsPerEm for font in fonts]}",
        f"cap_height = {[font['OS/2'].sCapHeight for font in fonts]}",
        "",
        "[advances]",
        *(f'"{ESCAPED.get(chr(code), chr(code))}" = {[_advance(font, code) for font in fonts]}' for code in codes),
    ]
    return HEAD + "\n".join(lines) + "\n"


def _advance(font: TTFont, code: int) -> int:
    return int(font["hmtx"][font.getBestCmap()[code]][0])


if __name__ == "__main__":
    (Path(__file__).parent / "advances.toml").write_text(advances_text(), encoding="utf-8")
