"""Twelve boards at the end of their charge: equalized, conditioned, and the prongs of sections cut on any day."""

from fractions import Fraction

import numpy as np
from matplotlib.patches import Polygon, Rectangle

from kilnlib import units
from kilnlib.bench.kit.app import Choice, Slider
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, GREEN, INK, RUST, SOFT
from kilnlib.bench.kit.time_bar import TimedApp
from kilnlib.cases import finish as case
from kilnlib.physics.stress import PRONG_M, STRAIGHT_M
from kilnlib.physics.wood import ROUGH_4_4_M
from kilnlib.units import IN_M

LOW_PCT, TOP_PCT, SHOWN_PCT = 3.0, 20.7, 17.0  # curves leave the space above to words
WOOD, EDGE = "#e6cda3", "#6b4a1f"
LINES = (SHOWN_PCT - LOW_PCT) / (TOP_PCT - LOW_PCT)
LEFT, FOOT, APART = 397.0, 125.0, 76.0  # px of the drawing of the prongs
ALONG, ACROSS = 22.0 / IN_M, 40.0 / IN_M  # px a meter: the bend is drawn larger than the length
THICK = ROUGH_4_4_M * ACROSS
BASE = 14.0
CLOSED_M, WIDEST_M = 0.25 * ROUGH_4_4_M, 0.36 * IN_M  # bends at which the prongs touch, and at which the picture ends
UPPER_ROW, LOWER_ROW = 19.35, 18.2  # words above the curves
LATE_DAY = 10.0  # a name that begins later would run out of the picture
STEPS = np.linspace(0.0, 1.0, 12)


