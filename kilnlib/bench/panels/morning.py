"""Four mornings: read the page, decide, commit; then see what the next two days would bring, and the other choices."""

import threading
from contextlib import suppress
from dataclasses import dataclass

import ipywidgets as widgets

from kilnlib.bench.drawings.morning import drawing
from kilnlib.bench.drawings.morning_page import bulbs, page
from kilnlib.bench.kit.parts import button, show, unit_switch
from kilnlib.bench.kit.screen import PredictFirst, by_hand, line, rich
from kilnlib.bench.kit.verdict import CSS as QUIZ_CSS
from kilnlib.bench.kit.verdict import verdict_html
from kilnlib.cases import morning as case
from kilnlib.errors import BadInput, worded

CSS = """<style>
.fc-morning .fc-controls {width: 384px; padding-right: 12px;}
.fc-morning .fc-stage {width: 540px; min-width: 540px; min-height: 0;}
.fc-morning table {border-collapse: collapse; font-size: 14px; margin: 0 0 2px;}
.fc-morning th, .fc-morning td {padding: 0 14px 0 0; text-align: right; font-weight: 400; line-height: 1.4;}
.fc-morning thead th {font-weight: 600; border-bottom: 1px solid var(--jp-border-color1, #bdbdbd);}
.fc-morning .fc-page p {margin: 0 0 1px; font-size: 14px; line-height: 1.35;}
.fc-morning .fc-steps {align-items: center;} .fc-morning .fc-steps .fc-said {font-weight: 600;}
.fc-morning .widget-html {margin: 2px 0;} .fc-morning .fc-feedback {max-width: none; font-size: 14px; line-height: 1.3;}
</style>"""


@dataclass(frozen=True)
class State:
    """The morning that is looked at, and what was decided on it; None before."""

    morning: str
    choice: str | None = None


@dataclass(frozen=True)
class Result:
    """The page of a morning; once decided, what every choice would bring, the right ones first to last."""

    state: State
    morning: case.Morning
    fastest: tuple[tuple[str, float], ...]  # (board, points) so far
    limit_points: float
    outcomes: tuple[case.Outcome, ...] = ()
    right: tuple[str, ...] = ()

    @property
    def is_right(self):
        """Whether what was decided is right."""
        return self.state.choice in self.right


