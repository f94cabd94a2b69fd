"""Ways of running a charge: the reference, which follows the card and the weights, and four that do worse.

A player is a function of a Kiln that gives the Decision of this morning, or None to stop. It sees the log alone.
"""

import random
from collections.abc import Callable

from kilnlib.physics.charge.card import HEAT_AT_ONCE_K, card_bulbs_c, limit_points
from kilnlib.physics.charge.examine import examine
from kilnlib.physics.charge.faults import acts, faults
from kilnlib.physics.charge.kiln import Kiln, next_day, start
from kilnlib.physics.charge.outcome import even_day, sections
from kilnlib.physics.charge.plan import Decision, Plan
from kilnlib.physics.charge.readings import Morning
from kilnlib.physics.conditioning import air_for, condition, equalize, start_below_points
from kilnlib.physics.samples import controlling_mc_pct
from kilnlib.physics.wood import species as species_row
from kilnlib.tables import advice

Player = Callable[[Kiln], Decision | None]
LONGEST_DAYS, LONGER_WITH_MIST = 60, 20
CLOSE = advice("close_to_the_limit") / 100.0
EASE = advice("one_depression_number")
BUCKET_LOW, BUCKET_HIGH, BULB_OFF_K = (
    advice(name) for name in ("bucket_doubted_below", "bucket_doubted_above", "bulb_off_its_dial")
)
LEAST_LOSS_KG = 5.0  # of the load in a day, below which the bucket says little
LEFT_IN, OVER_TARGET = advice("sections_left_in") / 100.0, advice("conditioned_over_target")
CONDITION_DAYS = 4  # of the reference at most, our choice
ROUNDS_EVERY, ROUNDS_ON = 7, 3  # days: a second thermometer, amps, air, baffles


def controlling(kiln: Kiln) -> float:
    """Controlling moisture content of this morning's samples [%].

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    Mean of the wettest half [%].

    Raises
    ------
    Nothing.

    Source
    ------
    `samples.controlling_mc_pct`; *computed*.

    Accuracy
    --------
    That of the sample boards.
    """
    return float(controlling_mc_pct(list(kiln.log[-1].sample_mc_pct)))


def equalizing_wet_bulb_c(plan: Plan, dry_bulb_c: float) -> float:
    """Wet bulb at which the driest boards of a plan wait for the others.

    Parameters
    ----------
    plan : Plan.
    dry_bulb_c : dry bulb [°C], 0 to 100.

    Returns
    -------
    Wet bulb [°C].

    Raises
    ------
    OutOfRange : as `air_for`.

    Source
    ------
    `conditioning.start_below_points` under the target; *retrieved*.

    Accuracy
    --------
    That of the EMC.
    """
    below = start_below_points(species_row(plan.wood).group)
    return float(air_for(plan.target_pct - below, dry_bulb_c).wet_bulb_c)


def conditioning_wet_bulb_c(plan: Plan, dry_bulb_c: float) -> float:
    """Wet bulb of the damp air that takes the stress out of a plan's boards.

    Parameters
    ----------
    plan : Plan.
    dry_bulb_c : dry bulb [°C], 0 to 100.

    Returns
    -------
    Wet bulb [°C].

    Raises
    ------
    OutOfRange : as `air_for`.

    Source
    ------
    `conditioning.condition` for the target and the wood; *retrieved*.

    Accuracy
    --------
    That of the EMC.
    """
    wanted = float(condition(plan.target_pct, species_row(plan.wood).group).emc_pct)
    return float(air_for(wanted, dry_bulb_c).wet_bulb_c)


