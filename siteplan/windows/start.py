"""Starting the window."""

import sys
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from siteplan.windows.desk import Desk
from siteplan.windows.export_panel import Export
from siteplan.windows.main_window import MainWindow
from siteplan.windows.style import dress, percent_for


def run_window(path: Path | None, export: Export) -> int:
    """Open the window, with the site of a file when one is given, and return when it is closed.

    A file that cannot be opened leaves an empty job, with the reason in the window.
    """
    application = application_object()
    window = open_window(path, export)
    window.show()
    return application.exec()


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
