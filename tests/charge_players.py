"""So many random players, and so many seeds of the five that play by a rule: what a test has no time for.

python tests/charge_players.py 200 50
"""

import math
import random
import statistics
import sys

import numpy as np

from kilnlib.physics import charge

WOODS = ("red oak, northern", "yellow-poplar", "maple, hard", "pine, eastern white", "oak, white")
CODES = (None, *(fault.code for fault in charge.faults()))


def any_plan(dice):
    """A plan of any wood, load, season and fault."""
    return charge.Plan(
        wood=dice.choice(WOODS),
        green_mc_pct=dice.choice((None, 25.0, 60.0, 120.0)),
        boards=dice.choice((1, 5, 24)),
        board_feet=dice.choice((0.5, 2.0, 4.7)),
        start_day_of_year=dice.randint(1, 366),
        seed=dice.randint(1, 10_000),
        fault=dice.choice(CODES),
        fault_day=float(dice.randint(0, 4)),
        reverses=dice.random() < 0.3,
    )


def any_player(seed, days):
    """Run one random player; fails where the log or the truth holds what cannot be."""
    dice = random.Random(seed)
    kiln = charge.start(any_plan(dice))
    for _ in range(days):
        dry = dice.uniform(15.0, 71.0)
        wet = max(dry - 30.0 * dice.random() ** 2, 0.0)
        acts = tuple(code for code in charge.acts() if dice.random() < 0.05)
        kiln = charge.next_day(kiln, charge.Decision(dry, wet, acts))
    possible(kiln)
    end = charge.outcome(kiln)
    assert 0.0 <= end.lost_pct <= 100.0 and math.isfinite(end.cost.total_usd)


def possible(kiln):
    """Nothing in the log or in the truth that cannot be."""
    for one in kiln.log:
        numbers = [value for value in vars(one).values() if isinstance(value, float)]
        assert all(math.isfinite(value) for value in numbers), one
        assert all(0.0 <= hours <= 24.05 for hours in (one.compressor_hours, one.strips_hours, one.vent_hours))
        assert one.bucket_kg >= 0.0 and one.electricity_kwh >= 0.0 and one.starts >= 0
        assert -30.0 < one.dry_bulb_c < 90.0 and -30.0 < one.wet_bulb_c < 90.0
        assert all(0.0 < weight < 100.0 for weight in one.sample_weights_kg)
    mc = kiln.truth.mc_pct
    assert np.isfinite(mc).all() and (mc > 0.0).all() and (mc < 250.0).all()
    for stretch in kiln.truth.stretches:
        assert stretch.wet_bulb_c <= stretch.dry_bulb_c + 1e-6


def medians(seeds, wood="red oak, northern"):
    """Median score of each player over seeds, with every third charge sound."""
    scores = {name: [] for name in charge.PLAYERS}
    for seed in seeds:
        plan = charge.Plan(wood=wood, seed=seed, fault=(None, "dry_wick", "door_leak")[seed % 3])
        best = charge.play(plan, charge.PLAYERS["reference"])
        for name, player in charge.PLAYERS.items():
            kiln = best if name == "reference" else charge.play(plan, player)
            scores[name].append(charge.score(kiln, best).total)
    return {name: statistics.median(values) for name, values in scores.items()}


if __name__ == "__main__":
    players, seeds = (int(word) for word in (*sys.argv[1:], "200", "50")[:2])
    for seed in range(players):
        any_player(seed, days=4)
    print(f"{players} random players, nothing impossible")
    print({name: round(value, 1) for name, value in medians(range(1, seeds + 1)).items()})
