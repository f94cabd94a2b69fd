"""The five boxes of a setpoint check on the screen: a place for a sentence under each, and kept between openings."""

import contextlib
import datetime
import json

import ipywidgets as widgets

from kilnlib.bench.desk.setpoint.parsing import BOXES, placeholder, with_unit
from kilnlib.bench.kit.parts import on_enter
from kilnlib.bench.kit.screen import LOCK, Pause, by_hand, line
from kilnlib.errors import sentence
from kilnlib.physics.wood import SUGGESTED, species_names
from kilnlib.store.kiln import user_folder, write_file
from kilnlib.words import text

PAUSE_S = 0.4  # typing has paused
FILE_NAME = "setpoint_check.json"


class Form:
    """The boxes. `taken()` is called at each pause in typing; public for tests: `boxes`, `target`, `texts`, `flush`.

    `target` stands apart from the five: it is asked for only where it matters. `choose` keeps what is no box.
    """

    def __init__(self, taken):
        self._taken, self._pause, self._quiet, self._asked = taken, Pause(), False, ()
        self.system = "trade"
        kept = self._kept()
        self.system = "metric" if kept.get("system") == "metric" else "trade"
        self.boxes = {name: self._box(name, str(kept.get(name, ""))) for name in BOXES}
        self.target = self._box("target", str(kept.get("target", "")))
        chosen = kept.get("chosen")
        self._chosen = dict(chosen) if isinstance(chosen, dict) else {}
        self.said = {name: widgets.HTML() for name in BOXES}
        rows = [widget for name in BOXES for widget in (self.boxes[name], self.said[name])]
        self.view = widgets.VBox(rows)
        for look in ("fc-down", "fc-begin"):
            self.view.add_class(look)
        self.show({})

    @property
    def texts(self):
        """What stands in the boxes."""
        return {name: box.value for name, box in self.boxes.items()}

    def choose(self, name, value, charge=None):
        """Keep what holds for one charge alone: that in the boxes, or (wood, thickness, moisture content) as typed."""
        self._chosen[name] = [value, list(charge or self._charge())]

    def chosen(self, name):
        """What was kept for the charge in the boxes, or None: another wood or moisture content begins anew."""
        kept = self._chosen.get(name)
        return kept[0] if isinstance(kept, list) and kept[1:] == [self._charge()] else None

    def fill(self, texts):
        """Put other text into the boxes, "target" among them, and have it taken at once."""
        with LOCK:
            self._write(texts)
            self.flush()

    def switch(self, system):
        """Other units on the screen; what was typed as a plain number keeps the unit it was typed in."""
        with LOCK:
            if "dry" not in self._asked:  # a number that is asked about has no unit yet
                plain = [name for name in ("dry", "wet") if name not in self._asked]
                self._write({name: with_unit(self.boxes[name].value, self.system) for name in plain})
            self.system = system
            for name, box in self.boxes.items():
                box.placeholder = placeholder(name, system)
            self.flush()

    def flush(self):
        """Have what stands here taken now."""
        with LOCK:
            self._pause.cancel()
            self._taken()

    def keep(self):
        """Write what stands here to the user's folder. Raises CannotSave with a sentence."""
        kept = {"system": self.system, "target": self.target.value, "chosen": self._chosen} | self.texts
        if kept != self._kept():
            write_file(user_folder() / FILE_NAME, json.dumps(kept, indent=1, ensure_ascii=False).encode())

    def kept_at(self):
        """When what stands in the user's folder was typed, or None."""
        with contextlib.suppress(OSError):
            return datetime.datetime.fromtimestamp((user_folder() / FILE_NAME).stat().st_mtime)

    def show(self, refused):
        """Put each refusal under its box."""
        self._asked = tuple(refused)
        for name, said in self.said.items():
            error = refused.get(name)
            said.value = line(sentence(error, self.system), "refusal") if error else ""
            said.layout.display = "" if error else "none"

    def close(self):
        """Take nothing any more."""
        self._pause.cancel()

    def _charge(self):
        return [self.texts[name].strip() for name in BOXES[:3]]

    def _box(self, name, typed):
        options = {"species": tuple(species_names("schedule")), "thickness": SUGGESTED}.get(name)
        words = {
            "value": typed,
            "description": text(f"setpoint_check.{name}"),
            "tooltip": text(f"setpoint_check.{name}_tip"),
            "placeholder": placeholder(name, self.system),
        }
        made = widgets.Combobox(options=options, **words) if options else widgets.Text(**words)
        made.observe(self._typing, "value")
        on_enter(made, self.flush)
        return made

    @by_hand
    def _typing(self, change):
        self._pause.wait(self.flush, PAUSE_S)

    def _write(self, texts):
        self._quiet = True
        try:
            for name, typed in texts.items():
                (self.target if name == "target" else self.boxes[name]).value = typed
        finally:
            self._quiet = False

    @staticmethod
    def _kept():
        with contextlib.suppress(OSError, ValueError, RecursionError):  # the file may be damaged
            found = json.loads((user_folder() / FILE_NAME).read_text(encoding="utf-8"))
            return found if isinstance(found, dict) else {}
        return {}
