"""The defect finder: table, scoring, reading of words, thirty described cases, pictures, panel; and lesson 10."""

import csv
import functools
import itertools
import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import ipywidgets
import numpy as np
import pytest

from kilnlib import tables
from kilnlib.bench.drawings import warp
from kilnlib.bench.drawings.defects import DRAWN, HEIGHT, WIDTH, drawing
from kilnlib.bench.panels import open_panel
from kilnlib.errors import BadInput, NotFound, OutOfRange
from kilnlib.physics import conditioning
from kilnlib.physics.defects import (
    Seen,
    defects,
    find_defects,
    finder,
    read_description,
    sign_weight,
    signs,
    wood_words,
)
from kilnlib.physics.samples import safe_rate_pct_per_day
from kilnlib.physics.wood import dried_place_m, shrinkage_pct, species
from kilnlib.questions import bank
from kilnlib.questions.marking import mark
from kilnlib.units import IN_M
from kilnlib.words import text

ROOT = Path(__file__).resolve().parents[3]
CASES = list(csv.DictReader((Path(__file__).parents[2] / "data" / "defect_cases.csv").open(encoding="utf-8")))
COLUMNS = {"appearance", "cause", "prevention", "cure", "stage"}
every_defect = pytest.mark.parametrize("key", defects())


def first(*present, wood="", absent=()):
    """Key of the likeliest defect."""
    return find_defects(Seen(frozenset(present), frozenset(absent), wood=wood)).likely[0].defect.defect


# the table -----------------------------------------------------------------------------------------------------------


def test_signs_are_of_an_aspect_and_each_is_shown_by_a_defect():
    assert {sign.aspect for sign in signs().values()} == set(finder.ASPECTS)
    for key, sign in signs().items():
        assert sign_weight(key) > 0 or any(key in one.may for one in defects().values()), key
        assert set(sign.after) <= set(signs())
        assert sign.question.endswith("?")
        assert all(key in signs()[other].rules_out for other in sign.rules_out)


@every_defect
def test_a_row_is_whole(key):
    defect = defects()[key]
    assert defect.see and defect.when
    for aspect in finder.ASPECTS:
        assert all(signs()[sign].aspect == aspect for sign in getattr(defect, aspect))
    assert defect.look_alikes and set(defect.look_alikes) <= set(defects()) - {key}
    assert defect.curable in ("yes", "partly", "hardly", "no")
    assert defect.cure.lower().startswith(
        {"no": ("no", "seldom"), "hardly": ("hardly", "mostly not")}.get(defect.curable, defect.curable)
    )
    assert set(defect.sure) <= set(defect.see)
    assert not any(defect.shows(sign) for sign in defect.may)
    assert set(defect.remembered) <= COLUMNS and (defect.how == "retrieved" or not defect.remembered)
    assert set(defect.only) <= {"hardwood", "softwood"}
    for words in (defect.appearance, defect.cause, defect.prevention, defect.cure):
        assert words.endswith(".")
        assert len(words.split()) <= 31
        assert not re.search(r"\b(simply|just|obviously|certified|compliant|safe to enter)\b", words, re.I)


def test_no_two_defects_share_a_name_that_is_theirs_alone():
    shared = {"bow / crook / twist"}
    names = [name.strip() for one in defects().values() for name in one.also_called.split(";")]
    assert {name for name in names if names.count(name) > 1} == shared


@every_defect
def test_all_its_own_signs_put_a_defect_first(key):
    defect = defects()[key]
    assert first(*defect.see, *defect.where, *defect.when, wood=(*defect.wood, "")[0]) == key


def test_a_row_more_is_a_defect_more(monkeypatch):
    """What a trainer has to do: one row, with signs that exist."""
    row = tables.records("defects")[0] | {"defect": "new_one", "see": "sour_smell pitch", "where": "", "when": ""}
    real = tables.records
    monkeypatch.setattr(tables, "records", lambda name: real(name) + [row] * (name == "defects"))
    defects.cache_clear()
    try:
        assert first("sour_smell", "pitch") == "new_one"
        row["see"] = "no_such_sign"
        defects.cache_clear()
        with pytest.raises(NotFound, match="no_such_sign"):
            defects()
    finally:
        monkeypatch.undo()
        defects.cache_clear()
    assert "new_one" not in defects()


# scoring -------------------------------------------------------------------------------------------------------------


def test_a_sign_counts_by_how_much_it_narrows():
    assert sign_weight("prongs_in") == pytest.approx(np.log2(len(defects())))
    showing = sum(one.shows("machining") for one in defects().values())
    assert sign_weight("machining") == pytest.approx(np.log2(len(defects()) / showing))
    assert sign_weight("machining") < sign_weight("prongs_in")


