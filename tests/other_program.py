"""Another program that reads a sample sheet: the standard library only, none of our code, a process of its own.

It answers each line (a JSON list of paths) with a line of JSON: for each path the facts of its rows, or null without a
file.
"""

import csv
import json
import sys

KG = {"lb": 0.45359237, "oz": 0.45359237 / 16, "g": 0.001, "kg": 1.0}
DATED = ("weight", "recut", "recut section", "note", "air")


def facts(path):
    """[[item, board, dates it may mean, kilograms or null, oven-dry kilograms or null, note], …] of a file."""
    try:
        with open(path, encoding="utf-8-sig", newline="") as file:
            lines = [line for line in file if line.strip() and not line.lstrip(' \t"').startswith("#")]
    except FileNotFoundError:
        return None
    mark = max(",;\t", key=lines[0].count)
    table = csv.DictReader(lines, delimiter=mark)
    return [_fact(row, mark == ";") for row in table if row["item"]]


def _fact(row, comma):
    def kilograms(column):
        words = row[column].replace(",", ".") if comma else row[column]
        return float(words) * KG[row["unit"]] if words else None

    item = row["item"]
    note = row["note"][1:] if row["note"][:1] == "'" else row["note"]
    board = row["board"][1:] if row["board"][:1] == "'" else row["board"]
    return [
        item,
        board,
        _dates(row["date"]) if item in DATED else [""],
        kilograms("weight"),
        kilograms("oven-dry"),
        note,
    ]


def _dates(words):
    """As 2026-03-10 07:30; where day and month could be either, both."""
    if "/" not in words:
        return [words]
    date, _, hour = words.partition(" ")
    one, two, year = date.split("/")
    return [f"{year}-{month:0>2}-{day:0>2} {hour}" for month, day in ((one, two), (two, one)) if int(month) <= 12]


if __name__ == "__main__":
    for asked in sys.stdin:
        print(json.dumps([facts(path) for path in json.loads(asked)]), flush=True)
