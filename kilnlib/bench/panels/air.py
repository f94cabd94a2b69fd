"""The air in the kiln: two bulbs on a psychrometric chart, and what heat, drying and a bad wick do to them."""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib import units
from kilnlib.bench.drawings import cup
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, INK, RUST, SOFT
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.store import kiln

F = units.f_to_c
HEAT_C = 10 / 1.8
DRY_SHARE = 0.2
WICK_DRY_PCT = 50.0
CURVES_PCT = {10: 0.025, 20: 0.06, 40: 0.12, 60: 0.19, 80: 0.265, 100: 0.2}  # RH: humidity ratio where its name stands
GRID_C = np.linspace(F(66.0), F(204.0), 70)
TICKS = {"trade": range(80, 201, 20), "metric": range(30, 91, 10)}
TOP_RATIO = 0.36
PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 1.5}  # a curve is broken where its own name stands


@dataclass(frozen=True)
class State:
    """What the sliders set."""

    dry_bulb_c: float = F(110.0)
    wet_bulb_c: float = F(106.0)
    altitude_m: float = 900 * units.FT_M
    what_if: str = "nothing"


@dataclass(frozen=True)
class After:
    """Air that the "what if" leads to."""

    dry_bulb_c: float
    wet_bulb_c: float
    rh_pct: float
    emc_pct: float
    dew_point_c: float
    ratio: float
    full_pa: float


@dataclass(frozen=True)
class Result:
    """The air, and where the "what if" would take it (or where a bad wick would claim it is)."""

    state: State
    rh_pct: float
    emc_pct: float
    dew_point_c: float
    ratio: float
    full_pa: float  # what this air can hold, as pressure of its vapor: the height of the cup
    beyond_table: bool  # the handbook's EMC table ends before this air
    pressure_pa: float
    curves: tuple[np.ndarray, ...]  # humidity ratio along GRID_C for each of CURVES_PCT
    wet_line: tuple[np.ndarray, np.ndarray]  # dry bulbs and humidity ratios, from saturation to the point
    after: After | None


@functools.lru_cache(maxsize=64)
def _curves(pressure):
    """Humidity ratio along the lines of equal RH; the part at or beyond boiling is left out."""
    below = np.where(air.boiling_c(pressure) - 0.5 > GRID_C, GRID_C, np.nan)
    return tuple(air.humidity_ratio(below, rh, pressure) for rh in CURVES_PCT)


def _after(state, rh, pressure):
    """The air after the "what if", or None."""
    dry, wet = state.dry_bulb_c, None
    if state.what_if == "nothing":
        return None
    if state.what_if == "heat":
        dry = state.dry_bulb_c + HEAT_C
        rh *= air.saturation_pressure_pa(state.dry_bulb_c) / air.saturation_pressure_pa(dry)
        dry = min(dry, emc.TEMPERATURE_C[1])
    elif state.what_if == "dry":
        rh *= 1 - DRY_SHARE
    else:
        wet = air.wet_bulb_reading_c(dry, state.wet_bulb_c, WICK_DRY_PCT)
        rh = air.rh_pct(dry, wet, pressure)
    wet = air.wet_bulb_c(dry, rh, pressure) if wet is None else wet
    ratio, full = air.humidity_ratio(dry, rh, pressure), air.saturation_pressure_pa(dry)
    return After(dry, wet, rh, emc.emc_pct(dry, rh), air.dew_point_c(dry, rh), ratio, full)


def _height(ratio):
    """Height on the chart: the square root opens up the dry end, where kilns work."""
    return np.sqrt(ratio)


