"""Starting the window."""

import sys
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from siteplan.windows.desk import Desk
from siteplan.windows.export_panel import Export
from siteplan.windows.main_window import MainWindow
from siteplan.windows.style import dress, percent_for

ExceptHook = Callable[[type[BaseException], BaseException, TracebackType | None], object]
OWN_FAULT: Final = (
    "The program made a mistake of its own; the job is as it was. Undo the last step, or save and start again."
)


def run_window(path: Path | None, export: Export) -> int:
    """Open the window, with the site of a file when one is given, and return when it is closed.

    A file that cannot be opened leaves an empty job, with the reason in the window.
    """
    application = application_object()
    window = open_window(path, export)
    window.show()
    usual = sys.excepthook
    sys.excepthook = fault_teller(window, usual)
    try:
        return application.exec()
    finally:
        sys.excepthook = usual


def fault_teller(window: MainWindow, usual: ExceptHook) -> ExceptHook:
    """Return a hook for faults of the program itself: told in the window, and as usual besides.

    The document is never half changed: an edit either made a whole new one, or none.
    """

    def tell(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        usual(kind, fault, trace)
        window.desk.say(f"{OWN_FAULT} ({kind.__name__}: {fault})", "Stop")

    return tell


def application_object() -> QApplication:
    """Return the application object, made and dressed when there is none."""
    known = QApplication.instance()
    if isinstance(known, QApplication):
        return known
    QApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
    return QApplication(sys.argv[:1])


def open_window(path: Path | None, export: Export) -> MainWindow:
    """Return a window with the site of a file, not yet shown."""
    application = application_object()
    percent = percent_for(application.font())
    dress(application)
    window = MainWindow(Desk(), export, percent)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    if path is not None:
        window.files.open(path)
    return window
