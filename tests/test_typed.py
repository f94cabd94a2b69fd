"""What is typed means the same in a box and in a file, and the sentences about it help."""

import datetime

import pytest

from kilnlib import units
from kilnlib.bench.desk.sheet import findings, parsing
from kilnlib.bench.desk.sheet.parsing import read_weight, read_when
from kilnlib.errors import BadInput
from kilnlib.physics.samples import Sheet
from kilnlib.physics.wood import meant_species
from kilnlib.store.sheet_read import read_csv

FILE = "item,board,date,weight,oven-dry,unit,note\nboard,1\nsection,1,,98,59,g\nweight,1,2026-03-12,{},,{}\n"


def in_file(cell, unit=""):
    return read_csv(FILE.format(cell, unit))[0].boards[0].weighings[0].weight_kg


@pytest.mark.parametrize(
    "cell", ["4 lb 7 oz", "4lb7oz", "4 lbs. 7 ounces", "4 pounds 7 oz.", "4 lb 15.5 oz", "0 lb 9 oz"]
)
def test_pounds_and_ounces_are_read_in_a_box_and_in_a_file(cell):
    assert in_file(cell) == read_weight(cell, "kg") == in_file(cell, "lb")
    assert in_file("4 lb 7 oz") == pytest.approx(4.4375 * units.LB_KG)


@pytest.mark.parametrize(
    "cell", ["4 lb 16 oz", "4 lb 17 oz", "9" * 5000 + " lb 7 oz", "1e308", "-4.46", "0", "1e9", "1e-9"]
)
def test_what_no_board_weighs_is_refused_in_the_same_words(cell):
    with pytest.raises(BadInput) as in_box:
        read_weight(cell, "lb")
    with pytest.raises(BadInput) as found:
        in_file(cell, "lb")
    said = in_box.value.sentence()
    assert said in found.value.sentence() and len(said) < 300
    assert not cell.startswith("-") or "-4.46 lb" in said
    assert "oz" not in cell or "5000" not in cell
    if cell == "4 lb 17 oz":
        assert "16 ounces" in said and "5 lb 1 oz" in said


def test_a_number_of_three_hundred_digits_is_not_printed_whole():
    for kind in ("temperature", "percent", "weight"):
        assert len(units.show(1e308, kind)) < 20
    with pytest.raises(BadInput) as caught:
        read_csv("item,board,date,weight,oven-dry,note\ntarget,,,,,nan\n")
    assert "such as 7" in caught.value.sentence() or "like 7" in caught.value.sentence()


def test_a_wrong_clock_is_named(monkeypatch):
    monkeypatch.setattr(parsing, "now", lambda: datetime.datetime(2026, 1, 1, 8))
    with pytest.raises(BadInput, match="computer's clock says 2026-01-01"):
        read_when("3/13/2026", datetime.datetime(2025, 12, 30))
    with pytest.raises(BadInput, match="has come to 2026-03-12 already, so the clock may be wrong"):
        read_when("3/13/2026", datetime.datetime(2026, 3, 12))


@pytest.mark.parametrize(
    ("name", "meant"),
    [("white oak", "upland white oak"), ("ash", "white ash"), ("poplar", "yellow-poplar"),
     ("red oak", "upland red oak"), ("hard maple", ""), ("white ash", ""), ("oak, white, upland", ""),
     ("teak", ""), ("", "")],
)  # fmt: skip
def test_a_general_name_says_which_wood_is_meant(name, meant):
    assert meant_species(name) == meant


@pytest.mark.parametrize(("species", "thickness"), [("red oak", "16/4"), ("hickory", "4/4"), ("red oak", "thick")])
def test_a_sheet_without_a_limit_says_so_in_what_to_watch(species, thickness):
    found = findings.finding(Sheet("", species, thickness), datetime.datetime(2026, 3, 12))
    assert any("daily limit is known" in words for _, words in findings.watch(found))
    assert not any("daily limit is known" in words for words in findings.reasons(found))
    known = findings.finding(Sheet("", "red oak", "1 in"), datetime.datetime(2026, 3, 12))
    assert not any("limit is known" in words for _, words in findings.watch(known))
