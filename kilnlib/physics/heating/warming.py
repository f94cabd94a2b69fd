"""Heat in a cross-section step by step: air that climbs or fails, and wood that starts frozen.

The series knows neither. Here a quarter of the section is cut into cells that pass heat to their neighbors. While
there is ice each holds its heat as enthalpy, so that the free water of green wood must melt before the cell gets
warmer; bound water never freezes. Without ice all steps are alike, and the section moves on by one product of matrices.
"""

import functools
import math
from dataclasses import dataclass

import numpy as np

from kilnlib.physics.air.moist import WATER_KJ_KGK
from kilnlib.physics.air.scalars import ICE_J_KG
from kilnlib.physics.arrays import check_range, within
from kilnlib.physics.heating.material import COEFFICIENTS
from kilnlib.physics.heating.series import WOOD_C, Piece
from kilnlib.physics.wood import FSP_PCT, WATER_KG_M3
from kilnlib.units import f_to_c

ICE_KJ_KGK = 2.1  # heat capacity of ice, textbook, from memory
MELTS_C = f_to_c(COEFFICIENTS["free_water_melts"])
_CELLS = 14  # from a face to the middle of the thickness
_MOST_CELLS = 28  # across half the width
_STEADY = 0.9  # share of the longest step that stays steady
_MOST_STEPS = 40_000


@dataclass(frozen=True)
class Warming:
    """What a section does: `section_c` (time, thickness, width) from the faces to the middle, and its core."""

    minutes: np.ndarray
    section_c: np.ndarray
    core_c: np.ndarray

    def at(self, depth_share: float, width_share: float = 1.0) -> np.ndarray:
        """Temperature [°C] at a place, 0 the face and 1 the middle, along the time."""
        rows, columns = self.section_c.shape[1:]
        if depth_share == width_share == 1.0:
            return self.core_c
        row, column = (
            min(int(share * count), count - 1) for share, count in ((depth_share, rows), (width_share, columns))
        )
        return self.section_c[:, row, column]

    def minutes_to(self, target_c: float, depth_share: float = 1.0) -> float:
        """First minute at which a place reads a temperature; infinite if it never does."""
        reading = self.at(depth_share)
        hot = np.flatnonzero(reading >= target_c)
        if not len(hot):
            return math.inf
        last = int(hot[0])
        if last == 0:
            return float(self.minutes[0])
        (early, late), (cool, warm) = self.minutes[last - 1 : last + 1], reading[last - 1 : last + 1]
        return float(early + (late - early) * (target_c - cool) / (warm - cool))


class _Wood:
    """Temperature of a cubic meter from its enthalpy, counted from all ice just at melting."""

    def __init__(self, piece):
        dry = WATER_KG_M3 * piece.specific_gravity
        free = dry * max(piece.mc_pct - FSP_PCT, 0.0) / 100.0
        self.thawed = piece.conductivity_w_mk / piece.diffusivity_m2s  # J/(m³ K)
        self.frozen = self.thawed - 1e3 * free * (WATER_KJ_KGK - ICE_KJ_KGK)
        self.melting = free * ICE_J_KG
        self.conducts = (
            piece.conductivity_w_mk,
            piece.conductivity_w_mk * (COEFFICIENTS["frozen_conductivity"] if free else 1),
        )

    def enthalpy(self, celsius):
        above = celsius - MELTS_C
        return np.where(above < 0.0, self.frozen * above, self.melting + self.thawed * above)

    def celsius(self, enthalpy):
        return (
            MELTS_C + np.minimum(enthalpy, 0.0) / self.frozen + np.maximum(enthalpy - self.melting, 0.0) / self.thawed
        )

    def conductivity(self, enthalpy):
        thawed, frozen = self.conducts
        if not self.melting:
            return np.full(enthalpy.shape, thawed)
        return frozen + (thawed - frozen) * np.clip(enthalpy / self.melting, 0.0, 1.0)

    def fastest(self):
        return max(self.conducts[0] / self.thawed, self.conducts[1] / self.frozen)


