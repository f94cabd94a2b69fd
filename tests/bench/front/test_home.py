"""The first page and the words of the trade, without a browser."""

import datetime
import html
import json
import re

import pytest
from starting import write_book

from kilnlib.bench.desk import print_set
from kilnlib.bench.front.first_aid import FirstAid
from kilnlib.bench.front.glossary import Glossary
from kilnlib.bench.front.home import Home
from kilnlib.bench.kit import memory, progress
from kilnlib.bench.panels import open_panel
from kilnlib.errors import BadInput
from kilnlib.lab import books
from kilnlib.store import class_book, kiln
from kilnlib.store.record import open_record
from kilnlib.words import text
from kilnlib.words.first_aid import TROUBLES
from kilnlib.words.glossary import WORDS
from kilnlib.words.home import GROUPS


@pytest.fixture
def mill(tmp_path, monkeypatch):
    """A folder of a few pages to stand in, and an empty record; home is the page that is open."""
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "mine"))
    monkeypatch.chdir(tmp_path)
    write_book(tmp_path / "02_air.ipynb", ("# The air?\n\n1. read it\n\nAbout 35 minutes.",), ("## Warm-up",),
               'warm_up("02_air", "wood-a")', ("## Why",), ("## Your turn",), 'ask("air-a")')  # fmt: skip
    write_book(tmp_path / "77_new.ipynb", ("# New & strange",))
    write_book(tmp_path / "desk_setpoint_check.ipynb", ("# Setpoint check",))
    progress.pages.cache_clear()
    memory.open_page("home")
    yield tmp_path
    memory.close_page()
    progress.pages.cache_clear()


def heard(**said):
    return json.loads(repr(progress.heard(json.dumps(said))))


def test_home_shows_what_lies_in_the_folder(mill):
    home = Home()
    assert "02 The air?" in home.top.value, "the first door leads to the first lesson"
    assert "desk_setpoint_check.ipynb" in home.top.value
    assert "present_" not in home.top.value, "no door to a page that is not there"
    assert "77 New &amp; strange" in home.list.value
    assert "read it" in home.list.value and "35 min" in home.list.value
    assert "Tamarack Ford, at 900 ft" in home.list.value
    home.close()


def test_groups_follow_the_numbers():
    numbers = [number for _, group in GROUPS for number in group]
    assert numbers == sorted(numbers)


def test_one_continues_where_one_stopped(mill):
    memory.open_page("02_air")
    memory.open_page("home")
    heard(page="02_air", read=["why"])
    home = Home()
    assert "not begun" in home.list.value and "parts done" not in home.list.value, "passing through begins nothing"
    home.close()
    open_record().predicted("air-predict", "A", False, page="02_air")
    home = Home()
    assert "Continue where you stopped" in home.top.value
    assert "Go on with “Warm-up” in “02 The air?”" in home.top.value
    assert "1 of 3 parts done" in home.list.value
    home.close()


def test_a_part_is_done_when_its_questions_are(mill):
    record = open_record()
    assert [part["done"] for part in heard(page="02_air")["parts"]] == [False] * 3
    record.answered("air-a", "1", False, page="02_air")
    assert not heard(page="02_air")["parts"][2]["done"]
    record.answered("air-a", "8", True, page="02_air")
    assert heard(page="02_air")["parts"][2]["done"]
    for _ in range(3):  # then the solution was shown
        record.answered("wood-a", "1", False, page="02_air/warm-up/2026-11-29")
    assert heard(page="02_air")["parts"][0]["done"]
    assert not heard(page="02_air")["done"]
    said = heard(page="02_air", read=["why"])
    assert said["done"] and said["error"] is None
    assert {"02_air", "02_air#why", "02_air#your-turn", "02_air#warm-up"} == set(open_record().done())


