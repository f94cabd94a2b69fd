"""What is known of a softwood is said as it was printed, and what is not known is said too."""

import oracles
import pytest

from kilnlib import tables
from kilnlib.errors import worded
from kilnlib.lab import books
from kilnlib.physics.air import emc_pct_from_bulbs, rh_pct, wet_bulb_c
from kilnlib.physics.setpoint import check_setpoint
from kilnlib.physics.softwoods import softwood_fact
from kilnlib.physics.wood import is_softwood, species_names
from kilnlib.questions.bank import load
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


ROWS = {row["what"]: row for row in oracles.rows("softwood_values")}


def answer(species, mc, dry, wet):
    """All that the check says of a setting, and whose word it is."""
    found = check_setpoint(species, "4/4", mc, F(dry), F(wet))
    said = " ".join(worded("setpoint.reason", reason, "trade") for reason in found.reasons)
    return said.replace("\u00a0", " "), " ".join(source.source for source in found.sources)


def cell(book, cell_id):
    """A cell of a lesson, and what its last one names as sources."""
    cells = books.read(books.WORKBOOKS / f"{book}.ipynb")["cells"]
    said = {one["id"]: "".join(one["source"]).replace("\u00a0", " ") for one in cells}
    return said[cell_id], said["tomorrow"].partition("**Sources.**")[2]


def under_question(question_id):
    """What stands under a question once it is answered: whose word it is, and for what."""
    source = load(question_id).source
    return source, source


GREEN_PINE = "white pine", 100, 110, 98
DRY_PINE = "white pine", 25, 130, 100
HEAT = "12_heat_to_the_core", "insects"
FIR = "balsam fir", 90, 130, 110
# row of tests/data/softwood_values.csv: what gives the words, the words with the row's number, whose they are
READ = {
    "eastern white pine 4/4, first setting of the no-stain run: dry bulb": (
        answer, GREEN_PINE, "white pine went in at {} °F over 100 °F", "Hanover and Schroeder",
    ),
    "longest dead-pile time of the only treatment without brown stain": (
        answer, GREEN_PINE, "less than a day after sawing", "Hanover and Schroeder",
    ),
    "treatments that did stain: air drying before the kiln": (
        answer, GREEN_PINE, "air-dried for {} days first", "Hanover and Schroeder",
    ),
    "treatments that did stain: then air drying": (
        answer, GREEN_PINE, "a week and then air-dried for {}, stained", "Hanover and Schroeder",
    ),
    "ponderosa 6/4 anti-stain schedules: kiln time (over)": (
        answer, ("ponderosa pine", 90, 150, 120), "over {} hours", "Forest Products Journal 63(1-2):28",
    ),
    "setting pitch: a few use": (cell, HEAT, "{} °F is the least", "Wengert"),
    "setting pitch: pitch left softens again above": (cell, HEAT, "softens again above {} °F", "Wengert"),
    "setting pitch, same author elsewhere: no cooler than": (answer, FIR, "pitch needs {} °F", "Perfect pitch"),
    "setting pitch, same author elsewhere: time, at least": (answer, FIR, "for a day or longer", "Perfect pitch"),
    "pine for machining: poor below": (answer, DRY_PINE, "planes badly below {} %", "beetle-killed pine"),
    "pine for machining: target": (answer, DRY_PINE, "aim at {} %", "beetle-killed pine"),
    "pine for machining: pieces from": (answer, DRY_PINE, "all pieces from {} to", "beetle-killed pine"),
    "pine for machining: pieces to": (answer, DRY_PINE, "to {}.", "beetle-killed pine"),
    "stain fungi start at": (under_question, ("store-before",), "from about {} °F", "hardwood timber association"),
    "wood fungi active: from": (answer, FIR, "between {} °F and", "Shupe"),
    "wood fungi active: to": (answer, FIR, "and {} °F, so dry the faces", "Shupe"),
    "redwood: stay at or below for the first two thirds": (
        answer, ("redwood", 90, 118, 110), "a ceiling, {} °F, and no full schedule (for two thirds", "Bulletin 803",
    ),
    "southern pine 240 F, 80 F depression, 1000 fpm to 10 %: 4 in": (
        answer, ("southern pine", 90, 130, 110), "depression 80 °F; 22.4, 35.6 and {} hours for 2, 3 and 4 in", "Koch",
    ),
}  # fmt: skip
# rows that are worked out: what a person is given, and what it should be; the others stand in test_worked_airs.py
WORKED = {
    "130/100 F: EMC": lambda: check_setpoint("white pine", "4/4", 100, F(130), F(100)).numbers.emc_pct,
    "his redrying room 120 F 38 % RH: EMC": lambda: emc_pct_from_bulbs(F(120), wet_bulb_c(F(120), 38)),
    "EMC at 160 F if the wet bulb stays 110 F": lambda: (
        check_setpoint("white pine", "4/4", 15, F(160), F(110)).numbers.emc_pct
    ),
}
AIRS = {
    "his redrying room 120 F 38 % RH: wet bulb",
    "air at 160 F for EMC 10: RH",
    "wet-pocket predrying trial room: EMC",
}


def test_every_row_is_read():
    assert set(ROWS) == READ.keys() | WORKED.keys() | AIRS


@pytest.mark.parametrize("what", READ)
def test_what_is_printed_is_what_a_person_reads(what):
    gives, of, words, whose = READ[what]
    said, sources = gives(*of)
    assert words.format(ROWS[what]["value"]) in said and whose in sources


def test_a_day_is_a_day():
    assert ROWS["longest dead-pile time of the only treatment without brown stain"]["value"] == "1"
    assert ROWS["setting pitch, same author elsewhere: time, at least"]["value"] == "24"


@pytest.mark.parametrize("what", WORKED)
def test_the_numbers_behind_the_words(what):
    assert WORKED[what]() == pytest.approx(float(ROWS[what]["value"]), abs=float(ROWS[what]["tolerance"]))


def test_every_fact_of_the_table_is_said():
    """No row of softwoods.csv stands there for nobody: each one's number is in an answer."""
    said = " ".join(answer(*of)[0] for of in (GREEN_PINE, DRY_PINE, FIR))
    for row in tables.records("softwoods"):
        wood = row["species"] or "balsam fir"
        text = said + answer(wood, 90, 110, 98)[0]
        number = "less than a day" if row["fact"] == "waits_at_most" else row["value"]
        assert number in text, row