def test_points_add_up():
    found = find_defects(Seen(frozenset({"widening", "late", "on_face"}), frozenset({"planed_cracks"}), wood="red oak"))
    honeycomb = next(one for one in found.likely if one.defect.defect == "honeycomb")
    wanted = sign_weight("widening") + sign_weight("late") - 1.0 + 1.0
    assert honeycomb.points == pytest.approx(wanted)  # planed cracks it can lack
    assert (honeycomb.fits, honeycomb.against) == (("widening", "late"), ("on_face",))
    lacking = finder._likely(defects()["honeycomb"], Seen(frozenset({"late"}), frozenset({"inside_cracks"})), set())
    assert lacking.points == pytest.approx(sign_weight("late") - sign_weight("inside_cracks"))
    beside = finder._likely(defects()["honeycomb"], Seen(frozenset({"washboard"})), set())
    assert (beside.points, beside.fits, beside.against) == (0.0, (), ())


def test_a_sign_that_rules_another_out_counts_against_who_needs_that():
    found = find_defects(Seen(frozenset({"prongs_straight", "pinches_saw"})))
    assert [one.defect.defect for one in found.likely] == ["lengthwise_stress"]
    assert find_defects(Seen(frozenset({"growth", "stays"}))).likely[0].defect.defect != "mold"


def test_what_is_seen_comes_before_place_and_time():
    likely = find_defects(Seen(frozenset({"face_cracks", "on_face", "early"}))).likely
    assert all("face_cracks" in one.fits for one in likely)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("99 %", ()),
        ("late, in a few boards, at the ends of red oak", ()),
        ("no cracks at all, prongs do not bend", ()),
        ("prongs stay straight", ()),
        ("not casehardened", ()),
        ("washboard", ("collapse",)),
        ("casehardened", ("casehardening",)),
        ("case-hardened ash", ("casehardening",)),
        ("reverse case hardening", ("reverse_casehardening",)),
        ("growth stress", ("lengthwise_stress",)),
        ("planer split", ("roller_split",)),
        ("warped", ("cup", "bow", "crook", "twist")),
        ("bent like a boat", ("cup", "bow", "crook", "twist")),
        ("blue spots", ("blue_stain",)),
    ],
)
def test_no_name_from_too_little_and_the_names_people_use(words, wanted):
    likely = [one.defect.defect for one in find_defects(read_description(words)).likely]
    assert likely[: len(wanted) or 1] == list(wanted)


def test_every_name_is_understood():
    for key, one in defects().items():
        for name in (one.name.split(" (")[0], *one.phrases.replace("; ", ";").split(";")):
            if name and "/" not in name:
                assert find_defects(read_description(name)).likely[0].defect.defect == key, name


def test_nothing_seen_finds_nothing():
    assert find_defects(Seen()) == finder.Diagnosis((), None)
    with pytest.raises(NotFound, match="no_such"):
        find_defects(Seen(frozenset({"no_such"})))


def test_the_wood_counts():
    assert first("stays", "machining", wood="basswood") == "sticker_stain"
    for wood, gray, brown in (("red oak", True, False), ("white pine", False, True), ("", True, True)):
        found = {one.defect.defect for one in find_defects(Seen(frozenset({"stays"}), wood=wood)).likely}
        assert ("gray_stain" in found, "brown_stain" in found) == (gray, brown), wood
    assert {"oak", "hardwood"} <= wood_words("red oak") and {"pine", "softwood"} <= wood_words("pine")
    assert wood_words("unobtainium") == {"unobtainium"} and wood_words("") == set()


def test_one_observation_parts_any_two():
    """For every two defects a learner can be torn between: yes helps the one it names, no helps the other."""

    def points(key, **seen):
        return finder._likely(defects()[key], Seen(**seen), set()).points

    settled = 0
    for pair in itertools.combinations(defects(), 2):
        part = finder._part([finder.Likely(defects()[key], 1.0, (), ()) for key in pair], Seen())
        (other,) = set(pair) - {part.yes.defect}
        observed = frozenset({part.sign.sign})
        assert points(part.yes.defect, present=observed) > points(other, present=observed), pair
        assert not defects()[other].shows(part.sign.sign) and part.sign.sign not in defects()[other].may
        if part.no is not None:
            settled += 1
            assert part.no.defect == other and part.sign.sign in part.yes.sure
            assert points(part.yes.defect, absent=observed) < points(other, absent=observed), pair
    assert settled > 320  # of 325; in the others "no" leaves it open


