"""Follow the setpoint check's advice in four kilns: python tests/follow_advice.py 10000 [seed [1/4]].

Each start is a wood of the index, a moisture content and two bulbs. The advice is dialed in whole degrees Fahrenheit,
as a person would, and asked again, until it says hold. It prints every walk that does not settle, and every one that
goes through a verdict harsher than in step after one that was not, or harsher than the one before.
"""

import itertools
import random
import sys
from collections import Counter
from dataclasses import replace

from kilnlib import units
from kilnlib.physics.schedules import thicknesses_for
from kilnlib.physics.setpoint import check_setpoint
from kilnlib.physics.wood import species_names
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
SHIPPED = ThisKiln()
KILNS = {
    "none": None,
    "steam": replace(SHIPPED, top_dry_bulb_c=F(200), coil_wet_bulb_limit_c=F(190), driest_rh_pct=10.0),
    "shipped": SHIPPED,
    "small": replace(SHIPPED, top_dry_bulb_c=F(120), coil_wet_bulb_limit_c=F(110)),
}
MOST_MOVES = 60
HARSH = {"in step": 0, "gentler": 0, "beyond this kiln": 0, "outside the tables": 0, "harder": 1, "too hard": 2}


def starts(count, seed):
    """So many starts: wood, thickness, moisture content, dry bulb and wet bulb [°F], name of the kiln."""
    drawn = random.Random(seed)
    woods = [(wood, size) for wood in species_names("schedule") for size in thicknesses_for(wood)]
    for _ in range(count):
        dry = drawn.randint(85, 165)
        wet = dry - drawn.randint(2, min(60, dry - 65))
        yield (*drawn.choice(woods), drawn.randint(6, 90), dry, wet, drawn.choice(list(KILNS)))


def walk(wood, size, mc, dry, wet, kiln, stage="drying"):
    """The moves from a start, (dry bulb, wet bulb, verdict, code of the change), to where the advice holds."""
    moves = []
    for _ in range(MOST_MOVES):
        check = check_setpoint(wood, size, mc, F(dry), F(wet), kiln=KILNS[kiln], stage=stage)
        moves.append((dry, wet, check.verdict, check.change.code))
        there = tuple(round(units.c_to_f(bulb)) for bulb in (check.change.dry_bulb_c, check.change.wet_bulb_c))
        if there == (dry, wet):
            return moves
        dry, wet = there
    return moves


def fault(moves):
    """What is wrong with a walk, or None."""
    if len(moves) == MOST_MOVES:
        return "does not settle"
    levels = [HARSH[verdict] for _, _, verdict, _ in moves]
    if any(after > before for before, after in itertools.pairwise(levels)):
        return "gets harsher"
    code = moves[-1][3]
    return None if code.startswith(("hold", "ask")) else f"stays on {code}"


def main(count, seed=1, part=0, parts=1):
    """Walk them all, or every so many-th; returns how many went wrong."""
    faults, lengths = Counter(), Counter()
    for number, start in itertools.islice(enumerate(starts(count, seed)), part, None, parts):
        try:
            moves = walk(*start, stage="drying" if number % 2 else None)
        except Exception as error:  # bulbs that cannot be at the altitude of the kiln are refused
            if getattr(error, "code", "") not in ("wet_too_low",):
                raise
            lengths["refused"] += 1
            continue
        wrong = fault(moves)
        lengths[len(moves) - 1] += 1
        if wrong:
            faults[start[-1], wrong] += 1
            if sum(faults.values()) <= 25:
                print(wrong, start, *moves[:3], "…", *moves[-3:], sep="\n    ")
    print("moves to where it holds:", dict(sorted(lengths.items(), key=str)))
    print("faults:", dict(faults), "of", lengths.total())
    return sum(faults.values())


if __name__ == "__main__":
    numbers = " ".join(sys.argv[1:]).replace("/", " ").split()
    sys.exit(min(main(*map(int, numbers)), 1))
