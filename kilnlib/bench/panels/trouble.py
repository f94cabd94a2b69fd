"""Find the trouble: ten days of a log; mark the first wrong sign, choose what to look at, name cause and action."""

import html
from dataclasses import dataclass, replace

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.drawings.trouble import drawing, reading
from kilnlib.bench.kit.parts import button, show, unit_switch
from kilnlib.bench.kit.screen import PredictFirst, by_hand, line
from kilnlib.bench.kit.verdict import CSS as QUIZ_CSS
from kilnlib.bench.kit.verdict import verdict_html
from kilnlib.cases import trouble as case
from kilnlib.errors import BadInput
from kilnlib.words import text

CSS = """<style>
.fc-trouble .fc-controls {width: 290px; flex: 0 0 290px; padding-right: 8px;} .fc-trouble .fc-stage {min-height: 0;}
.fc-trouble .widget-dropdown {width: 100%; margin: 2px 0;} .fc-trouble .widget-dropdown select {min-width: 0;}
.fc-trouble .fc-taken {align-items: center; justify-content: space-between; overflow: hidden;}
.fc-trouble .fc-taken .widget-html {flex: 1 1 0; min-width: 0;} .fc-working {height: 346px;}
.fc-trouble .fc-controls .widget-dropdown > .widget-label {width: 52px; min-width: 52px; display: block;}
.fc-trouble .fc-controls > .widget-dropdown:first-child > .widget-label {line-height: 1.2;}
.fc-trouble .widget-label {width: 52px; min-width: 52px;} .fc-trouble .widget-html {margin: 1px 0;}
.fc-trouble .fc-controls .jupyter-button {flex: 0 0 auto; width: auto; min-width: 0; padding: 0 8px;}
.fc-trouble .fc-looks {max-height: 57px; overflow-y: auto; font-size: 14px; margin: 0; padding-left: 18px;}
.fc-trouble .fc-mark, .fc-trouble .fc-mark .widget-toggle-buttons {margin: 0; width: 640px;}
.fc-trouble .fc-mark .widget-label {display: none;}
.fc-trouble .fc-mark button {width: 50.4px; min-width: 0; margin: 0 1px; padding: 0; font-size: 15px;}
.fc-trouble .fc-mark button:first-of-type {width: 108px; margin: 0 2px;}
.fc-trouble .fc-feedback {max-width: none; font-size: 14px; margin: 2px 0;} .fc-trouble .fc-feedback p {margin: 0;}
.fc-trouble .fc-controls .widget-text {width: 144px; flex: 0 0 144px;}
.fc-trouble .fc-controls .widget-text .widget-label {width: 84px; min-width: 84px;}
</style>"""
OPEN, NONE = -1, 0  # the day that is marked: not yet; "nothing is wrong"
DIAL = "turn_the_dial"  # what never mends anything
RIGHT_DAYS = ("right", "near", "quiet")
ROW = {"wet_over_dry": "wet", "wet_bulb": "wet", "dry_bulb": "dry", "drop": "out", "some_boards": "boards"}
ANSWERS_PREDICTION = (
    *case.IN_WOOD,
    *case.IN_MOVED_AIR,
)  # faults that hardly change a reading of the machine: the prediction asks about them


@dataclass(frozen=True)
class State:
    """The log, and what was done with it: the day that is marked, the looks in their order, cause and action; and a
    wrong day that was marked before."""

    log: str = case.QUIET[0].name
    day: int = OPEN
    looked: str = ""  # codes with spaces between, so that it can be kept
    cause: str = ""
    mend: str = ""
    before: int = OPEN

    @property
    def looks(self):
        """Codes of what was looked at."""
        return tuple(self.looked.split())


@dataclass(frozen=True)
class Result:
    """The log and, as far as the learner is: verdict on the marked day, what each look showed, verdict on the cause."""

    state: State
    log: case.Log
    day: str  # a verdict of `cases.trouble`, empty before
    hint: str  # a verdict on a first wrong mark, until the second one
    observations: tuple  # of each look
    named: str  # "right", "action", "dial", a code of `overlooked`, empty before
    about: str  # the look that a code of `overlooked` is about

    @property
    def minutes(self):
        """What the looks took, with the ways in."""
        return case.minutes(self.state.looks)

    @property
    def minutes_of_use(self):
        """What those looks took that can find this cause or rule out one like it."""
        return case.minutes(self.state.looks, case.of_use(self.state.log, self.state.looks))

    @property
    def shows_cause(self):
        """Whether a look shows the cause itself."""
        return bool(set(case.finds(self.log.trouble.fault)) & set(self.state.looks))