def in_small_steps_c(kiln: Kiln, dry_bulb_c: float, wet_bulb_c: float) -> tuple[float, float]:
    """A setting that is no more than one number of the schedule hotter or wider than yesterday's.

    Parameters
    ----------
    kiln : Kiln.
    dry_bulb_c, wet_bulb_c : what is wished for [°C].

    Returns
    -------
    Dry and wet bulb [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    Thresholds `one_temperature_number` and `one_depression_number` of tables/advice.csv; *common practice*.

    Accuracy
    --------
    A rule.
    """
    if not kiln.decisions:
        return dry_bulb_c, wet_bulb_c
    was = kiln.decisions[-1]
    dry = min(dry_bulb_c, was.dry_bulb_c + HEAT_AT_ONCE_K)
    return dry, max(wet_bulb_c, dry - EASE * (was.dry_bulb_c - was.wet_bulb_c))


def ends(kiln: Kiln) -> tuple[bool, bool]:
    """How near a charge is to its end: whether equalizing begins, and whether it is dry.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    Whether the driest sample has come to where equalizing begins, and the wettest to where it ends.

    Raises
    ------
    As `equalize`.

    Source
    ------
    `conditioning.equalize` for the target and the wood; *retrieved*.

    Accuracy
    --------
    That of the sample boards.
    """
    mcs, rule = kiln.log[-1].sample_mc_pct, equalize(kiln.plan.target_pct, species_row(kiln.plan.wood).group)
    return bool(min(mcs) <= rule.start_driest_pct), bool(max(mcs) <= rule.stop_wettest_pct)


def longest_days(plan: Plan) -> int:
    """The most days that a charge may take: more where a mist conditions it, because it has to stand still first.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Longest time of a charge [days].

    Raises
    ------
    Nothing.

    Source
    ------
    Our own choice; *common practice*.

    Accuracy
    --------
    A game's.
    """
    return LONGEST_DAYS + LONGER_WITH_MIST * plan.has_mist


def relieved(words: tuple[str, ...]) -> bool:
    """Whether sections say that conditioning is over: few turn in, or some turn out already."""
    return words.count("in") <= LEFT_IN * len(words) or "out" in words


def conditioned(kiln: Kiln) -> bool:
    """Whether a load that stood still has since been in the air of conditioning for a day, and its sections are enough.

    Boards that stood still for long have few prongs that turn in, and are under the target all the same.
    """
    even = even_day(kiln)
    if even is None:
        return False
    wet_c = [(one.wet_bulb_c, conditioning_wet_bulb_c(kiln.plan, one.dry_bulb_c)) for one in kiln.decisions[even:]]
    return any(dialed >= asked - BULB_OFF_K for dialed, asked in wet_c) and relieved(sections(kiln))


def gained_enough(kiln: Kiln) -> bool:
    """Whether the samples stand so far over the target that conditioning ends, whatever the prongs say."""
    mcs = kiln.log[-1].sample_mc_pct
    return sum(mcs) / len(mcs) > kiln.plan.target_pct + OVER_TARGET


def _conditions(kiln):
    """The reference's end where there is mist: damp air from an even morning on, until the sections are straight."""
    since = kiln.day - (even_day(kiln) or 0)
    if conditioned(kiln) or gained_enough(kiln) or since >= CONDITION_DAYS or kiln.day >= longest_days(kiln.plan):
        return None
    dry = card_bulbs_c(kiln.plan, controlling(kiln))[0]
    return Decision(dry, conditioning_wet_bulb_c(kiln.plan, dry), (), "even, so conditioned")


def _stops(kiln):
    return ends(kiln)[1] or kiln.day >= LONGEST_DAYS


def reference(kiln: Kiln) -> Decision | None:
    """The careful way: the card by the wettest half, eased by the fastest, signs seen to, equalized, conditioned."""
    if kiln.plan.has_mist and kiln.day and even_day(kiln) is not None:
        return _conditions(kiln)
    if kiln.day >= longest_days(kiln.plan) or (ends(kiln)[1] and not kiln.plan.has_mist):
        return None
    dry, wet = card_bulbs_c(kiln.plan, controlling(kiln))
    if ends(kiln)[0]:
        wet = equalizing_wet_bulb_c(kiln.plan, dry)
    elif kiln.day > 1:
        before, now = kiln.log[-2].sample_mc_pct, kiln.log[-1].sample_mc_pct
        fastest = max(old - new for old, new in zip(before, now, strict=True))
        if fastest > CLOSE * limit_points(kiln.plan) and max(now) > advice("limit_binds_above"):
            was = kiln.decisions[-1]
            wet = max(wet, dry - (was.dry_bulb_c - was.wet_bulb_c) / EASE)
    doing = _look(kiln) if kiln.day > 1 and kiln.mended_day is None else ()
    dry, wet = in_small_steps_c(kiln, dry, wet)
    return Decision(dry, min(wet, dry - 0.5), doing, "card, weights and signs")


