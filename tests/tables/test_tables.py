"""Every table says where each number is from; one row, one fact."""

import csv
from importlib import resources
from pathlib import Path

import pytest

from kilnlib import tables
from kilnlib.errors import NotFound

DATA = Path(__file__).parents[1] / "data"
# What names a row where several columns together do; without an entry a row must differ from all others in its facts.
KEYS = {
    "emc_table_4_2": ("temperature_f", "rh_pct"),
    "emc_printed_examples": ("temperature_f", "rh_pct", "source", "emc_pct"),
    "worked_examples": ("id",),
    "psychrometer_tables": ("elevation_band_ft", "dry_bulb_f", "wet_bulb_f"),
    "saturation_pressure": ("temperature_c",),
    "ashrae_printed": ("id",),
    "known_disagreements": ("id",),
}


def every_file():
    """Path of each CSV, shipped or used by tests only."""
    shipped = [Path(str(file)) for file in resources.files(tables).iterdir() if file.name.endswith(".csv")]
    return sorted(shipped) + sorted(DATA.glob("*.csv"))


def test_there_are_tables():
    assert {"emc_table_4_2", "emc_printed_examples", "worked_examples"} <= set(tables.names())
    assert len(every_file()) >= 7


@pytest.mark.parametrize("path", every_file(), ids=lambda path: path.stem)
def test_every_row_has_its_source(path):
    raw = path.read_bytes()
    assert b"\r" not in raw and not raw.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(raw.decode("utf-8").splitlines(), strict=True))
    head, body = rows[0], rows[1:]
    assert body, "an empty table"
    assert len(set(head)) == len(head) and all(name == name.strip() and name for name in head)
    assert {"source", "how"} <= set(head)
    for number, row in enumerate(body, 2):
        assert len(row) == len(head), f"line {number}"
        fact = dict(zip(head, row, strict=True))
        assert fact["source"].strip(), f"line {number} has no source"
        assert fact["how"] in tables.HOW, f"line {number}: {fact['how']}"
        assert all(cell == cell.strip() for cell in row), f"line {number} has stray blanks"
        assert "/work" not in "".join(row) and "http" not in "".join(row)
    names = KEYS.get(path.stem) or [name for name in head if name not in ("source", "how", "note")]
    keys = [tuple(row[head.index(name)] for name in names) for row in body]
    twice = {key for key in keys if keys.count(key) > 1} if len(keys) < 1000 else len(keys) - len(set(keys))
    assert not twice


def test_load_gives_a_copy():
    first = tables.load("emc_table_4_2")
    first.loc[:, "emc_pct"] = -1
    assert tables.load("emc_table_4_2")["emc_pct"].min() > 0
    with pytest.raises(NotFound) as caught:
        tables.load("no_such_table")
    assert "emc_table_4_2" in str(caught.value)
    with pytest.raises(NotFound):
        tables.records("../tables/emc_table_4_2")


def test_records_keep_what_was_printed():
    rows = {row["id"]: row for row in tables.records("worked_examples")}
    assert rows["EQ02"]["expected"] == "5.0" and rows["W110-RH"]["expected"] == "70"
    assert [row["emc_pct"] for row in tables.records("emc_table_4_2")] == [
        f"{value:.1f}" for value in tables.load("emc_table_4_2")["emc_pct"]
    ]


def test_numbers_are_those_of_the_rows_by_name():
    numbers = tables.numbers("airflow_coefficients")
    assert numbers == {row["name"]: float(row["value"]) for row in tables.records("airflow_coefficients")}
    with pytest.raises(NotFound):
        tables.numbers("no_such_table")


def test_sources_count_every_row():
    listed = tables.sources()
    assert list(listed.columns) == ["table", "source", "how", "rows"]
    assert set(listed["table"]) == set(tables.names())
    for name, rows in listed.groupby("table")["rows"].sum().items():
        assert rows == len(tables.load(name)) == len(tables.records(name))
    assert not listed.duplicated(["table", "source", "how"]).any()


def test_memory_is_never_the_only_check():
    """A worked example from memory stands beside one that is not, in every group."""
    by_group = {}
    for row in tables.records("worked_examples"):
        for group in row["group"].split():
            by_group.setdefault(group, set()).add(row["how"])
    assert all(known - {"memory"} for known in by_group.values())
