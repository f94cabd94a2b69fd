"""The published and worked-out rows of tests/data/machine_values.csv, and the kilns that several tests share."""

import csv
import re
from pathlib import Path

from kilnlib.physics.machine import State, load_of
from kilnlib.units import KINDS, f_to_c

F = f_to_c
BOARD_FOOT_M3 = KINDS["board_feet"][0].factor
ROWS = list(csv.DictReader((Path(__file__).parents[2] / "data" / "machine_values.csv").open(encoding="utf-8")))
OAK = load_of(2000 * BOARD_FOOT_M3, 0.56, 1.5, (F(110), F(98)))
HEALTHY = State.at(F(110), F(98), 40.0)


def rows(*words):
    """Rows whose text has all these words: text, value, tolerance; at least one must be there."""
    chosen = [row for row in ROWS if all(re.search(word, row["what"]) for word in words)]
    assert chosen, words
    return [(row["what"], float(row["value"]), float(row["tolerance"])) for row in chosen]


def row(*words):
    """The value and the tolerance of the one row that has all these words."""
    (one,) = rows(*words)
    return one[1:]


def numbers(pattern, text):
    """The numbers a pattern takes out of a text."""
    return [float(number) for number in re.search(pattern, text).groups()]