QUESTIONS = [  # of what is seen: the question's sign, whom "yes" names, whom "no" names
    ("dark_streaks", "gray_inside", "gray_stain", "mineral_streak"),
    ("washboard", "inside_cracks", "honeycomb", "collapse"),
    ("loose_knots", "pitch", "pitch", "knots"),
    ("planed_cracks", "inside_cracks", "honeycomb", "surface_checks"),
    ("dirty_cracks", "inside_cracks", "honeycomb", "surface_checks"),
    ("inside_cracks", "end_cracks", "end_checks", "honeycomb"),
    ("prongs_in", "rip_bends", "lengthwise_stress", "casehardening"),
    ("prongs_out", "halves_cup_in", "casehardening", "reverse_casehardening"),
    ("brown_zone", "blue_sapwood", "blue_stain", "brown_stain"),
    ("pith_cracks", "ring_cracks", "ring_failure", "boxheart_split"),
    ("metal_marks", "blue_sapwood", "blue_stain", "iron_stain"),
    ("growth", "brushes_off", "mold", None),
    ("tear_out", "too_dry", "overdrying", None),
]


@pytest.mark.parametrize(("seen", "sign", "yes", "no"), QUESTIONS)
def test_yes_and_no_name_the_right_one(seen, sign, yes, no):
    part = find_defects(Seen(frozenset({seen}))).part
    assert (part.sign.sign, part.yes.defect, part.no and part.no.defect) == (sign, yes, no)


def test_mineral_streak_stays_after_planing_and_a_crack_is_cut_only_where_one_is():
    assert "stays" in defects()["mineral_streak"].sure
    for key in ("widening", "dirty_cracks", "stays", "brushes_off"):
        for one in defects():
            seen, asked = Seen(frozenset(defects()[one].see[:1])), []
            while part := find_defects(seen).part:
                asked.append(part.sign.sign)
                seen = Seen(seen.present, skipped=seen.skipped | {part.sign.sign})
            assert key not in asked or seen.present & set(signs()[key].after), (key, one)


def test_what_is_answered_or_ruled_out_is_not_asked_again():
    asked, seen = [], Seen(frozenset({"pinches_saw"}))
    while (part := find_defects(seen).part) and len(asked) < 30:
        asked.append(part.sign.sign)
        seen = Seen(seen.present, seen.absent, seen.skipped | {part.sign.sign})
    assert len(asked) == len(set(asked)) > 3 and part is None
    found = find_defects(Seen(frozenset({"prongs_in", "pinches_saw"})))
    assert found.part.sign.sign not in ("prongs_straight", "prongs_out")


# reading -------------------------------------------------------------------------------------------------------------

READ = [
    ("prongs bend inward, board pinches the saw, target was 7 %", {"prongs_in", "pinches_saw"}, set()),
    ("The fingers spread apart", {"prongs_out"}, set()),
    ("prongs straight, no side bend when ripped", {"prongs_straight"}, {"rip_bends"}),
    ("Cupped, not twisted", {"cup"}, {"twist"}),
    ("No fuzz, it does not brush off; blue sapwood", {"stays", "blue_sapwood"}, {"brushes_off"}),
    ("fine cracks on the face at 60 % moisture", {"face_cracks", "on_face", "early"}, set()),
    ("", set(), set()),
    ("hello there", set(), set()),
]


@pytest.mark.parametrize(("words", "present", "absent"), READ)
def test_words_become_signs(words, present, absent):
    seen = read_description(words)
    assert present <= seen.present and absent <= seen.absent
    assert not seen.present & seen.absent
    if not present:
        assert seen == Seen()


def test_a_percent_tells_the_stage_unless_it_is_of_something_else():
    assert "early" in read_description("cracks at 58 %").present
    assert "late" in read_description("cracks at 18 %").present
    for words in ("RH 58 % all week", "the target was 18 %", "EMC 58 %"):
        assert not {"early", "middle", "late"} & read_description(words).present, words


def test_the_wood_is_read():
    for words, wood in (
        ("8/4 white oak", "oak, white, upland"),
        ("red oak and ash", "oak, red, upland"),
        ("gray maple", "maple"),
        ("walnut", "walnut, black"),
        ("boards", ""),
    ):
        assert read_description(words).wood == wood
    assert read_description("red oak", "hard maple").wood == "hard maple"


