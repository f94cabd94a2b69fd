"""The calculator, the question bank's checks, marking, and the ladder: everything about questions without widgets."""

import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from kilnlib import units
from kilnlib.errors import BadInput, BadQuestion, NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.questions import bank, calculator
from kilnlib.questions.marking import Ladder, answer_text, mark
from kilnlib.typed import read_quantity

DEMO = Path(__file__).parents[1] / "data" / "99_demo.toml"
QUESTIONS = {question.id.removeprefix("demo-"): question for question in bank.read(DEMO)}


def marked(name, typed, system="trade", row=0):
    question = QUESTIONS[name]
    return mark(question, question.numbers[row], typed, system)


# the calculator ----------------------------------------------------------------------------------------------------


def test_calculator_is_physics_in_trade_units():
    pressure = air.pressure_pa(900 * 0.3048)
    dry, wet = units.f_to_c(110), units.f_to_c(100)
    rh = air.rh_pct(dry, wet, pressure)
    expected = {
        "rh(110, 100, 900)": rh,
        "emc(110, 100, altitude_ft=900)": emc.emc_pct(dry, rh),
        "emc_rh(110, 65)": emc.emc_pct(dry, 65),
        "rh_for_emc(110, 10)": emc.rh_pct_for_emc(dry, 10),
        "wet_bulb(110, rh(110, 100, 900), 900)": 100,
        "dew_point(110, 100)": 110,
        "ratio(110, 60, 900)": air.humidity_ratio(dry, 60, pressure),
        "pressure_psi(0)": 101325 / 6894.757293,
        "saturation_pa(100)": air.saturation_pressure_pa(100),
        "c_to_f(100) - f_to_c(212)": 112,
        "mean([1, 2, 6]) + mean(1, 3)": 5,
        "max(sorted((3, 1))) + min(4, 2) + sum([1, 1]) + abs(-1) + round(2.345, 1)": 10.3,
        "2 ** 3 // 3 % 2 + -1": -1,
    }
    for expression, value in expected.items():
        assert calculator.value(expression) == pytest.approx(value, rel=1e-4), expression
    assert calculator.evaluate("1 < db <= 2", db=2) is True
    assert calculator.evaluate("sorted(boards)", boards=[3, 1]) == [1, 3]
    assert calculator.evaluate("emc_rh(rh, rh)", rh=70) == calculator.evaluate("emc_rh(70, 70)")


@pytest.mark.parametrize(
    "expression",
    [
        "__import__('os')",
        "open('x')",
        "().__class__",
        "rh.__globals__",
        "(1).real",
        "lambda: 1",
        "[x for x in (1, 2)]",
        "f'{1}'",
        "'text'",
        "'a' + 'b'",
        "[1] * 1000000000",
        "[[1]]",
        "'a' * 3",
        "True",
        "None",
        "1j",
        "1 if 2 else 3",
        "1 and 2",
        "not 1",
        "~1",
        "1 << 9",
        "1 in [1]",
        "rh",
        "rh(110, wb)",
        "rh(*[110, 100])",
        "rh(**{})",
        "min([1, 2], key=abs)",
        "(db := 3)",
        "1; 2",
        "1 +",
        "",
        "(" * 300 + "1" + ")" * 300,
    ],
)
def test_an_expression_may_hold_nothing_else(expression):
    with pytest.raises(BadQuestion) as caught:
        calculator.evaluate(expression)
    assert expression[:50] in str(caught.value)


@pytest.mark.parametrize(
    ("expression", "says"),
    [
        ("1 / 0", "ivision by zero"),
        ("9 ** 9 ** 9", "cannot be worked out"),
        ("rh(110)", "missing"),
        ("rh(110, 120)", "Wet bulb 120 °F is above dry bulb 110 °F"),
        ("min('a', 'b') < 1", "may not hold"),
        ("1 + " * 120 + "1", "longer than"),
        ("1e308 * 10", "gives inf"),
        ("1 < 2", "gives True"),
        ("[1, 2]", "one ordinary number"),
        ("(-8) ** 0.5", "one ordinary number"),
    ],
)
def test_an_expression_that_fails_says_why(expression, says):
    with pytest.raises(BadQuestion) as caught:
        calculator.value(expression)
    assert says in str(caught.value)
    assert expression[:40] in str(caught.value)


