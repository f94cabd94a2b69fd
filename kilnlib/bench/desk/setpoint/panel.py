"""Is this setting all right today? Five boxes, a verdict with its reasons, the one change, and a card for the wall."""

import datetime
import math

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.desk.setpoint import card, parsing, wording
from kilnlib.bench.desk.setpoint.chart import SetpointChart
from kilnlib.bench.desk.setpoint.form import Form
from kilnlib.bench.desk.setpoint.parsing import BOXES, example, read
from kilnlib.bench.desk.setpoint.style import CSS
from kilnlib.bench.desk.setpoint.wording import word
from kilnlib.bench.desk.sheet.files import last_sheet
from kilnlib.bench.kit.parts import button, printed_again, unit_switch
from kilnlib.bench.kit.screen import LOCK, View, by_hand, line
from kilnlib.errors import BadInput, sentence
from kilnlib.physics import air
from kilnlib.physics.daily import share_now_pct
from kilnlib.physics.setpoint import DRYING, STAGES, check_setpoint
from kilnlib.store.exports import write_out
from kilnlib.store.kiln import kiln_file, load_with_problem
from kilnlib.words import text


class Panel(View):
    """The tool.

    Public for tests: `form`, `check`, `fill_example`, `fill_from_sheet`, `print_card`, `switch`, `last_error`, `close`.
    """

    name = "setpoint_check"

    def __init__(self):
        super().__init__()
        self.check = None  # the last answer, None while there is none
        self.reading = None
        self._chart = None
        self._asked = ""  # the question that the picture answers
        self.form = Form(self._answer)
        self.system = self.form.system
        self._build()
        with self.guard():
            self._show()
            if self.check is not None and (typed := self.form.kept_at()) is not None:
                self.told.value = line(word("typed_at", when=f"{typed:%Y-%m-%d %H:%M}"))

    # what a person does -------------------------------------------------------------------------------------------

    def fill_example(self):
        """The boxes of an invented charge."""
        self.form.fill({name: example(name, self.system) for name in BOXES})

    def fill_from_sheet(self):
        """Wood, thickness, controlling MC, target, pace and bulbs of the sample sheet used last."""
        with self.guard():
            name, texts, share_pct = _from_sheet(self.system)
            known = None if math.isnan(share_pct) else share_pct
            self.form.choose("share_pct", known, [texts[box].strip() for box in BOXES[:3]])
            self.form.fill(texts)
            self.told.value = line(word("from_sheet_done", name=name))

    @by_hand
    def switch(self, system):
        """Show trade or metric units."""
        self.system = system
        self.form.switch(system)

    @by_hand
    def choose_stage(self, stage):
        """Where the charge is: just loaded, drying, equalizing or conditioning."""
        self.form.choose("stage", stage)
        self._answer()

    def print_card(self):
        """Write the wall card of this stock to the user's folder, say where it is, and have it printed."""
        with self.guard():
            self.form.flush()
            species, thickness = (self.reading.values.get(name) for name in BOXES[:2])
            made = card.card(
                species,
                thickness,
                self.kiln,
                self.system,
                datetime.date.today(),
                self.reading.values.get("mc"),
                kiln_file().exists(),
            )
            data = card.as_html(made)
            (path,) = write_out(f"Wall card {species} {thickness.replace('/', '-')}", html=data).values()
            self.told.value = ""  # the same page again is news to the script that prints it
            self.told.value = printed_again(word("card_made", path=path), word("link"), path, data)

    # the screen ---------------------------------------------------------------------------------------------------

    def _build(self):
        self.kiln_line, self.told, self.question, self.answer, self.why = (widgets.HTML() for _ in range(5))
        self.before, self.picture, self.numbers, self.who = (widgets.HTML() for _ in range(4))
        self.stage = widgets.Dropdown(
            options=[(text(f"setpoint.stage.{one}"), one) for one in STAGES],
            value=DRYING,
            description=word("stage"),
            tooltip=word("stage_tip"),
            layout={"display": "none"},
        )
        self.stage.observe(lambda change: self.choose_stage(change["new"]), "value")
        self.unit_switch = unit_switch(self.switch)
        with self.quietly():
            self.unit_switch.value = self.system
        self.example_button = button("setpoint_check.example", self.fill_example)
        self.sheet_button = button("setpoint_check.from_sheet", self.fill_from_sheet)
        self.card_button = button("setpoint_check.card", self.print_card)
        self.card_button.add_class("fc-prints")
        bar = widgets.HBox([self.unit_switch, self.sheet_button, self.example_button, self.card_button])
        bar.add_class("fc-tools-row")
        asked = widgets.VBox([self.form.view, self.stage, self.form.target, bar, self.question, self.told])
        answered = widgets.VBox([self.answer, self.why])
        sources = widgets.VBox([self.who, self.kiln_line, widgets.HTML(line(word("defer")) + line(word("mixing")))])
        shown = widgets.VBox([self.before, self.picture])
        for part, side in ((asked, "ask"), (answered, "answer"), (sources, "ask"), (shown, "show")):
            part.add_class(f"fc-{side}-side")
        look = widgets.HTML(CSS, layout={"display": "none"})
        rows = [widgets.HBox([asked, answered]), self.numbers, widgets.HBox([sources, shown])]
        desk = widgets.VBox([look, *rows])  # boxes, verdict, reasons and numbers in one view
        desk.add_class("fc-setpoint")
        self.view = self.framed(desk)

    def _answer(self):
        """Something was typed: keep it, and answer."""
        with self.guard():
            self.told.value = ""
            try:
                self._show()
            finally:
                self.form.keep()

    def _show(self):
        """Bring the screen up to the boxes."""
        with LOCK:
            self.kiln, problem = load_with_problem()
            self._show_kiln(problem)
            pressure = air.pressure_pa(self.kiln.altitude_m)
            self.reading = read(self.form.texts, self.system, pressure, self.kiln.driest_rh_pct)
            refused, asked = self.reading.refused, self.reading.inputs
            self.form.show(refused)
            self.check = None
            if asked is not None:
                try:
                    target = parsing.target(self.form.target.value, self.system)
                    self.check = check_setpoint(**vars(asked), kiln=self.kiln, target_pct=target, **self._chosen())
                except Exception:
                    self._show_waiting({}, False)  # no verdict may stand there that belongs to something else
                    self.stage.layout.display, self.form.target.layout.display = "none", ""  # it may be the target
                    raise
            self._show_stage()
            empty = len(self.reading.missing) == len(BOXES)
            self.example_button.layout.display = "" if empty else "none"
            self.card_button.layout.display = "none" if empty else ""
            self.card_button.disabled = not all(name in self.reading.values for name in BOXES[:2])
            if self.check is None:
                self._show_waiting(refused, empty)
            else:
                self._show_check()

    def _chosen(self):
        """The stage chosen by hand and the share of the limit that the sheet knew; a damaged file knows neither."""
        stage, share_pct = self.form.chosen("stage"), self.form.chosen("share_pct")
        is_share = isinstance(share_pct, float) and math.isfinite(share_pct)
        return {"stage": stage if stage in STAGES else None, "share_pct": share_pct if is_share else math.nan}

    def _show_stage(self):
        """The stage as it is taken; the question stands there only where it matters."""
        self.stage.layout.display = "" if self.check is not None and self.check.asks_stage else "none"
        self.form.target.layout.display = self.stage.layout.display
        if self.check is not None:
            with self.quietly():
                self.stage.value = self.check.stage

    def _show_kiln(self, problem):
        temperature = {"top": self.kiln.top_dry_bulb_c, "coil": self.kiln.coil_wet_bulb_limit_c}
        shown = {name: units.show(value, "temperature", self.system) for name, value in temperature.items()}
        said = word(
            "kiln_own" if kiln_file().exists() and not problem else "kiln_example",
            name=self.kiln.name,
            altitude=units.show(self.kiln.altitude_m, "altitude", self.system),
            driest=units.show(self.kiln.driest_rh_pct, "percent", decimals=0),
            **shown,
        )
        warned = line(sentence(problem, self.system), "refusal") if problem else ""
        self.kiln_line.value = warned + line(said)

    def _show_waiting(self, refused, empty):
        """No verdict: what is wrong, or missing; a picture that stays says which question it answered."""
        names = [word(name) for name in (refused or self.reading.missing)]
        key = "refused" if refused else "start" if empty else "needed"
        self.answer.value = line(word(key, names=", ".join(names))) if names else ""
        self.question.value = self.why.value = self.who.value = self.numbers.value = ""
        if empty or not self._asked:
            self._asked = self.before.value = self.picture.value = ""
            return
        last = word("last", asked=self._asked)
        self.before.value = line(last)
        self.picture.value = self._chart.again(last)
        self.picture.add_class("fc-stale")

    def _show_check(self):
        check, system = self.check, self.system
        if self._chart is None or self._chart.altitude_m != self.kiln.altitude_m:
            self._chart = SetpointChart(self.kiln.altitude_m)
        self.question.value = wording.question_html(check, system)
        self.answer.value = wording.verdict_html(check, system)
        self.why.value = wording.reasons_html(check, system)
        self.before.value, self._asked = "", wording.question(check, system)
        self.picture.value = self._chart.html(check, system, wording.say(check, system))
        self.numbers.value = line(wording.result_rows(check, system), "numbers")
        self.who.value = wording.key_html(check, system) + wording.sources_html(check)
        self.picture.remove_class("fc-stale")

    def show_error(self, error):
        """The sentence stands under the buttons; the boxes keep what was typed."""
        self.told.value = line(sentence(error, self.system), "refusal")

    def close(self):
        """Leave nothing behind."""
        self.form.close()
        super().close()


def _from_sheet(system):
    """Of the sample sheet used last: (name of the charge, {box: text}, share of the limit by the fastest board [%]).

    Bulbs come only where the sheet has any. Raises with a sentence.
    The sheet is read, not opened: it may be open in its own tool.
    """
    path, sheet = last_sheet()
    days = [day for day in sheet.days if day.mcs_pct]
    if not days:
        raise BadInput("no_weights_yet")
    texts = {
        "species": sheet.species,
        "thickness": sheet.thickness,
        "mc": f"{days[-1].controlling_pct:.1f}",
        "target": "" if sheet.target_pct is None else f"{sheet.target_pct:g}",
    }
    if sheet.air:
        reading = sheet.air[-1]
        for box, bulb_c in (("dry", reading.dry_bulb_c), ("wet", reading.wet_bulb_c)):
            number = units.from_si(bulb_c, "temperature", system)
            texts[box] = f"{number:.1f}".removesuffix(".0")
    return sheet.charge or path.stem, texts, share_now_pct(sheet)
