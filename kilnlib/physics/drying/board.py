"""How a board dries: its moisture content across the thickness, hour by hour, under the settings of a kiln.

What is in it: water moves through the thickness to both faces by diffusion (`diffusivity`), quicker in warm wood; it
leaves the faces against two resistances (`face`), of which the faster air lowers one; heat comes to the faces from
the air (`face`), and the wood is as warm as its faces. Free water, above fiber saturation, moves by the same law but
less readily. Which published rows tuned it, and which check it, stands in tables/drying_checks.csv.

What is left out: warming up, the edges and ends of the board, shrinking, heartwood beside sapwood, checks and collapse,
the difference between drying and wetting, and the other boards of the stack, whose water makes the air wetter and
cooler on its way (`course` follows that air). A wet board loses as much on its first day as on the next ones: 3.6
points for 4/4 red oak on T4-D2, where the published limit is 3.8.
"""

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.errors import BadInput, NotFound, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.arrays import check_range
from kilnlib.physics.drying.diffusion import FIRST_H, TOLERANCE_PCT, Block, march, mesh
from kilnlib.physics.drying.diffusivity import (
    COEFFICIENTS,
    Potential,
    base_m2s,
    free_water,
    potential,
    slower,
    surface_scale,
    warmth,
)
from kilnlib.physics.drying.face import WET_PCT, FaceTable, Surface, face_curve
from kilnlib.physics.drying.steps import Step, join_alike, read_steps
from kilnlib.physics.wood import OAK, WATER_KG_M3
from kilnlib.physics.wood import species as species_row

__all__ = ["Board", "History", "Step", "at_hours", "days_to", "dry", "points_per_day"]

THICKNESS_M = (0.002, 0.3)
GREEN = {"green": "green_average_pct", "heartwood": "green_heartwood_pct", "sapwood": "green_sapwood_pct"}
SECONDS = 3600.0
_GRID = mesh(18)
_SHELL = _GRID.share * (_GRID.depth < 0.5)


@dataclass(frozen=True)
class Board:
    """One board as it goes into the kiln.

    `start_mc_pct` is a number; or a profile from face to middle in even spacing; or "green", "heartwood" or "sapwood"
    for the green moisture content of the species table; or the History of one board, to go on from its end.
    `rate_factor` speeds everything up (see `forecast`).
    """

    species: str = OAK
    thickness_m: float = 0.028575  # 1-1/8 in, rough green 4/4
    start_mc_pct: "float | str | np.ndarray | History" = "green"
    sawn: str = "flatsawn"
    rate_factor: float = 1.0

    def __post_init__(self):
        for what, value, low, high, kind, example in (
            ("The thickness", self.thickness_m, *THICKNESS_M, "thickness", (0.0254, "thickness")),
            ("The rate factor", self.rate_factor, 0.01, 100.0, "ratio", "1"),
        ):
            if low <= value <= high:
                continue
            if np.isnan(value):
                raise OutOfRange("not_finite", what, value, low, high, what=what, example=example)
            if value <= 0.0:
                fields = {"what": what, "value": (value, kind), "example": example}
                raise OutOfRange("not_positive", what, value, low, high, **fields)
            check_range(what, value, low, high, kind)


@dataclass(frozen=True)
class History:
    """What became of a board, at every step of the computation; for several boards with one more axis behind time.

    Shell and core are the two outer and the two inner quarters of the thickness. Moisture contents are in percent of
    the oven-dry weight.
    """

    hours: np.ndarray
    average_pct: np.ndarray
    shell_pct: np.ndarray
    core_pct: np.ndarray
    surface_pct: np.ndarray
    profile_pct: np.ndarray  # last axis: from face to middle, at depth_m
    lost_pct: np.ndarray  # what has left through the faces
    depth_m: np.ndarray
    step_end_hours: np.ndarray  # when each of the given steps ended


