"""Drying stress: which part of a board pulls on which, what set it leaves, and how near it comes to checking.

The moisture history comes from `board`. Wood shrinks below fiber saturation, and the layers of a flat board all have
one width. So a layer that wants to be narrower than the rest is in tension, one that wants to be wider in compression,
and the forces of a whole section cancel. Under stress wood gives way for good: with time (creep), and as water comes or
goes (mechano-sorptive set). That lasting part is the set: with it the layers no longer fit together, even when all of
them are back at one moisture content.

The stress is the one across the grain, in the width of the board; both halves are alike. The check index is relative:
stress over strength in a measure tuned on 4/4 red oak (tables/stress_coefficients.csv). It puts ways of drying in
order; it does not say that this board will check. Left out: the wood's own differences, cracks that relieve stress,
collapse of hot wet cells, the length of the board, and that wet wood is cooler than its air.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kilnlib import units
from kilnlib.errors import BadInput, NotFound
from kilnlib.physics.arrays import check_range, result
from kilnlib.physics.drying import History
from kilnlib.physics.stress.across_grain import COEFFICIENTS, stiffness_pa, strength_pa
from kilnlib.physics.wood import OAK
from kilnlib.physics.wood import species as species_row

SKIN_M = units.IN_M / 32  # a check needs some depth: the index counts this much under the face as one layer
SLICE = 0.1  # of the thickness, as in a slicing test of ten slices
PRONG = 0.25  # of the thickness
PRONG_M = 6 * units.IN_M
STRAIGHT_M = units.IN_M / 8
WORDS = np.array(("out", "straight", "in"))


@dataclass(frozen=True)
class StressHistory:
    """Stress, set and index at every hour of a History, tension positive; for several boards one more axis behind time.

    `share` is what each layer takes of the thickness; the first, the face itself, takes nothing.
    """

    hours: np.ndarray
    depth_m: np.ndarray  # of the face and of the middle of each layer
    stress_pa: np.ndarray  # last axis: from face to middle, at depth_m
    surface_stress_pa: np.ndarray  # mean of the outer tenth of the thickness
    core_stress_pa: np.ndarray  # mean of the two middle tenths
    set_strain: np.ndarray  # lasting strain, without shrinkage and without what would spring back
    check_index: np.ndarray  # tension over strength where it is highest, in a tuned measure
    index_depth_m: np.ndarray  # where that is; 0 for the skin under the face
    core_index: np.ndarray  # the same of the two middle tenths
    reversal_h: (
        float | np.ndarray
    )  # when the core comes out of compression into tension, for good; NaN if it never does
    share: np.ndarray


@dataclass(frozen=True)
class Prongs:
    """What the prongs of a section do once their moisture is even; arrays for several boards."""

    tip_m: float | np.ndarray  # how far each tip moves inward, negative outward
    word: str | np.ndarray  # "in", "straight" or "out"


@dataclass(frozen=True)
class Peak:
    """Where and when the check index of one board is highest."""

    index: float
    hour: float
    depth_m: float


def stress_history(
    history: History,
    species: str = OAK,
    sawn: str = "flatsawn",
    dry_bulb_c: "float | Sequence[float] | np.ndarray" = 45.0,
) -> StressHistory:
    """Stress and set across the thickness of a board while it dries, and while it is conditioned.

    Parameters
    ----------
    history : History of `board.dry`, of one board or of several of one species; whole, not thinned out by `at_hours`.
    species : name of the species.
    sawn : "flatsawn" or "quartersawn".
    dry_bulb_c : dry bulb [°C], 0 to 100: one number, or one for each step the history was dried with, or one for each
        of its hours; behind that, for several boards, one for each.

    Returns
    -------
    StressHistory at the hours of the history.

    Raises
    ------
    BadInput : temperatures that do not fit the history. OutOfRange : a temperature out of range; another way of sawing.
    NotFound : a species whose shrinkage the tables do not hold.

    Source
    ------
    One width from shrinkage, elastic, creep and mechano-sorptive strain: Yin & Liu, Appl. Sci. 11 (2021) 5023,
    *retrieved*; *computed*. Shrinkage: Wood Handbook, FPL-GTR-190 (2010) Table 4-3. How fast set comes is tuned here.

    Accuracy
    --------
    As a computation: forces cancel to 1e-10 of the highest stress; stresses are within 0.2 MPa of much finer steps
    (tests/physics/stress). As a forecast: when tension and compression change places, and which of two ways of drying
    is harder on the surface. No megapascal of it was measured. Order of presets and hours of conditioning are tuned on
    4/4 red oak. On 8/4, where nothing was tuned, it keeps the order but does not show that thick boards need milder
    air. That heat brings honeycomb it cannot show either: in it hot wood only gives way sooner.
    """
    wood = species_row(species)
    total_pct = wood.radial_pct if sawn == "quartersawn" else wood.tangential_pct
    if np.isnan(total_pct):
        raise NotFound("no_shrinkage", species=wood.name)
    slope = total_pct / 100.0 / wood.fsp_pct
    warm = _temperatures(history, dry_bulb_c)[..., None]
    share, half = _layers(history.depth_m)
    bound = np.minimum(history.profile_pct, wood.fsp_pct)
    stress, width = _march(history.hours, bound, warm, share, (species, sawn, slope, wood.fsp_pct))
    springs_back = stress / stiffness_pa(bound, warm, species, sawn)
    set_strain = width[..., None] - slope * (bound - bound[0]) - springs_back
    index_of_layers = stress / strength_pa(history.profile_pct, warm, species) / COEFFICIENTS["index_one"]
    index, where = _highest(index_of_layers, history.depth_m, share, half)
    surface, core = _band(share, 0.0, 2.0 * SLICE), _band(share, 1.0 - 2.0 * SLICE, 1.0)
    inside = (stress * core).sum(-1)
    return StressHistory(
        hours=history.hours,
        depth_m=history.depth_m,
        stress_pa=stress,
        surface_stress_pa=(stress * surface).sum(-1),
        core_stress_pa=inside,
        set_strain=set_strain,
        check_index=index,
        index_depth_m=where,
        core_index=(index_of_layers * core).sum(-1),
        reversal_h=_reversal_h(history.hours, inside),
        share=share,
    )


def _temperatures(history, dry_bulb_c):
    """Dry bulb at each hour of the history, and for each board."""
    dry_bulb = check_range("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    ends, hours, shape = history.step_end_hours, history.hours, history.average_pct.shape
    if dry_bulb.ndim:
        if len(dry_bulb) == len(ends):
            dry_bulb = dry_bulb[np.minimum(np.searchsorted(ends, hours - 1e-9), len(ends) - 1)]
        elif len(dry_bulb) != len(hours):
            counts = {"count": len(dry_bulb), "steps": len(ends), "hours": len(hours)}
            raise BadInput("stress_temperatures", **{name: str(count) for name, count in counts.items()})
        if dry_bulb.ndim < len(shape):
            dry_bulb = dry_bulb[:, None]
        if dry_bulb.ndim > len(shape) or dry_bulb.shape[-1] not in (1, shape[-1]):
            raise BadInput("step_boards", what="dry bulb", count=str(shape[-1] if len(shape) > 1 else 1))
    return np.broadcast_to(dry_bulb, shape)


def _layers(depth_m):
    """Share of each layer (the face: none) and half the thickness, from the depths of face and layer middles."""
    border = np.zeros_like(depth_m)
    for layer in range(1, depth_m.shape[-1]):
        border[..., layer] = 2.0 * depth_m[..., layer] - border[..., layer - 1]
    half = border[..., -1:]
    return np.diff(border, axis=-1, prepend=0.0) / half, half[..., 0]


def _march(hours, bound, warm, share, wood):
    """Stress of each layer and the width all of them share, at each hour.

    Within a step every strain grows evenly, so the stress of a layer runs on an exponential; the common width is the
    one that makes the forces cancel at its end. That is stable for steps of any length.
    """
    species, sawn, slope, fsp = wood
    c, warm = COEFFICIENTS, warm[1:]
    change, middle = np.diff(bound, axis=0), 0.5 * (bound[1:] + bound[:-1])
    lasting = np.diff(hours).reshape(-1, *[1] * (bound.ndim - 1))
    slow = c["set_hours"] * np.exp(c["set_hours_moisture"] * (fsp - middle) - c["set_hours_heat"] * (warm - 43.0))
    give = lasting / slow + c["set_by_moisture"] * c["stiffness_green"] * np.abs(change) / 100.0
    kept, share_kept = np.exp(-give), share * np.exp(-give)
    felt = -np.expm1(-give) / np.maximum(give, 1e-300) * stiffness_pa(middle, warm, species, sawn)
    shrunk = felt * slope * change
    needed, grip = (shrunk * share).sum(-1), (felt * share).sum(-1)
    stress, width = np.zeros_like(bound), np.zeros_like(bound[..., 0])
    for step in range(len(change)):
        now = stress[step]
        more = (needed[step] - (share_kept[step] * now).sum(-1)) / grip[step]
        stress[step + 1] = kept[step] * now + felt[step] * more[..., None] - shrunk[step]
        width[step + 1] = width[step] + more
    return stress, width


def _highest(index_of_layers, depth_m, share, half):
    """The highest of the skin and the layers under it, and its depth."""
    skin = (index_of_layers * _band(share, 0.0, SKIN_M / half)).sum(-1)
    under = np.where(depth_m > SKIN_M, index_of_layers, -np.inf)
    layer = under.argmax(-1)[..., None]
    deeper = np.take_along_axis(under, layer, -1)[..., 0]
    depth = np.take_along_axis(np.broadcast_to(depth_m, index_of_layers.shape), layer, -1)[..., 0]
    return np.maximum(skin, deeper), np.where(skin < deeper, depth, 0.0)


def _band(share, start, end):
    """Weights of the layers in a mean between two depths, given as shares of half the thickness."""
    bottom = np.cumsum(share, axis=-1)
    inside = np.clip(np.minimum(bottom, np.asarray(end)[..., None]) - np.maximum(bottom - share, start), 0.0, None)
    return inside / inside.sum(-1, keepdims=True)


def _reversal_h(hours, core):
    """When the core came up out of compression for the last time before its highest tension, between two hours."""
    flat = core.reshape(len(hours), -1)
    up = (flat[1:] > 0.0) & (flat[:-1] <= 0.0) & (np.minimum.accumulate(flat, axis=0)[:-1] < 0.0)
    up &= np.arange(len(up))[:, None] < flat.argmax(axis=0)
    at, board = len(up) - 1 - up[::-1].argmax(axis=0), np.arange(flat.shape[1])
    before, after = flat[at, board], flat[at + 1, board]
    share = before / np.where(before == after, -1.0, before - after)
    when = np.where(up.any(axis=0), hours[at] + share * (hours[at + 1] - hours[at]), np.nan)
    return result(when.reshape(core.shape[1:]))


def prongs(stress_history: StressHistory, hour: float | None = None) -> Prongs:
    """What the prongs of a cut section do after their moisture has evened out.

    Parameters
    ----------
    stress_history : StressHistory.
    hour : when the section is cut [h]; without it the end.

    Returns
    -------
    Prongs: way of the tips, positive inward, and the word for it.

    Raises
    ------
    OutOfRange : an hour outside the history.

    Source
    ------
    A strip bends by the slope of its set across it, textbook; *computed*. Prongs a quarter of the thickness and 6 in
    long, straight within 1/8 in: *from memory*, common practice of the prong test.

    Accuracy
    --------
    As `stress_history`. Real prongs stop where they touch, and bend otherwise as long as their moisture is uneven.
    """
    hours, share = stress_history.hours, stress_history.share
    at = float(check_range("The hour", hours[-1] if hour is None else hour, 0.0, hours[-1], "count"))
    after = min(max(int(np.searchsorted(hours, at)), 1), len(hours) - 1)
    late = (at - hours[after - 1]) / (hours[after] - hours[after - 1])
    set_strain = (1.0 - late) * stress_history.set_strain[after - 1] + late * stress_history.set_strain[after]
    within, depth = _band(share, 0.0, 2.0 * PRONG), stress_history.depth_m
    lever = (within * depth).sum(-1, keepdims=True) - depth
    curvature = (within * lever * set_strain).sum(-1) / (within * lever**2).sum(-1)
    tip = 0.5 * curvature * PRONG_M**2
    word = WORDS[np.where(tip > STRAIGHT_M, 2, np.where(tip < -STRAIGHT_M, 0, 1))]
    return Prongs(result(tip), word if word.ndim else str(word))


def peak(stress_history: StressHistory) -> Peak:
    """Where and when the check index of a board is highest.

    Parameters
    ----------
    stress_history : StressHistory of one board.

    Returns
    -------
    Peak.

    Raises
    ------
    BadInput : a history of several boards.

    Source
    ------
    `stress_history`; *computed*.

    Accuracy
    --------
    As `stress_history`.
    """
    if stress_history.check_index.ndim > 1:
        raise BadInput("one_stress_history")
    at = int(stress_history.check_index.argmax())
    return Peak(
        *(
            float(array[at])
            for array in (stress_history.check_index, stress_history.hours, stress_history.index_depth_m)
        )
    )
