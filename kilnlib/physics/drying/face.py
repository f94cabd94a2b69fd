"""The face of a board: how fast water leaves it into moving air, and how warm it is while it does.

Heat comes from the air and is spent on evaporation, so the temperature of the face settles between wet bulb and dry
bulb. A bare wet face sits at the wet bulb exactly. A drier one holds its water by the EMC relation, gives off less and
is warmer. All of it follows from the temperature of the face without solving anything: that fixes the loss of water,
that the vapor pressure at the face, that its relative humidity, and that its moisture content. The curve is then read
the other way round. Radiation, the heat kept in the wood and the extra heat that bound water needs are left out.

A board in moving air gives off ten to twenty times less than the film of textbook heat transfer would let it. Papers
that fit drying curves of lumber need a surface emission coefficient beside the diffusivity (Simpson & Liu 1997; Simpson
& Hart 2001). Here it has two parts in series. The air that clings to the face passes water by the difference of vapor
pressure, and the more the faster the air of the kiln moves. The skin passes it by the difference of moisture content up
to fiber saturation; the air does not touch it, and it tightens as it dries. Both are tuned on red oak; how they are in
another wood is tuned on its published daily limit for 4/4 (tables/drying_surface.csv), or taken from its weight where
none is printed.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.air.moist import COOLER_KJ_KGK, EVAPORATION_KJ_KG, heat_capacity_j_kgk
from kilnlib.physics.arrays import check_range, result
from kilnlib.tables import numbers

COEFFICIENTS = numbers("drying_coefficients")
WET_PCT = COEFFICIENTS["fiber_saturation"]
_TAKING_UP = np.linspace(1.0, 0.0, 17)[:-1] ** 2  # from bone dry to the EMC of the air
_GIVING_OFF = np.linspace(1.0, 0.0, 32) ** 1.5  # from there to wet: closer where the curve is steep
_HOTTEST_C = 99.9
_LOOKS, _PARTS = 4, np.linspace(0.0, 1.0, 9)  # each look cuts what is left to an eighth
_COMPARED_PA = float(air.saturation_pressure_pa(43.0))
_SPEED_MS = 1.778  # 350 ft/min, at which the air that clings to a face is given


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


@dataclass(frozen=True)
class FaceCurve:
    """Faces from bone dry to wet, for one or many conditions of the air (first axis).

    `mc_pct` is that of the wood under the face; bare, the face and that wood are the same.
    """

    mc_pct: np.ndarray
    temperature_c: np.ndarray
    loss_kg_m2s: np.ndarray  # negative: water is taken up


class FaceTable:
    """Curves of a batch of boards in a series of blocks, each against the potential under the face of the board.

    Straight lines between the points, level beyond both ends. `levels` : rising potentials (block, board, point).
    `values` : loss, conduction and others at them (block, board, point, which).
    """

    def __init__(self, levels: np.ndarray, values: np.ndarray):
        gaps = np.diff(levels, axis=2)[..., None]  # no gap in saturated air, where wet and dry bulb are one
        rise = np.divide(np.diff(values, axis=2), gaps, out=np.zeros_like(values[:, :, 1:]), where=gaps > 0.0)
        level = np.zeros_like(values[:, :, :1])
        slopes = np.concatenate([level, rise, level], axis=2)
        starts = np.concatenate([values[:, :, :1], values], axis=2)
        starts -= slopes * np.concatenate([levels[:, :, :1], levels], axis=2)[..., None]
        blocks, boards, points = levels.shape
        self._levels = levels
        self._rows = np.arange(boards) * (points + 1)
        self._slopes, self._starts = (lines.reshape(blocks, -1, lines.shape[-1]) for lines in (slopes, starts))

    def block(self, number: int) -> Callable[[np.ndarray], tuple[np.ndarray, np.ndarray, np.ndarray]]:
        """What `diffusion.march` asks of one block: loss, its slope, and conduction from the potential."""
        levels, slopes, starts, rows = self._levels[number], self._slopes[number], self._starts[number], self._rows

        def face(level):
            at = (levels <= level[:, None]).sum(axis=1) + rows
            slope = slopes.take(at, axis=0)
            value = starts.take(at, axis=0) + slope * level[:, None]
            return value[:, 0], slope[:, 0], value[:, 1]

        return face

    def series(self, blocks: np.ndarray, levels: np.ndarray) -> np.ndarray:
        """All values at a series of blocks and potentials (time, board)."""
        at = (self._levels[blocks] <= levels[:, :, None]).sum(axis=2) + self._rows
        where = (np.asarray(blocks)[:, None], at)
        return self._starts[where] + self._slopes[where] * levels[:, :, None]


def film_w_m2k(air_speed_ms: float | np.ndarray) -> float | np.ndarray:
    """Heat a board takes from moving air, for each square meter and each degree between them.

    Parameters
    ----------
    air_speed_ms : air speed along the board [m/s], 0 to 8.

    Returns
    -------
    Coefficient [W/(m² K)].

    Raises
    ------
    OutOfRange : speed out of range.

    Source
    ------
    Jürges' tests on plates as quoted by McAdams, Heat Transmission: 5.7 + 3.8 times the speed, *from memory*
    (tables/drying_coefficients.csv).

    Accuracy
    --------
    Measured coefficients in kilns lie about 38 % off any such rule (Rozas and others, Forests 15 (2024) 1287).
    """
    speed = check_range("Air speed", air_speed_ms, *air.AIR_SPEED_MS, "air_speed")
    return result(COEFFICIENTS["film_still"] + COEFFICIENTS["film_moving"] * speed)


def face_curve(
    dry_bulb_c: float | np.ndarray,
    rh_pct: float | np.ndarray,
    air_speed_ms: float | np.ndarray,
    pressure_pa: float = air.STANDARD_PA,
    surface: Surface = BARE,
) -> FaceCurve:
    """How fast a face loses water and how warm it is, against its moisture content.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 100, one or many.
    rh_pct : relative humidity [%], 0 to 100.
    air_speed_ms : air speed along the board [m/s], 0 to 8.
    pressure_pa : air pressure [Pa].
    surface : surface.Surface, one or one for each condition.

    Returns
    -------
    FaceCurve.

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    Heat balance with equal Lewis numbers, which is ASHRAE Fundamentals (2017) ch. 1 eq. 33 for a wet face; moisture of
    the face by Wood Handbook (2010) eq. 4-5; *computed*. What lies between film and wood: `surface_of`, tuned.

    Accuracy
    --------
    The curve is drawn through 48 exact points, one of them at the EMC of the air; losses between them are within 0.3 %
    of that of a wet face, uptakes within 4 % (tests/physics/drying/test_face.py). As a forecast it is as good as
    `film_w_m2k` and `surface_of`.
    """
    dry, rh, speed, clings, skin = np.broadcast_arrays(
        *(
            np.atleast_1d(np.asarray(a, dtype=float))
            for a in (dry_bulb_c, rh_pct, air_speed_ms, surface.air_kg_m2s, surface.skin_kg_m2s)
        )
    )
    dry = check_range("Dry bulb", dry, air.DRY_BULB_C[0], emc.TEMPERATURE_C[1], "temperature")
    film = film_w_m2k(speed)
    water = air.humidity_ratio(dry, rh, pressure_pa)
    wet = air.wet_bulb_c(dry, rh, pressure_pa)
    heat = heat_capacity_j_kgk(water)
    bone_dry = np.maximum(np.minimum(dry + 2.5e6 * water / heat, _HOTTEST_C), dry)
    clings = clings * film / film_w_m2k(_SPEED_MS)

    def at(face):
        """Loss, humidity under the air that clings [share], moisture content under the skin, by temperature."""
        cooling = (dry[:, None] - face) / (1e3 * (EVAPORATION_KJ_KG - COOLER_KJ_KGK * face))
        water_at_face = np.maximum(water[:, None] + heat[:, None] * cooling, 0.0)
        vapor = pressure_pa * water_at_face / (air.WATER_TO_AIR + water_at_face)
        loss = film[:, None] * cooling
        humidity = (vapor + _COMPARED_PA * loss / clings[:, None]) / air.saturation_pressure_pa(face)
        share = np.clip(humidity, 0.0, 1.0)
        outer = emc.emc_pct(np.maximum(face, emc.TEMPERATURE_C[0]), 100.0 * share)
        return loss, humidity, behind_skin_pct(outer, loss / skin[:, None])

    def possible(face):
        _, humidity, mc = at(face)
        return (humidity > -1e-6) & (humidity < 1.0 + 1e-6) & (mc > -1e-6) & (mc < WET_PCT)

    ends = np.stack([bone_dry, wet], axis=1)  # what a bare face can reach; with more resistance it stays between
    good, bad, whole = np.stack([dry, dry], axis=1), ends, possible(ends)
    for _ in range(0 if whole.all() else _LOOKS):
        steps = good[..., None] + (bad - good)[..., None] * _PARTS
        inner = steps[..., 1:-1]
        fits = possible(inner.reshape(len(dry), -1)).reshape(inner.shape)
        last = np.logical_and.accumulate(fits, axis=-1).sum(axis=-1, keepdims=True)
        good, bad = (np.take_along_axis(steps, last + further, axis=-1)[..., 0] for further in (0, 1))
    up, down = (np.where(whole, ends, good) - dry[:, None]).T
    face = dry[:, None] + np.concatenate([up[:, None] * _TAKING_UP, down[:, None] * (1.0 - _GIVING_OFF)], axis=1)
    loss, _, mc = at(face)
    return FaceCurve(mc, face, loss)
