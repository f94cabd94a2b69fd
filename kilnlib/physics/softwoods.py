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
    rows = {row["fact"]: row for row in tables.records("softwoods") if row["species"] in ("", species_key(species))}
    asked: Fields = {"dry": (dry_bulb_c, DEG), "wet": (wet_bulb_c, DEG), "rh": (rh_pct, "share")}
    if "first_dry_bulb" in rows:
        return _by_first_setting(rows, asked, mc_pct < _browns_above_pct(species), dry_bulb_c, wet_bulb_c)
    for name, within, beyond in (
        ("stays_below", "softwood_stays_below", "softwood_above"),
        ("hot_dry_bulb", "softwood_only_hot", "softwood_only_hot"),
    ):
        if name in rows:
            limit = f_to_c(float(rows[name]["value"]))
            code = beyond if dry_bulb_c > limit + 1e-6 else within
            return _fact(code, asked | {"limit": (limit, DEG), "note": rows[name]["note"]}, rows[name])
    known = [rows[name] for name in ("blue_stain_from", "blue_stain_to", "pitch_from")]
    names = zip(("from", "to", "pitch"), known, strict=True)
    asked |= {name: (f_to_c(float(row["value"])), DEG) for name, row in names}
    return _fact("softwood_unknown", asked, *known)


def _by_first_setting(rows, asked, past, dry_bulb_c, wet_bulb_c):
    """The one setting known of a wood, and what became of the wood that waited or how dry it should not be."""
    first, wet = (f_to_c(float(rows[name]["value"])) for name in ("first_dry_bulb", "first_wet_bulb"))
    asked |= {"first_dry": (first, DEG), "first_wet": (wet, DEG)}
    if past:
        planes = rows["machines_badly_below"]
        asked |= {"badly": (float(planes["value"]), "share"), "aim": planes["note"]}
        return _fact("softwood_past_first", asked, rows["first_dry_bulb"], planes)
    waited = rows["waits_at_most"]
    near = abs(dry_bulb_c - first) <= NEAR_C and wet_bulb_c <= wet + NEAR_C
    code = "softwood_at_first" if near else "softwood_first_setting"
    return _fact(code, asked | {"stained": waited["note"]}, rows["first_dry_bulb"], waited)


def _browns_above_pct(species):
    """Moisture content above which a wood browns, of the table of stains; 0 where none is known."""
    rows = [row for row in tables.records("stain_risks") if row["species"] == species_key(species)]
    return max((float(row["above_mc_pct"]) for row in rows if row["risk"] == "brown"), default=0.0)


def _fact(code, fields, *rows):
    """A fact with the sources of all its rows, each once; it is known as its first row is."""
    return SoftwoodFact(code, fields, "; ".join(dict.fromkeys(row["source"] for row in rows)), rows[0]["how"])
