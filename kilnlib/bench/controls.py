"""The controls of a panel: sliders each with a typed value beside it, and choices of a few words."""

from dataclasses import dataclass

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.words import text


@dataclass(frozen=True)
class Slider:
    """A quantity of the state: field, kind of unit, and (low, high, step) in trade and in metric units."""

    field: str
    kind: str
    trade: tuple
    metric: tuple

    def range(self, system):
        """(low, high, step) in the shown unit."""
        return self.metric if system == "metric" else self.trade

    def limits(self, system):
        """(low, high) in SI."""
        return tuple(units.to_si(end, self.kind, system) for end in self.range(system)[:2])


@dataclass(frozen=True)
class Choice:
    """A field of the state that takes one of a few values; each value is a word of the panel."""

    field: str
    values: tuple


class Controls:
    """Widgets of a panel's controls; `owner` answers with `slid`, `typed_in` and `chosen`, all by field."""

    def __init__(self, owner, state):
        self.owner, self.system = owner, "trade"
        self.of = {control.field: control for control in owner.controls}
        self.sliders, self.typed, self.choices, self.rows = {}, {}, {}, []
        for control in owner.controls:
            row = self._slider_row(control) if isinstance(control, Slider) else self._choice_row(control)
            self.rows.append(row)
        self.show_all(state)
        self._listen()

    def _slider_row(self, control):
        name = self.owner.word(control.field)
        slider = widgets.FloatSlider(description=name, readout=False, continuous_update=self.owner.quick)
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
        for field, drop in self.choices.items():
            drop.observe(lambda change, f=field: self.owner.chosen(f, change["new"]), "value")

    def to_si(self, field, number):
        """SI value of a slider's number."""
        return units.to_si(number, self.of[field].kind, self.system)

    def parse(self, field, typed):
        """SI value of a typed text; raises BadInput with a sentence."""
        low, high = self.of[field].limits(self.system)
        what = self.owner.word(field)
        return units.parse(typed, self.of[field].kind, self.system, low, high, what=what)

    def show(self, field, value, slider=True):
        """Put an SI value into its box, and into its slider."""
        kind = self.of[field].kind
        self.typed[field].value = units.show(value, kind, self.system)
        if slider:
            self.sliders[field].value = units.from_si(value, kind, self.system)

    def show_all(self, state):
        """Put a whole state into the controls, in the present unit system."""
        for field, slider in self.sliders.items():
            low, high, step = self.of[field].range(self.system)
            slider.min, slider.max = min(low, slider.min), max(high, slider.max)
            self.show(field, getattr(state, field))
            slider.min, slider.max, slider.step = low, high, step
        for field, drop in self.choices.items():
            drop.value = getattr(state, field)

    def enable(self, on):
        """Let the controls be used, or not yet."""
        for widget in (*self.sliders.values(), *self.typed.values(), *self.choices.values()):
            widget.disabled = not on
