"""A whole charge run by a learner, morning by morning: the model of lesson 15.

All that need be kept of a charge in hand are its set-up and what was decided; everything else is worked out again by
`physics.charge`. Days that were gone through are kept in memory, so that a morning taken back costs nothing.
"""

import functools
import itertools
import json
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace

from kilnlib.cases import shed, trouble
from kilnlib.errors import BadInput
from kilnlib.physics import air, charge
from kilnlib.physics.airflow import Fan, Gaps, Stack
from kilnlib.physics.arrays import within
from kilnlib.physics.charge.plan import HOTTEST_C
from kilnlib.physics.cost import Mill
from kilnlib.physics.machine import EXAMPLE, Chamber
from kilnlib.physics.samples import Sheet
from kilnlib.store import kiln as own
from kilnlib.tables import advice
from kilnlib.units import DAY_S, to_si

WOODS = {  # name, moisture content as it is loaded (None: green)
    "oak": ("red oak, northern", None),
    "dried_oak": ("red oak, northern", 30.0),
    "maple": ("hard maple", None),
    "poplar": ("yellow-poplar", None),
}
LOADS = {"small": 500.0, "half": 1000.0, "full": 2000.0}  # board feet
SEASONS = {"winter": (15, "Jan"), "spring": (100, "Apr"), "summer": (200, "Jul"), "fall": (290, "Oct")}
LEVELS = ("quiet", "fault", "bad")
BAFFLES = ("shut", "open")
SAMPLES = ("edges", "near")  # both edges at three heights, or all where the air goes in
KILNS = ("tamarack", "this")
WATERS = ("none", "mist")  # what the kiln can add to its air
KINDS = ("hold", "ease", "card", "equalize", "condition", "by_hand")
COOLING = ("cooled", "hot")
STORES = ("shed", "solid", "heated")
STEPS = 5  # of the way into a hot kiln, the last of which is to go in
NUMBERS = (1, 999)  # that a charge can have: each is a charge of its own
MOST_AT_ONCE = 7  # days
BAD_SPREAD = 1.5
BY_SUMMER = "vent_stuck_shut"
OFF_DIAL_K = advice("bulb_off_its_dial")
ALL_IT_CAN = 0.8  # share of the day that a mist ran at its most
SAMPLES_WITHIN = 1.0  # points about the load's mean within which nothing is said of the samples
APART_DEPTH, APART_ODD, APART_SHARE = 0.2, 0.05, 0.03  # how far samples lie from a load that they do not stand for
ABOUT_K = 1.0  # how far a wet bulb may lie from that of equalizing and still be meant for it


@dataclass(frozen=True)
class Setup:
    """What is chosen before the fans go on. `kiln` is "tamarack", or this kiln's numbers as `this_kiln` writes them."""

    wood: str = "oak"
    load: str = "half"
    kiln: str = "tamarack"
    season: str = "spring"
    level: str = "quiet"
    baffles: str = "shut"
    samples: str = "edges"
    number: int = 1
    water: str = "none"


@dataclass(frozen=True)
class Game:
    """A charge in hand: all that need be kept of it."""

    setup: Setup = Setup()
    decisions: tuple[charge.Decision, ...] = ()
    acts: tuple[str, ...] = ()  # codes of the looks and mends of this morning
    entered: bool = False  # this morning, by the steps
    undone: int = 0
    entered_hot: int = 0
    cooling: str = ""  # how it was opened at the end, empty before
    store: str = ""


def this_kiln() -> str:
    """This kiln's numbers, as a set-up keeps them: a charge in hand stays as it is when the kiln's file changes."""
    return json.dumps(asdict(own.load()), ensure_ascii=False)


@functools.lru_cache(maxsize=16)
def plan_of(setup: Setup) -> charge.Plan:
    """The charge of a set-up; its fault is drawn from its number."""
    wood, start_pct = WOODS[setup.wood]
    fault, day = _fault(setup)
    shut = 100.0 if setup.baffles == "shut" else 0.0
    stack, fan, chamber, hottest_c = _kiln(setup.kiln)
    if setup.water == "mist":
        chamber = replace(chamber, mist_kgs=EXAMPLE["mist"])
    plan = charge.Plan(
        wood=wood,
        green_mc_pct=start_pct,
        board_feet=to_si(LOADS[setup.load], "board_feet"),
        stack=stack,
        gaps=Gaps(above_baffle_pct=shut, end_baffle_pct=shut),
        fan=fan,
        chamber=chamber,
        start_day_of_year=SEASONS[setup.season][0],
        seed=setup.number,
        fault=fault,
        fault_day=day,
        spread=BAD_SPREAD if setup.level == "bad" else 1.0,
        hottest_c=hottest_c,
    )
    if setup.samples == "near":
        plan = replace(plan, samples=tuple(n for n, one in enumerate(charge.draw(plan)) if one.depth < 0.25))
    return plan


