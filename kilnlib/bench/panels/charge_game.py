"""Run a charge: plan it, decide morning by morning, open and store it, and go through what became of it."""

import contextlib
import html
import math
import random
from dataclasses import asdict, dataclass, fields, replace

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.drawings.charge_game import compared, dial, drawing
from kilnlib.bench.drawings.charge_page import debriefed, faces_words, log_page, turned
from kilnlib.bench.kit.parts import button, link, show, unit_switch
from kilnlib.bench.kit.screen import LOCK, PredictFirst, by_hand, line
from kilnlib.cases import charge_game as case
from kilnlib.errors import BadInput, KilnError
from kilnlib.physics import charge
from kilnlib.physics.charge.card import DRIEST_RH_PCT
from kilnlib.store import kiln as own
from kilnlib.store.exports import write_out
from kilnlib.store.files import write_file
from kilnlib.store.mill import load_mill
from kilnlib.store.sheet import free_path
from kilnlib.store.sheet_write import write_csv
from kilnlib.tables import advice
from kilnlib.typed import parse_quantity
from kilnlib.words import text

CSS = """<style>
.fc-game .fc-controls {width: 290px; flex: 0 0 290px; padding-right: 8px;} .fc-game .fc-stage {min-height: 0;}
.fc-game .widget-dropdown, .fc-game .widget-text {width: 100%; margin: 2px 0; flex: 0 0 auto;}
.fc-game .fc-controls > :is(.widget-dropdown, .widget-text) {margin: 1px 0;}
.fc-game .widget-dropdown select {min-width: 0;} .fc-game .widget-hbox > .widget-dropdown {flex: 1 1 0;
  width: auto; min-width: 0;}
.fc-game .fc-controls .widget-text {width: 100%; flex: 0 0 auto;}
.fc-game .fc-controls .widget-hbox > .widget-text {width: auto; flex: 1 1 0; min-width: 0;}
.fc-game .fc-controls .widget-label {width: 64px; min-width: 64px; display: block;}
.fc-game .fc-controls > .widget-dropdown:first-child {flex-wrap: nowrap;}
.fc-game .fc-controls > .widget-dropdown:first-child > .widget-label {width: 64px;}
.fc-game .fc-controls > .widget-dropdown:first-child > select {flex: 1 1 0; height: 28px;}
.fc-game .fc-controls .jupyter-button {flex: 0 0 auto; width: auto; min-width: 0; padding: 0 8px;}
.fc-game .fc-controls .fc-step {width: 100%; height: auto; white-space: normal; text-align: left; line-height: 1.2;
  padding: 3px 8px; font-size: 14px;}
.fc-game .widget-html {margin: 1px 0;} .fc-game :is(.fc-findings, .fc-after) {overflow-y: auto; font-size: 14px;
  line-height: 17px;} .fc-game .fc-findings {max-height: 204px;} .fc-game .fc-after {max-height: 357px;}
.fc-game :is(.fc-findings, .fc-after)::-webkit-scrollbar {width: 10px; background: #e4e4e4;}
.fc-game :is(.fc-findings, .fc-after)::-webkit-scrollbar-thumb {background: #767676; border-radius: 5px;}
.fc-game .fc-refusal + .fc-findings {max-height: 136px;} .fc-game .fc-said ~ .fc-after {max-height: 289px;}
.fc-game :is(.fc-findings, .fc-after) p {margin: 0; padding-left: 9px; text-indent: -9px;}
.fc-game .fc-schedule {font-size: 14px; line-height: 17px; margin: 0 0 0 4px; text-wrap: balance;}
.fc-game .fc-schedule .widget-html-content {line-height: 17px;}
.fc-game.fc-ended .fc-controls {width: 496px; flex: 0 0 496px;}
.fc-game.fc-ended .fc-stage {width: 436px; min-width: 0; flex: 0 1 436px;}
@media (max-width: 960px) {.fc-game > .widget-hbox {flex-wrap: wrap;}}
.fc-game .fc-bulbs {gap: 8px;} .fc-game .widget-hprogress {width: 100%;}
</style>"""
PLAN, RUN, END, AFTER = "plan", "run", "end", "after"
CHOICES = {
    "wood": tuple(case.WOODS), "load": tuple(case.LOADS), "kiln": case.KILNS, "water": case.WATERS,
    "season": tuple(case.SEASONS), "level": case.LEVELS, "baffles": case.BAFFLES, "samples": case.SAMPLES,
}  # fmt: skip
REWETTED = advice("most_moister_at_once")  # points that a mist may wet drying faces by
PART_GONE = 0.02  # the smallest step by which the progress bar moves


