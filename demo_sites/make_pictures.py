"""Make the pictures of the README from the program itself: ``python demo_sites/make_pictures.py``."""

import os
from math import radians
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from siteplan.commands.export_sheets import export_sheets
from siteplan.drawing.sheets import make_sheets
from siteplan.export.paint import write_png
from siteplan.rules.all_rules import troubles
from siteplan.storage.site_file import read_site
from siteplan.windows.start import open_window

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
SITE = HERE / "courtyard-pair.json"
WINDOW_SIZE = (1400, 875)
SHEET_DPI = 110


def window_picture() -> None:
    """Show the window with the first finding selected and leaf B half open."""
    window = open_window(SITE, export_sheets)
    window.resize(*WINDOW_SIZE)
    window.show()
    QApplication.processEvents()
    window.show_stage("Swing")
    window.desk.select_finding(troubles(window.desk.document)[0])
    window.desk.swing("B", radians(58))
    QApplication.processEvents()
    window.grab().save(str(PICTURES / "window.png"))


def sheet_picture() -> None:
    """Paint the gate plan."""
    sheets = make_sheets(read_site(SITE).document)
    (PICTURES / "sheet.png").write_bytes(write_png(sheets.sheets[1], SHEET_DPI))


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    window_picture()
    sheet_picture()
