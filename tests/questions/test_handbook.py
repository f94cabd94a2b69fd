"""The cells that set our number beside the published one: what they print, and that they can fail."""

import importlib
import re

import pytest

from kilnlib import tables
from kilnlib.bench import handbook
from kilnlib.errors import HandbookMismatch, NotFound
from kilnlib.questions import calculator, text_table

module = importlib.import_module("kilnlib.questions.handbook_rows")
ROWS = tables.records("worked_examples")
LESSONS = {
    "air": {"air-ashrae", "air-psychrometer", "air-altitude", "air-wick"},
    "emc": {"emc-table", "emc-bulbs", "emc-rules"},
    "samples": {"samples-sections", "samples-control", "samples-rate"},
    "board": {"board-exact", "board-heat", "board-thickness", "board-rate"},
}


def test_each_lesson_has_enough_to_compare():
    """Three groups a lesson; the tour has one, of three rows."""
    assert len(module.rows("start-1")) == 3
    for names in LESSONS.values():
        assert len(names) >= 3 and names <= set(module.groups())
    assert sum("emc-table" in row["group"].split() for row in ROWS) >= 8


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_every_row_is_within_what_it_allows(row):
    assert float(row["tolerance"]) > 0
    assert calculator.value(row["call"]) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("group", module.groups())
def test_what_is_printed(group, capsys):
    handbook(group)
    first = capsys.readouterr().out
    handbook(group)
    assert capsys.readouterr().out == first
    lines = first.splitlines()
    assert max(map(len, lines)) <= text_table.WIDTH
    assert re.split(r"  +", lines[0]) == ["what", "ours", "reference", "difference", "allowed", "source"]
    assert not re.search(r"0x[0-9a-f]{6}|\d\d:\d\d|nan|e[-+]\d\d|OUT", first)
    rows = module.rows(group)
    flat = re.sub(r"\s+", " ", first)
    for row in rows:
        assert re.sub(r"\s+", " ", row["source"]) in flat
        assert row["note"] in flat
        assert f"{row['expected']} {row['unit']}" in first
    assert lines[-1] == f"Rows within the allowed difference: {len(rows)} of {len(rows)}."
    # columns line up: every difference ends where its heading ends
    end = lines[0].index("difference") + len("difference")
    filled = [line for line in lines[2 : lines.index("")] if re.match(r".*\d $", line[: end + 1])]
    assert len(filled) == len(rows)  # the other lines carry on a long "what"


def test_how_it_is_known_is_spelled_out(capsys, monkeypatch):
    rows = [dict(ROWS[0], how=how, id=how, group="x", source=f"source {how}") for how in tables.HOW]
    monkeypatch.setattr(module.tables, "records", lambda name: rows)
    handbook("x")
    printed = capsys.readouterr().out
    for words in ("read in the source or in an exact copy", "computed", "from memory", "common practice"):
        assert f"({words})" in printed


def test_a_row_that_is_out_is_printed_and_raises(capsys, monkeypatch):
    rows = [dict(row) for row in ROWS if "emc-table" in row["group"].split()]
    rows[3]["expected"] = "15.5"
    monkeypatch.setattr(module.tables, "records", lambda name: rows)
    with pytest.raises(HandbookMismatch) as caught:
        handbook("emc-table")
    assert "1 of 12 rows are further from the published value than allowed" in str(caught.value)
    printed = capsys.readouterr().out
    assert next(line for line in printed.splitlines() if "OUT" in line).startswith("EMC at 80 °F, 80 % RH")
    assert "Rows within" not in printed


def test_the_edge_is_allowed_and_an_unreadable_number_is_not(capsys, monkeypatch):
    row = dict(ROWS[0], call="1.5", expected="1.0", tolerance="0.5", group="x")
    monkeypatch.setattr(module.tables, "records", lambda name: [row])
    handbook("x")
    monkeypatch.setattr(module.calculator, "value", lambda call: float("nan"))
    with pytest.raises(HandbookMismatch):
        handbook("x")
    capsys.readouterr()


def test_an_unknown_group():
    with pytest.raises(NotFound) as caught:
        handbook("no-such-group")
    assert "There is no handbook group called no-such-group. The groups are: air-altitude," in str(caught.value)