def warming(
    piece: Piece,
    minutes: np.ndarray,
    air_c: np.ndarray | float,
    start_c: float,
    film_w_m2k: np.ndarray | float = math.inf,
) -> Warming:
    """How a cross-section warms in air that changes; green wood that starts below melting starts frozen.

    Parameters
    ----------
    piece : Piece; its length is left out.
    minutes : rising times to tell of [min], the first is the start.
    air_c : what the faces meet at these times [°C], -45 to 120, straight between them.
    start_c : wood at the start [°C], -45 to 120.
    film_w_m2k : film coefficient at these times [W/(m² K)]; infinite where faces are as hot as `air_c` at once.

    Returns
    -------
    Warming [min, °C].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Conduction between cells; *computed*. Ice melts at 31 °F and frozen wood conducts 1.3 times as well, both
    *from memory* (tables/heating.csv).

    Accuracy
    --------
    Within 2 % of the series without ice. With ice no measured time was at hand; a second program of the same idea
    agrees within 3 % (tests/physics/heating/test_warming.py).
    """
    times = np.asarray(minutes, dtype=float)
    air = np.broadcast_to(check_range("The air", air_c, *WOOD_C, "temperature"), times.shape)
    film = np.broadcast_to(check_range("The film", film_w_m2k, 1.0, math.inf, "ratio"), times.shape)
    start = within("Wood", start_c, *WOOD_C, "temperature")
    wood = _Wood(piece)
    deep, wide, rows, columns = _cells(piece)
    spread = piece.conductivity_w_mk, piece.diffusivity_m2s
    celsius = np.full((rows, columns), start)
    heat = wood.enthalpy(celsius)
    longest = _STEADY / (2.0 * wood.fastest() * (1.0 / deep**2 + 1.0 / wide**2))
    sections = [celsius]
    for number in range(1, len(times)):
        seconds = 60.0 * (times[number] - times[number - 1])
        if heat.min() >= wood.melting:  # no ice, or no longer
            meets = 0.5 * (air[number - 1] + air[number])
            step = round(seconds, 6)
            left = [_left(step, *spread, float(film[number]), *cells) for cells in ((deep, rows), (wide, columns))]
            celsius = meets + left[0] @ (sections[-1] - meets) @ left[1]
            heat = wood.enthalpy(celsius)
        else:
            steps = max(1, math.ceil(seconds / longest))
            within("The count of steps", steps, 1, _MOST_STEPS, "count")
            for step in range(steps):
                meets = air[number - 1] + (step + 0.5) / steps * (air[number] - air[number - 1])
                heat = heat + seconds / steps * _gain(wood, heat, meets, film[number], deep, wide)
            celsius = wood.celsius(heat)
        sections.append(celsius)
    section = np.array(sections)
    return Warming(times, section, _middle(section))


@functools.lru_cache(maxsize=256)
def _left(seconds, conducts, diffusivity, film, size, count):
    """What is left in each cell of a line of the difference in each to the air, after a time; exact, without ice."""
    if size == math.inf:
        return np.ones((1, 1))
    flows = np.diag(np.full(count - 1, 1.0), 1)
    flows = flows + flows.T
    outer = size / (0.5 * size + conducts / film)  # to the face and through the film, beside a whole cell
    flows -= np.diag(flows.sum(axis=1) + np.eye(count)[0] * outer)
    rate, mode = np.linalg.eigh(diffusivity / size**2 * flows)
    return mode @ (np.exp(rate * seconds)[:, None] * mode.T)


def _cells(piece):
    """Depth and width of a cell, and how many: the width counts only if the piece has one."""
    deep = 0.5 * piece.thickness_m / _CELLS
    if piece.width_m == math.inf:
        return deep, math.inf, _CELLS, 1
    columns = min(_MOST_CELLS, max(_CELLS, round(0.5 * piece.width_m / deep)))
    return deep, 0.5 * piece.width_m / columns, _CELLS, columns


def _gain(wood, heat, meets, film, deep, wide):
    """Heat that each cubic meter gains in a second; the first row and column lie at faces, the last at the middle."""
    celsius, conducts = wood.celsius(heat), wood.conductivity(heat)
    gain = np.zeros_like(heat)
    for axis, size in ((0, deep), (1, wide)):
        if size == math.inf:
            continue
        inner = 2.0 / (1.0 / _but_last(conducts, axis) + 1.0 / _but_first(conducts, axis))
        flow = inner * (_but_last(celsius, axis) - _but_first(celsius, axis)) / size**2
        outer = (meets - _first(celsius, axis)) / (0.5 * size / _first(conducts, axis) + 1.0 / film) / size
        gain += np.concatenate([outer, flow], axis) - np.concatenate([flow, np.zeros_like(outer)], axis)
    return gain


def _but_last(array, axis):
    return array[:-1] if axis == 0 else array[:, :-1]


def _but_first(array, axis):
    return array[1:] if axis == 0 else array[:, 1:]


def _first(array, axis):
    return array[:1] if axis == 0 else array[:, :1]


def _middle(section):
    """Temperature in the very middle: the last cell lies half a cell before it, on a level parabola."""
    core = section[:, -1, -1]
    for inner in (section[:, -2, -1:], section[:, -1, -2:-1] if section.shape[2] > 1 else section[:, -1, -1:]):
        core = core + (section[:, -1, -1] - inner[:, 0]) / 8.0
    return core
