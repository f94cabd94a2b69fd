"""What came out of a charge: every board, what it lost and on which morning that began, days, energy and money.

Prices are relative and ours (tables/charge_losses.csv): they rank ways of drying, and promise nothing.
"""

import functools
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.charge.card import HEAT_AT_ONCE_K, card_dry_bulb_c
from kilnlib.physics.charge.kiln import Kiln, Stretch
from kilnlib.physics.conditioning import equalize
from kilnlib.physics.cost import Cost, Mill, cost_of_load
from kilnlib.physics.drying import History
from kilnlib.physics.stress import prongs, stress_history
from kilnlib.physics.wood import species as species_row
from kilnlib.physics.wood import species_key
from kilnlib.tables import advice, records

LOSSES = {
    row["kind"]: {name: float(row[name]) for name in ("share_pct", "for_each_pct", "from_value", "most_pct")}
    for row in records("charge_losses")
}
BAND_K = 1.0  # the true air lies up to this far under its setting: a kiln set to 110 °F shall count as one at 110 °F
MOLD = advice("mold_above_rh"), advice("mold_below") - BAND_K, advice("mold_above_mc")
EARLY_PCT = advice("critical_above")  # surface checks are set up while a board is wetter than this
STAIN_RH_PCT, STAIN_C = MOLD[0], 21.0  # warm damp air, in which sapwood grays or turns blue: our choice
CORE_WET_PCT = 30.0  # above this the core has free water
SECTIONS = 10  # cut for a prong test
STILL_POINTS, STILL_DAYS = advice("still_within"), int(advice("still_days"))
DAY_H = 24.0


@dataclass(frozen=True)
class Loss:
    """One kind of damage: the boards that have it, what it takes of the load's price, and when it began."""

    kind: str  # a row of charge_losses.csv
    boards: tuple[int, ...]
    share_pct: float  # of the load's price
    day: int  # the morning whose decision caused it


@dataclass(frozen=True)
class Faces:
    """How the load looks on a morning: numbers of the sample boards with open checks, and whether mold is seen."""

    checked: tuple[int, ...]
    moldy: bool


@dataclass(frozen=True)
class Outcome:
    """What came out of a charge."""

    final_mc_pct: tuple[float, ...]  # of every board
    mean_mc_pct: float
    check_index: tuple[float, ...]  # the highest of each board
    prongs: tuple[str, ...]  # "in", "straight" or "out"
    losses: tuple[Loss, ...]
    lost_pct: float  # of the load's price, all kinds
    lost_usd: float
    days: int
    electricity_kwh: float
    cost: Cost


@dataclass(frozen=True)
class _Past:
    """The charge board by board, as one history."""

    history: History
    check_index: np.ndarray  # while checks are set up; later it peaks at each step of a schedule
    core_index: np.ndarray
    words: tuple[str, ...]


@functools.lru_cache(maxsize=4)
def _past_of(stretches, wood) -> _Past:
    history, dry_bulbs = _joined(stretches), np.stack([one.board_dry_bulb_c for one in stretches])
    stress = stress_history(history, wood, dry_bulb_c=np.clip(dry_bulbs, 0.0, 100.0))
    words = tuple(str(word) for word in np.atleast_1d(prongs(stress).word))
    early = np.where(history.average_pct > EARLY_PCT, stress.check_index, 0.0)
    return _Past(history, early, stress.core_index, words)


def _joined(stretches):
    """The histories of all stretches as one; each goes on where the one before ended."""
    names = ("average_pct", "shell_pct", "core_pct", "surface_pct", "profile_pct")
    starts = np.cumsum([0.0, *(one.hours for one in stretches)])
    first = stretches[0].history
    parts = [(one.history, slice(0 if number == 0 else 1, None)) for number, one in enumerate(stretches)]
    hours = np.concatenate([start + part.hours[cut] for start, (part, cut) in zip(starts, parts, strict=False)])
    curves = {name: np.concatenate([getattr(part, name)[cut] for part, cut in parts]) for name in names}
    lost = [np.zeros_like(first.lost_pct[0])]
    for part, _ in parts:
        lost.append(lost[-1] + part.lost_pct[-1])
    gone = np.concatenate([before + part.lost_pct[cut] for before, (part, cut) in zip(lost, parts, strict=False)])
    return replace(first, hours=hours, lost_pct=gone, step_end_hours=starts[1:], **curves)


