"""The boards of a charge: one row a board with its two sections and its first weight, and rows for recuts."""

import html
import math
import re
from dataclasses import replace

import ipywidgets as widgets

from kilnlib.bench.desk.sheet.boxes import Row
from kilnlib.bench.desk.sheet.charge import Charge
from kilnlib.bench.desk.sheet.findings import cannot, sound
from kilnlib.bench.desk.sheet.parsing import now, read_weight, shown_weight
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import close_tree, line
from kilnlib.errors import BadInput, sentence
from kilnlib.physics.samples import Recut, SampleBoard, Section, Weighing, when_text
from kilnlib.words import text

NEW_ROWS = 6
FIELDS = ("name", "note", "a_green", "a_dry", "b_green", "b_dry", "board_weight")
SKIPPED = ("name", "note")
ABOUT_SECTIONS = ("ask_sections", "ask_too_wet")


class Boards:
    """The form. Public for tests: `settings`, `when_row`, `rows`, `recut`, `remove`, `show`."""

    def __init__(self, desk):
        self.desk, self.rows = desk, []
        self.charge = Charge(desk, self)
        self.settings, self.when_row = self.charge.settings, self.charge.when_row
        self.head, self.grid = widgets.HTML(), widgets.VBox()
        self.choice = widgets.Dropdown(description=text("sheet.which"))
        buttons = [
            button("sheet.recut", lambda: desk.recut(self.choice.value[0])),
            button("sheet.remove", lambda: desk.press(lambda: self.remove(*self.choice.value))),
        ]
        self.hint = widgets.HTML()
        self.view = widgets.VBox(
            [self.charge.view, self.hint, self.head, self.grid, widgets.HBox([self.choice, *buttons])]
        )
        for look in ("fc-boards", "fc-down"):
            self.view.add_class(look)

    def open(self):
        """Begin with a sheet that was opened."""
        self.wanted = None  # (board, when) of a recut that is being typed
        self._made_of = None
        self.charge.open()

    def close(self):
        """Leave nothing behind."""
        for part in (self.charge, *self.rows):
            part.close()
        close_tree(self.view)

    # what a person does -------------------------------------------------------------------------------------------

    def recut(self, name):
        """Open a row for a recut of a board at its last weighing."""
        board = self.desk.sheet.board(name)
        if not board.weighings:
            raise BadInput("recut_no_weight", board=board.name, when=when_text(now()))
        self.wanted = (board.name, board.weighings[-1].when)

    def leave(self):
        """Forget the row of a recut in which nothing was typed."""
        self.wanted = None

    def remove(self, name, when=None):
        """Take a board, or its recut of some time, out of the sheet; Undo brings it back."""
        sheet = self.desk.sheet
        if self.wanted and self.wanted[0] == name:
            self.wanted = None
        if when is None:
            self.desk.change(sheet.without_board(name))
            return
        board = sheet.board(name)
        recuts = tuple(recut for recut in board.recuts if recut.when != when)
        self.desk.change(sheet.with_board(replace(board, recuts=recuts)))

    # taking -------------------------------------------------------------------------------------------------------

    def _take_board(self, row):
        """A row of a board that is there, or of a new one once something is weighed."""
        texts, sheet = row.texts(), self.desk.sheet
        old = sheet.board(row.about) if row.about else None
        if old is None and not any(texts[field] for field in FIELDS[2:]):
            return False if texts["note"] else None
        sections = self._sections(row, old.sections if old else ())
        weighings = old.weighings if old else ()
        if row.changed("board_weight"):
            weighings = self._first_weight(texts["board_weight"], weighings)
        made = SampleBoard(texts["name"], sections, weighings, old.recuts if old else (), texts["note"])
        kept = tuple(made if board is old else board for board in sheet.boards)
        changed = replace(sheet, boards=kept if old else (*kept, made))
        row.rename(f"board|{made.name}")
        row.about = made.name
        self.desk.change(changed, row.key)
        self._made_of = self._structure()
        if old is None:
            self._add_spare()
        return None

    def _take_recut(self, row):
        """A row of a recut: its sections, and what the board weighs afterwards."""
        texts, sheet = row.texts(), self.desk.sheet
        name, when = row.about
        board = sheet.board(name)
        old = next((recut for recut in board.recuts if recut.when == when), None)
        if old is None and not any(texts[field] for field in FIELDS[2:]):
            return False if texts["note"] else None
        sections = self._sections(row, old.sections if old else ())
        if not texts["board_weight"]:
            raise BadInput("recut_weigh_again", board=board.name)
        as_before = old is not None and not row.changed("board_weight")  # an undo may have taken the recut away
        after = old.after_kg if as_before else read_weight(texts["board_weight"], sheet.sample_unit)
        others = [recut for recut in board.recuts if recut.when != when]
        recuts = tuple(sorted([*others, Recut(when, after, sections, texts["note"])], key=lambda recut: recut.when))
        self.desk.change(sheet.with_board(replace(board, recuts=recuts)), row.key)
        self._made_of = self._structure()
        return None

    def _sections(self, row, old):
        """Sections of a row; what was not touched stays exactly as it is, and so do a third section and more."""
        unit, texts, found = self.desk.sheet.section_unit, row.texts(), []
        for number, letter in enumerate("ab"):
            green, dry = texts[f"{letter}_green"], texts[f"{letter}_dry"]
            if number < len(old) and not row.changed(f"{letter}_green") and not row.changed(f"{letter}_dry"):
                found.append(old[number])
            elif green:
                found.append(Section(read_weight(green, unit), read_weight(dry, unit) if dry else None))
            elif dry:
                raise BadInput("section_no_green")
        return (*found, *old[2:])

    def _first_weight(self, typed, weighings):
        if not typed:
            if len(weighings) > 1:
                raise BadInput("first_needed")
            return ()
        weight = read_weight(typed, self.desk.sheet.sample_unit)
        if weighings:
            return (replace(weighings[0], weight_kg=weight), *weighings[1:])
        if self.when_row.refusal is not None:
            raise BadInput("date_first")
        return (Weighing(self.charge.first_weighed(), weight),)

    # showing ------------------------------------------------------------------------------------------------------

    def show(self):
        """Bring the form up to the sheet."""
        sheet = self.desk.sheet
        could, broken = sound(sheet)
        questions = could.questions()
        self.charge.show(questions)
        if self._made_of != self._structure():
            self._build()
        self.hint.value = "" if sheet.boards else line(text("sheet.boards_hint"))
        units_shown = {"section": sheet.section_unit, "sample": sheet.sample_unit}
        heads = [text(f"sheet.head_{field}", **units_shown) for field in (*FIELDS, "mean")]
        self.head.value = f'<div class="fc-head">{"".join(f"<span>{html.escape(head)}</span>" for head in heads)}</div>'
        for row in self.rows:
            if row.take == self._take_recut:
                self._show_recut(row)
            elif row.about:
                self._show_board(row, questions)
                if row.about in broken:
                    row.say(cannot(row.about, broken[row.about], self.desk.system))
            else:
                row.say()
        self._show_choice(sheet)

    def _structure(self):
        """What the rows stand for; as long as it stays, the boxes stay."""
        boards = self.desk.sheet.boards
        cuts = {(board.name, recut.when) for board in boards for recut in board.recuts}
        return self.desk.open_sheet, tuple(board.name for board in boards), frozenset(cuts | {self.wanted} - {None})

    def _build(self):
        for old in self.rows:
            old.close()
        self.rows = []
        self._made_of = self._structure()
        for board in self.desk.sheet.boards:
            self.rows.append(self._row(f"board|{board.name}", self._take_board, board.name, board.name))
            for name, when in sorted(self._made_of[2]):
                if name == board.name:
                    key, which = f"recut|{name}|{when_text(when)}", _recut_name(name, when)
                    self.rows.append(self._row(key, self._take_recut, (name, when), which))
        self.grid.children = [row.view for row in self.rows]
        left = [int(key[4:]) for key in self.desk.unfinished if re.fullmatch(r"new\|\d{1,3}", key)]
        for _ in range(max([1, NEW_ROWS - len(self.desk.sheet.boards), *left])):
            self._add_row()

    def _add_spare(self):
        """Keep one empty row at the end."""
        if all(row.about for row in self.rows):
            self._add_row()

    def _add_row(self):
        spare, name = sum(row.key.startswith("new|") for row in self.rows) + 1, self._free_name()
        row = self._row(f"new|{spare}", self._take_board, None, name)
        if not row.texts()["name"]:
            row.put(name=name)
        self.rows.append(row)
        self.grid.children = [*self.grid.children, row.view]

    def _free_name(self):
        taken = {row.texts()["name"].casefold() for row in self.rows}
        taken |= {board.name.casefold() for board in self.desk.sheet.boards}
        return next(str(number) for number in range(1, 10_000) if str(number) not in taken)

    def _row(self, key, take, about, which):
        words = {field: ("", text(f"sheet.{field}_tip", board=which)) for field in FIELDS}
        row = Row(self.desk, key, words, take, self._below, about)
        for field in SKIPPED:
            row.boxes[field].add_class("fc-skip")  # Enter goes on to the weights
        return row

    def _below(self, row):
        """After the last box of a row comes the first section of the next one."""
        at = self.rows.index(row) + 1
        return self.rows[at].boxes["a_green"] if at < len(self.rows) else None

    def _show_board(self, row, questions):
        board = self.desk.sheet.board(row.about)
        first = board.weighings[0].weight_kg if board.weighings else None
        row.put(name=board.name, note=board.note, **self._cells(board.sections, first))
        told = [
            notice for notice in questions if notice.code in ABOUT_SECTIONS and notice.fields["board"] == board.name
        ]
        row.say(*(sentence(notice, self.desk.system) for notice in told), plain=_mean(board.mean_mc_pct))

    def _show_recut(self, row):
        name, when = row.about
        recut = next((recut for recut in self.desk.sheet.board(name).recuts if recut.when == when), None)
        row.boxes["name"].disabled = True
        row.put(name=text("sheet.recut_short", when=when_text(when)[5:10]))
        if recut is not None:
            row.put(note=recut.note, **self._cells(recut.sections, recut.after_kg))
        row.say(plain=_mean(recut.mean_mc_pct if recut else math.nan))

    def _show_choice(self, sheet):
        options = [(board.name, (board.name, None)) for board in sheet.boards]
        for name, when in sorted(self._made_of[2]):
            options.append((_recut_name(name, when), (name, when)))
        if list(self.choice.options) != options:
            self.choice.options = options
            self.choice.index = 0 if options else None

    def _cells(self, sections, weight_kg):
        sheet, cells = self.desk.sheet, {}
        for number, letter in enumerate("ab"):
            section = sections[number] if number < len(sections) else None
            dry = section.ovendry_kg if section else None
            cells[f"{letter}_green"] = shown_weight(section.green_kg, sheet.section_unit) if section else ""
            cells[f"{letter}_dry"] = "" if dry is None else shown_weight(dry, sheet.section_unit)
        cells["board_weight"] = "" if weight_kg is None else shown_weight(weight_kg, sheet.sample_unit)
        return cells


def _recut_name(board, when):
    return text("sheet.recut_name", board=board, when=when_text(when)[:10])


def _mean(mc):
    return f'<div class="fc-reading"><span>{"" if math.isnan(mc) else f"{mc:.1f} %"}</span></div>'
