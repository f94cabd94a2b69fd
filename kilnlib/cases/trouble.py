"""Ten days of Tamarack Ford's log with at most one thing wrong: the sixteen cases of lesson 14, and new ones by number.

A log is a charge of `physics.charge` that nobody touches. What went wrong is known here; where it first shows is found
by running the same charge on without it: a sign is a reading that differs from that twin by more than a careful reader
would let pass. A single board is a sign where it lags behind the others of its own day, which needs no twin to be seen;
logs are drawn so that no sound board does. The edges of a sign are our own.
"""

import functools
import itertools
import random
from dataclasses import dataclass, replace

from kilnlib.physics import charge
from kilnlib.physics.charge.plan import NUMBERS
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.units import GALLON_M3, f_to_c

FIRST, DAYS = 3, 10  # the log begins on this morning of the charge, when the load is warm
NEW_FROM, NEW_TO = 101, 9999  # numbers of the logs that are drawn
OVERLOOKED = ("against", "told", "look")
# How far a reading must lie from the twin's to be a sign.
BULB_K, LEAVING_K, RATIO, HOURS_H, HOURS_SHARE, POINTS, POINTS_SHARE = 2.0 / 1.8, 2.0 / 1.8, 0.12, 1.5, 0.2, 0.3, 0.1
LAGS, LAGS_FROM = 2.0 / 3.0, 2.0  # a board lags under this share of the others' mean, while that is so many points
OF_ONE_DAY = ("wet_over_dry", "some_boards")  # signs that need no day before: the first column has none
DRAWS, NEXT_DRAW = 40, 10_000  # how often a new log is drawn again at most, and how far on its next seed lies
ENTRY_MIN = NUMBERS["entry_minutes"]
# What a log's first signs alone do not part. A look that rules out one of them is of use.
LOOK_ALIKE = (
    ("iced_coil", "blocked_drain", "compressor_stopped"),  # wet bulb up, bucket down
    ("dry_wick", "wet_bulb_high"),  # compressor up, boards fast
    ("vent_stuck_open", "door_leak", "heater_stuck_on", "heater_dead"),  # wet bulb down, bucket empty
    ("vent_stuck_shut", "heater_stuck_on", "swapped_leads"),  # dry bulb up
    ("slipping_belt", "open_baffle", "reversed_fan", "wet_bulb_low", "probe_in_blast"),  # boards slow, bulbs as set
    ("reversed_fan", "open_baffle", "wet_pockets", "thick_boards"),  # some boards slow
)


@dataclass(frozen=True)
class Scene:
    """A charge: its wood, where it starts, what is dialed, and the day of the year on which it is loaded."""

    wood: str
    start_mc_pct: float
    dry_bulb_c: float
    wet_bulb_c: float
    day_of_year: int


SCENES = {
    "oak": Scene("red oak, northern", 40.0, f_to_c(110.0), f_to_c(98.0), 100),
    "maple": Scene("hard maple", 42.0, f_to_c(110.0), f_to_c(100.0), 290),
    "winter": Scene("yellow-poplar", 85.0, f_to_c(108.0), f_to_c(100.0), 15),
    "summer": Scene("red oak, northern", 40.0, f_to_c(110.0), f_to_c(98.0), 200),
    "mild": Scene("red oak, northern", 40.0, f_to_c(110.0), f_to_c(98.0), 118),  # about 50 °F outdoors
}


@dataclass(frozen=True)
class Trouble:
    """The recipe of a log: the charge, what goes wrong, after which of the ten days, and the seed of the boards."""

    name: str
    scene: str
    fault: str | None
    after: int
    seed: int


QUIET = (
    Trouble("quiet-1", "oak", None, 0, 21),
    Trouble("quiet-2", "winter", None, 0, 22),
    Trouble("quiet-3", "summer", None, 0, 23),
)
CASES = tuple(
    Trouble(f"case-{number}", *recipe)
    for number, recipe in enumerate(
        (
            ("oak", "compressor_stopped", 4, 31),
            ("oak", "dry_wick", 5, 32),
            ("maple", "vent_stuck_open", 3, 33),
            ("winter", "door_leak", 6, 34),
            ("oak", "blocked_drain", 4, 35),
            ("maple", "iced_coil", 5, 36),
            ("winter", "heater_dead", 4, 37),
            ("oak", "heater_stuck_on", 6, 38),
            ("winter", "slipping_belt", 3, 54),
            ("maple", "probe_in_blast", 4, 40),
            ("winter", "wet_pockets", 0, 41),
            ("oak", "swapped_leads", 6, 42),
            ("winter", "open_baffle", 3, 77),
            ("summer", "vent_stuck_shut", 5, 53),
            ("winter", "reversed_fan", 2, 45),
            ("oak", "wet_bulb_low", 3, 46),
        ),
        1,
    )
)
TABLE = Trouble("table", "oak", "probe_in_blast", 3, 60)  # printed in the lesson as the log to find the fault in
IN_WOOD = ("wet_pockets", "thick_boards")  # there from the first day
IN_SUMMER = ("vent_stuck_shut",)  # shows on warm days only
IN_MOVED_AIR = ("slipping_belt", "open_baffle", "reversed_fan")  # these and boards unlike the others show in wet wood


