"""This morning: bulbs and bucket typed in, what to do, what the boards should weigh, when the charge is ready."""

import datetime
import html
from dataclasses import replace

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.desk.setpoint import parsing
from kilnlib.bench.desk.setpoint.wording import how
from kilnlib.bench.desk.sheet.boxes import Row
from kilnlib.bench.desk.sheet.files import last_of_wood
from kilnlib.bench.desk.sheet.findings import sound
from kilnlib.bench.desk.sheet.parsing import DECIMALS, shown_weight
from kilnlib.bench.kit.screen import LOCK, Pause, close_tree, line
from kilnlib.errors import BadInput, KilnError, sentence, worded
from kilnlib.physics import air
from kilnlib.physics.daily import own_morning
from kilnlib.physics.daily.review import degrade_text, review, with_degrade
from kilnlib.physics.samples import Air, sheet_until, when_text
from kilnlib.store.csv_cells import shortest
from kilnlib.store.kiln import load_with_problem
from kilnlib.typed import read_quantity
from kilnlib.words import text

WORK_AFTER_S = 0.6  # the engine takes a second: only once typing has paused
LONG_NUMBER = 7
BOXES = {"bulbs": ("dry", "wet"), "leaving": ("leaving_dry", "leaving_wet"), "drained": ("bucket",)}
FIELDS = {"dry": "dry_bulb_c", "wet": "wet_bulb_c", "leaving_dry": "leaving_dry_bulb_c",
          "leaving_wet": "leaving_wet_bulb_c", "bucket": "bucket_m3"}  # fmt: skip
ENDED = ("stop", "equalize")
WORDS_INSTEAD = ("stop", "weigh")  # actions on which nothing is dialed


