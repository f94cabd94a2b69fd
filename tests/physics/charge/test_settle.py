"""Half a day of a charge as one step beside the same hours minute by minute: bucket and kWh of days charges have.

Each charge goes by its card at Tamarack Ford. On the first day at or below a moisture content the machine is given
the same load, air and dials as in the charge, and run by the minute through both halves of the day.
"""

import functools
import importlib

import pytest

from kilnlib.physics import charge
from kilnlib.physics.machine import run, settle

KILN = importlib.import_module("kilnlib.physics.charge.kiln")
WOODS = {"oak": "red oak, northern", "maple": "hard maple", "poplar": "yellow-poplar"}
SEASONS = {"winter": 15, "spring": 100, "summer": 200}  # day of the year at the start
MARKS_PCT = (60, 40, 25, 12)
WARM_DAY = 2  # the first two days warm the load
LONGEST_DAYS = 60


@functools.lru_cache
def days(wood, season):
    """What the machine was last asked, and said, in each half of the first day at or below each mark."""
    plan = charge.Plan(wood=WOODS[wood], start_day_of_year=SEASONS[season])
    kiln, found, asked = charge.start(plan), {}, []

    def settle_and_note(*args):
        answer = settle(*args)
        asked.append((args[:-1], answer))
        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(KILN, "settle", settle_and_note)
        while len(found) < len(MARKS_PCT) and kiln.day < LONGEST_DAYS:
            asked.clear()
            before = kiln
            kiln = charge.next_day(kiln, charge.Decision(*charge.card_bulbs_c(plan, charge.controlling(kiln))))
            last = {id(balance): (args, balance) for args, (_, balance, _) in asked}
            halves = [last[id(one.balance)] for one in kiln.truth.stretches[len(before.truth.stretches) :]]
            reached = [mark for mark in MARKS_PCT if mark not in found and before.mean_mc_pct <= mark]
            if reached and before.day >= WARM_DAY:
                found[reached[0]] = halves
    return found


def both(wood, season, mark):
    """Bucket [kg] and electricity [kWh] of the day: as the charge has it, and minute by minute."""
    settled, minutes, state = [0.0, 0.0], [0.0, 0.0], None
    for (chamber, load, start, setting, outdoors, hours), balance in days(wood, season)[mark]:
        settled[0] += balance.drained_kgs * 3600.0 * hours
        settled[1] += balance.electricity_w * hours / 1000.0
        by_minute = run(chamber, load, state or start, setting, outdoors, hours)
        state = by_minute.states[-1]
        minutes[0] += by_minute.drained_kg
        minutes[1] += by_minute.electricity_kwh
    return settled, minutes


# The step lets the air stand a quarter of the dead band over the wet-bulb dial. By the minute it stands elsewhere, for
# the compressor must rest, and wood in air this wet gives noticeably less for it. With the means of a few hours by the
# minute, as `hourly` has them, 31 of the 36 days of three woods, three seasons and four moisture contents agree instead
# of 14; but every charge of lessons 14 and 15 would change with them.
STANDS = pytest.mark.xfail(strict=True, reason="air stands elsewhere in its dead band: bucket off by 8 to 18 %")
# There the wood gives nothing more before the dead band's upper end: by the minute the compressor never starts.
NEVER = pytest.mark.xfail(strict=True, reason="wood at rest within the dead band: 37 kg beside none")
# Much water and little air: it gets far wetter while the compressor rests, and the coil then does more for its kWh.
RESTS = pytest.mark.xfail(strict=True, reason="coil meets wetter air after each rest: kWh off by 5 to 7 %")
# The compressor's run warms the air past the vent's mark, and the strips then make up for what the vent let out.
VENT = pytest.mark.xfail(strict=True, reason="vent and strips in turns: bucket off by 16 %, kWh by 30 %")
DAYS = [
    pytest.param("oak", "winter", 60, marks=STANDS),
    pytest.param("oak", "spring", 40, marks=NEVER),
    pytest.param("oak", "summer", 25, marks=RESTS),
    ("oak", "winter", 12),
    pytest.param("maple", "spring", 60, marks=STANDS),
    ("maple", "summer", 40),
    ("maple", "winter", 25),
    ("maple", "spring", 12),
    pytest.param("poplar", "summer", 60, marks=VENT),
    pytest.param("poplar", "winter", 40, marks=STANDS),
    pytest.param("poplar", "spring", 25, marks=RESTS),
    ("poplar", "summer", 12),
]


@pytest.mark.parametrize(("wood", "season", "mark"), DAYS)
def test_bucket_and_kwh_of_a_day_agree(wood, season, mark):
    (bucket_kg, kwh), (bucket_by_minute_kg, kwh_by_minute) = both(wood, season, mark)
    assert bucket_kg == pytest.approx(bucket_by_minute_kg, rel=0.05)
    assert kwh == pytest.approx(kwh_by_minute, rel=0.05)
