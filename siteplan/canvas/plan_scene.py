"""What the plan shows at a moment: a document with its leaves at angles, what is selected, and one finding."""

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPixmap

from siteplan.canvas.dragging import Handle, handles_of
from siteplan.canvas.extents import opening_mm
from siteplan.canvas.furniture import paint_furniture
from siteplan.canvas.names import Placing, busy_shapes, line_names, names_of
from siteplan.canvas.overlay import paint_handles, paint_hint, paint_line_name, paint_name
from siteplan.canvas.painting import HOVERED, SELECTED, Paths, Tint, at_ratio, paint_paths, paths_of, ratio_of
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.canvas.picking import pick
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.canvas.plan_layers import DIMENSIONS, PlanLayers, layer_order
from siteplan.drawing.plan_view import witness_primitives
from siteplan.drawing.primitives import Fill, HatchArea, Primitive
from siteplan.geometry.points import Point, distance_between
from siteplan.model.document import Document, find_record, records_of
from siteplan.model.project import Project
from siteplan.model.site import ShotGround
from siteplan.rules.findings import Finding

GROUND: Final = "ground"
HANDLE_ROOM: Final = 12.0  # pixels at a text size of 100 %, from one handle to the next
EMPTY_HINT: Final = "Put down a post, then hang a leaf on it."
CROWDED_MM: Final = 45.0  # of a gate on paper
WITNESS_WIDER_MM: Final = 0.25