def dry(
    board: Board | Sequence[Board],
    steps: Sequence[Step],
    pressure_pa: float = air.STANDARD_PA,
    tolerance_pct: float = TOLERANCE_PCT,
    controlling: Callable[[np.ndarray], float] | None = None,
    first_h: float = FIRST_H,
) -> History:
    """Dry a board, or several at once, through a series of settings.

    Parameters
    ----------
    board : Board, or a sequence of them.
    steps : sequence of Step, at most 10,000 and 20,000 hours.
    pressure_pa : air pressure [Pa], 50,000 to 110,000.
    tolerance_pct : how far one step of the computation may be off [%]; finer is slower.
    controlling : function of the averages of the boards [%] that gives the moisture content a step ends by, such as
        `samples.controlling_mc_pct`; left out, the wettest board decides.
    first_h : length that is tried for the first step of the computation [h]; longer saves time where boards go on in
        much the same air.

    Returns
    -------
    History.

    Raises
    ------
    BadInput : a series that cannot be run, with the number of the step. OutOfRange : a value out of range, such as a
    dry bulb above 212 °F. NotFound : a species without data.

    Source
    ------
    Diffusion through the thickness with Simpson's diffusivity for red oak, tuned, and scaled to other species by Siau's
    model; the heat balance of the face, and two resistances behind it: see `diffusivity` and `face`;
    *computed*.

    Accuracy
    --------
    As a forecast: `checks.compare` has every published row, 21 that tuned it and 29 that check it. Of the days of seven
    other charges in print six lie inside 0.65 of the low to 1.35 of the high end (1.64 is the miss), of 20 remembered
    ranges 16. Daily limits of 8/4, on which nothing was tuned, come out at 0.6 to 1.0 of print. Which wood is slower
    than its weight says it knows only where a daily limit is printed.
    As a computation: within 0.15 point of a much finer one in space and time (tests/physics/drying).
    """
    several = not isinstance(board, Board)
    boards = (board,) if isinstance(board, Board) else tuple(board)
    if not boards:
        raise BadInput("no_boards")
    as_given = read_steps(steps, len(boards), pressure_pa)
    settings = join_alike(as_given)
    free = np.array([free_water(b.species) for b in boards])
    half = np.array([b.thickness_m for b in boards])[:, None] / 2.0
    face = _faces(boards, settings, half, free, pressure_pa)
    blocks = [
        Block(hours, face.block(number), None if np.isnan(until) else until)
        for number, (hours, until) in enumerate(zip(settings.hours, settings.until_pct, strict=True))
    ]
    start = np.array([_start(b) for b in boards])
    record = march(
        start, _GRID, Potential(free), blocks, tolerance_pct, controlling=controlling or np.max, first_h=first_h
    )
    average, shell = record.mc_pct @ _GRID.share, 2.0 * (record.mc_pct @ _SHELL)
    under_face = potential(record.mc_pct[:, :, 0], free)[0]
    surface = face.series(record.block_of, under_face)[:, :, 2]
    surface[0] = start[:, 0]
    profile = np.concatenate([surface[:, :, None], record.mc_pct], axis=2)
    depth = half * np.append(0.0, _GRID.depth)
    ends = np.full(len(as_given.hours), np.nan)
    ends[settings.last_step] = record.block_ends_h
    for step in np.flatnonzero(np.isnan(ends))[::-1]:  # joined with the next
        ends[step] = ends[step + 1] - as_given.hours[step + 1]
    curves = {
        "average_pct": average,
        "shell_pct": shell,
        "core_pct": 2.0 * average - shell,
        "surface_pct": surface,
        "profile_pct": profile,
        "lost_pct": record.lost_pct,
    }
    if not several:
        curves, depth = {name: curve[:, 0] for name, curve in curves.items()}, depth[0]
    return History(hours=record.hours, depth_m=depth, step_end_hours=ends, **curves)


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
    clinging, skin = COEFFICIENTS["clinging_air"], COEFFICIENTS["skin"]
    return Surface(clinging * WET_PCT * wood * scale, skin * wood * scale)


def _faces(boards, settings, half, free, pressure_pa):
    """Loss of the outermost layer [%/h], conduction [1/h] and moisture content of the face [%] in all blocks, against
    the potential in that layer, whose middle lies a little below the face."""
    factor = np.array([b.rate_factor for b in boards])[:, None]
    kinds = list(dict.fromkeys((b.species, b.sawn) for b in boards))
    each = np.array([kinds.index((b.species, b.sawn)) for b in boards])
    base = factor * np.array([base_m2s(*kind) for kind in kinds])[each, None]
    wood = WATER_KG_M3 * np.array([species_row(name).specific_gravity for name, _ in kinds])[each, None] * half
    faces = [surface_of(*kind) for kind in kinds]
    surface = Surface(*(np.array([getattr(face, name) for face in faces]) for name in ("air_kg_m2s", "skin_kg_m2s")))
    columns = (settings.dry_bulb_c, settings.rh_pct, settings.air_speed_ms)
    if all((column == column[:, :1]).all() for column in columns):  # one air for all: one curve for each kind of wood
        columns, kind = [column[:, :1] for column in columns], np.arange(len(kinds))
    else:
        kind, each = each, np.arange(len(boards))
    columns = np.broadcast_arrays(*columns, surface.air_kg_m2s[kind], surface.skin_kg_m2s[kind])
    *held, clings, skin = (column.ravel() for column in columns)
    curve = face_curve(*held, pressure_pa, Surface(clings, skin))
    mc, temperature, loss = (array.reshape(*columns[0].shape, -1)[:, each] for array in vars(curve).values())
    loss = loss * (100.0 * SECONDS * factor / wood)
    speed = warmth(temperature) * (SECONDS * base / half**2)
    level = potential(mc, free[:, None])[0] + loss * _GRID.to_face / speed
    return FaceTable(level, np.stack([loss / _GRID.share[0], speed, np.broadcast_to(mc, loss.shape)], axis=-1))