@dataclass(frozen=True)
class Sign:
    """One reading of a day that is not as it would be: what it is, its value and the twin's, in SI.

    Of a board that lags `usual` is the mean of the others.
    """

    code: str
    value: float
    usual: float
    board: int = 0  # its number on the chart, from 1


@dataclass(frozen=True)
class Log:
    """Ten mornings, the one before them, how the kiln stands on the last, and what is wrong on which day."""

    trouble: Trouble
    before: charge.Morning
    mornings: tuple[charge.Morning, ...]
    sound: tuple[charge.Morning, ...]  # all eleven as they would be with nothing wrong
    kiln: charge.Kiln
    signs: tuple[tuple[Sign, ...], ...]  # of each day

    @property
    def scene(self) -> Scene:
        """The charge it is the log of."""
        return SCENES[self.trouble.scene]

    @property
    def first_day(self) -> int | None:
        """The day of the first wrong sign, from 1; None where nothing is wrong."""
        return next((day for day, signs in enumerate(self.signs, 1) if signs), None)

    @property
    def points(self) -> tuple[tuple[float, ...], ...]:
        """What each sample board lost in each day."""
        return tuple(points_lost(*pair) for pair in zip((self.before, *self.mornings), self.mornings, strict=False))

    @property
    def kwh_a_gallon(self) -> tuple[float | None, ...]:
        """Electricity of each day for each gallon in the bucket."""
        return tuple(map(kwh_a_gallon, self.mornings))


def points_lost(before: charge.Morning, after: charge.Morning) -> tuple[float, ...]:
    """What each sample board lost from one morning to the next [points]."""
    return tuple(old - new for old, new in zip(before.sample_mc_pct, after.sample_mc_pct, strict=True))


def kwh_a_gallon(morning: charge.Morning) -> float | None:
    """Electricity for each gallon in the bucket; None where the bucket is as good as empty."""
    gallons = morning.bucket_kg / (GALLON_M3 * WATER_KG_M3)
    return morning.electricity_kwh / gallons if gallons >= 0.5 else None


def names() -> tuple[str, ...]:
    """The logs of the fixed set: quiet ones first."""
    return tuple(one.name for one in (*QUIET, *CASES))


def trouble(name: str) -> Trouble:
    """The recipe of a log by its name: "quiet-1", "case-7" or "new-123", which is drawn from its number."""
    fixed = {one.name: one for one in (*QUIET, *CASES, TABLE)}
    return fixed[name] if name in fixed else _drawn(int(name.removeprefix("new-")))


def _drawn(number):
    """The recipe of a number, always the same; one in eight has nothing wrong. `log` may take a later seed."""
    dice = random.Random(number)
    faults = [fault.code for fault in charge.faults()]
    fault = None if dice.random() < 0.125 else faults[int(dice.random() * len(faults))]
    scenes = ["oak", "maple", "winter"]
    scene = scenes[int(dice.random() * len(scenes))]
    if fault in IN_SUMMER:
        scene = "summer"
    if fault in (*IN_MOVED_AIR, *IN_WOOD):
        scene = "winter"
    after = 2 + int(dice.random() * (2 if fault in IN_MOVED_AIR else 5))  # while the wood is wet enough to show it
    return Trouble(f"new-{number}", scene, fault, 0 if fault in (None, *IN_WOOD) else after, number)


def _plan(recipe):
    scene = SCENES[recipe.scene]
    plan = charge.Plan(
        wood=scene.wood,
        green_mc_pct=scene.start_mc_pct,
        seed=recipe.seed,
        start_day_of_year=scene.day_of_year,
        fault=recipe.fault,
        fault_day=float(FIRST - 1 + recipe.after),
    )
    return _with_an_odd_board(plan) if recipe.fault in IN_WOOD else plan


