"""The plan as layers ready to paint; only layers whose primitives are a new object are made again."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final, NamedTuple

from msgspec.structs import replace
from PySide6.QtGui import QPainter

from siteplan.analysis.measures import measures
from siteplan.canvas.painting import Paths, Tint, at_ratio, paint_paths, paths_of, ratio_of
from siteplan.canvas.palette import LIGHT, SEVERITY_COLOURS
from siteplan.canvas.picking import Targets, targets_of
from siteplan.canvas.plan_frame import PlanFrame
from siteplan.drawing.plan_dimensions import finding_dimension, gate_dimensions
from siteplan.drawing.plan_view import PLAN_LAYERS, pose_primitives
from siteplan.drawing.primitives import Dimension, Primitive
from siteplan.model.document import Document
from siteplan.model.project import Severity
from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES

POSE: Final = "pose"
DIMENSIONS: Final = "dimensions"
MAIN_DIMENSIONS: Final = "main dimensions"
CLEAR: Final = "clear opening"
POSE_AFTER: Final = "leaves"
GAPS: Final[dict[Severity, str]] = {severity: f"{severity} gaps" for severity in SEVERITIES}
"""Layers of the gaps that findings speak of; each has the colour of its severity."""


def layer_order() -> tuple[str, ...]:
    """Return the names of the layers, from the ground up: leaves at the angle of the dial lie over their ghosts."""
    names = [name for name, _ in PLAN_LAYERS]
    names.insert(names.index(POSE_AFTER) + 1, POSE)
    return (*names, MAIN_DIMENSIONS, DIMENSIONS, *GAPS.values())


def screen_dimensions(document: Document) -> tuple[tuple[Dimension, ...], tuple[Dimension, ...]]:
    """Return the clear openings, which are shown at every zoom, and the other dimensions of the gate.

    They are those of the sheets, with their words in small letters.
    """
    shown = [measure for measure in measures(document) if not measure.what.startswith("gate line")]
    drawn = gate_dimensions(document, ())
    named = [(each, replace(dimension, note=each.word)) for each, dimension in zip(shown, drawn, strict=False)]
    clear = tuple(dimension for each, dimension in named if each.what == CLEAR)
    others = (dimension for each, dimension in named if each.what != CLEAR)
    return clear, (*others, *drawn[len(shown) :])


def gap_dimensions(document: Document, severity: Severity) -> tuple[Dimension, ...]:
    """Return the gaps that findings of one severity speak of."""
    found = (finding for finding in troubles(document) if finding.severity == severity)
    gaps = (finding_dimension(finding, document.project.units) for finding in found)
    return tuple(gap for gap in gaps if gap is not None)


_GAP_TINTS: Final = {layer: Tint(SEVERITY_COLOURS[severity], LIGHT.wash) for severity, layer in GAPS.items()}


class Layer(NamedTuple):
    """One layer: what it shows, and the same ready to paint and to be hit."""

    primitives: tuple[Primitive, ...]
    paths: Paths
    targets: Targets


class _Sized(NamedTuple):
    """What of a layer depends on the zoom, made for one zoom."""

    of: Layer
    ratio: float
    paths: Paths


class PlanLayers:
    """The layers of one document."""

    def __init__(self) -> None:
        empty = _layer(())
        self.layers: dict[str, Layer] = dict.fromkeys(layer_order(), empty)
        self.builds = 0  # layers made so far: a drag must not make those that stand still
        self._sized: dict[str, _Sized] = {}

    def show(self, document: Document, angles: Mapping[str, float]) -> frozenset[str]:
        """Take over a document with its leaves at given angles; return the names of the layers that changed."""
        wanted = {name: derived(document) for name, derived in PLAN_LAYERS}
        wanted[POSE] = self._kept(POSE, pose_primitives(document, angles))
        clear, others = screen_dimensions(document)
        wanted[MAIN_DIMENSIONS] = self._kept(MAIN_DIMENSIONS, clear)
        wanted[DIMENSIONS] = self._kept(DIMENSIONS, others)
        for severity, layer in GAPS.items():
            wanted[layer] = self._kept(layer, gap_dimensions(document, severity))
        changed = frozenset(name for name, shown in wanted.items() if shown is not self.layers[name].primitives)
        for name in changed:
            self.layers[name] = _layer(wanted[name])
        self.builds += len(changed)
        return changed

    def of_source(self, source: str, hidden: str = "") -> Iterator[tuple[Primitive, ...]]:
        """Yield what shows one record in each layer but a hidden one, from the ground up."""
        for name, layer in self.layers.items():
            if name == hidden:
                continue
            shown = tuple(primitive for primitive in layer.primitives if primitive.source == source)
            if shown:
                yield shown

    def targets(self) -> tuple[Targets, ...]:
        """Return what can be hit, from the ground up; dimensions are no things."""
        return (*(self.layers[name].targets for name, _ in PLAN_LAYERS), self.layers[POSE].targets)

    def paint(self, painter: QPainter, names: Iterable[str], frame: PlanFrame, text_scale: float) -> None:
        """Paint some layers, from the ground up."""
        for name in names:
            layer, tint = self.layers[name], _GAP_TINTS.get(name)
            if not layer.paths.is_empty:
                paint_paths(painter, layer.paths, frame, text_scale, tint)
                paint_paths(painter, self._on_paper(name, ratio_of(frame, text_scale)), frame, text_scale, tint)

    def _kept(self, name: str, shown: tuple[Primitive, ...]) -> tuple[Primitive, ...]:
        """Return the primitives shown before when the new ones are the same."""
        before = self.layers[name].primitives
        return before if shown == before else shown

    def _on_paper(self, name: str, ratio: float) -> Paths:
        layer, sized = self.layers[name], self._sized.get(name)
        if sized is None or sized.of is not layer or sized.ratio != ratio:
            sized = self._sized[name] = _Sized(layer, ratio, at_ratio(layer.paths, ratio))
        return sized.paths


def _layer(primitives: tuple[Primitive, ...]) -> Layer:
    return Layer(primitives, paths_of(primitives), targets_of(primitives))
