"""Printed heating times and worked-out rows (tests/data), and how a row's words turn into a piece."""

import re

import oracles

from kilnlib.physics.heating import Piece
from kilnlib.physics.wood import species
from kilnlib.units import IN_M, f_to_c

F = f_to_c
TIMES = oracles.rows("heating_times")
VALUES = oracles.rows("heat_values")
WOODS = {
    "red maple": "red maple",
    "sugar maple": "hard maple",
    "red oak": "red oak",
    "basswood": "basswood",
    "aspen": "quaking aspen",
    "ponderosa pine": "ponderosa pine",
    "slash pine, green": "slash pine",
}
OAK = species("red oak")


def green(name, thickness_in, width_in=None):
    """A green piece of a species: its own weight and average moisture, nothing fitted."""
    wood = species(WOODS[name])
    width = {"width_m": width_in * IN_M} if width_in else {}
    return Piece(thickness_in * IN_M, specific_gravity=wood.specific_gravity, mc_pct=wood.green_average_pct, **width)


def oak(thickness_in, width_in=None, mc_pct=80.0, length_in=None):
    """Red oak as in the worked-out rows."""
    more = {"width_m": width_in * IN_M} if width_in else {}
    more |= {"length_m": length_in * IN_M} if length_in else {}
    return Piece(thickness_in * IN_M, specific_gravity=0.56, mc_pct=mc_pct, **more)


def size(text):
    """Thickness and width [in] at the head of a row: "2 x 6 in …"."""
    return tuple(float(number) for number in re.match(r"(\d+) ?x ?(\d+) in", text).groups())


def rows(pattern):
    """Match, value and tolerance of each worked-out row whose text matches; at least one must."""
    matched = [(re.search(pattern, row["what"]), row) for row in VALUES]
    chosen = [(match, float(row["value"]), row["tolerance"]) for match, row in matched if match]
    assert chosen, pattern
    return chosen
