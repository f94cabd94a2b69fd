"""The sample sheet of an invented charge of red oak, filling day by day, and three ways of reading it."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from kilnlib import units
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, INK, RUST, SOFT
from kilnlib.cases.tamarack import CHARGES
from kilnlib.physics.samples import Day, limit_share_pct
from kilnlib.store.sheet_read import read_csv

CHANGE_PCT = 30.0  # the change point of the lesson's plan
LOWEST_POINTS = -1.2  # where the points a day begin
LAST_DAY = 35
COLUMNS = {"board": 0.735, "weight": 0.823, "mc": 0.905, "points": 0.99}  # right edges, in shares of the picture
RULES = {
    "wettest": lambda day: day.controlling_pct,
    "average": lambda day: day.average_pct,
    "driest": lambda day: day.driest[1],
}
COUNTING = {"wettest": lambda count: (count + 1) // 2, "average": lambda count: count, "driest": lambda count: -1}


@dataclass(frozen=True)
class State:
    """What the controls set."""

    day: float = 18.0  # days since the first weighing
    rule: str = "wettest"


@dataclass(frozen=True)
class Result:
    """The sheet as it stands on the morning of a day."""

    state: State
    number: int
    days: tuple[Day, ...]  # up to this morning
    readings_pct: tuple[float, ...]  # what the chosen rule makes of each
    counting: tuple[str, ...]  # boards that count under the rule today, wettest first
    reached: int | None  # first day on which the rule was at the change point or below
    over: tuple[str, ...]  # boards over the safe limit since yesterday
    recut: tuple[str, float] | None  # board and points it had read too high, when new sections are dry
    limit_share_pct: float | None  # of the safe limit, the fastest board's points since yesterday


@functools.cache
def charge():
    """The shipped charge of red oak."""
    return read_csv((CHARGES / "red_oak_4_4.csv").read_bytes())[0]


@functools.cache
def _known(number):
    """The sheet as it could be known on a day: a recut tells nothing before its new sections are dry, a day later."""
    sheet = charge()
    morning = sheet.days[number].when
    boards = tuple(
        replace(board, recuts=tuple(recut for recut in board.recuts if recut.when < morning)) for board in sheet.boards
    )
    return replace(sheet, boards=boards)


def _recut(number):
    """(board, by how many points its old oven-dry weight had read too high) on the day that comes to light."""
    if not number:
        return None
    for old, new in zip(_known(number - 1).boards, _known(number).boards, strict=True):
        if old.recuts != new.recuts:
            return new.name, old.mcs_pct[number - 1] - new.mcs_pct[number - 1]
    return None


class Panel(App):
    """Six boards, five weeks."""

    name = "samples"
    State = State
    temperatures = False
    controls = (Slider("day", "count", (0, LAST_DAY, 1)), Choice("rule", tuple(RULES)))
    presets = {  # noqa: RUF012
        "early": {"day": 3.0},
        "slip": {"day": 7.0},
        "thirty": {"day": 19.0},
        "recut": {"day": 22.0},
        "last": {"day": 33.0},
    }

    def compute(self, state):
        """The sheet up to this morning, read by the chosen rule."""
        number = round(state.day)
        days = _known(number).days[: number + 1]
        readings = tuple(RULES[state.rule](day) for day in days)
        wettest_first = sorted(days[-1].mcs_pct, key=days[-1].mcs_pct.get, reverse=True)
        count = COUNTING[state.rule](len(wettest_first))
        counting = wettest_first[:count] if count > 0 else wettest_first[count:]
        limit = charge().limit_points_per_day
        fastest = days[-1].fastest
        return Result(
            state,
            number,
            days,
            readings,
            tuple(counting),
            next((at for at, reading in enumerate(readings) if reading <= CHANGE_PCT), None),
            tuple(name for name, points in days[-1].rates.items() if points > limit),
            _recut(number),
            None if fastest is None else limit_share_pct(fastest[1], limit),
        )

    def lines(self, chart, ghost):
        """Curves above, points a day below, the sheet on the right."""
        curves, points = self.panes
        move = chart.moving
        if ghost:
            return {"reading": move(curves.plot([], [], color=GHOST, lw=3)[0])}
        reading = move(curves.plot([], [], color=BLUE, lw=7, alpha=0.4)[0])  # under the boards, which stay in sight
        boards = [move(curves.plot([], [])[0]) for _ in charge().boards]
        texts = {key: move(self._text(chart, x, 0.80)) for key, x in COLUMNS.items()}
        return texts | {
            "title": move(chart.figure.text(0.99, 0.935, "", color=INK, ha="right", va="bottom", weight="bold")),
            "boards": boards,
            "reading": reading,
            "today": [move(axes.plot([], [], color=FAINT, lw=1.2)[0]) for axes in (curves, points)],
            "points_a_day": move(points.plot([], [], "o", color=INK, ms=3.5, mec="none")[0]),
            "too_fast": move(points.plot([], [], "D", mfc="white", mec=RUST, mew=1.8, ms=7, clip_on=False)[0]),
            "reading_name": move(
                curves.text(1.0, 1.03, "", color=BLUE, ha="right", weight="bold", transform=curves.transAxes)
            ),
        }

    def axes(self, chart):
        """Curves above with the change point, points a day below with the limit."""
        curves, points = chart.axes(0.065, 0.475, 0.545, 0.46), chart.axes(0.065, 0.125, 0.545, 0.225)
        for axes in (curves, points):
            axes.set_xlim(-0.5, LAST_DAY + 0.5)
            axes.set_xticks(range(0, LAST_DAY + 1, 7))
            axes.grid(True)
        curves.set_ylim(0, 95)
        curves.set_yticks(range(0, 91, 15))
        points.set_ylim(LOWEST_POINTS, 5.4)
        points.set_yticks((0, 2, 4))
        curves.set_title(self.word("y_mc"), loc="left", x=-0.1)
        points.set_title(self.word("y_points"), loc="left", x=-0.1)
        points.set_xlabel(self.word("x"))
        curves.axhline(CHANGE_PCT, color=SOFT, lw=1.4, ls=":")
        curves.text(LAST_DAY, CHANGE_PCT + 1.5, self.word("change"), color=SOFT, ha="right", va="bottom")
        limit = charge().limit_points_per_day
        points.axhline(limit, color=RUST, lw=1.8, ls="--")
        name = self.word("limit_line", limit=f"{limit:g}")
        points.text(LAST_DAY, limit + 0.3, name, color=RUST, ha="right", va="bottom")
        chart.figure.text(0.99, 0.25, self.word("marked"), color=INK, ha="right", va="top", linespacing=1.4)
        self.heads = {key: self._text(chart, x, 0.815, va="bottom") for key, x in COLUMNS.items()}
        return curves, points

    @staticmethod
    def _text(chart, x, y, va="top"):
        return chart.figure.text(x, y, "", ha="right", va=va, linespacing=1.9 if va == "top" else 1.1)

    def ticks(self, system):
        """Heads of the sheet's columns; the weight's names its unit."""
        unit = units.unit_of("weight", system).label
        for key, head in self.heads.items():
            head.set_text(self.word(f"head_{key}", unit=unit))

    def draw_ghost(self, artists, result, system):
        """Move the curve of the reading."""
        artists["reading"].set_data(range(result.number + 1), result.readings_pct)

    def draw(self, artists, result, system):
        """Move the curves, the points a day and the columns of the sheet."""
        self.draw_ghost(artists, result, system)
        today = result.days[-1]
        for line, name in zip(artists["boards"], today.mcs_pct, strict=True):
            counts = name in result.counting
            line.set_data(range(result.number + 1), [day.mcs_pct[name] for day in result.days])
            line.set(color=INK if counts else SOFT, lw=1.1, ls="-" if counts else (0, (2, 2)))
        tops = (max(today.mcs_pct.values()), max(today.rates.values(), default=LOWEST_POINTS))
        for line, foot, top in zip(artists["today"], (0.0, LOWEST_POINTS), tops, strict=True):
            line.set_data([result.number, result.number], [foot, top])
        dots = [(at, points) for at, day in enumerate(result.days) for points in day.rates.values()]
        limit = charge().limit_points_per_day
        artists["points_a_day"].set_data(*self._pairs(dots))
        artists["too_fast"].set_data(*self._pairs([dot for dot in dots if dot[1] > limit]))
        artists["reading_name"].set_text(self.word("reading_name", mc=f"{result.readings_pct[-1]:.1f}"))
        artists["title"].set_text(self.word("title", day=result.number))
        for key, lines in self._sheet(result, system).items():
            artists[key].set_text("\n".join(lines))

    @staticmethod
    def _pairs(dots):
        return np.array(dots, dtype=float).reshape(-1, 2).T

    def _sheet(self, result, system):
        """Lines of the sheet's columns, by the boards' numbers, so that a board keeps its line from day to day."""
        today = result.days[-1]
        names = sorted(today.mcs_pct)
        mark = self.word("mark")
        return {
            "board": [f"{mark} {name}" if name in result.counting else name for name in names],
            "weight": [self._weight(name, result.number, system) for name in names],
            "mc": [f"{today.mcs_pct[name]:.1f}" for name in names],
            "points": [_signed(today.rates[name]) if name in today.rates else "–" for name in names],
        }

    @staticmethod
    def _weight(name, number, system):
        unit = units.unit_of("weight", system)
        return f"{unit.from_si(charge().board(name).weighings[number].weight_kg):.3f}"

    def say(self, result, system):
        """The reading, the pace against the limit, and whatever the sheet notes on this day."""
        today = result.days[-1]
        sentences = [self._say_reading(result, system), self._say_pace(result)]
        if result.over:
            sentences.append(
                self.word("say_over", count=len(result.over), total=len(today.rates), boards=", ".join(result.over))
            )
        if result.recut:
            sentences.append(self.word("say_recut", board=result.recut[0], points=f"{result.recut[1]:.1f}"))
        notes = [note.text for note in charge().notes if note.when.date() == today.when.date()]
        sentences += [self.word("say_note", note=note) for note in notes]
        return " ".join(sentences)

    def _say_reading(self, result, system):
        air = charge().air[result.number]
        return self.word(
            "say",
            day=result.number,
            dry=units.show(air.dry_bulb_c, "temperature", system),
            wet=units.show(air.wet_bulb_c, "temperature", system),
            rule=self.word(f"rule.{result.state.rule}"),
            boards=", ".join(result.counting),
            mc=f"{result.readings_pct[-1]:.1f}",
        )

    def _say_pace(self, result):
        if not result.days[-1].rates:
            return self.word("say_first")
        board, points = result.days[-1].fastest
        if points <= 0:
            return self.word("say_gain")
        return self.word("say_pace", board=board, points=f"{points:.1f}", share=f"{result.limit_share_pct:.0f}")

    def readout(self, result, system):
        """The reading, the fastest board, its share of the limit, and the change point."""
        fastest = result.days[-1].fastest
        pace, share = ("–", "–") if fastest is None else (self._fastest(*fastest), f"{result.limit_share_pct:.0f} %")
        reached = self.word("not_yet") if result.reached is None else self.word("on_day", day=result.reached)
        return (
            (self.word(f"rule.{result.state.rule}"), f"{result.readings_pct[-1]:.1f} %"),
            (self.word("fastest"), pace),
            (self.word("share"), share),
            (self.word("reached"), reached),
        )

    def _fastest(self, board, points):
        return self.word("fastest_is", board=board, points=_signed(points))


def _signed(points):
    return f"{points:.1f}".replace("-", "−")
