"""The mill's own sample sheet: weights typed in, curves and findings seen, everything saved as it is typed."""

import contextlib
import html
from dataclasses import replace
from functools import partial

import ipywidgets as widgets

from kilnlib.bench.desk.sheet import findings
from kilnlib.bench.desk.sheet import page as sheet_page
from kilnlib.bench.desk.sheet.boards import Boards
from kilnlib.bench.desk.sheet.boxes import Desk
from kilnlib.bench.desk.sheet.chart import SheetChart
from kilnlib.bench.desk.sheet.files import (
    FILED,
    RESCUE,
    TRASH,
    Rescue,
    Unfinished,
    examples,
    move,
    numbered,
    open_example,
    open_own,
    own_sheets,
    place,
    row_of,
    sheets_to_open,
    take_in,
    take_rescued,
)
from kilnlib.bench.desk.sheet.morning import Morning
from kilnlib.bench.desk.sheet.open_dialog import Shelf
from kilnlib.bench.desk.sheet.overview import Overview
from kilnlib.bench.desk.sheet.parsing import now
from kilnlib.bench.desk.sheet.style import CSS
from kilnlib.bench.desk.sheet.undo import undone
from kilnlib.bench.desk.sheet.weights import Weights
from kilnlib.bench.kit.parts import button, link, print_button
from kilnlib.bench.kit.screen import LOCK, by_hand, line
from kilnlib.errors import BadInput, CannotSave, KilnError, sentence
from kilnlib.physics.samples import Sheet
from kilnlib.store.exports import write_out
from kilnlib.store.sheet import SampleSheet, folder, free_path, name_taken, path_for
from kilnlib.words import text

PAGES = ("weights", "morning", "boards", "shelf")
NAME_SHOWN = 60
ON_TOP = ("sheet_open_elsewhere", "ask_date", "ask_future", "sheet_cut_short")  # notices about the whole file
# What CannotSave may say of the open sheet's file although no entry was refused.
NOT_OPEN = ("sheet_gone", "sheet_not_file", "sheet_not_made", "cannot_move")