# thirty described cases ----------------------------------------------------------------------------------------------
# They were written by somebody who had not seen the tables, and the tables by somebody who had not seen them. What
# they say of look, place, time and history is joined and read as one description; the wood is the column of that name.
# An answer is the defect of that name or of one of its other names.
#   First run, blind:                                                                              22 first, 28 in three
#   Mended from the sources: end checks may go on inside (Wood Handbook p. 13-10); honeycomb is
#   wider inside, a bottleneck (Wengert, Deep surface checking):                                   23 first, 29 in three
#   Then words that had been misread were added ("cupped" halves, "gray-blue", "whole board" for the
#   whole charge, "two weeks" for the second week, "past target", "narrower than"):                27 first, 30 in three
#   Then what is seen was put before place and time (the last two are not blind any more):         28 first, 30 in three
#   Then signs a defect never lacks were told from those it can lack, and names are understood
#   and place and time alone name nothing; "hair-fine" splits were added after that case had missed
#   (not blind either, and one first place fewer):                                                 27 first, 30 in three
#   Then phrases that another reader had missed were added ("tongues", "oozing", "resaw closes"):  27 first, 30 in three


@functools.cache
def readings():
    """What is read in each case: once, for it takes a tenth of a second."""
    told = {case["id"]: ". ".join(case[name] for name in ("look", "where", "when", "history")) for case in CASES}
    return {case["id"]: read_description(told[case["id"]], case["species"]) for case in CASES}


def ranks(readings):
    """Place of the right answer in each case, 0 where it is not in the list."""
    named = {}
    for one in defects().values():
        for name in (one.name, *one.also_called.split(";")):
            named.setdefault(name.strip().casefold(), set()).add(one.defect)
    places = {}
    for case in CASES:
        likely = [one.defect.defect for one in find_defects(readings[case["id"]]).likely]
        right = named[case["defect"].casefold()]
        places[case["id"]] = next((place for place, key in enumerate(likely, 1) if key in right), 0)
    return places


def test_thirty_cases():
    assert len(CASES) == 30
    places = list(ranks(readings()).values())
    assert places.count(1) == 27
    assert sum(1 <= place <= 3 for place in places) == 30


def test_a_broken_table_would_be_noticed():
    """The cases can fail: without what is seen, place and time alone name far fewer."""
    woods = {case["id"]: case["species"] for case in CASES}
    blind = {
        name: Seen(frozenset(s for s in seen.present if signs()[s].aspect != "see"), wood=woods[name])
        for name, seen in readings().items()
    }
    assert list(ranks(blind).values()).count(1) < 15


# warp ----------------------------------------------------------------------------------------------------------------


def cup(width, pith_distance, radial_pct, tangential_pct):
    """How far the edges of the bark side stand above its middle; all lengths in one unit."""
    _, edge = dried_place_m(0.5 * width, pith_distance, radial_pct, tangential_pct)
    _, middle = dried_place_m(0.0, pith_distance, radial_pct, tangential_pct)
    return edge - middle


def test_no_difference_no_warp():
    x, y = dried_place_m(np.array([0.03, -0.02]), np.array([0.05, 0.08]), 5.0, 5.0)
    assert x == pytest.approx([0.0285, -0.019]) and y == pytest.approx([0.0475, 0.076])
    assert cup(0.2, 0.1, 5.0, 5.0) == pytest.approx(0.0, abs=1e-12)


def test_it_shrinks_by_both_numbers_everywhere():
    """A short way across the rings and one along them, at several places and directions that keep their place."""
    for angle, radius, about in itertools.product((0.3, 1.2, 2.5), (0.02, 0.2), (20.0, 90.0)):
        at = radius * np.exp(1j * angle)

        def dried(place, about=about):
            return complex(*dried_place_m(place.real, place.imag, 4.0, 8.6, about))

        across = dried(at * (1 + 1e-6)) - dried(at)
        along = dried(at * np.exp(1e-6j)) - dried(at)
        assert abs(across) / (1e-6 * radius) == pytest.approx(0.96, rel=1e-4)
        assert abs(along) / (1e-6 * radius) == pytest.approx(0.914, rel=1e-4)
        assert (across * along.conjugate()).real == pytest.approx(0.0, abs=1e-3 * abs(across) * abs(along))


def test_cup_is_hollow_on_the_bark_side_and_near_the_small_angle_form():
    far = cup(0.15, 0.6, 3.07, 6.59)
    assert far == pytest.approx((0.0659 - 0.0307) * 0.15**2 / (4 * 0.6), rel=0.04)
    assert far > 0 > cup(0.15, 0.6, 6.59, 3.07)
    with pytest.raises(OutOfRange):
        dried_place_m(0.1, 0.1, 41.0, 6.0)


