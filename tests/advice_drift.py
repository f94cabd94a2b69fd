"""Changes each row of advice.csv in turn, up and down by a plausible step, and sees that the test of its name fails.

python tests/advice_drift.py [NAME …]     all rows take about ten minutes. Nothing on disk is changed.
"""

import csv
import subprocess
import sys
from importlib import resources
from pathlib import Path

TEST = Path(__file__).with_name("test_advice.py")
SHARE = 0.1  # how far a row is moved; a whole number by one
SECONDS = 120


def moved(name, value):
    """Run the test of a row in this process as if the table had another value."""
    import pytest

    from kilnlib import tables

    rows = tuple(row | {"value": value} if row["name"] == name else row for row in tables._rows("advice"))
    read = tables._rows
    tables._rows = lambda table: rows if table == "advice" else read(table)
    quiet = ["-q", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb=no"]
    return pytest.main([f"{TEST}::test_advice[{name}]", *quiet])


def steps(name, value):
    """The values to try: a count by one, everything else by a tenth."""
    sys.path.insert(0, str(TEST.parent))
    from test_advice import CASES

    if isinstance(CASES[name][1], int):
        return value - 1, value + 1
    return value * (1 - SHARE), value * (1 + SHARE)


def caught(name, value):
    """Whether the test of a row fails with another value: one failed, none broken off."""
    command = [sys.executable, __file__, "--one", name, f"{value:.6g}"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=SECONDS)
    return done.returncode == 1 and "1 failed" in done.stdout


def main(names):
    """Try every row, print what was caught, and return how many slipped through."""
    with (resources.files("kilnlib.tables") / "advice.csv").open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if not names or row["name"] in names]
    missed = 0
    for row in rows:
        tried = [(value, caught(row["name"], value)) for value in steps(row["name"], float(row["value"]))]
        missed += sum(not seen for _, seen in tried)
        shown = ", ".join(f"{value:.4g} {'caught' if seen else 'MISSED'}" for value, seen in tried)
        print(f"{row['name']} {row['value']}: {shown}", flush=True)
    print(f"{len(rows)} rows, {2 * len(rows)} changes, {missed} missed")
    return missed


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        sys.exit(moved(*sys.argv[2:4]))
    sys.exit(main(sys.argv[1:]) > 0)
