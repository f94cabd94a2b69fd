"""The controls of a panel: sliders each with a typed value beside it, choices of a few words, switches on or off."""

import math
from dataclasses import dataclass
from itertools import groupby

import ipywidgets as widgets

from kilnlib import units
from kilnlib.typed import parse_quantity
from kilnlib.words import text


@dataclass(frozen=True)
class Slider:
    """A quantity of the state: field, kind of unit, and (low, high, step) in trade units.

    The handle keeps these steps in metric units too, so that switching units moves nothing.
    """

    field: str
    kind: str
    range: tuple[float, ...]

    def limits(self):
        """(low, high) in SI."""
        return tuple(units.to_si(end, self.kind) for end in self.range[:2])

    def at(self, value):
        """Where the handle stands for an SI value: on the nearest step, as the browser puts it."""
        low, high, step = self.range
        steps = math.floor((units.from_si(value, self.kind) - low) / step + 0.5)
        return min(max(low + steps * step, low), high)


@dataclass(frozen=True)
class Choice:
    """A field of the state that takes one of a few values; each value is a word of the panel."""

    field: str
    values: tuple


@dataclass(frozen=True)
class Switch:
    """A field of the state that is on or off; switches that follow each other share a row."""

    field: str
    values: tuple = (False, True)


class Controls:
    """Widgets of a panel's controls; `owner` answers with `slid`, `typed_in` and `chosen`, all by field."""

    def __init__(self, owner, state):
        self.owner, self.system = owner, "trade"
        self.of = {control.field: control for control in owner.controls}
        self.sliders, self.typed, self.choices, self.switches = {}, {}, {}, {}
        self.row_of = {}  # the row of a slider or a choice, by its field
        self.rows = [row for kind, group in groupby(owner.controls, type) for row in self._rows(kind, group)]
        self.show_all(state)
        self._listen()

    def _rows(self, kind, controls):
        if kind is Switch:
            boxes = widgets.HBox([self._switch(control) for control in controls])
            boxes.add_class("fc-switches")
            return [boxes]
        rows = []
        for one in controls:
            self.row_of[one.field] = self._slider_row(one) if kind is Slider else self._choice_row(one)
            rows.append(self.row_of[one.field])
        return rows

    def _switch(self, control):
        box = widgets.Checkbox(description=self.owner.word(control.field), indent=False)
        self.switches[control.field] = box
        return box

    def _slider_row(self, control):
        name = self.owner.word(control.field)
        low, high, step = control.range
        slider = widgets.FloatSlider(
            min=low,
            max=high,
            step=step,
            description=name,
            readout=False,
            continuous_update=self.owner.quick,
        )
        box = widgets.Text(continuous_update=False, tooltip=text("panel.type_here", what=name))
        self.sliders[control.field], self.typed[control.field] = slider, box
        return widgets.HBox([slider, box])

    def _choice_row(self, control):
        options = [(self.owner.word(f"{control.field}.{value}"), value) for value in control.values]
        self.choices[control.field] = widgets.Dropdown(options=options, description=self.owner.word(control.field))
        return self.choices[control.field]

    def _listen(self):
        for field, slider in self.sliders.items():
            slider.observe(lambda change, f=field: self.owner.slid(f, change["new"]), "value")
            self.typed[field].observe(lambda change, f=field: self.owner.typed_in(f, change["new"]), "value")
        for field, widget in (self.choices | self.switches).items():
            widget.observe(lambda change, f=field: self.owner.chosen(f, change["new"]), "value")

    def slid_to(self, field, number, current):
        """SI value of a slider's number; None where the browser only put the handle on the step nearest `current`."""
        control = self.of[field]
        if math.isclose(number, control.at(current), abs_tol=1e-6 * control.range[2]):
            return None
        return units.to_si(number, control.kind)

    def parse(self, field, typed):
        """SI value of a typed text; raises BadInput with a sentence."""
        low, high = self.of[field].limits()
        kind, what = self.of[field].kind, self.owner.word(field)
        example = units.show_set(getattr(self.owner.opening, field), kind, self.system)
        return parse_quantity(typed, kind, self.system, low, high, example=example, what=what)

    def show(self, field, value):
        """Put an SI value into its box and its slider."""
        control = self.of[field]
        self.typed[field].value = units.show_set(value, control.kind, self.system)
        self.sliders[field].value = control.at(value)

    def show_all(self, state):
        """Put a whole state into the controls, in the present unit system."""
        for field in self.sliders:
            self.show(field, getattr(state, field))
        for field, widget in (self.choices | self.switches).items():
            widget.value = getattr(state, field)

    def enable(self, on):
        """Let the controls be used, or not yet."""
        for widget in (*self.sliders.values(), *self.typed.values(), *(self.choices | self.switches).values()):
            widget.disabled = not on
