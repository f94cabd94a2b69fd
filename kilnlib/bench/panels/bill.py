"""The bill of a load: each line stands where the line before it ended; then all of it, and a lost load."""

from dataclasses import replace

import ipywidgets as widgets
from matplotlib.patches import Rectangle

from kilnlib import units
from kilnlib.bench.kit.app import App, Slider
from kilnlib.bench.kit.colors import BLUE, GHOST, INK, RUST, SOFT, STEEL
from kilnlib.bench.kit.parts import button
from kilnlib.cases import bill as case
from kilnlib.store import kiln
from kilnlib.store.mill import load_mill, save_mill

PARTS = ("labor", "energy", "capital", "interest", "degrade")
LINES = {
    "labor": STEEL,
    "energy": BLUE,
    "capital": SOFT,
    "interest": GHOST,
    "degrade": RUST,
    "total": INK,
    "lost": RUST,
}
MOST_USD, HIGH = 3600.0, 0.55


class Panel(App):
    """Two thousand board feet of red oak at the example kiln; the prices are the mill's."""

    name = "bill"
    State = case.State
    temperatures = has_units = False
    controls = (
        Slider("days", "days", (7, 45, 1)),
        Slider("degrade_pct", "percent", (0, 25, 1)),
        Slider("electricity_usd_kwh", "power_price", (4, 30, 1)),
        Slider("dry_usd_m3", "lumber_price", (600, 1200, 20)),
    )
    presets = {  # noqa: RUF012
        "usual": {},
        "ten_more": {"degrade_pct": 15.0},
        "day_faster": {"days": 29.0, "degrade_pct": 7.0},
        "weekend": {"days": 32.0},
        "cheap_power": {"electricity_usd_kwh": 0.06},
        "dear_wood": {"dry_usd_m3": units.to_si(1200.0, "lumber_price")},
    }

    def compute(self, state):
        """The bill, the loss and the day."""
        return case.work_out(state)

    def axes(self, chart):
        """Dollars, and a row a line."""
        bars = chart.axes(0.2, 0.13, 0.77, 0.78)
        bars.set_xlim(0, MOST_USD)
        bars.set_ylim(len(LINES) - 0.4, -0.6)
        bars.set_yticks(range(len(LINES)), [self.word(f"line.{name}") for name in LINES])
        bars.set_xlabel(self.word("x"))
        bars.xaxis.set_major_formatter("{x:,.0f}")
        bars.tick_params(axis="y", length=0)
        return bars

    def lines(self, chart, ghost):
        """Bars with their dollars; of the run before only the edge of each bar."""
        bars, move = self.panes, chart.moving
        artists = {}
        for row, (name, color) in enumerate(LINES.items()):
            look = {"fc": "none", "ec": GHOST, "lw": 1.5, "ls": "--"} if ghost else {"fc": color, "lw": 0}
            height = HIGH + 0.2 * ghost
            artists[name] = move(bars.add_patch(Rectangle((0, row - height / 2), 0, height, **look)))
            if not ghost:
                plate = {"fc": "white", "ec": "none", "pad": 1.0}
                artists[f"{name}_usd"] = move(bars.text(0, row, "", va="center", bbox=plate))
        return artists

    def draw_ghost(self, artists, result, system):
        """Move the bars."""
        for name, begins, usd in _steps(result):
            artists[name].set_x(begins)
            artists[name].set_width(usd)

    def draw(self, artists, result, system):
        """Move the bars, and their dollars to where neither they nor the edge of the run before end."""
        self.draw_ghost(artists, result, system)
        before = {name: begins + usd for name, begins, usd in _steps(self.ghost)} if self.ghost else {}
        for name, begins, usd in _steps(result):
            artists[f"{name}_usd"].set_text(f"{usd:,.0f}")
            ends = max(begins + usd, before.get(name, 0.0))
            artists[f"{name}_usd"].set_x(min(ends + 0.02 * MOST_USD, 0.9 * MOST_USD))

    def say(self, result, system):
        """All of it, ten points of degrade beside the electricity, and a day."""
        cost = result.cost
        return self.word(
            "say",
            total=_usd(cost.total_usd),
            a_day=_usd(cost.a_day_usd),
            ten=_usd(result.ten_points_usd),
            energy=_usd(cost.energy_usd),
            day=_usd(result.day_usd),
            points=f"{result.day_pct:.1f}",
        )

    def readout(self, result, system):
        """How many loads' electricity a lost one is."""
        loads = result.loss.total_usd / result.cost.energy_usd
        return ((self.word("lost_loads"), self.word("loads", loads=f"{loads:.0f}")),)

    def extra_rows(self):
        """Prices of one's own: from this kiln's file, and into it."""
        return (widgets.HBox([button("bill.take", self.take), button("bill.write", self.write)]),)

    def take(self):
        """Show the prices that stand in this kiln's file."""
        with self.guard():
            mill = load_mill()
            own = {"electricity_usd_kwh": mill.electricity_usd_kwh, "dry_usd_m3": mill.dry_usd_m3}
            self._leave_situation()
            self.refused.clear()
            self.requested = replace(self.requested, mill="own", **own)
            self._sync_all()
            self._update()
            self._note(self.word("taken"))

    def write(self):
        """Write the prices shown into this kiln's file, with Tamarack Ford's for what it does not hold yet."""
        with self.guard():
            save_mill(case.mill_of(self.state))
            self._update(mill="own")
            self._note(self.word("written", path=kiln.kiln_file()))


def _steps(result):
    """(name, where it begins, dollars) of each line, of all, and of a lost load."""
    begins = 0.0
    for name in PARTS:
        usd = getattr(result.cost, f"{name}_usd")
        yield name, begins, usd
        begins += usd
    yield "total", 0.0, result.cost.total_usd
    yield "lost", 0.0, result.loss.total_usd


def _usd(amount):
    return f"${amount:,.0f}"
