"""One board from green to dry: the water beside the dry wood, and the end of the board at its true shrinkage."""

import functools
from dataclasses import dataclass

import numpy as np
from matplotlib.patches import Rectangle

from kilnlib import units
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, INK, RUST, SOFT
from kilnlib.physics import wood
from kilnlib.physics.wood import ROUGH_4_4_M

WIDTH_M, THICKNESS_M, LENGTH_M = 8 * units.IN_M, ROUGH_4_4_M, 8 * units.FT_M  # green: half a cubic foot
GREEN_M3 = WIDTH_M * THICKNESS_M * LENGTH_M
PX_M, PX_KG = 72 / units.IN_M, 27 / units.LB_KG  # screen px: one scale for both sizes of the board
LEFT, BOARD, SPAN, DRY, WATER, RULER = 32, 278, 265, 178, 104, 92  # px from the left and the bottom of the picture
BAR = 36
WOOD, RING, EDGE, BOUND, FREE = "#e6cda3", "#b8935a", "#6b4a1f", "#9dbfdf", "#e3eef8"


def _rings():
    """Growth rings across the green end, in px, by grain: along the wide face, or standing across it."""
    width, thickness, apart = WIDTH_M * PX_M, THICKNESS_M * PX_M, 20.0
    x, y = np.linspace(0, width, 80), np.linspace(0, thickness, 12)
    flat = [(x, np.sqrt(np.maximum(r**2 - (x - width / 2) ** 2, 0)) - 220) for r in np.arange(235, 420, apart)]
    standing = [(np.sqrt(r**2 - (y - thickness / 2) ** 2) - 900, y) for r in np.arange(905, 900 + width, apart)]
    return {"flatsawn": _joined(flat, thickness), "quartersawn": _joined(standing, thickness)}


def _joined(curves, thickness):
    """Curves as one line with gaps, without what lies off the board."""
    x = np.concatenate([np.append(across, np.nan) for across, _ in curves])
    y = np.concatenate([np.append(up, np.nan) for _, up in curves])
    on = (y >= 0) & (y <= thickness) & (x >= 0) & (x <= WIDTH_M * PX_M)
    return np.where(on, x, np.nan), np.where(on, y, np.nan)


RINGS = _rings()


@dataclass(frozen=True)
class State:
    """What the controls set."""

    species: str = "yellow-poplar"
    grain: str = "flatsawn"
    mc_pct: float = 106.0


@dataclass(frozen=True)
class Result:
    """The weights in the board, and its size."""

    state: State
    dry_kg: float
    bound_kg: float
    free_kg: float
    width_m: float
    thickness_m: float
    fsp_pct: float
    how_shrinkage: str

    @property
    def water_kg(self):
        """All the water in it."""
        return self.bound_kg + self.free_kg