class PlanScene:
    """Paints a document; layers under all that moves during a drag are kept as one picture."""

    def __init__(self) -> None:
        self.document = Document(project=Project(title=""))
        self.layers = PlanLayers()
        self.selected = ""
        self.hovered = ""
        self.handles: tuple[Handle, ...] = ()
        self._finding: Finding | None = None
        self._moving: frozenset[str] | None = None  # layers that changed since the drag began; None: no drag
        self._still: tuple[PlanFrame, QPixmap] | None = None
        self._placing: tuple[PlanFrame, float, Placing] | None = None  # of the names, in the view of now

    def show(self, document: Document, angles: Mapping[str, float]) -> None:
        """Take over a document with its leaves at given angles."""
        changed = self.layers.show(document, angles)
        self.document = document
        self.handles = handles_of(document, self.selected)
        if self._moving is None:
            self._placing = None
        if self._moving is not None and not changed <= self._moving:
            self._moving, self._still = self._moving | changed, None

    def select(self, id: str) -> None:
        """Show one record as selected, with its handles; an empty id shows none."""
        self.selected = id
        self.handles = handles_of(self.document, id)

    def show_finding(self, finding: Finding | None) -> None:
        """Show where a finding was measured."""
        self._finding = finding

    def begin_drag(self) -> None:
        """Keep a picture of the layers under all that changes from now on."""
        self._moving, self._still = frozenset(), None

    def end_drag(self) -> None:
        """Paint all layers anew again."""
        self._moving = self._still = self._placing = None

    def is_crowded(self, frame: PlanFrame, text_scale: float) -> bool:
        """Return whether the gate is too small on the screen for its names and for all its dimensions."""
        opening = opening_mm(self.document)
        return opening is not None and opening / ratio_of(frame, text_scale) < CROWDED_MM

    def _hidden_layer(self, frame: PlanFrame, text_scale: float) -> str:
        return DIMENSIONS if self.is_crowded(frame, text_scale) else ""

    def handles_in(self, frame: PlanFrame, text_scale: float) -> tuple[Handle, ...]:
        """Return the handles of what is selected that have room on the screen; of two too near the first is kept."""
        shown: list[Handle] = []
        room_mm = HANDLE_ROOM * text_scale / frame.scale
        for handle in self.handles:
            if all(distance_between(handle.at, other.at) >= room_mm for other in shown):
                shown.append(handle)
        return tuple(shown)

    def thing_at(self, place: Point, reach_mm: float, ratio: float) -> str:
        """Return the id of what can be selected at a place, "ground" for a spot level, or an empty text."""
        source = pick(self.layers.targets(), place, reach_mm, ratio)
        if find_record(self.document, source) is not None:
            return source
        ground = self.document.ground
        is_shot = isinstance(ground, ShotGround) and any(shot.id == source for shot in ground.shots)
        return GROUND if is_shot else ""

    def paint(self, painter: QPainter, frame: PlanFrame, text_scale: float, dots_per_pixel: float) -> None:
        """Paint everything."""
        self._paint_layers(painter, frame, text_scale, dots_per_pixel)
        if self.hovered and self.hovered != self.selected:
            self._paint_tinted(painter, self.hovered, frame, text_scale, HOVERED)
        if self.selected:
            self._paint_tinted(painter, self.selected, frame, text_scale, SELECTED)
        crowded = self.is_crowded(frame, text_scale)
        told = {self.selected, self.hovered}
        placing = self._placing_for(frame, text_scale)
        for name in line_names(self.document):
            if not crowded or name.source in told:
                paint_line_name(painter, name, frame, text_scale, self.selected, placing)
        for thing in names_of(self.document):
            if not crowded or thing.source in told:
                paint_name(painter, thing, frame, text_scale, self.selected, placing)
        if not any(records_of(self.document)):
            paint_hint(painter, EMPTY_HINT, frame, text_scale)
        paint_furniture(painter, frame, text_scale, self.document.project.units, self.document.datum)
        if self._finding is not None:
            colour = SEVERITY_COLOURS[self._finding.severity]
            tint = Tint(colour, LIGHT.wash, WITNESS_WIDER_MM)
            _paint_whole(painter, paths_of(witness_primitives(self._finding)), frame, text_scale, tint)
        paint_handles(painter, self.handles_in(frame, text_scale), frame, text_scale)

    def _placing_for(self, frame: PlanFrame, text_scale: float) -> Placing:
        """Return the places of names in a view; during a drag names that stay as they are keep theirs."""
        if self._placing is None or self._placing[:2] != (frame, text_scale):
            self._placing = (frame, text_scale, Placing(busy_shapes(self.document)))
        return self._placing[2]

    def _paint_tinted(self, painter: QPainter, id: str, frame: PlanFrame, text_scale: float, tint: Tint) -> None:
        for layer in self.layers.of_source(id, self._hidden_layer(frame, text_scale)):
            _paint_whole(painter, paths_of(filter(_stands_out, layer)), frame, text_scale, tint)

    def _paint_layers(self, painter: QPainter, frame: PlanFrame, text_scale: float, dots_per_pixel: float) -> None:
        hidden = self._hidden_layer(frame, text_scale)
        order = tuple(name for name in layer_order() if name != hidden)
        if self._moving is None:
            self.layers.paint(painter, order, frame, text_scale)
            return
        # what lies over the lowest moving layer is painted anew with it, so that the order stays as it is
        first = next((number for number, name in enumerate(order) if name in self._moving), len(order))
        if self._still is None or self._still[0] != frame:
            self._still = (frame, self._picture(order[:first], frame, text_scale, dots_per_pixel))
        painter.drawPixmap(0, 0, self._still[1])
        self.layers.paint(painter, order[first:], frame, text_scale)

    def _picture(self, names: tuple[str, ...], frame: PlanFrame, text_scale: float, dots_per_pixel: float) -> QPixmap:
        picture = QPixmap(QSize(round(frame.width * dots_per_pixel), round(frame.height * dots_per_pixel)))
        picture.setDevicePixelRatio(dots_per_pixel)
        picture.fill(LIGHT.paper)
        with QPainter(picture) as painter:
            self.layers.paint(painter, names, frame, text_scale)
        return picture


def _stands_out(primitive: Primitive) -> bool:
    """Whether a primitive changes its colour with its thing: light areas and hatches would cover what stands there."""
    match primitive:
        case Fill():
            return primitive.tone == "solid"
        case HatchArea():
            return False
    return True


def _paint_whole(painter: QPainter, paths: Paths, frame: PlanFrame, text_scale: float, tint: Tint) -> None:
    """Paint things and what of them is sized on paper in one colour."""
    paint_paths(painter, paths, frame, text_scale, tint)
    paint_paths(painter, at_ratio(paths, ratio_of(frame, text_scale)), frame, text_scale, tint)
