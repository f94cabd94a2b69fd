"""Where this air takes wood: boards that chase its EMC through the days, and EMC against RH beside them."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from kilnlib import units
from kilnlib.bench.drawings import chase as picture
from kilnlib.bench.kit.app import Slider
from kilnlib.bench.kit.colors import GHOST, GREEN, INK, SOFT
from kilnlib.bench.kit.time_bar import TimedApp
from kilnlib.cases import chase
from kilnlib.cases.tamarack import PRESSURE_PA
from kilnlib.physics import air
from kilnlib.physics.air import emc

F = units.f_to_c
STEP_C = 2 / 1.8
WARMER_C = 20 / 1.8
# key: (shift, line style, mark in its name, height of its name)
CURVES = {
    "cooler": (-30 / 1.8, (0, (6, 2)), "╸╸╸", 28.0),
    "curve": (0.0, "-", "━━", 26.0),
    "warmer": (30 / 1.8, (0, (2, 2)), "····", 24.0),
}
RH_PCT = np.linspace(0.0, 98.0, 60)


@dataclass(frozen=True)
class State:
    """What the sliders set."""

    dry_bulb_c: float = F(110.0)
    depression_c: float = 10 / 1.8
    day: float = 0.0


@dataclass(frozen=True)
class Result:
    """EMC of the air, and which way it moves."""

    state: State
    wet_bulb_c: float
    rh_pct: float
    emc_pct: float
    by_depression: float | None  # change for a wider depression; None where no air is that dry
    by_heat: float | None  # change for warmer air of the same RH; None beyond the equation
    beyond_table: bool  # the handbook's table ends before this air
    curves_pct: dict[str, np.ndarray]  # curve: EMC along RH_PCT at its temperature, as far as the equation goes
    boards_pct: dict[str, float]  # board: its moisture content after the days


class Panel(TimedApp):
    """EMC of the kiln's air at Tamarack Ford's altitude, and three boards that are left in it."""

    name = "emc"
    last_day = chase.LAST_DAY
    chart_px = (640 - picture.WIDTH, 400)
    State = State
    controls = (
        Slider("dry_bulb_c", "temperature", (70, 200, 1)),
        Slider("depression_c", "temperature_difference", (0, 60, 1)),
    )
    presets = {  # noqa: RUF012
        "opening": {"dry_bulb_c": F(110.0), "depression_c": 4 / 1.8},
        "poplar": {"dry_bulb_c": F(120.0), "depression_c": 10 / 1.8},
        "late": {"dry_bulb_c": F(140.0), "depression_c": 30 / 1.8},
        "shed": {"dry_bulb_c": F(75.0), "depression_c": 5 / 1.8},
        "shop": {"dry_bulb_c": F(70.0), "depression_c": 18 / 1.8},
    }

    def compute(self, state):
        """RH and EMC now, and after small moves."""
        dry, wet = state.dry_bulb_c, state.dry_bulb_c - state.depression_c
        rh = air.rh_pct(dry, wet, PRESSURE_PA)
        now = emc.emc_pct(dry, rh)
        by_depression = by_heat = None
        if wet - STEP_C > air.wet_bulb_c(dry, 0.0, PRESSURE_PA):
            by_depression = emc.emc_pct_from_bulbs(dry, wet - STEP_C, PRESSURE_PA) - now
        if dry + WARMER_C <= emc.TEMPERATURE_C[1]:
            by_heat = emc.emc_pct(dry + WARMER_C, rh) - now
        shifted_c = {key: dry + curve[0] for key, curve in CURVES.items()}
        low, high = emc.TEMPERATURE_C
        curves = {key: emc.emc_pct(at_c, RH_PCT) for key, at_c in shifted_c.items() if low <= at_c <= high}
        boards = chase.boards_pct(dry, wet, round(state.day))
        return Result(state, wet, rh, now, by_depression, by_heat, bool(emc.beyond_table(rh)), curves, boards)

    def answers(self, state):
        """The prediction is about Friday’s air: only there do the boards bear out its verdict."""
        return state.day > 0 and state == replace(self.opening, day=state.day)

    def lines(self, chart, ghost):
        """Three curves, and the point on the middle one with its level."""
        curves = self.panes
        artists = {}
        if not ghost:
            for key, (_, style, _, height) in CURVES.items():
                width, color = (2, INK) if key == "curve" else (1.3, SOFT)
                artists[key] = chart.moving(curves.plot([], [], ls=style, color=color, lw=width)[0])
                artists[f"{key}_name"] = chart.moving(curves.text(4, height, "", color=color, va="center"))
        color = GHOST if ghost else GREEN
        artists["level"] = chart.moving(curves.plot([], [], color=color, lw=2, ls="--")[0])
        look = {"color": color, "ms": 8 if ghost else 11, "mec": "white", "clip_on": False}
        artists["on_curve"] = chart.moving(curves.plot([], [], "o", **look)[0])
        return artists

    def axes(self, chart):
        """EMC against RH, at the heights of the drawing beside it."""
        bottom, top = (1 - picture.y(mc) / picture.HEIGHT for mc in (0, picture.TOP_PCT))
        curves = chart.axes(0.1, bottom, 0.85, top - bottom)
        curves.set_xlim(0, 100)
        curves.set_ylim(0, picture.TOP_PCT)
        curves.set_xlabel(self.word("x_rh"))
        curves.set_title(self.word("y_emc"), loc="left", x=-0.1)
        curves.grid(True)
        return curves

    def thing(self, result, ghost, system):
        """Three boards on their way to the EMC of this air."""
        labels = {name: self.word(f"board_{name}") for name in chase.START_PCT}
        day = round(result.state.day)
        labels["title"] = self.word("boards_after" if day else "boards_start", day=day)
        labels["emc"] = self.word("emc")
        labels["level"] = f"{result.emc_pct:.1f} %"
        return picture.drawing(result, labels)

    def draw_ghost(self, artists, result, system):
        """Move the point and its level."""
        artists["on_curve"].set_data([result.rh_pct], [result.emc_pct])
        artists["level"].set_data([0, result.rh_pct, result.rh_pct], [result.emc_pct, result.emc_pct, 0])

    def draw(self, artists, result, system):
        """Move the point, and the three curves."""
        self.draw_ghost(artists, result, system)
        for key, (shift, _, mark, _) in CURVES.items():
            visible = key in result.curves_pct
            artists[key].set_visible(visible)
            artists[f"{key}_name"].set_visible(visible)
            if visible:
                artists[key].set_data(RH_PCT, result.curves_pct[key])
                temperature = units.show(result.state.dry_bulb_c + shift, "temperature", system)
                artists[f"{key}_name"].set_text(f"{mark} {temperature}")

    def say(self, result, system):
        """The EMC, and which way it moves."""
        finding = self.word(
            "say",
            dry=units.show_set(result.state.dry_bulb_c, "temperature", system),
            depression=units.show_set(result.state.depression_c, "temperature_difference", system),
            rh=f"{result.rh_pct:.0f}",
            emc=f"{result.emc_pct:.1f}",
        )
        if result.beyond_table:
            finding += " " + self.word("say_beyond")
        if day := round(result.state.day):
            wet, yours, dry = (f"{mc:.1f}" for mc in result.boards_pct.values())
            finding += " " + self.word("say_boards", day=day, wet=wet, yours=yours, dry=dry)
        return finding

    def readout(self, result, system):
        """EMC, RH, wet bulb, and the two moves."""
        step = functools.partial(units.show, kind="temperature_difference", system=system)
        rows = [
            (self.word("emc"), f"{result.emc_pct:.1f} %" + (" ?" if result.beyond_table else "")),
            (self.word("rh"), f"{result.rh_pct:.0f} %"),
            (self.word("wet"), units.show(result.wet_bulb_c, "temperature", system)),
        ]
        if result.by_depression is not None:
            rows.append((self.word("more_depression", step=step(STEP_C)), _points(result.by_depression)))
        if result.by_heat is not None:
            rows.append((self.word("warmer", step=step(WARMER_C)), _points(result.by_heat)))
        return rows


def _points(change):
    """A change in points with its sign and arrow."""
    arrow = "↑" if change > 0.05 else "↓" if change < -0.05 else "→"
    return f"{arrow} {abs(change):.1f}"
