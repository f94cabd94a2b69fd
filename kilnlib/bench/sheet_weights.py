"""Today's weights: one row a board for one round of weighing, with its date and a note of the day."""

import contextlib
import datetime
import html
import math
from dataclasses import replace
from functools import partial

import ipywidgets as widgets

from kilnlib.bench.screen import close_tree
from kilnlib.bench.sheet_boxes import Row
from kilnlib.bench.sheet_rounds import Round, moved, next_moment, rounds, today
from kilnlib.bench.sheet_typed import now, read_weight, read_when, shorter, shown_weight
from kilnlib.bench.words import sentence, text
from kilnlib.errors import BadInput
from kilnlib.physics.entries import when_text
from kilnlib.physics.samples import Note

NAME_LIMIT = 22


class Weights:
    """The grid. Public for tests: `rows`, `when_row`, `note_row`, `round`, `earlier`, `later`, `new`, `show`."""

    def __init__(self, desk):
        self.desk, self.round = desk, None
        self.rows, self.asked = {}, []  # asked: notices that stand beside a box
        self._all_rows = []  # those of `rows`, and some more while a sheet of fewer boards is open
        self._begin = False  # whether the first box is to be typed in next
        words = {"when": (text("sheet.when"), text("sheet.when_tip"))}
        self.when_row = Row(desk, "", words, self._take_when, lambda _: self._first_box())
        words = {"note": (text("sheet.day_note"), text("sheet.day_note_tip"))}
        self.note_row = Row(desk, "", words, self._take_note)
        steps = {"earlier": self.earlier, "later": self.later, "new": self.new}
        self.buttons = [desk.button(f"sheet.{key}", partial(desk.press, step)) for key, step in steps.items()]
        self.head, self.grid = widgets.HTML(), widgets.VBox()
        for look in ("fc-grid", "fc-down"):
            self.grid.add_class(look)
        parts = [self.when_row.view, widgets.HBox(self.buttons), self.head, self.grid, self.note_row.view]
        self.view = widgets.VBox(parts)
        self.view.add_class("fc-weights")

    def open(self):
        """Go to the round to type in of a sheet that was opened."""
        for row in (self.when_row, self.note_row, *self._all_rows):
            row.rekey(None)
        self.rows = {}
        self._turn(self._first_round())

    def close(self):
        """Leave nothing behind."""
        for row in (self.when_row, self.note_row, *self._all_rows):
            row.close()
        close_tree(self.view)

    # what a person does -------------------------------------------------------------------------------------------

    def earlier(self):
        """Show the round before this one."""
        before = [found for found in rounds(self.desk.sheet) if found.when < self.round.when]
        if before:
            self._turn(before[-1])

    def later(self):
        """Show the round after this one."""
        after = [found for found in rounds(self.desk.sheet) if found.when > self.round.when]
        if after:
            self._turn(after[0])

    def new(self):
        """Begin another round, after the last one."""
        self._turn(Round(next_moment(rounds(self.desk.sheet), now()), {}))
        self._begin = True

    def _turn(self, to):
        self.round = to
        self.when_row.rekey(f"when|{to.when}")
        self.desk.active = None

    def _first_round(self):
        """Today's round; first of all one with typing that was left unfinished."""
        found = rounds(self.desk.sheet)
        left = [key.rpartition("|")[2] for key in self.desk.unfinished if key.startswith("weight|")]
        with contextlib.suppress(ValueError):
            when = datetime.datetime.fromisoformat(max(left))
            return next((shown for shown in found if shown.when == when), Round(when, {}))
        return today(found, now())

    def _first_box(self):
        return next((row.boxes["weight"] for row in self.rows.values()), None)

    # taking -------------------------------------------------------------------------------------------------------

    def _take_when(self, row):
        """The date of the round shown: what was weighed on it moves along."""
        if not row.changed("when"):
            return
        self._look_up(rounds(self.desk.sheet))
        when = read_when(row.texts()["when"], self.round.when)
        there = next((found for found in rounds(self.desk.sheet) if found.when == when), None)
        if there and not self.round.times:
            self._turn(there)
            return
        changed = moved(self.desk.sheet, self.round, when)
        self.round = Round(when, dict.fromkeys(self.round.times, when))
        row.rename(f"when|{when}")
        for name, other in self.rows.items():
            other.rename(self._key(name))
        self.desk.change(changed, "when")

    def _take_note(self, row):
        typed, sheet, old = row.texts()["note"], self.desk.sheet, self._note()
        notes = [note for note in sheet.notes if note is not old]
        if typed:
            notes.append(Note(self.round.when, typed))
        self.desk.change(replace(sheet, notes=tuple(notes)), row.key)

    def _take_weight(self, row):
        """A new weight, a correction, or an emptied box: that weight goes."""
        if not row.changed("weight"):
            return
        self._look_up(rounds(self.desk.sheet))
        board, typed = self.desk.sheet.board(row.about), row.texts()["weight"]
        when = self.round.times.get(board.name, self.round.when)
        if board.weighings and when < board.weighings[0].when:
            raise BadInput("before_first", board=board.name, first=when_text(board.weighings[0].when))
        if typed:
            board = board.weigh(when, read_weight(typed, self.desk.sheet.sample_unit))
        elif board.name in self.round.times:
            if when == board.weighings[0].when or any(recut.when == when for recut in board.recuts):
                raise BadInput("weight_needed", board=board.name)
            board = board.without(when)
        self.desk.change(self.desk.sheet.with_board(board), row.key)

    # showing ------------------------------------------------------------------------------------------------------

    def show(self, found):
        """Bring the grid up to the sheet; `found` is what it says on this day."""
        sheet = self.desk.sheet
        there = rounds(sheet)
        self._look_up(there)
        self.when_row.put(when=when_text(self.round.when))
        hint = "" if self.round.times else html.escape(text("sheet.new_round" if there else "sheet.first_round"))
        self.when_row.say(plain=f'<div class="fc-hint">{hint}</div>')
        self.buttons[0].disabled = not any(shown.when < self.round.when for shown in there)
        self.buttons[1].disabled = not any(shown.when > self.round.when for shown in there)
        note = self._note()
        self.note_row.rekey(f"note|{when_text(self.round.when)}")
        self.note_row.put(note=note.text if note else "")
        self.note_row.say()
        self._match_rows(sheet)
        heads = (text("sheet.head_round", unit=sheet.sample_unit), text("sheet.head_mc"), text("sheet.head_points"))
        self.head.value = f'<div class="fc-head">{"".join(f"<span>{html.escape(head)}</span>" for head in heads)}</div>'
        self.asked = self._beside(found.questions)
        for board in sheet.boards:
            with self.rows[board.name].boxes["weight"].hold_sync():  # one message a box
                self._show_board(board, found.limit)
        if self._begin and self.rows:  # only now that the boxes are empty: what is typed from here on stays
            self._first_box().focus()
        self._begin = False

    def _beside(self, questions):
        """Notices that stand beside a box of this round."""
        times = {name: when_text(when) for name, when in self.round.times.items()}
        told = [notice for notice in questions if "when" in notice.fields]
        return [notice for notice in told if times.get(notice.fields["board"]) == notice.fields["when"]]

    def _look_up(self, there):
        """The round shown, with all that was weighed on it by now."""
        self.round = next((shown for shown in there if shown.when == self.round.when), Round(self.round.when, {}))

    def _match_rows(self, sheet):
        names = [board.name for board in sheet.boards]
        if list(self.rows) == names:
            return
        while len(self._all_rows) < len(names):
            self._all_rows.append(Row(self.desk, None, {"weight": ("", "")}, self._take_weight, self._below))
        self.rows = dict(zip(names, self._all_rows, strict=False))
        for name, row in self.rows.items():
            row.about, box = name, row.boxes["weight"]
            box.description, box.tooltip = shorter(name, NAME_LIMIT), text("sheet.weight_tip", board=name)
            row.suggest(None)
        self.grid.children = [row.view for row in self.rows.values()]

    def _below(self, row):
        """After the last board comes the button for a new round."""
        rows = list(self.rows.values())
        at = rows.index(row) + 1
        return rows[at].boxes["weight"] if at < len(rows) else self.buttons[-1]

    def _show_board(self, board, limit):
        row, unit = self.rows[board.name], self.desk.sheet.sample_unit
        row.rekey(self._key(board.name))
        when = self.round.times.get(board.name)
        number = sum(weighing.when < (when or self.round.when) for weighing in board.weighings)
        last = text("sheet.last", weight=shown_weight(board.weighings[number - 1].weight_kg, unit)) if number else ""
        row.boxes["weight"].placeholder = last
        if when is None:
            row.put(weight="")
            row.say(plain=_reading(math.nan, math.nan, False))
            self._offer_recut(board.name, False)
            return
        row.put(weight=shown_weight(board.weighings[number].weight_kg, unit))
        points = board.points_per_day(number - 1, number) if number else math.nan
        own = [notice for notice in self.asked if notice.fields["board"] == board.name]
        told = [sentence(notice, self.desk.system) for notice in own[:1]]  # one is enough to weigh again
        if points > limit and not told:
            told = [text("sheet.over", points=f"{points:.1f}", limit=f"{limit:g}", last=last)]
        row.say(*told, plain=_reading(board.mcs_pct[number], points, points > limit))
        self._offer_recut(board.name, any(notice.code == "ask_below_ovendry" for notice in own))

    def _offer_recut(self, name, wanted):
        row = self.rows[name]
        if wanted != (row.offer is not None):
            go = partial(self.desk.recut, name)
            row.suggest(self.desk.button("sheet.recut_offer", go, board=name) if wanted else None)

    def _key(self, name):
        return f"weight|{name}|{when_text(self.round.when)}"

    def _note(self):
        return next((note for note in self.desk.sheet.notes if note.when == self.round.when), None)


def _reading(mc, points, over):
    """Moisture content and points a day of a row, in columns; a mark where they are over the limit."""
    shown_mc = "" if math.isnan(mc) else f"{mc:.1f}"
    shown = "" if math.isnan(points) else f"{points:.1f}{'&nbsp;▲' if over else ''}"
    return f'<div class="fc-reading"><span>{shown_mc}</span><span>{shown}</span></div>'
