"""Heat on its way to the core: a cut through the piece, the traces of air, core and a probe, and the half hour."""

import math

import numpy as np
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.patches import Rectangle

from kilnlib import units
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, GREEN, INK, RUST, SOFT
from kilnlib.cases import core as case
from kilnlib.units import IN_M, f_to_c

# Bands of the section: cold and not yet hot enough in blues, hot enough in rusts; edges in °F.
BANDS = ((32, "#0b3d6b"), (80, "#3f7fb5"), (110, "#9cc3e0"), (133, "#f0c9a8"), (145, "#d98a5b"), (160, "#a3330b"))
EDGES_C = [f_to_c(edge) for edge, _ in BANDS]
LOW_F, FOOT_F, TOP_F = 0.0, 38.0, 185.0  # under the foot the key stands
FOOT = (FOOT_F - LOW_F) / (TOP_F - LOW_F)
HALF_IN = 3.4  # half of the square that the section is drawn in
PLATE = {"fc": "white", "ec": "none", "pad": 1.0}


class Panel(App):
    """Red oak in a kiln whose air climbs for half an hour and holds; everything is computed."""

    name = "core"
    State = case.State
    controls = (
        Choice("size", tuple(case.SIZES)),
        Choice("wood", tuple(case.WOODS)),
        Choice("heater", case.HEATERS),
        Slider("dry_bulb_c", "temperature", (134, 180, 1)),
        Slider("depression_c", "temperature_difference", (0, 55, 1)),
        Slider("depth", "share", (10, 100, 5)),
        Slider("from_end_m", "inches", (1, 24, 1)),
    )
    presets = {  # noqa: RUF012
        "moist": {},
        "thin": {"size": "1x6", "wood": "dry", "depression_c": 40 / 1.8},
        "post": {"size": "6x6"},
        "dry_air": {"depression_c": 50 / 1.8},
        "frozen": {"wood": "frozen"},
        "halfway": {"depth": 50.0},
        "trips": {"wood": "dry", "heater": "trips", "depression_c": 40 / 1.8},
    }
    quick = False

    def compute(self, state):
        """The piece, heated so, with that probe in it."""
        return case.work_out(state)

    def axes(self, chart):
        """Traces on the left, the section and the key of its colors on the right."""
        traces = chart.axes(0.085, 0.125, 0.52, 0.715)
        traces.set_xlim(0, 1)
        traces.set_ylim(f_to_c(LOW_F), f_to_c(TOP_F))
        traces.set_xticks([])
        self.title = traces.set_title("", loc="left", x=-0.13, y=1.07)
        traces.set_xlabel(self.word("x"), labelpad=18)
        for x, name, color in ((0.02, "air", SOFT), (0.22, "core", BLUE), (0.44, "probe", RUST)):
            traces.text(x, 1.02, self.word(f"key.{name}"), color=color, transform=traces.transAxes)
        hold = Rectangle((0, f_to_c(FOOT_F)), 0, (TOP_F - FOOT_F) / 1.8, fc="#e7f0e4", lw=0)
        self.hold = chart.moving(traces.add_patch(hold))  # first, so that it lies under every curve
        section = chart.axes(0.655, 0.4, 0.28, 0.448)
        section.set_xlim(-HALF_IN, HALF_IN)
        section.set_ylim(-HALF_IN, HALF_IN)
        section.set_axis_off()
        section.set_autoscale_on(False)
        key = chart.axes(0.655, 0.01, 0.3, 0.27)
        key.set_xlim(0, 10)
        key.set_ylim(0, len(BANDS))
        key.set_axis_off()
        self.bands = []
        for number, (_, color) in enumerate(BANDS):
            key.add_patch(Rectangle((0, number), 1.6, 1, fc=color, ec=SOFT, lw=0.5))
            self.bands.append(key.text(2.1, number, "", va="center"))
        return traces, section

    def lines(self, chart, ghost):
        """Curves, the hold and the section; of the run before only its core."""
        traces, section = self.panes
        move = chart.moving
        if ghost:
            return {"core": move(traces.plot([], [], color=GHOST, lw=1.8)[0])}
        colors = ListedColormap([color for _, color in BANDS])
        norm = BoundaryNorm([*EDGES_C, 200.0], len(BANDS))
        return {
            "hold": self.hold,
            "needed": move(traces.axhline(case.NEEDED_C, color=GREEN, lw=1.2)),
            "needed_name": move(traces.text(1.0, 1.09, "", color=GREEN, ha="right", transform=traces.transAxes)),
            "air": move(traces.plot([], [], color=SOFT, lw=1.8, ls=(0, (5, 2)))[0]),
            "core": move(traces.plot([], [], color=BLUE, lw=2.4)[0]),
            "probe": move(traces.plot([], [], color=RUST, lw=2.2, ls=(0, (1, 1)))[0]),
            "now": move(traces.axvline(0, ymin=FOOT, color=INK, lw=1.2)),
            "times": [move(traces.text(0, 0, "", ha="center", va="top")) for _ in range(5)],
            "hold_name": move(traces.text(0, 0, "", color=GREEN, va="bottom", bbox=PLATE)),
            "image": move(section.imshow(np.zeros((2, 2)), cmap=colors, norm=norm, interpolation="nearest")),
            "shank": move(section.plot([], [], color=INK, lw=2.0)[0]),
            "tip": move(section.plot([], [], "o", color=INK, ms=8, mec="white", mew=1.5)[0]),
            "center": move(section.plot([0], [0], "+", color=INK, ms=11, mew=2.0)[0]),
            "section_title": move(section.text(-HALF_IN, HALF_IN + 0.25, "", va="bottom", weight="bold")),
            "middle": move(section.text(-HALF_IN, -HALF_IN - 0.1, "", va="top")),
            "tip_name": move(section.text(-HALF_IN, -HALF_IN - 0.75, "", va="top")),
        }

    def ticks(self, system):
        """Temperatures in the shown unit, on the axis and in the key."""
        traces, _ = self.panes
        label = units.unit_of("temperature", system).label
        step, last = (20, 180) if system == "trade" else (10, 80)
        marks = range(0, last + 1, step)
        traces.set_yticks([units.to_si(mark, "temperature", system) for mark in marks], [str(mark) for mark in marks])
        self.title.set_text(self.word("y", unit=label))
        for band, edge in list(zip(self.bands, EDGES_C, strict=True))[1:]:
            band.set_text(units.show(edge, "temperature", system, more=-1 if system == "metric" else 0))

    def draw_ghost(self, artists, result, system):
        """The core of the run before, on the time of this one."""
        last = self.result.minutes[-1] if self.result is not None else result.minutes[-1]
        artists["core"].set_data(result.minutes / last, result.heating.section.core_c)

    def draw(self, artists, result, system):
        """Move curves, hold and section."""
        heating, last = result.heating, float(result.minutes[-1])
        for name, reading in (("air", heating.air_c), ("core", heating.section.core_c), ("probe", result.probe_c)):
            artists[name].set_data(result.minutes / last, reading)
        artists["needed_name"].set_text(self.word("needed", needed=_fine(case.NEEDED_C, system)))
        artists["now"].set_xdata([result.picture_min / last] * 2)
        for number, text in enumerate(artists["times"]):
            text.set_text(f"{last * number / 4:.0f}")
            text.set_position((number / 4, f_to_c(LOW_F) - 1.2))
        held = heating.hold.held
        artists["hold"].set_x(heating.hold.start_min / last if held else 0.0)
        artists["hold"].set_width((heating.hold.done_min - heating.hold.start_min) / last if held else 0.0)
        artists["hold_name"].set_text(self.word("hold") if held else "")
        start, done = (heating.hold.start_min / last, heating.hold.done_min / last) if held else (0.0, 0.0)
        beside = done < 0.85
        artists["hold_name"].set_ha("left" if beside else "right")
        artists["hold_name"].set_position((done + 0.01 if beside else start - 0.01, f_to_c(FOOT_F) + 1.0))
        self._draw_section(artists, result, system)

    def _draw_section(self, artists, result, system):
        """The cut at the shown minute, with the probe in it."""
        piece = result.heating.piece
        quarter = result.heating.section.section_c[result.picture_index]
        half = np.concatenate([quarter, quarter[::-1]])
        artists["image"].set_data(np.concatenate([half, half[:, ::-1]], axis=1))
        wide, thick = 0.5 * piece.width_m / IN_M, 0.5 * piece.thickness_m / IN_M
        artists["image"].set_extent((-wide, wide, -thick, thick))
        tip = thick * (1.0 - result.state.depth / 100.0)
        artists["shank"].set_data([0.0, 0.0], [thick + 0.3, tip])
        artists["tip"].set_data([0.0], [tip])
        core, probe = (units.show(celsius, "temperature", system) for celsius in self._now(result))
        artists["section_title"].set_text(self.word("section", minute=f"{result.picture_min:.0f}"))
        artists["middle"].set_text(self.word("middle", core=core))
        artists["tip_name"].set_text(self.word("tip", probe=probe))

    @staticmethod
    def _now(result):
        return result.heating.section.core_c[result.picture_index], result.probe_c[result.picture_index]

    def say(self, result, system):
        """What probe and core read when the probe says hot, when the hold is done, and who was fooled."""
        hold, probe = result.heating.hold, result.probe_hold
        core_c, probe_c = self._now(result)
        show = {"probe": _fine(probe_c, system), "core": _fine(core_c, system)}
        sentences = [self.word("say", minute=f"{result.picture_min:.0f}", **show)]
        if hold.held:
            sentences.append(self.word("say_done", start=f"{hold.start_min:.0f}", done=f"{hold.done_min:.0f}"))
        else:
            last, needed = f"{result.minutes[-1]:.0f}", _fine(case.NEEDED_C, system)
            sentences.append(self.word("say_never", needed=needed, last=last))
        if probe.held and not hold.held:
            sentences.append(self.word("say_fooled", done=f"{probe.done_min:.0f}"))
        elif result.early_min > 0.5:
            sentences.append(self.word("say_early", done=f"{probe.done_min:.0f}", early=f"{result.early_min:.0f}"))
        if result.heating.face.wet_share > 0.99 and not hold.held:
            surface = units.show(result.heating.face.surface_c, "temperature", system)
            sentences.append(self.word("say_wet", surface=surface))
        return " ".join(sentences)

    def readout(self, result, system):
        """The minute at which the half hour is done."""
        return ((self.word("done"), self._minute(result.heating.hold.done_min)),)

    def _minute(self, minute):
        return self.word("not_at_all") if math.isnan(minute) else self.word("at_minute", minute=f"{minute:.0f}")


def _fine(celsius, system):
    """A temperature to the tenth of a degree."""
    return units.show(celsius, "temperature", system, more=1 if system == "trade" else 0)
