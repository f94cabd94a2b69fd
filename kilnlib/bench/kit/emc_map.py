"""The map of EMC over dry bulb and depression, drawn once for every picture that shows it."""

import numpy as np

from kilnlib import units
from kilnlib.bench.kit.colors import FAINT, INK, SOFT
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.words import text

DRY_C, DEPRESSION_C = np.linspace(units.f_to_c(70.0), units.f_to_c(200.0), 66), np.linspace(0.0, 60 / 1.8, 61)
LEVELS_PCT = (3, 4, 5, 6, 8, 10, 12, 15, 18)
TICKS = {"trade": (range(80, 201, 40), range(0, 61, 10)), "metric": (range(30, 91, 20), range(0, 31, 5))}


def draw_map(axes, pressure_pa):
    """The still part: lines of equal EMC, and the corner where no air is so dry."""
    axes.set_xlim(DRY_C[0], DRY_C[-1])
    axes.set_ylim(DEPRESSION_C[-1], 0)
    below_boiling = np.where(air.saturation_pressure_pa(DRY_C) < pressure_pa, DRY_C, np.nan)
    lowest = air.wet_bulb_c(below_boiling, 0.0, pressure_pa)
    dry, depression = np.meshgrid(below_boiling, DEPRESSION_C)
    wet = np.where(dry - depression > lowest, dry - depression, np.nan)
    values = emc.emc_pct_from_bulbs(dry, wet, pressure_pa)
    lines = axes.contour(DRY_C, DEPRESSION_C, values, levels=LEVELS_PCT, colors=SOFT, linewidths=1.1)
    axes.clabel(lines, fmt="%g", fontsize=12, colors=INK)
    driest = DRY_C - lowest
    axes.fill_between(DRY_C, driest, DEPRESSION_C[-1], where=driest < DEPRESSION_C[-1], color=FAINT, lw=0)
    axes.text(units.f_to_c(74.0), 56 / 1.8, text("emc.no_air"), color=INK, va="bottom", linespacing=1.2)


def label_map(axes, altitude_m, system, **place):
    """Ticks, labels and title in a unit system; `place` is where the title stands, if not in the middle."""
    for axis, kind, ticks, label in (
        (axes.xaxis, "temperature", TICKS[system][0], "emc.x_map"),
        (axes.yaxis, "temperature_difference", TICKS[system][1], "emc.y_map"),
    ):
        unit = units.unit_of(kind, system)
        axis.set_ticks([unit.to_si(tick) for tick in ticks], [str(tick) for tick in ticks])
        axis.set_label_text(text(label, unit=unit.label))
    axes.set_title(text("emc.title_map", altitude=units.show(altitude_m, "altitude", system)), **place)
