"""This kiln's form: every line of the user's file in a labeled box, in trade or metric units."""

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit.parts import button, unit_switch
from kilnlib.bench.kit.screen import View, line
from kilnlib.errors import KilnError, sentence
from kilnlib.store import kiln
from kilnlib.words import text

CSS = """<style>
.fc-form .widget-text {width: 100%; margin: 1px 0;}
.fc-form .widget-text .widget-label {width: 210px; min-width: 210px; font-size: 14px;}
.fc-form .widget-text input {font-size: 14px;}
.fc-form .widget-toggle-buttons .widget-label {display: none;}
.fc-form .fc-said, .fc-form .fc-refusal {overflow-wrap: anywhere;}
</style>"""


class Panel(View):
    """The form. Public for tests: `boxes`, `save`, `undo`, `switch`, `kiln`, `last_error`, `close`."""

    name = "kiln_form"

    def __init__(self):
        super().__init__()
        self._at = None  # label of the box being read
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
            values = {row.field: self._value(row) for row in kiln.LINES}
            self._at = None
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
        values = {}
        for row in kiln.LINES:
            try:
                values[row] = self._value(row)
            except KilnError:
                continue
        self._at, self.system = None, system
        for row, value in values.items():
            self._put(row, value)

    def show_error(self, error):
        """The sentence under the boxes, with the box it is about; the boxes keep what was typed."""
        why = sentence(error, self.system)
        if self._at and not why.startswith(self._at):
            why = text("kiln.at", what=self._at, why=why)
        self.saying.value = line(why, "refusal")
        self._at = None

    def _value(self, row):
        typed = self.boxes[row.field].value
        shown, exact = self._shown[row.field]
        if typed == shown:
            return exact
        self._at = self.boxes[row.field].description
        return row.read(typed, self.system, self._at)

    def _show(self, this):
        for row in kiln.LINES:
            self._put(row, getattr(this, row.field))

    def _put(self, row, value):
        shown = value if row.kind == "name" else units.show(value, row.kind, self.system)
        self._shown[row.field] = (shown, value)
        self.boxes[row.field].value = shown

    def _say(self, key):
        tally = units.show(units.to_si(self.kiln.board_feet, "board_feet"), "board_feet", self.system)
        self.saying.value = line(
            text(key, name=self.kiln.name, courses=self.kiln.courses, tally=tally, path=kiln.kiln_file())
        )

    def _box(self, field):
        return widgets.Text(description=text(f"kiln.{field}"), tooltip=text(f"kiln.{field}_tip"))

    @staticmethod
    def _column(boxes):
        return widgets.VBox(boxes, layout={"width": "420px", "margin": "0 20px 0 0"})
