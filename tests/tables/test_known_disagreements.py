"""Where two sources differ both numbers stand, with the reason: tests/data/known_disagreements.csv."""

import oracles
import pytest

ROWS = oracles.rows("known_disagreements")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_ours_is_what_the_row_says(row):
    """Ours is recomputed to the digits written, and really differs from theirs."""
    half_a_digit = 0.5 * 10.0 ** -len(row["ours"].partition(".")[2])
    ours = oracles.evaluate(row["call"])
    assert ours == pytest.approx(float(row["ours"]), abs=1.02 * half_a_digit)
    assert abs(ours - float(row["theirs"])) > half_a_digit
    assert row["why"]


def test_the_wrong_printed_value_is_nobodys_target():
    """FOR-128 prints 31 % RH for 150/115 °F; that belongs to a depression of 38 °F."""
    from kilnlib import tables

    row = next(row for row in ROWS if row["id"] == "FOR128-RH")
    assert oracles.evaluate("air.rh_pct(f(150), f(112))") == pytest.approx(float(row["theirs"]), abs=0.5)
    targets = [example for example in tables.records("worked_examples") if example["expected"].rstrip("0.") == "31"]
    assert not targets
