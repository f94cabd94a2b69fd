"""Heat working its way into a rectangular piece: the temperature at a place in it, and when the core is hot.

The piece is the crossing of two slabs, and what is left of the difference to the surface is the product of what is
left in each (a third one along the grain, where a probe sits near an end). The handbook prints a shorter form of the
same series, without most cross terms; it gives the same minutes at the core but is 27 % off at the start.
"""

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, falling_root, result, within
from kilnlib.physics.heating.material import COEFFICIENTS, conductivity_w_mk, heat_diffusivity_m2s

SIZE_M = (0.005, 0.6)
WOOD_C = (-45.0, 120.0)
FILM_W_M2K = (1.0, math.inf)
_TERMS = 200
_LONGEST_MIN = 1e5
_NEAR_K = 1e-9


@dataclass(frozen=True)
class Piece:
    """A piece to heat: actual size, weight and moisture of the wood; length only where a probe is near an end.

    Two boards face to face, with no sticker between, are one piece as thick as both.
    """

    thickness_m: float
    width_m: float = math.inf
    specific_gravity: float = 0.56
    mc_pct: float = 80.0
    length_m: float = math.inf

    def __post_init__(self) -> None:
        within("The thickness", self.thickness_m, *SIZE_M, "thickness")
        for what, size in (("The width", self.width_m), ("The length", self.length_m)):
            if size != math.inf:
                within(what, size, SIZE_M[0], 20.0, "thickness")

    @property
    def diffusivity_m2s(self) -> float:
        """How fast heat works its way in, across the grain [m²/s]."""
        return float(heat_diffusivity_m2s(self.specific_gravity, self.mc_pct))

    @property
    def conductivity_w_mk(self) -> float:
        """What it conducts across the grain [W/(m K)]."""
        return float(conductivity_w_mk(self.specific_gravity, self.mc_pct))


@dataclass(frozen=True)
class Probe:
    """Where the tip of a probe sits: how far in toward the middle of thickness and width (1: the core), and the end.

    Both shares count from the face to the middle. `from_end_m` counts only for a piece with a length.
    """

    depth_share: float = 1.0
    width_share: float = 1.0
    from_end_m: float = math.inf


CORE = Probe()


def share_left(fourier: Values, depth_share: float = 1.0, biot: float = math.inf) -> AsGiven:
    """Share of the first difference of temperature that is left in a slab heated from both faces.

    Parameters
    ----------
    fourier : diffusivity times time over the square of half the thickness, 0 or more.
    depth_share : place, from the face (0) to the middle (1).
    biot : film coefficient times half the thickness over conductivity; infinite where the face is hot at once.

    Returns
    -------
    Share, 1 at the start and 0 in the end.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Carslaw and Jaeger, Conduction of Heat in Solids, slab in a medium; textbook, *from memory*. For a face that is
    hot at once it is the series of MacLean (1932) in Wood Handbook, FPL-GTR-190 (2010) p. 20-5; *retrieved*.

    Accuracy
    --------
    200 terms: exact to 1e-6 from a fourier number of 1e-4 on, and 1 is given at 0.
    """
    time = check_range("Time", fourier, 0.0, 1e9, "ratio")
    place = 1.0 - within("The place", depth_share, 0.0, 1.0, "ratio")
    root = _roots(biot)
    weight = 2.0 * np.sin(root) / (root + np.sin(root) * np.cos(root)) * np.cos(root * place)
    left = np.exp(-(root**2) * time[..., None]) @ weight
    return result(np.where(time == 0.0, 1.0, np.clip(left, 0.0, 1.0)))


@functools.lru_cache(maxsize=256)
def _roots(biot):
    """Roots of x tan x = biot, one in each branch of the tangent, by halving."""
    start = np.pi * np.arange(_TERMS)
    if biot == math.inf:
        return start + 0.5 * np.pi
    low, high = start.copy(), start + 0.5 * np.pi
    for _ in range(60):
        middle = 0.5 * (low + high)
        below = middle * np.sin(middle) * np.sign(np.cos(start)) < biot * np.cos(middle) * np.sign(np.cos(start))
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)


