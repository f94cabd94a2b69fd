"""What is known of a softwood is said as it was printed, and what is not known is said too."""

import csv
from pathlib import Path

import pytest

from kilnlib import tables
from kilnlib.physics.air import emc_pct_from_bulbs, rh_pct, wet_bulb_c
from kilnlib.physics.setpoint import check_setpoint
from kilnlib.physics.softwoods import softwood_fact
from kilnlib.physics.wood import is_softwood, species_names
from kilnlib.units import f_to_c
from kilnlib.words import TEXT

F = f_to_c
WORDS = "setpoint.reason."


def fact(species, mc, dry, wet):
    return softwood_fact(species, mc, F(dry), F(wet), rh_pct(F(dry), F(wet)))


@pytest.mark.parametrize(
    ("species", "mc", "dry", "wet", "code"),
    [
        ("white pine", 100, 110, 98, "softwood_first_setting"),
        ("white pine", 100, 130, 100, "softwood_at_first"),
        ("white pine", 100, 130, 110, "softwood_first_setting"),
        ("white pine", 25, 130, 100, "softwood_past_first"),
        ("ponderosa pine", 90, 150, 120, "softwood_stays_below"),
        ("ponderosa pine", 90, 170, 140, "softwood_above"),
        ("redwood", 90, 118, 110, "softwood_stays_below"),
        ("redwood", 90, 125, 110, "softwood_above"),
        ("southern pine", 90, 130, 110, "softwood_only_hot"),
        ("balsam fir", 90, 130, 110, "softwood_unknown"),
    ],
)
def test_facts(species, mc, dry, wet, code):
    found = fact(species, mc, dry, wet)
    assert found.code == code and found.source and found.how in tables.HOW
    assert TEXT[WORDS + code]


def test_no_softwood_goes_without_an_answer_and_no_hardwood_gets_one():
    for species in species_names("properties"):
        found = fact(species, 60, 120, 105)
        assert (found is not None) == is_softwood(species)
        if found:
            assert TEXT[WORDS + found.code]


def test_the_check_says_it_with_its_source():
    found = check_setpoint("white pine", "4/4", 100, F(110), F(98))
    reason = next(reason for reason in found.reasons if reason.code == "softwood_first_setting")
    assert found.reasons[0].code == "schedule_softwood" and found.reasons[1] is reason
    assert reason.fields["first_dry"][0] == pytest.approx(F(130)) and reason.fields["first_wet"][0] == pytest.approx(
        F(100)
    )
    assert any(source.about == "softwood" and "Hanover" in source.source for source in found.sources)
    assert TEXT["setpoint.about.softwood"]
    assert not any(
        one.code.startswith("softwood") for one in check_setpoint("red oak", "4/4", 60, F(110), F(98)).reasons
    )


ROWS = list(csv.DictReader((Path(__file__).parents[1] / "data" / "softwood_values.csv").open(encoding="utf-8")))


def value(words):
    (row,) = [row for row in ROWS if words in row["what"]]
    return float(row["value"]), float(row["tolerance"])


def test_the_table_says_what_the_reference_says():
    """The rows used here, beside the reference rows they were taken from."""
    facts = {(row["species"], row["fact"]): float(row["value"]) for row in tables.records("softwoods")}
    for key, words in (
        (("pine, eastern white", "first_dry_bulb"), "first setting of the no-stain run: dry bulb"),
        (("pine, eastern white", "waits_at_most"), "longest dead-pile time"),
        (("redwood", "stays_below"), "redwood: stay at or below"),
        (("", "pitch_from"), "no cooler than"),
        (("", "machines_badly_below"), "poor below"),
        (("", "blue_stain_from"), "wood fungi active: from"),
    ):
        assert facts[key] == value(words)[0]


def test_the_numbers_behind_the_words():
    for words, ours in (
        ("130/100 F: EMC", emc_pct_from_bulbs(F(130), F(100))),
        ("120 F 38 % RH: EMC", emc_pct_from_bulbs(F(120), wet_bulb_c(F(120), 38))),
        ("EMC at 160 F if the wet bulb stays 110", emc_pct_from_bulbs(F(160), F(110))),
    ):
        number, tolerance = value(words)
        assert ours == pytest.approx(number, abs=tolerance)
