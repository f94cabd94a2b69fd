"""Points of a run beside a reference run: none for who went in hot; else for wood, log, decisions, days, energy."""

import re
from dataclasses import dataclass

import numpy as np

from kilnlib.physics.charge.card import card_bulbs_c, limit_points
from kilnlib.physics.charge.kiln import Kiln
from kilnlib.physics.charge.outcome import even_day, lifted, outcome, too_wet_from_points
from kilnlib.physics.charge.plan import NUMBERS, Plan
from kilnlib.physics.charge.players import BULB_OFF_K, conditioning_wet_bulb_c, equalizing_wet_bulb_c
from kilnlib.physics.samples import controlling_mc_pct

PARTS = ("wood", "log", "decisions", "days_and_energy")
MOST = {part: NUMBERS[f"score_{part}"] for part in PARTS}
UNDO_POINTS, FAILED_BELOW = NUMBERS["score_undo"], NUMBERS["score_failed_below"]
NOTHING_AT_PCT = NUMBERS["score_nothing_at"]
MEAN_WITHIN, BOARD_WITHIN = 1.0, 1.5  # points about the target
STEP_RATIO, STEP_K = 1.6, 8.0  # how far a setting may lie from the card and still count as its step
SEEN_WITHIN_DAYS = 3
MOVED_K = 0.6  # two settings that a dial hardly tells apart


@dataclass(frozen=True)
class Score:
    """Points of each part; all of them are lost where `gate` is false: somebody went into a hot kiln."""

    gate: bool
    wood: float
    log: float
    decisions: float
    days_and_energy: float
    undone: int

    @property
    def failed(self) -> bool:
        """Whether it counts as failed."""
        return self.total < FAILED_BELOW

    @property
    def total(self) -> float:
        """All points, 0 to 100."""
        if not self.gate:
            return 0.0
        return max(self.wood + self.log + self.decisions + self.days_and_energy - UNDO_POINTS * self.undone, 0.0)


def score(kiln: Kiln, reference: Kiln, undone: int = 0, entered_hot: int = 0) -> Score:
    """What a run is worth.

    Parameters
    ----------
    kiln : Kiln on its last morning.
    reference : the same plan run by the reference player.
    undone : how often the player took mornings back.
    entered_hot : how often he went in out of order.

    Returns
    -------
    Score.

    Raises
    ------
    As `outcome`.

    Source
    ------
    Parts and weights are our own (tables/charge.csv), *common practice*: no published scoring sheet was found.

    Accuracy
    --------
    A game's. It ranks runs of one plan.
    """
    ours, theirs = outcome(kiln), outcome(reference)
    return Score(
        entered_hot == 0,
        round(MOST["wood"] * _wood(kiln, ours), 2),
        round(MOST["log"] * _log(kiln), 2),
        round(MOST["decisions"] * _decisions(kiln), 2),
        round(MOST["days_and_energy"] * _quick(kiln, ours, theirs), 2),
        undone,
    )


def _wood(kiln, ours):
    """Whole wood, pace inside the limit, and moisture where it was ordered."""
    limit = limit_points(kiln.plan)
    mcs = np.array([morning.sample_mc_pct for morning in kiln.log])
    over = np.clip(-np.diff(mcs, axis=0).min(axis=1) / limit - 1.0, 0.0, None) if np.isfinite(limit) else 0.0
    paced = 1.0 / (1.0 + float(np.sum(over)))
    final, target = np.array(ours.final_mc_pct), kiln.plan.target_pct
    mean = max(0.0, 1.0 - max(abs(ours.mean_mc_pct - target) - MEAN_WITHIN, 0.0) / 3.0)
    good = (target - final <= BOARD_WITHIN) & (final - target <= too_wet_from_points(lifted(kiln)))
    if kiln.plan.has_mist:  # then a board is asked to be free of stress as well
        good &= np.array(ours.prongs) == "straight"
    each = float(np.mean(good))
    return _whole(ours) * (0.5 + 0.2 * paced + 0.15 * mean + 0.15 * each)


def _whole(ours):
    """Share of the points that the loss of value leaves; moisture and days make no spoiled load good."""
    return max(1.0 - ours.lost_pct / NOTHING_AT_PCT, 0.0)


