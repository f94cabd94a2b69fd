"""Equilibrium moisture content by its old address: it stands in `kilnlib.physics.air`."""

from kilnlib.physics.air.emc import emc_pct, emc_pct_from_bulbs, rh_pct_for_emc

__all__ = ["emc_pct", "emc_pct_from_bulbs", "rh_pct_for_emc"]
