"""What drying a load costs: energy, labor, kiln, degrade and interest, and what a lost load or a saved day is worth."""

from kilnlib.physics.cost.load import (
    Cost,
    Loss,
    Mill,
    capital_recovery,
    cost_of_load,
    day_saved_usd,
    degrade_that_eats_pct,
    drying_kwh,
    lost_load,
)

__all__ = [
    "Cost",
    "Loss",
    "Mill",
    "capital_recovery",
    "cost_of_load",
    "day_saved_usd",
    "degrade_that_eats_pct",
    "drying_kwh",
    "lost_load",
]