class Morning:
    """The page. Public for tests: `rows`, `answer`, `boards`, `found`."""

    def __init__(self, desk):
        self.desk, self.result = desk, None
        self._for, self._pause = None, Pause()
        takes = {"bulbs": self._take_bulbs, "leaving": self._take_bulbs, "drained": self._take_bucket}
        self.rows = {name: self._row(name, takes[name]) for name in BOXES}
        words = {"degraded": (text("own_morning.degraded"), text("own_morning.degraded_tip"))}
        self.rows["degrade"] = Row(desk, None, words, self._take_degrade)
        self.heads = {name: widgets.HTML() for name in self.rows}
        self.of_day, self.answer, self.boards, self.review = (widgets.HTML() for _ in range(4))
        typed = [part for name in BOXES for part in (self.heads[name], self.rows[name].view)]
        self.grading = widgets.VBox([self.heads["degrade"], self.rows["degrade"].view])
        asked = widgets.VBox([self.of_day, *typed, self.grading, widgets.HTML(line(text("own_morning.to_check")))])
        for look in ("fc-weights", "fc-down"):
            asked.add_class(look)
        answered = widgets.VBox([self.answer, self.boards, self.review])
        answered.add_class("fc-morning")
        self.view = widgets.HBox([asked, answered])

    def open(self):
        """Begin with a sheet that was opened."""
        self._pause.cancel()
        self.result = self._for = None
        for row in self.rows.values():
            row.rekey(None)

    def close(self):
        """Leave nothing behind."""
        self._pause.cancel()
        for row in self.rows.values():
            row.close()
        close_tree(self.view)

    # taking -------------------------------------------------------------------------------------------------------

    def _take_bulbs(self, row):
        """Two bulbs of the entering or of the leaving air; one alone waits for the other."""
        boxes, typed, reading = BOXES[row.about], row.texts(), self._reading()
        if not any(row.changed(box) for box in boxes):
            return True
        if any(typed.values()):
            if not all(typed.values()):
                return False
            self._check_there(row, reading)
            values = self._read(*typed.values())
            kept = {FIELDS[box]: getattr(reading, FIELDS[box]) for box in boxes if reading and not row.changed(box)}
            fields = dict(zip((FIELDS[box] for box in boxes), values, strict=True))
            self._change(row, fields | {name: value for name, value in kept.items() if value is not None})
        elif row.about == "bulbs":
            self._forget(row, reading)
        elif reading:
            self._change(row, dict.fromkeys(FIELDS[box] for box in boxes))
        return True

    def _take_bucket(self, row):
        typed, reading = row.texts()["bucket"], self._reading()
        if not row.changed("bucket"):
            return
        if typed:
            self._check_there(row, reading)
            value, label = read_quantity(typed, "volume", example="12")
            known = units.units_for("volume")
            self._change(row, {"bucket_m3": known[label or units.unit_of("volume", self._system).label].to_si(value)})
        elif reading:
            self._change(row, {"bucket_m3": None})

    def _take_degrade(self, row):
        if row.changed("degraded"):
            self.desk.change(with_degrade(self.desk.sheet, row.texts()["degraded"]), row.key)

    def _read(self, dry, wet):
        """Both bulbs of one side [°C], read as the setpoint check reads them."""
        kiln, _ = load_with_problem()
        pressure = air.pressure_pa(kiln.altitude_m)
        found = parsing.read({"dry": dry, "wet": wet}, self._system, pressure, kiln.driest_rh_pct)
        for error in found.refused.values():
            raise error
        return found.values["dry"], found.values["wet_bulb_c"]

    def _check_there(self, row, reading):
        """Refuse what belongs to a reading of the entering air while there is none; it waits for it."""
        if row.about != "bulbs" and reading is None:
            raise BadInput("bulbs_first")

    def _change(self, row, fields):
        """The reading of this round with other values, in its place of time."""
        sheet, old = self.desk.sheet, self._reading()
        new = replace(old, **fields) if old else Air(self._when, **fields)
        others = [reading for reading in sheet.air if reading is not old]
        log = tuple(sorted((*others, new), key=lambda reading: reading.when))
        self.desk.change(replace(sheet, air=log), row.key)
        self.desk.waiting += [other for other in self.rows.values() if other is not row and other.refusal is not None]

    def _forget(self, row, reading):
        """Both boxes of the entering air were emptied: the reading goes, unless something else hangs on it."""
        if reading is None:
            return
        if any(getattr(reading, FIELDS[box]) is not None for name in ("leaving", "drained") for box in BOXES[name]):
            raise BadInput("bulbs_needed")
        log = tuple(other for other in self.desk.sheet.air if other is not reading)
        self.desk.change(replace(self.desk.sheet, air=log), row.key)

    # showing ------------------------------------------------------------------------------------------------------

    def show(self):
        """Bring the boxes up to the sheet, and the answer once typing has paused."""
        reading, system = self._reading(), self._system
        self.of_day.value = line(text("own_morning.of_day", when=when_text(self._when)))
        self._show_degrade()
        for name in BOXES:
            row = self.rows[name]
            unit = units.unit_of("temperature", system).label
            self.heads[name].value = f"<b>{html.escape(text(f'own_morning.{name}', unit=unit))}</b>"
            row.rekey(f"{name}|{when_text(self._when)}")
            row.put(**{box: self._shown(getattr(reading, FIELDS[box], None), box) for box in BOXES[name]})
            texts = row.texts().values()
            half = row.refusal is None and any(texts) and not all(texts)
            row.say(*[text("own_morning.both")] * half)
        volume = units.unit_of("volume", system).label
        self.rows["drained"].boxes["bucket"].description = text("own_morning.bucket", unit=volume)
        kiln, _ = load_with_problem()
        wanted = (self.desk.sheet, self._when.date(), kiln)
        if wanted != self._for:
            self._for = wanted
            self.result, self.boards.value, self.review.value = None, "", ""
            self.answer.value = line(text("own_morning.working"))
            self._pause.wait(self._work, WORK_AFTER_S)

    def _work(self):
        """Have the engine say what this morning is about."""
        with LOCK, self.desk.guard():
            sheet, date, kiln = self._for
            sheet, _ = sound(sheet_until(sheet, datetime.datetime.combine(date, datetime.time.max)))
            try:
                self.result = own_morning(sheet, kiln)
            except KilnError as error:
                self.answer.value = line(sentence(error, self._system))
                return
            self.answer.value = _answer(self.result, self._system)
            self.boards.value = _boards(self.result, sheet) + _ready(self.result, self._system)
            self._show_degrade()
            if self.result.daily.action in ENDED or degrade_text(sheet):
                before = last_of_wood(sheet, self.desk.open_sheet.path)
                self.review.value = _review(review(sheet), before and review(before))

    def _show_degrade(self):
        """The box for the degrade, once the charge ends."""
        row, written = self.rows["degrade"], degrade_text(self.desk.sheet)
        self.heads["degrade"].value = f"<b>{html.escape(text('own_morning.degrade'))}</b>"
        row.rekey("degrade")
        row.put(degraded=written)
        row.say()
        ended = self.result is not None and self.result.daily.action in ENDED
        self.grading.layout.display = "" if ended or written or row.refusal else "none"

    @property
    def _system(self):
        return "metric" if self.desk.sheet.temperature_unit == "C" else "trade"

    @property
    def _when(self):
        return self.desk.weights.round.when

    def _reading(self):
        """The bulbs of the round shown: those of its time, or else the last of its day."""
        log = self.desk.sheet.air
        of_day = [reading for reading in log if reading.when.date() == self._when.date()]
        return next((reading for reading in of_day if reading.when == self._when), of_day[-1] if of_day else None)

    def _shown(self, value, box):
        """A value as text: as short as it was typed, or to a tenth."""
        if value is None:
            return ""
        unit = units.unit_of("volume" if box == "bucket" else "temperature", self._system)
        exact = shortest(value, unit)
        return exact if exact and len(exact) <= LONG_NUMBER else f"{unit.from_si(value):.1f}"

    def _row(self, name, take):
        words = {box: (text(f"own_morning.{box}", unit=""), text(f"own_morning.{box}_tip")) for box in BOXES[name]}
        return Row(self.desk, None, words, take, self._below, name)

    def _below(self, row):
        """The first box of the next row, or None after the bucket."""
        names = list(BOXES)
        at = names.index(row.about) + 1
        return next(iter(self.rows[names[at]].boxes.values())) if at < len(names) else None


