"""The machine's work from a grid of airs, each worked out when it is first asked for: a run asks every minute."""

import functools
from dataclasses import replace

from kilnlib.physics.machine.balance import Work, _work
from kilnlib.physics.machine.cycle import CONDENSING_RANGE_C
from kilnlib.physics.machine.parts import Machine

AIR_K, RATIO, ICE_KG = 0.5, 1e-3, 0.05  # steps of the grid; between them straight lines, of the ice the nearest step


class Works:
    """What one machine does at one air pressure.

    Parameters
    ----------
    machine : Machine.
    pressure_pa : air pressure [Pa].
    """

    def __init__(self, machine: Machine, pressure_pa: float):
        self._machine, self._pressure_pa = machine, pressure_pa
        self._cells: dict[tuple[int, int, int], list | tuple] = {}
        self._corners: dict[tuple[int, int, int], Work] = {}  # of neighbors alike
        over_k = machine.condensing_over_k
        self._least_c, self._most_c = (limit - over_k for limit in CONDENSING_RANGE_C)

    def at(self, dry_bulb_c: float, humidity_ratio: float, ice_kg: float) -> tuple[float, ...]:
        """The numbers of a Pull, as that of `machine_work` within 0.2 % in water and electricity."""
        column, row = dry_bulb_c / AIR_K, humidity_ratio / RATIO
        key = int(column), int(row), round(ice_kg / ICE_KG) if ice_kg else 0
        cell = self._cells.get(key)
        if cell is None:
            cell = self._cells[key] = self._cell(*key)
        if not cell:
            return _work(self._machine, dry_bulb_c, humidity_ratio, self._pressure_pa, ice_kg).pull
        x, y = column - key[0], row - key[1]
        xy = x * y
        power, heat, latent, water, water_heat, ices = cell
        return (
            power[0] + power[1] * x + power[2] * y + power[3] * xy,
            heat[0] + heat[1] * x + heat[2] * y + heat[3] * xy,
            latent[0] + latent[1] * x + latent[2] * y + latent[3] * xy,
            water[0] + water[1] * x + water[2] * y + water[3] * xy,
            water_heat[0] + water_heat[1] * x + water_heat[2] * y + water_heat[3] * xy,
            ices[0],
        )

    def _cell(self, column, row, ice):
        """What a straight line needs of each number between four airs; nothing where only some freeze, dry or idle."""
        if column * AIR_K < self._least_c or (column + 1) * AIR_K > self._most_c:
            return ()
        corners = [self._corner(column + right, row + up, ice) for up in (0, 1) for right in (0, 1)]
        idle_w = self._machine.idle_w
        if len({(one.coil.water_kgs > 0.0, one.coil_c < 0.0, one.compressor_w > idle_w) for one in corners}) > 1:
            return ()
        numbers = zip(*(work.pull for work in corners), strict=True)
        return [(a, b - a, c - a, a - b - c + d) for a, b, c, d in numbers]

    def _corner(self, *key):
        if key not in self._corners:
            column, row, ice = key
            air = column * AIR_K, row * RATIO
            self._corners[key] = _work(self._machine, *air, self._pressure_pa, ice * ICE_KG)
        return self._corners[key]


known = functools.lru_cache(maxsize=16)(Works)


def works(machine: Machine, pressure_pa: float) -> Works:
    """The same for every run of a kiln, and where its water goes is nothing to a coil.

    Parameters
    ----------
    machine : Machine.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Works.

    Raises
    ------
    Nothing.

    Source
    ------
    `machine_work`; *computed*.

    Accuracy
    --------
    Water and electricity within 0.2 % of it (tests/physics/machine/test_works.py).
    """
    return known(replace(machine, drained=1.0), pressure_pa)
