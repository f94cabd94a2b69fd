"""Warming a cold load: the wood beside the dew point, hour by hour, and how long water stands on the wood."""

import functools

import numpy as np
from matplotlib.patches import Rectangle

from kilnlib import units
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, DARK_WOOD, GHOST, INK, RUST, SOFT
from kilnlib.cases import warming as case
from kilnlib.units import f_to_c

LOW_F, HIGH_F, FOOT_F = 22.0, 118.0, 27.0  # the row of the compressor lies at the foot
NEARLY_FULL_PCT, CLOSE_K = 85.0, 2.0 / 1.8


class Panel(App):
    """Green oak from the yard in our example kiln, set for a first step of 110 over 98 °F."""

    name = "warming"
    State = case.State
    controls = (
        Choice("way", case.WAYS),
        Slider("wood_c", "temperature", (34, 80, 1)),
        Slider("air_c", "temperature", (34, 90, 1)),
        Slider("step_k", "temperature_difference", (2, 30, 1)),
        Slider("depression_c", "temperature_difference", (3, 20, 1)),
    )
    presets = {  # noqa: RUF012
        "steps": {},
        "once": {"way": "once"},
        "warm_kiln": {"air_c": f_to_c(85.0), "wood_c": f_to_c(35.0)},
        "too_dry": {"depression_c": 18 / 1.8},
    }
    quick = False

    def compute(self, state):
        """The first forty hours."""
        return case.work_out(state)

    def answers(self, state):
        """The prediction is about both dials at once."""
        return state.way == "once"

    def axes(self, chart):
        """Temperatures against the hours."""
        course = chart.axes(0.095, 0.14, 0.88, 0.72)
        course.set_xlim(0, case.HOURS)
        course.set_ylim(f_to_c(LOW_F), f_to_c(HIGH_F))
        course.set_xlabel(self.word("x"))
        self.title = course.set_title("", loc="left", x=-0.09, y=1.09)
        keys = (("dial", SOFT), ("air", RUST), ("wood", DARK_WOOD), ("dew_point", BLUE))
        for x, (name, color) in zip((0.0, 0.17, 0.37, 0.55), keys, strict=True):
            course.text(x, 1.03, self.word(f"key.{name}"), color=color, transform=course.transAxes, weight="bold")
        return course

    def lines(self, chart, ghost):
        """Curves, the wet hours and the compressor's; of the run before only its dew point."""
        course, move = self.panes, chart.moving
        if ghost:
            return {"dew_point": move(course.plot([], [], color=GHOST, lw=1.8)[0])}
        tall = (HIGH_F - LOW_F) / 1.8
        return {
            "wet": move(course.add_patch(Rectangle((0, f_to_c(LOW_F)), 0, tall, fc="#d5e8f7", lw=0))),
            "wet_name": move(course.text(0, f_to_c(HIGH_F - 3), "", color=BLUE, va="top")),
            "dial": move(course.plot([], [], color=SOFT, lw=1.4, ls=(0, (5, 3)), drawstyle="steps-pre")[0]),
            "air": move(course.plot([], [], color=RUST, lw=2.2, ls=(0, (1, 1)))[0]),
            "wood": move(course.plot([], [], color=DARK_WOOD, lw=3.4)[0]),
            "dew_point": move(course.plot([], [], color=BLUE, lw=2.0)[0]),
            "runs": move(course.plot([], [], "|", color=INK, ms=7)[0]),
            "runs_name": move(course.text(0, 0, "", va="bottom", ha="right")),
        }

    def ticks(self, system):
        """Temperatures in the shown unit."""
        step, first, last = (20, 40, 110) if system == "trade" else (10, 0, 45)
        marks = range(first, last, step)
        self.panes.set_yticks([units.to_si(mark, "temperature", system) for mark in marks], [str(m) for m in marks])
        self.title.set_text(self.word("y", unit=units.unit_of("temperature", system).label))

    def draw_ghost(self, artists, result, system):
        """Move the dew point."""
        artists["dew_point"].set_data(result.hours, result.mean("dew_point_c"))

    def draw(self, artists, result, system):
        """Move the curves."""
        self.draw_ghost(artists, result, system)
        for name, values in (("dial", result.dial_c), ("air", result.mean("air_c")), ("wood", result.wood_c)):
            artists[name].set_data(result.hours, values)
        artists["wet"].set_width(result.wet_hours)
        artists["wet_name"].set_text(self.word("wet") if result.wet_hours else "")
        artists["wet_name"].set_x(0.4 if result.wet_hours > 3.0 else result.wet_hours + 0.4)
        foot = f_to_c(FOOT_F - 2.0)
        artists["runs"].set_data(result.hours, np.where(result.compressor > 0.0, foot, np.nan))
        artists["runs_name"].set_text(self.word("runs"))
        artists["runs_name"].set_position((case.HOURS - 0.3, f_to_c(FOOT_F)))

    def say(self, result, system):
        """Wet or not, wood and dew point half way, and whether the compressor keeps them apart."""
        temperature = functools.partial(units.show, kind="temperature", system=system)
        at = result.at
        below_k = result.wood_c[at] - result.mean("dew_point_c")[at]
        humidity = result.mean("rh_pct")[at]
        sentences = [self.word("say_wet" if result.wet_hours else "say_no_water", time=self._time(result.wet_hours))]
        below = units.show(max(below_k, 0.0), "temperature_difference", system, 0)
        sentences.append(self.word("say", hour=f"{result.hours[at]:.0f}", below=below, rh=f"{humidity:.0f}"))
        if humidity > NEARLY_FULL_PCT:
            wet, dial = temperature(result.wet_bulb_c[at]), temperature(result.wet_dial_c[at])
            sentences.append(self.word("say_trap", wet=wet, dial=dial))
        if below_k < CLOSE_K:
            sentences.append(self.word("say_close"))
        if result.driest_emc_pct < case.FIRST_STEP_EMC_PCT - 1.0:
            sentences.append(self.word("say_dry", first=f"{case.FIRST_STEP_EMC_PCT:.1f}"))
        return " ".join(sentences)

    def _time(self, hours):
        if hours < 2.0:
            return self.word("minutes", minutes=f"{60 * hours:.0f}")
        return self.word("hours", hours=f"{hours:.0f}")

    def readout(self, result, system):
        """How long it takes, and how dry it gets."""
        warm = self.word("not_yet", hours=case.HOURS)
        if result.warm_hour == result.warm_hour:
            warm = self.word("in_hours", hours=f"{result.warm_hour:.0f}")
        return (self.word("warm"), warm), (self.word("emc"), self.word("emc_is", driest=f"{result.driest_emc_pct:.1f}"))