def _answer(found, system):
    """What to do, the reasons that weigh most, and what does not fit."""
    action = found.daily.action
    to_do = (
        text(f"own_morning.do.{action}") if action in WORDS_INSTEAD else worded("setpoint.change", found.change, system)
    )
    reasons = "".join(
        f"<li>{html.escape(worded('daily.reason', reason, system))} <i>{html.escape(_source(source))}</i></li>"
        for reason, source in found.reasons
    )
    parts = [
        f'<p class="fc-action">{html.escape(text(f"own_morning.action.{action}"))}</p>',
        f"<p>{html.escape(to_do)}</p>",
        f"<ol>{reasons}</ol>",
    ]
    if found.misfits:
        off = "".join(f"<li>{html.escape(worded('own_morning.misfit', one, system))}</li>" for one in found.misfits)
        parts.append(f"<b>{html.escape(text('own_morning.misfits'))}</b><ul>{off}</ul>")
    return f'<div class="fc-decided" role="status" aria-live="polite">{"".join(parts)}</div>'


def _source(source):
    if not source.source:
        return text("own_morning.practice")
    return text("own_morning.said_by", source=source.source, how=how(source.how))


def _boards(found, sheet):
    """A table of what each board was to weigh, weighs, and should weigh tomorrow."""
    if not found.tomorrow and not found.missed:
        return ""
    unit = sheet.sample_unit
    missed = {miss.expected.board: miss for miss in found.missed}
    ahead = {one.board: one for one in found.tomorrow}
    keys = ("board", "told", "weighs", "off", "tomorrow", "error")
    head = "".join(f"<th>{html.escape(text(f'own_morning.head_{key}'))}</th>" for key in keys)
    rows = []
    for board in sheet.boards:
        if board.name not in missed and board.name not in ahead:
            continue
        miss, one = missed.get(board.name), ahead.get(board.name)
        off = "" if miss is None else f"{'+' if miss.off_kg > 0 else ''}{_weight(miss.off_kg, unit)}"
        cells = (
            board.name,
            _weight(miss.expected.weight_kg, unit) if miss else "",
            shown_weight(board.weighings[-1].weight_kg, unit),
            text("own_morning.beyond", off=off) if miss and miss.outside else off,
            _weight(one.weight_kg, unit) if one else "",
            f"± {_weight(one.error_kg, unit)}" if one else "",
        )
        rows.append("<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in cells) + "</tr>")
    note = html.escape(text("own_morning.boards", unit=unit))
    return (
        f'<table class="fc-foretold"><thead><tr>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table><p>{note}</p>'
    )


def _weight(kg, unit):
    """A weight to the decimals of a scale in this unit."""
    return f"{units.units_for('weight')[unit].from_si(kg):.{DECIMALS[unit]}f}"


def _review(now, before):
    """The charge board by board, its spread and its degrade, beside the one of the same wood before it."""
    said = [text("own_morning.review"), *_of_charge(now)]
    said += [text("own_morning.review_before"), *_of_charge(before)] if before else [text("own_morning.review_first")]
    return '<div class="fc-review">' + "".join(f"<p>{html.escape(words)}</p>" for words in said) + "</div>"


def _of_charge(one):
    average, spread = f"{one.average_pct:.1f} %", f"{one.spread_points:.1f}"
    shown = {"charge": one.charge, "days": f"{one.days:.0f}", "average": average, "spread": spread}
    yield text("own_morning.review_boards", **shown)
    boards = [
        text("own_morning.review_board", board=name, first=f"{first:.0f} %", last=f"{last:.1f} %")
        for name, first, last in one.boards
    ]
    yield "; ".join(boards) + "."
    causes = [text("own_morning.review_cause", cause=cause, count=count) for cause, count in one.degrade.items()]
    yield (
        text("own_morning.review_degrade", causes=", ".join(causes))
        if causes
        else text("own_morning.review_no_degrade")
    )


def _ready(found, system):
    """The ready-on day with its range, and what was said the day before."""
    ready, before = found.ready, found.ready_before
    if ready is None:
        return ""
    target = units.show(ready.target_pct, "percent", system, 0)
    if ready.late == found.daily.when:
        words = [text("own_morning.ready_now", target=target)]
    else:
        days = {name: _date(getattr(ready, name)) for name in ("likely", "early", "late")}
        words = [text("own_morning.ready", target=target, **days)]
        if before is not None:
            words.append(text("own_morning.ready_before", likely=_date(before.likely)))
        words.append(text("own_morning.ready_more"))
    return f'<div class="fc-ready">{html.escape(" ".join(words))}</div>'


def _date(when):
    names = text("own_morning.day_names").split()
    return text("own_morning.date", day=names[when.weekday()], date=f"{when:%Y-%m-%d}")
