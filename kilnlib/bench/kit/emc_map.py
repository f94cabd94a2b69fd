"""The axes of a map over dry bulb and depression, for every picture that shows one."""

import numpy as np

from kilnlib import units
from kilnlib.words import text

DRY_C, DEPRESSION_C = np.linspace(units.f_to_c(70.0), units.f_to_c(200.0), 66), np.linspace(0.0, 60 / 1.8, 61)
TICKS = {"trade": (range(80, 201, 40), range(0, 61, 10)), "metric": (range(30, 91, 20), range(0, 31, 5))}


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
