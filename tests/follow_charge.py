"""Walk invented charges through sheet, check and wall card: python tests/follow_charge.py 200 [seed [1/4]].

Each charge is dried by the engine, with boards that are faster or slower than it knows, a wet bulb that wavers, and a
scale that shows hundredths of a pound. Each weighing the sheet is asked what to do, and that is dialed. It prints every
morning on which two of the three tools contradict each other, and how well boards and ready-on day were foretold.
"""

import datetime
import functools
import itertools
import random
import re
import sys
from collections import Counter
from dataclasses import dataclass, field, replace

from kilnlib.bench.desk.setpoint import card
from kilnlib.errors import KilnError
from kilnlib.physics.daily import own_morning
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing
from kilnlib.physics.schedules import code_for, ladder, step_at
from kilnlib.physics.setpoint import DRYING, HARSH, check_setpoint
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.store.kiln import ThisKiln
from kilnlib.units import LB_KG, c_to_f, f_to_c

KILN = ThisKiln()
FIRST = datetime.datetime(2026, 3, 2, 7, 0)
DAY = datetime.timedelta(days=1)
LOOK_FIRST = {"faster_than_air", "slower_than_air", "look_first"}  # the sheet alone can know that a reading is wrong
STEP_KG = 0.01 * LB_KG
WOODS = (("red oak", "4/4"), ("hard maple", "4/4"), ("yellow-poplar", "4/4"), ("white ash", "5/4"),
         ("white oak", "4/4"), ("black cherry", "4/4"), ("red oak", "8/4"))  # fmt: skip


@dataclass
class Charge:
    """A charge that the engine dries; what `wet_off_f` and `scale_off_kg` are wrong by is on no sheet."""

    seed: int
    wood: tuple[str, str] | None = None
    starts: tuple[float, float] = (30.0, 70.0)
    wet_off_f: float = 0.0
    scale_off_kg: float = 0.0
    boards_off_kg: dict[int, float] = field(default_factory=dict)

    def __post_init__(self):
        drawn = self.drawn = random.Random(self.seed)
        self.species, self.size = self.wood or drawn.choice(WOODS)
        count, middle = drawn.randint(4, 6), drawn.uniform(*self.starts)
        self.inside = [middle + drawn.gauss(0.0, 3.0) for _ in range(count)]
        everyone = drawn.gauss(0.0, 0.15)
        self.factors = [2.718 ** (everyone + drawn.gauss(0.0, 0.15)) for _ in range(count)]
        self.solid_kg = [round(drawn.uniform(2.4, 3.2), 3) * LB_KG for _ in range(count)]
        self.bulbs = on_the_card(self, middle)
        self.mcs, self.day = list(self.inside), 0
        rows = [SampleBoard(str(n + 1), (Section(0.02 * (1 + mc / 100), 0.02),)) for n, mc in enumerate(self.mcs)]
        self.sheet = Sheet(f"Invented {self.seed}", self.species, self.size, 7.0, tuple(rows), scale_step_kg=STEP_KG)
        self._weigh()

    def dry(self, days=1):
        """So many days under the bulbs as they are dialed, then a round of weights."""
        wet = min(self.bulbs[1] + self.wet_off_f + self.drawn.gauss(0.0, 0.4), self.bulbs[0])
        step = Step(f_to_c(self.bulbs[0]), f_to_c(wet), None, 24.0 * days)
        thick = rough_thickness_m(self.size)
        for number, (inside, factor) in enumerate(zip(self.inside, self.factors, strict=True)):
            history = dry(Board(self.species, thick, inside, rate_factor=factor), [step])
            self.inside[number] = at_hours(history, [history.hours[-1]])
            self.mcs[number] = float(history.average_pct[-1])
        self.day += days
        self._weigh()

    def dial(self, dry_bulb_c, wet_bulb_c):
        """Bulbs in whole degrees, as a person dials them."""
        self.bulbs = round(c_to_f(dry_bulb_c)), round(c_to_f(wet_bulb_c))

    def _weigh(self):
        when, boards = FIRST + self.day * DAY, []
        for number, (board, mc) in enumerate(zip(self.sheet.boards, self.mcs, strict=True)):
            kg = self.solid_kg[number] * (1.0 + mc / 100.0)
            kg += (self.scale_off_kg + self.boards_off_kg.get(number, 0.0)) if self.day else 0.0
            boards.append(replace(board, weighings=(*board.weighings, Weighing(when, round(kg / STEP_KG) * STEP_KG))))
        air = Air(when, f_to_c(self.bulbs[0]), f_to_c(self.bulbs[1]))
        self.sheet = replace(self.sheet, boards=tuple(boards), air=(*self.sheet.air, air))


