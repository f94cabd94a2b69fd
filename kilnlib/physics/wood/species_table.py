"""Species: one name for each kind of wood, and what the handbooks say of it.

A species is named once, in tables/species_names.csv, which says what the other tables call it. To add one, add a row
there and a row in species_properties.csv. A row in species_properties.csv alone works too: it is then known by its own
name. A species has a schedule, a daily limit or a stain only where species_schedules.csv, safe_drying_rates.csv or
stain_risks.csv has rows for it. Names are understood in any order of words, in capitals or not ("red oak", "Oak, red").
"""

import difflib
import functools
import itertools
import re
from dataclasses import dataclass

from kilnlib import tables
from kilnlib.errors import NotFound

STATES = {"green", "rough", "fresh"}  # of lumber: words passed over where the rest is the name of a wood
JOINS = ("properties", "schedule", "rate")
OAK = "red oak"  # the wood that the models are set to: others are known beside it
SAWN = ("flatsawn", "quartersawn")


@dataclass(frozen=True)
class Species:
    """What the tables hold of one species, NaN where nothing. Percents are of oven-dry weight, or of green size."""

    name: str
    group: str
    specific_gravity: float  # basic: oven-dry weight, green volume
    green_average_pct: float  # whole trees, FIA
    green_heartwood_pct: float
    green_sapwood_pct: float
    radial_pct: float  # total shrinkage, green to oven-dry
    tangential_pct: float
    fsp_pct: float
    source_gravity: str  # also of green_average_pct
    how_gravity: str
    source_green_mc: str
    how_green_mc: str
    source_shrinkage: str
    how_shrinkage: str
    remarks: tuple[str, ...] = ()  # where another source differs


def species(name: str) -> Species:
    """Everything the tables hold of one species.

    Parameters
    ----------
    name : name of the species, such as "red oak" or "Oak, red, upland"; other names in common use are understood.

    Returns
    -------
    Species: specific gravity, green MC [%], shrinkage [%], each with its source.

    Raises
    ------
    NotFound : a name that is not in the tables, with the nearest ones; a species whose properties are not in them.

    Source
    ------
    FIA REF_SPECIES (values of Miles & Smith 2009, NRS-38) for specific gravity and average green MC; Wood Handbook,
    FPL-GTR-190 (2010) Tables 4-1 and 4-3 for green MC and shrinkage. *retrieved* or *from memory*, column by column:
    see the fields whose names start with "how".

    Accuracy
    --------
    Averages of a species. Single boards differ by a tenth in specific gravity and by much more in green MC (from
    memory).
    """
    return _row(species_key(name))


@functools.cache
def _row(key):
    called = joined_name(key, "properties")
    row = next((row for row in _properties() if row["species"] == called), None)
    if row is None:
        raise NotFound("no_properties", species=key)
    return Species(
        name=key,
        group=row["group"],
        specific_gravity=_number(row["sg_green"]),
        green_average_pct=_number(row["mc_average"]),
        green_heartwood_pct=_number(row["mc_heart"]),
        green_sapwood_pct=_number(row["mc_sap"]),
        radial_pct=_number(row["shrink_radial"]),
        tangential_pct=_number(row["shrink_tangential"]),
        fsp_pct=_number(row["fsp_pct"]),
        source_gravity=row["source_gravity"],
        how_gravity=row["how_gravity"],
        source_green_mc=row["source_mc"],
        how_green_mc=row["how_mc"],
        source_shrinkage=row["source_shrink"],
        how_shrinkage=row["how_shrink"],
        remarks=tuple(
            f"{note['what']}: {note['here']} here, {note['elsewhere']} ({note['source']}; {note['how']})"
            for note in tables.records("species_notes")
            if note["species"] in (key, "any")
        ),
    )


def species_key(name: str) -> str:
    """The one name under which the tables know a species; other names in common use are understood.

    "green", "rough" and "fresh" before a known name are passed over. Raises NotFound with the nearest names.
    """
    words = _words(name)
    keys = _keys()
    states = STATES & set(words.split())
    for count in range(len(states) + 1):  # first none is passed over, then one: green ash is a species of its own
        for passed in itertools.combinations(sorted(states), count):
            bare = " ".join(word for word in words.split() if word not in passed)
            if bare in keys:
                return keys[bare]
    raise NotFound("unknown_species", text=str(name).strip()[:40], names="; ".join(nearest_species(name)))


def meant_species(name: str) -> str:
    """Which wood another name is read as ("ash": "white ash"); empty where the name says so itself or is unknown."""
    try:
        key = species_key(name)
    except NotFound:
        return ""
    return "" if set(_words(key).split()) <= set(_words(name).split()) else " ".join(reversed(key.split(", ")))


@functools.lru_cache(maxsize=64)
def nearest_species(name: str, count: int = 5) -> tuple[str, ...]:
    """The names most like one that is not in the tables, the most alike first; never empty."""
    keys = _keys()
    typed = _words(name)
    sharing = [words for words in keys if set(typed.split()) & set(words.split())]
    alike = difflib.get_close_matches(typed, keys, 3 * count, 0.0)
    best = sorted({*sharing, *alike}, key=lambda words: -difflib.SequenceMatcher(None, typed, words).ratio())
    return tuple(dict.fromkeys(keys[words] for words in best))[:count]


def joined_name(name: str, table: str) -> str | None:
    """What another table ("properties", "schedule" or "rate") calls a species, or None where it has no row for it.

    Raises NotFound for a name that is in no table.
    """
    key = species_key(name)
    return next(row[table] for row in _names() if row["key"] == key) or None


def species_names(table: str = "properties") -> list[str]:
    """Every species that a table ("properties", "schedule" or "rate") has a row for, sorted."""
    return sorted(row["key"] for row in _names() if row[table])


def is_softwood(name: str) -> bool:
    """Whether a species is a softwood; False too for a name whose properties are not in the tables."""
    try:
        return species(name).group == "softwood"
    except NotFound:
        return False


@functools.cache
def _properties():
    return tables.records("species_properties")


@functools.cache
def _names():
    """species_names.csv, and the species that only have a row of properties."""
    names = tables.records("species_names")
    named = {row["properties"] for row in names}
    alone = [row["species"] for row in _properties() if row["species"] not in named]
    empty = dict.fromkeys((*JOINS, "other_names"), "")
    return names + [empty | {"key": name.lower(), "properties": name} for name in alone]


@functools.cache
def _keys():
    """Key by the words of every name: the key, its other names, and what other tables call it alone."""
    keys, borrowed = {}, {}
    scientific = {row["species"]: row["scientific"] for row in _properties()}
    for row in _names():
        for name in (row["key"], *row["other_names"].split(";")):
            keys[_words(name)] = row["key"]
        for name in (*(row[table] for table in JOINS), scientific.get(row["properties"], "")):
            borrowed.setdefault(_words(name), set()).add(row["key"])
    keys = {words: next(iter(key)) for words, key in borrowed.items() if len(key) == 1} | keys
    keys.pop("", None)
    return keys


def _words(name):
    return " ".join(sorted(re.findall(r"[^\W_]+", str(name).casefold())))


def _number(text):
    return float(text) if text else float("nan")
