"""This kiln's form: every line of the user's file in a labeled box, in trade or metric units."""

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit.parts import button, unit_switch
from kilnlib.bench.kit.screen import View, by_hand, line
from kilnlib.errors import KilnError, sentence
from kilnlib.store import kiln
from kilnlib.words import text

CSS = """<style>
.fc-form .widget-text {width: 100%; margin: 1px 0;}
.fc-form .widget-text .widget-label {width: 210px; min-width: 210px; font-size: 14px;}
.fc-form .widget-text input {font-size: 14px;}
.fc-form .widget-toggle-buttons .widget-label {display: none;}
.fc-form .widget-hbox {align-items: center;}
.fc-form .fc-said, .fc-form .fc-refusal {overflow-wrap: anywhere;}
</style>"""


class Panel(View):
    """The form. Public for tests: `boxes`, `save`, `undo`, `switch`, `kiln`, `last_error`, `close`."""

    name = "kiln_form"

    def __init__(self):
        super().__init__()
        self._wrong = []  # (label, error) of each box that cannot be read
        self._said = ""  # what stands under the boxes while nothing is typed
        self._shown = {}  # field: (text put into the box, the exact value it stands for)
        self.boxes = {row.field: self._box(row.field) for row in kiln.LINES}
        self.saying = widgets.HTML()
        self.unit_switch = unit_switch(self.switch)
        buttons = [button("kiln.save", self.save), button("kiln.undo", self.undo), self.unit_switch]
        boxes = list(self.boxes.values())
        half = (len(boxes) + 1) // 2
        columns = widgets.HBox([self._column(boxes[:half]), self._column(boxes[half:])])
        form = widgets.VBox(
            [widgets.HTML(CSS, layout={"display": "none"}), columns, widgets.HBox(buttons), self.saying]
        )
        form.add_class("fc-form")
        self.view = self.framed(form)
        self.undo()

    def save(self):
        """Write what the boxes say to the user's file; if one cannot be read, nothing is written and all text stays."""
        with self.guard():
            values = self._read()
            if self._wrong:
                raise self._wrong[0][1]
            self.kiln = kiln.ThisKiln(**values)
            self._show(self.kiln)
            kiln.save(self.kiln)
            self._say("kiln.saved")
            self.tell_kiln_saved()

    def undo(self):
        """Back to what the file holds, or to the example kiln while there is none."""
        with self.guard():
            self.kiln, problem = kiln.load_with_problem()
            self._show(self.kiln)
            if problem:
                raise problem
            self._say("kiln.opened" if kiln.kiln_file().exists() else "kiln.example")

    def switch(self, system):
        """Show trade or metric units; what cannot be read stays as it was typed."""
        values, self.system = self._read(), system
        self._wrong = []
        for row in kiln.LINES:
            if row.field in values:
                self._put(row, values[row.field])

    def show_error(self, error):
        """Under the boxes, every sentence with the box it is about; the boxes keep what was typed."""
        self.saying.value = "".join(line(self._why(what, why), "refusal") for what, why in self._wrong or [("", error)])
        self._wrong = []

    def _why(self, what, error):
        why = sentence(error, self.system)
        return text("kiln.at", what=what, why=why) if what and not why.startswith(what) else why

    def _read(self):
        """The values of the boxes that can be read, by field; why the others cannot is kept in `_wrong`."""
        values, self._wrong = {}, []
        for row in kiln.LINES:
            what = self.boxes[row.field].description
            try:
                values[row.field] = self._value(row, what)
            except KilnError as error:
                self._wrong.append((what, error))
        if {"coil_wet_bulb_limit_c", "top_dry_bulb_c"} <= values.keys():
            try:
                kiln.check_coil(values["coil_wet_bulb_limit_c"], values["top_dry_bulb_c"])
            except KilnError as error:
                self._wrong.append(("", error))
        return values

    def _value(self, row, what):
        typed = self.boxes[row.field].value
        shown, exact = self._shown[row.field]
        return exact if typed == shown else row.read(typed, self.system, what)

    @by_hand
    def _typed(self, _):
        """While the boxes differ from what was last shown, say that this is not saved yet."""
        changed = any(box.value != self._shown[field][0] for field, box in self.boxes.items())
        self.saying.value = line(text("kiln.not_saved")) if changed else self._said

    def _show(self, this):
        for row in kiln.LINES:
            self._put(row, getattr(this, row.field))

    def _put(self, row, value):
        shown = value if row.kind == "name" else units.show(value, row.kind, self.system)
        self._shown[row.field] = (shown, value)
        with self.quietly():
            self.boxes[row.field].value = shown

    def _say(self, key):
        tally = units.show(units.to_si(self.kiln.board_feet, "board_feet"), "board_feet", self.system)
        self._said = line(text(key, name=self.kiln.name, courses=self.kiln.courses, tally=tally, path=kiln.kiln_file()))
        self.saying.value = self._said

    def _box(self, field):
        box = widgets.Text(description=text(f"kiln.{field}"), tooltip=text(f"kiln.{field}_tip"))
        box.observe(self._typed, "value")
        return box

    @staticmethod
    def _column(boxes):
        return widgets.VBox(boxes, layout={"width": "420px", "margin": "0 20px 0 0"})