def _with_an_odd_board(plan):
    """Weigh a board that is unlike the others too, the slowest, in place of the last."""
    drawn = charge.draw(plan)
    odd = [number for number, one in enumerate(drawn) if one.kind != "plain"]
    plain = [number for number, one in enumerate(drawn) if one.kind == "plain"]
    chosen = [plain[at * len(plain) // 5] for at in range(5)]
    slowest = min(odd, key=lambda number: drawn[number].board.rate_factor)
    return replace(plan, samples=tuple(sorted((*chosen, slowest))))


def on(kiln: charge.Kiln, scene: Scene) -> charge.Kiln:
    """One day on, as dialed."""
    return charge.next_day(kiln, charge.Decision(scene.dry_bulb_c, scene.wet_bulb_c))


@functools.lru_cache(maxsize=64)
def log(name: str) -> Log:
    """The log of that name, with every sign on it; a new one is drawn again until it is fair to its reader."""
    recipe = trouble(name)
    if not name.startswith("new-"):
        return _run(recipe)
    for again in range(DRAWS):
        drawn = _run(replace(recipe, seed=recipe.seed + again * NEXT_DRAW))
        if fair(drawn):
            return drawn
    raise AssertionError(f"no fair log for {name} in {DRAWS} draws")


def fair(log: Log) -> bool:
    """Whether no board lags with nothing wrong, and the fault shows on the morning after it began."""
    quiet = not any(lagging(points_lost(*pair)) for pair in itertools.pairwise(log.sound))
    return quiet and log.first_day == (log.trouble.after + 1 if log.trouble.fault else None)


def _run(recipe):
    scene, kiln = SCENES[recipe.scene], charge.start(_plan(recipe))
    twin = charge.start(replace(kiln.plan, fault=None)) if recipe.fault in IN_WOOD else None
    for _ in range(FIRST - 1 + DAYS):
        if twin is None and recipe.fault and kiln.day >= kiln.plan.fault_day:
            twin = replace(kiln, plan=replace(kiln.plan, fault=None))
        kiln = on(kiln, scene)
        if twin is not None:
            twin = on(twin, scene)
    lines = kiln.log[FIRST - 1 :]
    sound = (kiln if twin is None else twin).log[FIRST - 1 :]
    signs = [signs_between(*pairs) for pairs in zip(lines, lines[1:], sound, sound[1:], strict=False)]
    signs[0] = tuple(sign for sign in signs[0] if sign.code in OF_ONE_DAY)
    return Log(recipe, lines[0], tuple(lines[1:]), tuple(sound), kiln, tuple(signs))


def lagging(points: tuple[float, ...]) -> tuple[int, ...]:
    """Boards that lost less than two thirds of what the others lost, while these lose 2 points or more; from 0, the
    slowest first."""
    others = [(sum(points) - one) / (len(points) - 1) for one in points]
    slow = [at for at, one in enumerate(points) if others[at] >= LAGS_FROM and one < LAGS * others[at]]
    return tuple(sorted(slow, key=lambda at: points[at]))


def signs_between(
    before: charge.Morning, now: charge.Morning, twin_before: charge.Morning, twin: charge.Morning
) -> tuple[Sign, ...]:
    """The signs of a day beside a twin's, in which nothing is wrong; the plainest first."""
    found = []

    def differs(code, value, usual, edge):
        if abs(value - usual) >= edge - 1e-6:
            found.append(Sign(f"{code}_{'up' if value > usual else 'down'}", value, usual))

    if now.wet_bulb_c > now.dry_bulb_c + BULB_K:
        found.append(Sign("wet_over_dry", now.wet_bulb_c, now.dry_bulb_c))
    differs("wet_bulb", now.wet_bulb_c, twin.wet_bulb_c, BULB_K)
    differs("dry_bulb", now.dry_bulb_c, twin.dry_bulb_c, BULB_K)
    drop, usual = (one.dry_bulb_c - one.dry_bulb_leaving_c for one in (now, twin))
    differs("drop", drop, usual, LEAVING_K)
    for part in ("compressor", "strips", "vent"):
        value, usual = (getattr(one, f"{part}_hours") for one in (now, twin))
        differs(part, value, usual, max(HOURS_H, HOURS_SHARE * usual))
    if now.load_loss_kg > 0.0 and twin.load_loss_kg > 0.0:
        differs("ratio", now.bucket_ratio, twin.bucket_ratio, RATIO)
    mine, theirs = points_lost(before, now), points_lost(twin_before, twin)
    slow = [board for board in lagging(mine) if board not in lagging(theirs)]
    alike = [board for board in range(len(mine)) if board not in slow]
    mean, usual = (sum(points[board] for board in alike) / len(alike) for points in (mine, theirs))
    differs("boards", mean, usual, max(POINTS, POINTS_SHARE * abs(usual)))
    if slow:
        others = (sum(mine) - mine[slow[0]]) / (len(mine) - 1)
        found.append(Sign("some_boards", mine[slow[0]], others, slow[0] + 1))
    return tuple(found)


@functools.lru_cache(maxsize=32)
def third_morning(fault: str) -> charge.Morning:
    """The third morning after a fault began in oak on a mild day, for whoever doubts the kiln."""
    recipe = Trouble("third", "mild", fault, 3, 1)
    kiln = charge.start(_plan(recipe))
    for _ in range(FIRST - 1 + recipe.after + 3):
        kiln = on(kiln, SCENES[recipe.scene])
    return kiln.log[-1]


def look(name: str, test: str) -> charge.Observation:
    """What a test says on the last morning of a log."""
    return charge.examine(log(name).kiln, test)


def tests() -> dict[str, charge.Act]:
    """Every test there is, those from outside first, of each the quickest first."""
    found = {code: act for code, act in charge.acts().items() if act.kind == "test"}
    return dict(sorted(found.items(), key=lambda one: (one[1].inside, one[1].minutes)))


def minutes(looked: tuple[str, ...], counted: tuple[str, ...] | None = None) -> float:
    """What looks took, in their order: those inside that follow one another share one way in. With `counted` only these
    looks count, and the ways in that led to one of them."""
    taken = 0.0
    for inside, trip in itertools.groupby(looked, key=lambda test: tests()[test].inside):
        counts = [tests()[test].minutes for test in trip if counted is None or test in counted]
        taken += sum(counts) + (ENTRY_MIN if inside and counts else 0.0)
    return taken


def of_use(name: str, looked: tuple[str, ...]) -> tuple[str, ...]:
    """The looks that find the cause of a log, or rule out one that its first signs do not part from it."""
    real = trouble(name).fault
    left = {cause for group in LOOK_ALIKE if real in group for cause in group} - {real}
    use = []
    for test in looked:
        ruled_out = {cause for cause in left if test in finds(cause)}
        if test in finds(real) or ruled_out:
            use.append(test)
        left -= ruled_out
    return tuple(use)


def causes() -> tuple[str, ...]:
    """Codes of all that can be wrong."""
    return tuple(fault.code for fault in charge.faults())


def mends() -> tuple[str, ...]:
    """Codes of all that can be done about it."""
    return tuple(dict.fromkeys(fault.mended_by for fault in charge.faults()))


def mend_of(fault: str) -> str:
    """Code of what mends a fault."""
    return charge.fault_of(fault).mended_by


def finds(fault: str | None) -> tuple[str, ...]:
    """Codes of the looks that find a fault; none where nothing is wrong."""
    return charge.fault_of(fault).found_by if fault else ()


def danger_of(fault: str) -> str:
    """What a fault does to the wood meanwhile."""
    return charge.fault_of(fault).danger


def day_verdict(name: str, day: int | None) -> str:
    """What to say of the marked day: "right", "quiet" for nothing rightly seen, "near", "late", "early", "missed" or
    "nothing_there"."""
    first = log(name).first_day
    if day is None or first is None:
        return "quiet" if day == first else "missed" if first else "nothing_there"
    if day == first:
        return "right"
    return "near" if day == first + 1 else "late" if day > first else "early"


def overlooked(name: str, cause: str, looked: tuple[str, ...]) -> tuple[str, str]:
    """Why a wrong cause does not fit a log with another: a code, and the test it is about.

    ("against", test): a look that would have found it said that all is well; ("told", test): a look found something
    else; ("look", test): nothing that was looked at tells, this would.
    """
    fault = charge.fault_of(cause)
    said = {test: look(name, test) for test in looked}
    against = [test for test in fault.found_by if test in said and not said[test].wrong]
    if against:
        return "against", against[0]
    told = [test for test, one in said.items() if one.wrong and test not in fault.found_by]
    if told:
        return "told", told[0]
    tells = charge.fault_of(trouble(name).fault or cause).found_by
    return "look", next((test for test in tells if test not in said), tells[0])