def test_to_look_at_a_panel_is_to_move_it(mill):
    write_book(mill / "03_emc.ipynb", ("# EMC",), ("## Predict",), 'panel("emc", predict="emc-predict")', ("## Look",))
    progress.pages.cache_clear()
    memory.open_page("03_emc")
    assert [part["asks"] for part in heard(page="03_emc")["parts"]] == [True, True], "no part that only has to be seen"
    panel = open_panel("emc", "emc-predict")
    panel.prediction.answer("A")
    panel.on_left(last=True)
    assert [part["done"] for part in heard(page="03_emc")["parts"]] == [True, False]
    panel.set(depression_c=panel.state.depression_c + 1.0)
    progress.leave_all()
    assert [part["done"] for part in heard(page="03_emc")["parts"]] == [True, True]
    panel.close()
    assert open_record().touched() == {"03_emc"}


def test_ticks_are_kept_by_page(mill):
    assert heard(page="02_air", tick={"item": "Find both bulbs.", "on": True})["ticks"] == ["Find both bulbs."]
    assert heard(page="77_new")["ticks"] == []
    assert heard(page="02_air", tick={"item": "Find both bulbs.", "on": False})["ticks"] == []


def test_a_name_typed_once_keeps_what_was_done(mill):
    heard(page="02_air", read=["why"], tick={"item": "Find both bulbs.", "on": True})
    home = Home()
    home.sit_down("JT")
    assert "kept for JT" in home.saying.value and home.last_error is None
    assert "Somebody else?" in home.saying.value and "JT’s answers stay" in home.saying.value
    assert "1 of 3 parts done" in home.list.value
    home.sit_down("Ann")
    assert "not begun" in home.list.value and "1 of 3" not in home.list.value
    home.sit_down("  ")
    assert isinstance(home.last_error, BadInput) and "1 to 40 letters" in home.saying.value
    home.close()


def test_a_learner_who_is_known_is_chosen_from_a_list(mill):
    book = class_book.ClassBook(open_record().path)
    hidden = Home()
    assert hidden.names.layout.display == "none", "nobody is known yet"
    dale = book.enroll("Dale Pruitt")
    hidden.show()
    assert hidden.names.layout.display == "none", "one name is no choice"
    hidden.close()
    twins = [book.enroll("Jo"), book.enroll("Jo")]
    home = Home()
    assert home.names.layout.display == "" and home.view.children[0].children[0] is home.names, "before all else"
    assert next(value for _, value in home.names.options) == home.names.value == ""
    assert {name for name, _ in home.names.options} >= {"Dale Pruitt", *(f"Jo ({one.id[:4]})" for one in twins)}
    assert home.saying.value.count("Choose your name") == 1
    for who in (*twins, dale):
        home.names.value = who.id
        assert (
            home.last_error is None and open_record().learner() == who and f"kept for {who.name}" in home.saying.value
        )
    home.name.value = "half a na"
    home.names.value = twins[0].id
    assert home.name.value == "half a na", "letters that were typed stay"
    home.names.value = ""
    assert home.names.value == twins[0].id, "to choose nobody changes nothing"
    home.sit_down("Ann")
    assert home.name.value == "" and home.names.value == open_record().learner().id
    book.delete(dale, mill / "kept.sqlite")
    home.names.value = dale.id
    assert "no longer in the record" in home.saying.value and open_record().learner().name == "Ann"
    assert home.names.value == open_record().learner().id and dale.id not in dict(home.names.options).values()
    home.close()


def test_a_word_is_found_by_its_other_names_too(mill):
    page = Glossary()
    assert page.list.value.count("<dt>") == len(WORDS)
    page.find("fsp")
    assert page.list.value.count("<dt>") == 1 and "fiber saturation" in page.list.value
    page.find("depression")
    assert 'href="02_air.ipynb"' in page.list.value
    page.find("zz<")
    assert "No word here has “zz&lt;”" in page.saying.value
    page.close()