@functools.cache
def card_rows(species, size):
    """{number of the schedule's step: (dry bulb, wet bulb) [°F]} as the wall card of this kiln prints them."""
    rows = {}
    for row in card.card(species, size, KILN, "trade", FIRST.date()).rows:
        first, *more = map(int, re.findall(r"\d+", row[0]))
        rows |= dict.fromkeys(range(first, (more or [first])[0] + 1), (int(row[2]), int(row[3])))
    return rows


def on_the_card(charge, mc_pct):
    """(dry bulb, wet bulb) [°F] that the wall card has for a moisture content."""
    rungs = ladder(code_for(charge.species, charge.size).code)
    return card_rows(charge.species, charge.size)[step_at(rungs, mc_pct) + 1]


def contradiction(charge, morning):
    """What two of the three tools say against each other this morning, or None."""
    sheet, daily, change = charge.sheet, morning.daily, morning.change
    mc, bulbs = round(daily.controlling_pct, 1), (sheet.air[-1].dry_bulb_c, sheet.air[-1].wet_bulb_c)
    if daily.action in ("weigh", "stop", "equalize"):
        return None
    asked = {"kiln": KILN, "stage": DRYING, "share_pct": daily.share_pct}  # as one click hands it over
    check = check_setpoint(sheet.species, sheet.thickness, mc, *bulbs, **asked)
    if check.verdict != daily.check.verdict:
        return f"the check calls {check.verdict} what the sheet calls {daily.check.verdict}"
    if daily.action == "advance" and (check.verdict in HARSH or check.change.code.startswith("hold")):
        return f"the sheet moves on where the check says {check.verdict}, {check.change.code}"
    there, holds = (change.dry_bulb_c, change.wet_bulb_c), check.change.code.startswith("hold")
    if daily.action == "hold" and not holds and not LOOK_FIRST & {reason.code for reason in daily.reasons}:
        return f"the sheet holds where the check says {check.change.code}"
    if daily.action in ("ease", "advance") and there != (check.change.dry_bulb_c, check.change.wet_bulb_c):
        return f"the sheet dials {there} where the check says {check.change.code}"
    if check.verdict not in HARSH:
        after = check_setpoint(sheet.species, sheet.thickness, mc, *there, kiln=KILN, stage=DRYING).verdict
        if after in HARSH:
            return f"what the sheet dials the check calls {after}"
    if charge.bulbs == on_the_card(charge, mc) and (daily.action == "advance" or check.verdict in HARSH):
        return f"the wall card has these bulbs, the check says {check.verdict}, the sheet {daily.action}"
    return None


def walk(charge, mornings=8, days=2):
    """Follow the sheet's own advice; yields (what it said, contradiction or None) each morning but the first."""
    for _ in range(mornings):
        charge.dry(days)
        try:
            morning = own_morning(charge.sheet, KILN)
        except KilnError as error:
            yield None, f"{error.code}"
            return
        yield morning, contradiction(charge, morning)
        charge.dial(morning.change.dry_bulb_c, morning.change.wet_bulb_c)
        if morning.daily.action == "stop":
            return


def main(count, seed=1, part=0, parts=1):
    """Walk them all, or every so many-th; returns on how many mornings something was contradicted."""
    said, wrong, inside, told = Counter(), Counter(), 0, 0
    for number in itertools.islice(range(count), part, None, parts):
        charge = Charge(1000 * seed + number)
        for morning, contradicted in walk(charge):
            if morning is not None:
                said[morning.daily.action] += 1
                told += len(morning.missed)
                inside += sum(not miss.outside for miss in morning.missed)
            if contradicted:
                wrong[contradicted] += 1
                print(number, charge.species, charge.size, charge.bulbs, contradicted)
    print("mornings:", dict(said), "boards within the likely error:", inside, "of", told)
    print("contradictions:", dict(wrong))
    return wrong.total()


if __name__ == "__main__":
    numbers = " ".join(sys.argv[1:]).replace("/", " ").split()
    sys.exit(min(main(*map(int, numbers)), 1))