def _kiln(name):
    """Stack, fans, chamber and the most that the card asks for: of this kiln the stack, the fans, the height above the
    sea and the top of its dry bulb; the machine is ours."""
    if name == "tamarack":
        return Stack(), Fan(), Chamber(), HOTTEST_C
    mine = own.ThisKiln(**json.loads(name))
    stack = Stack(
        mine.courses,
        mine.stack_length_m,
        mine.stack_width_m,
        mine.sticker_thickness_m,
        mine.board_thickness_m,
    )
    chamber = Chamber(pressure_pa=air.pressure_pa(mine.altitude_m))
    return stack, Fan(mine.fan_count), chamber, min(HOTTEST_C, mine.top_dry_bulb_c)


def _fault(setup):
    """The fault of a level and the day it begins on: "fault" any, later; "bad" one that cracks wood or hides, early."""
    dice = random.Random(f"{setup.level}-{setup.number}")
    if setup.level == "quiet":
        return None, 0.0
    faults = [one.code for one in charge.faults() if setup.season == "summer" or one.code != BY_SUMMER]
    if setup.level == "bad":
        faults = [code for code in faults if charge.fault_of(code).danger in ("too_fast", "uneven")]
    code = faults[int(dice.random() * len(faults))]
    first, days = (1, 3) if setup.level == "bad" else (3, 6)
    return code, 0.0 if code in trouble.IN_WOOD else float(first + int(dice.random() * days))


@functools.lru_cache(maxsize=400)
def kiln_on(plan: charge.Plan, decisions: tuple[charge.Decision, ...]) -> charge.Kiln:
    """The kiln on the morning after these decisions."""
    return charge.next_day(kiln_on(plan, decisions[:-1]), decisions[-1]) if decisions else charge.start(plan)


def kiln_of(game: Game) -> charge.Kiln:
    """The kiln this morning."""
    return kiln_on(plan_of(game.setup), game.decisions)


def proposed_c(game: Game, kind: str) -> tuple[float, float]:
    """Dry and wet bulb that a decision stands for [°C]: "hold" what was dialed, "ease" one number of depression less,
    "card" what the card asks for now in small steps (drier first, hotter the day after), "equalize" and "condition" the
    air for it, at the dry bulb at which that was begun. Hand-dialed: as held.
    """
    kiln = kiln_of(game)
    dry, wet = charge.card_bulbs_c(kiln.plan, charge.controlling(kiln))
    if kind in ("equalize", "condition"):
        for was in kiln.decisions[-1:]:
            ends = [end_wet_bulb_c(game, one, was.dry_bulb_c) for one in ("equalize", "condition")]
            dry = was.dry_bulb_c if min(abs(was.wet_bulb_c - wet_c) for wet_c in ends) < ABOUT_K else dry
        return dry, end_wet_bulb_c(game, kind, dry)
    if not kiln.decisions or kind == "card":
        return _one_thing_at_a_time_c(kiln, *charge.in_small_steps_c(kiln, dry, wet))
    was = kiln.decisions[-1]
    narrower = (was.dry_bulb_c - was.wet_bulb_c) / (charge.EASE if kind == "ease" else 1.0)
    return was.dry_bulb_c, was.dry_bulb_c - narrower


def end_wet_bulb_c(game: Game, kind: str, dry_bulb_c: float) -> float:
    """Wet bulb that "equalize" or "condition" stands for at a dry bulb [°C]."""
    air_for = charge.equalizing_wet_bulb_c if kind == "equalize" else charge.conditioning_wet_bulb_c
    return air_for(plan_of(game.setup), dry_bulb_c)


