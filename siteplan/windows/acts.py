"""What the commands do: each act is one method, on the desk, the plan and the frame of the window."""

from collections.abc import Callable
from pathlib import Path
from typing import Final, Protocol

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.adding import (
    Added,
    pairable,
    with_block,
    with_control,
    with_edge,
    with_keep_clear,
    with_leaf,
    with_pad,
    with_post,
    with_round,
    with_second_leaf,
    with_sign,
)
from siteplan.canvas.plan_widget import PlanWidget
from siteplan.errors import SitePlanError
from siteplan.geometry.points import Point
from siteplan.model.document import Document, find_record
from siteplan.model.edits import flipped, removed, taken_along
from siteplan.model.gate import Leaf, Post
from siteplan.model.parts import find_part, listed, record_at
from siteplan.model.site import EdgeKind, PlaneGround
from siteplan.windows.desk import Choice, Desk, empty_document
from siteplan.windows.value_rows import part_name

SITE_FILES: Final = "Site files (*.json)"
ENDING: Final = ".json"


class Frame(Protocol):
    """What acts ask of the window around them."""

    plan: PlanWidget

    def widget(self) -> QWidget:
        """Return the window."""

    def show_stage(self, stage: str) -> None:
        """Bring the cards of a stage to the front."""

    def show_why(self) -> None:
        """Bring the Why card to the front."""

    def next_part(self, back: bool) -> None:
        """Go to the next part of the window, or to the one before."""

    def fold_lower_card(self) -> None:
        """Fold the lower card to one line, or unfold it."""

    def set_text_percent(self, percent: int) -> None:
        """Set the text size."""

    def export_sheets(self) -> None:
        """Write the sheets into files."""

    def leave(self) -> None:
        """Close the window."""


class Acts:
    """The acts of one window."""

    def __init__(self, desk: Desk, frame: Frame) -> None:
        self.desk = desk
        self.frame = frame
