"""What holds water back at the faces of lumber: air that clings to them, and a skin of the wood.

A board in moving air gives off ten to twenty times less than the film of textbook heat transfer would let it. Papers
that fit drying curves of lumber need a surface emission coefficient beside the diffusivity (Simpson & Liu 1997; Simpson
& Hart 2001). Here it has two parts in series. The air that clings to the face passes water by the difference of vapor
pressure, and the more the faster the air of the kiln moves. The skin passes it by the difference of moisture content up
to fiber saturation; the air does not touch it, and it tightens as it dries. Both are tuned on red oak; how they are in
another wood is tuned on its published daily limit for 4/4 (tables/drying_surface.csv), or taken from its weight where
none is printed.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib import tables
from kilnlib.physics.drying.diffusivity import COEFFICIENTS, slower, species_scale
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.physics.wood import species as species_row

WET_PCT = COEFFICIENTS["fiber_saturation"]


@dataclass(frozen=True)
class Surface:
    """What the face of a wood passes; numbers, or one for each condition.

    Source
    ------
    Result of `surface_of`; *tuned*.
    """

    air_kg_m2s: float | np.ndarray  # the air that clings to it, from saturated to dry air, at 350 ft/min and 43 °C
    skin_kg_m2s: float | np.ndarray  # the skin, for each point of moisture content, wet


BARE = Surface(np.inf, np.inf)


@functools.cache
def surface_of(species: str, sawn: str = "flatsawn") -> Surface:
    """The surface of a wood.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    sawn : "flatsawn" or "quartersawn": the latter slows the faces as much as the wood, so that the days are as printed.

    Returns
    -------
    Surface [kg/(m² s)], for all the difference of humidity there can be, and for a point of moisture content.

    Raises
    ------
    OutOfRange : another way of sawing. NotFound : a species the tables do not hold, or whose specific gravity they do
    not hold.

    Source
    ------
    That there is such a coefficient: Simpson & Liu (1997), Simpson & Hart (2001), *retrieved* from their abstracts.
    That one part carries the speed of the air and the other does not: our choice. Its numbers are *tuned* here,
    tables/drying_coefficients.csv and tables/drying_surface.csv.

    Accuracy
    --------
    `checks.compare` shows every row it was tuned on and every row that checks it.
    """
    scale = surface_scale(species) / slower(sawn)  # a species without a weight ends here
    wood = WATER_KG_M3 * species_row(species).specific_gravity / 100.0  # kg of water in a point of a cubic meter
    air, skin = COEFFICIENTS["clinging_air"], COEFFICIENTS["skin"]
    return Surface(air * WET_PCT * wood * scale, skin * wood * scale)


@functools.cache
def surface_scale(species: str) -> float:
    """How much more readily the faces of a wood pass water than those of red oak, beside what it weighs.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.

    Returns
    -------
    Factor; 1 for red oak.

    Raises
    ------
    NotFound : as `surface_of`.

    Source
    ------
    tables/drying_surface.csv: *tuned* on the published daily limit for 4/4; without one as `species_scale`.

    Accuracy
    --------
    A limit says how fast a wood may dry, and its schedule is made to keep to it: no proof that it would dry no faster.
    """
    tuned = {row["species"]: float(row["scale"]) for row in tables.records("drying_surface")}
    by_weight = species_scale(species)
    return tuned.get(species_row(species).name, by_weight)


def behind_skin_pct(outside_pct: float | np.ndarray, pull_pct: float | np.ndarray) -> float | np.ndarray:
    """Moisture content under the skin, from that outside and what passes.

    Parameters
    ----------
    outside_pct : moisture content outside the skin [%].
    pull_pct : what passes, over what a wet skin passes for each point [%]; below 0 where water is taken up.

    Returns
    -------
    Moisture content [%]; far below 0 where no wood is dry enough to take up so fast.

    Raises
    ------
    Nothing.

    Source
    ------
    A skin that passes exp(-`skin_tightens` x points below fiber saturation) of what it passes wet, integrated;
    *computed*, on a number that is *tuned*.

    Accuracy
    --------
    Exact.
    """
    tight = COEFFICIENTS["skin_tightens"]
    level = np.exp(tight * (outside_pct - WET_PCT)) + tight * pull_pct
    return WET_PCT + np.log(np.maximum(level, 1e-9)) / tight
