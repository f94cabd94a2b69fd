"""Print kilnlib/tables/refrigerant_cycle.csv anew: `python tests/refrigerant_table.py > FILE`.

The numbers come from CoolProp, which only the tests need. A test holds the file to what this prints.
"""

import csv
import sys

from CoolProp.CoolProp import PropsSI

FLUID = "R134a"
EVAPORATING_C = range(-30, 71, 5)
CONDENSING_C = range(20, 96, 5)
SUPERHEAT_K = SUBCOOLING_K = 5.0
ISENTROPIC = 0.70
FIELDS = [
    *("evaporating_c", "condensing_c", "evaporating_kpa", "condensing_kpa", "suction_kg_m3", "cooling_kj_kg"),
    *("work_kj_kg", "rejected_kj_kg", "discharge_c", "ideal_cop", "source", "how"),
]
SOURCE = (
    "CoolProp 8, equation of state of R134a; 5 K superheat, 5 K subcooling, isentropic efficiency 0.70 (ideal_cop: "
    "saturated, no losses)"
)


def cycle(evaporating_c, condensing_c):
    """One row: the cycle between two temperatures, and its ideal cooling for each unit of work."""
    low = PropsSI("P", "T", evaporating_c + 273.15, "Q", 1, FLUID)
    high = PropsSI("P", "T", condensing_c + 273.15, "Q", 0, FLUID)
    suction = {"T": evaporating_c + SUPERHEAT_K + 273.15, "P": low}
    h1, s1, density = (PropsSI(wanted, "T", suction["T"], "P", low, FLUID) for wanted in ("H", "S", "D"))
    work = (PropsSI("H", "P", high, "S", s1, FLUID) - h1) / ISENTROPIC
    h2 = h1 + work
    h3 = PropsSI("H", "T", condensing_c - SUBCOOLING_K + 273.15, "P", high, FLUID)
    g1, t1 = (PropsSI(wanted, "P", low, "Q", 1, FLUID) for wanted in ("H", "S"))
    ideal = (g1 - PropsSI("H", "P", high, "Q", 0, FLUID)) / (PropsSI("H", "P", high, "S", t1, FLUID) - g1)
    discharge = PropsSI("T", "P", high, "H", h2, FLUID) - 273.15
    numbers = (low / 1e3, high / 1e3, density, (h1 - h3) / 1e3, work / 1e3, (h2 - h3) / 1e3, discharge, ideal)
    return [evaporating_c, condensing_c, *(f"{number:.5g}" for number in numbers), SOURCE, "computed"]


def rows():
    """Every pair of temperatures with at least 5 K between them, as text."""
    for evaporating in EVAPORATING_C:
        for condensing in CONDENSING_C:
            if condensing >= evaporating + 5:
                yield cycle(evaporating, condensing)


if __name__ == "__main__":
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(FIELDS)
    writer.writerows(rows())