def check_conditions(game: Game) -> None:
    """Raise BadInput where conditioning would do nothing: without mist, or before the boards are even."""
    kiln = kiln_of(game)
    if not kiln.plan.has_mist:
        raise BadInput("game_no_mist")
    if charge.even_day(kiln) is None:
        wettest, target = max(kiln.log[-1].sample_mc_pct), kiln.plan.target_pct
        if wettest > target:
            raise BadInput("game_not_even", wettest=f"{wettest:.1f}", target=f"{target:g}")
        points, days = f"{charge.lost_points(kiln):.1f}", min(kiln.day, charge.STILL_DAYS)
        raise BadInput("game_not_still", points=points, days=days, still=f"{charge.STILL_POINTS:g}")


def _one_thing_at_a_time_c(kiln, dry, wet):
    """A step that would be both hotter and wider than yesterday's is only wider today."""
    if not kiln.decisions:
        return dry, wet
    was = kiln.decisions[-1]
    wider = dry - wet > was.dry_bulb_c - was.wet_bulb_c + 0.1
    return (was.dry_bulb_c, was.dry_bulb_c - (dry - wet)) if wider and dry > was.dry_bulb_c else (dry, wet)


def days_pass(game: Game, dry_bulb_c: float, wet_bulb_c: float, reason: str, days: int = 1) -> Iterator[Game]:
    """The game after each of so many days under one decision. More than one day ends early where something is to be
    decided that was not before: see `stopped_by`.

    Raises BadInput or OutOfRange with a sentence; then nothing has passed.
    """
    if not 1 <= days <= MOST_AT_ONCE:
        raise BadInput("game_days", most=MOST_AT_ONCE)
    if game.setup.kiln != "tamarack":
        top = own.ThisKiln(**json.loads(game.setup.kiln)).top_dry_bulb_c
        within("Dry bulb", dry_bulb_c, 15.0, top, "temperature")
    longest = charge.longest_days(plan_of(game.setup))
    if len(game.decisions) + days > longest:
        raise BadInput("game_longest", most=longest)
    stood, acts = game, game.acts
    for _ in range(days):
        decision = charge.Decision(round(dry_bulb_c, 2), round(wet_bulb_c, 2), acts, reason.strip())
        game = replace(game, decisions=(*game.decisions, decision), acts=(), entered=False)
        acts = ()
        yield game
        if stopped_by(stood, game):
            return


def stopped_by(stood: Game, game: Game) -> str:
    """Why days end early that began at `stood`: the first of the codes of `_asks` that is new, or "step": the card's
    next step counts now. Empty where there is no reason."""
    was, kiln = kiln_of(stood), kiln_of(game)
    before = list(_asks(was))
    by_the_card = set(before) <= {"limit"} and not _equalizing(kiln)
    step = "step" if by_the_card and _next_step_pct(kiln) != _next_step_pct(was) else ""
    return next((code for code in _asks(kiln) if code not in before), step)


def _next_step_pct(kiln):
    return charge.next_step_pct(kiln.plan, charge.controlling(kiln))


def _asks(kiln):
    """What a morning asks to be decided: "limit" the fastest board lost more than its own, "enough" conditioning ends,
    "dry" the wettest is at the target, "still" the boards of a kiln with mist have come to rest, "equalize" the driest
    has come to where that begins, and it has not begun."""
    if not kiln.day:
        return
    if _over_limit(kiln, *kiln.log[-2:]):
        yield "limit"
    even = charge.even_day(kiln) is not None
    if even and kiln.plan.has_mist and (charge.conditioned(kiln) or charge.gained_enough(kiln)):
        yield "enough"
    if even:
        yield "still" if kiln.plan.has_mist else "dry"
    elif charge.ends(kiln)[0] and not _equalizing(kiln):
        yield "equalize"


def needs_entry(game: Game, act: str) -> bool:
    """Whether one has to go in for an act and has not yet gone in this morning."""
    return charge.act_of(act).inside and not game.entered


def do(game: Game, act: str) -> Game:
    """Make a look or a mend this morning; a second time costs nothing. Raises BadInput where one has to go in first."""
    if needs_entry(game, act):
        raise BadInput("game_entry_first")
    return game if act in game.acts else replace(game, acts=(*game.acts, act))