COUNTED = ("entered", "undone", "entered_hot", "cooling", "store")  # fields of a Game that are stored as they are


@dataclass(frozen=True)
class State(case.Setup):
    """Where a charge stands, in plain words and numbers, so that it can be kept: see `cases.charge_game.Game`."""

    phase: str = PLAN
    decisions: str = "[]"
    acts: str = ""
    entered: bool = False
    undone: int = 0
    entered_hot: int = 0
    cooling: str = ""
    store: str = ""

    @property
    def game(self):
        """The charge in hand."""
        setup = case.Setup(**{field.name: getattr(self, field.name) for field in fields(case.Setup)})
        counted = {name: getattr(self, name) for name in COUNTED}
        return case.Game(setup, case.read(self.decisions), tuple(self.acts.split()), **counted)


def state_of(phase, game):
    """A charge in hand as it is kept."""
    counted = {name: getattr(game, name) for name in COUNTED}
    decisions, acts = case.written(game.decisions), " ".join(game.acts)
    return State(**asdict(game.setup), phase=phase, decisions=decisions, acts=acts, **counted)


def _lacks(stands):
    """Why the wet bulb does not come up: nothing adds water, the mist waits for heat, or it gives all it can."""
    if not stands.kiln.plan.has_mist:
        return "too_dry"
    return "mist_at_most" if stands.mist_at_most else "mist_waits"


def _without_its_place(step):
    """A step of the way in without the words that give its place away."""
    bare = step.removeprefix("First ").removeprefix("Then ").rstrip(".")
    return bare[0].upper() + bare[1:]