# the bank ----------------------------------------------------------------------------------------------------------

GOOD = """[[question]]
id = "demo-x"
kind = "number"
prompt = "Depression of {db:g} and {wb:g}?"
numbers = [{ db = 110, wb = 100 }, { db = 120, wb = 100 }]
answer = "db - wb"
unit = "°F"
quantity = "temperature_difference"
abs_tol = 0.5
right = "Yes."
hint = "Subtract."
misconceptions = [{ id = "MX31", when = "wb", hint = "That is {wb:g}." }]
steps = ["{answer:g}"]
source = "invented"
how = "computed"
"""
CHOICE = """[[question]]
id = "demo-y"
kind = "choice"
prompt = "Which?"
options = { A = "one", B = "two" }
answer = "B"
right = "Yes."
hint = "No."
steps = ["Two."]
source = "invented"
how = "computed"
"""


def read(tmp_path, content):
    file = tmp_path / "99_demo.toml"
    file.write_text(content, encoding="utf-8")
    return bank.read(file)


def test_a_sound_file_is_read(tmp_path):
    first, second = read(tmp_path, GOOD + CHOICE)
    assert (first.id, first.lesson, first.abs_tol, len(first.numbers)) == ("demo-x", "99_demo", 0.5, 2)
    assert second.numbers == ({},)
    with pytest.raises(AttributeError):
        first.answer = "0"


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('kind = "number"', 'kind = "essay"', "kind"),
        ('hint = "Subtract."\n', "", "hint"),
        ('source = "invented"', 'source = " "', "source"),
        ('how = "computed"', 'how = "guessed"', "how"),
        ('id = "demo-x"', 'id = "air-x"', "id"),
        ('unit = "°F"', 'unit = "lb"', "unit"),
        ('quantity = "temperature_difference"', 'quantity = "warmth"', "quantity"),
        ("abs_tol = 0.5", "abs_tol = -1", "abs_tol"),
        ("abs_tol = 0.5\n", "", "abs_tol"),
        ("abs_tol = 0.5", 'abs_tol = 0.5\nitems = { A = "a" }', "items"),
        ('answer = "db - wb"', 'answer = "db - wet"', "answer"),
        ('answer = "db - wb"', 'answer = "db > wb"', "answer"),
        ('"Depression of {db:g}', '"Depression of {dry:g}', "prompt"),
        ('steps = ["{answer:g}"]', "steps = []", "steps"),
        ('steps = ["{answer:g}"]', 'steps = ["{answer:q}"]', "steps"),
        ("{ db = 120, wb = 100 }", "{ db = 120 }", "numbers"),
        ("{ db = 120, wb = 100 }", '{ db = 120, wb = "cool" }', "answer"),
        ('answer = "db - wb"', 'with = { gap = "db - " }\nanswer = "db - wb"', "with.gap"),
        ('answer = "db - wb"', 'with = { answer = "db" }\nanswer = "db - wb"', "with"),
        ('when = "wb"', 'when = "1 / 0"', "when"),
        ('when = "wb"', 'pattern = "("', "pattern"),
        ('when = "wb"', 'option = "A"', "misconceptions"),
        ('when = "wb", ', "", "misconceptions"),
        ("That is {wb:g}.", "That is {wb:g.", "hint"),
        ('answer = "B"', 'answer = "C"', "answer"),
        ('B = "two"', 'D = "two"', "options"),
        ('hint = "No."', 'hint = "No."\nmisconceptions = [{ option = "B", hint = "No." }]', "misconceptions"),
        ('hint = "No."', 'hint = "No."\nmisconceptions = [{ option = "Q", hint = "No." }]', "misconceptions"),
    ],
)
def test_a_wrong_field_is_named_in_a_sentence(tmp_path, old, new, field):
    content = GOOD + CHOICE
    assert content.count(old) >= 1
    with pytest.raises(BadQuestion) as caught:
        read(tmp_path, content.replace(old, new, 1))
    assert field in str(caught.value)
    assert str(caught.value).startswith("Question ")