def entry_after(pressed: Sequence[int], step: int) -> str:
    """What pressing a step of the way in means: "next" in order, "in" the last in order, "hot" to go in before all the
    others, "wrong" any other."""
    if step == len(pressed):
        return "in" if step == STEPS - 1 else "next"
    return "hot" if step == STEPS - 1 else "wrong"


@dataclass(frozen=True)
class Standing:
    """How a charge stands on a morning, and what this morning's looks and mends were."""

    kiln: charge.Kiln
    faces: charge.Faces
    controlling_pct: float
    fastest_points: float | None  # what the fastest sample lost since yesterday; None on the first morning
    limit_points: float
    equalizes: bool  # the driest sample has come to where equalizing begins
    dry: bool  # the wettest has come to the target
    lost_points: float  # what the samples' mean lost in the days over which a load with mist has to stand still
    equalizing: bool  # what was dialed yesterday holds the air of equalizing
    too_dry: bool  # the wet bulb stands well under its dial: the air lacks water
    mist_at_most: bool  # the mist ran nearly all of the day; where it did not, it waited for heat
    even: bool  # with mist, the samples have once stood still: time to condition
    even_before: bool  # on an earlier morning already
    sections: tuple[str, ...]  # what their prongs do then; none before, nor without mist
    conditioned: bool  # they say that it is enough
    gained: bool  # the samples stand over the target, and it is enough whatever the prongs say
    rewetted_points: float  # most that the mist has wetted faces by since yesterday, over cores with free water
    card_c: tuple[float, float]  # what the card asks for this morning
    card_at_top: bool  # the card would go hotter or drier than a small kiln can
    printed_c: tuple[float, float]  # what it says then
    next_step_pct: float | None  # from which moisture content its next step counts
    observations: tuple[charge.Observation, ...]
    mends: tuple[str, ...]
    minutes: float


def standing(game: Game) -> Standing:
    """How a charge stands this morning."""
    kiln = kiln_of(game)
    acts = [charge.act_of(code) for code in game.acts]
    fastest = max(trouble.points_lost(*kiln.log[-2:])) if kiln.day else None
    equalizes, dry = charge.ends(kiln)
    even_day = charge.even_day(kiln) if kiln.day and kiln.plan.has_mist else None
    even = even_day is not None
    sections = charge.sections(kiln) if even else ()
    return Standing(
        kiln,
        charge.faces(kiln)[-1],
        charge.controlling(kiln),
        fastest,
        charge.limit_points(kiln.plan),
        equalizes,
        dry,
        charge.lost_points(kiln),
        bool(kiln.day) and _equalizing(kiln),
        bool(kiln.day) and kiln.log[-1].wet_bulb_c < kiln.decisions[-1].wet_bulb_c - OFF_DIAL_K,
        kiln.log[-1].mist_kg > ALL_IT_CAN * kiln.plan.chamber.mist_kgs * DAY_S,
        even,
        even_day is not None and even_day < kiln.day,
        sections,
        even and charge.conditioned(kiln),
        even and charge.gained_enough(kiln),
        _rewetted_points(kiln),
        charge.card_bulbs_c(kiln.plan, charge.controlling(kiln)),
        charge.card_is_capped(kiln.plan, charge.controlling(kiln)),
        charge.printed_bulbs_c(kiln.plan, charge.controlling(kiln)),
        _next_step_pct(kiln),
        tuple(charge.examine(kiln, act.code) for act in acts if act.kind == "test"),
        tuple(act.code for act in acts if act.kind == "mend"),
        sum(act.minutes for act in acts),
    )


def _rewetted_points(kiln):
    day = kiln.truth.stretches[-2:] if kiln.plan.has_mist else ()
    return max((float(charge.rewetted_points(one).max()) for one in day), default=0.0)


def _equalizing(kiln):
    was = kiln.decisions[-1]
    return abs(was.wet_bulb_c - charge.equalizing_wet_bulb_c(kiln.plan, was.dry_bulb_c)) < ABOUT_K


def acts() -> dict[str, charge.Act]:
    """All that can be done beside the dials: looks, the quickest first, then mends."""
    return trouble.tests() | {code: charge.act_of(code) for code in trouble.mends()}


def back_to(game: Game, day: int) -> Game:
    """Take mornings back, to that one; each time counts. Whoever went in hot has gone in hot."""
    if not 0 <= day < len(game.decisions):
        raise BadInput("game_no_morning")
    return replace(
        game, decisions=game.decisions[:day], acts=(), entered=False, undone=game.undone + 1, cooling="", store=""
    )


