"""The head of the boards: what the charge is, its units, and when new boards are weighed first."""

from dataclasses import replace

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.desk.sheet.boxes import Row
from kilnlib.bench.desk.sheet.parsing import guessed_step, now, read_weight, read_when, shown_weight
from kilnlib.bench.kit.screen import close_tree, line
from kilnlib.errors import sentence
from kilnlib.physics.samples import when_text
from kilnlib.physics.wood import SUGGESTED, meant_species, nearest_species, species_names
from kilnlib.typed import parse_quantity
from kilnlib.words import text

SETTINGS = ("charge", "species", "thickness", "target", "sample_unit", "section_unit", "scale_step")
ABOUT_SPECIES = ("unknown_species", "no_properties")
NAMES_TOLD = 3


class Charge:
    """One row a setting (`settings`), and `when_row`, above the rows of `boards`."""

    def __init__(self, desk, boards):
        self.desk, self._boards = desk, boards
        self.settings = {field: self._setting(field) for field in SETTINGS}
        self.settings["scale_step"].boxes["scale_step"].add_class("fc-skip")  # asked once there are weights
        words = {"when": (text("sheet.cut"), text("sheet.cut_tip"))}
        self.when_row = Row(desk, None, words, self._take_when, self._below, tidies=True)
        self.view = widgets.HBox([row.view for row in self._all()])
        self.view.add_class("fc-settings")

    def open(self):
        """Begin with a sheet that was opened."""
        self.when = None  # when new boards are weighed first, once it was typed
        for field, row in self.settings.items():
            row.rekey(None)
            row.rekey(f"charge|{field}")
        self.when_row.rekey(None)
        self.when_row.rekey("cut")

    def close(self):
        """Leave nothing behind."""
        for row in self._all():
            row.close()
        close_tree(self.view)

    def first_weighed(self):
        """When a new board is weighed first."""
        there = [board.weighings[0].when for board in self.desk.sheet.boards if board.weighings]
        return self.when or (there[0] if there else now())

    def show(self, questions):
        """Bring the boxes up to the sheet."""
        sheet = self.desk.sheet
        step_kg = sheet.scale_step_kg
        shown = {
            "target": "" if sheet.target_pct is None else f"{sheet.target_pct:g}",
            "scale_step": "" if step_kg is None else shown_weight(step_kg, sheet.sample_unit),
        }
        for field, row in self.settings.items():
            row.put(**{field: shown[field] if field in shown else getattr(sheet, field)})
            row.say()
        if step_kg is None and any(board.weighings for board in sheet.boards):
            step, row = guessed_step(sheet), self.settings["scale_step"]
            row.boxes["scale_step"].placeholder = step
            row.say(text("sheet.scale_step_asked", step=step, unit=sheet.sample_unit))
        if self.desk.active is not self.settings["species"]:  # while it is being typed it cannot be known yet
            asked = [notice for notice in questions if notice.code in ABOUT_SPECIES]
            meant = meant_species(sheet.species)
            plain = line(text("sheet.species_meant", species=meant)) if meant else ""
            self.settings["species"].say(*map(self._about_species, asked), plain=plain)
        self.when_row.put(when=when_text(self.first_weighed()))
        self.when_row.say()

    def _take_setting(self, row):
        field, typed = row.about, row.texts()[row.about]
        if not row.changed(field):
            return
        if field == "target":
            taken = {"target_pct": parse_quantity(typed, "percent", example="7") if typed else None}
        elif field == "scale_step":
            taken = {"scale_step_kg": read_weight(typed, self.desk.sheet.sample_unit) if typed else None}
        elif field.endswith("unit"):
            taken = {field: units.SPELLINGS.get(typed.lower().rstrip("."), typed)}
        else:
            taken = {field: typed}
        self.desk.change(replace(self.desk.sheet, **taken), row.key)

    def _take_when(self, row):
        typed = row.texts()["when"]
        if typed and row.changed("when"):
            self.when = read_when(typed, self.first_weighed())
        self.desk.waiting += [other for other in self._boards.rows if other.refusal is not None]

    def _about_species(self, notice):
        if notice.code != "unknown_species":
            return sentence(notice, self.desk.system)
        names = (" ".join(reversed(name.split(", "))) for name in nearest_species(self.desk.sheet.species, NAMES_TOLD))
        return text("sheet.unknown_species", text=notice.fields["text"], names=", ".join(names))

    def _all(self):
        return [*self.settings.values(), self.when_row]

    def _below(self, row):
        """The next box, of the head or of the first board."""
        rows = self._all()
        at = rows.index(row) + 1
        return next(iter(rows[at].boxes.values())) if at < len(rows) else self._boards.rows[0].boxes["a_green"]

    def _setting(self, field):
        options = {"species": species_names("schedule"), "thickness": SUGGESTED}.get(field, ())
        words = {field: (text(f"sheet.{field}"), text(f"sheet.{field}_tip"), options)}
        return Row(self.desk, None, words, self._take_setting, self._below, field)