class Panel(PredictFirst):
    """The mornings, one after the other; the next opens once this one is decided.

    Public for tests: `pick`, `turn`, `decide`, `reset`, `switch`, `state`, `result`, `last_error`, `close`.
    """

    name = "morning"

    def __init__(self, predict=None):
        super().__init__()
        self.opening = self.state = self.requested = State(next(iter(case.mornings())))
        self.result = None
        self.decided = {}  # morning: choice
        self.prediction, self._waiting = None, False
        self._build()
        with self.guard():
            self._go(self.opening)
        if predict and self.result is not None:
            self._ask_first(predict)
        threading.Thread(target=_work_ahead, daemon=True).start()

    # state, compute, draw, say

    @staticmethod
    def compute(state):
        """The page, and what would follow once something is decided."""
        morning = case.mornings()[state.morning]
        page = (state, morning, case.past_fastest(state.morning), morning.sheet.limit_points_per_day)
        if state.choice is None:
            return Result(*page)
        return Result(*page, case.outcomes(state.morning), case.right(state.morning))

    def say(self, result, system):
        """What the picture shows: the pace so far, and after a decision that of every choice."""
        (_, before), (board, points) = result.fastest
        limit = f"{result.limit_points:g}"
        sentences = [self.word("say", board=board, before=f"{before:.1f}", points=f"{points:.1f}", limit=limit)]
        if not result.outcomes:
            return " ".join([*sentences, self.word("say_open")])
        for one in result.outcomes:
            fields = {
                "choice": self._short(one.choice, result, system),
                "first": f"{one.fastest_points[0]:.1f}",
                "second": f"{one.fastest_points[1]:.1f}",
                "mc": f"{one.mc_pct[-1]:.1f}",
                "verdict": self.word(f"verdict.{one.verdict}"),
            }
            sentences.append(self.word("say_choice", **fields))
        chosen, right = (self._short(choice, result, system) for choice in (result.state.choice, result.right[0]))
        return " ".join([*sentences, self.word("say_chosen", chosen=chosen, right=right)])

    def _short(self, choice, result, system):
        return self.word(f"short.{choice}", bulbs=bulbs(*result.morning.dials[choice], system))

    # what a person does

    def pick(self, morning):
        """Another morning, as it was left."""
        with self.guard():
            self._go(State(morning, self.decided.get(morning)))

    def turn(self, mornings):
        """So many mornings on, or back if negative; at either end nothing moves."""
        names = list(case.mornings())
        at = names.index(self.state.morning) + mornings
        if 0 <= at < len(names):
            self.pick(names[at])

    def decide(self, choice):
        """Commit to a choice for this morning."""
        with self.guard():
            if choice is None:
                raise BadInput("nothing_chosen")
            self._go(State(self.state.morning, choice))
            self.decided[self.state.morning] = choice
            if self.prediction is not None:
                self.prediction.reveal()

    def reset(self):
        """Back to the first morning, nothing decided on any."""
        with self.guard():
            self.decided.clear()
            self._go(self.opening)

    @by_hand
    def switch(self, system):
        """Show trade or metric units."""
        with self.guard():
            self.system = system
            self._go(self.state)

    def show_as_left(self, state, words):
        """As it was left, with a note."""
        with self.guard():
            if state.choice is not None:
                self.decided[state.morning] = state.choice
            self._go(state)
            self.saying.value += line(words)

    # the screen

    def _build(self):
        self.step = widgets.HTML()
        self.back_button = button("morning.back", lambda: self.turn(-1))
        self.next_button = button("morning.next", lambda: self.turn(1), number=2, total=len(case.mornings()))
        self.choices = widgets.Dropdown(description=self.word("decision"))
        self.commit_button = button("morning.commit", lambda: self.decide(self.choices.value))
        self.reset_button = button("morning.again", self.reset)
        self.unit_switch = unit_switch(self.switch)
        self.page, self.picture, self.saying, self.reason = (widgets.HTML() for _ in range(4))
        steps = widgets.HBox([self.step, self.back_button])
        steps.add_class("fc-steps")
        buttons = widgets.HBox([self.commit_button, self.next_button, self.reset_button, self.unit_switch])
        controls = widgets.VBox([steps, self.page, self.choices, buttons, self.reason])
        controls.add_class("fc-controls")
        self.stage = widgets.VBox([self.picture, self.saying])
        self.stage.add_class("fc-stage")
        self.stage.add_class("fc-ask")
        self.view = self.framed(widgets.HBox([controls, self.stage]))
        self.view.add_class("fc-morning")
        self.view.children = [widgets.HTML(QUIZ_CSS + CSS, layout={"display": "none"}), *self.view.children]

    def _go(self, state):
        """Take a state: compute, draw, say."""
        self.result = self.compute(state)
        self.state = self.requested = state
        with self.quietly():
            self.unit_switch.value = self.system
            dials = self.result.morning.dials
            options = [(self.word(f"choice.{one}", bulbs=bulbs(*dials[one], self.system)), one) for one in dials]
            self.choices.options = options
            self.choices.value = state.choice
        finding = self.say(self.result, self.system)
        name = state.morning
        self.page.value = page(self.result.morning, case.card(name), case.point_m3(name), self.system)
        self.picture.value = drawing(self.result, finding, lambda *both: bulbs(*both, self.system, label=False))
        self.saying.value = self._verdict(self.result)
        self._show_step(state)
        self.reason.value = self._reason(self.result, self.system)
        self._tell_left()

    def _show_step(self, state):
        """Which morning of how many; Commit while it is open, the next morning once it is decided."""
        names = list(case.mornings())
        number, decided = names.index(state.morning) + 1, state.choice is not None
        day = self.result.morning.day
        name = self.word(f"name.{state.morning}", day=day)
        self.step.value = line(self.word("step", number=number, total=len(names), name=name))
        self.next_button.description = self.word("next", number=number + 1, total=len(names))
        show(self.back_button, number > 1)
        show(self.commit_button, not decided and not self._waiting)
        show(self.choices, not self._waiting)
        self.choices.disabled = decided
        show(self.next_button, decided and number < len(names))
        show(self.reset_button, bool(self.decided) or decided)

    def _verdict(self, result):
        """Right or not yet, and why."""
        choice = result.state.choice
        if choice is None:
            return line(self.word("prompt"))
        return verdict_html(result.is_right, rich(result.morning.replies[choice]))

    def _reason(self, result, system):
        """What the daily decision puts first on this morning."""
        if result.state.choice is None:
            return ""
        first = case.decision(result.state.morning).reasons[0]
        return line(self.word("handbook", reason=worded("daily.reason", first, system)))

    def _wait(self, on):
        """While the prediction waits, its Commit is the only one."""
        self._waiting = on
        for widget in (self.picture, self.saying):
            show(widget, not on)
        self._show_step(self.state)


def _work_ahead():
    """Work everything out while somebody reads the first page; an error comes again, in words, when it is asked for."""
    with suppress(Exception):
        for name in case.mornings():
            case.outcomes(name)
