"""Marking an answer, and the ladder of help behind it. Pure: no widgets here."""

import math
import re
from dataclasses import dataclass
from typing import Any

from kilnlib import units
from kilnlib.errors import BadInput
from kilnlib.questions.bank import Question
from kilnlib.tables import advice
from kilnlib.typed import read_quantity
from kilnlib.words import text

ROUNDING = 1e-9
RELATIVE_TO_WRONG = advice("slip_known_within")
BETWEEN_LETTERS = re.compile(r"(\bTHEN\b|\bAND\b|[\s,.;:>→–—-])+")


@dataclass(frozen=True)
class Mark:
    """Whether an answer is right, what to tell its author, and the misconception it shows (or None)."""

    right: bool
    feedback: str
    misconception_id: str | None = None


def mark(question: Question, row: dict[str, Any], typed: str | None, system: str = "trade") -> Mark:
    """Mark what a person typed or chose. BadInput, with a sentence, if it cannot be read: that is no attempt."""
    values = question.values(row)
    read = {"choice": _read_choice, "order": _read_order, "reason": _read_reason}.get(question.kind, _read_number)
    given = read(question, typed, system)
    if _is_right(question, values, given):
        return Mark(True, question.fill(question.right, values))
    matched = [
        (distance, slip)
        for slip in question.misconceptions
        if (distance := _distance(question, values, slip, given, typed)) is not None
    ]
    missing = [question.fill(must.hint, values) for must in question.must if not _mentions(must.pattern, given)]
    if matched:
        slip = min(matched, key=lambda pair: pair[0])[1]  # the nearest; at a tie the first in the file
        more = missing
        if question.kind == "order" and len(matched) > 1:
            more = [text("quiz.more_than_one"), question.fill(question.hint, values)]
        return Mark(False, " ".join([question.fill(slip.hint, values), *more]), slip.id)
    if question.is_number and (slip := _common_slip(question, values["answer"], typed, given, system)):
        return slip
    if missing:
        return Mark(False, " ".join(missing))
    return Mark(False, question.fill(question.hint, values))


def answer_text(question: Question, row: dict[str, Any], more: int = 0) -> str:
    """The right answer as it is shown: number with unit, letter with its words, letters in order, or a sentence."""
    answer = question.values(row)["answer"]
    if question.is_number:
        return number_text(question, answer, answer, more)
    if question.kind == "choice":
        return f"{answer}. {question.fill(dict(question.options)[answer], question.values(row))}"
    if question.kind == "order":
        return ", ".join(answer)
    return question.fill(answer, question.values(row))


def given_text(question: Question, typed: Any, row: dict[str, Any]) -> str:
    """An answer as somebody gave it, in words: a letter with its choice, a plain number with the question's unit."""
    given = str(typed).strip()
    if question.kind == "choice" and given in dict(question.options):
        return f"{given}. {question.fill(dict(question.options)[given], question.values(row))}"
    plain = question.is_number and re.fullmatch(r"[-+−]?[\d.,]+", given)
    return f"{given} {question.unit}" if plain else given


def number_text(question: Question, number: float, answer: float, more: int = 0) -> str:
    """A number of this question as text, with the decimals that the tolerance at `answer` leaves meaningful."""
    tolerance = question.tolerance(answer)
    places = 0
    while tolerance and tolerance < 0.99 * 10.0**-places and places < 6:
        places += 1
    shown = f"{number:,.{places + more}f}" if tolerance else f"{number:,.10g}"
    if float(shown.replace(",", "")) == 0:
        shown = shown.lstrip("-")
    return f"{shown.replace('-', '−')} {question.unit}".strip()


# reading -----------------------------------------------------------------------------------------------------------


def _read_number(question, typed, system):
    number, unit = _typed_number(question, typed, system)
    return question.unit_shown().from_si(unit.to_si(number))


def _typed_number(question, typed, system):
    """Number and `Unit` as typed; a plain number is in the unit shown."""
    number, label = read_quantity("" if typed is None else typed, question.quantity, comma="decimal")
    unit = units.units_for(question.quantity)[label] if label else question.unit_shown(system)
    return number, unit


def _read_choice(question, typed, system):
    letter = str(typed or "").strip().rstrip(".)").upper()
    if letter not in dict(question.options):
        raise BadInput("nothing_chosen")
    return letter


def _read_order(question, typed, system):
    letters = BETWEEN_LETTERS.sub("", str(typed or "").upper())
    wanted = [letter for letter, _ in question.items]
    if sorted(letters) != wanted:
        raise BadInput("order_letters", text=str(typed or "")[:40], letters=", ".join(wanted))
    return letters


def _read_reason(question, typed, system):
    written = " ".join(str(typed or "").replace("’", "'").split())
    if not written:
        raise BadInput("nothing_written")
    return written


# judging -----------------------------------------------------------------------------------------------------------


def _is_right(question, values, given):
    if question.is_number:
        return _near(given, values["answer"], question.tolerance(values["answer"]))
    if question.kind == "reason":
        wrong = any(_mentions(slip.pattern, given) for slip in question.misconceptions)
        return not wrong and all(_mentions(must.pattern, given) for must in question.must)
    return given in (values["answer"], *question.also)