def _start(board):
    """Moisture content of a board when it goes in, at each point of the grid."""
    start = board.start_mc_pct
    if isinstance(start, History):
        if start.profile_pct.ndim > 2:
            raise BadInput("one_history")
        return start.profile_pct[-1, 1:]
    if isinstance(start, str):
        if start not in GREEN:
            raise OutOfRange("one_of", "start", start, what="The start", text=start, names=", ".join(GREEN))
        wood = species_row(board.species)
        start = getattr(wood, GREEN[start])
        if np.isnan(start):
            raise NotFound("no_green_mc", species=wood.name, part=board.start_mc_pct)
    start = np.atleast_1d(check_range("The start", start, 0.0, 400.0, "percent"))
    if np.isnan(start).any():
        raise OutOfRange("not_finite", "start_mc_pct", np.nan, what="The moisture content at the start", example="80")
    return np.interp(_GRID.depth, np.linspace(0.0, 1.0, len(start)), start)


def at_hours(history: History, hours: float | np.ndarray) -> History:
    """A history at chosen times.

    Parameters
    ----------
    history : History.
    hours : times [h], 0 to the end of the history, any array.

    Returns
    -------
    History at those times, on straight lines between its steps.

    Raises
    ------
    OutOfRange : a time before the start or after the end.

    Source
    ------
    Straight lines; *computed*.

    Accuracy
    --------
    Steps are kept so short that straight lines between them are about as good as the steps.
    """
    times = np.atleast_1d(check_range("The hour", hours, 0.0, history.hours[-1], "count"))
    after = np.minimum(np.searchsorted(history.hours, times, side="right"), len(history.hours) - 1)
    before = np.maximum(after - 1, 0)
    span = history.hours[after] - history.hours[before]
    share = (times - history.hours[before]) / np.where(span > 0.0, span, 1.0)

    def between(array):
        weight = share.reshape(-1, *[1] * (array.ndim - 1))
        return (1.0 - weight) * array[before] + weight * array[after]

    names = ("average_pct", "shell_pct", "core_pct", "surface_pct", "profile_pct", "lost_pct")
    curves = {name: between(getattr(history, name)) for name in names}
    return replace(history, hours=times, **curves)


def points_per_day(history: History) -> np.ndarray:
    """Points of moisture content lost in each whole day.

    Parameters
    ----------
    history : History of one day or more.

    Returns
    -------
    Points [% of oven-dry weight] for each day, negative where the board gained.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; limits are counted so (Univ. of Kentucky FOR-128 Table 9, *retrieved*).

    Accuracy
    --------
    As `dry`.
    """
    days = np.arange(int(history.hours[-1] / 24.0 + 1e-9) + 1)
    return -np.diff(at_hours(history, np.minimum(24.0 * days, history.hours[-1])).average_pct, axis=0)


def days_to(
    board: Board | Sequence[Board], steps: Sequence[Step], mc_pct: float, pressure_pa: float = air.STANDARD_PA
) -> float | np.ndarray:
    """Days until the average of a board has come down to a moisture content.

    Parameters
    ----------
    board : Board, or a sequence of them.
    steps : sequence of Step.
    mc_pct : moisture content asked for [%], 0 to 400.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Days [days], an array for a sequence of boards; NaN where the series ends before.

    Raises
    ------
    As `dry`.

    Source
    ------
    `dry`; *computed*.

    Accuracy
    --------
    As `dry`.
    """
    target_pct = float(check_range("The moisture content asked for", mc_pct, 0.0, 400.0, "percent"))
    history = dry(board, steps, pressure_pa)
    average = history.average_pct.reshape(len(history.hours), -1)
    days = np.array([_reached(history.hours, column, target_pct) for column in average.T]) / 24.0
    return days if history.average_pct.ndim > 1 else float(days[0])


def _reached(hours, average, target_pct):
    """The hour at which an average has come down to a moisture content; NaN if it never does."""
    below = average <= target_pct + 0.01  # a step that ends at a moisture content may stop this short
    first = int(np.argmax(below))
    if not below[first]:
        return np.nan
    if first == 0:
        return 0.0
    drop = average[first - 1] - average[first]
    return hours[first - 1] + (hours[first] - hours[first - 1]) * min(1.0, (average[first - 1] - target_pct) / drop)
