"""What the commands do: each act is one method, on the desk, the plan and the window around them."""

from collections.abc import Callable
from typing import Final, Literal, Protocol

from msgspec.structs import replace

from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import leaf_contacts
from siteplan.analysis.leaf_places import leaf_places
from siteplan.canvas.adding import Added, pairable, with_leaf, with_second_leaf
from siteplan.canvas.plan_paper import KEY_ZOOM
from siteplan.canvas.plan_widget import PlanWidget
from siteplan.errors import SitePlanError
from siteplan.geometry.points import Point
from siteplan.model.document import Document, find_record
from siteplan.model.edits import GROUND, flipped, removed, taken_along
from siteplan.model.gate import Leaf, Post
from siteplan.model.parts import find_part, listed, record_at
from siteplan.model.site import PlaneGround
from siteplan.windows.desk import Choice, Desk
from siteplan.windows.job_files import JobFiles
from siteplan.windows.value_rows import part_name

MAY: Final = ""  # the reason of a command that may run now
SELECT_POST: Final = "Select the post to hang it on"
SELECT_LEAF: Final = "Select a leaf first"


class Frame(Protocol):
    """What acts ask of the window around them."""

    plan: PlanWidget

    def show_stage(self, stage: str) -> None:
        """Bring the cards of a stage to the front."""

    def show_why(self) -> None:
        """Bring the Why card to the front."""

    def go_to_part(self, step: int) -> None:
        """Go to the next part of the window, or to one before."""

    def fold_lower_card(self) -> None:
        """Fold the lower card to one line, or unfold it."""

    def set_text_percent(self, percent: int) -> None:
        """Set the text size."""

    def export_sheets(self) -> None:
        """Write the sheets into files."""

    def close(self) -> bool:
        """Close the window; return whether it is closed."""


