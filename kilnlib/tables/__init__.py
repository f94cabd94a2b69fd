"""Handbook numbers: one row one fact, each with its source and how it is known (retrieved, computed, memory)."""

import csv
import functools
from collections import Counter
from importlib import resources
from typing import TYPE_CHECKING

from kilnlib import units
from kilnlib.errors import NotFound

if TYPE_CHECKING:
    from pandas import DataFrame  # slow to load, and a panel does without

HOW = ("retrieved", "computed", "memory", "common practice", "tuned")


def names() -> list[str]:
    """Names of all tables, sorted."""
    return list(_files())


@functools.cache
def _files():
    files = sorted(resources.files(__name__).iterdir(), key=lambda file: file.name)
    return {file.name[:-4]: file for file in files if file.name.endswith(".csv")}


def _file(name):
    if name not in _files():
        raise NotFound("unknown_table", name=name, names=", ".join(names()))
    return _files()[name]


@functools.cache
def _read(name):
    import pandas as pd

    with _file(name).open(encoding="utf-8") as stream:
        return pd.read_csv(stream, keep_default_na=False, na_values=[""])


def load(name: str) -> "DataFrame":
    """A table as a DataFrame of its own (change it freely).

    Raises NotFound with the list of tables if there is none of that name.
    """
    return _read(name).copy()


def records(name: str) -> list[dict[str, str]]:
    """A table as a list of dictionaries of text, number for number as it was printed.

    Raises NotFound as `load` does.
    """
    return [dict(row) for row in _rows(name)]


@functools.cache
def _rows(name):
    with _file(name).open(encoding="utf-8", newline="") as stream:
        return tuple(csv.DictReader(stream))


def numbers(name: str) -> dict[str, float]:
    """The numbers of a table that has one to a row, by the row's name. Raises NotFound as `load` does."""
    return {row["name"]: float(row["value"]) for row in _rows(name)}


def advice(name: str) -> float:
    """A threshold that becomes advice, SI: the value of a row of advice.csv. Raises NotFound as `load` does."""
    row = next((row for row in _rows("advice") if row["name"] == name), None)
    if row is None:
        raise NotFound("unknown_table", name=name, names=", ".join(row["name"] for row in _rows("advice")))
    value = float(row["value"])
    if row["unit"] == "°F":
        return units.f_to_c(value)
    return value / 1.8 if row["unit"] == "°F difference" else value


def sources() -> "DataFrame":
    """Every source behind the tables: table, source, how it is known, and how many rows rest on it."""
    import pandas as pd

    counted = Counter((name, row["source"], row["how"]) for name in names() for row in records(name))
    return pd.DataFrame([(*key, count) for key, count in counted.items()], columns=["table", "source", "how", "rows"])