def test_the_picture_of_the_log_is_what_the_numbers_give():
    assert warp.FILE.read_text(encoding="utf-8") == warp.drawing()
    shape = {letter: warp.dried(letter)[1] for letter in warp.PIECES}
    bark = shape["A"][28:43].imag  # from one edge to the other
    assert min(bark[0], bark[-1]) > bark[7] + 3  # hollow toward the bark
    corners = shape["D"][::14] - shape["D"].mean()
    toward, beside = abs(corners[0] - corners[2]), abs(corners[1] - corners[3])
    assert beside < 0.93 * toward  # the diagonal along the rings has lost more
    green, dry, _ = warp.dried("B")
    assert np.ptp(dry.real) / np.ptp(green.real) > np.ptp(dry.imag) / np.ptp(green.imag)


# pictures ------------------------------------------------------------------------------------------------------------


def test_every_defect_has_a_picture_of_its_own():
    assert set(DRAWN) == set(defects())
    pictures = [drawing(key, "x") for key in defects()]
    assert len(set(pictures)) == len(pictures)
    assert drawing("a_row_without_one", "x") not in pictures


@every_defect
def test_a_picture_is_whole_and_says_what_it_shows(key):
    alt = f'Drawing of {defects()[key].name}. {defects()[key].appearance} "<&>'
    picture = ET.fromstring(drawing(key, alt, 100))
    assert picture.get("role") == "img" and picture.get("aria-label") == alt
    assert (picture.get("width"), picture.get("viewBox")) == ("100", f"0 0 {WIDTH} {HEIGHT}")
    for shape in picture.iter():
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.get("d", "")):
            assert -3 <= float(x) <= WIDTH + 3 and -3 <= float(y) <= HEIGHT + 3
        if shape.tag.endswith("text"):
            assert float(shape.get("font-size")) >= 16
    assert not any(other.get("id") for other in picture.iter())  # several on one page


# the panel -----------------------------------------------------------------------------------------------------------


@pytest.fixture
def panel():
    opened = open_panel("defect_finder")
    yield opened
    opened.close()


def told(panel):
    """Everything the panel says, as plain text."""
    parts = (panel.saying, panel.answers, panel.question)
    return " ".join(re.sub(r"<[^>]+>", " ", " ".join(part.value for part in parts)).split())


def test_the_three_minute_case(panel):
    panel.describe("prongs bend inward, board pinches the saw, target was 7 %")
    assert panel.last_error is None
    assert panel.diagnosis.likely[0].defect.defect == "casehardening"
    for words in (
        "Casehardening",
        "skin set stretched",
        "Can it be cured? Yes. Condition it",
        "target + 4 (7 %: EMC 11",
        "until the prongs stay straight. Lesson 11.",
    ):
        assert words in told(panel), words
    assert panel.boxes["prongs_in"].value and panel.boxes["pinches_saw"].value
    assert panel.kind.value == "cut" and panel.boxes["prongs_in"] in panel.ticks.children
    assert 'role="img"' in panel.answers.value and "Drawing of Casehardening" in panel.answers.value
    assert panel.answers.value.count('aria-live="polite"') == 1


def test_whoever_is_sent_to_a_saw_is_warned_first():
    sent = [sign for sign in signs().values() if re.search(r"\b(rip|resaw)\b", sign.question, re.I)]
    assert {sign.sign for sign in sent} == {"pinches_saw", "halves_cup_in", "halves_cup_out", "rip_bends"}
    assert all(re.match(r"⚠ Guard on, push stick", sign.question) for sign in sent)
    part = next(line for line in LESSON["worked-example"].splitlines() if "rip a piece" in line)
    assert "guard on, with a push stick" in part


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("resaw closes up", "casehardening"), ("tongues bend in", "casehardening"), ("sap oozing, pine", "pitch"),
        ("cracks you only see after crosscutting, oak, core looks torn", "honeycomb"),
        ("grey cracks inside hickory", "honeycomb"),
    ],
)  # fmt: skip
def test_plain_words_of_a_reader(words, wanted):
    """Not a check of how well it reads: the phrases were added after a reader had typed these."""
    assert find_defects(read_description(words)).likely[0].defect.defect == wanted


def test_what_names_nothing_says_why(panel):
    panel.describe("99 % and no cracks on the face")
    assert panel.last_error is None and panel.answers.layout.display == ""
    assert "not: Short cracks on the wide face" in told(panel) and "That names no defect yet" in told(panel)
    panel.reset()
    panel.tick("prongs_straight")
    assert (
        "what you want" in told(panel)
        and "push stick, hands off the cut if it closes: rip a piece" in told(panel)
        and not panel.diagnosis.likely
    )
    panel.describe("casehardened")
    assert "you name it Casehardening" in told(panel) and "fits 0" not in told(panel)


