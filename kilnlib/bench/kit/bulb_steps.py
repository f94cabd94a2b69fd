"""Bulbs over falling moisture content, the steps of a schedule: drawn in one style wherever they are shown."""

import numpy as np

from kilnlib import units
from kilnlib.bench.kit.colors import BLUE, GREEN, RUST
from kilnlib.words import text

WETTEST_PCT = 100.0
LINES = {
    "dry": {"color": RUST},
    "wet": {"color": BLUE, "ls": (0, (5, 1.5))},
    "emc": {"color": GREEN},
}
TICKS = {"trade": range(40, 221, 20), "metric": range(0, 101, 10)}


def fall(axes, wettest_pct=WETTEST_PCT):
    """Moisture content from left, wettest, to right, dry."""
    axes.set_xlim(wettest_pct, 0)
    axes.set_xticks(np.arange(0, wettest_pct + 1, 20 if wettest_pct <= 120 else 50))
    axes.grid(True)


def label_bulbs(axes, system, title_x):
    """Temperatures up the side in a unit system, as far as the axes go."""
    unit, (low, high) = units.unit_of("temperature", system), axes.get_ylim()
    ticks = [tick for tick in TICKS[system] if low <= unit.to_si(tick) <= high]
    axes.set_yticks([unit.to_si(tick) for tick in ticks], [str(tick) for tick in ticks])
    axes.set_title(text("ladder.y_bulbs", unit=unit.label), loc="left", x=title_x)


def corners(steps, values, wettest_pct=WETTEST_PCT):
    """Corners of a line of steps: each value from where its step begins to where it ends."""
    ends = [(step.mc_below_pct or wettest_pct, step.mc_above_pct) for step in steps]
    return np.ravel(ends), np.repeat(values, 2)