class Panel(PredictFirst):
    """One charge after the other.

    Public for tests: `begin`, `decide`, `act`, `step_in`, `stay_out`, `back`, `heat_off`, `finish`, `go_on`, `again`,
    `new`, `print_log`, `write_sheet`, `switch`, `state`, `game`, `debrief`, `last_error`.
    """

    name = "charge_game"

    def __init__(self, predict=None):
        super().__init__()
        self.opening = self.requested = self.state = State()
        self.game, self.debrief, self.prediction = case.Game(), None, None
        self._kept, self._waiting, self._pressed, self._wanted, self._note = None, False, None, None, ""
        self._filled = {}  # what stands in a box, and the setting behind it: words round, a dial does not
        self._build()
        with self.guard():
            self._paint()
        if predict:
            self._ask_first(predict)

    @staticmethod
    def compute(state):
        """The charge of a state, its days not gone through yet; raises what is wrong with it."""
        game = state.game
        case.plan_of(game.setup)
        return game

    # what a person does

    def begin(self):
        """Take the plan and switch the fans on."""
        with self.guard():
            game = case.Game(self._chosen())
            case.kiln_of(game)
            self._kept = None
            self._go(RUN, game)

    def _chosen(self):
        """The set-up as it is chosen."""
        typed, (low, high) = self.number.value.strip(), case.NUMBERS
        if not typed.isdecimal() or not low <= int(typed) <= high:
            raise BadInput("game_number", low=low, high=high)
        chosen = {name: box.value for name, box in self.choices.items()}
        if chosen["kiln"] != "tamarack":
            chosen["kiln"] = case.this_kiln()
        return case.Setup(**chosen, number=int(typed))

    @by_hand
    def _plan_changed(self, _):
        with self.guard():
            self._paint_plan()

    def decide(self, days=None):
        """Let days pass under what stands in the boxes."""
        with self.guard():
            wanted = days or self.days.value
            if self.kinds.value == "condition":
                case.check_conditions(self.game)
            dry, wet = (self._bulb(box) for box in (self.dry, self.wet))
            stood = self.game
            self._work(self.word("working"))
            try:
                for number, game in enumerate(case.days_pass(stood, dry, wet, self.reason.value, wanted), 1):
                    self.bar.value = number / wanted
                    self.game = game
                    self._keep(RUN, game)
            finally:
                show(self.bar, False)
                if self.game != stood:
                    self._next_morning(self._on_the_way(stood, wanted))

    def _on_the_way(self, stood, wanted):
        """Why fewer days passed than were wanted, and that nobody looked in between."""
        passed, said = len(self.game.decisions) - len(stood.decisions), []
        if passed < wanted and (why := case.stopped_by(stood, self.game)):
            said.append(self.word("stopped", passed=passed, wanted=wanted, why=self.word(f"stopped.{why}")))
        if passed > 1:
            said.append(self.word("skipped", count=passed - 1) if passed > 2 else self.word("skipped_one"))
        return " ".join(said)

    def _next_morning(self, note=""):
        """Nothing decided yet."""
        self._note = note
        with self.quietly():
            self.kinds.value, self.days.value, self.acts.value, self.reason.value = "hold", 1, None, ""
        self._paint()

    def act(self, code):
        """Make a look or a mend; where it is inside, first the steps of the way in."""
        with self.guard():
            if code is None:
                raise BadInput("nothing_chosen")
            if case.needs_entry(self.game, code):
                self._pressed, self._wanted, self._note = [], code, self.word("enter")
                self._paint()
                return
            self._note = ""
            self._go(RUN, case.do(self.game, code))

    def step_in(self, step):
        """Take a step of the way in."""
        with self.guard():
            means = case.entry_after(self._pressed, step)
            game, self._note = self.game, ""
            if means == "next":
                self._pressed.append(step)
                self._note = self.word("enter_next", count=len(self._pressed), all=case.STEPS)
            elif means == "wrong":
                self._pressed, self._note = [], self.word("enter_wrong")
            elif means == "hot":
                game = replace(game, entered_hot=game.entered_hot + 1)
                self._pressed, self._note = None, self.word("enter_hot")
            else:
                game = case.do(replace(game, entered=True), self._wanted)
                self._pressed, self._note = None, self.word("entered")
            self._go(RUN, game)

    def stay_out(self):
        """Do not go in."""
        with self.guard():
            self._pressed, self._note = None, ""
            self._paint()

    def back(self, day=None):
        """Stand on an earlier morning again, on the one before if none is named."""
        with self.guard():
            last = len(self.game.decisions) - 1
            self._go(RUN, case.back_to(self.game, last if day is None else day))
            self._next_morning()

    def heat_off(self):
        """Ask how the charge is opened and where it goes."""
        with self.guard():
            if not self.game.decisions:
                raise BadInput("game_not_begun")
            self._note = ""
            self._go(END, self.game)

    def dry_on(self):
        """Back from the end to the morning."""
        with self.guard():
            self._go(RUN, self.game)

    def finish(self):
        """Open, store, and go through it all."""
        with self.guard():
            self._go(AFTER, case.ended(self.game, self.cooling.value, self.stores.value))

    def go_on(self):
        """Take up the charge that was left."""
        with self.guard():
            kept, self._kept, self._note = self._kept, None, ""
            game, plan = kept.game, case.plan_of(kept.game.setup)
            self._work(self.word("working"))
            try:
                for day in range(1, len(game.decisions) + 1):
                    case.kiln_on(plan, game.decisions[:day])
                    self._gone(day / len(game.decisions))
            finally:
                show(self.bar, False)
            self._go(kept.phase, game)

    def again(self):
        """The same charge from its first morning."""
        with self.guard():
            self._go(RUN, case.Game(self.game.setup))

    def new(self):
        """Plan another one; the charge in hand stays kept until that one begins."""
        with self.guard():
            self._kept = None if self.state.phase == AFTER else self.state
            self._note = ""
            self.state = State()
            self._paint()

    def print_log(self):
        """Write the log as a page."""
        with self.guard():
            data = log_page(self.debrief, self._title(), self.system)
            self._wrote(write_out(self._stem(), html=data)["html"], data)

    def write_sheet(self):
        """Write the weights as a sample sheet among the user's own."""
        with self.guard():
            path = free_path(self._stem())
            data = write_csv(case.sheet(self.debrief, self._title())).encode()
            write_file(path, data)
            self._wrote(path, data)

    @by_hand
    def switch(self, system):
        """Show trade or metric units."""
        with self.guard():
            typed = []
            for box in (self.dry, self.wet) if self._by_hand() else ():
                with contextlib.suppress(KilnError):  # what cannot be read stays as it was typed
                    typed.append((box, self._bulb(box)))
            self.system = system
            self._paint()
            for box, bulb in typed:
                self._fill(box, bulb)

    # memory

    def show_as_left(self, state, words):
        """Offer the charge that was left."""
        with self.guard():
            self._kept = None if state.phase == PLAN else state
            self._note = words
            self._paint()

    def _keep(self, phase, game):
        """Write the charge down at once: a kill in the next moment loses nothing."""
        self.state = self.requested = state_of(phase, game)
        self._tell_left()
        self._tell_left(last=True)

    # the screen

    def _build(self):
        self.choices = {
            name: widgets.Dropdown(
                description=self.word(f"plan.{name}"),
                options=self._options(name, values),
                value=getattr(self.opening, name),
            )
            for name, values in CHOICES.items()
        }
        self.number = widgets.Text(value="1", description=self.word("number"), tooltip=self.word("number_tip"))
        for box in (*self.choices.values(), self.number):
            box.observe(self._plan_changed, "value")
        self.begin_button = button("charge_game.begin", self.begin)
        self.go_on_button = button("charge_game.go_on", self.go_on)
        self.kinds = widgets.Dropdown(
            description=self.word("do"), options=[(self.word(f"kind.{kind}"), kind) for kind in case.KINDS]
        )
        self.kinds.observe(self._kind_chosen, "value")
        self.dry, self.wet = (
            widgets.Text(description=self.word(name), tooltip=self.word(f"{name}_tip"), continuous_update=True)
            for name in ("dry", "wet")
        )
        for box in (self.dry, self.wet):
            box.observe(self._typed, "value")
        self.reason = widgets.Text(description=self.word("reason"), tooltip=self.word("reason_tip"))
        self.days = widgets.Dropdown(description=self.word("days"), options=[1, 2, 3, 5, case.MOST_AT_ONCE], value=1)
        self.pass_button = button("charge_game.pass", self.decide)
        self.acts = widgets.Dropdown(description=self.word("act"), options=self._acts(), value=None)
        self.acts.observe(self._act_chosen, "value")
        self.act_button = button("charge_game.act_now", lambda: self.act(self.acts.value))
        self.mornings = widgets.Dropdown(description=self.word("morning_no"), options=[], value=None)
        self.back_button = button("charge_game.back", lambda: self.back(self.mornings.value))
        self.end_button = button("charge_game.end", self.heat_off)
        self.new_button = button("charge_game.new", self.new)
        self.unit_switch = unit_switch(self.switch)
        self.picture, self.card, self.saying = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.card.add_class("fc-schedule")
        self.bar = widgets.FloatProgress(min=0.0, max=1.0, layout={"display": "none"})
        self._build_more()
        bulbs = widgets.HBox([self.dry, self.wet])
        bulbs.add_class("fc-bulbs")
        self.groups = {
            PLAN: [*self.choices.values(), self.number, widgets.HBox([self.begin_button, self.go_on_button])],
            RUN: [self.kinds, bulbs, self.reason,
                  widgets.HBox([self.days, self.pass_button]), widgets.HBox([self.acts, self.act_button])],
            "enter": [*self.step_buttons, self.stay_button],
            END: [self.cooling, self.stores, widgets.HBox([self.finish_button, self.on_button])],
            AFTER: [widgets.HBox([self.print_button, self.sheet_button])],
        }  # fmt: skip
        self.back_row = widgets.HBox([self.mornings, self.back_button])
        self.row = widgets.HBox([self.end_button, self.again_button, self.new_button, self.unit_switch])
        shown = [widget for group in self.groups.values() for widget in group]
        self.controls = widgets.VBox([*shown, self.bar, self.saying, self.back_row, self.row])
        self.controls.add_class("fc-controls")
        self.stage = widgets.VBox([self.card, self.picture])
        self.stage.add_class("fc-stage")
        self.stage.add_class("fc-ask")
        self.view = self.framed(widgets.HBox([self.controls, self.stage]))
        self.view.add_class("fc-game")
        self.view.children = [widgets.HTML(CSS, layout={"display": "none"}), *self.view.children]

    def _build_more(self):
        """The buttons and lists of the way in, of the end and of the look back."""
        steps = [_without_its_place(step) for step in text("entry.steps").split(". ")[: case.STEPS]]
        order = random.Random(3).sample(range(case.STEPS), case.STEPS)
        self.step_buttons = [self._step_button(step, steps[step]) for step in order]
        self.stay_button = button("charge_game.enter_stay", self.stay_out)
        self.cooling, self.stores = (
            widgets.Dropdown(
                description=self.word(name),
                options=[(self.word(f"{name}.{value}"), value) for value in values],
                value=None,
            )
            for name, values in (("cooling", case.COOLING), ("store", case.STORES))
        )
        self.finish_button = button("charge_game.finish", self.finish)
        self.on_button = button("charge_game.on", self.dry_on)
        self.print_button = button("charge_game.print", self.print_log)
        self.sheet_button = button("charge_game.sheet", self.write_sheet)
        self.again_button = button("charge_game.again", self.again)

    def _step_button(self, step, words):
        made = widgets.Button(description=f"{words.rstrip('.')}.", tooltip=self.word("enter_step_tip"))

        def pressed(_):
            with LOCK:
                self.step_in(step)

        made.on_click(pressed)
        made.add_class("fc-step")
        return made

    def _options(self, name, values):
        mine = own.load().name if name == "kiln" else ""
        return [(self.word(f"{name}.{value}", name=mine), value) for value in values]

    def _acts(self):
        """Looks first, the quickest first; then mends."""
        return [(self._act_words(code, act), code) for code, act in case.acts().items()]

    def _act_words(self, code, act):
        what = text(f"trouble.{act.kind}.{code}")
        if act.kind == "mend":
            return self.word("mend_option", what=what)
        return self.word("act_inside" if act.inside else "act_option", what=what, minutes=f"{act.minutes:.0f}")

    def _go(self, phase, game):
        """Take a charge: write it down, draw, say."""
        self.game = game
        if phase == AFTER:
            self._look_back(game)
        self._keep(phase, game)
        self._paint()

    def _look_back(self, game):
        self._work(self.word("reference_runs"))
        try:
            self.debrief = case.debrief(game, load_mill(), self._gone)
        finally:
            show(self.bar, False)

    def _gone(self, share):
        if share - self.bar.value >= PART_GONE:
            self.bar.value = share

    def _work(self, words):
        self.bar.value = 0.0
        show(self.bar, True)
        self.saying.value = line(words)

    def _paint(self):
        phase = self.state.phase
        (self.view.add_class if phase == AFTER else self.view.remove_class)("fc-ended")
        entering = phase == RUN and self._pressed is not None
        for name, group in self.groups.items():
            on = (name == "enter") if entering else name == phase
            for widget in group:
                show(widget, on and not self._waiting)
        show(self.row, not entering and not self._waiting)
        show(self.new_button, phase in (RUN, AFTER))
        running = phase == RUN and not entering
        show(self.back_row, running and bool(self.game.decisions) and not self._waiting)
        show(self.card, phase == RUN and not self._waiting)
        show(self.end_button, phase == RUN)
        show(self.again_button, phase == AFTER)
        show(self.go_on_button, self._kept is not None)
        with self.quietly():
            self.unit_switch.value = self.system
        if phase == PLAN:
            self._paint_plan()
        elif phase == AFTER:
            self._paint_after()
        else:
            self._paint_morning(entering)

    def _paint_plan(self):
        self._draw(case.standing(case.Game(self._chosen())))
        words = line(self.word("plan_prompt"))
        if self._kept is not None:
            kept = self._kept.game
            wood = self.word(f"wood.{kept.setup.wood}")
            words = line(self.word("kept", wood=wood, day=len(kept.decisions))) + (
                line(self._note) if self._note else ""
            )
        self.saying.value = words

    def _paint_morning(self, entering):
        stands = case.standing(self.game)
        self._draw(stands)
        self.card.value = html.escape(self._card(stands))
        if stands.faces.checked:
            self._reveal()  # the boards show it
        if not entering and not self._by_hand():
            self._propose()
        days = list(range(len(self.game.decisions)))
        with self.quietly():
            self.mornings.options = days
            self.mornings.value = days[-1] if days else None
        told = [] if entering else self._told(stands)
        if self.state.phase == END:
            told = [self.word("end_prompt")]
        refused = self._note == self.word("enter_hot") and not entering
        note = line(self._note, "refusal") if refused else ""
        if self._note and not refused:
            told = [self._note, *told]
        lines = "".join(f"<p>{html.escape(one)}</p>" for one in told)
        self.saying.value = (
            f'{note}<div class="fc-findings" tabindex="0" role="status" aria-live="polite">{lines}</div>'
        )

    def _draw(self, stands):
        self.picture.value = drawing(stands.kiln, stands.faces, self.say(stands, self.system), self.system)

    def say(self, stands, system):
        """The morning in words."""
        kiln = stands.kiln
        last = kiln.log[-1]
        asked = kiln.decisions[-1] if kiln.decisions else None
        bulbs = (asked.dry_bulb_c, asked.wet_bulb_c) if asked else ()
        degrees = units.unit_of("temperature", system).label
        boards = [
            self.word("say_board", number=number + 1, mc=f"{mc:.1f}")
            for number, mc in zip(last.samples, last.sample_mc_pct, strict=True)
        ]
        return self.word(
            "say",
            day=last.day,
            set=" / ".join(f"{dial(one, system)} {degrees}" for one in bulbs) or self.word("none"),
            dry=units.show(last.dry_bulb_c, "temperature", system),
            wet=units.show(last.wet_bulb_c, "temperature", system),
            out=units.show(last.dry_bulb_leaving_c, "temperature", system),
            bucket=units.show(last.bucket_kg * 1e-3, "volume", system),
            wood=units.show(last.load_loss_kg * 1e-3, "volume", system),
            compressor=f"{last.compressor_hours:.0f}",
            strips=f"{last.strips_hours:.0f}",
            vent=f"{last.vent_hours:.0f}",
            kwh=f"{last.electricity_kwh:.0f}",
            boards=", ".join(boards),
            faces=faces_words(stands.faces),
        )

    def _told(self, stands):
        """What is to be said of this morning."""
        kiln = stands.kiln
        mcs = kiln.log[-1].sample_mc_pct
        numbers = {"controlling": stands.controlling_pct, "driest": min(mcs), "wettest": max(mcs)}
        boards = self.word("boards", **{name: f"{mc:.1f}" for name, mc in numbers.items()})
        first, told = [self.word("morning", day=kiln.day, boards=boards)], []
        if stands.fastest_points is not None:
            binds = math.isfinite(stands.limit_points) and max(mcs) > advice("limit_binds_above")
            key = "limit" if binds else "no_limit" if stands.fastest_points >= 0.0 else "gained"
            points, limit = f"{stands.fastest_points:.1f}", f"{stands.limit_points:.1f}"
            told.append(self.word(key, points=points, limit=limit))
        (first if stands.faces.checked else told).append(faces_words(stands.faces))  # bad news first
        looks = [text(f"trouble.told.{one.code}") for one in stands.observations]
        done = [self.word("mended", what=text(f"trouble.mend.{code}")) for code in stands.mends]
        if self.game.acts:
            done.append(self.word("did", minutes=f"{stands.minutes:.0f}"))
            return [*looks, *done, *first, *told]
        if kiln.day and not kiln.decisions[-1].reason:
            told.append(self.word("reason_due"))
        return [*first, *self._advised(stands), *told]

    def _advised(self, stands):
        """What this morning asks for: water that is lacking, the end, or what the card says."""
        kiln, advised = stands.kiln, []
        if stands.too_dry:
            wet, dialed = kiln.log[-1].wet_bulb_c, kiln.decisions[-1].wet_bulb_c
            shown = {"wet": units.show(wet, "temperature", self.system), "dialed": dial(dialed, self.system)}
            advised.append(self.word(_lacks(stands), **shown))
        if stands.rewetted_points > REWETTED:
            advised.append(self.word("rewetted", points=f"{stands.rewetted_points:.0f}"))
        if stands.even:
            return [*advised, *self._sections(stands)]
        if kiln.plan.has_mist and (stands.dry or stands.equalizing):
            return [*advised, self._still(stands)]
        if stands.dry:
            return [*advised, self.word("dry_now")]
        if stands.equalizing:
            return [*advised, self.word("equalizing", target=f"{kiln.plan.target_pct:g}")]
        if stands.equalizes:
            return [*advised, self.word("equalize_now")]
        return advised or self._today(stands)

    def _still(self, stands):
        """What a charge with mist waits for before it is conditioned."""
        lost, days = f"{stands.lost_points:.1f}", min(stands.kiln.day, charge.STILL_DAYS)
        return self.word("still", points=lost, days=days, still=f"{charge.STILL_POINTS:g}")

    def _sections(self, stands):
        """What the prongs say of a charge that is even, and what that asks for."""
        last = stands.kiln.log[-1].mist_kg
        mist = [self.word("mist", water=units.show(last * 1e-3, "volume", self.system))] if last else []
        counts = turned(stands.sections)
        code = "conditioned_gained" if stands.gained else "condition_on" if stands.even_before else "condition_now"
        if stands.conditioned:
            code = "conditioned_over" if counts["out"] else "conditioned"
        return [f"{self.word('sections', **counts)} {self.word(code)}", *mist]

    def _today(self, stands):
        """What of the card is today's step, where it goes part of the way."""
        dry, wet = (self._degrees(bulb) for bulb in case.proposed_c(self.game, "card"))
        if (dry, wet) == tuple(self._degrees(bulb) for bulb in stands.card_c):
            return []
        return [self.word("card_slow", dry=dry, wet=wet)]

    def _card(self, stands):
        """What the card asks for and until when, and where this kiln cannot follow it; nothing once it is done."""
        if stands.even or stands.dry or stands.equalizing or stands.equalizes:
            return ""
        dry, wet = (self._degrees(bulb) for bulb in stands.card_c)
        fields = {"mc": f"{stands.controlling_pct:.1f}", "dry": dry, "wet": wet}
        if stands.next_step_pct is None:
            said = [self.word("card_asks_last", **fields)]
        else:
            said = [self.word("card_asks", next=f"{stands.next_step_pct:g}", **fields)]
        if stands.card_at_top:
            dry, wet = (self._degrees(bulb) for bulb in stands.printed_c)
            hottest, driest = self._degrees(stands.kiln.plan.hottest_c), f"{DRIEST_RH_PCT:g}"
            said.append(self.word("card_top", dry=dry, wet=wet, hottest=hottest, driest=driest))
        return " ".join(said)

    def _degrees(self, bulb_c):
        """A setting as the dial takes it, in whole degrees, with their unit."""
        return f"{dial(self._whole(bulb_c), self.system)} {units.unit_of('temperature', self.system).label}"

    def _paint_after(self):
        debrief = self.debrief
        told = debriefed(debrief, self.system)
        self.picture.value = compared(debrief.kiln, debrief.reference, debrief.outcome, self.say_end(debrief))
        self._reveal()
        items = "".join(f"<p>{html.escape(one)}</p>" for one in told)
        self.saying.value = f'<div class="fc-after" tabindex="0" role="status" aria-live="polite">{items}</div>'

    def say_end(self, debrief):
        """The comparison in words."""
        ours, theirs = (
            [sum(one.sample_mc_pct) / len(one.sample_mc_pct) for one in kiln.log]
            for kiln in (debrief.kiln, debrief.reference)
        )
        return self.word(
            "say_end", first=f"{ours[0]:.0f}", last=f"{ours[-1]:.1f}", days=len(ours) - 1,
            their_last=f"{theirs[-1]:.1f}", their_days=len(theirs) - 1,
        )  # fmt: skip

    def _title(self):
        setup = self.game.setup
        return self.word("page.title", wood=self.word(f"wood.{setup.wood}"), number=setup.number)

    def _stem(self):
        return f"charge {self.game.setup.wood} {self.game.setup.number}".replace("_", " ")

    def _wrote(self, path, data):
        """Say where a file is, above what stands there."""
        words = self.word("wrote", path=path)
        self._paint_after()
        self.saying.value = f"{line(words)}<div>{link(path, data)}</div>{self.saying.value}"

    # the boxes

    def _propose(self):
        """Put into the boxes what the decision stands for."""
        held = self.kinds.value in ("hold", "by_hand") and bool(self.game.decisions)
        dry, wet = case.proposed_c(self.game, self.kinds.value)
        self._fill(self.dry, dry if held else self._whole(dry))
        whole = self._whole(wet)
        if self.kinds.value == "ease" and (eased := self._whole(wet, math.ceil)) < dry:
            whole = eased  # to the nearest, less than a degree of ease would be none
        self._fill(self.wet, wet if held else whole)

    def _by_hand(self):
        """Whether settings were typed that must not be lost."""
        return self.kinds.value == "by_hand" and bool(self.dry.value.strip() or self.wet.value.strip())

    def _whole(self, bulb_c, rounded=round):
        """A setting to a whole degree of the dial, the nearest or as `rounded` takes it."""
        unit = units.unit_of("temperature", self.system)
        return unit.to_si(rounded(round(unit.from_si(bulb_c), 1)))

    def _fill(self, box, bulb_c):
        with self.quietly():
            box.value = dial(bulb_c, self.system)
        self._filled[box] = box.value, bulb_c

    def _bulb(self, box):
        """The setting of a box; one that was filled in and not touched is held exactly."""
        words, bulb_c = self._filled.get(box, ("", 0.0))
        if box.value == words:
            return bulb_c
        return parse_quantity(box.value, "temperature", self.system, what=box.description)

    @by_hand
    def _kind_chosen(self, change):
        with self.guard():
            if change["new"] != "by_hand":
                self._propose()
            if change["new"] == "condition":
                case.check_conditions(self.game)

    @by_hand
    def _act_chosen(self, change):
        """Say what was chosen in full: the box shows but its beginning."""
        with self.guard():
            code = change["new"]
            self._note = self._act_words(code, case.acts()[code]) if code else ""
            self._paint()

    @by_hand
    def _typed(self, change):
        """By hand from now on; but at another dry bulb equalizing or conditioning only needs another wet bulb."""
        kind = self.kinds.value
        if change["owner"] is self.dry and kind in ("equalize", "condition"):
            with contextlib.suppress(KilnError):
                self._fill(self.wet, self._whole(case.end_wet_bulb_c(self.game, kind, self._bulb(self.dry))))
                return
        with self.quietly():
            self.kinds.value = "by_hand"

    # predict first

    def _reveal(self):
        """Tell whether the guess was right, once a charge has shown it."""
        if self.prediction is not None:
            self.prediction.reveal()

    def _wait(self, on):
        self._waiting = on
        for widget in (self.picture, self.controls):
            show(widget, not on)
        self._paint()
