"""The window: plan in the middle, cards around it, one desk behind all of them."""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QMenu, QStackedWidget, QVBoxLayout, QWidget

from siteplan.canvas.plan_widget import PlanWidget
from siteplan.windows.acts import Acts
from siteplan.windows.cards import label
from siteplan.windows.command_strip import CommandStrip
from siteplan.windows.commands import COMMANDS, MENUS, STAGES, Command
from siteplan.windows.desk import Desk
from siteplan.windows.export_panel import Export
from siteplan.windows.job_files import JobFiles
from siteplan.windows.leaf_dial import LeafDial
from siteplan.windows.lower_card import LowerCard
from siteplan.windows.notice_strip import NoticeStrip
from siteplan.windows.right_column import Page, RightColumn
from siteplan.windows.sheet_preview import SheetPage, SheetPicture, SheetTray
from siteplan.windows.stage_rail import StageRail
from siteplan.windows.stamp_bar import StampBar
from siteplan.windows.style import GAP, style_sheet
from siteplan.windows.trouble_list import TroubleList
from siteplan.windows.value_card import ValueCard
from siteplan.windows.why_card import WhyCard
from siteplan.windows.yard_list import YardList

FIRST_SIZE: Final = (1389, 868)
LEAST_SIZE: Final = (960, 600)
# Pixels at a text size of 100 %.
NARROW_BELOW: Final = 1180  # the right column becomes tabs
LOW_BELOW: Final = 560  # job line and command strip give their room to the plan: the menus hold all commands
COLUMN_WIDE: Final = 308
COLUMN_WIDEST: Final = 400
COLUMN_USUAL: Final = 0.22  # of the window
COLUMN_MOST: Final = 0.42


