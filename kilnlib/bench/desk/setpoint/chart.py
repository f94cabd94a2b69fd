"""The picture of a setpoint check: the point beside the schedule's steps, and on the EMC map."""

import math

from kilnlib import units
from kilnlib.bench.desk.setpoint import close_up
from kilnlib.bench.desk.setpoint.wording import word
from kilnlib.bench.kit.bulb_steps import LINES, WETTEST_PCT, corners, fall, label_bulbs
from kilnlib.bench.kit.chart import FAINT, INK, RUST, SOFT, Chart, style
from kilnlib.bench.kit.emc_map import DEPRESSION_C, DRY_C, label_map
from kilnlib.physics import air
from kilnlib.physics.schedules import ladder
from kilnlib.words import text

TITLE_X = -0.12
LEAST_F = 60.0  # between the ends of the temperature axis
NAMES_X = {"dry": 0.74, "wet": 1.0}  # right edges, in shares of the axes


class SetpointChart:
    """One picture that stays, for one altitude; `html(check, system, alt)` draws a check into it."""

    def __init__(self, altitude_m, width_px=560, height_px=430):
        self.altitude_m = altitude_m
        self.chart = Chart(width_px, height_px)
        self._scaled = None
        with style():
            self.bulbs = self.chart.axes(0.115, 0.635, 0.855, 0.305)
            self.map = self.chart.axes(0.115, 0.137, 0.855, 0.325)
            self._build()

    def html(self, check, system, alt):
        """The picture as an image element with a text alternative."""
        found = check.numbers
        rungs = ladder(found.schedule.code) if found.step is not None else ()
        with style():
            self._scale(found, rungs, system)
        self._draw_steps(found, rungs)
        self._draw_map(found)
        return self.chart.html(alt)

    def again(self, alt):
        """The last picture with other words."""
        return self.chart.html(alt)

    def _build(self):
        move, bulbs = self.chart.moving, self.bulbs
        bulbs.set_xlabel(word("chart_x"), labelpad=1)
        self._still = []  # of the map, in the window shown
        self.lines = {key: move(bulbs.plot([], [], **LINES[key], lw=2.4)[0]) for key in ("dry", "wet")}
        self.here = move(bulbs.axvline(0, color=FAINT, lw=1.2))
        self.points = {
            key: move(bulbs.plot([], [], "o", color=LINES[key]["color"], ms=10, mec="white", clip_on=False)[0])
            for key in ("dry", "wet")
        }
        self.names = {key: self._above(bulbs, x, LINES[key]["color"]) for key, x in NAMES_X.items()}
        self.today = move(bulbs.text(0, 0, "", color=INK, weight="bold", va="top"))
        self.none = move(bulbs.text(0.5, 0.5, "", color=SOFT, ha="center", transform=bulbs.transAxes))
        self.way = move(self.map.plot([], [], color=INK, lw=1.2, ls=":")[0])
        self.step = move(self.map.plot([], [], "D", color="white", mec=INK, mew=1.6, ms=8, clip_on=False)[0])
        self.you = move(self.map.plot([], [], "o", color=RUST, ms=11, mec="white", clip_on=False)[0])
        self.key = self._above(self.map, 1.0, INK)

    def _above(self, axes, x, color):
        """A name at the right above some axes."""
        return self.chart.moving(axes.text(x, 1.03, "", color=color, ha="right", va="bottom", transform=axes.transAxes))

    def _scale(self, found, rungs, system):
        """Limits in whole steps, so that they seldom change; only then is the background drawn again."""
        read = [units.c_to_f(found.dry_bulb_c), units.c_to_f(found.wet_bulb_c)]
        shown = [*read, *(rung.dry_bulb_f for rung in rungs)]
        shown += [rung.wet_bulb_f for rung in rungs if not rung.as_dry_as_it_goes]
        low, high = 10.0 * math.floor(min(shown) / 10.0 - 0.4), 10.0 * math.ceil(max(shown) / 10.0 + 0.4)
        high = max(high, low + LEAST_F)
        wettest = max(WETTEST_PCT, 50.0 * math.ceil(found.mc_pct / 50.0))
        settings = self._on_map(found)[1]
        around = close_up.window(settings)
        scaled = (low, high, wettest, system, around)
        if scaled == self._scaled and not close_up.covered(self.map, self._still, settings):
            return
        self._scaled = scaled
        fall(self.bulbs, wettest)
        self.bulbs.set_ylim(units.f_to_c(low), units.f_to_c(high))
        label_bulbs(self.bulbs, system, TITLE_X)
        for artist in self._still:
            artist.remove()
        self._still = close_up.draw(self.map, around, air.pressure_pa(self.altitude_m), settings)
        label_map(self.map, self.altitude_m, system, loc="left", x=TITLE_X)
        close_up.ticks(self.map, around, system)
        self.chart.redraw_background()

    def _draw_steps(self, found, rungs):
        wettest = self._scaled[2]
        values = {"dry": [units.f_to_c(rung.dry_bulb_f) for rung in rungs]}
        values["wet"] = [units.f_to_c(max(rung.wet_bulb_f, self._scaled[0])) for rung in rungs]
        read = {"dry": found.dry_bulb_c, "wet": found.wet_bulb_c}
        for key, line in self.lines.items():
            line.set_data(*corners(rungs, values[key], wettest) if rungs else ([], []))
            self.points[key].set_data([found.mc_pct], [read[key]])
            self.names[key].set_text(text(f"ladder.name_{key}"))
        self.here.set_xdata([found.mc_pct, found.mc_pct])
        side = "left" if found.mc_pct > 0.5 * wettest else "right"
        self.today.set(x=found.mc_pct, y=self.bulbs.get_ylim()[1], ha=side)
        self.today.set_text(text("ladder.today", mc=f"{found.mc_pct:g}"))
        self.none.set_text("" if rungs else word("chart_no_ladder"))

    @staticmethod
    def _on_map(found):
        """(dry bulb, depression) of you and of the step, and the same moved to the edge of the map where beyond it."""
        points = [(found.dry_bulb_c, found.depression_c)]
        if found.step is not None:
            points.append((found.step.dry_bulb_c, found.step_depression_c))
        return points, [
            (min(max(dry, DRY_C[0]), DRY_C[-1]), min(depression, DEPRESSION_C[-1])) for dry, depression in points
        ]

    def _draw_map(self, found):
        """You and the step on the map; the key says which one stands at its edge because it is beyond."""
        points, on_map = self._on_map(found)
        self.you.set_data(*zip(on_map[0], strict=True))
        self.step.set_data(*zip(on_map[1], strict=True) if len(on_map) > 1 else ([], []))
        self.way.set_data(*zip(*on_map, strict=True))
        names = [word("chart_you"), word("chart_step")][: len(points)]
        names = [
            name if there == where else f"{name} ({word('chart_off')})"
            for name, there, where in zip(names, points, on_map, strict=True)
        ]
        self.key.set_text("   ".join(names))