def ended(game: Game, cooling: str, store: str) -> Game:
    """Heat off, opened and stored; to unload it hot is to go into a hot kiln."""
    if not game.decisions:
        raise BadInput("game_not_begun")
    if cooling not in COOLING or store not in STORES:
        raise BadInput("list_empty")
    return replace(game, cooling=cooling, store=store, entered_hot=game.entered_hot + (cooling == "hot"))


def written(decisions: tuple[charge.Decision, ...]) -> str:
    """Decisions as words that can be kept."""
    rows = [[one.dry_bulb_c, one.wet_bulb_c, " ".join(one.acts), one.reason] for one in decisions]
    return json.dumps(rows, ensure_ascii=False)


def read(words: str) -> tuple[charge.Decision, ...]:
    """The decisions of such words."""
    return tuple(charge.Decision(dry, wet, tuple(acts.split()), reason) for dry, wet, acts, reason in json.loads(words))


@dataclass(frozen=True)
class SamplesOff:
    """How far the samples' mean, which the operator saw, lies from the load's true one, and what that comes of."""

    points: float  # what the samples read over the load
    by_weight: float  # of it by their oven-dry weights, which come from sections
    by_boards: float  # of it by their boards, which truly stand so far over the load
    why: str  # of the boards: "place", "few_odd", "many_odd", "start", "light", "heavy"; empty where none fits
    start_pct: tuple[float, float]  # of the samples and of the load, as they went in


@dataclass(frozen=True)
class Debrief:
    """How a charge came out beside the reference run, and what was to be seen in it."""

    kiln: charge.Kiln
    reference: charge.Kiln
    outcome: charge.Outcome
    theirs: charge.Outcome
    score: charge.Score
    sign: trouble.Sign | None  # the first wrong one
    sign_day: int | None  # the morning on which it stood in the log
    seen_day: int | None  # the morning on which a look found it, or it was mended
    stored_pct: float  # moisture content after three months where it is stored
    no_reason: int  # days without a reason
    over_limit: tuple[tuple[int, float], ...]  # mornings on which a board had lost more than its limit, and how much
    not_dry: bool  # a board is so wet that days and electricity count for nothing
    samples_off: SamplesOff | None  # None where the samples told the load's mean within a point
    contradicted: tuple[int, ...]  # mornings whose reason says another thing than was dialed


def sheet(debriefed: Debrief, name: str) -> Sheet:
    """The weights of a charge as a sample sheet of that name."""
    return replace(charge.sample_sheet(debriefed.kiln), charge=name)


def debrief(game: Game, mill: Mill | None = None, share_done: Callable[[float], None] = lambda share: None) -> Debrief:
    """How an ended charge came out beside the reference run, in some seconds; `share_done` takes 0 to 1 on the way."""
    kiln = kiln_of(game)
    reference = _run(
        kiln.plan, charge.PLAYERS["reference"], lambda days: share_done(0.8 * days / charge.longest_days(kiln.plan))
    )
    share_done(0.8)
    day, sign = first_sign(kiln)
    share_done(0.95)
    result, theirs = charge.outcome(kiln, mill), charge.outcome(reference, mill)
    points = charge.score(kiln, reference, game.undone, game.entered_hot)
    silent = sum(not one.reason for one in kiln.decisions)
    stored = stored_pct(result.mean_mc_pct, game)
    share_done(1.0)
    wet = max(result.final_mc_pct) > charge.wettest_that_counts_pct(kiln.plan)
    seen, over, off = seen_day(kiln), over_limit(kiln), samples_off(kiln)
    unmet = charge.contradicted(kiln)
    return Debrief(kiln, reference, result, theirs, points, sign, day, seen, stored, silent, over, wet, off, unmet)


