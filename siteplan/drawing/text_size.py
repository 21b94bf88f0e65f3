"""How much room a text takes, from a table of advances made once from the font: no screen or font engine is asked."""

from functools import cache

from siteplan.drawing.primitives import Align, Face, Label, Ring
from siteplan.geometry.points import turned
from siteplan.tables import read_table

WIDTH_SLACK = 1.15  # a reader without our font draws its own, up to about 15 % wider (own measurement)
LINE_PITCH_MM = 3.8  # of two lines of text of 2.4 mm
_WIDEST = "W"  # stands for a character that is not in the table
_LEFT_SHARE: dict[Align, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}


def text_width_mm(text: str, height_mm: float, face: Face = "regular") -> float:
    """Return the width of one line of text whose capitals are ``height_mm`` high; a strange character counts as W."""
    widths = _widths(face)
    return height_mm * sum(widths.get(character, widths[_WIDEST]) for character in text)


def label_box(label: Label, ratio: float = 1.0, slack: float = 1.0) -> Ring:
    """Return the four corners of the box around a label, from baseline to the top of capitals, counter-clockwise.

    The corners are in the unit of the places of the label, where one paper mm is ``ratio``; ``slack`` widens the box
    away from the end the text is aligned to.
    """
    width = text_width_mm(label.text, label.height_mm, label.face) * slack * ratio
    left, height = -_LEFT_SHARE[label.align] * width, label.height_mm * ratio
    corners = ((left, 0.0), (left + width, 0.0), (left + width, height), (left, height))
    places = (turned(corner, label.turn_rad) for corner in corners)
    return tuple((label.at[0] + x, label.at[1] + y) for x, y in places)


@cache
def _widths(face: Face) -> dict[str, float]:
    """Return the advance of every character in heights of a capital."""
    table = read_table("fonts/advances")
    column = table["faces"].index(face)
    cap_height = table["cap_height"][column]
    return {character: advances[column] / cap_height for character, advances in table["advances"].items()}