def core_temperature_c(
    minutes: Values,
    piece: Piece,
    start_c: float,
    surface_c: float,
    film_w_m2k: float = math.inf,
    probe: Probe = CORE,
) -> AsGiven:
    """Temperature at the core of a piece, or where a probe sits, so long after its faces met the heat.

    Parameters
    ----------
    minutes : time since then [min], 0 or more.
    piece : Piece.
    start_c : wood at the start, not frozen [°C], -45 to 120; `warming` knows ice.
    surface_c : what the faces come to at once, or the air where a film is given [°C], -45 to 120: `face`.
    film_w_m2k : film coefficient of the air on dry wood [W/(m² K)], 1 or more; infinite where faces are hot at once.
    probe : Probe, the core if left out.

    Returns
    -------
    Temperature [°C].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Product of the slab series, Wood Handbook, FPL-GTR-190 (2010) p. 20-5 after MacLean (1932); *retrieved*.

    Accuracy
    --------
    `minutes_to_core` says how near its minutes are to printed ones.
    """
    seconds = 60.0 * check_range("Time", minutes, 0.0, _LONGEST_MIN, "count")
    start = within("Wood", start_c, *WOOD_C, "temperature")
    surface = within("The surface", surface_c, *WOOD_C, "temperature")
    check_range("The film", film_w_m2k, *FILM_W_M2K, "ratio")
    left = _left(piece, film_w_m2k, probe)(seconds)
    return result(surface + (start - surface) * left)


def _left(piece, film_w_m2k, probe) -> Callable[[np.ndarray], np.ndarray]:
    """What is left of the difference at a probe, as a function of seconds."""
    along = COEFFICIENTS["along_grain"]
    slabs = [(piece.thickness_m, probe.depth_share, 1.0), (piece.width_m, probe.width_share, 1.0)]
    if piece.length_m != math.inf:
        slabs.append((piece.length_m, min(2.0 * probe.from_end_m / piece.length_m, 1.0), along))
    slabs = [(0.5 * size, place, times) for size, place, times in slabs if size != math.inf]

    def left(seconds):
        product = np.ones(np.shape(seconds))
        for half, place, times in slabs:
            fourier = np.asarray(times * piece.diffusivity_m2s * seconds / half**2)
            product = product * share_left(fourier, place, film_w_m2k * half / (times * piece.conductivity_w_mk))
        return product

    return left


def minutes_to_core(
    piece: Piece,
    target_c: float,
    start_c: float,
    surface_c: float,
    film_w_m2k: float = math.inf,
    probe: Probe = CORE,
) -> float:
    """Minutes until the core of a piece, or a probe elsewhere in it, reads a temperature.

    Parameters
    ----------
    piece : Piece.
    target_c : temperature asked for [°C], -45 to 120.
    start_c : wood at the start, not frozen [°C], -45 to 120.
    surface_c : what the faces come to at once, or the air where a film is given [°C], -45 to 120.
    film_w_m2k : film coefficient on dry wood [W/(m² K)], 1 or more; infinite where the faces are hot at once.
    probe : Probe, the core if left out.

    Returns
    -------
    Minutes; 0 where the wood starts hotter, infinite where the surface is no hotter than asked for.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    `core_temperature_c`, solved; *computed*.

    Accuracy
    --------
    Within 15 % of every printed time of Wood Handbook Table 20-4 in steam. With 10 °F of depression four of its
    basswood times are up to a fifth shorter. Table 20-8, green ponderosa squares, asks for more: 4 x 4 in take 1.1 to
    1.6 times what is computed here, 6 x 6 in 1.1 to 1.3, 8 x 8 in 0.9 to 1.2 and 10 x 10 in 0.8 to 1.1, and the
    slowest of a hundred small ones up to 2.3 times. For small squares it is early, which is the unsafe side: plan with
    `pine_square_minutes`, and stop by a probe in the core (tests/physics/heating/test_published.py lists every row).
    """
    target = within("The temperature asked for", target_c, *WOOD_C, "temperature")
    if core_temperature_c(0.0, piece, start_c, surface_c, film_w_m2k, probe) >= target:
        return 0.0
    if target >= surface_c - _NEAR_K:
        return math.inf
    wanted = (surface_c - target) / (surface_c - start_c)
    left = _left(piece, film_w_m2k, probe)
    log_minutes = falling_root(
        lambda log: float(left(60.0 * np.exp(log))) - wanted, math.log(1e-3), math.log(_LONGEST_MIN), wanted, 1e-10
    )
    return math.exp(log_minutes)


def face_to_face_m(*thicknesses_m: float) -> float:
    """Thickness that boards lying on each other without a sticker count as: they heat as one piece.

    Parameters
    ----------
    thicknesses_m : thickness of each board [m].

    Returns
    -------
    Thickness [m].

    Raises
    ------
    OutOfRange : none given, or one out of range.

    Source
    ------
    Newsletter of an accredited agency (September 2014) on the core of the thickest piece; *retrieved*.

    Accuracy
    --------
    Boards that touch all over. A film of air between them slows the heat a little more.
    """
    if not thicknesses_m:
        raise OutOfRange(
            "not_positive", "thicknesses_m", 0, 0, None, what="The count of boards", value="0", example="2"
        )
    return sum(within("The thickness", thickness, *SIZE_M, "thickness") for thickness in thicknesses_m)
