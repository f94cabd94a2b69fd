"""Every published row that tunes or checks the drying engine and the stress model, and the misses by name.

The table was committed before the engine was fitted; a row whose use changed afterwards says so in its note.
"""

import math

import pytest

from kilnlib import tables
from kilnlib.physics.drying import diffusivity, dry
from kilnlib.questions import checks, stress_checks, surface_scales

# Ours beside the nearer end of what was to be met. A row may leave this list only by being met.
MISSES = {
    "RP27-oregon-oak": 1.64,  # over the high end: white oak's faces are set to its limit, and that oak was quicker
    "TN233-birch-yellow": 1.40,  # remembered, over the high end
    "TN233-tupelo-black": 1.35,  # remembered, over the high end by a hair
    "TN233-sycamore": 1.70,  # remembered, over the high end
    "TN233-southern-pine": 1.72,  # remembered, over the high end; on a hardwood's schedule as a stand-in
    "condition-8/4": 0.19,  # thick prongs come straight too soon
    "swap": 0.745,  # tension and compression change places at 22 %, mid drying in print
}


@pytest.fixture(scope="module")
def rows():
    found = checks.compare() + checks.compare(stress_checks.MEASURES)
    return {row.id: row for row in found}


def test_every_row_is_worked_out(rows):
    printed = {row["id"]: row for row in tables.records("drying_checks")}
    assert rows.keys() == printed.keys()
    for name, row in rows.items():
        assert row.use in ("tunes", "checks", "apart") and row.source and row.how in tables.HOW
        assert math.isfinite(row.ours) and row.ours > 0, name


def test_rows_beside_print(rows, capsys):
    with capsys.disabled():
        print("\n  published, to be met, ours:")
        for row in rows.values():
            span = f"{row.low:g}-{row.high:g} [{row.allowed_low:g} {row.allowed_high:g}]".replace("nan", "")
            print(f"    {row.use:7}{row.id:32}{span:>26}{row.ours:8.2f}  {'' if row.inside else 'missed'}")
    missed = {name for name, row in rows.items() if not row.inside}
    assert missed == MISSES.keys()
    for name, ratio in MISSES.items():
        row = rows[name]
        ends = (row.high, row.over_high) if row.ours > row.allowed_high else (row.low, row.over_low)
        over = ends[1] if math.isfinite(ends[0]) else row.ours / row.allowed_low
        assert over == pytest.approx(ratio, abs=0.03), name


def test_enough_of_the_checks_are_met(rows):
    assert checks.share_inside(rows.values(), "tunes") == (24, 24)
    met, count = checks.share_inside(rows.values())
    assert (met, count) == (32, 35)
    days = [row for row in rows.values() if row.use == "checks" and row.unit == "days" and "oak-" not in row.id[:4]]
    printed = [row for row in days if row.id not in ("RN0310-oak",)]
    assert sum(row.inside for row in printed) / len(printed) >= 0.85
    assert checks.share_inside(rows.values(), "apart")[0] == 16


def test_what_the_docstring_of_the_engine_states(rows):
    drying = [row for row in checks.compare() if row.use != "apart"]
    counts = [sum(row.use == use for row in drying) for use in ("tunes", "checks")]
    assert f"{counts[0]} that tuned it and {counts[1]} that check it" in " ".join(dry.__doc__.split())
    thick = [row.over_high for name, row in rows.items() if name.startswith("limit-8/4")]
    assert (
        len(thick) == 13 and min(thick) == pytest.approx(0.62, abs=0.02) and max(thick) == pytest.approx(0.98, abs=0.02)
    )


def test_remembered_times_never_count(rows):
    assert {row.use for name, row in rows.items() if name.startswith("TN233")} == {"apart", "tunes"}
    assert [name for name, row in rows.items() if row.how == "memory" and row.use == "tunes"] == [
        "TN233-yellow-poplar",
        "condition-4/4",
    ]


def test_the_surfaces_are_those_that_the_rule_gives():
    head, *body = surface_scales.table_rows()
    assert [dict(zip(head, row, strict=True)) for row in body] == tables.records("drying_surface")
    assert diffusivity.surface_scale("red oak") == 1.0
    assert diffusivity.surface_scale("basswood") == pytest.approx(1.89, abs=0.02)  # no limit printed: by its weight


def test_a_limit_tuned_is_no_proof(rows):
    """Nor do all woods keep it: on its own schedule the engine takes white oak over its limit by a little."""
    tuned = {name: row.over_high for name, row in rows.items() if name.startswith("limit-4/4")}
    assert all("proves nothing" in rows[name].note for name in tuned)
    assert {name for name, over in tuned.items() if over > 1.01} == {"limit-4/4 oak, white, upland"}
