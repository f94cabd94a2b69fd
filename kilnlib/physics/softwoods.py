"""What is published about drying a softwood, for which no schedule stands here: facts, and what nobody here knows.

The codes that some remember for softwoods are never put together with the depressions of hardwoods.
"""

from dataclasses import dataclass

from kilnlib import tables
from kilnlib.errors import Fields
from kilnlib.physics.wood import is_softwood, species_key
from kilnlib.units import f_to_c

NEAR_C = 5.0 / 1.8  # how close to a published setting counts as that setting; our choice
DEG = "temperature"


@dataclass(frozen=True)
class SoftwoodFact:
    """What is known of this wood here: a code whose words stand in `words`, what fills it in, who says so."""

    code: str
    fields: Fields
    source: str
    how: str


def softwood_fact(
    species: str, mc_pct: float, dry_bulb_c: float, wet_bulb_c: float, rh_pct: float
) -> SoftwoodFact | None:
    """The published fact that bears on a setting for a softwood.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    mc_pct : moisture content that leads [%], 0 to 400.
    dry_bulb_c : dry bulb asked for [°C].
    wet_bulb_c : wet bulb asked for [°C].
    rh_pct : its relative humidity [%].

    Returns
    -------
    SoftwoodFact, with code "softwood_unknown" where nothing was found; None for a hardwood.

    Raises
    ------
    NotFound : a species that is not in the tables.

    Source
    ------
    tables/softwoods.csv, each row with its own; *retrieved*.

    Accuracy
    --------
    As printed. One test in one mill is no schedule: the first setting says nothing about the second.
    """
    if not is_softwood(species):
        return None
    rows = {row["fact"]: row for row in tables.records("softwoods") if row["species"] == species_key(species)}
    asked: Fields = {"dry": (dry_bulb_c, DEG), "wet": (wet_bulb_c, DEG), "rh": (rh_pct, "share")}
    if "first_dry_bulb" in rows:
        first, wet = (f_to_c(float(rows[name]["value"])) for name in ("first_dry_bulb", "first_wet_bulb"))
        code = "softwood_first_setting"
        if mc_pct < _browns_above_pct(species):
            code = "softwood_past_first"
        elif abs(dry_bulb_c - first) <= NEAR_C and wet_bulb_c <= wet + NEAR_C:
            code = "softwood_at_first"
        return _fact(code, rows["first_dry_bulb"], asked | {"first_dry": (first, DEG), "first_wet": (wet, DEG)})
    for name, within, beyond in (
        ("stays_below", "softwood_stays_below", "softwood_above"),
        ("hot_dry_bulb", "softwood_only_hot", "softwood_only_hot"),
    ):
        if name in rows:
            limit = f_to_c(float(rows[name]["value"]))
            code = beyond if dry_bulb_c > limit + 1e-6 else within
            return _fact(code, rows[name], asked | {"limit": (limit, DEG), "note": rows[name]["note"]})
    return SoftwoodFact("softwood_unknown", asked, "Looked for and not found", "common practice")


def _browns_above_pct(species):
    """Moisture content above which a wood browns, of the table of stains; 0 where none is known."""
    rows = [row for row in tables.records("stain_risks") if row["species"] == species_key(species)]
    return max((float(row["above_mc_pct"]) for row in rows if row["risk"] == "brown"), default=0.0)


def _fact(code, row, fields):
    return SoftwoodFact(code, fields, row["source"], row["how"])