class Panel(Desk):
    """The desk. Public for tests: `open_path`, `upload`, `start`, `save`, `undo`, `export`, `print_page`, `save_copy`,
    `load_again`, `recut`, `turn_to`, `rename`, `put_down`, `file_away`, `delete`, `stay`, `leave`; `weights`, `boards`,
    `morning`, `shelf`, `overview`; `sheet`, `open_sheet`, `leaving`, `rescue`, `last_error`.
    """

    name = "sample_sheet"

    def __init__(self):
        super().__init__()
        self.open_sheet = None
        self._second = ""  # a name in use under which a second charge may be started
        self.saved_at = None  # when an entry last came into the file
        self.leaving = None  # what waits while it is asked whether to leave a sheet whose last entry is not in its file
        self.rescue = Rescue()
        self.weights, self.boards = Weights(self), Boards(self)
        self.overview, self.shelf, self.morning = Overview(), Shelf(self), Morning(self)
        self._build()
        with self.guard():
            self._open_first()

    @property
    def sheet(self):
        """What is written in the open sheet."""
        return self.open_sheet.sheet

    def _open_first(self, but=None):
        """Open the sheet used last, or else the next one that can be opened; never `but`, the path of a sheet."""
        problem = None
        for open_one in sheets_to_open(but):
            try:
                self._take_up(open_one())
                break
            except Exception as error:  # whatever it is, another sheet can still be opened
                problem = problem or error
        self.show()
        if problem is not None:
            raise problem

    # what a person does -------------------------------------------------------------------------------------------

    def turn_to(self, page):
        """Show the page of today's weights ("weights"), of the boards, or the shelf."""
        self._turn(page)
        self.press(lambda: None)

    def change(self, sheet, step=None):
        """Go on with a changed sheet and save it; what the disk refuses stays on the screen, with the reason."""
        try:
            self._write(self.open_sheet.change, sheet, step)
        except CannotSave as error:
            self._refused(error)

    def open_path(self, path):
        """Open one of the user's sheets, a rescue file, or a copy of an invented charge."""
        self._leave_for(partial(self._open, path))

    def upload(self, name, data):
        """Copy a CSV from somewhere else into the user's folder and open it."""
        self._leave_for(lambda: self._take_up(take_in(name, data)))

    def start(self, name):
        """Begin an empty sheet for a new charge."""
        self._leave_for(partial(self._begin, name))

    def put_down(self):
        """Close the sheet and go on with the one used before; it stays on the list."""
        self._leave_for(self._put_down)

    def file_away(self):
        """Move the sheet to the charges that are filed away."""
        self._leave_for(partial(self._move, FILED))

    def delete(self):
        """Move the sheet to the user's own trash folder."""
        self._leave_for(partial(self._move, TRASH))

    def rename(self, name):
        """Give the charge and its file another name."""
        self.press(partial(self._rename, name))

    def stay(self):
        """Stay with the sheet whose last entry is not in its file: the answer No."""
        self.leaving = None
        self.press(lambda: None)

    def leave(self):
        """Leave that sheet, with what is on the screen in a rescue file: the answer Yes."""
        self.press(self._leave)

    def save(self):
        """Take what was typed last and write the file."""
        self.press(self._save)

    def undo(self):
        """Take back the last change, say what it was, and show where."""
        self.press(self._undo)

    def save_copy(self):
        """Write what is on this screen to a new file and go on with that one."""
        self.press(self._save_copy)

    def load_again(self):
        """Read the file again, with what another window wrote."""
        self.press(self._load_again)

    def day_first(self):
        """Read the doubtful dates of the sheet with the day first."""
        self.press(lambda: self._write(self.open_sheet.read_dates, True))

    def export(self):
        """Write the sheet as CSV beside older exports, for a spreadsheet or another machine."""
        self.press(lambda: self._hand_out("sheet.exported", csv=self.open_sheet.text().encode()))

    def print_page(self):
        """Write the sheet as one page to print."""
        self.press(self._print)

    def recut(self, board):
        """Go to the boards, with a row for a recut of one of them."""
        self.press(lambda: self._recut(board))

    def press(self, action):
        """Take what was typed last, then do what a button says, with any refusal said on top."""
        with LOCK:
            self.flush()
            self.told.value, self.active = "", None
            with self.guard():
                try:
                    action()
                finally:
                    self.show()

    def settle(self, row):
        """Take a row, and clear what was said on top before."""
        self.told.value = ""
        super().settle(row)

    def _write(self, save, *arguments):
        """Have the open sheet save itself, by one of its own methods; once it did, no entry is in trouble any more."""
        save(*arguments)
        self.rescue.done()
        self.trouble, self.troubled, self.saved_at = None, None, now()

    def _refused(self, error):
        """The file could not be written: the entry goes to a rescue file, and the row it was typed in says so."""
        self.trouble = error
        self.troubled = self.taking and (self.taking, self.taking.key)
        self.rescue.keep(self.open_sheet, self.unfinished)

    def _save_copy(self):
        self._write(self.open_sheet.save_copy, free_path(self.open_sheet.path.stem))
        self.unfinished.move(self.open_sheet.path)

    def _load_again(self):
        if self.trouble is not None:
            self.rescue = Rescue()  # the old rescue file stays: else only an undo would bring the entry back
        self._write(self.open_sheet.reload)

    def _leave_for(self, action):
        """Leave the open sheet by an action: at once where all that was typed is on disk, else once `leave` says so."""

        def go():
            if self.trouble is not None:
                with contextlib.suppress(CannotSave):  # what hindered it may be gone
                    self._write(self.open_sheet.save)
            if self.trouble is None and not self.unfinished.unsaved:
                action()
            else:
                self.leaving = action

        self.press(go)

    def _leave(self):
        if self.leaving is None:
            return
        self.rescue.keep(self.open_sheet, self.unfinished)
        if self.rescue.problem is not None:
            raise BadInput("rescue_refused", why=self.rescue.problem.sentence(self.system))
        path, action = self.rescue.path, self.leaving
        self.leaving = None
        action()
        self.told.value += line(text("sheet.rescued", path=path))

    def _open(self, path):
        if path == self.open_sheet.path and self.open_sheet.saved:
            self._write(self.open_sheet.reload)
            self.weights.open()
            self._turn("weights")
        elif path.parent == place(RESCUE):
            self._take_up(take_rescued(path))
        elif path in examples():
            self._take_up(open_example(path))
        else:
            if path == self.open_sheet.path:
                self.open_sheet.close()  # or it would be said to be open in another window
            self._take_up(open_own(path))

    def _put_down(self):
        name = self.open_sheet.path.stem
        self._open_first(but=self.open_sheet.path)
        self._turn("shelf")
        self.told.value = line(text("sheet.put_down", name=name))

    def _move(self, where):
        path = self.open_sheet.path
        if not path.exists():
            raise BadInput("charge_no_file")
        if path.parent != place(where):
            path = move(path, place(where))
            self.unfinished.move(path)
        self._open_first(but=path)
        self._turn("shelf")
        self.told.value = line(text(f"sheet.moved_to_{where}", path=path))

    def _rename(self, name):
        if not name.strip():
            raise BadInput("charge_no_name")
        opened, path = self.open_sheet, path_for(name)
        if path != opened.path:
            if path.exists():
                raise BadInput("charge_name_used", name=name.strip()[:NAME_SHOWN])
            opened.path = move(opened.path, folder(), name) if opened.saved else path
            self.unfinished.move(opened.path)
        self.change(replace(self.sheet, charge=name.strip()))
        self.told.value = line(text("sheet.renamed", path=opened.path))

    def _save(self):
        self._write(self.open_sheet.save)
        self.told.value = line(text("sheet.saved_now", path=self.open_sheet.path))

    def _undo(self):
        if not self.open_sheet.can_undo:
            return
        before = self.sheet
        try:
            self._write(self.open_sheet.undo)
        finally:
            taken_back = undone(before, self.sheet, self.page.value)
            self.told.value = line(taken_back.words)
            self._turn(taken_back.page)
            if taken_back.page == "weights":
                self.weights.turn_back(before, taken_back)

    def _begin(self, name):
        if not name.strip():
            raise BadInput("charge_no_name")
        if name_taken(name) and self._second != name:
            self._second = name
            raise BadInput("charge_name_taken", name=name.strip()[:NAME_SHOWN])
        self._take_up(SampleSheet.create(free_path(name), Sheet(charge=name)))
        self.shelf.name.value = self._second = ""
        self._turn("boards")
        self.boards.settings["species"].boxes["species"].focus()

    def _recut(self, board):
        self._turn("boards")
        self.boards.recut(board)

    def _print(self):
        made = sheet_page.page(self.sheet, self.open_sheet.path, self.system)
        picture = SheetChart().png(self.sheet, self.sheet.limit_points_per_day)
        self._hand_out("sheet.printed", html=sheet_page.as_html(made, picture))

    def _hand_out(self, key, **contents):
        """Write files made of the sheet and say where they are; links put them where the browser puts downloads."""
        last = self.sheet.days[-1].when if self.sheet.days else now()
        paths = write_out(f"{self.open_sheet.path.stem} {last:%Y-%m-%d}", **contents)
        places = " · ".join(str(path) for path in paths.values())
        again = print_button(text("sheet.print_again"), contents["html"]) if "html" in contents else ""
        links = " ".join(link(path, contents[suffix]) for suffix, path in paths.items())
        self.told.value = f"{line(text(key, path=places))}<div>{again} {html.escape(text('sheet.links'))} {links}</div>"

    def _take_up(self, opened):
        """Go on with another sheet."""
        if self.open_sheet is not None:
            self.open_sheet.close()
        self.open_sheet, self.trouble, self.saved_at, self.active = opened, None, None, None
        self.troubled, self.rescue = None, Rescue()
        self.unfinished = Unfinished(opened.path)
        self.weights.open()
        self.morning.open()
        self.boards.open()
        self._turn("weights")

    # the screen ---------------------------------------------------------------------------------------------------

    def _build(self):
        self.title, self.status, self.told = widgets.HTML(), widgets.HTML(), widgets.HTML()
        if rescued := own_sheets(place(RESCUE)):
            names = ", ".join(path.stem for path in rescued)
            self.told.value = line(text("sheet.rescue_there", names=names, path=place(RESCUE)))
        self.page = widgets.ToggleButtons(
            options=[(text(f"sheet.page_{name}"), name) for name in PAGES],
            tooltips=[text(f"sheet.page_{name}_tip") for name in PAGES],
        )
        self.page.observe(self._page_chosen, "value")
        names = ("save", "undo", "export", "print_page")
        self.actions = {name: button(f"sheet.{name}", getattr(self, name)) for name in names}
        self.actions["print_page"].add_class("fc-prints")
        bar = widgets.HBox([self.page, *self.actions.values()])
        bar.add_class("fc-tools-row")
        names = ("save_copy", "load_again")
        self.ways_out = widgets.HBox([button(f"sheet.{name}", getattr(self, name)) for name in names])
        self.day_comes_first = button("sheet.day_first", self.day_first)
        upper = widgets.HBox([self.weights.view, self.overview.stage])
        self.pages = [widgets.VBox([upper, self.overview.below]), self.morning.view, self.boards.view, self.shelf.view]
        ask = [button("sheet.stay", self.stay), button("sheet.leave", self.leave)]
        self.asked = widgets.HTML()
        self.question = widgets.VBox([self.asked, widgets.HBox(ask)])
        look = widgets.HTML(CSS, layout={"display": "none"})
        self.status.add_class("fc-status")
        above = [look, self.title, bar, self.status, self.ways_out, self.day_comes_first, self.question, self.told]
        desk = widgets.VBox([*above, *self.pages])
        desk.add_class("fc-sheet")
        self.view = self.framed(desk)

    @by_hand
    def _page_chosen(self, change):
        self.press(self.boards.leave)

    def _turn(self, page):
        with self.quietly():
            self.page.value = page

    def show(self):
        """Bring the screen up to the sheet; whatever fails, the head is shown, with Undo."""
        self.system = "metric" if self.sheet.sample_unit in ("g", "kg") else "trade"
        for name, view in zip(PAGES, self.pages, strict=True):
            view.layout.display = "" if name == self.page.value else "none"
        try:
            self._show_page(self.page.value)
        finally:
            self._show_head()

    def _show_page(self, page):
        if page != "weights":
            {"morning": self.morning, "boards": self.boards, "shelf": self.shelf}[page].show()
            return
        found = findings.finding(self.sheet, self.weights.round.when)
        self.weights.show(found)
        self.overview.show(found, self.weights.round, self.system, self.weights.asked)
        if found.broken and not self.told.value:
            row, names = row_of(self.open_sheet, next(iter(found.broken))), ", ".join(found.broken)
            words = text("sheet.cannot_boards", boards=names, row=row, path=self.open_sheet.path)
            self.told.value = line(words, "refusal")

    def _show_head(self):
        sheet, opened = self.sheet, self.open_sheet
        target = "" if sheet.target_pct is None else text("sheet.page_target", target=f"{sheet.target_pct:g}")
        facts = " · ".join(fact for fact in (sheet.species, sheet.thickness, target) if fact)
        name = sheet.charge or opened.path.stem
        if numbered(opened.path) and opened.path.stem != name:
            name = text("sheet.named_file", name=name, stem=opened.path.stem)
        name = html.escape(name)
        top = "" if opened.saved or self.trouble else line(text("sheet.example_top"))
        self.title.value = f'<div class="fc-title"><b>{name}</b> {html.escape(facts)}</div>{top}'
        self.actions["undo"].disabled = not opened.can_undo
        self.ways_out.layout.display = "" if self.trouble or opened.open_elsewhere else "none"
        doubtful_dates = any(notice.code == "ask_date" for notice in opened.notices())
        self.day_comes_first.layout.display = "" if doubtful_dates else "none"
        self.asked.value = line(text("sheet.leaving"), "refusal") if self.leaving else ""
        self.question.layout.display = "" if self.leaving else "none"
        if self.trouble:
            kept = self.rescue.problem is None
            where = text("sheet.rescue_at", path=self.rescue.path) if kept else text("sheet.rescue_none")
            self.status.value = line(f"{sentence(self.trouble, self.system)} {where}", "refusal")
        elif not opened.saved:
            self.status.value = line(text("sheet.example", path=opened.path))
        else:
            at = "" if self.saved_at is None else text("sheet.saved_at", at=f"{self.saved_at:%H:%M}")
            told = [notice for notice in opened.notices() if notice.code in ON_TOP]
            warned = "".join(line(sentence(notice, self.system), "refusal") for notice in told)
            self.status.value = warned + line(text("sheet.saved", path=opened.path) + at)

    def complain(self, error):
        """Say an error under the buttons; an entry that the open sheet's file could not take, by the file's name."""
        of_open = isinstance(error, CannotSave) and str(error.fields.get("path")) == str(self.open_sheet.path)
        if of_open and error.code not in NOT_OPEN and not self.open_sheet.saved:
            self._refused(error)
            self._show_head()
        else:
            our_fault = "" if isinstance(error, KilnError) else text("sheet.inside", path=self.open_sheet.path)
            self.told.value = line(our_fault or sentence(error, self.system), "refusal")

    def close(self):
        """Take what was typed last, then leave nothing behind."""
        self.flush()
        if self.trouble or self.unfinished.unsaved:
            self.rescue.keep(self.open_sheet, self.unfinished)
        self.open_sheet.close()
        for part in (self.weights, self.morning, self.boards):
            part.close()
        super().close()