class Panel(App):
    """A cup of the kiln's air that grows with heat, beside the psychrometric chart."""

    name = "air"
    chart_px = (640 - cup.WIDTH, 400)
    State = State
    controls = (
        Slider("dry_bulb_c", "temperature", (70, 200, 1)),
        Slider("wet_bulb_c", "temperature", (50, 195, 1)),
        Slider("altitude_m", "altitude", (0, 10000, 100)),
        Choice("what_if", ("nothing", "heat", "dry", "wick")),
    )
    presets = {  # noqa: RUF012
        "opening": {"dry_bulb_c": F(110.0), "wet_bulb_c": F(106.0)},
        "middle": {"dry_bulb_c": F(120.0), "wet_bulb_c": F(106.0)},
        "late": {"dry_bulb_c": F(140.0), "wet_bulb_c": F(110.0)},
        "fog": {"dry_bulb_c": F(100.0), "wet_bulb_c": F(100.0)},
        "yard": {"dry_bulb_c": F(75.0), "wet_bulb_c": F(70.0)},
    }

    def __init__(self, predict=None):
        self._take_altitude()
        super().__init__(predict)

    def _take_altitude(self):
        self.presets = type(self).presets | {"own": {"altitude_m": kiln.load().altitude_m}}

    def kiln_saved(self):
        """The situation that bears its name is at its altitude from now on, and where it is chosen, at once."""
        self._take_altitude()
        if self.situation.value == "own":
            self.pick("own")

    def compute(self, state):
        """RH, EMC, dew point and water in the air, and the same after the "what if"."""
        pressure = air.pressure_pa(state.altitude_m)
        rh = air.rh_pct(state.dry_bulb_c, state.wet_bulb_c, pressure)
        ratio = air.humidity_ratio(state.dry_bulb_c, rh, pressure)
        along = np.linspace(state.wet_bulb_c, state.dry_bulb_c, 20)
        return Result(
            state,
            rh,
            emc.emc_pct(state.dry_bulb_c, rh),
            air.dew_point_c(state.dry_bulb_c, rh),
            ratio,
            air.saturation_pressure_pa(state.dry_bulb_c),
            bool(emc.beyond_table(rh)),
            pressure,
            _curves(pressure),
            (along, air.humidity_ratio_from_bulbs(along, state.wet_bulb_c, pressure)),
            _after(state, rh, pressure),
        )

    def lines(self, chart, ghost):
        """The point with its lines to wet bulb and dew point, the arrow."""
        axes, move = self.panes, chart.moving
        color = GHOST if ghost else BLUE
        artists = {
            "wet_line": move(axes.plot([], [], color=color, lw=1.6, ls="--")[0]),
            "dew_line": move(axes.plot([], [], color=color, lw=1.8, ls=":")[0]),
            "drop": move(axes.plot([], [], color=color, lw=1.0, ls=(0, (1, 3)))[0]),
        }
        artists["point"] = move(
            axes.plot([], [], "o", color=color, ms=9 if ghost else 11, mec="white", clip_on=False)[0]
        )
        if not ghost:
            for key, height in (("wet", 0.95), ("dew", 0.88)):  # the empty corner left of the curve of full air
                artists[f"{key}_name"] = move(axes.text(0.02, height, "", color=BLUE, transform=axes.transAxes))
            arrow = {"arrowstyle": "-|>", "color": RUST, "lw": 2.5, "shrinkA": 0, "shrinkB": 3}
            artists["arrow"] = move(axes.annotate("", (0, 0), (0, 0), arrowprops=arrow))
            artists["after"] = move(axes.plot([], [], "D", mfc="white", mec=RUST, mew=1.6, ms=6, clip_on=False)[0])
            artists["off"] = move(axes.text(0.99, 0.99, "", color=RUST, ha="right", va="top", transform=axes.transAxes))
        return artists

    def thing(self, result, ghost, system):
        """The cup of air now, and what the "what if" makes of it."""
        after, what_if = result.after, result.state.what_if
        written = functools.partial(units.show_set, kind="temperature", system=system)
        labels = {
            "title": self.word("cup_title"),
            "now": written(result.state.dry_bulb_c),
            "room": self.word("cup_room"),
            "water": self.word("cup_water"),
            "now_full": f"{result.rh_pct:.0f} %",
            "small": self.word("cup_small"),
        }
        if after:
            labels["after"] = written(after.dry_bulb_c) if what_if == "heat" else self.word(f"cup_{what_if}")
            labels["after_full"] = f"{after.rh_pct:.0f} %" + ("?" if what_if == "wick" else "")
            labels["note"] = self.word(f"cup_note_{what_if}")
        else:
            labels["note"] = self.word("cup_note")
        return cup.drawing(result, labels, ghost)

    def axes(self, chart):
        """Temperature across, water in the air up, and the curves of equal RH with their names."""
        axes = chart.axes(0.135, 0.135, 0.835, 0.785)
        axes.set_xlim(F(68.0), F(202.0))
        axes.set_ylim(0, _height(TOP_RATIO))
        ratios = (0.01, 0.03, 0.06, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35)
        axes.set_yticks(_height(np.array(ratios)), [f"{ratio:g}" for ratio in ratios])
        axes.set_title(self.word("y"), loc="left", x=-0.15)
        axes.grid(True)
        self.curves, self.names, self.drawn_at = [], [], None
        for rh in CURVES_PCT:
            full = rh == 100
            self.curves.append(
                chart.seldom(axes.plot([], [], color=INK if full else FAINT, lw=1.8 if full else 1.2)[0])
            )
            look = {"ha": "right", "va": "bottom"} if full else {"ha": "center", "va": "center", "bbox": PLATE}
            self.names.append(chart.seldom(axes.text(0, 0, "", color=SOFT, **look)))
        return axes

    def ticks(self, system):
        """Dry-bulb ticks in the shown unit."""
        axes, unit = self.panes, units.unit_of("temperature", system)
        axes.set_xticks([unit.to_si(tick) for tick in TICKS[system]], [str(tick) for tick in TICKS[system]])
        axes.set_xlabel(self.word("x", unit=unit.label))

    def draw_ghost(self, artists, result, system):
        """Move the point and its lines."""
        dry, height = result.state.dry_bulb_c, _height(result.ratio)
        bulbs, ratios = result.wet_line
        artists["wet_line"].set_data(bulbs, _height(ratios))
        artists["dew_line"].set_data([result.dew_point_c, dry], [height, height])
        artists["drop"].set_data([dry, dry], [0, height])
        artists["point"].set_data([dry], [min(height, _height(TOP_RATIO))])

    def draw(self, artists, result, system):
        """Move point, lines, labels and arrow."""
        self.draw_ghost(artists, result, system)
        height = _height(result.ratio)
        self._draw_curves(result.curves, result.pressure_pa)
        self._name_lines(artists, result, system)
        artists["off"].set_text(self.word("off_chart") if height > _height(TOP_RATIO) else "")
        self._draw_after(artists, result, result.state.dry_bulb_c, height)

    def _draw_curves(self, curves, pressure):
        """Curves of equal RH with their names; they move with the altitude only."""
        if pressure == self.drawn_at:
            return
        self.drawn_at = pressure
        for curve, name, ratio, (rh, name_at) in zip(self.curves, self.names, curves, CURVES_PCT.items(), strict=True):
            curve.set_data(GRID_C, _height(ratio))
            known = ~np.isnan(ratio)
            name.set_position((np.interp(name_at, ratio[known], GRID_C[known]), _height(name_at)))
            name.set_text(self.word("curve_full" if rh == 100 else "curve", rh=rh))
        self.chart.redraw_seldom()

    def _name_lines(self, artists, result, system):
        """Wet bulb and dew point, with their strokes."""
        for key, value in (("wet", result.state.wet_bulb_c), ("dew", result.dew_point_c)):
            words = self.word(f"{key}_label", value=units.show(value, "temperature", system))
            artists[f"{key}_name"].set_text(words)

    def _draw_after(self, artists, result, dry, height):
        visible = result.after is not None
        for key in ("arrow", "after"):
            artists[key].set_visible(visible)
        if visible:
            tip = (result.after.dry_bulb_c, _height(result.after.ratio))
            artists["arrow"].xy, artists["arrow"].xyann = tip, (dry, height)
            artists["after"].set_data([tip[0]], [tip[1]])

    def say(self, result, system):
        """The state, and the "what if", in one or two sentences."""
        written = functools.partial(units.show, kind="temperature", system=system)
        set_to = functools.partial(units.show_set, kind="temperature", system=system)
        finding = self.word(
            "say",
            dry=set_to(result.state.dry_bulb_c),
            wet=set_to(result.state.wet_bulb_c),
            rh=f"{result.rh_pct:.0f}",
            emc=f"{result.emc_pct:.1f}",
            dew=written(result.dew_point_c),
        )
        if result.beyond_table:
            finding += " " + self.word("say_beyond")
        if result.after is None:
            return finding
        after = result.after
        return f"{finding} " + self.word(
            f"say_{result.state.what_if}",
            step=units.show(HEAT_C, "temperature_difference", system),
            rh=f"{after.rh_pct:.0f}",
            emc=f"{after.emc_pct:.1f}",
            wet=written(after.wet_bulb_c),
            dew=written(after.dew_point_c),
        )

    def readout(self, result, system):
        """RH, EMC, depression, dew point."""
        depression = result.state.dry_bulb_c - result.state.wet_bulb_c
        after = result.after
        leads_to = f" → {after.rh_pct:.0f} %" if after else ""
        return (
            (self.word("rh"), f"{result.rh_pct:.0f} %{leads_to}"),
            (self.word("emc"), f"{result.emc_pct:.1f} %" + (" ?" if result.beyond_table else "")),
            (self.word("depression"), units.show(depression, "temperature_difference", system)),
            (self.word("dew"), units.show(result.dew_point_c, "temperature", system)),
        )