def test_the_card_gives_the_number_of_conditioning():
    assert conditioning.condition(7.0).emc_pct == 11.0 and conditioning.condition(7.0, "softwood").emc_pct == 10.0
    assert (ROOT / "workbooks" / "11_equalize_and_condition.ipynb").exists()


def test_ticks_do_the_same_as_words(panel):
    panel.boxes["sticker_bands"].value = True
    panel.places["where"].value = "under_stickers"
    panel.places["when"].value = "machining"
    panel.wood.value = "hard maple"
    assert panel.seen == Seen(frozenset({"sticker_bands", "under_stickers", "machining"}), wood="hard maple")
    assert "Sticker stain: fits 3 of 3 signs" in told(panel)
    panel.places["where"].value = ""
    panel.boxes["sticker_bands"].value = False
    assert panel.seen.present == {"machining"}


def test_the_parting_question_changes_the_order(panel):
    panel.tick("inside_cracks")
    part = panel.diagnosis.part
    assert part.sign.question in told(panel)
    before = [one.defect.defect for one in panel.diagnosis.likely]
    reply = "no" if part.yes.defect == before[0] else "yes"
    panel.answer(reply)
    assert panel.diagnosis.likely[0].defect.defect != before[0]
    panel.reset()
    panel.tick("inside_cracks")
    panel.answer("pass")
    assert panel.seen.skipped == {part.sign.sign}
    assert [one.defect.defect for one in panel.diagnosis.likely] == before
    assert panel.diagnosis.part.sign.sign != part.sign.sign


def test_each_likely_defect_can_be_looked_at(panel):
    panel.tick("inside_cracks")
    assert [key for _, key in panel.names.options] == [one.defect.defect for one in panel.diagnosis.likely[:3]]
    for one in panel.diagnosis.likely[:3]:
        panel.names.value = one.defect.defect
        assert one.defect.name in told(panel) and html_of(one.defect.cause) in panel.answers.value


def html_of(words):
    """Words as they stand in HTML."""
    return words.replace("&", "&amp;").replace("'", "&#x27;")


def test_words_that_say_nothing_are_refused_and_no_old_tick_stays(panel):
    panel.tick("cup")
    panel.describe("hello")
    assert isinstance(panel.last_error, BadInput)
    assert "Nothing in “hello” is a sign this finder knows" in told(panel)
    assert panel.seen == Seen() and not panel.boxes["cup"].value
    assert panel.words.value == "hello"
    shown = (panel.names, panel.answers, panel.replies)
    assert [part.layout.display for part in shown] == ["none"] * 3  # the card of other words does not stay under it
    panel.tick("cup")
    assert [part.layout.display for part in shown] == [""] * 3 and "Cup: fits" in told(panel)
    panel.reset()
    assert [place.label for place in panel.places.values()] == ["anywhere, or not sure", "not sure when it showed"]
    assert panel.last_error is None and panel.seen == Seen() and panel.words.value == ""
    assert "fc-answer" not in panel.answers.value and panel.replies.layout.display == "none"
    assert not any(box.value for box in panel.boxes.values())


def test_a_wood_that_is_not_on_the_list_joins_it(panel):
    panel.describe("washboard face on walnut")
    assert panel.wood.value == "walnut, black"
    panel.describe("cracks on the face of red oak")
    assert panel.wood.value == "red oak" and ("Walnut, black", "walnut, black") not in panel.wood.options


def test_every_sign_can_be_reached_and_no_list_is_long(panel):
    reached = []
    for _, kind in panel.kind.options:
        panel.kind.value = kind
        assert 1 <= len(panel.ticks.children) <= 7
        reached += [box.description for box in panel.ticks.children]
    assert sorted(reached) == sorted(sign.label for sign in signs().values() if sign.aspect == "see")
    for aspect, place in panel.places.items():
        assert [key for _, key in place.options[1:]] == [key for key, sign in signs().items() if sign.aspect == aspect]


def test_memory_is_told(panel):
    panel.tick("twist")
    assert "(from memory)" in told(panel)
    panel.reset()
    panel.tick("inside_cracks")
    assert "from memory: next charge" in told(panel)


def test_nothing_is_left_behind():
    registry = ipywidgets.widgets.widget._instances
    start = len(registry)
    opened = open_panel("defect_finder")
    opened.describe("prongs bend in")
    opened.kind.value = "color"
    opened.close()
    assert len(registry) == start


# lesson 10 -----------------------------------------------------------------------------------------------------------