def test_first_aid_is_one_click_from_home_and_says_what_the_printed_page_says(mill):
    write_book(mill / "first_aid.ipynb", ("# First aid for a charge",))
    progress.pages.cache_clear()
    home = Home()
    assert '<a href="first_aid.ipynb">First aid for a charge</a>' in home.list.value
    home.close()
    page = FirstAid()
    pages = print_set.pages(kiln.ThisKiln(), datetime.date(2026, 5, 4))
    printed = "".join(pages[name].decode() for name in ("first_aid", "first_aid_2")).replace("\u00a0", " ")
    for trouble in TROUBLES:
        for said in map(html.escape, trouble):
            assert said in page.list.value and said in printed
    page.close()


def test_first_aid_and_the_lessons_have_one_rule_of_who_may_mend_what():
    said = {found: rest for found, *rest in TROUBLES}
    rule = "A trained person may look at a belt and tighten it after full lock-out, as your site’s rules say."
    assert "Breaker and wiring are for licensed people. " + rule in said["A dead fan"][2]
    for lesson in ("09_the_machine", "14_find_the_trouble"):
        assert rule in (books.WORKBOOKS / f"{lesson}.ipynb").read_text("utf-8"), lesson
    belt = text("trouble.mend.tighten_the_belt")
    assert "lock out" in belt and "trained person" in belt
    assert "Lesson 09" in said["A compressor that tripped"][2]
    first, _, after = said["A power cut on day 4"]
    assert "a few degrees at a time" in first and "same day" in after


def test_first_aid_begins_with_what_cannot_wait_and_turns_no_dial_there():
    found = [trouble[0] for trouble in TROUBLES]
    assert found[:2] == ["Smoke or fire", "A kiln far over its set temperature"]
    said = {found: " ".join(rest) for found, *rest in TROUBLES}
    fire, hot, strips, leak, water = (said[name] for name in found[:5])
    assert "doors shut" in fire and "fire service" in fire and "Nobody goes in" in fire
    assert (
        "Switch off heat and compressor" in hot and "disconnect or breaker" in hot and "disconnect or breaker" in strips
    )
    assert "licensed electrician" in hot and "licensed electrician" in strips and "licensed electrician" in water
    assert "Everybody out" in leak and "licensed refrigeration person" in leak
    for name in found[:5]:
        assert not re.search(r"wet bulb \d|setpoint check", said[name]), name
    first, *_ = next(rest for name, *rest in TROUBLES if name == "Checks in the faces")
    assert first.index("bulbs tell the truth") < first.index("2 or 3 °F higher")
    assert "before the power returns" in said["A power cut on day 4"]
    assert "backward" in said["Mold on wet faces"] and "reads low" in said["Mold on wet faces"]
    assert "do not raise the dry bulb" in said["Stain in white wood or pine"]


def test_the_first_thing_to_do_is_done_from_outside():
    for found, first, _, after in TROUBLES:
        assert not re.search(r"gaps|dead spots|wick|coil|sticker|go in", first), found
        if re.search(r"gaps|wick", after):
            assert "after the entry steps" in after, found


def test_a_learner_hands_in_only_where_the_server_names_a_folder(mill, monkeypatch, tmp_path):
    monkeypatch.delenv(class_book.HAND_IN, raising=False)
    home = Home()
    assert home.view.children[-1].children == ()
    home.close()
    drop = tmp_path / "drop"
    monkeypatch.setenv(class_book.HAND_IN, str(drop))
    home = Home()
    (button,) = home.view.children[-1].children
    assert button.description == "Hand to my trainer"
    home.hand_in()
    assert "nothing to hand in" in home.saying.value
    open_record().answered("wood-a", "80", True)
    home.hand_in()
    assert "is not there" in home.saying.value
    drop.mkdir()
    home.hand_in()
    (path,) = drop.glob("*.csv")
    assert "Handed in" in home.saying.value and str(path) in home.saying.value and b"wood-a" in path.read_bytes()
    home.close()
