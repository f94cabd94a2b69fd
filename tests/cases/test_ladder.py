"""What the limits of a kiln cost in days."""

from dataclasses import replace

import pytest

from kilnlib import units
from kilnlib.cases import ladder
from kilnlib.physics.drying import Board
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
TAMARACK = ThisKiln()


def test_limits_cost_days_and_the_same_emc_costs_fewer():
    for code, board in (
        ("T8-C3", Board("hard maple", start_mc_pct=68.0)),
        ("T11-D4", Board("yellow-poplar", start_mc_pct=90.0)),
    ):
        cost = ladder.days_cost(code, TAMARACK, board, 8.0)
        assert 1.0 < cost.book_days < cost.same_emc_days <= cost.same_rh_days < 60.0
    wide = replace(TAMARACK, top_dry_bulb_c=F(212), coil_wet_bulb_limit_c=F(180), driest_rh_pct=5.0)
    free = ladder.days_cost("T8-C3", wide, Board("hard maple", start_mc_pct=68.0), 8.0)
    assert free.same_rh_days == pytest.approx(free.book_days) == pytest.approx(free.same_emc_days)
