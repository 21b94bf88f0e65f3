"""The Yard list: everything on the plan as an ordered list, for keys and for those who have the window read to them."""

from math import degrees

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from siteplan.analysis.leaf_places import leaf_places
from siteplan.geometry.points import Point
from siteplan.model.document import Document
from siteplan.model.drives import Drive, DriveKind, Pad
from siteplan.model.gate import Control, Gate, Leaf, Post, Sign
from siteplan.model.parts import Part, find_part
from siteplan.model.project import Conditions, Datum, Project
from siteplan.model.site import Block, Edge, KeepClear, PlaneGround, Round, ShotGround, SurveyPoint
from siteplan.units.grades import write_grade
from siteplan.units.writing import LengthStyle, write_length
from siteplan.windows.desk import JOB, Desk
from siteplan.windows.two_line_list import ListItem, TwoLineList
from siteplan.windows.value_rows import all_keys, part_name


class YardList(TwoLineList):
    """What stands on the site; selecting here selects on the plan."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self._desk = desk
        self.setAccessibleName("Yard list")
        self.chosen.connect(desk.select)
        desk.document_changed.connect(self._refresh_if_seen)
        desk.selection_changed.connect(self._mark_selected)
        self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while nobody looked."""
        self.refresh()
        super().showEvent(event)

    def _refresh_if_seen(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show what there is now."""
        self.show_items(yard_items(self._desk.document))
        self._mark_selected()

    def _mark_selected(self) -> None:
        self.mark(self._desk.selected or JOB)


def yard_items(document: Document) -> tuple[ListItem, ...]:
    """Return everything there is: what it is called, and where and how large it is."""
    parts = ((key, find_part(document, key)) for key in all_keys(document))
    return tuple(
        ListItem(key, _capital(part_name(part)), detail_of(part, document)) for key, part in parts if part is not None
    )


def detail_of(part: Part, document: Document) -> str:
    """Return in words where a thing stands and how large it is."""
    style = LengthStyle(document.project.units)
    match part:
        case Leaf():
            return _leaf_detail(part, document, style)
        case Gate():
            return f"{'leaf' if len(part.leaves) == 1 else 'leaves'} {' and '.join(part.leaves)}"
        case Edge():
            return f"from {_at(part.line[0], style)} to {_at(part.line[-1], style)}"
        case Block() | KeepClear():
            return f"corner at {_at(part.outline[0], style)}"
        case Drive():
            return f"moves leaf {part.leaf}, shaft at {_at(part.shaft, style)}"
        case Post() | Pad() | Round() | Control() | Sign() | SurveyPoint():
            return f"at {_at(part.at, style)}"
    return _detail_without_place(part)


def _detail_without_place(part: Part) -> str:
    """Return in words what a part that has no place of its own says."""
    match part:
        case Project():
            return part.title
        case Datum():
            return part.height
        case Conditions():
            return f"soil: {part.soil or 'not said'}, wind by {part.wind_by}"
        case DriveKind():
            return f"in use classes {', '.join(part.classes) or 'not said'}"
        case PlaneGround():
            return f"rises {write_grade(part.x_grade)} to the right, {write_grade(part.y_grade)} inward"
        case ShotGround():
            return f"{len(part.shots)} spot heights"
    return ""


def _leaf_detail(leaf: Leaf, document: Document, style: LengthStyle) -> str:
    hung = "" if leaf.id in leaf_places(document) else ", hangs on nothing"
    length = write_length(leaf.length_mm, style)
    return f"{length}, hinges {leaf.hinges}, swings {leaf.swings} to {degrees(leaf.open_angle_rad):.1f}°{hung}"


def _at(place: Point, style: LengthStyle) -> str:
    """Return a place in the directions seen from outside."""
    x, y = place
    across = f"{write_length(abs(x), style)} {'left' if x < 0 else 'right'}"
    return f"{across}, {write_length(abs(y), style)} {'outside' if y < 0 else 'inside'}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
