"""What a compressor does with its refrigerant between a cold coil and a warm condenser, from a table of R134a."""

import bisect
from typing import NamedTuple

from kilnlib.physics.arrays import within
from kilnlib.tables import records

_NUMBERS = ("suction_kg_m3", "cooling_kj_kg", "work_kj_kg", "discharge_c")


def _axis(name):
    return sorted({float(row[name]) for row in records("refrigerant_cycle")})


EVAPORATING_C, CONDENSING_C = _axis("evaporating_c"), _axis("condensing_c")
CONDENSING_RANGE_C = CONDENSING_C[0], CONDENSING_C[-1]
LEAST_LIFT_K = 10.0
_GRID = {
    (float(row["evaporating_c"]), float(row["condensing_c"])): (
        *(float(row[name]) for name in _NUMBERS),
        1.0 / float(row["ideal_cop"]),  # the inverse is nearly straight
    )
    for row in records("refrigerant_cycle")
}


class Cycle(NamedTuple):
    """One kilogram of refrigerant once around, with 5 K superheat and subcooling and 70 % of the ideal's efficiency.

    Source
    ------
    tables/refrigerant_cycle.csv; *computed*.
    """

    suction_kgm3: float
    cooling_j_kg: float
    work_j_kg: float
    discharge_c: float
    ideal_cop: float

    @property
    def rejected_j_kg(self) -> float:
        """Heat the condenser must give away: what the coil took and the work on the gas."""
        return self.cooling_j_kg + self.work_j_kg

    def cop(self, motor_efficiency: float = 1.0) -> float:
        """Cooling for each unit of electricity."""
        return self.cooling_j_kg / self.work_j_kg * motor_efficiency


def cycle(evaporating_c: float, condensing_c: float) -> Cycle:
    """The refrigerant's round between two temperatures.

    Parameters
    ----------
    evaporating_c : refrigerant in the cold coil [°C], -30 to 70 and at least 10 below the condensing one.
    condensing_c : refrigerant in the condenser [°C], 20 to 95.

    Returns
    -------
    Cycle.

    Raises
    ------
    OutOfRange : a temperature out of range.

    Source
    ------
    tables/refrigerant_cycle.csv, worked out with a property library for R134a, straight lines between; *computed*.

    Accuracy
    --------
    COP and cooling within 1 % of the property library between the table's own points (tests/physics/machine). A real
    compressor's efficiency changes with its lift, and a pipe costs pressure: neither is in here.
    """
    condensing = within("Condensing temperature", condensing_c, *CONDENSING_RANGE_C, "temperature")
    highest = min(EVAPORATING_C[-1], condensing - LEAST_LIFT_K)
    evaporating = within("Evaporating temperature", evaporating_c, EVAPORATING_C[0], highest, "temperature")
    return _cycle(evaporating, condensing)


def _cycle(evaporating_c, condensing_c):
    return Cycle(*_between(evaporating_c, condensing_c))


def _cooling_j_m3(evaporating_c, condensing_c):
    """Heat that a cubic meter of suction gas takes."""
    (low, share_low), (high, share_high) = _place(EVAPORATING_C, evaporating_c), _place(CONDENSING_C, condensing_c)
    suction, cooling = _CELLS[low][high][:2]
    return _suction(_edge(suction, share_high), share_low) * 1e3 * _along(_edge(cooling, share_high), share_low)


def _between(evaporating_c, condensing_c):
    """Straight lines between four neighbors; the gas weighs and cools along exponentials, so its logarithm is taken."""
    (low, share_low), (high, share_high) = _place(EVAPORATING_C, evaporating_c), _place(CONDENSING_C, condensing_c)
    suction, *rest = (_edge(corners, share_high) for corners in _CELLS[low][high])
    cooling, work, discharge, for_one = (_along(edge, share_low) for edge in rest)
    return _suction(suction, share_low), 1e3 * cooling, 1e3 * work, discharge, 1.0 / for_one


def _edge(corners, share):
    a, b, c, d = corners
    return a + share * (b - a), c + share * (d - c)


def _along(edge, share):
    return edge[0] + share * (edge[1] - edge[0])


def _suction(edge, share):
    return edge[0] * (edge[1] / edge[0]) ** share


def _cell(low, high):
    """Corners of a cell for each number of the table; a corner that the table lacks is that beside it."""
    (cold, warm), (cool, hot) = EVAPORATING_C[low : low + 2], CONDENSING_C[high : high + 2]
    second = _GRID.get((warm, cool), _GRID.get((warm, hot)))
    corners = [_GRID.get((cold, cool)), _GRID.get((cold, hot)), second, _GRID.get((warm, hot))]
    return None if None in corners else list(zip(*corners, strict=True))


_CELLS = [[_cell(low, high) for high in range(len(CONDENSING_C) - 1)] for low in range(len(EVAPORATING_C) - 1)]


def _place(axis, value):
    """Which pair of neighbors a value lies between, and how far along."""
    at = min(max(bisect.bisect_right(axis, value) - 1, 0), len(axis) - 2)
    return at, (value - axis[at]) / (axis[at + 1] - axis[at])
