"""Handbook numbers: one row one fact, each with its source and how it is known (retrieved, computed, memory)."""

import csv
import functools
from importlib import resources

import pandas as pd

from kilnlib.errors import NotFound

HOW = ("retrieved", "computed", "memory", "common practice")


def names():
    """Names of all tables, sorted."""
    return sorted(f.name[:-4] for f in resources.files(__name__).iterdir() if f.name.endswith(".csv"))


@functools.cache
def _read(name):
    file = resources.files(__name__) / f"{name}.csv"
    if not file.is_file():
        raise NotFound("unknown_table", name=name, names=", ".join(names()))
    with file.open(encoding="utf-8") as stream:
        return pd.read_csv(stream, comment=None, keep_default_na=False, na_values=[""])


def load(name):
    """A table as a DataFrame of its own (change it freely).

    Raises NotFound with the list of tables if there is none of that name.
    """
    return _read(name).copy()


def sources():
    """Every source behind the tables: table, source, how it is known, and how many rows rest on it."""
    rows = {}
    for name in names():
        with (resources.files(__name__) / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
            for row in csv.DictReader(stream):
                key = (name, row["source"], row["how"])
                rows[key] = rows.get(key, 0) + 1
    return pd.DataFrame([(*key, count) for key, count in rows.items()], columns=["table", "source", "how", "rows"])