def prose(path):
    """Markdown of a notebook by cell."""
    cells = json.loads((ROOT / path).read_text(encoding="utf-8"))["cells"]
    return {cell["id"]: "".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"}


LESSON, KEY = (
    prose(path) for path in ("workbooks/10_stress_and_defects.ipynb", "answers/10_stress_and_defects_key.ipynb")
)


def test_the_faulty_log_adds_up():
    rows = re.findall(r"^\| (\d+) \| ([\d.]+) % \| ([\d.]+) \|", LESSON["find-the-fault"], re.M)
    days, mcs, points = (np.array(column, float) for column in zip(*rows, strict=True))
    daily = -np.diff(mcs) / np.diff(days)
    assert daily[:3] == pytest.approx(points[1:4], abs=0.05)
    for mean, before, after in zip(daily[3:], points[3:-1], points[4:], strict=True):
        assert min(before, after) - 0.3 <= mean <= max(before, after) + 0.3
    limit = safe_rate_pct_per_day("red oak", "4/4")
    assert f"{limit} points" in LESSON["find-the-fault"]
    assert list(days[points > limit]) == [4, 5]


def test_numbers_of_question_a():
    question = bank.load("stress-a")
    for row in question.numbers:
        values = question.values(row)
        assert values["answer"] == pytest.approx(row["w"] * 0.086 * (30 - row["mc"]) / 30)


def test_the_key_tells_the_hit_rates_and_the_cup():
    assert "right defect stood first in 22 and among the first three in 28" in KEY["discussion"]
    places = list(ranks(readings()).values())
    assert f"({places.count(1)} and {sum(1 <= one <= 3 for one in places)})" in KEY["discussion"]
    oak = species("red oak")
    radial, tangential = (shrinkage_pct(total, 7.0, oak.fsp_pct) for total in (oak.radial_pct, oak.tangential_pct))
    assert f"about {cup(8.0, 4.0, radial, tangential):.2f} in at 7 %" in KEY["discussion"]


def test_the_key_tells_what_the_stress_panel_shows():
    cells = r"(never|days [\d.]+ to [\d.]+) \| ([\d.]+), day ([\d.]+) \| day ([\d.]+), at ([\d.]+) % \| ([\d.]+) days"
    row = re.compile(rf"^\| ([\w -]+) \| ([\d.]+), day ([\d.]+) \| {cells} \| ([\d.]+) in \|$", re.M)
    shown = {name: numbers for name, *numbers in row.findall(KEY["look-answers"])}
    stress = open_panel("stress")
    try:
        for name in stress.presets:
            stress.pick(name)
            run = stress.result.run
            high, day, over, *rest = shown.pop(text(f"stress.preset.{name}"))
            told = [run.peak.index, run.peak.hour / 24, run.early_index, run.early_h / 24, run.reversal_h / 24]
            told += [run.reversal_pct, run.end_h / 24, run.day_tip_m[-1] / IN_M]
            indexes = (0, 2, 7)
            for place, (key, ours) in enumerate(zip((high, day, *rest), told, strict=True)):
                within = 0.0051 if place in indexes else 0.51 if place == 5 else 0.051
                assert float(key) == pytest.approx(ours, abs=within), (name, place)
            above = run.hours[run.index > 1] / 24
            found = [float(one) for one in re.findall(r"[\d.]+", over)]
            assert found == pytest.approx([above[0], above[-1]] if len(above) else [], abs=0.1)
            assert run.peak.depth_m == 0.0
    finally:
        stress.close()
    assert not shown


def test_the_rows_the_key_calls_remembered_are():
    assert {key for key, one in defects().items() if one.how == "memory"} == {
        "cup", "bow", "crook", "twist", "diamond", "boxheart_split", "knots", "roller_split",
        "reverse_casehardening", "overdrying", "iron_stain", "mineral_streak",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("It is stress, the shell set stretched and the core pulls on it. Condition with humid air, hot.", True),
        ("No skin: the outside is in compression and the inside in tension. Steam it at the end.", True),
        ("There’s no hard skin holding water in. It is stress; condition it.", True),
        ("Casehardening does not hold water in, it is stress. Condition it.", True),
        ("Don’t dry it longer, it’s stress. Steam it.", True),
        ("He is wrong, drying it longer only overdries it. It is stress: condition it.", True),
        ("Drying longer won't help. The skin set wide: hot, humid air.", True),
        ("It is stress, a hard skin holding water in. Condition it.", False),
        ("No, dry it longer and then condition, that is the stress.", False),
        ("There is a hard skin, dry it longer", False),
        ("It is stress.", False),
        ("Condition it.", False),
    ],
)
def test_reasons_in_other_words(written, right):
    question = bank.load("stress-check-3")
    assert mark(question, question.numbers[0], written).right is right