def contradicted(kiln: Kiln) -> tuple[int, ...]:
    """Mornings whose reason says by its first word what was not dialed: held, eased, equalized, conditioned.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    Their numbers, from 0; any other reason is not judged.

    Raises
    ------
    Nothing.

    Source
    ------
    Our own rule; *common practice*.

    Accuracy
    --------
    It knows four words. Whether a reason is a good one it does not know.
    """
    return tuple(day for day in range(len(kiln.decisions)) if _contradicts(kiln, day))


def _contradicts(kiln, day):
    now, was = kiln.decisions[day], kiln.decisions[day - 1] if day else None
    word = re.match(r"\W*(\w*)", now.reason.lower())[1]
    if was is not None and word in ("hold", "held", "holding"):
        return max(abs(now.dry_bulb_c - was.dry_bulb_c), abs(now.wet_bulb_c - was.wet_bulb_c)) > MOVED_K
    if was is not None and word in ("ease", "eased", "easing"):
        return now.dry_bulb_c - now.wet_bulb_c > was.dry_bulb_c - was.wet_bulb_c - 0.1
    for begins, air_for in (("equali", equalizing_wet_bulb_c), ("condition", conditioning_wet_bulb_c)):
        if word.startswith(begins):
            return abs(now.wet_bulb_c - air_for(kiln.plan, now.dry_bulb_c)) > BULB_OFF_K
    return False


def _log(kiln):
    """A reason on each day that is what was dialed, and a fault mended soon; without one, nothing mended."""
    unmet = contradicted(kiln)
    written = sum(bool(one.reason.strip()) and day not in unmet for day, one in enumerate(kiln.decisions))
    reasons = written / max(len(kiln.decisions), 1)
    if kiln.plan.fault is None or kiln.plan.fault_day >= kiln.day:
        seen = 1.0
    elif kiln.mended_day is None:
        seen = 0.0
    else:
        late = kiln.mended_day - kiln.plan.fault_day - SEEN_WITHIN_DAYS
        seen = 1.0 / (1.0 + max(late, 0.0) / 3.0)
    return 0.6 * reasons + 0.4 * seen


def _decisions(kiln):
    """Mornings whose setting was about the card's, and an end that was neither too early nor too late."""
    target, good = kiln.plan.target_pct, 0
    conditions = even_day(kiln) if kiln.plan.has_mist else None  # from this morning on
    for morning, decision in zip(kiln.log, kiln.decisions, strict=False):
        dry, wet = card_bulbs_c(kiln.plan, float(controlling_mc_pct(list(morning.sample_mc_pct))))
        ratio = (decision.dry_bulb_c - decision.wet_bulb_c + 0.5) / (dry - wet + 0.5)
        near = 1.0 / STEP_RATIO <= ratio <= STEP_RATIO or min(morning.sample_mc_pct) <= target
        near = near or (conditions is not None and morning.day >= conditions)
        good += near and abs(decision.dry_bulb_c - dry) <= STEP_K
    last = kiln.log[-1 if conditions is None else conditions].sample_mc_pct
    driest_pct, wettest_pct = end_between_pct(kiln.plan)
    end = (max(last) <= wettest_pct) and (min(last) >= driest_pct)
    return 0.6 * good / max(len(kiln.decisions), 1) + 0.4 * end


def end_between_pct(plan: Plan) -> tuple[float, float]:
    """Between which moisture contents every sample is to be where drying ends, neither too late nor too early.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Driest and wettest [%].

    Raises
    ------
    Nothing.

    Source
    ------
    Two points under the target, where equalizing begins, and the target, each with `BOARD_WITHIN`: our own rule;
    *common practice*.

    Accuracy
    --------
    A game's.
    """
    return plan.target_pct - 2.0 - BOARD_WITHIN, plan.target_pct + BOARD_WITHIN


def wettest_that_counts_pct(plan: Plan) -> float:
    """Where the wettest board of a load may stand at most for its days and electricity to count.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Moisture content [%].

    Raises
    ------
    Nothing.

    Source
    ------
    Three times what a board may lie off its target, our own rule; *common practice*.

    Accuracy
    --------
    A game's.
    """
    return plan.target_pct + 3.0 * BOARD_WITHIN


def _quick(kiln, ours, theirs):
    """Days and electricity beside the reference; a charge that is not dry or is spoiled has saved nothing."""
    if max(ours.final_mc_pct) > wettest_that_counts_pct(kiln.plan):
        return 0.0
    days = min(theirs.days / ours.days, 1.0)
    energy = min(theirs.electricity_kwh / max(ours.electricity_kwh, 1e-9), 1.0)
    return _whole(ours) * (0.5 * days + 0.5 * energy)