class Panel(TimedApp):
    """The last two weeks of an invented charge of red oak at Tamarack Ford."""

    name = "finish"
    State = case.State
    last_day = case.LAST_DAY
    controls = (
        Slider("target_pct", "percent", (6.5, 12, 0.5)),
        Slider("below", "points", (0, 2.6, 0.2)),
        Choice("stop", case.STOPS),
        Slider("condition_h", "hours", (0, 72, 4)),
    )
    presets = {  # noqa: RUF012
        "rule": {"day": float(case.LAST_DAY)},
        "pulled": {"stop": "none", "condition_h": 0.0, "day": float(case.LAST_DAY)},
        "unrelieved": {"condition_h": 0.0, "day": float(case.LAST_DAY)},
        "clock": {"stop": "clock", "day": float(case.LAST_DAY)},
        "late": {"below": 2.6, "day": float(case.LAST_DAY)},
        "long": {"condition_h": 72.0, "day": float(case.LAST_DAY)},
    }

    def compute(self, state):
        """The charge, finished so, on that day."""
        return case.work_out(state)

    def show(self, result, ghost, system, finding):
        """The picture; what moves with the run or the ghost only is drawn anew when one of them is another."""
        if ghost is not self.shadow:
            self.shadow = ghost
            self.chart.redraw_seldom()
        return super().show(result, ghost, system, finding)

    def kiln_saved(self):
        """What this kiln can hold may be another now."""
        self.set()

    def lines(self, chart, ghost):
        """Moisture contents on the left, three sections with their prongs on the right."""
        curves, drawing = self.panes
        move = chart.moving
        if ghost:
            look = {"color": GHOST, "lw": 1.6}
            return {
                "wettest": chart.seldom(curves.plot([], [], **look)[0]),
                "driest": chart.seldom(curves.plot([], [], ls=(0, (5, 2)), **look)[0]),
                "before": chart.seldom(chart.figure.text(0.008, 0.015, self.word("before"), color=SOFT, va="bottom")),
            }
        prongs = [move(drawing.add_patch(Polygon([(0, 0)], closed=True, fc=WOOD, ec=EDGE, lw=1.5))) for _ in case.SHOWN]
        names = [move(drawing.text(x, FOOT - 44, "", ha="center", va="top", linespacing=1.4)) for x in self._centers()]
        seldom, steady = chart.seldom, curves.axvline
        self.drawn = self.shadow = None
        return {
            "span": seldom(curves.add_patch(Rectangle((0, 0), case.LAST_DAY, 2.0, fc="#e7f0e4", lw=0))),
            "target": seldom(curves.axhline(0, color=GREEN, lw=1.2)),
            "stages": [seldom(steady(0, ymax=LINES, color=SOFT, lw=1.0)) for _ in range(3)],
            "equalizing": seldom(curves.text(0, UPPER_ROW, self.word("equalizing"), color=INK, va="top")),
            "conditioning": seldom(curves.text(0, LOWER_ROW, self.word("conditioning"), color=INK, va="top")),
            "emc": seldom(curves.plot([], [], color=GREEN, lw=2.2, ls=(0, (1, 1)), drawstyle="steps-post")[0]),
            "boards": seldom(curves.plot([], [], color=FAINT, lw=1.2)[0]),
            "driest": seldom(curves.plot([], [], color=RUST, lw=2.2, ls=(0, (5, 2)))[0]),
            "wettest": seldom(curves.plot([], [], color=BLUE, lw=2.2)[0]),
            "today": move(curves.axvline(0, ymax=LINES, color=INK, lw=1.6)),
            "dots": move(curves.plot([], [], "o", color=INK, ms=4, mec="white", mew=0.5)[0]),
            "prongs": prongs,
            "names": names,
            "title": move(drawing.text(LEFT, 393, "", va="top", weight="bold")),
            "counts": move(drawing.text(LEFT, 371, "", va="top", linespacing=1.3)),
        }

    def axes(self, chart):
        """The days on the left; on the right a sheet in screen px for the prongs."""
        curves = chart.axes(0.06, 0.125, 0.53, 0.79)
        curves.set_xlim(0, case.LAST_DAY)
        curves.set_ylim(LOW_PCT, TOP_PCT)
        curves.set_xticks(range(0, case.LAST_DAY + 1, 2))
        curves.set_yticks(range(4, 17, 2))
        curves.grid(True)
        curves.set_title(self.word("y"), loc="left", x=-0.09)
        curves.set_title(self.word("target_name"), loc="right", color=GREEN)
        curves.set_xlabel(self.word("x"), labelpad=1)
        for x, name, color in ((0.0, "wettest", BLUE), (0.27, "driest", RUST), (0.545, "emc", GREEN)):
            curves.text(x, 0.995, self.word(f"key.{name}"), color=color, va="top", transform=curves.transAxes)
        drawing = chart.axes(0, 0, 1, 1)
        drawing.set_xlim(0, chart.width_px)
        drawing.set_ylim(0, chart.height_px)
        drawing.set_axis_off()
        drawing.patch.set_visible(False)
        top, limit = FOOT + PRONG_M * ALONG, STRAIGHT_M * ACROSS
        self.limit_name = drawing.text(LEFT, top + 16, "", va="bottom", linespacing=1.3)
        for place, x in enumerate(self._centers()):
            drawing.text(x, FOOT - 22, self.word(f"name.{place}"), ha="center", va="top")
            for side in (-1, 1):
                edge = x + side * THICK / 2
                drawing.plot([edge, edge], [FOOT, top], color=SOFT, lw=1.0, ls=(0, (2, 2)), zorder=0)
                drawing.add_patch(Rectangle((edge - limit, top + 4), 2 * limit, 5, fc=SOFT, ec="none"))
        return curves, drawing

    def ticks(self, system):
        """What counts as straight, in the shown unit."""
        limit = units.show(STRAIGHT_M, "thickness", system)
        if system == "trade":
            limit = f"{Fraction(STRAIGHT_M / IN_M).limit_denominator(16)} in"  # as on a ruler
        self.limit_name.set_text(self.word("limit", limit=limit))

    @staticmethod
    def _centers():
        return [LEFT + 27.0 + APART * number for number in range(len(case.SHOWN))]

    def draw_ghost(self, artists, result, system):
        """Move the curves of the wettest and the driest board."""
        for name, curve in (("wettest", result.run.mc_pct.max(axis=1)), ("driest", result.run.mc_pct.min(axis=1))):
            artists[name].set_data(result.run.days, np.where(curve <= SHOWN_PCT, curve, np.nan))

    def draw(self, artists, result, system):
        """Move curves and prongs to a run and its day."""
        if self.drawn is not result.run:
            self.drawn = result.run
            self.draw_ghost(artists, result, system)
            self._draw_run(artists, result.run, result.state.target_pct)
            self.chart.redraw_seldom()
        artists["today"].set_xdata([result.at, result.at])
        seen = result.mcs_pct[result.mcs_pct <= SHOWN_PCT]
        artists["dots"].set_data(np.full(len(seen), result.at), seen)
        artists["title"].set_text(self.word("title", day=f"{result.at:.1f}"))
        artists["counts"].set_text(self.word("counts", **self._counts(result)))
        for place, number in enumerate(case.SHOWN):
            artists["prongs"][place].set_xy(_section(self._centers()[place], result.tips_m[number]))
            bend = self.word(result.words[number])
            artists["names"][place].set_text(f"{result.mcs_pct[number]:.1f} %\n{bend}")

    def _draw_run(self, artists, run, target):
        """What stays while only the day moves."""
        mcs = np.where(run.mc_pct.T <= SHOWN_PCT, run.mc_pct.T, np.nan)
        lifted = np.full((len(mcs), 1), np.nan)  # lifts the pen from one board to the next
        days = np.concatenate([np.broadcast_to(run.days, mcs.shape), lifted], axis=1)
        artists["boards"].set_data(days.ravel(), np.concatenate([mcs, lifted], axis=1).ravel())
        artists["span"].set_y(target - 2.0)
        artists["target"].set_ydata([target, target])
        for line, end in zip(artists["stages"], run.ends, strict=True):
            line.set_xdata([end, end])
        for name, start, end in (("equalizing", *run.ends[:2]), ("conditioning", *run.ends[1:])):
            artists[name].set_visible(end - start > 0.01)
            late = start > LATE_DAY
            artists[name].set(x=case.LAST_DAY if late else start + 0.12, ha="right" if late else "left")
        artists["emc"].set_data((*run.air_days, run.ends[2]), (*run.air_emc_pct, run.air_emc_pct[-1]))

    @staticmethod
    def _counts(result):
        return {"inward": result.count("in"), "straight": result.count("straight"), "outward": result.count("out")}

    def say(self, result, system):
        """Where the charge stands, what its prongs say, and what went wrong or cannot be reached."""
        mcs, run = result.mcs_pct, result.run
        sentences = [
            self.word(
                "say",
                day=f"{result.at:.1f}",
                stage=self.word(f"stage.{result.stage}"),
                driest=f"{mcs.min():.1f}",
                wettest=f"{mcs.max():.1f}",
                **self._counts(result),
            )
        ]
        if result.stage != "done":
            sentences.append(self.word("say_emc", emc=f"{result.emc_pct:.1f}"))
        if result.at >= run.ends[0] - 1e-9 and run.finish.dried.too_dry:
            sentences.append(self.word("say_dry", count=run.finish.dried.too_dry))
        conditioned = result.state.condition_h > 0.0
        if result.at >= run.ends[1] - 1e-9 and run.finish.equalized.too_wet:
            key = "say_wet" if conditioned else "say_wet_end"
            sentences.append(self.word(key, count=run.finish.equalized.too_wet))
        if result.stage == "done" and conditioned:
            sentences.append(self.word("say_gain", gain=f"{result.gain_points:.1f}"))
        if result.stage == "conditioning" or (result.stage == "done" and conditioned):
            sentences.append(self._say_reach(run, system))
        return " ".join(sentences)

    def _say_reach(self, run, system):
        """Whether the user's own kiln can hold the air of conditioning."""
        key = "running" if run.reach.coil_running else "resting" if run.reach.coil_resting else "beyond"
        bulbs_c = {"dry": run.condition_air.dry_bulb_c, "wet": run.condition_air.wet_bulb_c, "limit": run.coil_limit_c}
        written = {name: units.show(value, "temperature", system) for name, value in bulbs_c.items()}
        return self.word(f"say_{key}", **written)

    def readout(self, result, system):
        """Both ends and the mean."""
        ends = {"driest": f"{result.mcs_pct.min():.1f}", "wettest": f"{result.mcs_pct.max():.1f}"}
        return (
            (self.word("ends"), self.word("ends_are", **ends)),
            (self.word("lowest"), f"{result.lowest_pct:.1f} %"),
            (self.word("average"), f"{result.mcs_pct.mean():.1f} %"),
        )


def _section(x, tip_m):
    """Outline of a section standing on its base, its two prongs bent by what their tips travel; tip inward positive."""
    bend = float(np.clip(tip_m, -WIDEST_M, CLOSED_M)) * ACROSS * STEPS**2
    up = FOOT + STEPS * PRONG_M * ALONG
    outer, inner = THICK / 2 - bend, THICK / 4 - bend
    right_side = [*zip(x + outer, up, strict=True), *zip((x + inner)[::-1], up[::-1], strict=True)]
    left_side = [*zip(x - inner, up, strict=True), *zip((x - outer)[::-1], up[::-1], strict=True)]
    foot = FOOT - BASE
    return [(x - THICK / 2, foot), (x + THICK / 2, foot), *right_side, *left_side]
