"""Eighty situations with what an experienced operator would do, written down before the check knew its stages.

tests/data/advice_situations.csv was written from the handbooks' text before the first run, but by someone who had read
the check. What counts is the verdict and what the advice tells a person to do with the knobs, both.
"""

from collections import Counter

import oracles

from kilnlib import units
from kilnlib.errors import KilnError
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.schedules import met, reach
from kilnlib.physics.setpoint import check_setpoint
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
ROWS = oracles.rows("advice_situations")
KNOWN = {  # id: what ours does, and why both stay
    "DO37": "opens to 96: the step of T4-C2 has 14 °F here; the row was written with the 30 °F of red oak in mind",
    "DO49": "122 over 160 °F is EMC 5, as Wengert prints it; the row has the wet bulbs of 150 °F",
    "DO54": "116, the step's RH in this kiln: four degrees drier than the row would leave it",
}
SAME_C = 0.5 / 1.8
MOST_MOISTER_PCT = 3.0  # no more EMC at once while the wood dries
MOST_OPENING_C = 10.5 / 1.8


def checked(row):
    """The check of a situation, or None where the readings are refused."""
    kiln = ThisKiln() if row["kiln"] == "tamarack" else None
    asked = (row["species"], row["thickness"], float(row["mc_pct"]), F(float(row["dry_bulb_f"])))
    more = {"stage": row["stage"]} if row["stage"] else {}
    try:
        return check_setpoint(*asked, F(float(row["wet_bulb_f"])), kiln=kiln, **more)
    except KilnError:
        return None


def told(row, check):
    """What the advice tells a person to do with the knobs, as a word of the table, or what is wrong with it."""
    if check is None:
        return "refused"
    if check.change.code == "hold_check_wick":
        return "check"
    now, then = check.numbers, check.change
    hotter, wetter = then.dry_bulb_c - now.dry_bulb_c, then.wet_bulb_c - now.wet_bulb_c
    if abs(hotter) < SAME_C and abs(wetter) < SAME_C:
        return "hold"
    rh = air.rh_pct(then.dry_bulb_c, then.wet_bulb_c, now.pressure_pa)
    moister = emc.emc_pct(then.dry_bulb_c, rh) - now.emc_pct
    if row["change"] == "set":
        kiln = ThisKiln()
        return "beyond" if met(reach(then.dry_bulb_c, then.wet_bulb_c, kiln), kiln) else "set"
    if row["change"] == "ease":
        milder = (hotter < SAME_C and moister > 0.2) or hotter < -SAME_C
        soaks = moister > MOST_MOISTER_PCT and not row["stage"].startswith("loaded")  # faces from the yard are moist
        return "harsher" if not milder else "soaks" if soaks else "ease"
    if hotter < -SAME_C:
        return "soaks" if moister > MOST_MOISTER_PCT else "cooler"
    if hotter > SAME_C:
        return "hotter"
    if wetter > 0.0:
        return "wetter"
    return "too much" if row["group"] == "mild" and -wetter > MOST_OPENING_C else "drier"


def agrees(row):
    """Whether verdict and change are what the operator would do; the change beside it, for the print."""
    check = checked(row)
    verdict, change = ("refused" if check is None else check.verdict), told(row, check)
    wet = None if check is None else units.c_to_f(check.change.wet_bulb_c)
    inside = all(
        not row[name] or (wet - float(row[name])) * sign >= -0.5
        for name, sign in (("wet_low_f", 1), ("wet_high_f", -1))
    )
    return verdict in row["verdict"].split("|") and change == row["change"] and inside, (verdict, change, wet)


def test_eighty_situations():
    """Before the stages 23 of them agreed, in the first run after 72; now all but those named with a reason."""
    groups = Counter(row["group"] for row in ROWS)
    assert len(ROWS) == 80 and groups["too hard"] >= 20 and groups["mild"] >= 15 and groups["late"] >= 15
    assert groups["reading"] >= 10 and groups["beyond"] >= 10
    assert sum(row["change"] == "hold" for row in ROWS) <= 0.35 * len(ROWS)  # "hold" always would not do
    told_apart = {row["id"]: agrees(row) for row in ROWS}
    off = {name: ours for name, (right, ours) in told_apart.items() if not right}
    print(f"agrees in {len(ROWS) - len(off)} of {len(ROWS)}; before the stages 23, in the first run after 72", off)
    assert set(off) == set(KNOWN)