def looks_wrong(morning: Morning, asked: Decision) -> bool:
    """Whether a careful reader of this line looks for a fault: by its bucket, or by bulbs that are not as dialed."""
    bucket = not BUCKET_LOW <= morning.bucket_ratio <= BUCKET_HIGH and morning.load_loss_kg > LEAST_LOSS_KG
    off = max(abs(morning.dry_bulb_c - asked.dry_bulb_c), abs(morning.wet_bulb_c - asked.wet_bulb_c))
    return bucket or off > BULB_OFF_K


def _look(kiln):
    """Tests that this morning's log asks for, and the mend of what they find."""
    if not looks_wrong(kiln.log[-1], kiln.decisions[-1]) and kiln.day % ROUNDS_EVERY != ROUNDS_ON:
        return ()
    tests = [code for code, act in acts().items() if act.kind == "test"]
    wrong = [code for code in tests if examine(kiln, code).wrong]
    for fault in faults():
        if set(fault.found_by) <= set(wrong) and set(fault.found_by) & set(wrong):
            return (*tests, fault.mended_by)
    return tuple(tests)


def always_hold(kiln: Kiln) -> Decision | None:
    """The first setting of the card, to the end."""
    dry, wet = card_bulbs_c(kiln.plan, kiln.log[0].sample_mc_pct[0])
    return None if _stops(kiln) else Decision(dry, wet)


def always_hard(kiln: Kiln) -> Decision | None:
    """The last setting of the card, from the first day."""
    dry, wet = card_bulbs_c(kiln.plan, 1.0)
    return None if _stops(kiln) else Decision(dry, wet)


def card_blind(kiln: Kiln) -> Decision | None:
    """The card by the mean of the samples, whatever weights and signs say, and no equalizing."""
    mcs = kiln.log[-1].sample_mc_pct
    mean = sum(mcs) / len(mcs)
    if mean <= kiln.plan.target_pct or kiln.day >= LONGEST_DAYS:
        return None
    return Decision(*card_bulbs_c(kiln.plan, mean))


def at_random(kiln: Kiln) -> Decision | None:
    """Any setting, any act; stops when the samples are dry, or by chance."""
    dice = random.Random(kiln.plan.seed * 7919 + kiln.day)
    if _stops(kiln) or (kiln.day > 3 and dice.random() < 0.02):
        return None
    dry = 20.0 + 50.0 * dice.random()
    wet = dry - 0.2 - 25.0 * dice.random() ** 2
    doing = tuple(code for code in acts() if dice.random() < 0.05)
    return Decision(dry, max(wet, 5.0), doing)


PLAYERS = {
    "reference": reference,
    "always_hold": always_hold,
    "always_hard": always_hard,
    "card_blind": card_blind,
    "at_random": at_random,
}


def play(plan: Plan, player: Player, days: int | None = None) -> Kiln:
    """Run a charge to its end with one player.

    Parameters
    ----------
    plan : Plan.
    player : function of a Kiln that gives a Decision, or None to stop.
    days : longest [days]; left out, `longest_days`.

    Returns
    -------
    Kiln on its last morning, a day old at least.

    Raises
    ------
    As `next_day`.

    Source
    ------
    `next_day`; *computed*.

    Accuracy
    --------
    As `next_day`.
    """
    kiln = start(plan)
    for _ in range(longest_days(plan) if days is None else days):
        decision = player(kiln)
        if decision is None:
            break
        kiln = next_day(kiln, decision)
    return kiln
