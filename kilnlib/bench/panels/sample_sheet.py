"""The mill's own sample sheet: weights typed in, curves and findings seen, everything saved as it is typed."""

import html

import ipywidgets as widgets

from kilnlib.bench.screen import LOCK, line
from kilnlib.bench.sheet import findings
from kilnlib.bench.sheet import page as sheet_page
from kilnlib.bench.sheet.boards import Boards
from kilnlib.bench.sheet.boxes import Desk
from kilnlib.bench.sheet.chart import SheetChart
from kilnlib.bench.sheet.files import (
    Unfinished,
    examples,
    link,
    numbered,
    open_example,
    open_last,
    open_own,
    take_in,
    write_out,
)
from kilnlib.bench.sheet.look import CSS
from kilnlib.bench.sheet.overview import Overview
from kilnlib.bench.sheet.shelf import Shelf
from kilnlib.bench.sheet.typed import now
from kilnlib.bench.sheet.undone import undone
from kilnlib.bench.sheet.weights import Weights
from kilnlib.bench.words import sentence, text
from kilnlib.errors import BadInput, CannotSave
from kilnlib.physics.samples import Sheet
from kilnlib.sheet import SampleSheet, free_path, name_taken

PAGES = ("weights", "boards", "shelf")
NAME_SHOWN = 60
ON_TOP = ("sheet_open_elsewhere", "ask_date")  # notices about the whole file


