"""Changes each row of advice.csv in turn, up and down by a plausible step, and sees that the test of its name fails.

python tests/advice_drift.py [NAME …]     all rows take a few minutes. Nothing on disk is changed.
"""

import csv
import multiprocessing
import sys
from pathlib import Path

import IPython  # noqa: F401  what every child needs is loaded once
import ipywidgets  # noqa: F401
import matplotlib.figure  # noqa: F401
import numpy.testing  # noqa: F401
import pytest  # noqa: F401
import scipy.optimize  # noqa: F401

TEST = Path(__file__).with_name("test_advice.py")
SHARE = 0.1  # how far a row is moved; a whole number by one
SECONDS = 120


def moved(name, value, answer):
    """Run the test of a row in this process, which ends with it, as if the table had another value."""
    from kilnlib import tables

    rows = tuple(row | {"value": value} if row["name"] == name else row for row in tables._rows("advice"))
    read = tables._rows
    tables._rows = lambda table: rows if table == "advice" else read(table)
    sys.path.insert(0, str(TEST.parent))
    import test_advice

    try:
        test_advice.test_advice(name)
    except AssertionError:
        answer.put("failed")
    except Exception as error:
        answer.put(repr(error))
    else:
        answer.put("passed")


def steps(value, whole):
    """The values to try: a count by one, everything else by a tenth."""
    return (value - 1, value + 1) if whole else (value * (1 - SHARE), value * (1 + SHARE))


def caught(name, value):
    """Whether the test of a row fails with another value: it ran to its end, and failed."""
    context = multiprocessing.get_context("fork")  # Linux and macOS
    answer = context.Queue()
    child = context.Process(target=moved, args=(name, f"{value:.6g}", answer))
    child.start()
    outcome = answer.get(timeout=SECONDS)
    child.join(SECONDS)
    return outcome == "failed"


def counts():
    """Names of the rows whose case counts by one, as the test file writes them: in a child."""
    context = multiprocessing.get_context("fork")
    answer = context.Queue()
    child = context.Process(target=_counts, args=(answer,))
    child.start()
    names = answer.get(timeout=SECONDS)
    child.join(SECONDS)
    return names


def _counts(answer):
    sys.path.insert(0, str(TEST.parent))
    from test_advice import CASES

    answer.put({name for name, case in CASES.items() if isinstance(case[1], int)})


def main(names):
    """Try every row, print what was caught, and return how many slipped through."""
    with (TEST.parents[1] / "kilnlib" / "tables" / "advice.csv").open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if not names or row["name"] in names]
    missed, whole = 0, counts()
    for row in rows:
        name = row["name"]
        tried = [(value, caught(name, value)) for value in steps(float(row["value"]), name in whole)]
        missed += sum(not seen for _, seen in tried)
        shown = ", ".join(f"{value:.4g} {'caught' if seen else 'MISSED'}" for value, seen in tried)
        print(f"{name} {row['value']}: {shown}", flush=True)
    print(f"{len(rows)} rows, {2 * len(rows)} changes, {missed} missed")
    return missed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]) > 0)
