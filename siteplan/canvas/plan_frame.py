"""Where the plan lies in its window: model mm, y up, to pixels, y down, and back."""

from collections.abc import Iterable
from typing import Final, NamedTuple

from siteplan.geometry.points import Point

LEAST_SCALE: Final = 1e-4  # pixels per mm: a site of 10 km in a window
GREATEST_SCALE: Final = 50.0
FIRST_VIEW_MM: Final = 8000.0  # what an empty plan shows across


class Margins(NamedTuple):
    """Pixels left free around what is fitted into a window."""

    left: float
    top: float
    right: float
    bottom: float

    def scaled(self, by: float) -> "Margins":
        """Return the margins at another text size."""
        return Margins(*(by * margin for margin in self))


class PlanFrame(NamedTuple):
    """The place of the plan in a window of ``width`` x ``height`` pixels."""

    centre: Point = (0.0, 0.0)  # model place in the middle of the window
    scale: float = 0.1  # pixels per mm
    width: float = 1.0
    height: float = 1.0

    def to_pixels(self, place: Point) -> Point:
        """Return where a place of the model lies in the window."""
        return (
            self.width / 2 + (place[0] - self.centre[0]) * self.scale,
            self.height / 2 - (place[1] - self.centre[1]) * self.scale,
        )

    def to_model(self, pixel: Point) -> Point:
        """Return the place of the model under a pixel."""
        return (
            self.centre[0] + (pixel[0] - self.width / 2) / self.scale,
            self.centre[1] - (pixel[1] - self.height / 2) / self.scale,
        )

    def resized(self, width: float, height: float) -> "PlanFrame":
        """Return the frame for a window of another size."""
        return self._replace(width=max(1.0, width), height=max(1.0, height))

    def panned(self, dx: float, dy: float) -> "PlanFrame":
        """Return the frame after the paper was pushed by pixels, to the right and down."""
        return self._replace(centre=(self.centre[0] - dx / self.scale, self.centre[1] + dy / self.scale))

    def zoomed(self, factor: float, pixel: Point) -> "PlanFrame":
        """Return the frame enlarged so that the place under a pixel stays there."""
        kept = self.to_model(pixel)
        larger = self._replace(scale=min(GREATEST_SCALE, max(LEAST_SCALE, self.scale * factor)))
        there = larger.to_pixels(kept)
        return larger.panned(pixel[0] - there[0], pixel[1] - there[1])

    def fitted(self, places: Iterable[Point], margins: Margins) -> "PlanFrame":
        """Return the frame that shows all places within margins; without any, a site of usual size."""
        xs, ys = zip(*places, strict=True) if (places := tuple(places)) else ((0.0, 0.0), (0.0, 0.0))
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        if max(wide, high) == 0:
            wide = high = FIRST_VIEW_MM
        across, up = margins.left + margins.right, margins.top + margins.bottom
        # a window that is all margin still shows its plan
        room_across, room_up = max(self.width - across, self.width / 2), max(self.height - up, self.height / 2)
        scale = min(room_across / max(wide, 1.0), room_up / max(high, 1.0))
        fitted = self._replace(
            centre=((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2),
            scale=min(GREATEST_SCALE, max(LEAST_SCALE, scale)),
        )
        return fitted.panned((margins.left - margins.right) / 2, (margins.top - margins.bottom) / 2)