def test_the_partners_advice_has_its_hint():
    marked = mark(bank.load("stress-check-3"), {}, "He is right, dry it longer")
    assert not marked.right and "no water to fetch" in marked.feedback


def test_hints_of_question_a_hold_when_its_numbers_change():
    """The last hint stays on the screen while the prompt gets new numbers, so it may hold none of them."""
    question = bank.load("stress-a")
    hints = set()
    for row in question.numbers:
        for typed in (row["w"] * 0.086, question.values(row)["share"], row["w"] * 0.086 * row["mc"] / 30, 50):
            marked = mark(question, row, str(typed))
            assert not marked.right
            hints.add(marked.feedback)
    assert len(hints) == 4
    assert not any(set(re.findall(r"[\d.]*\d", hint)) - {"30", "2", "1"} for hint in hints)


def test_one_limit_for_surface_checks():
    for words in (LESSON["stages"], LESSON["tomorrow"], defects()["surface_checks"].stage, signs()["early"].question):
        assert "50 %" in words and "45 %" not in words


def test_the_partners_picture_has_its_hint():
    marked = mark(bank.load("stress-check-3"), {}, "The skin traps water in, so dry it longer")
    assert (marked.right, marked.misconception_id) == (False, "MX14")


def test_the_worked_example_gives_the_number_and_where_it_is_taught():
    cure = next(part for part in LESSON["worked-example"].splitlines() if "Cure" in part)
    assert "target + 4 (7 %: EMC 11)" in cure and "Lesson 11" in cure
    assert not re.search(r"casehard\w*[^.]*fast|fast[^.]*casehard", " ".join(LESSON.values()) + str(defects()), re.I)


@pytest.mark.parametrize("words", ["crack", "cracks", "its cracked", "board has a crack"])
def test_a_crack_alone_is_asked_for_its_place(words):
    panel = open_panel("defect_finder")
    panel.describe("boards bowed like a banana")
    panel.describe(words)
    assert panel.last_error is None
    assert "in the wide face, in the end of the board, or inside" in panel.saying.value
    assert not panel.seen.present and not panel.names.value  # what was said before is gone
    assert panel.kind.value == "cracks"
    panel.tick("end_cracks")
    assert panel.diagnosis.likely


@pytest.mark.parametrize("words", ["black spots", "dark spots on the boards", "the lumber has black marks", "stains"])
def test_a_dark_spot_alone_is_asked_which(words):
    panel = open_panel("defect_finder")
    panel.describe("boards bowed like a banana")
    panel.describe(words)
    assert panel.last_error is None
    assert "where iron touched? Tick it" in panel.saying.value and "Mold, pitch, smell" in panel.saying.value
    assert not panel.seen.present and panel.kind.value == "color"
    assert "Mold, pitch, smell" in [label for label, _ in panel.kind.options]
    panel.tick("metal_marks")
    assert panel.diagnosis.likely[0].defect.defect == "iron_stain"


def test_a_crack_with_a_place_that_names_no_sign_is_still_asked_for_its_place():
    panel = open_panel("defect_finder")
    panel.describe("my oak cracked in the yard")
    assert "in the wide face, in the end of the board, or inside" in panel.saying.value
    assert panel.places["when"].value == "waiting" and panel.wood.value


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("blue wood", "blue_stain"), ("wood turned blue", "blue_stain"), ("the boards are blue", "blue_stain"),
        ("honeycom", "honeycomb"), ("honeycom inside", "honeycomb"), ("honey comb", "honeycomb"),
        ("honycomb in the oak", "honeycomb"), ("blue-black marks where the strap touched the boards", "iron_stain"),
    ],
)  # fmt: skip
def test_a_few_words_and_a_slip_of_the_pen_are_understood(words, wanted):
    assert find_defects(read_description(words)).likely[0].defect.defect == wanted


def test_until_something_is_said_the_pictures_of_what_it_may_be_stand_there(panel):
    def pictured():
        return re.findall(r"<figcaption>(.*?)</figcaption>", panel.answers.value)

    assert pictured() == ["Surface checks", "Honeycomb", "End checks and end splits"]
    assert panel.answers.value.count("<svg") == 3 and 'aria-label="Drawing of Honeycomb.' in panel.answers.value
    panel.kind.value = "shape"
    assert "Cup" in pictured() and "Honeycomb" not in pictured()
    panel.tick("cup")
    assert pictured() == [] and "fc-answer" in panel.answers.value
    panel.kind.value = "cracks"
    assert pictured() == [], "what was found stays"
    panel.reset()
    assert "Honeycomb" in pictured()
    panel.describe("black spots")
    assert "Iron stain" in pictured() and "Tick it" in told(panel)