class Acts:
    """The acts of one window; a method that ends in ``_reason`` says why its act cannot be done now."""

    def __init__(self, desk: Desk, files: JobFiles, frame: Frame) -> None:
        self.desk = desk
        self.files = files
        self.frame = frame

    # -- undo

    def undo_reason(self) -> str:
        """Say that nothing was done yet."""
        return MAY if self.desk.history.past else "Nothing to undo yet"

    def redo_reason(self) -> str:
        """Say that nothing was undone."""
        return MAY if self.desk.history.future else "Nothing was undone"

    def save_reason(self) -> str:
        """Say that the file holds the job as it is."""
        return MAY if self.desk.history.is_changed or self.desk.path is None else "Everything is saved"

    # -- records

    def add(self, make: Callable[[Document, Point], Added]) -> None:
        """Put a new record down in the middle of the view."""
        self._take(make(self.desk.document, self.frame.plan.middle))

    def add_ground(self) -> None:
        """Add ground: level until its grades are typed."""
        document = replace(self.desk.document, ground=PlaneGround())
        self.desk.commit("Add ground", document)
        self.desk.select(GROUND)

    def ground_reason(self) -> str:
        """Say that there is ground already."""
        return MAY if self.desk.document.ground is None else "The ground is there already: select it in the Yard list"

    def hang(self) -> None:
        """Hang a leaf on the selected post."""
        self._take(with_leaf(self.desk.document, self._post()))

    def hang_reason(self) -> str:
        """Say that no post is selected, or that it carries a leaf or has no hinge axis."""
        post = find_record(self.desk.document, self.desk.selected)
        if not isinstance(post, Post):
            return SELECT_POST
        if post.hinge is None:
            return f"Post {post.id} has no hinge axis: type one on the Value card"
        carries = [leaf.id for leaf in self.desk.document.leaves if leaf.post == post.id]
        return f"Post {post.id} carries leaf {carries[0]} already" if carries else MAY

    def pair(self) -> None:
        """Hang a second leaf on the selected post and make a pair."""
        post = self._post()
        gate = pairable(self.desk.document, post)
        assert gate is not None
        self._take(with_second_leaf(self.desk.document, post, gate))

    def pair_reason(self) -> str:
        """Say that the post cannot carry a second leaf, or that there is no single gate."""
        reason = self.hang_reason()
        if reason:
            return reason
        return MAY if pairable(self.desk.document, self._post()) else "There is no gate of one leaf to make a pair of"

    def delete(self) -> None:
        """Delete what is selected and all that cannot stand without it, at once."""
        document, selected = self.desk.document, self.desk.selected
        gone = (selected,) if selected == GROUND else taken_along(document, (selected,))
        parts = [part for key in gone if (part := find_part(document, key)) is not None]
        names = listed([part_name(part) for part in parts])
        self.desk.commit(f"Delete {names}", removed(document, (selected,)))
        self.desk.say(f"Deleted {names}.", None, (Choice("Undo", self.desk.undo),), passes=True)

    def delete_reason(self) -> str:
        """Say that nothing is selected that can be deleted."""
        selected = self.desk.selected
        if selected == GROUND or find_record(self.desk.document, selected) is not None:
            return MAY
        return "Select what is to go"

    # -- leaves

    def flip(self, what: Literal["hand", "side"]) -> None:
        """Hinge the leaf on its other hand, or let it swing to the other side."""
        leaf = self._leaf()
        self._try(f"Flip {what} of leaf {leaf}", lambda: flipped(self.desk.document, leaf, what))

    def leaf_reason(self) -> str:
        """Say that no leaf is meant."""
        return MAY if self._leaf() else SELECT_LEAF if self.desk.document.leaves else "Hang a leaf first"

    def swing_to(self, share: float) -> None:
        """Swing all leaves to a share of their travel."""
        places = leaf_places(self.desk.document)
        self.desk.swing_all({leaf: share * place.travel_rad for leaf, place in places.items()})

    def leaves_reason(self) -> str:
        """Say that there is no leaf."""
        return MAY if leaf_places(self.desk.document) else "Hang a leaf first"

    def swing_to_touch(self) -> None:
        """Swing a leaf to where it first touches something."""
        leaf = self._leaf()
        angle = self._first_touch(leaf)
        if angle is not None:
            self.desk.swing(leaf, angle)

    def touch_reason(self) -> str:
        """Say that the leaf touches nothing."""
        reason = self.leaf_reason()
        if reason:
            return reason
        leaf = self._leaf()
        return f"Leaf {leaf} touches nothing" if self._first_touch(leaf) is None else MAY

    def _first_touch(self, leaf: str) -> float | None:
        contacts = leaf_contacts(self.desk.document).get(leaf)
        fit = ground_fits(self.desk.document).get(leaf)
        angles = [touch.angle_rad for touch in contacts.touches] if contacts else []
        ground = fit.first_below(0.0) if fit else None
        return min([*angles, *([] if ground is None else [ground])], default=None)

    # -- view

    def zoom(self, by: Literal[1, -1]) -> None:
        """Enlarge the plan, or make it smaller."""
        self.frame.plan.zoom(KEY_ZOOM**by)

    # -- parts of acts

    def _post(self) -> Post:
        post = record_at(self.desk.document, self.desk.selected)
        assert isinstance(post, Post)
        return post

    def _leaf(self) -> str:
        """Return the leaf that is meant: the selected one, that of the selected finding, or the only one."""
        document = self.desk.document
        selected, finding = find_record(document, self.desk.selected), self.desk.finding
        if isinstance(selected, Leaf):
            return selected.id
        leaves = [leaf.id for leaf in document.leaves]
        about = [id for id in finding.subjects if id in leaves] if finding else []
        if about:
            return about[0]
        return leaves[0] if len(leaves) == 1 else ""

    def _take(self, new: Added) -> None:
        record = record_at(new.document, new.id)
        self.desk.commit(f"Add {part_name(record)}", new.document)
        self.desk.select(new.id)

    def _try(self, label: str, edit: Callable[[], Document]) -> None:
        try:
            self.desk.commit(label, edit())
        except SitePlanError as error:
            self.desk.say(str(error), "Stop")
