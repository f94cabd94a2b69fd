"""Stress in a drying board: moisture and stress across it on a day, surface, core and check index through the days."""

import numpy as np
from matplotlib.patches import Polygon

from kilnlib import units
from kilnlib.bench.kit.app import Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, INK, RUST, SOFT
from kilnlib.bench.kit.time_bar import TimedApp
from kilnlib.cases import stress as case
from kilnlib.physics.stress import STRAIGHT_M
from kilnlib.physics.wood import FSP_PCT

F = units.f_to_c
ACROSS_PA, PULL_PA = (-12e6, 13e6), (-6e6, 6e6)  # lowest and highest stress shown
TOP_INDEX = 2.4
LABEL = {"bbox": {"fc": "white", "ec": "none", "alpha": 0.8, "pad": 0.8}}  # curves pass behind words
PULL, PUSH = "#e9c4b6", "#bcd0e6"  # fills of tension and compression; the zero line and the words tell them apart too
EVEN_PA = 0.1e6  # less than this is called even


class Panel(TimedApp):
    """A 4/4 red oak board from green to 7 %, and four decisions of its operator."""

    name = "stress"
    State = case.State
    last_day = case.LAST_DAY
    controls = (
        Slider("start_depression_c", "temperature_difference", (3, 20, 1)),
        Slider("heat_at_pct", "percent", (15, 50, 1)),
        Slider("end_dry_bulb_c", "temperature", (130, 160, 1)),
        Slider("wick_days", "days", (0, 4, 0.5)),
    )
    presets = {  # noqa: RUF012
        "schedule": {},
        "mild": {"start_depression_c": 3 / 1.8, "end_dry_bulb_c": F(130.0), "day": 9.0},
        "hard": {"start_depression_c": 12 / 1.8, "day": 3.0},
        "late": {"heat_at_pct": 40.0, "end_dry_bulb_c": F(160.0), "day": 18.0},
        "wick": {"wick_days": 2.0, "day": 3.0},
    }

    def compute(self, state):
        """The whole drying, looked at on one day."""
        return case.work_out(state)

    def show(self, result, ghost, system, finding):
        """The picture; a ghost is looked at on the same day. What does not hang on the day is drawn once a run."""
        if ghost is not None:
            ghost = case.Result(ghost.state, result.number, ghost.run)
        runs = (result.run, ghost and ghost.run)
        if runs != self.drawn:
            self.drawn = runs
            self.chart.redraw_seldom()
        return super().show(result, ghost, system, finding)

    def lines(self, chart, ghost):
        """Moisture and stress across the board, surface, core and index through the days."""
        moisture, across, pull, index = self.panes
        move, seldom = chart.moving, chart.seldom
        if ghost:
            look = {"color": GHOST, "lw": 1.8, "ls": (0, (4, 2))}
            return {
                "name": seldom(chart.figure.text(0.545, 0.008, self.word("before"), color=SOFT, va="bottom")),
                "moisture": move(moisture.plot([], [], **look)[0]),
                "across": move(across.plot([], [], **look)[0]),
                "surface": seldom(pull.plot([], [], **look)[0]),
                "index": seldom(index.plot([], [], **look)[0]),
            }
        right = {"ha": "right", "va": "top", **LABEL}
        line = {"ha": "center", "va": "bottom", "color": SOFT, **LABEL}
        early = {"ha": "left", "va": "bottom", "color": SOFT, **LABEL}
        mark = {"mfc": "white", "mew": 1.8, "ms": 8, "clip_on": False}
        return {
            "title": move(chart.figure.text(0.012, 0.932, "", va="bottom")),
            "moisture": move(moisture.plot([], [], color=BLUE, lw=2.8, clip_on=False)[0]),
            "pull": move(across.add_patch(Polygon([(0, 0)], fc=PULL, ec="none"))),
            "push": move(across.add_patch(Polygon([(0, 0)], fc=PUSH, ec="none"))),
            "across": move(across.plot([], [], color=INK, lw=2.2)[0]),
            "core": seldom(pull.plot([], [], color=RUST, lw=2, ls="--")[0]),
            "surface": seldom(pull.plot([], [], color=BLUE, lw=2.4)[0]),
            "swap": seldom(pull.plot([], [], "o", mec=INK, **mark)[0]),
            "index": seldom(index.plot([], [], color=INK, lw=2.4)[0]),
            "core_index": seldom(index.plot([], [], color=RUST, lw=2, ls="--")[0]),
            "highest": seldom(index.plot([], [], "D", mec=RUST, **mark)[0]),
            "today": [move(axes.axvline(0, color=SOFT, lw=1.2, ls=(0, (2, 2)))) for axes in (pull, index)],
            "saturation": move(moisture.text(0.5, FSP_PCT + 1, self.word("saturation"), **line)),
            "swap_name": move(pull.text(case.LAST_DAY, 0.98 * PULL_PA[1], "", **right)),
            "early": seldom(index.axvline(0, color=SOFT, lw=1.2, ls=":")),
            "early_name": seldom(
                index.text(0, 0.62 * TOP_INDEX, self.word("early_ends", mc=f"{case.EARLY_PCT:.0f}"), **early)
            ),
            "highest_name": move(index.text(case.LAST_DAY, 0.98 * TOP_INDEX, "", **right)),
        }

    def axes(self, chart):
        """Across the board on the left, through the days on the right."""
        self.drawn = None
        moisture, across = chart.axes(0.065, 0.585, 0.385, 0.335), chart.axes(0.065, 0.075, 0.385, 0.375)
        for axes in (moisture, across):
            axes.set_xlim(0, 1)
        moisture.set_ylim(0, 85)
        moisture.set_yticks((0, 20, 40, 60, 80))
        moisture.axhline(FSP_PCT, color=SOFT, lw=1.2, ls=":")
        pull, index = chart.axes(0.545, 0.585, 0.445, 0.335), chart.axes(0.545, 0.125, 0.445, 0.325)
        for axes, limits in ((across, ACROSS_PA), (pull, PULL_PA)):
            axes.set_ylim(*limits)
            axes.set_yticks(())
            axes.axhline(0, color=SOFT, lw=1)
        for axes in (pull, index):
            axes.set_xlim(0, case.LAST_DAY + 0.5)
            axes.set_xticks(range(0, case.LAST_DAY + 1, 5))
        across.set_title(self.word("y_across"), loc="left", x=-0.14)
        across.text(0.5, 0.97 * ACROSS_PA[1], self.word("tension"), color=SOFT, ha="center", va="top")
        across.text(0.5, 0.98 * ACROSS_PA[0], self.word("compression"), color=SOFT, ha="center", va="bottom")
        pull.set_title(self.word("y_pull"), loc="left", x=-0.03)
        pull.set_ylabel(self.word("tension"))
        index.set_ylim(0, TOP_INDEX)
        index.set_yticks((0, 1, 2))
        index.axhline(1, color=RUST, lw=1.5, ls=":")
        index.set_title(self.word("y_index"), loc="left", x=-0.03)
        index.set_ylabel(self.word("index"), labelpad=1)
        index.set_xlabel(self.word("x"), labelpad=1)
        return moisture, across, pull, index

    def ticks(self, system):
        """Faces and middle, with the thickness in the shown unit."""
        thickness = self.word("middle", thickness=units.show(case.KILN.board_thickness_m, "thickness", system))
        for axes in self.panes[:2]:
            axes.set_xticks((0, 0.5, 1), [self.word("face"), thickness, self.word("face")])

    def draw_ghost(self, artists, result, system):
        """Move the four curves to a run and its day."""
        run, number = result.run, result.number
        days = run.hours / 24.0
        artists["moisture"].set_data(run.place, run.day_profile_pct[number])
        artists["across"].set_data(run.place, run.day_stress_pa[number])
        artists["surface"].set_data(days, run.surface_pa)
        artists["index"].set_data(days, run.index)

    def draw(self, artists, result, system):
        """Move everything to a run and its day."""
        self.draw_ghost(artists, result, system)
        run, number = result.run, result.number
        days = run.hours / 24.0
        across = run.day_stress_pa[number]
        artists["title"].set_text(self.word("y_moisture", day=number, mc=f"{self._average(result):.0f}"))
        for key, part in (("pull", np.maximum(across, 0.0)), ("push", np.minimum(across, 0.0))):
            artists[key].set_xy(np.column_stack([np.r_[0.0, run.place, 1.0], np.r_[0.0, part, 0.0]]))
        for line in artists["today"]:
            line.set_xdata([number, number])
        artists["core"].set_data(days, run.core_pa)
        artists["core_index"].set_data(days, np.where(run.core_index > 0.0, run.core_index, np.nan))
        swap = run.reversal_h / 24.0
        artists["swap"].set_data([swap], [0.0])
        artists["swap_name"].set_text(self.word("swap", day=f"{swap:.1f}", mc=f"{run.reversal_pct:.0f}"))
        artists["highest"].set_data([run.peak.hour / 24.0], [min(run.peak.index, TOP_INDEX)])
        artists["highest_name"].set_text(self.word("highest", index=f"{run.peak.index:.2f}", day=_day(run.peak.hour)))
        early_ends = run.early_end_h / 24.0
        artists["early"].set_xdata([early_ends, early_ends])
        artists["early_name"].set_x(early_ends + 0.4)

    @staticmethod
    def _average(result):
        run = result.run
        return float(np.interp(24.0 * result.number, run.hours, run.average_pct))

    def say(self, result, system):
        """Who pulls on whom today, the index, and the end."""
        run, number = result.run, result.number
        hour = min(24.0 * number, run.end_h)
        surface = float(np.interp(hour, run.hours, run.surface_pa))
        pull = "even" if abs(surface) < EVEN_PA else "before" if hour < run.reversal_h else "after"
        over = "over" if run.peak.index > 1.0 else "under"
        where = self.word("inside" if run.peak.depth_m > case.KILN.board_thickness_m / 4 else "outside")
        highest = {"index": f"{run.peak.index:.2f}", "where": where, "day": _day(run.peak.hour)}
        sentences = [
            self.word("say_done", day=number) if 24.0 * number >= run.end_h else self.word("say", day=number),
            self.word(f"say_{pull}", mc=f"{self._average(result):.0f}"),
            self.word(f"say_{over}", mc=f"{run.peak_pct:.0f}", **highest),
        ]
        return " ".join(sentences)

    def readout(self, result, system):
        """Index today, how high it was while the starts can be compared, the prongs, how long it takes."""
        run, hour = result.run, min(24.0 * result.number, result.run.end_h)
        tip = run.day_tip_m[result.number]
        bend = "in" if tip > STRAIGHT_M else "out" if tip < -STRAIGHT_M else "straight"
        if hour < run.end_h:
            bend = "wait"  # a piece cut sooner bends by its wet core too, which the run leaves out
        early = {"index": f"{run.early_index:.2f}", "day": _day(run.early_h)}
        return (
            (self.word("index_now"), f"{np.interp(hour, run.hours, run.index):.2f}"),
            (self.word("early_is", mc=f"{case.EARLY_PCT:.0f}"), self.word("early_at", **early)),
            (self.word("prongs"), self.word(f"prongs.{bend}")),
            (self.word("takes"), self.word("after", days=units.show(run.end_h / 24.0, "days", system))),
        )


def _day(hour):
    """The day of an hour, as it stands on the axis."""
    return f"{hour / 24.0:.1f}"