class MainWindow(QMainWindow):
    """One job in one window."""

    def __init__(self, desk: Desk, export: Export, text_percent: int = 100) -> None:
        super().__init__()
        self.desk = desk
        desk.setParent(self)
        self.text_percent = text_percent
        self.stage = STAGES[0]
        self._may_close = False
        self._is_low = False
        self.files = JobFiles(desk, self)
        self.acts = Acts(desk, self.files, self)
        self.plan = PlanWidget()
        self.dial = LeafDial(desk)
        self.tray = SheetTray(desk, export)
        self.values = ValueCard(desk)
        self.troubles = TroubleList(desk)
        self.yard = YardList(desk)
        self.why = WhyCard(desk)
        self.column = RightColumn(
            (
                Page(self.values, "Value card", "Value", 0),
                Page(self.troubles, "Trouble list", "Trouble", 1),
                Page(self.yard, "Yard list", "Yard", 1),
                Page(self.why, "Why card", "Why", 2),
            )
        )
        self.rail = StageRail()
        self.lower_card = LowerCard(self.dial, self.tray)
        self.stamp = StampBar(desk)
        self.sheet = SheetPage()
        self.middle = QStackedWidget()
        self.job_line = QWidget()
        self.job_name = label("", "job")
        self.job_about = label("", "quiet")
        self.job_state = label("", "quiet")
        self.actions_by_id = {command.id: self._made_action(command) for command in COMMANDS}
        self.strip = CommandStrip(self.actions_by_id)
        self._fill_menus()
        self._lay_out()
        self.notices = NoticeStrip(self.plan)
        self._connect()
        self.setStyleSheet(style_sheet(text_percent))
        self.show_stage(self.stage)
        self._show_all()
        self.plan.setFocus()

    # -- what acts ask of the window

    def show_stage(self, stage: str) -> None:
        """Bring the cards and commands of a stage to the front."""
        self.stage = stage
        self.rail.show_stage(stage)
        self.strip.show_stage(stage)
        self.lower_card.show_stage(stage)
        if stage != "Sheets":
            self.tray.close_sheet()
        self._share_room()

    def show_why(self) -> None:
        """Explain the selected finding, or the part of the window in focus, on the Why card."""
        part = next((title for title, widget in self.parts() if widget.isAncestorOf(self._focus())), "Plan")
        self.why.explain_part(part)
        self.column.bring(self.why)
        self.why.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to_part(self, step: int) -> None:
        """Go to the next part of the window, or to one before."""
        parts = [widget for _, widget in self.parts()]
        focus = self._focus()
        here = next((number for number, part in enumerate(parts) if part is focus or part.isAncestorOf(focus)), -step)
        part = parts[(here + step) % len(parts)]
        self.column.bring(part)
        _focus_first(part)

    def fold_lower_card(self) -> None:
        """Fold the lower card to one line, or unfold it."""
        self.lower_card.fold()

    def set_text_percent(self, percent: int) -> None:
        """Set the text size."""
        self.text_percent = percent
        self.setStyleSheet(style_sheet(percent))
        for widget in self.findChildren(QWidget):
            widget.updateGeometry()  # what paints itself has another size now
        self._share_room()

    def export_sheets(self) -> None:
        """Write the sheets into files."""
        self.show_stage("Sheets")
        self.tray.panel.start()

    def parts(self) -> tuple[tuple[str, QWidget], ...]:
        """Return the parts of the window in the order of F6, each with its title."""
        lower = self.tray if self.stage == "Sheets" else self.dial
        middle = (("Plan", self.plan),) if self.middle.currentWidget() is self.plan else (("Sheet tray", self.sheet),)
        shown = () if self.lower_card.is_folded else ((self.lower_card.page_title, lower),)
        return (
            ("Plan", self.rail),
            *middle,
            *shown,
            ("Value card", self.values),
            ("Trouble list", self.troubles),
            ("Yard list", self.yard),
            ("Why card", self.why),
        )

    # -- following the desk

    def _show_document(self) -> None:
        self.plan.show_document(self.desk.document, self.desk.angles)
        self.lower_card.set_summary(self.dial.summary)
        self._show_job()
        self._show_actions()

    def _show_angles(self) -> None:
        self.plan.show_document(self.desk.document, self.desk.angles)
        self.lower_card.set_summary(self.dial.summary)

    def _show_selection(self) -> None:
        self.plan.select(self.desk.selected)
        self.plan.show_finding(self.desk.finding)
        self._show_actions()

    def _show_all(self) -> None:
        self._show_document()
        self._show_selection()

    def _show_job(self) -> None:
        project, path = self.desk.document.project, self.desk.path
        name = path.stem if path is not None else project.title
        self.job_name.setText(name)
        self.job_about.setText(project.about)
        self.job_state.setText(f"revision {project.revisions[-1].mark}" if project.revisions else "draft")
        self.setWindowTitle(f"{name}[*] - siteplan")
        self.setWindowModified(self.desk.history.is_changed)

    def _show_actions(self) -> None:
        for command in COMMANDS:
            action = self.actions_by_id[command.id]
            action.setText(command.text_for(self.acts))
            action.setEnabled(not command.why_not(self.acts))
            action.setToolTip(command.tip_for(self.acts))

    def _show_sheet(self, picture: SheetPicture | None) -> None:
        if picture is not None:
            self.sheet.show_picture(picture)
        self.middle.setCurrentWidget(self.plan if picture is None else self.sheet)

    # -- building

    def _made_action(self, command: Command) -> QAction:
        action = QAction(command.text, self)
        action.setIconText(command.text)
        action.setShortcuts([QKeySequence(keys) for keys in command.shortcuts])
        action.triggered.connect(lambda _, run=command.run: run(self.acts))
        return action

    def _fill_menus(self) -> None:
        for title in MENUS:
            menu = QMenu(f"&{title}", self)
            menu.setToolTipsVisible(True)
            for command in COMMANDS:
                if command.menu == title:
                    if command.after_gap:
                        menu.addSeparator()
                    menu.addAction(self.actions_by_id[command.id])
            self.menuBar().addMenu(menu)

    def _lay_out(self) -> None:
        self.middle.addWidget(self.plan)
        self.middle.addWidget(self.sheet)
        job = QHBoxLayout(self.job_line)
        job.setContentsMargins(GAP // 2, 0, GAP // 2, 0)
        job.setSpacing(2 * GAP)
        job.addWidget(self.job_name)
        job.addWidget(self.job_about, stretch=1)
        job.addWidget(self.job_state)
        centre = QVBoxLayout()
        centre.setSpacing(GAP)
        centre.addWidget(self.strip)
        centre.addWidget(self.middle, stretch=1)
        centre.addWidget(self.lower_card)
        cards = QHBoxLayout()
        cards.setSpacing(GAP)
        cards.addWidget(self.rail)
        cards.addLayout(centre, stretch=1)
        cards.addWidget(self.column)
        desk = QWidget()
        desk.setObjectName("desk")
        layout = QVBoxLayout(desk)
        layout.setContentsMargins(GAP, GAP // 2, GAP, 0)
        layout.setSpacing(GAP)
        layout.addWidget(self.job_line)
        layout.addLayout(cards, stretch=1)
        layout.addWidget(self.stamp)
        self.setCentralWidget(desk)
        self.setMinimumSize(*LEAST_SIZE)
        self.resize(*FIRST_SIZE)

    def _connect(self) -> None:
        desk, plan = self.desk, self.plan
        desk.document_changed.connect(self._show_document)
        desk.angles_changed.connect(self._show_angles)
        desk.selection_changed.connect(self._show_selection)
        desk.file_changed.connect(self._show_job)
        desk.file_changed.connect(self._show_actions)
        desk.job_changed.connect(self.plan.fit_when_shown)
        desk.said.connect(self.notices.show_notice)
        plan.picked.connect(desk.select)
        plan.edited.connect(desk.commit)
        plan.drag_left.connect(desk.leave_drag)
        plan.swung.connect(desk.swing)
        plan.refused.connect(lambda text: desk.say(text, "Note", passes=True))
        self.rail.chosen.connect(self.show_stage)
        self.tray.opened.connect(self._show_sheet)
        self.sheet.left.connect(self.tray.close_sheet)
        self.values.renamed.connect(lambda name: self.column.set_aside(self.values, name))
        self.troubles.counted.connect(lambda counts: self.column.set_aside(self.troubles, counts))
        self.why.coded.connect(lambda code: self.column.set_aside(self.why, code))
        self.values.refresh()
        self.troubles.refresh()

    def _share_room(self) -> None:
        scale = self.text_percent / 100
        self.column.arrange(self.width() < NARROW_BELOW * scale)
        is_low = self.height() < LOW_BELOW * scale
        if is_low and not self._is_low:
            self.lower_card.fold_all()
        self._is_low = is_low
        self.job_line.setVisible(not is_low)
        self.strip.setVisible(not is_low)
        wanted = max(COLUMN_WIDE * scale, min(COLUMN_WIDEST * scale, COLUMN_USUAL * self.width()))
        self.column.setFixedWidth(round(min(wanted, COLUMN_MOST * self.width())))

    def _focus(self) -> QWidget:
        return self.focusWidget() or self.plan

    # -- events

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew."""
        super().resizeEvent(event)
        self._share_room()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the strip, or go back to the plan."""
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif not self.notices.leave():
            self.plan.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close at once when everything is saved; else say so and offer to save."""
        if not self._may_close and self.desk.history.is_changed:
            event.ignore()
            self.files.unless_changed(self._close_anyway)
            return
        self.tray.stop()
        event.accept()

    def _close_anyway(self) -> None:
        self._may_close = True
        self.close()


def _focus_first(part: QWidget) -> None:
    """Give the focus to a part, or to the first thing in it that takes it."""
    takers = [part, *part.findChildren(QWidget)]
    taker = next((each for each in takers if each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.isVisible()), part)
    taker.setFocus(Qt.FocusReason.ShortcutFocusReason)