def test_a_file_that_is_no_toml_is_named(tmp_path):
    with pytest.raises(BadQuestion, match=r"99_demo\.toml"):
        read(tmp_path, GOOD + "id =")


def test_unknown_names_are_sentences():
    with pytest.raises(NotFound, match="air-nothing"):
        bank.load("air-nothing")
    with pytest.raises(NotFound, match="nothing"):
        bank.load("nothing")
    with pytest.raises(NotFound, match="02_air"):
        bank.questions("77_nothing")


def test_marking_needs_no_widgets():
    code = "import sys, kilnlib.questions.marking, kilnlib.questions.bank; sys.exit('ipywidgets' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0


# marking -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["71", "71 %", "71.0", "71,4", "71 percent", " 71% ", "+71", "71\u00a0%"])
def test_a_right_percent_however_it_is_written(typed):
    answer = marked("percent", typed)
    assert answer.right
    assert answer.feedback == "A gap of 10 °F gives 70 %."
    assert answer.misconception_id is None


@pytest.mark.parametrize("typed", ["37.8 C", "100", "100 F", "100,1 °F", "37.8°c"])
def test_either_unit_is_taken(typed):
    assert marked("temperature", typed).right


def test_a_plain_number_is_in_the_unit_shown():
    assert marked("temperature", "37.8", "metric").right
    assert marked("temperature", "100 F", "metric").right
    assert marked("weight", "2.75").right
    assert marked("weight", "1.247", "metric").right
    assert marked("weight", "44 oz").right


@pytest.mark.parametrize(("typed", "right"), [("99.7", True), ("100.3", True), ("99.69", False), ("100.31", False)])
def test_the_edge_of_the_tolerance_counts_as_right(typed, right):
    assert marked("temperature", typed).right is right


def test_a_tolerance_of_nothing_still_forgives_rounding_of_the_machine():
    assert marked("count", "2").right
    assert marked("count", "2.0000000001").right
    assert not marked("count", "2.001").right


