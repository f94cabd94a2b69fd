"""Today's weights: one row a board for one round of weighing, with its date and a note of the day."""

import contextlib
import datetime
import html
import math
from dataclasses import replace
from functools import partial

import ipywidgets as widgets

from kilnlib.bench.desk.sheet.boxes import Row
from kilnlib.bench.desk.sheet.findings import cannot
from kilnlib.bench.desk.sheet.parsing import (
    has_hour,
    now,
    read_weight,
    read_when,
    shorter,
    shown_mc,
    shown_points,
    shown_weight,
)
from kilnlib.bench.desk.sheet.rounds import DAY, Round, changed_round, moved, next_moment, rounds, today, with_hour
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import close_tree
from kilnlib.errors import BadInput, Notice, worded
from kilnlib.physics.samples import Note, check_moment, when_text
from kilnlib.words import text

NAME_LIMIT = 22
OF_A_ROUND = ("weight|", "bulbs|", "leaving|", "drained|")  # unfinished typing that belongs to a round
RECUT_CODES = ("ask_below_ovendry", "ask_recut")  # questions that a recut answers


class Weights:
    """The grid. Public for tests: `rows`, `when_row`, `note_row`, `round`, `earlier`, `later`, `new`, `turn_back`."""

    def __init__(self, desk):
        self.desk, self.round = desk, None
        self.rows, self.asked = {}, []  # asked: notices that stand beside a box
        self._all_rows = []  # those of `rows`, and some more while a sheet of fewer boards is open
        self._begin = False  # whether the first box is to be typed in next
        self._turned = 0  # how often another round was shown
        words = {"when": (text("sheet.when"), text("sheet.when_tip"))}
        self.when_row = Row(desk, "", words, self._take_when, lambda _: self._first_box(), tidies=True)
        words = {"note": (text("sheet.day_note"), text("sheet.day_note_tip"))}
        self.note_row = Row(desk, "", words, self._take_note)
        self.note_row.boxes["note"].add_class("fc-skip")  # Enter goes on to a new round
        steps = {"earlier": self.earlier, "later": self.later, "new": self.new}
        self.buttons = [button(f"sheet.{key}", partial(desk.press, step)) for key, step in steps.items()]
        self.head, self.grid = widgets.HTML(), widgets.VBox()
        for look in ("fc-grid", "fc-begin"):
            self.grid.add_class(look)
        parts = [self.when_row.view, widgets.HBox(self.buttons), self.head, self.grid, self.note_row.view]
        self.view = widgets.VBox(parts)
        for look in ("fc-weights", "fc-down"):
            self.view.add_class(look)

    def open(self):
        """Go to the round to type in of a sheet that was opened."""
        self.note_row.rekey(None)
        self.rows, self.round = {}, None
        self._turn(self._first_round())
        self._begin = True

    def close(self):
        """Leave nothing behind."""
        for row in (self.when_row, self.note_row, *self._all_rows):
            row.close()
        close_tree(self.view)

    # what a person does -------------------------------------------------------------------------------------------

    def earlier(self):
        """Show the round before this one."""
        before = [found for found in self._rounds() if found.when < self.round.when]
        if before:
            self._leave_for(before[-1])

    def later(self):
        """Show the round after this one."""
        after = [found for found in self._rounds() if found.when > self.round.when]
        if after:
            self._leave_for(after[0])

    def new(self):
        """Begin another round, after the last one."""
        self._leave_for(Round(next_moment(self._rounds(), now()), {}))
        self._begin = True

    def turn_back(self, before, undone):
        """Show the round that an undo changed."""
        self._turn(changed_round(before, self.desk.sheet, undone, self.round.when))

    def _leave_for(self, to):
        """Another round, unless weights of this one wait for its date; a date that cannot be read is given up."""
        if self.when_row.refusal is not None:
            if any(row.refusal is not None for row in self.rows.values()):
                raise BadInput("weights_wait")
            self.desk.unfinished.keep(self.when_row.key, {})
        self._turn(to)

    def _turn(self, to):
        self.round = to
        self._turned += 1
        self._clock = not to.times  # whether its hour is a proposal
        for row in (self.when_row, *self._all_rows):
            row.rekey(None)
        self.when_row.rekey(f"when|{to.when}")
        self.desk.active = None

    def _first_round(self):
        """Today's round; first of all one with typing that was left unfinished."""
        found = self._rounds()
        left = [key.rpartition("|")[2] for key in self.desk.unfinished if key.startswith(OF_A_ROUND)]
        with contextlib.suppress(ValueError):
            when = datetime.datetime.fromisoformat(max(left))
            check_moment(when)
            return next((shown for shown in found if shown.when == when), Round(when, {}))
        return today(found, now())

    def _first_box(self):
        return next((row.boxes["weight"] for row in self.rows.values()), None)

    # taking -------------------------------------------------------------------------------------------------------

    def _take_when(self, row):
        """The date of the round shown: what was weighed on it moves along, and so do weights that wait."""
        typed, own = row.texts()["when"], self.round.times
        if typed and row.changed("when"):
            self._look_up()
            when = self._understood(typed)
            changed = moved(self.desk.sheet, self.round, when)
            self.round = Round(when, dict.fromkeys(self.round.times, when))
            self._look_up(changed)
            row.rename(f"when|{when}")
            for name in self.rows:
                self._stand_for(name)
            self.desk.change(changed, f"when|{self._turned}")
        for name, other in self.rows.items():
            if other.refusal is None:
                continue
            if name in own or name not in self.round.times:
                self.desk.waiting.append(other)
            else:  # a round that was there already: its weight is not written over unasked
                other.refusal = Notice("unfinished")

    def _stand_for(self, name):
        """Have a row stand for its board on the round shown, together with what waits in it."""
        row = self.rows[name]
        (row.rekey if row.refusal is None else row.rename)(f"weight|{name}|{when_text(self.round.when)}")

    def _understood(self, typed):
        """The time that a date means; without an hour, where none was typed yet, it takes that of the round before."""
        when = read_when(typed, self.round.when)
        self._clock = self._clock and not has_hour(typed)
        return with_hour(self._rounds(), self.round, when) if self._clock else when

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
        if self.when_row.refusal is not None:
            raise BadInput("date_first")
        self._look_up()
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
        there = self._look_up()
        self.when_row.put(when=when_text(self.round.when))
        hint = "" if self.when_row.refusal else f'<div class="fc-hint">{html.escape(self._which(there))}</div>'
        self.when_row.say(plain=hint)
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
                if board.name in found.broken:
                    self._stand_for(board.name)
                    self.rows[board.name].say(cannot(board.name, found.broken[board.name], self.desk.system))
                else:
                    self._show_board(board, found.limit)
        if self._begin and self.rows:  # only now that the boxes are empty: what is typed from here on stays
            self._first_box().focus()
        self._begin = False

    def _which(self, there):
        """Which round this is, and when it was, as it was understood."""
        when = when_text(self.round.when)
        if self.round.times:
            at = there.index(self.round)
            if at == 0:
                return text("sheet.round_one", count=len(there), when=when)
            days = (self.round.when - there[at - 1].when) / DAY
            return text("sheet.round", number=at + 1, count=len(there), when=when, days=f"{days:.1f}")
        return text("sheet.new_round" if there else "sheet.first_round", when=when)

    def _beside(self, questions):
        """Notices that stand beside a box of this round."""
        times = {name: when_text(when) for name, when in self.round.times.items()}
        of_weights = [notice for notice in questions if "when" in notice.fields]
        return [notice for notice in of_weights if times.get(notice.fields["board"]) == notice.fields["when"]]

    def _rounds(self):
        return rounds(self.desk.sheet, self.round and self.round.when)

    def _look_up(self, sheet=None):
        """Bring the round shown up to all that was weighed on it by now; returns the rounds there are."""
        when = self.round.when
        there = rounds(sheet or self.desk.sheet, when)
        self.round = next((shown for shown in there if shown.when == when), Round(when, {}))
        return there

    def _match_rows(self, sheet):
        names = [board.name for board in sheet.boards]
        if list(self.rows) == names:
            return
        while len(self._all_rows) < len(names):
            self._all_rows.append(Row(self.desk, None, {"weight": ("", "")}, self._take_weight, self._below))
        before, self.rows = self.rows, dict(zip(names, self._all_rows, strict=False))
        for name, row in self.rows.items():
            if row.about != name and (row.about in names or name in before or len(before) != len(names)):
                row.rekey(None)  # another board's from now on; of one that was renamed, what waits stays
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
        self._stand_for(board.name)
        when = self.round.times.get(board.name)
        number = sum(weighing.when < (when or self.round.when) for weighing in board.weighings)
        last = text("sheet.last", weight=shown_weight(board.weighings[number - 1].weight_kg, unit)) if number else ""
        row.boxes["weight"].placeholder = last
        if when is None:
            row.put(weight="")
            row.say(plain=_reading(math.nan, math.nan, math.nan))
            self._offer_recut(board.name, False)
            return
        row.put(weight=shown_weight(board.weighings[number].weight_kg, unit))
        points = board.points_per_day_believed(number)
        own = [notice for notice in self.asked if notice.fields["board"] == board.name]
        asked = [worded("sheet.beside", notice, self.desk.system) for notice in own]
        row.say(*asked, plain=_reading(board.mcs_pct[number], points, limit))
        self._offer_recut(board.name, any(notice.code in RECUT_CODES for notice in own))

    def _offer_recut(self, name, wanted):
        row = self.rows[name]
        if wanted != (row.offer is not None):
            go = partial(self.desk.recut, name)
            row.suggest(button("sheet.recut_offer", go, board=name) if wanted else None)

    def _note(self):
        return next((note for note in self.desk.sheet.notes if note.when == self.round.when), None)


def _reading(mc, points, limit):
    """Moisture content and points a day of a row, in columns."""
    shown = shown_mc(mc), html.escape(shown_points(points, limit))
    return f'<div class="fc-reading"><span>{shown[0]}</span><span>{shown[1]}</span></div>'
