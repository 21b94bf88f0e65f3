"""Notes set on a view so that they can be read: every note of the view in one pass, none of them ever left out.

Each note has many places (``label_candidates.py``), each place a cost (``label_costs.py``).  The notes with the fewest
good places choose first; then they choose again in rounds, and a note in trouble may lift the few that stand in its
way.  The method is our own.  The result does not depend on the order of the input.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from siteplan.drawing.label_candidates import TEXT_MM, Candidates, Note, candidates_of
from siteplan.drawing.label_costs import CostsAlone, PairCosts, Rows, costs_alone
from siteplan.drawing.label_scene import Scene
from siteplan.drawing.pens import Pen
from siteplan.drawing.primitives import Align, Label, Primitive, Stroke
from siteplan.drawing.symbols import disc
from siteplan.drawing.text_size import LINE_PITCH_MM
from siteplan.errors import SheetError
from siteplan.geometry.points import Array

DOT_RADIUS_MM = 0.35
GOOD_COST = 6.0  # a place below it is a good one
TROUBLE_COST = 60.0
HURT_COST = 50.0
MOST_HURT = 4  # notes lifted to make room for one
MOST_TRIED = 60
MOST_ROUNDS = 12


class Placed(NamedTuple):
    """A note at its place."""

    note: Note
    primitives: tuple[Primitive, ...]  # model places, paper sizes
    cost: float
    has_free_place: bool


class Placement(NamedTuple):
    """All notes of a view at their places, by id."""

    placed: tuple[Placed, ...]

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """Everything to be drawn."""
        return tuple(part for placed in self.placed for part in placed.primitives)

    @property
    def troubles(self) -> tuple[str, ...]:
        """A sentence on each note that covers something, is struck out, or cannot be told from another."""
        return tuple(f"Note {placed.note.id} has no free place." for placed in self.placed if not placed.has_free_place)


def place_notes(notes: Sequence[Note], scene: Scene) -> Placement:
    """Return every note at the best place found for it.

    Raises
    ------
    SheetError
        When two notes have one id, or a note has no words or no place.
    """
    ordered = sorted(notes, key=lambda note: note.id)
    for first, second in pairwise(ordered):
        if first.id == second.id:
            raise SheetError(f"Note {first.id}: two notes have this id; each needs its own.")
    if not ordered:
        return Placement(())
    candidates = candidates_of(ordered, scene)
    search = _Search(candidates, costs_alone(candidates, ordered, scene))
    chosen, costs, is_free = search.run()
    rows = zip(ordered, chosen.tolist(), costs.tolist(), is_free.tolist(), strict=True)
    return Placement(
        tuple(Placed(note, tuple(_drawn(note, candidates, row, scene)), cost, free) for note, row, cost, free in rows)
    )


_LIFTED = -1  # the row of a note that stands nowhere


class _Search:
    """The choice of one place for each note."""

    def __init__(self, candidates: Candidates, alone: CostsAlone) -> None:
        self._alone = alone
        self._pairs = PairCosts(candidates)
        notes = range(int(candidates.note[-1]) + 1)
        self._rows = [np.flatnonzero(candidates.note == note) for note in notes]
        self._least = np.array([alone.all[rows].min() for rows in self._rows])
        good = [int((alone.all[rows] < GOOD_COST).sum()) for rows in self._rows]
        self._order = sorted(notes, key=lambda note: (good[note], note))
        self._chosen = np.full(len(self._rows), _LIFTED)
        self._known: dict[tuple[int, int], tuple[Rows, Array]] = {}

    def run(self) -> tuple[Rows, Array, NDArray[np.bool_]]:
        """Return the row chosen for each note, its cost, and whether its place is free."""
        self._set(self._order)
        for _ in range(MOST_ROUNDS):
            before = self._chosen.copy()
            self._set(self._order)
            for note in self._order:
                self._make_room(note)
            if np.array_equal(self._chosen, before):
                break
        pairs = self._pairs_chosen()
        hardest = np.maximum(self._alone.hard[self._chosen], pairs.max(axis=1))
        return self._chosen, self._alone.all[self._chosen] + pairs.sum(axis=1), hardest < TROUBLE_COST

    def _set(self, notes: Sequence[int]) -> None:
        """Set notes one after the other, each at its cheapest place beside all that stand; of equals the first."""
        for note in notes:
            self._chosen[note] = _LIFTED
            costs = self._alone.all[self._rows[note]]
            for row in self._chosen[self._chosen != _LIFTED].tolist():
                near, beside = self._beside(note, row)
                costs[near] += beside
            self._chosen[note] = self._rows[note][np.argmin(costs)]

    def _beside(self, note: int, row: int) -> tuple[Rows, Array]:
        """Return which places of a note cost something beside a place of another, and how much."""
        if (note, row) not in self._known:
            costs = self._pairs.between(self._rows[note], np.array([row]))[:, 0]
            near = np.flatnonzero(costs)
            self._known[note, row] = (near, costs[near])
        return self._known[note, row]

    def _make_room(self, note: int) -> None:
        """Try the cheapest places of a note in trouble, setting anew the few notes it then hurts."""
        pairs = self._pairs_chosen()
        if self._alone.all[self._chosen[note]] + pairs[note].sum() < TROUBLE_COST:
            return
        rows = self._rows[note]
        for row in rows[np.argsort(self._alone.all[rows], kind="stable")][:MOST_TRIED].tolist():
            if self._is_better(note, row, pairs):
                pairs = self._pairs_chosen()
                if self._alone.all[self._chosen[note]] + pairs[note].sum() < TROUBLE_COST:
                    return

    def _is_better(self, note: int, row: int, pairs: Array) -> bool:
        """Move a note to a place if that lowers the total of all costs, setting anew the notes it hurts there."""
        beside = self._pairs.between(np.array([row]), self._chosen)[0]
        beside[note] = 0.0
        hurt = np.flatnonzero(beside > HURT_COST)
        if len(hurt) > MOST_HURT:
            return False
        kept, total = self._chosen.copy(), self._total(pairs)
        moved = np.append(hurt, note)
        rest = np.delete(np.arange(len(kept)), moved)
        least = self._alone.all[kept[rest]].sum() + np.triu(pairs[np.ix_(rest, rest)], 1).sum()
        least += self._alone.all[row] + beside[rest].sum() + self._least[hurt].sum()
        if least >= total:
            return False  # as no place of those it hurts can make up for it
        self._chosen[hurt], self._chosen[note] = _LIFTED, row
        self._set(hurt.tolist())
        if self._total(self._pairs_chosen()) < total:
            return True
        self._chosen = kept
        return False

    def _pairs_chosen(self) -> Array:
        pairs = self._pairs.between(self._chosen, self._chosen)
        np.fill_diagonal(pairs, 0.0)
        return pairs

    def _total(self, pairs: Array) -> float:
        return float(self._alone.all[self._chosen].sum() + np.triu(pairs, 1).sum())


_ALIGN: dict[int, Align] = {-1: "left", 0: "middle", 1: "right"}


def _drawn(note: Note, candidates: Candidates, row: int, scene: Scene) -> Iterator[Primitive]:
    """Yield the words of a note, its leader and the dot at its start."""
    turn, align = float(candidates.turn_rad[row]), int(candidates.align[row])
    along, up = np.array((np.cos(turn), np.sin(turn))), np.array((-np.sin(turn), np.cos(turn)))
    half_width, half_height = candidates.half[row]
    top = candidates.middle[row] + align * half_width * along + half_height * up
    for number, line in enumerate(note.lines):
        baseline = top - (TEXT_MM + number * LINE_PITCH_MM) * up
        yield Label(
            at=scene.to_model(*baseline),
            text=line,
            pen=note.pen,
            height_mm=TEXT_MM,
            turn_rad=turn,
            align=_ALIGN[align],
            source=note.source or note.id,
        )
    if candidates.has_leader[row]:
        points = tuple(scene.to_model(x, y) for x, y in candidates.leader[row].tolist())
        source = note.source or note.id
        yield Stroke(points=points, pen=Pen.DIMENSION, source=source)
        if not note.half_size_mm:
            yield from disc(points[0], DOT_RADIUS_MM * scene.ratio, Pen.DIMENSION, source)