@pytest.mark.parametrize(
    ("typed", "names"),
    [
        ("", "Nothing was typed"),
        (None, "Nothing was typed"),
        ("wet", "not a number"),
        ("inf", "not a number"),
        ("nan", "not a number"),
        ("1e999", "not a number"),
        ("71 kg", "carries the unit kg"),
        ("71 % or so", "not a number"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(typed, names):
    with pytest.raises(BadInput, match=names):
        marked("percent", typed)


@pytest.mark.parametrize(
    ("name", "typed"), [("choice", None), ("choice", ""), ("choice", "Z"), ("order", "BCD"), ("order", "BCDAA")]
)
def test_an_answer_without_letters_is_refused(name, typed):
    with pytest.raises(BadInput):
        marked(name, typed)


def test_an_empty_reason_is_refused():
    with pytest.raises(BadInput, match="Nothing is written"):
        marked("reason", " \n ")


def test_own_misconceptions_have_their_hint_filled_with_the_numbers():
    answer = marked("percent", "10")
    assert (answer.right, answer.feedback, answer.misconception_id) == (False, "10 is the depression.", "MX31")
    assert marked("percent", "20", row=2).feedback == "20 is the depression."
    assert marked("weight", "1.69").misconception_id == "MX03"


def test_the_nearest_misconception_wins():
    assert marked("percent", "11").misconception_id == "MX05"
    assert marked("percent", "10.4").misconception_id == "MX31"
    assert marked("percent", "8.1").misconception_id == "MX31"


def test_a_misconception_never_beats_a_right_answer():
    value = calculator.value("rh(110, 100)")
    assert marked("percent", f"{value + 1}").right
    assert marked("percent", f"{value + 2.5}").misconception_id == "MX01"


@pytest.mark.parametrize("typed", ["0.71", "7100", "0.714 %"])
def test_a_hundred_times_off(typed):
    answer = marked("percent", typed)
    assert (answer.right, answer.misconception_id) == (False, "percent")
    assert "hundred" in answer.feedback


@pytest.mark.parametrize(
    ("name", "typed", "system"),
    [
        ("temperature", "37.8", "trade"),
        ("temperature", "100 C", "trade"),
        ("temperature", "100", "metric"),
        ("difference", "5.56", "trade"),
        ("difference", "10 C", "trade"),
        ("weight", "1.247", "trade"),
        ("weight", "2.75 kg", "trade"),
    ],
)
def test_the_other_unit(name, typed, system):
    answer = marked(name, typed, system)
    assert (answer.right, answer.misconception_id) == (False, "unit")
    assert "unit" in answer.feedback


@pytest.mark.parametrize("typed", ["-12.2", "−12.2 C", "42", "42 F"])
def test_a_difference_converted_as_a_temperature(typed):
    answer = marked("difference", typed)
    assert (answer.right, answer.misconception_id) == (False, "MX31")
    assert "32" in answer.feedback


def test_any_other_wrong_answer_gets_the_general_hint():
    assert marked("percent", "50").feedback == "Use the chart."
    assert marked("choice", "C").feedback == "Think again."
    assert marked("order", "CBDA").feedback == "Begin with the first."


def test_choice():
    assert marked("choice", "B").right
    assert marked("choice", " b. ").right
    assert marked("choice", "A") == mark(QUESTIONS["choice"], {}, "a")
    assert (marked("choice", "A").feedback, marked("choice", "A").misconception_id) == ("Not the first.", "MX07")


@pytest.mark.parametrize("typed", ["BCDA", "b c d a", "B, C, D, A", "B > C > D > A", "b-c-d-a", "B, C, D and A"])
def test_an_order_however_it_is_written(typed):
    assert marked("order", typed).right


def test_another_order_may_be_right_too():
    assert marked("order", "b, d, c, a") == marked("order", "BCDA")
    assert not marked("order", "DBCA").right


@pytest.mark.parametrize(
    ("also", "field"),
    [('["BCD"]', "also"), ('["BCDA"]', "also"), ('"BDCA"', "also"), ('["ADCB"]', "misconceptions"), ("[1]", "also")],
)
def test_a_wrong_other_order_is_named_in_a_sentence(tmp_path, also, field):
    content = DEMO.read_text(encoding="utf-8")
    with pytest.raises(BadQuestion, match=f"demo-order.*{field}"):
        read(tmp_path, content.replace('also = ["BDCA"]', f"also = {also}"))
    with pytest.raises(BadQuestion, match=r"demo-choice.*also"):
        read(tmp_path, content.replace('id = "demo-choice"', 'id = "demo-choice"\nalso = ["A"]'))


def test_a_known_wrong_order():
    assert marked("order", "A, D, C, B").feedback == "Upside down."


def test_a_reason_needs_everything_and_says_what_is_missing():
    assert marked("reason", "the WICK has dried, or\nthe air is full").right
    assert marked("reason", "The air is full.").feedback == "What keeps a wet bulb wet?"
    assert marked("reason", "A dry wick.").feedback == "How full is the air?"
    answer = marked("reason", "A dry wick, full air, and turbulence.")
    assert (answer.right, answer.misconception_id) == (False, "MX10")


def test_the_answer_as_it_is_shown():
    shown = {name: answer_text(question, question.numbers[0]) for name, question in QUESTIONS.items()}
    assert shown["percent"] == "70 %"
    assert shown["weight"] == "2.75 lb"
    assert shown["count"] == "2"
    assert shown["choice"] == "B. The second"
    assert shown["order"] == "B, C, D, A"
    assert shown["reason"] == "The wick is dry, or the air is full."


# the ladder --------------------------------------------------------------------------------------------------------


def test_three_wrong_answers_lead_to_solution_and_new_numbers():
    ladder = Ladder(QUESTIONS["percent"])
    first, second, third = (ladder.attempt(typed) for typed in ("10", "50", "50"))
    assert (first.hint_level, first.feedback, first.steps, first.right) == (1, "10 is the depression.", (), False)
    assert first.misconception_id == "MX31"
    assert (second.hint_level, second.feedback, second.steps) == (2, "Use the chart.", ("Subtract: 10 °F.",))
    assert (third.hint_level, len(third.steps), third.answer, third.new_numbers) == (3, 3, "70 %", True)
    assert third.steps[-1] == "RH = 70.4 %"
    assert ladder.row == {"db": 120, "wb": 110}


def test_the_ladder_starts_again_with_each_row_and_cycles():
    ladder = Ladder(QUESTIONS["percent"])
    for row in (0, 1, 2, 0):
        assert ladder.row == QUESTIONS["percent"].numbers[row]
        assert [ladder.attempt("50").hint_level for _ in range(3)] == [1, 2, 3]


def test_a_hint_is_not_given_twice_in_a_row_of_wrong_answers():
    ladder = Ladder(QUESTIONS["percent"])
    assert ladder.attempt("10").feedback
    again = ladder.attempt("10")
    assert (again.feedback, again.hint_level) == ("", 2)
    assert again.steps


def test_a_right_answer_ends_the_climb():
    ladder = Ladder(QUESTIONS["percent"])
    ladder.attempt("10")
    reply = ladder.attempt("71")
    assert (reply.right, reply.hint_level, reply.feedback) == (True, 0, "A gap of 10 °F gives 70 %.")
    assert ladder.attempt("10").hint_level == 1
    assert ladder.row == QUESTIONS["percent"].numbers[0]


def test_unreadable_input_is_no_attempt():
    ladder = Ladder(QUESTIONS["percent"])
    ladder.attempt("10")
    for typed in ("", "wet", "inf", "71 kg"):
        with pytest.raises(BadInput):
            ladder.attempt(typed)
    assert ladder.attempt("50").hint_level == 2


def test_a_question_without_other_numbers_is_asked_again():
    ladder = Ladder(QUESTIONS["choice"])
    replies = [ladder.attempt(letter) for letter in "ACA"]
    assert [reply.hint_level for reply in replies] == [1, 2, 3]
    assert (replies[2].new_numbers, replies[2].answer) == (False, "B. The second")
    assert replies[2].steps == ("Leave out A.", "Leave out C.")
    assert ladder.attempt("A").hint_level == 1
    assert ladder.attempt("B").right


@pytest.mark.parametrize(
    "typed",
    ["2.3", "2.3 pts", "2.3 points a day", "2.3 pts/day", "2.3 % per day", "2.3 points per day.", "2.3 percent a day"],
)
def test_points_in_any_common_spelling(typed):
    number, unit = read_quantity(typed, "points")
    assert number == 2.3
    assert unit in (None, "points", "%")


@pytest.mark.parametrize(
    ("typed", "kind", "label"),
    [
        ("300 feet per minute", "air_speed", "fpm"),
        ("300 ft a minute", "air_speed", "fpm"),
        ("110 degrees F", "temperature", "°F"),
        ("12 per cent", "percent", "%"),
        ("12 % MC", "percent", "%"),
        ("5 hrs.", "hours", "h"),
    ],
)
def test_other_units_in_common_spellings(typed, kind, label):
    assert read_quantity(typed, kind)[1] == label


def test_an_answer_right_but_for_rounding_hears_so():
    question = bank.load("wood-a")
    row = question.numbers[0]
    exact = replace(question, abs_tol=0.01, rel_tol=0.0, answer="44.3333", misconceptions=())
    for typed in ("44", "44.3", "44 %"):
        assert "right but for the rounding" in mark(exact, row, typed).feedback
    for typed in ("45", "43.3", "4", "40"):
        assert "rounding" not in mark(exact, row, typed).feedback
    assert mark(exact, row, "44.33").right


def test_the_answer_to_the_old_numbers_is_known_after_new_ones():
    ladder = Ladder(bank.load("wood-a"))
    old = answer_text(ladder.question, ladder.row)
    for typed in ("1", "2", "3"):
        reply = ladder.attempt(typed)
    assert reply.new_numbers
    again = ladder.attempt(old)
    assert "old numbers" in again.feedback and not again.right
    assert ladder.attempt("1").hint_level == 1  # it was no step up the ladder


def test_a_reason_says_all_that_is_missing_at_once():
    question = next(one for one in bank.all_questions() if one.kind == "reason" and len(one.must) > 3)
    feedback = mark(question, question.numbers[0], "xyz").feedback
    assert all(must.hint in feedback for must in question.must)


def test_a_reason_with_a_slip_says_all_that_is_missing_too():
    question = bank.load("air-check-3")
    marked = mark(question, question.numbers[0], "The wick is dry. I walk in and then lock it out.")
    assert not marked.right and "Never in first" in marked.feedback
    for words in ("How much water is the air holding", "Who is outside", "The kiln is still hot"):
        assert words in marked.feedback
    walked = "wick dried out, or 100% humidity fog. lock out the kiln and have someone outside"
    feedback = mark(question, question.numbers[0], walked).feedback
    assert "The kiln is still hot" in feedback and "Who is outside" not in feedback


@pytest.mark.parametrize("typed", ["BAFCDE", "BFCADE", "CAFDBE"])
def test_an_order_with_more_than_one_step_out_of_place_hears_the_rule_at_once(typed):
    question = bank.load("start-entry")
    feedback = mark(question, question.numbers[0], typed).feedback
    assert "More than one step is out of its place." in feedback and feedback.endswith(question.hint)
    one = mark(question, question.numbers[0], "EDAFCB").feedback  # one swap alone: its own hint is all
    assert "Right steps, one swap" in one and "More than one" not in one


# of every question that is asked ------------------------------------------------------------------------------------

NUMBERS = [question for question in bank.all_questions() if question.is_number]
SPELLINGS = {
    "points": ("points", "pts", "point", "points a day", "pts/day", "percent", "%"),
    "percent": ("%", "percent", "per cent", "pct"),
    "temperature": ("°F", "F", "deg F", "degrees F", "degrees"),
    "temperature_difference": ("°F", "F", "deg F", "degrees F", "degrees"),
    "weight": ("lb", "lbs", "pounds"),
    "air_speed": ("fpm", "ft/min", "feet per minute", "feet a minute"),
    "hours": ("h", "hours", "hrs", "hr"),
    "minutes": ("min", "minutes"),
    "days": ("d", "days", "day"),
    "money": ("$", "dollars"),
}


@pytest.mark.parametrize("question", NUMBERS, ids=lambda question: question.id)
def test_the_right_number_is_taken_in_every_common_spelling_of_its_unit(question):
    row = question.numbers[0]
    number = answer_text(question, row, more=2).removesuffix(question.unit).strip()
    for unit in (question.unit, *SPELLINGS.get(question.quantity, ())):
        if unit in ("$",):
            assert mark(question, row, f"{unit}{number}").right, unit
        assert mark(question, row, f"{number} {unit}").right, unit


@pytest.mark.parametrize("question", NUMBERS, ids=lambda question: question.id)
def test_a_number_right_but_for_rounding_hears_so_or_is_right(question):
    row = question.numbers[0]
    answer = question.values(row)["answer"]
    strict = replace(question, abs_tol=0.0, rel_tol=0.0, misconceptions=())
    for places in range(4):
        typed = f"{answer:.{places}f}"
        if len(re.sub(r"\D", "", typed).lstrip("0")) < 2:
            continue
        marked = mark(strict, row, typed)
        assert marked.right or marked.misconception_id == "rounding", (typed, answer, marked)


@pytest.mark.parametrize("question", [one for one in NUMBERS if len(one.numbers) > 1], ids=lambda question: question.id)
def test_the_answer_to_the_old_numbers_is_known_in_every_question(question):
    ladder = Ladder(question)
    old = answer_text(question, ladder.row, more=2)
    for _ in range(3):
        reply = ladder.attempt("987654")
    assert reply.new_numbers
    again = ladder.attempt(old)
    assert "old numbers" in again.feedback and again.hint_level == 1
