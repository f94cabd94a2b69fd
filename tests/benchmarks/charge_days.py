"""Processor time of each day of simulated charges: python tests/benchmarks/charge_days.py [wood]

Each charge is gone through three times from its start, each time with nothing known of what its machine does; a day's
number is the best of the three. `BUDGET_MS` is what a day may take. No peer does the like, so the milliseconds hold for
the machine they were measured on.
"""

import sys
import time

from kilnlib.physics import charge
from kilnlib.physics.machine import works

BUDGET_MS, DAYS, REPEATS, FAULT_DAY = 30.0, 10, 3, 3.0
SEASONS = {"winter": 15, "summer": 200}


def day_ms(plan):
    """Milliseconds of each day: by the card, until the end of the count."""
    works.known.cache_clear()
    kiln, days = charge.start(plan), []
    for _ in range(DAYS):
        decision = charge.Decision(*charge.card_bulbs_c(plan, charge.controlling(kiln)))
        start = time.process_time()
        kiln = charge.next_day(kiln, decision)
        days.append(1e3 * (time.process_time() - start))
    return days


def main(woods):
    """Print the table; the exit code says whether every day kept the budget."""
    over = days = 0
    print("ms of processor a day".ljust(44), *(f"{day:5d}" for day in range(1, DAYS + 1)))
    for wood in woods:
        for fault in (None, *(fault.code for fault in charge.faults())):
            for season, start in SEASONS.items():
                plan = charge.Plan(wood=wood, fault=fault, fault_day=FAULT_DAY, start_day_of_year=start)
                best = [min(times) for times in zip(*(day_ms(plan) for _ in range(REPEATS)), strict=True)]
                over, days = over + sum(ms > BUDGET_MS for ms in best), days + len(best)
                name = f"{wood.split(',')[0]}, {season}, {fault or 'no fault'}"
                print(name.ljust(44), *(f"{ms:5.1f}" for ms in best), flush=True)
    print(f"{over} of {days} days took more than {BUDGET_MS:g} ms")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or ["yellow-poplar", "red oak, northern"]))