def _near(given, wanted, tolerance):
    return abs(given - wanted) <= tolerance + ROUNDING * max(1.0, abs(wanted), tolerance)


def _mentions(pattern, written):
    return re.search(pattern, written, re.IGNORECASE) is not None


def _distance(question, values, slip, given, typed):
    """How far a wrong answer is from what this misconception gives, or None if it does not show it."""
    if slip.pattern is not None:
        return 0.0 if _mentions(slip.pattern, given if question.kind in ("reason", "order") else str(typed)) else None
    if slip.when is None:
        return 0.0 if given in (slip.option, slip.answer) else None
    wrong = question.work_out("when", slip.when, values)
    tolerance = max(question.tolerance(values["answer"]), RELATIVE_TO_WRONG * abs(wrong))
    return abs(given - wrong) if _near(given, wrong, tolerance) else None


def _common_slip(question, answer, typed, given, system):
    """Slips that any number question may meet: a hundred times off, the other unit, a difference converted wrongly."""
    tolerance = question.tolerance(answer)
    hundredfold = any(_near(given * factor, answer, tolerance) for factor in (100.0, 0.01))
    if hundredfold and question.quantity in ("percent", "points", "ratio") and abs(answer) > tolerance:
        return Mark(False, text("quiz.slip.percent"), "percent")
    number, read_as = _typed_number(question, typed, system)
    if _is_rounded(number, read_as.from_si(question.unit_shown().to_si(answer)), str(typed)):
        return Mark(False, text("quiz.slip.rounding", number=f"{number:g}"), "rounding")
    own = question.unit_shown()
    for other in units.KINDS[question.quantity]:
        if other is not read_as and _near(own.from_si(other.to_si(number)), answer, tolerance):
            fields = {"number": f"{number:g}", "other": other.label, "read": f"{number:g} {read_as.label}".strip()}
            return Mark(False, text("quiz.slip.unit", **fields), "unit")
    if question.quantity == "temperature_difference":
        for taken, wrong in ((units.C, units.F), (units.F, units.C)):
            difference = next(unit for unit in units.KINDS[question.quantity] if unit.label == wrong.label)
            converted = own.from_si(difference.to_si(wrong.from_si(taken.to_si(number))))
            if _near(converted, answer, tolerance):
                return Mark(False, text("quiz.slip.difference"), "MX31")
    return None


def _is_rounded(number, answer, typed):
    """Whether a number is the answer cut or rounded to the decimals it was typed with, two digits at the least."""
    digits = re.search(r"\d+(?:[.,](\d+))?", typed)
    if digits is None or len(re.sub(r"\D", "", digits[0]).lstrip("0")) < 2 or "," in digits[0]:
        return False
    places = len(digits[1] or "")
    return number in (round(answer, places), math.trunc(answer * 10**places) / 10**places)


# the ladder --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Reply:
    """What an attempt earns. `hint_level` is 0 for a right answer, 1 hint, 2 worked step, 3 whole solution."""

    hint_level: int
    feedback: str  # why it is right, or the hint; "" when it was given already
    steps: tuple[str, ...] = ()
    answer: str = ""
    new_numbers: bool = False
    misconception_id: str | None = None

    @property
    def right(self) -> bool:
        """Whether the attempt was right."""
        return self.hint_level == 0


class Ladder:
    """Help that grows with each wrong attempt; after the third the question comes again, with its next numbers."""

    def __init__(self, question: Question):
        self.question = question
        self.wrong = 0
        self._at = 0
        self._before: dict[str, Any] | None = None  # the numbers whose solution was told last
        self._hinted: set[str] = set()

    @property
    def row(self) -> dict[str, Any]:
        """The numbers the question has now."""
        return self.question.numbers[self._at]

    def attempt(self, typed: str | None, system: str = "trade") -> Reply:
        """Mark one attempt and climb. BadInput, and no climbing, if it cannot be read."""
        marked = mark(self.question, self.row, typed, system)
        if marked.right:
            self.wrong, self._hinted = 0, set()
            return Reply(0, marked.feedback)
        if self._before is not None and mark(self.question, self._before, typed, system).right:
            return Reply(1, text("quiz.slip.old_numbers"), misconception_id="old numbers")
        self.wrong += 1
        feedback = "" if marked.feedback in self._hinted else marked.feedback
        self._hinted.add(marked.feedback)
        if self.wrong == 1:
            return Reply(1, feedback, misconception_id=marked.misconception_id)
        values = self.question.values(self.row)
        steps = tuple(self.question.fill(step, values) for step in self.question.steps)
        if self.wrong == 2:
            return Reply(2, feedback, steps[:1], misconception_id=marked.misconception_id)
        reply = Reply(
            3,
            feedback,
            steps,
            answer_text(self.question, self.row),
            len(self.question.numbers) > 1,
            marked.misconception_id,
        )
        self.wrong, self._hinted = 0, set()
        self._before = self.row if len(self.question.numbers) > 1 else None
        self._at = (self._at + 1) % len(self.question.numbers)
        return reply