class Panel(PredictFirst):
    """One log after the other.

    Public for tests: `open`, `another`, `mark`, `look`, `name_it`, `reset`, `switch`, `state`, `result`, `last_error`.
    """

    name = "trouble"

    def __init__(self, predict=None):
        super().__init__()
        self.opening = self.state = self.requested = State()
        self.result, self.prediction, self._waiting = None, None, False
        self._build()
        with self.guard():
            self._go(self.opening)
        if predict and self.result is not None:
            self._ask_first(predict)

    # state, compute, draw, say

    @staticmethod
    def compute(state):
        """The log of a state, and the verdicts on what was done with it so far."""
        log = case.log(state.log)
        day = "" if state.day == OPEN else case.day_verdict(state.log, state.day or None)
        waits = state.day == OPEN and state.before != OPEN
        hint = case.day_verdict(state.log, state.before or None) if waits else ""
        observations = tuple(case.look(state.log, test) for test in state.looks)
        named, about = _named(state) if state.cause else ("", "")
        return Result(state, log, day, hint, observations, named, about)

    def say(self, result, system):
        """The log, day by day."""
        days = " ".join(self._day(*both, system) for both in zip(result.log.mornings, result.log.points, strict=True))
        return self.word("say", charge=self._charge(result, system), days=days)

    def _day(self, morning, points, system):
        return self.word(
            "say_day",
            day=morning.day - case.FIRST + 1,
            dry=units.show(morning.dry_bulb_c, "temperature", system),
            wet=units.show(morning.wet_bulb_c, "temperature", system),
            out=units.show(morning.dry_bulb_leaving_c, "temperature", system),
            bucket=_water(morning.bucket_kg, system),
            wood=_water(morning.load_loss_kg, system),
            compressor=f"{morning.compressor_hours:.0f}",
            strips=f"{morning.strips_hours:.0f}",
            vent=f"{morning.vent_hours:.0f}",
            kwh=f"{morning.electricity_kwh:.0f}",
            points=", ".join(f"{one:.1f}" for one in points),
        )

    def _charge(self, result, system):
        scene = result.log.scene
        bulbs = {name: units.show(getattr(scene, f"{name}_bulb_c"), "temperature", system) for name in ("dry", "wet")}
        return self.word(f"charge.{result.log.trouble.scene}", **bulbs)

    # what a person does

    def open(self, name):
        """Another log, from its start."""
        with self.guard():
            self._go(State(name))

    def another(self, number):
        """The new log of a number."""
        with self.guard():
            typed = str(number).strip()
            if not typed.isdigit() or not case.NEW_FROM <= int(typed) <= case.NEW_TO:
                raise BadInput("log_number", low=case.NEW_FROM, high=case.NEW_TO)
            self._go(State(f"new-{int(typed)}"))
            with self.quietly():
                self.number.value = str(min(int(typed) + 1, case.NEW_TO))

    def mark(self, day):
        """Mark a day, 1 to 10, or 0 for a log in which nothing is wrong; after a wrong mark there is one more."""
        with self.guard():
            if self.state.day == OPEN:
                right = case.day_verdict(self.state.log, day or None) in RIGHT_DAYS
                first = self.state.before in (OPEN, day)
                self._go(replace(self.state, before=day) if first and not right else replace(self.state, day=day))
                decided = self.result.day and self.result.log.trouble.fault in ANSWERS_PREDICTION
                if decided and self.prediction is not None:
                    self.prediction.reveal()

    def look(self, test):
        """Do one look; a second time it says the same and costs nothing."""
        with self.guard():
            if test is None:
                raise BadInput("nothing_chosen")
            if test not in self.state.looks:
                self._go(replace(self.state, looked=f"{self.state.looked} {test}".strip(), cause="", mend=""))

    def name_it(self, cause, mend):
        """Name cause and action; wrong ones may be named anew."""
        with self.guard():
            if cause is None or mend is None:
                raise BadInput("list_empty")
            self._go(replace(self.state, cause=cause, mend=mend))

    def reset(self):
        """This log again, nothing marked."""
        self.open(self.state.log)

    @by_hand
    def switch(self, system):
        """Show trade or metric units."""
        with self.guard():
            self.system = system
            self._go(self.state)

    def show_as_left(self, state, words):
        """As it was left, with a note."""
        with self.guard():
            self._go(state)
            self.saying.value += line(words)

    # the screen

    def _build(self):
        self.logs = widgets.Dropdown(description=self.word("log"), options=_logs(self.opening.log))
        self.logs.add_class("fc-next-in-turn")
        self.logs.observe(self._log_chosen, "value")
        self.number = widgets.Text(
            value=str(case.NEW_FROM), description=self.word("number"), tooltip=self.word("number_tip")
        )
        self.another_button = button("trouble.open", lambda: self.another(self.number.value))
        days = [(self.word("mark.none"), NONE), *((str(day), day) for day in range(1, case.DAYS + 1))]
        tips = [self.word("mark.none_tip"), *(self.word("mark.day_tip", day=day) for _, day in days[1:])]
        self.days = widgets.ToggleButtons(options=days, value=None, tooltips=tips, description=self.word("mark"))
        self.days.observe(self._day_chosen, "value")
        self.days.add_class("fc-mark")
        self.tests = widgets.Dropdown(description=self.word("look"), options=self._tests(), value=None)
        self.look_button = button("trouble.look_now", lambda: self.look(self.tests.value))
        self.causes = widgets.Dropdown(description=self.word("cause"), options=self._causes(), value=None)
        self.mends = widgets.Dropdown(description=self.word("mend"), options=self._mends(), value=None)
        self.commit_button = button("trouble.commit", lambda: self.name_it(self.causes.value, self.mends.value))
        self.reset_button = button("trouble.again", self._start_over)
        self.unit_switch = unit_switch(self.switch)
        self.picture, self.saying, self.looks, self.entry = (widgets.HTML() for _ in range(4))
        self.tests.observe(self._test_chosen, "value")
        self.taken = widgets.HTML()
        taken = widgets.HBox([self.taken, self.look_button])
        taken.add_class("fc-taken")
        self.steps = [self.tests, taken, self.looks, self.causes, self.mends]
        self.controls = widgets.VBox(
            [self.logs, widgets.HBox([self.number, self.another_button]), *self.steps,
             widgets.HBox([self.commit_button, self.reset_button, self.unit_switch]), self.saying]
        )  # fmt: skip
        self.controls.add_class("fc-controls")
        self.stage = widgets.VBox([self.picture, self.days])
        self.stage.add_class("fc-stage")
        self.stage.add_class("fc-ask")
        self.view = self.framed(widgets.HBox([self.controls, self.stage]))
        self.view.add_class("fc-trouble")
        look = widgets.HTML(QUIZ_CSS + CSS, layout={"display": "none"})
        self.view.children = [look, *self.view.children, self.entry]

    def _tests(self):
        acts = case.tests()
        entry = f"{case.ENTRY_MIN:.0f}"
        keys = {code: "look_inside" if act.inside else "look_option" for code, act in acts.items()}
        return [
            (self.word(keys[code], what=self.word(f"test.{code}"), minutes=f"{act.minutes:.0f}", entry=entry), code)
            for code, act in acts.items()
        ]

    def _causes(self):
        return [(self.word(f"fault.{code}"), code) for code in case.causes()]

    def _mends(self):
        return [(self.word(f"mend.{code}"), code) for code in (DIAL, *case.mends())]

    def _go(self, state):
        """Take a state: compute, draw, say."""
        if state.log != self.state.log:
            self.saying.value = line(self.word("working"))
            self.picture.value = '<div class="fc-working"></div>'
            self.taken.value = self.looks.value = self.entry.value = ""
        self.result = self.compute(state)
        fresh = state.log != self.state.log or state.day == OPEN
        self.state = self.requested = state
        with self.quietly():
            self.unit_switch.value = self.system
            self.logs.options = _logs(state.log)
            self.logs.value = state.log
            self.days.value = None if state.day == OPEN else state.day
            if fresh:
                self.tests.value = self.causes.value = self.mends.value = None
            if state.cause:
                self.causes.value, self.mends.value = state.cause, state.mend
        self._paint()
        self._tell_left()

    def _paint(self):
        result, state = self.result, self.state
        first = result.log.first_day if result.day else None
        finding = self.say(result, self.system)
        marked = state.before if state.day == OPEN else state.day
        day = None if marked in (OPEN, NONE) else marked
        self.picture.value = drawing(result.log, day, first, finding, self.system)
        self.saying.value = self._said(result)
        self.taken.value, self.looks.value = self._of_looks(result) if result.day else ("", "")
        self._say_entry()
        searching = bool(result.day) and bool(first)
        for widget in (*self.steps, self.commit_button):
            show(widget, searching and not self._waiting)
        self.days.disabled = bool(result.day)
        show(self.reset_button, bool(result.day) and not self._waiting)

    def _say_entry(self):
        """The way in, before a look inside is taken and after."""
        inside = self.tests.value is not None and case.tests()[self.tests.value].inside
        inside = inside or any(one.inside for one in self.result.observations)
        self.entry.value = line(f"{self.word('inside')} {text('entry.steps')}", "refusal") if inside else ""

    def _said(self, result):
        """What the last step is worth: a cause that is named, a day that is marked, or what to do."""
        if result.named:
            return self._of_name(result)
        if result.day:
            return self._of_day(result)
        if result.hint:
            return self._of_first_mark(result)
        return line(self.word("mark_prompt", charge=self._charge(result, self.system)))

    def _of_day(self, result):
        first = result.log.first_day
        signs = " ".join(self._sign(one, result) for one in result.log.signs[first - 1][:3]) if first else ""
        said = self.word(f"day.{result.day}", day=result.state.day, first=first, signs=signs)
        return verdict_html(result.day in RIGHT_DAYS, html.escape(said))

    def _of_first_mark(self, result):
        """Earlier or later, and the row to read; not the day."""
        signs = result.log.signs[result.log.first_day - 1] if result.log.first_day else ()
        code = signs[0].code if signs else "ratio"
        code = code.removesuffix("_up").removesuffix("_down")
        row = self.word(f"row.{ROW.get(code, code)}")
        return verdict_html(False, html.escape(self.word(f"hint.{result.hint}", day=result.state.before, row=row)))

    def _sign(self, sign, result):
        value, usual = (reading(sign.code, one, self.system) for one in (sign.value, sign.usual))
        before = result.log.points[max(result.log.first_day - 2, 0)]  # what the boards lost the day before
        fields = {"board": sign.board, "before": f"{sum(before) / len(before):.1f}"}
        return self.word(f"sign.{sign.code}", value=value, usual=usual, **fields)

    def _of_looks(self, result):
        if not result.observations:
            nothing_to_find = result.day and not result.log.first_day
            return "" if nothing_to_find else line(self.word("nothing_looked")), ""
        sentences = [
            self.word("told", test=self.word(f"test.{one.test}"), told=self.word(f"told.{one.code}"))
            for one in reversed(result.observations)
        ]
        items = "".join(f"<li>{html.escape(words[0].upper() + words[1:])}</li>" for words in sentences)
        key = "looked_once" if len(result.observations) == 1 else "looked"
        way = self.word("way") if any(one.inside for one in result.observations) else ""
        count = self.word(key, count=len(result.observations), minutes=f"{result.minutes:.0f}", way=way)
        return line(count), f'<ul class="fc-looks" tabindex="0">{items}</ul>'

    def _of_name(self, result):
        fields = {"cause": self.word(f"fault.{result.state.cause}")}
        real = result.log.trouble.fault
        if result.about:
            fields["test"] = self.word(f"test.{result.about}")
            fields["told"] = self.word(f"told.{case.look(result.state.log, result.about).code}")
        else:
            fields["mend"] = self.word(f"mend.{case.mend_of(real)}")
            fields["danger"] = self.word(f"danger.{case.danger_of(real)}")
        key = f"over.{result.named}" if result.named in case.OVERLOOKED else f"named.{result.named}"
        said = self.word(key, **fields)
        if result.named == "right":
            use = "use" if result.minutes_of_use else "no_use" if result.minutes else "no_look"
            use = "all" if 0.0 < result.minutes == result.minutes_of_use else use
            use = "ruled_out" if result.minutes_of_use and not result.shows_cause else use
            minutes = {"minutes": f"{result.minutes:.0f}", "of_use": f"{result.minutes_of_use:.0f}"}
            said = f"{said} {self.word(f'looks.{use}', **minutes)}"
        return verdict_html(result.named == "right", html.escape(said))

    @by_hand
    def _log_chosen(self, change):
        self.open(change["new"])

    @by_hand
    def _day_chosen(self, change):
        if change["new"] is not None:
            self.mark(change["new"])
            if self.result.day:  # the button that was pressed can be pressed no more
                (self.tests if self.result.log.first_day else self.reset_button).focus()

    @by_hand
    def _test_chosen(self, change):
        self._say_entry()

    def _start_over(self):
        self.reset()
        self.logs.focus()  # the button that was pressed is gone

    # predict first

    def _wait(self, on):
        self._waiting = on
        for widget in (self.picture, self.days, self.controls):
            show(widget, not on)
        self._paint()


def _named(state):
    """What naming a cause and an action is worth, and the look it is about."""
    real = case.trouble(state.log).fault
    if state.cause != real:
        return case.overlooked(state.log, state.cause, state.looks)
    if state.mend == case.mend_of(real):
        return "right", ""
    return ("dial" if state.mend == DIAL else "action"), ""


def _logs(now):
    """The fixed set, and the new log that is open."""
    extra = [] if now in case.names() else [now]
    return [(text(f"trouble.log.{name.split('-')[0]}", number=name.split("-")[1]), name)
            for name in (*case.names(), *extra)]  # fmt: skip


def _water(weight_kg, system):
    return units.show(weight_kg * 1e-3, "volume", system)
