"""The one reader of a thickness: every spelling means the same wherever a thickness is read."""

import datetime
from dataclasses import replace

import pytest

from kilnlib.bench.desk.setpoint import card, parsing
from kilnlib.cases.board import as_sawn
from kilnlib.errors import BadInput, KilnError, NotFound
from kilnlib.physics import schedules
from kilnlib.physics.daily import daily_decision
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing, rates
from kilnlib.physics.setpoint import check_setpoint
from kilnlib.physics.wood import size
from kilnlib.store import kiln
from kilnlib.units import IN_M, f_to_c

WRITTEN = {  # as it is written: (nominal, rough inches)
    **dict.fromkeys(
        ["4/4", " 4 / 4 ", '4/4"', "4/4 in", "4/4 in.", "4/4 inch", "4/4-inch", "4/4″", "1 in", '1"', "1 inch",
         "1 Inch", "1.0 in", "1-1/8 in", "1 1/8 inch", "1.125 in", "1''"],
        ("4/4", 1.125),
    ),
    **dict.fromkeys(["5/4", "5/4 in", "1-1/4 in", '1.25"', "1-3/8 in"], ("5/4", 1.40625)),
    **dict.fromkeys(["6/4", '1-1/2"', "1.5 inches"], ("6/4", 1.6875)),
    **dict.fromkeys(["8/4", "2 in", '2"', "2 inches", "8/4 inch", "2-1/8 in"], ("8/4", 2.25)),
}  # fmt: skip
SQUARES = ["3x3", "3 x 3", "3 × 3 in", "3x3 squares", '3" x 3"', "3 in x 3 in", "3 x 3 in. squares", "3X3"]
REFUSED = ["", "1", "8", "thick", "two inches", "50 mm", "0/4", "1/4", "33/4", "2x4", "3x3x3", "1.9 in", "1,5 in",
           "-1 in", "nan in", "4/4 square", "x", "4//4", "1e9 in", "9" * 5000]  # fmt: skip


def sheet(thickness, species="red oak"):
    when = [datetime.datetime(2026, 3, day, 7) for day in (12, 13, 14)]
    weights = [1.80, 1.76, 1.73]
    weighings = tuple(Weighing(at, kg) for at, kg in zip(when, weights, strict=True))
    board = SampleBoard("1", (Section(0.09, 0.055),), weighings)
    bulbs = tuple(Air(at, f_to_c(110), f_to_c(106)) for at in when)
    return Sheet("", species, thickness, 7.0, (board, replace(board, name="2")), bulbs)


@pytest.mark.parametrize(("written", "wanted"), WRITTEN.items())
def test_every_spelling_means_the_same_everywhere(written, wanted):
    nominal, rough_in = wanted
    assert size.read_thickness(written) == size.Thickness(nominal, int(nominal[0]), False)
    assert size.rough_thickness_m(written) == pytest.approx(rough_in * IN_M)
    assert schedules.code_for("red oak", written) == schedules.code_for("red oak", nominal)
    assert rates.safe_rate_pct_per_day("red oak", written) == rates.safe_rate_pct_per_day("red oak", nominal)
    assert sheet(written) == sheet(nominal) and sheet(written).thickness == nominal
    assert parsing.read({"thickness": written}, "trade", 101325.0).values["thickness"] == nominal
    ours = check_setpoint("red oak", written, 40, f_to_c(110), f_to_c(106))
    assert repr(ours) == repr(check_setpoint("red oak", nominal, 40, f_to_c(110), f_to_c(106)))  # it holds NaN
    assert ours.numbers.thickness == nominal and ours.numbers.points_per_day > 0.1
    day = datetime.date(2026, 3, 17)
    cards = [card.card("red oak", one, kiln.ThisKiln(), "trade", day, 38.0) for one in (written, nominal)]
    assert repr(cards[0]) == repr(cards[1])


@pytest.mark.parametrize("written", ["4/4 in", '2"', "1-1/8 in"])
def test_the_daily_rule_reads_it_too(written):
    found = [daily_decision(sheet(one)) for one in (written, WRITTEN[written][0])]
    assert found[0].limit_points == found[1].limit_points > 1
    assert found[0].action == found[1].action and found[0].reasons == found[1].reasons


@pytest.mark.parametrize("written", SQUARES)
def test_squares(written):
    assert size.read_thickness(written) == size.Thickness("3x3", 12, True)
    assert schedules.code_for("yellow birch", written).code == schedules.code_for("yellow birch", "3x3").code
    with pytest.raises(NotFound, match="Squares dry through four"):
        size.rough_thickness_m(written)


def test_squares_have_a_daily_decision_where_they_have_a_schedule():
    found = daily_decision(sheet("3x3", "yellow birch"))
    assert found.action and found.check.numbers.thickness == "3x3"


def test_a_thickness_that_cannot_be_read_is_a_sentence_in_the_daily_rule_as_well():
    for written in ("", "thick", "1"):
        with pytest.raises(KilnError, match="is not a thickness"):
            daily_decision(sheet(written))


@pytest.mark.parametrize("written", REFUSED)
def test_what_is_no_thickness_is_refused_in_words_and_kept_as_it_is(written):
    with pytest.raises(BadInput, match="quarters of an inch"):
        size.read_thickness(written)
    assert size.nominal(written) == written
    with pytest.raises(NotFound, match="quarters of an inch"):
        size.rough_thickness_m(written)


def test_a_box_that_asks_what_a_board_measures_takes_names_of_sizes_too():
    for written, wanted in {"4/4": "1.125 in", '8/4"': "2.25 in", "5/4 in": "1.40625 in", "2 in": "2 in"}.items():
        assert as_sawn(written) == wanted