class Panel(App):
    """A board of 1-1/8 by 8 inches and 8 feet, equally wet all through."""

    name = "wood"
    State = State
    temperatures = False
    controls = (
        Choice("species", ("red oak", "hard maple", "yellow-poplar", "white ash", "eastern white pine")),
        Choice("grain", ("flatsawn", "quartersawn")),
        Slider("mc_pct", "percent", (0, 110, 1)),
    )
    presets = {  # noqa: RUF012
        "poplar": {},
        "oak": {"species": "red oak", "mc_pct": 80.0},
        "saturation": {"species": "red oak", "mc_pct": 30.0},
        "shed": {"species": "red oak", "mc_pct": 14.0},
        "kiln": {"species": "red oak", "mc_pct": 7.0},
        "oven": {"species": "red oak", "mc_pct": 0.0},
    }

    def answers(self, state):
        """The prediction is about this board at half its moisture content: on the way there nothing bears it out."""
        return state.mc_pct <= 0.505 * self.opening.mc_pct

    def compute(self, state):
        """Dry wood, bound and free water, width and thickness."""
        kind = wood.species(state.species)
        dry = wood.wood_weight_kg(GREEN_M3, kind.specific_gravity)
        bound = dry * min(state.mc_pct, kind.fsp_pct) / 100
        totals = (kind.tangential_pct, kind.radial_pct)
        if state.grain == "quartersawn":
            totals = totals[::-1]
        width, thickness = (
            green * (1 - wood.shrinkage_pct(total, state.mc_pct, kind.fsp_pct) / 100)
            for green, total in zip((WIDTH_M, THICKNESS_M), totals, strict=True)
        )
        free = dry * state.mc_pct / 100 - bound
        return Result(state, dry, bound, free, width, thickness, kind.fsp_pct, kind.how_shrinkage)

    def lines(self, chart, ghost):
        """The end of the board above; below it the water, between the bar of dry wood and the ruler."""
        axes, move = self.panes, chart.moving
        if ghost:
            outline = Rectangle((LEFT, BOARD), 0, 0, fill=False, ec=GHOST, lw=1.5)
            return {
                "board": move(axes.add_patch(outline)),
                "end": move(axes.plot([], [], color=GHOST, lw=2)[0]),
            }

        clear = {"fc": "white", "ec": "none", "pad": 1}

        def bar(bottom, **look):
            return move(axes.add_patch(Rectangle((LEFT, bottom), 0, BAR, **look)))

        return {
            "board": move(axes.add_patch(Rectangle((LEFT, BOARD), 0, 0, fc=WOOD, ec=EDGE, lw=1.5))),
            "rings": move(axes.plot([], [], color=RING, lw=1.3)[0]),
            "span": move(axes.plot([], [], color=INK, lw=1.2, marker="|", ms=9)[0]),
            "size": move(axes.text(LEFT, SPAN - 12, "", va="top")),
            "bound": bar(WATER, fc=BOUND, ec=BLUE, lw=1.5, hatch="///"),
            "free": bar(WATER, fc=FREE, ec=BLUE, lw=1.5),
            "water_name": move(axes.text(LEFT, WATER + BAR + 7, "", va="bottom", bbox=clear)),
            "end": move(axes.plot([], [], color=RUST, lw=2.5, marker="v", markevery=[1], ms=9)[0]),
            "mc": move(axes.text(0, WATER + BAR / 2, "", color=RUST, va="center", weight="bold", bbox=clear)),
        }

    def axes(self, chart):
        """A sheet in screen px with the green outline; dry wood and ruler change with the species only."""
        axes = chart.axes(0, 0, 1, 1)
        axes.set_xlim(0, chart.width_px)
        axes.set_ylim(0, chart.height_px)
        axes.set_axis_off()
        axes.text(LEFT, 393, self.word("title"), va="top")
        green = (WIDTH_M * PX_M, THICKNESS_M * PX_M)
        axes.add_patch(Rectangle((LEFT, BOARD), *green, fill=False, ec=INK, lw=1.2, ls=(0, (5, 4))))
        names = {"ha": "center", "va": "top"}
        self.dry = chart.seldom(axes.add_patch(Rectangle((LEFT, DRY), 0, BAR, fc=WOOD, ec=EDGE, lw=1.5)))
        self.dry_name = chart.seldom(axes.text(LEFT + 8, DRY + BAR / 2, "", va="center"))
        self.ruler = chart.seldom(axes.plot([], [], color=SOFT, lw=1.3)[0])
        self.full = chart.seldom(axes.plot([], [], color=SOFT, lw=1.3, ls="--")[0])
        self.marks = {pct: chart.seldom(axes.text(0, RULER - 14, f"{pct} %", **names)) for pct in (0, 30, 100)}
        self.saturation = chart.seldom(axes.text(0, RULER - 36, self.word("saturation"), color=SOFT, va="top"))
        axes.text(LEFT, 12, self.word("ruler"), color=SOFT, va="bottom")
        self.ruled_for = None
        return axes

    def draw_ghost(self, artists, result, system):
        """Set the size of the board, and the mark where its water ends."""
        water_end = LEFT + result.water_kg * PX_KG
        artists["board"].set_width(result.width_m * PX_M)
        artists["board"].set_height(result.thickness_m * PX_M)
        artists["end"].set_data([water_end, water_end], [WATER + BAR, RULER])

    def draw(self, artists, result, system):
        """Set sizes, bars and words."""
        self.draw_ghost(artists, result, system)
        weights = self._weights(result, system)
        self._rule(result, weights["dry"])
        x, y = RINGS[result.state.grain]
        artists["rings"].set_data(LEFT + x * result.width_m / WIDTH_M, BOARD + y * result.thickness_m / THICKNESS_M)
        artists["span"].set_data([LEFT, LEFT + result.width_m * PX_M], [SPAN, SPAN])
        artists["size"].set_text(self.word("size", **self._sizes(result, system)))
        artists["bound"].set_width(result.bound_kg * PX_KG)
        artists["free"].set_x(LEFT + result.bound_kg * PX_KG)
        artists["free"].set_width(result.free_kg * PX_KG)
        artists["water_name"].set_text(self.word("two_waters", **weights))
        artists["mc"].set_text(_percent(result.state.mc_pct))
        artists["mc"].set_x(LEFT + result.water_kg * PX_KG + 8)

    def _rule(self, result, dry):
        """The bar of dry wood, and the ruler under the water whose 100 % is where that bar ends."""
        if (dry, result.fsp_pct) == self.ruled_for:
            return
        self.ruled_for = (dry, result.fsp_pct)
        whole = result.dry_kg * PX_KG
        at = LEFT + whole * np.arange(0, 111, 10) / 100
        self.ruler.set_data(np.repeat(at, 3), np.tile([RULER, RULER - 8, RULER], len(at)))
        clear_of_words = [DRY, DRY - 10, np.nan, WATER + BAR + 5, RULER - 12]
        self.full.set_data([LEFT + whole] * 5, clear_of_words)
        self.dry.set_width(whole)
        self.dry_name.set_text(self.word("dry", dry=dry))
        for pct, mark in self.marks.items():
            mark.set_x(LEFT + whole * pct / 100)
        self.saturation.set_x(LEFT + whole * result.fsp_pct / 100)
        self.chart.redraw_seldom()

    @staticmethod
    def _sizes(result, system):
        written = functools.partial(units.show, kind="thickness", system=system)
        return {
            "width": written(result.width_m),
            "thickness": written(result.thickness_m),
            "narrower": written(WIDTH_M - result.width_m),
            "thinner": written(THICKNESS_M - result.thickness_m),
        }

    @staticmethod
    def _weights(result, system):
        """Weights a mill scale would show, one decimal less than usual."""
        written = functools.partial(units.show, kind="weight", system=system, more=-1)
        return {
            "weight": written(result.dry_kg + result.water_kg),
            "dry": written(result.dry_kg),
            "water": written(result.water_kg),
            "bound": written(result.bound_kg),
            "free": written(result.free_kg),
        }

    def say(self, result, system):
        """Weights, where the water is, and what the board has lost in size."""
        state = result.state
        weights, sizes = self._weights(result, system), self._sizes(result, system)
        names = {"species": self.word(f"species.{state.species}"), "grain": self.word(f"grain.{state.grain}").lower()}
        finding = self.word("say", **names, mc=_percent(state.mc_pct), **weights)
        if state.mc_pct >= result.fsp_pct:
            return f"{finding} {self.word('say_green', **weights)}"
        finding += " " + self.word("say_shrunk", **weights, **sizes)
        return finding + (" " + self.word("say_memory") if result.how_shrinkage == "memory" else "")

    def readout(self, result, system):
        """MC, weight, water, and the two sizes with what they have lost."""
        weights, sizes = self._weights(result, system), self._sizes(result, system)
        return (
            (self.word("mc"), _percent(result.state.mc_pct)),
            (self.word("weight"), weights["weight"]),
            (self.word("water"), weights["water"]),
            (self.word("width"), self._change(sizes["width"], sizes["narrower"], result)),
            (self.word("thickness"), self._change(sizes["thickness"], sizes["thinner"], result)),
        )

    def _change(self, now, less, result):
        key = "green" if result.state.mc_pct >= result.fsp_pct else "shrunk"
        return self.word(key, now=now, less=less.split()[0])


def _percent(mc_pct):
    """Moisture content as it is talked about: 106 %, 6.5 %."""
    return f"{round(mc_pct, 1):g} %"