def faces(kiln: Kiln) -> tuple[Faces, ...]:
    """How the load looked on each of its mornings, the first before anything was on.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    Faces, one a morning.

    Raises
    ------
    NotFound : a wood whose shrinkage the tables do not hold.

    Source
    ------
    Checks where `stress.stress_history` passes an index of 1, mold after the days of tables/charge_losses.csv; our own
    rule, *computed*.

    Accuracy
    --------
    The index puts ways of drying in order; that it is 1 does not say that a real board checks.
    """
    stretches, samples = kiln.truth.stretches, kiln.log[0].samples
    if not stretches:
        return (Faces((), False),)
    past = _past_of(stretches, kiln.plan.wood)
    torn = np.maximum.accumulate(past.check_index, axis=0) > LOSSES["surface_checks"]["from_value"]
    moldy = np.cumsum(_damp_hours(kiln, MOLD[0], -1.0, MOLD[1], MOLD[2]))
    looks = [Faces((), False)]
    for day in range(1, kiln.day + 1):
        at = int(np.searchsorted(past.history.hours, DAY_H * day + 1e-6, side="right")) - 1
        open_now = tuple(number for number in samples if torn[at, number])
        looks.append(Faces(open_now, bool(moldy[day - 1] > DAY_H * LOSSES["mold"]["from_value"])))
    return tuple(looks)