def samples_off(kiln: charge.Kiln) -> SamplesOff | None:
    """Where the samples' mean lies more than a point off the load's: by how much, and why."""
    last = kiln.log[-1]
    true = float(kiln.truth.mc_pct[list(last.samples)].mean())
    read = sum(last.sample_mc_pct) / len(last.sample_mc_pct)
    by_weight, by_boards = read - true, true - kiln.mean_mc_pct
    points = round(by_weight + by_boards, 1)
    if abs(points) <= SAMPLES_WITHIN:
        return None
    by_weight = round(by_weight, 1)
    by_boards = round(points - by_weight, 1)  # so that what is read adds up
    mine = [kiln.truth.boards[number] for number in last.samples]
    starts = tuple(_mean(one.board.start_mc_pct for one in boards) for boards in (mine, kiln.truth.boards))
    return SamplesOff(points, by_weight, by_boards, _why_off(mine, kiln.truth.boards, by_boards), starts)


def _why_off(mine, load, over):
    """What sets the boards of the samples apart, in the way in which they stand off the load."""
    way = 1.0 if over > 0.0 else -1.0
    apart = {
        "place": lambda one: one.depth / APART_DEPTH,
        "few_odd" if over < 0.0 else "many_odd": lambda one: (one.kind != "plain") / APART_ODD,
        "start": lambda one: one.board.start_mc_pct / (APART_SHARE * _mean(each.board.start_mc_pct for each in load)),
        "light" if over < 0.0 else "heavy": lambda one: -one.board.rate_factor / APART_SHARE,
    }
    return next((why for why, of in apart.items() if way * (_mean(map(of, mine)) - _mean(map(of, load))) >= 1.0), "")


def _mean(values):
    each = list(values)
    return sum(each) / len(each)


def over_limit(kiln: charge.Kiln) -> tuple[tuple[int, float], ...]:
    """Mornings on which the fastest sample had lost more than its limit, while that still binds, and its points."""
    lost = ((now.day, _over_limit(kiln, before, now)) for before, now in itertools.pairwise(kiln.log))
    return tuple((day, points) for day, points in lost if points)


def _over_limit(kiln, before, now):
    """What the fastest sample lost in a day, where that is more than its limit and still binds; else 0."""
    binds = advice("limit_binds_above")
    lost = zip(trouble.points_lost(before, now), now.sample_mc_pct, strict=True)
    fastest = max((points for points, mc in lost if mc > binds), default=0.0)
    return fastest if round(fastest, 1) > round(charge.limit_points(kiln.plan), 1) else 0.0


def _run(plan, player, passed):
    decisions: tuple[charge.Decision, ...] = ()
    while len(decisions) < charge.longest_days(plan):
        decision = player(kiln_on(plan, decisions))
        if decision is None:
            break
        decisions = (*decisions, decision)
        passed(len(decisions))
    return kiln_on(plan, decisions)


def first_sign(kiln: charge.Kiln) -> tuple[int | None, trouble.Sign | None]:
    """The first morning whose log is not as without the fault, and its plainest sign; None where none was.

    Odd boards show in their own lag alone: the twin's load is another one, and its air differs by the rounding.
    """
    if kiln.plan.fault is None:
        return None, None
    twin = kiln_on(replace(kiln.plan, fault=None), kiln.decisions)
    for day in range(1, kiln.day + 1):
        signs = trouble.signs_between(kiln.log[day - 1], kiln.log[day], twin.log[day - 1], twin.log[day])
        if kiln.plan.fault in trouble.IN_WOOD:
            signs = tuple(sign for sign in signs if sign.code == "some_boards")
        if signs and day >= kiln.plan.fault_day:
            return day, signs[0]
    return None, None


def seen_day(kiln: charge.Kiln) -> int | None:
    """The morning on which a look found the fault, or it was mended."""
    if kiln.plan.fault is None:
        return None
    fault = charge.fault_of(kiln.plan.fault)
    found = {*fault.found_by, fault.mended_by}
    days = [day for day, one in enumerate(kiln.decisions) if day >= kiln.plan.fault_day and found & set(one.acts)]
    return days[0] if days else None


def stored_pct(mc_pct: float, game: Game) -> float:
    """Moisture content after three months where the lumber was put, at the place and month of lesson 13's shed."""
    place = shed.State(month=SEASONS[game.setup.season][1], target_pct=round(min(max(mc_pct, 5.0), 20.0), 1))
    if game.store == "heated":
        outside = shed.work_out(place)
        place = replace(place, warmer_k=float(outside.needed_k[0]))
    elif game.store == "solid":
        place = replace(place, pack="solid")
    return shed.work_out(place).after_three_months_pct
