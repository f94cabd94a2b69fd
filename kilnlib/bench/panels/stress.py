"""Stress in a drying board: the board with its pull, push and cracks; surface, core and index through the days."""

import numpy as np

from kilnlib import units
from kilnlib.bench.drawings import pull as picture
from kilnlib.bench.kit.app import Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, INK, RUST, SOFT
from kilnlib.bench.kit.time_bar import TimedApp
from kilnlib.cases import stress as case
from kilnlib.physics.stress import STRAIGHT_M

F = units.f_to_c
PULL_PA = (-6e6, 6e6)  # lowest and highest stress shown
TOP_INDEX = 2.4
LABEL = {"bbox": {"fc": "white", "ec": "none", "alpha": 0.8, "pad": 0.8}}  # curves pass behind words


class Panel(TimedApp):
    """A 4/4 red oak board from green to 7 %, and four decisions of its operator."""

    name = "stress"
    State = case.State
    last_day = case.LAST_DAY
    chart_px = (640 - picture.WIDTH, 400)
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
        """Surface, core and index through the days."""
        pull, index = self.panes
        move, seldom = chart.moving, chart.seldom
        if ghost:
            look = {"color": GHOST, "lw": 1.8, "ls": (0, (4, 2))}
            return {
                "name": seldom(chart.figure.text(0.02, 0.008, self.word("before"), color=SOFT, va="bottom")),
                "surface": seldom(pull.plot([], [], **look)[0]),
                "index": seldom(index.plot([], [], **look)[0]),
            }
        right = {"ha": "right", "va": "top", **LABEL}
        early = {"ha": "left", "va": "bottom", "color": SOFT, **LABEL}
        mark = {"mfc": "white", "mew": 1.8, "ms": 8, "clip_on": False}
        return {
            "core": seldom(pull.plot([], [], color=RUST, lw=2, ls="--")[0]),
            "surface": seldom(pull.plot([], [], color=BLUE, lw=2.4)[0]),
            "swap": seldom(pull.plot([], [], "o", mec=INK, **mark)[0]),
            "index": seldom(index.plot([], [], color=INK, lw=2.4)[0]),
            "core_index": seldom(index.plot([], [], color=RUST, lw=2, ls="--")[0]),
            "highest": seldom(index.plot([], [], "D", mec=RUST, **mark)[0]),
            "today": [move(axes.axvline(0, color=SOFT, lw=1.2, ls=(0, (2, 2)))) for axes in (pull, index)],
            "swap_name": move(pull.text(case.LAST_DAY, 0.98 * PULL_PA[1], "", **right)),
            "early": seldom(index.axvline(0, color=SOFT, lw=1.2, ls=":")),
            "early_name": seldom(
                index.text(0, 0.62 * TOP_INDEX, self.word("early_ends", mc=f"{case.EARLY_PCT:.0f}"), **early)
            ),
            "highest_name": move(index.text(case.LAST_DAY, 0.98 * TOP_INDEX, "", **right)),
        }

    def axes(self, chart):
        """Who pulls, and how near to tearing, through the days."""
        self.drawn = None
        pull, index = chart.axes(0.125, 0.585, 0.85, 0.335), chart.axes(0.125, 0.125, 0.85, 0.325)
        pull.set_ylim(*PULL_PA)
        pull.set_yticks(())
        pull.axhline(0, color=SOFT, lw=1)
        for axes in (pull, index):
            axes.set_xlim(0, case.LAST_DAY + 0.5)
            axes.set_xticks(range(0, case.LAST_DAY + 1, 5))
        pull.set_title(self.word("y_pull"), loc="left", x=-0.03)
        pull.set_ylabel(self.word("tension"))
        index.set_ylim(0, TOP_INDEX)
        index.set_yticks((0, 1, 2))
        index.axhline(1, color=RUST, lw=1.5, ls=":")
        index.set_title(self.word("y_index"), loc="left", x=-0.03)
        index.set_ylabel(self.word("index"), labelpad=1)
        index.set_xlabel(self.word("x"), labelpad=1)
        return pull, index

    def thing(self, result, ghost, system):
        """The board as it is on that day."""
        run, number = result.run, result.number
        gap, skin, core = run.day_opening_pa[number], run.day_profile_pct[number, 0], run.day_profile_pct[number].max()
        labels = {
            "title": self.word("board", day=number, mc=f"{self._average(result):.0f}"),
            "skin": self.word(f"skin.{_pulled(run.day_surface_pa[number])}"),
            "core": self.word(f"core.{_pulled(run.day_core_pa[number])}"),
            "cracks": self.word("cracks." + ("none" if np.isnan(gap) else "open" if gap > 0.0 else "closed")),
            "wet_skin": self.word("wet_skin", mc=f"{skin:.0f}"),
            "wet_core": self.word("wet_core", mc=f"{core:.0f}"),
        }
        return picture.drawing(run, number, labels)

    def draw_ghost(self, artists, result, system):
        """Move the two curves to a run."""
        run = result.run
        days = run.hours / 24.0
        artists["surface"].set_data(days, run.surface_pa)
        artists["index"].set_data(days, run.index)

    def draw(self, artists, result, system):
        """Move everything to a run and its day."""
        self.draw_ghost(artists, result, system)
        run, number = result.run, result.number
        days = run.hours / 24.0
        for line in artists["today"]:
            line.set_xdata([number, number])
        artists["core"].set_data(days, run.core_pa)
        artists["core_index"].set_data(days, np.where(run.core_index > 0.0, run.core_index, np.nan))
        swap = run.reversal_h / 24.0
        artists["swap"].set_data([swap], [0.0])
        swapped = result.number >= swap  # whoever has not come so far reads the day off the picture
        name = self.word("swap", day=f"{swap:.1f}", mc=f"{run.reversal_pct:.0f}") if swapped else ""
        artists["swap_name"].set_text(name)
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
        pull = "even" if abs(surface) < picture.SHORTEST_PA else "before" if hour < run.reversal_h else "after"
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


def _pulled(stress_pa):
    """Stretched, squeezed or neither, as the drawing has it."""
    return "even" if abs(stress_pa) < picture.SHORTEST_PA else "stretched" if stress_pa > 0 else "squeezed"


def _day(hour):
    """The day of an hour, as it stands on the axis."""
    return f"{hour / 24.0:.1f}"
