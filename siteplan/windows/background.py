"""Work that takes a while, done beside the window: it tells how far it is, and can be left."""

from collections.abc import Callable
from threading import Event

from PySide6.QtCore import QObject, QThread, Signal

from siteplan.errors import SitePlanError

Tell = Callable[[str], None]


class WorkLeftError(Exception):
    """The work was given up."""


class Work(QThread):
    """One piece of work; whoever starts it keeps it, and waits for it before going away."""

    told = Signal(str)
    done = Signal(object)
    failed = Signal(str)

    def __init__(self, task: Callable[[Tell], object], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._task = task
        self._left = Event()

    def leave(self) -> None:
        """Give the work up at its next step."""
        self._left.set()

    def run(self) -> None:
        """Do the work; called by Qt in a thread of its own."""
        try:
            result = self._task(self._tell)
        except WorkLeftError:
            return
        except SitePlanError as error:
            self.failed.emit(str(error))
            return
        if not self._left.is_set():
            self.done.emit(result)

    def _tell(self, text: str) -> None:
        if self._left.is_set():
            raise WorkLeftError
        self.told.emit(text)
