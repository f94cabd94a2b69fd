"""A year in a shed: dry oak, the air of a place month by month, and the heat that keeps the wood where it is."""

import numpy as np

from kilnlib import units
from kilnlib.bench.drawings import shed as picture
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, GREEN, INK, RUST, SOFT
from kilnlib.cases import shed as case
from kilnlib.physics.storage import MONTHS

TOP_PCT, KEY_PCT = 22.0, 20.3
YEAR = 365.0


class Panel(App):
    """Dry red oak goes in at the target; everything after that is computed."""

    name = "shed"
    State = case.State
    chart_px = (640 - picture.WIDTH, 400)
    controls = (
        Choice("place", case.PLACES),
        Choice("month", MONTHS),
        Choice("pack", tuple(case.PACKS)),
        Slider("target_pct", "percent", (5, 12, 0.5)),
        Slider("warmer_k", "temperature_difference", (0, 40, 1)),
    )
    presets = {  # noqa: RUF012
        "cold": {},
        "heated": {"warmer_k": 19 / 1.8},
        "too_hot": {"warmer_k": 35 / 1.8},
        "solid": {"pack": "solid"},
        "wrapped": {"pack": "wrapped"},
        "desert": {"place": "Phoenix, AZ"},
        "coast": {"place": "Seattle-Tacoma, WA", "month": "Oct"},
    }
    quick = False

    def word(self, key, **fields):
        """A place is its own name."""
        place = key.removeprefix("place.")
        return place if place in case.PLACES else super().word(key, **fields)

    def compute(self, state):
        """The year."""
        return case.work_out(state)

    def axes(self, chart):
        """Moisture against the months."""
        year = chart.axes(0.09, 0.25, 0.87, 0.65)
        year.set_xlim(0, YEAR)
        year.set_ylim(0, TOP_PCT)
        year.set_yticks(range(0, 21, 5))
        year.set_xticks([])
        year.set_title(self.word("y"), loc="left", x=-0.1)
        for x, name, color in (
            (0.02, "outdoors", SOFT),
            (0.31, "air", RUST),
            (0.53, "wood", BLUE),
            (0.74, "target", GREEN),
        ):
            year.text(x, KEY_PCT / TOP_PCT, self.word(f"key.{name}"), color=color, transform=year.transAxes)
        return year

    def lines(self, chart, ghost):
        """Steps of the air, the wood, and two rows of words under the months; of the run before only its wood."""
        year, move = self.panes, chart.moving
        if ghost:
            return {"wood": move(year.plot([], [], color=GHOST, lw=1.8)[0])}
        middle = (np.arange(12) + 0.5) * case.MONTH_DAYS
        return {
            "target": move(year.axhline(0, color=GREEN, lw=1.4)),
            "outdoors": move(year.plot([], [], color=SOFT, lw=1.6, ls=(0, (4, 2)), drawstyle="steps-post")[0]),
            "air": move(year.plot([], [], color=RUST, lw=2.0, ls=(0, (1, 1)), drawstyle="steps-post")[0]),
            "wood": move(year.plot([], [], color=BLUE, lw=2.6)[0]),
            "months": [move(year.text(x, -0.5, "", color=INK, ha="center", va="top")) for x in middle],
            "says": move(year.text(0, -3.1, "", color=RUST, va="top")),
            "needed": [move(year.text(x, -5.1, "", color=RUST, ha="center", va="top")) for x in middle],
        }

    def draw_ghost(self, artists, result, system):
        """Move the wood."""
        artists["wood"].set_data(result.days, result.mc_pct)

    def draw(self, artists, result, system):
        """Move the curves, and name months and degrees."""
        self.draw_ghost(artists, result, system)
        begins = np.arange(13) * case.MONTH_DAYS
        for name, values in (("outdoors", result.outdoor_pct), ("air", result.shed_pct)):
            artists[name].set_data(begins, np.append(values, values[-1]))
        artists["target"].set_ydata([result.state.target_pct] * 2)
        unit = units.unit_of("temperature_difference", system)
        artists["says"].set_text(self.word("needed", unit=unit.label, target=_pct(result.state.target_pct)))
        for month, degrees, text, number in zip(
            result.months, result.needed_k, artists["months"], artists["needed"], strict=True
        ):
            text.set_text(self.word(f"month.{month}"))
            number.set_text(f"{unit.from_si(degrees):.0f}")

    def thing(self, result, ghost, system):
        """The shed, and a floor board."""
        warmer = units.show_set(result.state.warmer_k, "temperature_difference", system)
        labels = {
            "outside": self.word("outside", place=result.state.place.split(",")[0]),
            "inside": self.word("inside", warmer=warmer) if result.state.warmer_k else self.word("unheated"),
            "laid": self.word(
                "laid", width=units.show(case.FLOOR_M, "thickness", system, 0), mc=_pct(result.state.target_pct)
            ),
            "later": self.word("later", mc=_pct(result.farthest_pct)),
            "grows": _change(result.grows_m, system),
        }
        return picture.drawing(result, labels)

    def say(self, result, system):
        """Where the wood is after three months and at its farthest, what a board does, and what holds it."""
        state = result.state
        unit = units.unit_of("temperature_difference", system)
        low = f"{unit.from_si(min(result.needed_k)):.0f}"
        high = units.show(max(result.needed_k), "temperature_difference", system, 0)
        width = units.show(case.FLOOR_M, "thickness", system, 0)
        change = self.word("wider" if result.grows_m > 0 else "narrower", by=_change(abs(result.grows_m), system))
        later, farthest = _pct(result.after_three_months_pct), _pct(result.farthest_pct)
        where = self.word("say", later=later, farthest=farthest, width=width, change=change)
        return where + " " + self.word("say_needed", target=_pct(state.target_pct), low=low, high=high)

    def readout(self, result, system):
        """After three months."""
        return ((self.word("three"), _pct(result.after_three_months_pct)),)


def _pct(value):
    return f"{value:.1f} %"


def _change(meters, system):
    """A change of width with its sign."""
    return units.show(meters, "thickness", system, 2 if system == "trade" else 1).replace("-", "−")
