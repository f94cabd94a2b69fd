"""The ladder of a schedule: bulbs and EMC while the wood dries, what to set today, and what a kiln can do of it."""

from dataclasses import replace

from kilnlib import units
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.bulb_steps import LINES, corners, fall, label_bulbs
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, GREEN, INK, RUST, SOFT
from kilnlib.cases import ladder as case

COLUMNS = {
    "until": 0.713,
    "dry": 0.774,
    "wet": 0.838,
    "gap": 0.945,
    "other": 0.985,
}  # right edges, shares of the picture
HEAD_X = {"gap": 0.993}  # of the head of a column, where it is not its own: this word is longer than its numbers
TITLE_X = -0.1
HEADS_Y = (0.838, 0.79)
NAMES_X = {"dry": 0.56, "wet": 0.95, "emc": 0.95}  # right ends of the names, above their axes: no line runs there


class Panel(App):
    """Five kinds of stock: as in the index, shifted, with a floor, or as the kiln at Tamarack Ford can do it."""

    name = "ladder"
    State = case.State
    drawn = None  # what the seldom layer shows
    controls = (
        Slider("mc_pct", "percent", (5, 100, 1)),
        Choice("wood", tuple(case.WOODS)),
        Choice("shift", tuple(case.SHIFTS)),
        Choice("limits", ("none", "modified", "kiln", "own")),
    )
    presets = {  # noqa: RUF012
        "opening": {},
        "thirty": {"mc_pct": 31.0},
        "weak": {"mc_pct": 60.0, "shift": "milder"},
        "modified": {"mc_pct": 22.0, "limits": "modified"},
        "maple": {"mc_pct": 65.0, "wood": "maple", "limits": "kiln"},
        "poplar": {"mc_pct": 95.0, "wood": "poplar", "limits": "kiln"},
        "own": {"mc_pct": 95.0, "wood": "poplar", "limits": "own"},
    }

    def compute(self, state):
        """The ladder and the step for this moisture content."""
        return case.work_out(state)

    def _paint(self):
        """Beside it stands the same wood by the book, or what a mark was left on."""
        self.leave_ghost(self.compute(replace(self.state, shift="none", limits="none")))
        super()._paint()

    def show(self, result, ghost, system, finding):
        """The picture; what hangs on the ladder and not on the moisture content is drawn anew when it changes."""
        drawing = (result.code, result.settings, ghost.settings, self.kept, system)
        if drawing != self.drawn:
            self.drawn = drawing
            self.chart.redraw_seldom()
        return super().show(result, ghost, system, finding)

    def kiln_saved(self):
        """What this kiln can hold may be another now."""
        self.set()

    def lines(self, chart, ghost):
        """Bulbs above, EMC below, the ladder as a list on the right."""
        bulbs, moisture = self.panes
        move, seldom = chart.moving, chart.seldom
        layer = seldom if ghost else move
        look = {"color": GHOST, "lw": 1.5} if ghost else {"lw": 2.4}
        places = {"dry": bulbs, "wet": bulbs, "emc": moisture}
        lines = {key: layer(axes.plot([], [], **LINES[key] | look)[0]) for key, axes in places.items()}
        if ghost:
            return lines
        here = [move(axes.axvline(0, color=FAINT, lw=1.2)) for axes in (bulbs, moisture)]
        colors = {"dry": RUST, "wet": BLUE, "emc": GREEN}
        names = {f"{key}_name": seldom(self._key(axes, key, colors[key])) for key, axes in places.items()}
        points = [
            move(axes.plot([], [], "o", color=LINES[key]["color"], ms=9, mec="white", clip_on=False)[0])
            for key, axes in places.items()
        ]
        layers = {"until": move}  # it bears the mark of today's step
        columns = {f"list_{key}": layers.get(key, seldom)(self._text(chart, x, 0.77)) for key, x in COLUMNS.items()}
        return (
            lines
            | names
            | columns
            | {
                "legend": seldom(
                    chart.figure.text(0.993, 0.03, "", color=SOFT, ha="right", va="bottom", linespacing=1.3)
                ),
                "here": here,
                "points": points,
                "title": seldom(chart.figure.text(0.993, 0.945, "", color=INK, ha="right", va="bottom", weight="bold")),
                "today": move(bulbs.text(0.0, 0.0, "", color=INK, ha="left", va="bottom", weight="bold")),
            }
        )

    def axes(self, chart):
        """Bulbs above, EMC below; heads of the list on the right."""
        bulbs, moisture = chart.axes(0.075, 0.47, 0.525, 0.46), chart.axes(0.075, 0.125, 0.525, 0.245)
        for axes in (bulbs, moisture):
            fall(axes)
        bulbs.tick_params(labelbottom=False)
        bulbs.set_ylim(units.f_to_c(60), units.f_to_c(190))
        moisture.set_ylim(0, 24)
        moisture.set_yticks((0, 5, 10, 15, 20))
        moisture.set_title(self.word("y_emc"), loc="left", x=TITLE_X)
        moisture.set_xlabel(self.word("x"))
        self.heads = {
            key: [self._text(chart, at, y, "baseline") for at, y in zip((HEAD_X.get(key, x), x), HEADS_Y, strict=True)]
            for key, x in COLUMNS.items()
        }
        return bulbs, moisture

    @staticmethod
    def _text(chart, x, y, va="top"):
        return chart.figure.text(x, y, "", ha="right", va=va, linespacing=1.9 if va == "top" else 1.1)

    def _key(self, axes, key, color):
        name, look = self.word(f"name_{key}"), {"color": color, "ha": "right", "weight": "bold"}
        return axes.text(NAMES_X[key], 1.03, name, transform=axes.transAxes, **look)

    def ticks(self, system):
        """Temperatures in the shown unit, heads of the list."""
        unit = units.unit_of("temperature", system)
        label_bulbs(self.panes[0], system, TITLE_X)
        for key, heads in self.heads.items():
            lines = ["", *self.word(f"head_{key}", unit=unit.label).split("\n")]
            for head, words in zip(heads, lines[-2:], strict=True):
                head.set_text(words)

    def draw_ghost(self, artists, result, system):
        """Move the three lines."""
        for key, line in (("dry", "dry_bulb_c"), ("wet", "wet_bulb_c"), ("emc", "emc_pct")):
            artists[key].set_data(*corners(result.steps, [getattr(one, line) for one in result.settings]))

    def draw(self, artists, result, system):
        """Move the three lines, the points and the list."""
        self.draw_ghost(artists, result, system)
        now, mc = result.settings[result.at], result.state.mc_pct
        for line in artists["here"]:
            line.set_xdata([mc, mc])
        for point, value in zip(artists["points"], (now.dry_bulb_c, now.wet_bulb_c, now.emc_pct), strict=True):
            point.set_data([mc], [value])
        artists["today"].set(x=mc, y=units.f_to_c(61), ha="left" if mc > 50 else "right")
        artists["today"].set_text(self.word("today", mc=f"{mc:g}"))
        artists["legend"].set_text(self._legend(result))
        artists["title"].set_text(f"{self.word(f'wood.{result.state.wood}')}, {result.code}")
        for key, lines in self._list(result, system).items():
            artists[f"list_{key}"].set_text("\n".join(lines))

    def _list(self, result, system):
        """Columns of the list: hold until, dry bulb, wet bulb, depression."""
        until = [f"{step.mc_above_pct:.0f} %" if step.mc_above_pct else self.word("end") for step in result.steps]
        until[result.at] = f"{self.word('mark')} {until[result.at]}"
        dry, wet, depression = zip(*(_shown(one, system) for one in result.settings), strict=True)
        other = [self.word("other") if differs else "" for differs in result.others]
        return {"until": until, "dry": dry, "wet": wet, "gap": depression, "other": other}

    def _legend(self, result):
        lines = [self.word("legend_kept" if self.kept else "legend_book")] if self.kept or any(result.others) else []
        return "\n".join(lines + [self.word("legend_other")] * any(result.others))

    def say(self, result, system):
        """What to set, what comes next, and what the kiln cannot do."""
        now = result.settings[result.at]
        finding = self.word(
            "say",
            wood=self.word(f"wood.{result.state.wood}"),
            code=result.code,
            mc=f"{result.state.mc_pct:g}",
            step=result.at + 1,
            steps=len(result.steps),
            **self._bulbs(now, system),
        )
        return " ".join([finding, *self._say_limits(result, system), self._say_next(result, system)])

    def _say_limits(self, result, system):
        reach = result.reaches[result.at]
        if result.steps[result.at].as_dry_as_it_goes and not result.in_kiln:
            yield self.word("say_dry")
        if result.in_kiln and reach.limits:
            bounds = {"dry": result.kiln.top_dry_bulb_c, "wet": result.kiln.coil_wet_bulb_limit_c}
            bounds = {key: units.show(value, "temperature", system) for key, value in bounds.items()}
            limits = [
                self.word(f"say_{limit}", rh=f"{result.kiln.driest_rh_pct:.0f}", **bounds) for limit in reach.limits
            ]
            fields = {"kiln": result.kiln.name, "limits": ", ".join(limits), **self._bulbs(reach.called_for, system)}
            yield self.word("say_book", **fields)

    def _say_next(self, result, system):
        if result.change is None:
            return self.word("say_last")
        mc = f"{result.change.mc_pct:.0f}"
        if result.in_kiln:
            old, new = result.settings[result.at : result.at + 2]
            hotter = new.dry_bulb_c > old.dry_bulb_c + 0.1
            wider = new.dry_bulb_c - new.wet_bulb_c > old.dry_bulb_c - old.wet_bulb_c + 0.1
            return self.word("say_next_two" if hotter and wider else "say_next", mc=mc)
        dials = [
            self.word(
                f"dial_{dial.stopped}" if dial.stopped else "dial",
                dry=units.show(units.f_to_c(dial.dry_bulb_f), "temperature", system),
                depression=units.show(dial.depression_f / 1.8, "temperature_difference", system),
            )
            for dial in result.change.dials
        ]
        return self.word("say_two" if len(dials) > 1 else "say_one", mc=mc, first=dials[0], then=dials[-1])

    def _bulbs(self, one, system):
        unit = units.unit_of("temperature", system).label
        return {key: f"{text} {unit}" for key, text in zip(("dry", "wet", "gap"), _shown(one, system), strict=True)}

    def readout(self, result, system):
        """Today's settings; in the kiln also the other way out and the days."""
        now = result.settings[result.at]
        bulbs = self._bulbs(now, system)
        rows = [
            (self.word("bulbs"), f"{bulbs['dry']} / {bulbs['wet']}"),
            (self.word("rh_emc"), f"{now.rh_pct:.0f} % / {now.emc_pct:.1f} %"),
        ]
        if not result.in_kiln:
            return rows
        other = self._bulbs(result.reaches[result.at].same_emc, system)
        if (other["dry"], other["wet"]) != (bulbs["dry"], bulbs["wet"]):
            rows.append((self.word("same_emc"), f"{other['dry']} / {other['wet']}"))
        days = result.days
        times = self.word("days_times", times=f"{days.same_rh_days / days.book_days:.1f}")
        return [*rows, (self.word("days"), times)]


def _shown(one, system):
    """Dry bulb, wet bulb and depression as read on the screen: the third is the first less the second."""
    places = 0 if system == "trade" else 1
    dry, wet = (units.from_si(value, "temperature", system) for value in (one.dry_bulb_c, one.wet_bulb_c))
    depression = round(dry, places) - round(wet, places)
    return tuple(f"{value:.{places}f}" for value in (dry, wet, depression))
