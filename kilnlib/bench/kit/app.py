"""The base of every panel: state → compute → draw → say.

A panel file gives `State` (a frozen dataclass, SI), its controls, and what it computes, draws and says:
`compute(state)`, which alone calls physics; `axes(chart)`, the still background; `lines(chart, ghost)`, the artists
that move; `draw_ghost` and `draw(artists, result, system)`; `say(result, system)`. This class owns the rest: sliders
with typed values, situations, reset, ghost, unit switch, prediction, the guard and closing.
"""

from dataclasses import replace

import ipywidgets as widgets

from kilnlib.bench.kit.chart import Chart, style
from kilnlib.bench.kit.controls import Choice, Controls, Slider, Switch
from kilnlib.bench.kit.parts import button, show, unit_switch
from kilnlib.bench.kit.screen import View, beside, by_hand, close_tree, line
from kilnlib.errors import KilnError, sentence
from kilnlib.words import text

OPENS, OWN = "opens", ""  # situations: as the panel opens, and one of the person's own

__all__ = ["App", "Choice", "Slider", "Switch"]


class App(View):
    """A live panel; `predict`, handed what to do once a person has committed, makes the question to commit to first.

    Public for tests: `set`, `type`, `pick`, `reset`, `keep`, `switch`, `close`, `last_error`.
    """

    State = None
    controls = ()
    presets = {}  # noqa: RUF012  situation -> changes of the opening state
    chart = None
    chart_px = (640, 400)  # smaller where the thing itself stands beside its chart
    has_units = True  # False: money alone, and no switch
    temperatures = True  # False: its units are weights and lengths alone, and the switch says so
    quick = True  # False: answer on release
    folded = ()  # fields of sliders and choices that stand behind "More", so that four things are enough to begin with

    def __init__(self, predict=None):
        super().__init__()
        self.system = "trade"
        self.opening = self.State()
        self.state = self.requested = self.opening
        self.result, self.ghost, self._waiting = None, None, False
        self.kept = None  # the result on which the person left a mark: no other ghost takes its place
        self.refused = {}  # field: why what stands in its box was not taken
        self._build_screen()
        with self.guard():
            self.prepare()
            self._ticks()
            self._update()
        if predict and self.result is not None:
            self._ask_first(predict)

    # what a panel gives -------------------------------------------------------------------------------------------

    def compute(self, state):
        """Result of a state: physics only."""
        raise NotImplementedError

    def prepare(self):
        """The chart with its artists. A panel that draws by hand overrides this with nothing, and `show` too."""
        self.chart = Chart(*self.chart_px)
        with style():
            self.panes = self.axes(self.chart)
            self.artists = {"ghost": self.lines(self.chart, True), "now": self.lines(self.chart, False)}
        self._show_artists("ghost", False)

    def show(self, result, ghost, system, finding):
        """The picture of a result, and of the ghost if there is one, as HTML; `finding` is its text."""
        self._show_artists("ghost", ghost is not None)
        if ghost is not None:
            self.draw_ghost(self.artists["ghost"], ghost, system)
        self.draw(self.artists["now"], result, system)
        return beside(self.thing(result, ghost, system), self.chart.html(finding))

    def thing(self, result, ghost, system):
        """The thing itself as SVG, left of the chart, which carries the words; nothing where the chart is all."""
        return ""

    def axes(self, chart):
        """The axes with all that stands still; `lines`, `ticks` and the drawing find them as `self.panes`."""
        raise NotImplementedError

    def lines(self, chart, ghost):
        """Artists that move, by name, registered with `chart.moving`: those of the ghost, or those of the state."""
        raise NotImplementedError

    def ticks(self, system):
        """Label the axes in a unit system."""

    def draw_ghost(self, artists, result, system):
        """Move the ghost's artists to a result; often `draw` begins with it."""
        raise NotImplementedError

    def draw(self, artists, result, system):
        """Move the state's artists to a result."""
        raise NotImplementedError

    def say(self, result, system):
        """The finding in one sentence, with value and unit."""
        raise NotImplementedError

    def readout(self, result, system):
        """The few numbers to read, as (label, value) pairs."""
        return ()

    def answers(self, state):
        """Whether a state shows what the prediction asked and so brings its verdict; the word `to_see` says how."""
        return state != self.opening

    # what a person does -------------------------------------------------------------------------------------------

    def set(self, **changes):
        """Change fields of the state (SI): compute, draw and say once; a refusal keeps the last good picture."""
        with self.guard():
            self._update(**changes)

    def _update(self, **changes):
        self.requested = replace(self.requested, **changes)
        result = self.compute(self.requested)
        self.state, self.result = self.requested, result
        self._paint()
        if self.prediction is not None and not self._waiting and self.answers(self.state):
            self.prediction.reveal()
        self._note("")
        self._tell_left()

    def show_as_left(self, state, words):
        """Show the state in which it was left, with a note that goes at the first move."""
        with self.guard():
            self.requested = state
            self._leave_situation()
            self._sync_all()
            self._update()
            self._note(words)

    def _note(self, words):
        self.note.value = line(words) if words else ""
        self.note.layout.display = "" if words else "none"

    def close(self):
        """Close every widget, those behind "More" too."""
        super().close()
        close_tree(self.more)  # in view or not

    def type(self, field, typed):
        """Take a typed value of a slider's field, in the shown unit or with one of its own."""
        with self.guard():
            try:
                value = self.panel_controls.parse(field, typed)
            except KilnError as error:
                self.refused[field] = error
                raise
            self.refused.pop(field, None)
            self._leave_situation()
            with self.quietly():
                self.panel_controls.show(field, value)
            self._update(**{field: value})

    def pick(self, situation):
        """Take a named situation: one update, with the run before it left as a ghost."""
        with self.guard():
            before = self.before_pick()
            self.refused.clear()
            self.requested = replace(self.opening, **self.presets.get(situation, {}))
            self.more.value = False
            with self.quietly():
                self.situation.value = situation
            self._sync_all()
            self.leave_ghost(before)
            self._update()

    def before_pick(self):
        """What a situation is compared with: the result before it."""
        return self.result

    def leave_ghost(self, result):
        """Leave a ghost of a result, unless the person left a mark: that one stays."""
        self.ghost = self.kept or result

    def keep(self):
        """Leave a mark on what is shown now; it stays until another is left, or a reset."""
        with self.guard():
            self.ghost = self.kept = self.result
            self._paint()

    def reset(self):
        """Back to the exact opening state."""
        with self.guard():
            self.requested, self.ghost, self.kept = self.opening, None, None
            self.refused.clear()
            self.more.value = False
            with self.quietly():
                self.situation.value = self._as_it_opens()
            self._sync_all()
            self._update()

    def switch(self, system):
        """Show trade or metric units; the state does not move."""
        with self.guard():
            self.system = self.panel_controls.system = system
            self.refused.clear()
            self._ticks()
            self._sync_all()
            self._paint()
            self._tell_left()

    def extra_rows(self):
        """Widgets that stand under the controls, made once."""
        return ()

    # the screen ---------------------------------------------------------------------------------------------------

    def _build_screen(self):
        with self.quietly():
            self.panel_controls = Controls(self, self.state)
        opens = self._as_it_opens()
        self.situation = widgets.Dropdown(
            options=[
                *([] if opens in self.presets else [(text("panel.opens"), OPENS)]),
                *((self.word(f"preset.{key}"), key) for key in self.presets),
                (text("panel.own"), OWN),
            ],
            value=opens,
            description=text("panel.situation"),
        )
        self.situation.observe(self._situation_picked, "value")
        self.more = widgets.ToggleButton(description=text("panel.more"), tooltip=text("panel.more_tip"))
        self.more.observe(lambda _: self._fold(), "value")
        self._fold()
        self.unit_switch = unit_switch(self.switch, self.temperatures)
        if not self.has_units:
            self.unit_switch.layout.display = "none"
        self.keep_button = button("panel.keep", self.keep)
        self.reset_button = button("panel.reset", self.reset)
        self.numbers, self.picture, self.saying = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.note = widgets.HTML(layout={"display": "none"})
        self.prediction = None
        controls = widgets.VBox(
            [
                *([self.situation] if self.presets else []),
                *(row for row in self.panel_controls.rows if row not in self._folded_rows()),
                *([self.more] if self.folded else []),
                *self._folded_rows(),
                *self.extra_rows(),
                widgets.HBox([self.keep_button, self.reset_button, self.unit_switch]),
                self.note,
                self.numbers,
                self.saying,
            ]
        )
        controls.add_class("fc-controls")
        self.stage = widgets.VBox([self.picture])
        self.stage.add_class("fc-stage")
        self.view = self.framed(widgets.HBox([controls, self.stage]))

    @by_hand
    def slid(self, field, number):
        """A slider moved."""
        value = self.panel_controls.slid_to(field, number, getattr(self.requested, field))
        if value is not None:
            self._leave_situation()
            self.refused.pop(field, None)
            self.set(**{field: value})  # the picture first, for it takes the browser longest
            with self.quietly():
                self.panel_controls.show(field, value)

    @by_hand
    def typed_in(self, field, typed):
        """A value was typed."""
        self.type(field, typed)

    @by_hand
    def chosen(self, field, value):
        """A choice was made, or a switch turned; a situation that says otherwise loses its name."""
        if any(field in changes for changes in self.presets.values()):
            self._leave_situation()
        self.set(**{field: value})

    @by_hand
    def _situation_picked(self, change):
        if change["new"] != OWN:
            self.pick(change["new"])

    def _as_it_opens(self):
        """The situation in which it opens: one of those with a name, or its own."""
        same = (key for key, changes in self.presets.items() if replace(self.opening, **changes) == self.opening)
        return next(same, OPENS)

    def _leave_situation(self):
        """From here on it is a situation of the person's own; picking a named one again answers at once."""
        with self.quietly():
            self.situation.value = OWN

    def _sync_all(self):
        with self.quietly():
            self.panel_controls.show_all(self.requested)
        if any(getattr(self.requested, field) != getattr(self.opening, field) for field in self.folded):
            self.more.value = True

    def _folded_rows(self):
        return [self.panel_controls.row_of[field] for field in self.folded]

    def _fold(self):
        """Show what stands behind "More", or not: what is not as it opened is always in sight."""
        for row in self._folded_rows():
            row.layout.display = "" if self.more.value else "none"

    def _ticks(self):
        if self.chart is not None:
            self.ticks(self.system)
            self.chart.redraw_background()

    def _show_artists(self, which, visible):
        for artist in self.artists[which].values():
            for one in artist if isinstance(artist, list) else [artist]:
                one.set_visible(visible)

    def _paint(self):
        """Draw ghost and state, and say it: the one place where the screen changes."""
        if self.result is None:
            return  # the opening state could not be worked out
        finding = self.say(self.result, self.system)
        self.picture.value = self.show(self.result, self.ghost, self.system, finding)
        kept = "".join(line(sentence(error, self.system), "refusal") for error in self.refused.values())
        self.saying.value = line(finding) + kept
        self._stale(False)
        self.numbers.value = line(self.readout(self.result, self.system), "numbers")

    def show_error(self, error):
        """The guard's last step: the sentence goes where the finding stands; the picture stays."""
        self.saying.value = line(sentence(error, self.system), "refusal")
        self._stale(True)

    def _stale(self, on):
        """Gray the picture and the numbers while they do not show what the controls say."""
        for widget in (self.picture, self.numbers):
            (widget.add_class if on else widget.remove_class)("fc-stale")

    # predict first ------------------------------------------------------------------------------------------------

    def _ask_first(self, predict):
        self.prediction = predict(self._committed)
        self._waiting = True
        self._enable(False)
        self.stage.children = [self.prediction.view, self.picture]
        self._show_finding(False)

    def _committed(self):
        self._waiting = False
        self._enable(True)
        self.stage.children = [self.picture]
        self.view.children = [self.prediction.view, *self.view.children]
        if not self.answers(self.state):  # it says what to move next
            self.prediction.card.feedback.value += line(self.word("to_see"), "feedback")
        self._show_finding(True)

    def _show_finding(self, on):
        for widget in (self.picture, self.numbers, self.saying):
            show(widget, on)

    def _enable(self, on):
        self.panel_controls.enable(on)
        for widget in (self.situation, self.keep_button, self.reset_button):
            widget.disabled = not on
