"""The bill of a load of red oak at the example kiln, for the panel. Prices are invented; the sums are not."""

from dataclasses import dataclass, replace

from kilnlib.physics.cost import Cost, Loss, Mill, cost_of_load, day_saved_usd, degrade_that_eats_pct, lost_load
from kilnlib.store.mill import load_mill
from kilnlib.units import to_si

VOLUME_M3 = to_si(2000.0, "board_feet")
KWH_A_DAY = 30.0


@dataclass(frozen=True)
class State:
    """What the controls set; the rest of the prices is Tamarack Ford's, or that of this kiln's file."""

    mill: str = "tamarack"
    days: float = 30.0
    degrade_pct: float = 5.0
    electricity_usd_kwh: float = 0.12
    dry_usd_m3: float = to_si(900.0, "lumber_price")


@dataclass(frozen=True)
class Result:
    """What it costs, what is gone if it is lost, and what a day is worth."""

    state: State
    cost: Cost
    loss: Loss
    ten_points_usd: float
    day_usd: float  # what a day less saves
    day_pct: float  # degrade that eats it


def mill_of(state: State) -> Mill:
    """The mill of a state."""
    base = load_mill() if state.mill == "own" else Mill(green_usd_m3=to_si(600.0, "lumber_price"))
    return replace(base, electricity_usd_kwh=state.electricity_usd_kwh, dry_usd_m3=state.dry_usd_m3)


def work_out(state: State) -> Result:
    """Result of a state."""
    mill = mill_of(state)
    cost = cost_of_load(mill, VOLUME_M3, state.days, KWH_A_DAY, state.degrade_pct)
    loss = lost_load(mill, VOLUME_M3, state.days, KWH_A_DAY)
    day = day_saved_usd(mill, VOLUME_M3, KWH_A_DAY, 0.0)
    ten = 0.1 * VOLUME_M3 * mill.dry_usd_m3
    return Result(state, cost, loss, ten, day, degrade_that_eats_pct(day, VOLUME_M3, mill))
