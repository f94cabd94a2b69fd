"""A kiln as a machine: cold coil, compressor, strips, vent and walls, its control, and where heat and water go."""

from kilnlib.physics.air.scalars import ratio_at_bulbs, saturation_pa, vapor_pa
from kilnlib.physics.machine.balance import Balance, Work, balance, machine_work, wood_heat_j_k
from kilnlib.physics.machine.coil import Coil, coil
from kilnlib.physics.machine.control import Control, Setting, is_full, may_run
from kilnlib.physics.machine.cycle import Cycle, cycle
from kilnlib.physics.machine.mist import MIST_J_KG
from kilnlib.physics.machine.parts import (
    EXAMPLE,
    R_VALUES,
    Chamber,
    Load,
    Machine,
    Outdoors,
    Running,
    State,
    load_of,
    walls_w_k,
)
from kilnlib.physics.machine.run import Run, run
from kilnlib.physics.machine.steady import Steady, steady
from kilnlib.physics.machine.sums import crack_m3s, thrown_out_j_kg, warm_up_j

__all__ = [
    "EXAMPLE",
    "MIST_J_KG",
    "R_VALUES",
    "Balance",
    "Chamber",
    "Coil",
    "Control",
    "Cycle",
    "Load",
    "Machine",
    "Outdoors",
    "Run",
    "Running",
    "Setting",
    "State",
    "Steady",
    "Work",
    "balance",
    "coil",
    "crack_m3s",
    "cycle",
    "is_full",
    "load_of",
    "machine_work",
    "may_run",
    "ratio_at_bulbs",
    "run",
    "saturation_pa",
    "steady",
    "thrown_out_j_kg",
    "vapor_pa",
    "walls_w_k",
    "warm_up_j",
    "wood_heat_j_k",
]