class Panel(Desk):
    """The desk. Public for tests: `open_path`, `upload`, `start`, `save`, `undo`, `export`, `print_page`, `save_copy`,
    `load_again`, `recut`, `turn_to`; `weights`, `boards`, `shelf`, `overview`; `sheet`, `open_sheet`, `last_error`.
    """

    name = "sample_sheet"

    def __init__(self):
        super().__init__()
        self.open_sheet = None
        self._second = ""  # a name in use under which a second charge may be started
        self.trouble = self.saved_at = None  # why the last entry is not in the file; when it last was
        self.weights, self.boards = Weights(self), Boards(self)
        self.overview, self.shelf = Overview(), Shelf(self)
        self._build()
        opened, problem = open_last()
        self._take_up(opened)
        self.show()
        if problem is not None:
            self.complain(problem)

    @property
    def sheet(self):
        """What is written in the open sheet."""
        return self.open_sheet.sheet

    # what a person does -------------------------------------------------------------------------------------------

    def turn_to(self, page):
        """Show the page of today's weights ("weights"), of the boards, or the shelf."""
        self._turn(page)
        self.press(lambda: None)

    def change(self, sheet, step=None):
        """Take another state of the sheet and save it; what the disk refuses stays on the screen, with the reason."""
        try:
            self._write(self.open_sheet.change, sheet, step)
        except CannotSave as error:
            self.trouble = error

    def open_path(self, path):
        """Open one of the user's sheets, or a copy of an invented charge."""
        self.press(lambda: self._take_up(open_example(path) if path in examples() else open_own(path)))

    def upload(self, name, data):
        """Copy a CSV from somewhere else into the user's folder and open it."""
        self.press(lambda: self._take_up(take_in(name, data)))

    def start(self, name):
        """Begin an empty sheet for a new charge."""
        self.press(lambda: self._begin(name))

    def save(self):
        """Take what was typed last and write the file."""
        self.press(self._save)

    def undo(self):
        """Take back the last change, say what it was, and show where."""
        self.press(self._undo)

    def save_copy(self):
        """Write what is on this screen to a new file and go on with that one."""
        self.press(lambda: self._write(self.open_sheet.save_copy, free_path(self.open_sheet.path.stem)))

    def load_again(self):
        """Read the file again, with what another window wrote."""
        self.press(lambda: self._write(self.open_sheet.reload))

    def export(self):
        """Write the sheet as CSV beside older exports, for a spreadsheet or another machine."""
        self.press(lambda: self._hand_out("sheet.exported", csv=self.open_sheet.text().encode()))

    def print_page(self):
        """Write the sheet as one page to print, and as a picture of it."""
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
        """Take a row; what was said on top is over with it."""
        self.told.value = ""
        super().settle(row)

    def _write(self, save, *arguments):
        save(*arguments)
        self.trouble, self.saved_at = None, now()

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
            taken = undone(before, self.sheet, self.page.value)
            self.told.value = line(taken.words)
            self._turn(taken.page)
            if taken.page == "weights":
                self.weights.turn_back(before, taken)

    def _begin(self, name):
        if not name.strip():
            raise BadInput("charge_no_name")
        if name_taken(name) and self._second != name:
            self._second = name
            raise BadInput("charge_name_taken", name=name.strip()[:NAME_SHOWN])
        self._take_up(SampleSheet.create(free_path(name), Sheet(charge=name)))
        self.shelf.name.value = self._second = ""
        self._turn("boards")

    def _recut(self, board):
        self._turn("boards")
        self.boards.recut(board)

    def _print(self):
        made = sheet_page.page(self.sheet, self.open_sheet.path, self.system)
        picture = SheetChart().png(self.sheet, self.sheet.limit_points_per_day)
        self._hand_out("sheet.printed", html=sheet_page.as_html(made, picture), png=sheet_page.as_png(made, picture))

    def _hand_out(self, key, **contents):
        """Write files made of the sheet and say where they are; links put them where the browser puts downloads."""
        last = self.sheet.days[-1].when if self.sheet.days else now()
        paths = write_out(f"{self.open_sheet.path.stem} {last:%Y-%m-%d}", **contents)
        places = " · ".join(str(path) for path in paths.values())
        links = " ".join(link(path, contents[suffix]) for suffix, path in paths.items())
        self.told.value = f"{line(text(key, path=places))}<div>{html.escape(text('sheet.links'))} {links}</div>"

    def _take_up(self, opened):
        """Go on with another sheet."""
        if self.open_sheet is not None:
            self.open_sheet.close()
        self.open_sheet, self.trouble, self.saved_at, self.active = opened, None, None, None
        self.unfinished = Unfinished(opened.path)
        self.weights.open()
        self.boards.open()
        self._turn("weights")

    # the screen ---------------------------------------------------------------------------------------------------

    def _build(self):
        self.title, self.status, self.told = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.page = widgets.ToggleButtons(
            options=[(text(f"sheet.page_{name}"), name) for name in PAGES],
            tooltips=[text(f"sheet.page_{name}_tip") for name in PAGES],
        )
        self.page.observe(self._page_chosen, "value")
        names = ("save", "undo", "export", "print_page")
        self.actions = {name: self.button(f"sheet.{name}", getattr(self, name)) for name in names}
        bar = widgets.HBox([self.page, *self.actions.values()])
        bar.add_class("fc-bar")
        names = ("save_copy", "load_again")
        self.ways_out = widgets.HBox([self.button(f"sheet.{name}", getattr(self, name)) for name in names])
        upper = widgets.HBox([self.weights.view, self.overview.stage])
        self.pages = [widgets.VBox([upper, self.overview.below]), self.boards.view, self.shelf.view]
        look = widgets.HTML(CSS, layout={"display": "none"})
        self.status.add_class("fc-status")
        desk = widgets.VBox([look, self.title, bar, self.status, self.ways_out, self.told, *self.pages])
        desk.add_class("fc-sheet")
        self.view = self.framed(desk)

    def button(self, key, action, **fields):
        """A button of the desk with its words."""
        made = widgets.Button(description=text(key, **fields), tooltip=text(f"{key}_tip", **fields))
        made.on_click(lambda _: action())
        return made

    def _page_chosen(self, change):
        with LOCK:
            if not self._quiet:
                self.press(self.boards.leave)

    def _turn(self, page):
        with self.quietly():
            self.page.value = page

    def show(self):
        """Bring the screen up to the sheet."""
        self.system = "metric" if self.sheet.sample_unit in ("g", "kg") else "trade"
        page = self.page.value
        if page == "weights":
            found = findings.finding(self.sheet, self.weights.round.when)
            self.weights.show(found)
            self.overview.show(found, self.weights.round, self.system, self.weights.asked)
        else:
            (self.boards if page == "boards" else self.shelf).show()
        for name, view in zip(PAGES, self.pages, strict=True):
            view.layout.display = "" if name == page else "none"
        self._show_head()

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
        if self.trouble:
            self.status.value = line(sentence(self.trouble, self.system), "refusal")
        elif not opened.saved:
            self.status.value = line(text("sheet.example", path=opened.path))
        else:
            at = "" if self.saved_at is None else text("sheet.saved_at", at=f"{self.saved_at:%H:%M}")
            told = [notice for notice in opened.questions() if notice.code in ON_TOP]
            warned = "".join(line(sentence(notice, self.system), "refusal") for notice in told)
            self.status.value = warned + line(text("sheet.saved", path=opened.path) + at)

    def complain(self, error):
        """The sentence stands under the buttons; about a file that is not up to the screen, by the file's name."""
        if isinstance(error, CannotSave) and error.code != "sheet_gone" and not self.open_sheet.saved:
            self.trouble = error
            self._show_head()
        else:
            self.told.value = line(sentence(error, self.system), "refusal")

    def close(self):
        """Take what was typed last, then leave nothing behind."""
        self.flush()
        self.open_sheet.close()
        for part in (self.weights, self.boards):
            part.close()
        super().close()
