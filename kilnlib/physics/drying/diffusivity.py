"""How readily wood lets water move, inside and at its faces: by temperature, moisture, species and way of sawing."""

import functools

import numpy as np

from kilnlib import tables
from kilnlib.errors import NotFound, OutOfRange
from kilnlib.physics.air import emc
from kilnlib.physics.arrays import check_range, result
from kilnlib.physics.wood import OAK, SAWN, specific_gravity_at
from kilnlib.physics.wood import species as species_row

COEFFICIENTS = tables.numbers("drying_coefficients")
_FSP_PCT, _CORNER_PCT, _RISE = (COEFFICIENTS[name] for name in ("fiber_saturation", "corner", "oak_moisture"))
_TOP = np.exp(_RISE * _FSP_PCT)
_COMPARED_AT = (43.0, 20.0)  # °C and % MC: early in a hardwood schedule
_FINE_PCT = 0.25
_MC_PCT = np.arange(0.0, _FSP_PCT + 15.0 * _CORNER_PCT, _FINE_PCT)  # beyond that the potential is a straight line


class Potential:
    """`potential` on straight lines between points a quarter of a percent apart, for the many calls of a long run.

    `free_water` is one number, or one for each board.
    """

    def __init__(self, free_water: float | np.ndarray):
        kinds, each = np.unique(np.atleast_1d(free_water), return_inverse=True)
        level, _ = potential(_MC_PCT, kinds[:, None])
        rise = np.diff(level) / _FINE_PCT
        self._rise, self._start = rise.ravel(), (level[:, :-1] - rise * _MC_PCT[:-1]).ravel()
        self._last, self._first = rise.shape[1] - 1, (each * rise.shape[1])[:, None] if len(kinds) > 1 else None

    def __call__(self, mc_pct: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Potential and its slope; the first and the last line go on beyond the ends."""
        at = (mc_pct * (1.0 / _FINE_PCT)).astype(np.intp)
        if self._first is not None:
            at = np.minimum(np.maximum(at, 0), self._last) + self._first
        rise = self._rise.take(at, mode="clip")
        return self._start.take(at, mode="clip") + rise * mc_pct, rise


@functools.cache
def free_water(species: str) -> float:
    """How well free water moves in a wood beside bound water.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.

    Returns
    -------
    Factor in `potential`: one for hardwoods, one for softwoods.

    Raises
    ------
    NotFound : a species the tables do not hold.

    Source
    ------
    tables/drying_coefficients.csv, *tuned*: hardwoods on red oak, softwoods on how the gain from air speed fades in
    white pine.

    Accuracy
    --------
    Sapwood and heartwood of one wood differ more than that.
    """
    soft = species_row(species).group == "softwood"
    return COEFFICIENTS["free_water_softwood" if soft else "free_water"]


def diffusivity_m2s(
    temperature_c: float | np.ndarray, mc_pct: float | np.ndarray, species: str = OAK, sawn: str = "flatsawn"
) -> float | np.ndarray:
    """How readily bound water moves through the thickness of a board, by the published form.

    Parameters
    ----------
    temperature_c : temperature of the wood [°C], 0 to 100.
    mc_pct : moisture content [%], 0 to 400; above fiber saturation (30) it counts as 30.
    species : name of the species; other names in common use are understood.
    sawn : "flatsawn" or "quartersawn".

    Returns
    -------
    Diffusivity [m²/s].

    Raises
    ------
    OutOfRange : a value out of range; another way of sawing. NotFound : a species the tables do not hold.

    Source
    ------
    Simpson's form for northern red oak, *retrieved*; for other species times `species_scale`, *tuned*; quartersawn 1.15
    times lower, so that drying takes 15 % longer (Univ. of Kentucky FOR-128 p. 74, *retrieved*). The engine multiplies
    it by 1.4, see `base_m2s`; tables/drying_coefficients.csv.

    Accuracy
    --------
    Two published models differ by a factor of 2 for oak at 43 °C and 20 % MC: see `siau_diffusivity_m2s`.
    """
    temperature = check_range("The temperature", temperature_c, 0.0, 100.0, "temperature")
    bound = np.minimum(check_range("Moisture content", mc_pct, 0.0, 400.0, "percent"), _FSP_PCT)
    printed = base_m2s(species, sawn) / COEFFICIENTS["oak_times"]
    return result(printed * warmth(temperature) * np.exp(_RISE * bound))


def base_m2s(species: str, sawn: str = "flatsawn") -> float:
    """Diffusivity of a species in the engine, before temperature and moisture are counted in.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    sawn : "flatsawn" or "quartersawn".

    Returns
    -------
    Factor before that of `warmth` and of moisture [m²/s].

    Raises
    ------
    OutOfRange : another way of sawing. NotFound : a species the tables do not hold.

    Source
    ------
    As `diffusivity_m2s`, *retrieved*, times `oak_times`, *tuned* between that form and Siau's model.

    Accuracy
    --------
    As `diffusivity_m2s`.
    """
    return COEFFICIENTS["oak_times"] * COEFFICIENTS["oak_d0"] * species_scale(species) / slower(sawn)


def slower(sawn: str) -> float:
    """How much slower a board dries for the way it was sawn.

    Parameters
    ----------
    sawn : "flatsawn" or "quartersawn".

    Returns
    -------
    Factor, 1 for flatsawn.

    Raises
    ------
    OutOfRange : another way of sawing.

    Source
    ------
    Univ. of Kentucky FOR-128 p. 74, *retrieved*.

    Accuracy
    --------
    About.
    """
    if sawn not in SAWN:
        raise OutOfRange("one_of", "sawn", sawn, what="The sawing", text=sawn, names=" or ".join(SAWN))
    return COEFFICIENTS["quartersawn_longer"] if sawn == "quartersawn" else 1.0


def warmth(temperature_c: float | np.ndarray) -> float | np.ndarray:
    """How temperature counts in the diffusivity: about 2.3 times from 110 to 140 °F.

    Parameters
    ----------
    temperature_c : temperature of the wood [°C], 0 to 100.

    Returns
    -------
    Factor in `diffusivity_m2s`.

    Raises
    ------
    Nothing.

    Source
    ------
    Simpson's form for northern red oak: exp(-5280/T), 43.9 kJ/mol; *retrieved*.

    Accuracy
    --------
    Fitted to one species; taken for all of them here.
    """
    return np.exp(-COEFFICIENTS["oak_temperature"] / (np.asarray(temperature_c) + 273.15))


@functools.cache
def species_scale(species: str) -> float:
    """How much more readily water moves in a species than in northern red oak.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.

    Returns
    -------
    Factor; 1 for northern red oak.

    Raises
    ------
    NotFound : a species the tables do not hold, or whose specific gravity they do not hold.

    Source
    ------
    Square root of the ratio of `siau_diffusivity_m2s` at the two specific gravities, at 43 °C and 20 % MC; *computed*,
    the root *tuned*.

    Accuracy
    --------
    Specific gravity alone does not order the species: hard maple, beech and red oak are equally heavy, and their
    published daily limits are 6.5, 4.5 and 3.8 points. Where a limit is printed `surface_scale` tells them apart.
    """
    gravities = [species_row(name).specific_gravity for name in (species, OAK)]
    if np.isnan(gravities[0]):
        raise NotFound("no_properties", species=species)
    ours, oak = (siau_diffusivity_m2s(specific_gravity_at(gravity, 0.0), *_COMPARED_AT) for gravity in gravities)
    return float((ours / oak) ** COEFFICIENTS["weight_power"])


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
    NotFound : a species the tables do not hold, or whose specific gravity they do not hold.

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


def siau_diffusivity_m2s(
    ovendry_gravity: float | np.ndarray, temperature_c: float | np.ndarray, mc_pct: float | np.ndarray
) -> float | np.ndarray:
    """Diffusivity across the grain from the weight of the wood alone.

    Parameters
    ----------
    ovendry_gravity : specific gravity of bone-dry wood, 0.1 to 1.4.
    temperature_c : temperature of the wood [°C], 0 to 100.
    mc_pct : moisture content [%], 1 to 25.

    Returns
    -------
    Diffusivity [m²/s].

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    Siau, Transport Processes in Wood (1984): cell walls across, cell walls and cavities along the way; *retrieved*. The
    slope of humidity against moisture content is that of the EMC relation.

    Accuracy
    --------
    For oak at 43 °C it gives twice Simpson's value at 20 % MC and 0.8 of it at 10 %. Only its ratio between species is
    used here, and of that the square root.
    """
    gravity = check_range("Specific gravity", ovendry_gravity, 0.1, 1.4, "ratio")
    temperature = check_range("The temperature", temperature_c, 0.0, 100.0, "temperature")
    mc = check_range("Moisture content", mc_pct, 1.0, 25.0, "percent")
    s = {name.removeprefix("siau_"): value for name, value in COEFFICIENTS.items() if name.startswith("siau_")}
    kelvin = temperature + 273.15
    heat = s["heat_gas"] * kelvin
    cavity = np.sqrt(1.0 - gravity / s["wall_gravity"])  # side of the cavity in a cell of side 1
    wall = s["wall"] * np.exp(-(s["wall_heat"] - s["wall_moisture"] * mc) / heat)
    saturation = s["pressure"] * np.exp(-s["pressure_heat"] / heat)
    steepness = emc.rh_pct_for_emc(temperature, mc + 0.5) - emc.rh_pct_for_emc(temperature, mc - 0.5)
    in_air = s["air"] * (kelvin / 273.0) ** 1.75
    wet_wall = s["wall_gravity"] / (1.0 + s["wall_swelling"] * mc)
    vapor = s["vapor"] * in_air * saturation * steepness / (wet_wall * s["gas"] * kelvin)
    return result(1e-4 / (1.0 - cavity**2) * wall * vapor / (wall + vapor * (1.0 - cavity)))


def potential(mc_pct: float | np.ndarray, free_water: float | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """What drives water through wood: bound water with diffusivity counted in, and a share of the free water.

    Parameters
    ----------
    mc_pct : moisture content [%], any array.
    free_water : how well free water moves beside bound water, 0 (not at all) to 5; one number or an array.

    Returns
    -------
    Pair: potential [%], and its slope against moisture content.

    Raises
    ------
    Nothing.

    Source
    ------
    Integral of exp(0.0115 M) up to fiber saturation (Simpson's form, *retrieved*), then a straight line `free_water`
    times as steep; the corner is rounded over a few points, as fiber saturation differs between pieces; *computed*.

    Accuracy
    --------
    Exact integral. That free water moves by the same kind of law is the boldest simplification of this engine.
    """
    over = np.exp(np.minimum((_FSP_PCT - mc_pct) / _CORNER_PCT, 50.0))
    bound = _FSP_PCT - _CORNER_PCT * np.log1p(over)
    share = over / (1.0 + over)
    factor = np.exp(_RISE * bound)
    free = free_water * _TOP
    return (factor - 1.0) / _RISE + free * (mc_pct - bound), share * factor + free * (1.0 - share)
