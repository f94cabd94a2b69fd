"""How a board dries: moisture across its thickness now and before, its average, and what it loses in a day."""

import numpy as np

from kilnlib import units
from kilnlib.bench.drawings.slice import HEIGHT as SLICE_PX
from kilnlib.bench.drawings.slice import drawing as slice_drawing
from kilnlib.bench.kit.app import Choice, Slider
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, GREEN, INK, RUST, SOFT
from kilnlib.bench.kit.time_bar import TimedApp
from kilnlib.cases import board as case
from kilnlib.physics.wood import FSP_PCT

F = units.f_to_c
EARLIER = (1, 3, 7, 14, 28)
DAYS = np.arange(case.LAST_DAY + 1)
TOP_PCT, TOP_POINTS = 110.0, 16.0  # above the curve of the wettest wood stands a word
NAME_HIGH, NAME_WIDE = 8.0, 0.36  # of the words "fiber saturation": percent up, half their width across
NAME_FEET = (FSP_PCT + 1.5, FSP_PCT - 1.5 - NAME_HIGH, *range(33, 93), *range(19, 0, -1))  # the first that is free
HIGH_POINTS = 11.0  # from here on the name of the limit stands under its line


class Panel(TimedApp):
    """One green board, one setting, forty days."""

    name = "board"
    chart_px = (640, 400 - SLICE_PX)
    State = case.State
    last_day = case.LAST_DAY
    slow_days = 10
    folded = ("species", "thickness_m", "air_speed_ms")
    controls = (
        Choice("species", case.SPECIES),
        Slider("dry_bulb_c", "temperature", (80, 180, 1)),
        Slider("depression_c", "temperature_difference", (2, 50, 1)),
        Slider("thickness_m", "thickness", (1.125, 2.25, 0.125)),
        Slider("air_speed_ms", "air_speed", (50, 800, 25)),
    )
    presets = {  # noqa: RUF012
        "gentle": {},
        "drier": {"depression_c": 14 / 1.8},
        "hotter": {"dry_bulb_c": F(140.0)},
        "both": {"dry_bulb_c": F(140.0), "depression_c": 30 / 1.8},
        "wind": {"air_speed_ms": 700 * units.FT_M / 60},
        "thick": {"thickness_m": case.THICKNESS_M[1]},
        "poplar": {"species": "yellow-poplar"},
    }

    def compute(self, state):
        """Forty days of that board, looked at on one of them."""
        return case.work_out(state)

    def before_pick(self):
        """What a situation is compared with: the gentle run that it differs from."""
        return self.compute(self.opening)

    def type(self, field, typed):
        """Take a typed value; the name of a lumber size, such as 8/4, stands for its sawn thickness."""
        super().type(field, case.as_sawn(typed) if field == "thickness_m" else typed)

    def show(self, result, ghost, system, finding):
        """The picture; a ghost is looked at on the same day."""
        if ghost is not None:
            ghost = case.Result(ghost.state, result.number, ghost.run)
        labels = {key: self.word(f"slice_{key}") for key in ("title", "wet", "dry")}
        cut = slice_drawing(result.run.place, result.run.profile_pct[result.number], labels)
        return f"<div>{cut}{super().show(result, ghost, system, finding)}</div>"

    def lines(self, chart, ghost):
        """Moisture across the board, its average and its points a day."""
        across, average, points = self.panes
        move = chart.moving
        if ghost:
            look = {"color": GHOST, "lw": 2, "ls": (0, (4, 2))}
            return {
                "across": move(across.plot([], [], **look)[0]),
                "average": move(average.plot([], [], **look)[0]),
                "points": move(points.plot([], [], **(look | {"lw": 1.4}))[0]),
            }
        return {
            "title": move(chart.figure.text(0.012, 0.925, "", va="bottom")),
            "earlier": move(across.plot([], [], color=SOFT, lw=0.9)[0]),
            "earlier_name": move(across.text(0.5, TOP_PCT - 2, "", color=SOFT, ha="center", va="top")),
            "emc": move(across.axhline(0, color=GREEN, lw=1.5, ls="--")),
            "emc_name": move(across.text(0.5, 0, "", color=GREEN, ha="center")),
            "across": move(across.plot([], [], color=BLUE, lw=2.8, clip_on=False)[0]),
            "saturation": move(self._saturation(across)),
            "average": move(average.plot([], [], color=INK, lw=1.1)[0]),
            "so_far": move(average.plot([], [], color=BLUE, lw=2.8)[0]),
            "today": [move(axes.axvline(0, color=FAINT, lw=1.2)) for axes in (average, points)],
            "now": move(average.plot([], [], "o", color=BLUE, ms=8, mec="white")[0]),
            "limit": move(points.axhline(0, color=RUST, lw=1.8, ls="--")),
            "limit_name": move(points.text(case.LAST_DAY + 0.5, 0, "", color=RUST, ha="right")),
            "points": move(points.plot([], [], "o", color=INK, ms=4, mec="none")[0]),
            "over": move(points.plot([], [], "D", mfc="white", mec=RUST, mew=1.6, ms=6, clip_on=False)[0]),
            "point_now": move(points.plot([], [], "o", mfc="none", mec=BLUE, mew=2, ms=12, clip_on=False)[0]),
            "day_name": move(
                average.text(
                    0.99, 0.99, "", color=BLUE, ha="right", va="top", weight="bold", transform=average.transAxes
                )
            ),
        }

    def axes(self, chart):
        """Across the board on the left; average and points a day on the right."""
        across = chart.axes(0.065, 0.125, 0.395, 0.785)
        across.set_xlim(0, 1)
        across.set_xticks((0, 0.5, 1), [self.word("face"), self.word("middle"), self.word("face")])
        across.set_ylim(0, TOP_PCT)
        across.set_yticks(range(0, 101, 20))
        across.axhline(FSP_PCT, color=SOFT, lw=1.2, ls=":")
        average, points = chart.axes(0.55, 0.54, 0.435, 0.37), chart.axes(0.55, 0.145, 0.435, 0.25)
        for axes in (average, points):
            axes.set_xlim(0, case.LAST_DAY + 0.5)
            axes.set_xticks(range(0, case.LAST_DAY + 1, 10))
            axes.grid(True)
        average.set_ylim(0, 108)
        average.set_title(self.word("y_average"), loc="left", x=-0.1)
        points.set_ylim(0, TOP_POINTS)
        points.set_yticks((0, 5, 10, 15))
        points.set_title(self.word("y_points"), loc="left", x=-0.1)
        points.set_xlabel(self.word("x"), labelpad=1)
        return across, average, points

    def _saturation(self, across):
        """The name of its line."""
        return across.text(0.5, NAME_FEET[0], self.word("saturation"), color=SOFT, ha="center", va="bottom")

    def _place_saturation(self, artists, curves, run):
        """Put the name of fiber saturation near its line, off every curve and the EMC; away where there is no room."""
        under = (run.place > 0.5 - NAME_WIDE) & (run.place < 0.5 + NAME_WIDE)
        pieces = [(curve[under].min(), curve[under].max()) for curve in curves]
        emc = artists["emc_name"].get_position()[1]
        pieces.append((run.emc_pct, run.emc_pct))
        pieces.append((emc, emc + NAME_HIGH) if artists["emc_name"].get_va() == "bottom" else (emc - NAME_HIGH, emc))
        free = [at for at in NAME_FEET if all(high < at or low > at + NAME_HIGH for low, high in pieces)]
        artists["saturation"].set(y=free[0] if free else 0.0, visible=bool(free))

    def draw_ghost(self, artists, result, system):
        """Move the three curves to a run and its day."""
        run = result.run
        artists["across"].set_data(run.place, run.profile_pct[result.number])
        artists["average"].set_data(DAYS, run.average_pct)
        artists["points"].set_data(DAYS[1:], np.minimum(run.lost_points, TOP_POINTS))

    def draw(self, artists, result, system):
        """Move everything to a run and its day."""
        self.draw_ghost(artists, result, system)
        run, number = result.run, result.number
        lost = np.minimum(run.lost_points, TOP_POINTS)
        days = [day for day in EARLIER if day < number]
        between = np.full((len(days), 1), np.nan)  # lifts the pen from one curve to the next
        curves = np.hstack([run.profile_pct[days], between])
        places = np.hstack([np.tile(run.place, (len(days), 1)), between])
        thickness = units.show(result.state.thickness_m, "thickness", system)
        name = case.size_name(result.state.thickness_m)
        thickness = self.word("sawn", thickness=thickness, name=name) if name else thickness
        artists["title"].set_text(self.word("y_across", thickness=thickness))
        artists["earlier"].set_data(places.ravel(), curves.ravel())
        artists["earlier_name"].set_text(self.word("earlier", days=", ".join(map(str, days))) if days else "")
        artists["emc"].set_ydata([run.emc_pct, run.emc_pct])
        low = run.emc_pct < 7.0
        artists["emc_name"].set(y=run.emc_pct + (2 if low else -2), va="bottom" if low else "top")
        artists["emc_name"].set_text(self.word("emc", emc=f"{run.emc_pct:.1f}"))
        shown = [run.profile_pct[number], *run.profile_pct[days]]
        if self.ghost is not None:
            shown.append(self.ghost.run.profile_pct[number])
        self._place_saturation(artists, shown, run)
        artists["so_far"].set_data(DAYS[: number + 1], run.average_pct[: number + 1])
        artists["now"].set_data([number], [run.average_pct[number]])
        for line in artists["today"]:
            line.set_xdata([number, number])
        over = run.lost_points > np.nan_to_num(run.limit_points, nan=np.inf)
        artists["over"].set_data(DAYS[1:][over], lost[over])
        artists["point_now"].set_data(*(([number], [lost[number - 1]]) if number else ([], [])))
        self._draw_limit(artists, run.limit_points)
        artists["day_name"].set_text(self.word("day_name", day=number, mc=f"{run.average_pct[number]:.1f}"))

    def _draw_limit(self, artists, limit):
        known = np.isfinite(limit)
        artists["limit"].set_ydata([limit, limit])
        where = limit if known else TOP_POINTS / 2
        high = where > HIGH_POINTS
        artists["limit_name"].set(y=where + (-0.3 if high else 0.3), va="top" if high else "bottom")
        artists["limit_name"].set_text(self.word("limit", limit=f"{limit:.1f}") if known else self.word("no_limit"))

    def say(self, result, system):
        """Where the water is, and the pace beside the limit."""
        run, number = result.run, result.number
        finding = self.word(
            "say",
            species=self.word(f"species.{result.state.species}"),
            dry=units.show_set(result.state.dry_bulb_c, "temperature", system),
            rh=f"{run.rh_pct:.0f}",
            day=number,
            average=f"{run.average_pct[number]:.1f}",
        )
        if number:
            known = np.isfinite(run.limit_points)
            limit = self.word("say_limit", limit=f"{run.limit_points:.1f}") if known else self.word("say_no_limit")
            finding += " " + self.word("say_lost", points=_points(run.lost_points[number - 1]), limit=limit)
        return finding

    def readout(self, result, system):
        """Face, middle, points lost."""
        run, number = result.run, result.number
        lost = _points(run.lost_points[number - 1]) if number else "–"
        return (
            (self.word("face_is"), f"{run.face_pct[number]:.1f} %"),
            (self.word("middle_is"), f"{run.middle_pct[number]:.1f} %"),
            (self.word("lost"), self.word("points", points=lost)),
        )


def _points(points):
    rounded = f"{points:.1f}".replace("-", "−")
    return "0.0" if rounded == "−0.0" else rounded
