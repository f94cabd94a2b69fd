"""Handbook numbers: one row one fact, each with its source and how it is known (retrieved, computed, memory)."""

import csv
import functools
from collections import Counter
from importlib import resources

from kilnlib.errors import NotFound

HOW = ("retrieved", "computed", "memory", "common practice", "tuned")


def names():
    """Names of all tables, sorted."""
    return sorted(f.name[:-4] for f in resources.files(__name__).iterdir() if f.name.endswith(".csv"))


def _file(name):
    if name not in names():
        raise NotFound("unknown_table", name=name, names=", ".join(names()))
    return resources.files(__name__) / f"{name}.csv"


@functools.cache
def _read(name):
    import pandas as pd  # slow to load, and a panel does without

    with _file(name).open(encoding="utf-8") as stream:
        return pd.read_csv(stream, keep_default_na=False, na_values=[""])


def load(name):
    """A table as a DataFrame of its own (change it freely).

    Raises NotFound with the list of tables if there is none of that name.
    """
    return _read(name).copy()


def records(name):
    """A table as a list of dictionaries of text, number for number as it was printed.

    Raises NotFound as `load` does.
    """
    with _file(name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def sources():
    """Every source behind the tables: table, source, how it is known, and how many rows rest on it."""
    import pandas as pd

    counted = Counter((name, row["source"], row["how"]) for name in names() for row in records(name))
    return pd.DataFrame([(*key, count) for key, count in counted.items()], columns=["table", "source", "how", "rows"])
