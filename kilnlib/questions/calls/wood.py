"""Calculator names for water in wood, in trade units: weights in any one unit, inches, board feet."""

from kilnlib.physics import wood
from kilnlib.units import BOARD_FOOT_M3, FT_M, GALLON_M3, LB_KG


def mc(weight: float, ovendry: float) -> float:
    """Moisture content [%] from a weight and the oven-dry weight [any one unit]."""
    return wood.mc_pct(weight, ovendry)


def wet_basis(mc: float) -> float:
    """Water as a share of the whole weight [%] from moisture content [%]."""
    return wood.wet_basis_pct(mc)


def mc_from_wet_basis(share: float) -> float:
    """Moisture content [%] from water as a share of the whole weight [%]."""
    return wood.mc_pct_from_wet_basis(share)


def highest_mc(sg: float) -> float:
    """Most water a wood of this basic specific gravity can hold [% MC]."""
    return wood.highest_mc_pct(sg)


def shrinkage(total: float, mc: float, fsp: float = 30) -> float:
    """Shrinkage so far [%] from total shrinkage [%] and moisture content [%]."""
    return wood.shrinkage_pct(total, mc, fsp)


def softwood_shrinkage(mc: float, face: str = "width") -> float:
    """Average shrinkage of softwood lumber [%] at a moisture content [%], in "width" or "thickness"."""
    return wood.softwood_shrinkage_pct(mc, face)


def width_after(width: float, total: float, mc_from: float, mc_to: float, fsp: float = 30) -> float:
    """Width [same unit] at another moisture content [%], from total shrinkage [%]."""
    return wood.width_after(width, total, mc_from, mc_to, fsp)


def width_change(width: float, pct_per_point: float, mc_from: float, mc_to: float) -> float:
    """Change of width [same unit] by the shop rule of percent for each point."""
    return wood.width_change_by_points(width, pct_per_point, mc_from, mc_to)


def density_lb_ft3(sg: float, mc: float) -> float:
    """Weight of a cubic foot of wood [lb] from basic specific gravity and moisture content [%]."""
    return wood.density_kg_m3(sg, mc) * FT_M**3 / LB_KG


def tally_correction(*sizes: float) -> float:
    """Actual over nominal: thickness, nominal thickness, then width and length pairs where they differ."""
    return wood.tally_correction(*sizes)


def wood_lb(bf: float, sg: float, mc: float = 0, correction: float = 1) -> float:
    """Weight [lb] of so many board feet at a moisture content [%]."""
    return wood.wood_weight_kg(bf * correction * BOARD_FOOT_M3, sg, mc) / LB_KG


def weight_at(weight: float, mc_from: float, mc_to: float) -> float:
    """What the same wood weighs at another moisture content [%]."""
    return wood.weight_at_mc(weight, mc_from, mc_to)


def water_lb(bf: float, sg: float, mc_from: float, mc_to: float, correction: float = 1) -> float:
    """Water [lb] that leaves so many board feet between two moisture contents [%]."""
    return wood.water_removed_kg(bf * correction * BOARD_FOOT_M3, sg, mc_from, mc_to) / LB_KG


def water_gal(bf: float, sg: float, mc_from: float, mc_to: float, correction: float = 1) -> float:
    """The same water in gallons."""
    return lb_to_gal(water_lb(bf, sg, mc_from, mc_to, correction))


def lb_to_gal(pounds: float) -> float:
    """Gallons of so many pounds of water (1,000 kg/m³)."""
    return pounds * LB_KG / 1000.0 / GALLON_M3