def _damp_hours(kiln, rh_pct, warmer_c, cooler_c, mc_pct):
    """Hours of each day in which the air was so damp and so warm while the load was so wet."""
    hours = np.zeros(kiln.day)
    clock = 0.0
    for one in kiln.truth.stretches:
        humidity = air.rh_pct(one.dry_bulb_c, one.wet_bulb_c, kiln.plan.chamber.pressure_pa)
        wet = one.history.average_pct[-1].mean() > mc_pct
        if wet and humidity > rh_pct and warmer_c < one.dry_bulb_c < cooler_c:
            hours[int(clock // DAY_H)] += one.hours
        clock += one.hours
    return hours


def outcome(kiln: Kiln, mill: Mill | None = None) -> Outcome:
    """What came out of a charge that is stopped this morning.

    Parameters
    ----------
    kiln : Kiln, a day old at least.
    mill : what the mill pays and is paid; None: Tamarack Ford's.

    Returns
    -------
    Outcome, with each loss and the morning that let it in.

    Raises
    ------
    NotFound : a wood whose shrinkage the tables do not hold.

    Source
    ------
    `stress.stress_history`, tables/stain_risks.csv, tables/charge_losses.csv, `cost.cost_of_load`; *computed*.

    Accuracy
    --------
    Losses rank, they do not forecast: the check index is tuned on red oak, and the prices are our own. In `stress` heat
    only makes wood give way sooner, and a small kiln set to 140/100 °F on green oak stands in damp air, about 140/127:
    by the check index alone such a start is kinder than 120/90 °F. What heat does to wet wood is a rule of its own
    beside it, honeycomb_by_heat.
    """
    mill = mill or Mill()
    past = _past_of(kiln.truth.stretches, kiln.plan.wood)
    wood = np.array([one.ovendry_kg for one in kiln.truth.boards])
    final = kiln.truth.mc_pct
    losses = tuple(loss for loss in _losses(kiln, past, final, wood / wood.sum()) if loss.share_pct > 0.0)
    lost = min(sum(loss.share_pct for loss in losses), 100.0)
    kwh = sum(one.electricity_kwh for one in kiln.truth.stretches)
    price = kiln.plan.board_feet * mill.dry_usd_m3
    return Outcome(
        tuple(round(float(mc), 2) for mc in final),
        round(float(final @ wood / wood.sum()), 2),
        tuple(round(float(index), 3) for index in past.check_index.max(axis=0)),
        past.words,
        losses,
        round(lost, 2),
        round(price * lost / 100.0, 2),
        kiln.day,
        round(kwh, 1),
        cost_of_load(mill, kiln.plan.board_feet, float(kiln.day), kwh / kiln.day, min(lost, 100.0)),
    )


def _losses(kiln, past, final, shares):
    core_wet = past.history.core_pct > CORE_WET_PCT
    yield _by_index("surface_checks", past, past.check_index, shares)
    yield _by_index("honeycomb", past, np.where(core_wet, past.core_index, 0.0), shares)
    yield _by_index("honeycomb_by_heat", past, _too_hot_days(kiln, past), shares)
    if kiln.plan.has_mist:
        yield _by_index("rewetted", past, _wetted_points(kiln, past), shares)
    for kind, hours in _colors(kiln):
        yield _by_days(kind, hours, len(final))
    target = kiln.plan.target_pct
    yield _by_points("overdried", past, target - past.history.average_pct, target - final, shares, kiln.day)
    slack = too_wet_from_points(lifted(kiln)) - LOSSES["wet"]["from_value"]
    yield _by_points("wet", past, None, final - target - slack, shares, kiln.day)


def _too_hot_days(kiln, past):
    """Days that each board has been too hot for its wet core, by hour: above its step of the card by more than a number
    of temperature, a day for each number more."""
    days = [np.zeros(len(kiln.truth.boards))]
    for one in kiln.truth.stretches:
        card_c = np.array([card_dry_bulb_c(kiln.plan, float(mc)) for mc in one.history.average_pct[-1]])
        over = np.clip((one.board_dry_bulb_c - card_c) / HEAT_AT_ONCE_K - 1.0, 0.0, None)
        days.append(days[-1] + np.where(one.history.core_pct[-1] > CORE_WET_PCT, over * one.hours / DAY_H, 0.0))
    at = np.cumsum([0.0, *(one.hours for one in kiln.truth.stretches)])
    return np.stack([np.interp(past.history.hours, at, board) for board in np.transpose(days)], axis=1)


def rewetted_points(stretch: Stretch) -> np.ndarray:
    """What a mist has wetted each board's faces by in a stretch while its core had free water.

    Parameters
    ----------
    stretch : Stretch.

    Returns
    -------
    Moisture content that the faces gained [points]; 0 where they dried, the core was dry, or no mist came.

    Raises
    ------
    Nothing.

    Source
    ------
    `drying.dry`; *computed*. That drying faces are not to be wetted: Wengert, Preventing Drying Damage to Oak (2009).

    Accuracy
    --------
    As `drying.dry`.
    """
    curves = stretch.history
    wetted = np.clip(curves.surface_pct[-1] - curves.surface_pct[0], 0.0, None)
    return np.where(curves.core_pct[-1] > CORE_WET_PCT, wetted, 0.0) * (stretch.mist_kg > 0.0)


def _wetted_points(kiln, past):
    """The same by hour, in the stretch in which it came about."""
    points = np.zeros_like(past.history.average_pct)
    end = 0.0
    for one in kiln.truth.stretches:
        end += one.hours
        within = (past.history.hours > end - one.hours + 1e-6) & (past.history.hours <= end + 1e-6)
        points[within] = rewetted_points(one)
    return points


def sections(kiln: Kiln) -> tuple[str, ...]:
    """What the prongs of ten sections do that are cut this morning, from boards all over the load.

    Parameters
    ----------
    kiln : Kiln, a day old at least.

    Returns
    -------
    "in", "straight" or "out" of each; fewer than ten where the load has fewer boards.

    Raises
    ------
    NotFound : a wood whose shrinkage the tables do not hold.

    Source
    ------
    `stress.prongs`; *computed*. Ten of them: Wengert, column Casehardening, *retrieved*.

    Accuracy
    --------
    As `stress.prongs`.
    """
    words = _past_of(kiln.truth.stretches, kiln.plan.wood).words
    return words if len(words) <= SECTIONS else tuple(words[n * len(words) // SECTIONS] for n in range(SECTIONS))


def lost_points(kiln: Kiln, day: int | None = None) -> float:
    """What the mean of the samples has lost in the days over which a load has to stand still.

    Parameters
    ----------
    kiln : Kiln.
    day : up to which morning; left out, this one.

    Returns
    -------
    Moisture content [points]; on the first mornings, since the first of them.

    Raises
    ------
    Nothing.

    Source
    ------
    Row `still_days` of tables/advice.csv, our own choice; *common practice*.

    Accuracy
    --------
    A mean of readings to 0.01 lb, 0.4 points each on a board of 2.5 lb. A wrong oven-dry weight does not move it.
    """
    day = kiln.day if day is None else day
    return round(_sample_mean_pct(kiln.log[max(day - STILL_DAYS, 0)]) - _sample_mean_pct(kiln.log[day]), 6)


def _sample_mean_pct(morning):
    return sum(morning.sample_mc_pct) / len(morning.sample_mc_pct)


def even_day(kiln: Kiln) -> int | None:
    """The morning on which equalizing was over; a kiln with mist conditions from it on.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    The first morning on which the wettest sample was at the target, or with mist the load stood still; None before it.

    Raises
    ------
    As `equalize`.

    Source
    ------
    `conditioning.equalize` for the target and the wood, *retrieved*; with mist `lost_points`, our own: boards that
    still dry still build up stress, so that conditioning takes days and the boards gain twice what is printed.

    Accuracy
    --------
    That of the sample boards.
    """
    if kiln.plan.has_mist:
        low = (one.day for one in kiln.log[STILL_DAYS:] if _sample_mean_pct(one) <= kiln.plan.target_pct)
        return next((day for day in low if lost_points(kiln, day) <= STILL_POINTS), None)
    wettest_pct = equalize(kiln.plan.target_pct, species_row(kiln.plan.wood).group).stop_wettest_pct
    return next((one.day for one in kiln.log if max(one.sample_mc_pct) <= wettest_pct), None)


def lifted(kiln: Kiln) -> np.ndarray:
    """Boards that were dry when conditioning began, so that what they are over the target came of it.

    Parameters
    ----------
    kiln : Kiln, a day old at least.

    Returns
    -------
    True or False of each board; False of all without a mist, and before the samples were even.

    Raises
    ------
    As `even_day`.

    Source
    ------
    `even_day` and the row of wet boards in tables/charge_losses.csv; *computed*.

    Accuracy
    --------
    Exact: by the true boards, not by the samples.
    """
    day = even_day(kiln) if kiln.plan.has_mist else None
    if day is None:
        return np.zeros(len(kiln.truth.boards), dtype=bool)
    history = _past_of(kiln.truth.stretches, kiln.plan.wood).history
    at = int(np.searchsorted(history.hours, DAY_H * day + 1e-6, side="right")) - 1
    return history.average_pct[at] - kiln.plan.target_pct <= LOSSES["wet"]["from_value"]


def too_wet_from_points(is_lifted: np.ndarray) -> np.ndarray:
    """How far over the target each board counts as too wet.

    Parameters
    ----------
    is_lifted : whether conditioning lifted it, as `lifted` says.

    Returns
    -------
    Moisture content over the target [points].

    Raises
    ------
    Nothing.

    Source
    ------
    Row `conditioned_board_over` of tables/advice.csv, else that of wet boards in tables/charge_losses.csv; our own
    rule, *common practice*.

    Accuracy
    --------
    A rule.
    """
    return np.where(is_lifted, advice("conditioned_board_over"), LOSSES["wet"]["from_value"])


def _colors(kiln):
    yield "mold", _damp_hours(kiln, MOLD[0], -1.0, MOLD[1], MOLD[2])
    key = species_key(kiln.plan.wood)
    for row in records("stain_risks"):
        if row["species"] == key:
            hottest_c = MOLD[1] if row["risk"] == "blue" else 100.0  # its fungus is active up to 110 °F, as mold is
            yield "stain", _damp_hours(kiln, STAIN_RH_PCT, STAIN_C, hottest_c, float(row["above_mc_pct"]))
            return


def _share(kind, over):
    """What each board loses [% of its price], by how far it is over where the kind begins."""
    row = LOSSES[kind]
    return np.where(over > 0.0, np.minimum(row["share_pct"] + row["for_each_pct"] * over, row["most_pct"]), 0.0)


def _by_index(kind, past, index, shares):
    highest = index.max(axis=0)
    over = highest - LOSSES[kind]["from_value"]
    hit = np.flatnonzero(over > 0.0)
    day = 0
    if len(hit):
        passed = (index[:, hit] > LOSSES[kind]["from_value"]).argmax(axis=0)
        day = int(max(past.history.hours[passed].min() - 1e-6, 0.0) // DAY_H)
    return Loss(kind, tuple(int(n) for n in hit), float(_share(kind, over) @ shares), day)


def _by_days(kind, hours, boards):
    days = np.cumsum(hours) / DAY_H
    over = days[-1] - LOSSES[kind]["from_value"]
    day = int((days > LOSSES[kind]["from_value"]).argmax())
    return Loss(kind, tuple(range(boards)) if over > 0.0 else (), float(_share(kind, over)), day)


def _by_points(kind, past, course, points, shares, last_day):
    over = points - LOSSES[kind]["from_value"]
    hit = np.flatnonzero(over > 0.0)
    day = last_day
    if course is not None and len(hit):
        passed = (course[:, hit] > LOSSES[kind]["from_value"]).argmax(axis=0)
        day = int(max(past.history.hours[passed].min() - 1e-6, 0.0) // DAY_H)
    return Loss(kind, tuple(int(n) for n in hit), float(_share(kind, over) @ shares), day)
