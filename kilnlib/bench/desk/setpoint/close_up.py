"""The EMC map near two settings: zoomed, so that air a few degrees apart stands apart on the screen."""

import math

import numpy as np

from kilnlib import units
from kilnlib.bench.kit.chart import FAINT, INK, SOFT
from kilnlib.bench.kit.emc_map import DEPRESSION_C, DRY_C
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.words import text

ROOM_F = (8.0, 2.5)  # around the settings: dry bulb, depression
GRID_F = (10.0, 5.0)
LEAST_F = (40.0, 15.0)
LEVELS_PCT = (2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20)
STEPS = (1, 2, 5, 10, 20, 50)
MOST_TICKS = (8, 4)
APART_PX = 20  # between two numbers of lines, and between one and a setting
EDGE_PX = 12
CORNER = (0.32, 0.55)  # of the window: room for the words where no air is so dry


def window(points):
    """(lowest dry bulb, highest, least depression, most) [°C] around (dry bulb, depression) points on the map."""
    found = []
    for values, edges, room, grid, least in zip(
        zip(*points, strict=True), (DRY_C, DEPRESSION_C), ROOM_F, GRID_F, LEAST_F, strict=True
    ):
        first, last = (round(units.c_to_f(edge)) if edges is DRY_C else round(1.8 * edge) for edge in edges[[0, -1]])
        shown = [units.c_to_f(value) if edges is DRY_C else 1.8 * value for value in values]
        low = max(first, grid * math.floor((min(shown) - room) / grid))
        high = min(last, max(low + least, grid * math.ceil((max(shown) + room) / grid)))
        low = max(first, min(low, high - least))
        found += [units.f_to_c(edge) if edges is DRY_C else edge / 1.8 for edge in (low, high)]
    return tuple(found)


def draw(axes, around, pressure_pa, settings):
    """Lines of equal EMC in a window, their numbers beside the `settings` and never under one, and the corner where no
    air is so dry. Returns what was drawn, the lines first.
    """
    left, right, top, bottom = around
    axes.set(xlim=(left, right), ylim=(bottom, top))
    dry_c, depression_c = np.linspace(left, right, 61), np.linspace(top, bottom, 61)
    below_boiling = np.where(air.saturation_pressure_pa(dry_c) < pressure_pa, dry_c, np.nan)
    lowest = air.wet_bulb_c(below_boiling, 0.0, pressure_pa)
    dry, depression = np.meshgrid(below_boiling, depression_c)
    values = emc.emc_pct_from_bulbs(dry, np.where(dry - depression > lowest, dry - depression, np.nan), pressure_pa)
    drawn = []
    if np.isfinite(values).any():
        lines = axes.contour(dry_c, depression_c, values, levels=LEVELS_PCT, colors=SOFT, linewidths=1.1)
        axes.clabel(lines, fmt="%g", fontsize=12, colors=INK, manual=_places(axes, lines, settings))
        drawn.append(lines)  # its labels go with it
    driest = dry_c - lowest
    if np.nanmin(driest) < bottom:
        drawn.append(axes.fill_between(dry_c, driest, bottom, where=driest < bottom, color=FAINT, lw=0))
    across, down = CORNER
    if np.interp(left + across * (right - left), dry_c, driest) < bottom - down * (bottom - top):
        words = text("emc.no_air")
        place = {"transform": axes.transAxes, "va": "bottom", "linespacing": 1.2}
        drawn.append(axes.text(0.02, 0.06, words, color=INK, **place))
    return drawn


def covered(axes, drawn, settings):
    """Whether a number of a line in what was drawn lies under one of the settings."""
    numbers = [words.get_position() for one in drawn[:1] for words in getattr(one, "labelTexts", ())]
    return not all(_far(axes, number, settings) for number in numbers)


def _places(axes, lines, settings):
    """A place for the number of each line: near the middle, away from the settings, the edges and other numbers."""
    places, box = [], axes.get_window_extent()
    for path in lines.get_paths():
        pixels = axes.transData.transform(path.vertices)
        inside = ((pixels > box.min + EDGE_PX) & (pixels < box.max - EDGE_PX)).all(axis=1)
        near = np.argsort(np.abs(pixels[:, 0] - box.min[0] - 0.5 * box.width))
        free = (tuple(path.vertices[n]) for n in near if inside[n] and _far(axes, path.vertices[n], settings + places))
        if (place := next(free, None)) is not None:
            places.append(place)
    return places


def _far(axes, place, others):
    apart = axes.transData.transform([place, *others])
    return all(math.dist(apart[0], other) >= APART_PX for other in apart[1:])


def ticks(axes, around, system):
    """Whole degrees on both axes, in a unit system."""
    left, right, top, bottom = around
    for axis, kind, ends, most in (
        (axes.xaxis, "temperature", (left, right), MOST_TICKS[0]),
        (axes.yaxis, "temperature_difference", (top, bottom), MOST_TICKS[1]),
    ):
        unit = units.unit_of(kind, system)
        low, high = (round(unit.from_si(end), 6) for end in ends)
        step = next(one for one in STEPS if (high - low) / one <= most)
        shown = range(step * math.ceil(low / step), math.floor(high) + 1, step)
        axis.set_ticks([unit.to_si(tick) for tick in shown], [str(tick) for tick in shown])
    axes.set(xlim=(left, right), ylim=(bottom, top))  # ticks move them
