"""Wood: its species, sizes and weights, the water in it, and how it shrinks and warps."""

from kilnlib.physics.wood.lumber import (
    density_kg_m3,
    specific_gravity_at,
    tally_correction,
    water_removed_kg,
    weight_at_mc,
    wood_weight_kg,
)
from kilnlib.physics.wood.size import (
    QUARTERS,
    ROUGH_4_4_M,
    ROUGH_OVER_NOMINAL,
    nominal,
    read_thickness,
    rough_thickness_m,
)
from kilnlib.physics.wood.species_table import (
    Species,
    joined_name,
    meant_species,
    nearest_species,
    species,
    species_key,
    species_names,
)
from kilnlib.physics.wood.warp import dried_place_m
from kilnlib.physics.wood.water import (
    FSP_PCT,
    highest_mc_pct,
    mc_pct,
    mc_pct_from_wet_basis,
    shrinkage_pct,
    softwood_shrinkage_pct,
    wet_basis_pct,
    width_after,
    width_change_by_points,
)

__all__ = [
    "FSP_PCT",
    "QUARTERS",
    "ROUGH_4_4_M",
    "ROUGH_OVER_NOMINAL",
    "Species",
    "density_kg_m3",
    "dried_place_m",
    "highest_mc_pct",
    "joined_name",
    "mc_pct",
    "mc_pct_from_wet_basis",
    "meant_species",
    "nearest_species",
    "nominal",
    "read_thickness",
    "rough_thickness_m",
    "shrinkage_pct",
    "softwood_shrinkage_pct",
    "species",
    "species_key",
    "species_names",
    "specific_gravity_at",
    "tally_correction",
    "water_removed_kg",
    "weight_at_mc",
    "wet_basis_pct",
    "width_after",
    "width_change_by_points",
    "wood_weight_kg",
]
