"""The question bank: questions as data, read from TOML, checked on the way in, filled with numbers. No widgets here."""

import functools
import re
import tomllib
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from kilnlib import units
from kilnlib.errors import BadQuestion, KilnError, NotFound
from kilnlib.questions import calculator
from kilnlib.tables import HOW
from kilnlib.words import text

IDEAS = {  # the idea of a lesson, where it is not the first word of the file's name
    "01_water_in_wood": "wood",
    "04_sample_boards": "samples",
    "05_through_the_stack": "stack",
    "06_how_a_board_dries": "board",
    "09_the_machine": "machine",
    "13_before_and_after": "store",
    "14_find_the_trouble": "trouble",
    "15_run_a_charge": "charge",
}
ENTRY_FIELD = "{entry_steps}"  # in a question file: the one text of the way into a hot kiln, words/entry.py
NUMBER_KINDS = ("number", "chart")
NEEDED = {
    "choice": {"options"},
    "number": {"unit", "quantity"},
    "chart": {"unit", "quantity"},
    "order": {"items"},
    "reason": {"must"},
}
TEXTS = {"id", "kind", "prompt", "answer", "right", "hint", "source", "how"}
COMMON = TEXTS | {"steps", "numbers", "with", "misconceptions", "back"}
TOLERANCES = {"abs_tol", "rel_tol"}
OPTIONAL = {"number": TOLERANCES, "chart": TOLERANCES, "order": {"also"}, "reason": {"entry_steps"}}
SIGNS = {"choice": {"option"}, "number": {"when", "pattern"}, "chart": {"when", "pattern"}}
SIGNS |= {"order": {"answer", "pattern"}, "reason": {"pattern"}}


@dataclass(frozen=True)
class Misconception:
    """A wrong answer that has a reason: the sign it shows by (one of the last four), and the hint for it."""

    hint: str
    id: str | None = None
    when: str | None = None
    pattern: str | None = None
    option: str | None = None
    answer: str | None = None


@dataclass(frozen=True)
class Must:
    """Something a written reason has to mention, and the hint for whoever leaves it out."""

    pattern: str
    hint: str


@dataclass(frozen=True)
class Question:
    """One question. Texts still hold `{…}` fields; `fill` puts the numbers of a row into them."""

    id: str
    kind: str
    prompt: str
    answer: str
    right: str
    hint: str
    steps: tuple[str, ...]
    source: str
    how: str
    lesson: str
    numbers: tuple[dict[str, Any], ...] = ({},)
    extra: tuple[tuple[str, str], ...] = ()
    misconceptions: tuple[Misconception, ...] = ()
    back: tuple[str, ...] = ()
    unit: str = ""
    quantity: str = ""
    abs_tol: float = 0.0
    rel_tol: float = 0.0
    options: tuple[tuple[str, str], ...] = ()
    items: tuple[tuple[str, str], ...] = ()
    also: tuple[str, ...] = ()  # other orders that are right
    must: tuple[Must, ...] = ()

    @property
    def is_number(self) -> bool:
        """Whether the answer is a number with a unit."""
        return self.kind in NUMBER_KINDS

    def values(self, row: dict[str, Any]) -> dict[str, Any]:
        """Every name that texts and expressions may use, for one row of numbers."""
        values = dict(row)
        for name, expression in self.extra:
            values[name] = self._work_out(f"with.{name}", calculator.evaluate, expression, values)
        values["answer"] = self.work_out("answer", self.answer, values) if self.is_number else self.answer
        return values

    def work_out(self, field: str, expression: str, values: dict[str, Any]) -> float:
        """The number an expression of this question gives."""
        return self._work_out(field, calculator.value, expression, values)

    def _work_out(self, field, how, expression, values):
        try:
            return how(expression, **values)
        except KilnError as error:
            raise self._bad(field, error.sentence("trade")) from error

    def fill(self, words: str, values: dict[str, Any], field: str = "text") -> str:
        """A text of this question with the numbers put in."""
        try:
            return words.format(**values).strip()
        except (LookupError, ValueError, TypeError, AttributeError) as error:
            raise self._bad(field, text("quiz.bad.format", why=error)) from error

    def tolerance(self, answer: float) -> float:
        """How far from `answer` still counts as right, in the question's unit."""
        return max(self.abs_tol, self.rel_tol * abs(answer))

    def unit_shown(self, system: str = "trade") -> units.Unit:
        """The `Unit` a plain number is taken in: the question's own, or its metric fellow."""
        trade, metric = units.KINDS[self.quantity]
        if system == "metric" and self.unit == trade.label:
            return metric
        return units.units_for(self.quantity).get(self.unit, trade)

    def _bad(self, field, why):
        return BadQuestion("question_field", name=self.id, field=field, why=why)


def load(question_id: str) -> Question:
    """The question of that id; NotFound if there is none, BadQuestion if it is wrong in its file."""
    for lesson in lessons():
        if question_id.startswith(f"{idea(lesson)}-"):
            for number, raw in enumerate(_raw(lesson)):
                if raw.get("id") == question_id:
                    return _numbered(lesson, number)
    raise NotFound("unknown_question", name=question_id)


def questions(lesson: str) -> list[Question]:
    """The questions of a lesson ("02_air"), in the order of the file."""
    if lesson not in lessons():
        raise NotFound("unknown_lesson", name=lesson, names=", ".join(lessons()))
    return [_numbered(lesson, number) for number in range(len(_raw(lesson)))]


def all_questions() -> list[Question]:
    """Every question of every lesson."""
    return [question for lesson in lessons() for question in questions(lesson)]


def lessons() -> list[str]:
    """Names of the lessons that have a question file, in order."""
    files = resources.files("kilnlib.questions").iterdir()
    return sorted(file.name.removesuffix(".toml") for file in files if re.match(r"\d\d_.*\.toml$", file.name))


def idea(lesson: str) -> str:
    """What the ids of a lesson's questions start with: "air" for "02_air"."""
    return IDEAS.get(lesson, lesson.split("_")[1])


def read(file: Path | Traversable) -> list[Question]:
    """The questions of one TOML file (a path, or a resource), each tried with every row of its numbers."""
    found = [_checked(raw, file.name.removesuffix(".toml")) for raw in _tables(file)]
    for question in found:
        try_texts(question)
    return found


@functools.cache
def _numbered(lesson, number):
    return _checked(_raw(lesson)[number], lesson)


@functools.cache
def _raw(lesson):
    return _tables(resources.files("kilnlib.questions") / f"{lesson}.toml")


def _tables(file):
    return _content(file).get("question", [])


def _content(file):
    try:
        return tomllib.loads(file.read_text(encoding="utf-8").replace(ENTRY_FIELD, text("entry.steps")))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadQuestion("question_file", name=file.name, why=f"{error}.") from error


@functools.cache
def _entry_steps():
    """What every written reason about going into a hot kiln must say, and must not."""
    shared = _content(resources.files("kilnlib.questions") / "entry.toml")
    return shared["must"], shared["misconceptions"]


# checks ------------------------------------------------------------------------------------------------------------


def _checked(raw, lesson):
    """The question of a TOML table, or BadQuestion with a sentence naming question and field."""
    if raw.get("entry_steps"):
        must, wrong = _entry_steps()
        raw = raw | {"must": [*raw.get("must", []), *must], "misconceptions": [*wrong, *raw.get("misconceptions", [])]}
    name = raw.get("id", "?")

    def need(condition, field, why, **fields):
        if not condition:
            raise BadQuestion("question_field", name=name, field=field, why=text(f"quiz.bad.{why}", **fields))

    kind = raw.get("kind")
    need(kind in NEEDED, "kind", "one_of", names=", ".join(NEEDED))
    needed = NEEDED[kind] | TEXTS | {"steps"}
    known = NEEDED[kind] | COMMON | OPTIONAL.get(kind, set())
    for field in sorted(needed - set(raw)):
        need(False, field, "missing")
    for field in sorted(set(raw) - known):
        need(False, field, "unknown", kind=kind)
    for field in sorted(TEXTS | ({"unit", "quantity"} & set(raw))):
        need(isinstance(raw[field], str) and (raw[field].strip() or field == "unit"), field, "text")
    need(name.startswith(f"{idea(lesson)}-"), "id", "id", idea=idea(lesson))
    need(raw["how"] in HOW, "how", "one_of", names=", ".join(HOW))
    for field in ("steps", "back", "also"):
        entries = raw.get(field, [])
        need(isinstance(entries, list) and all(isinstance(one, str) for one in entries), field, "list")
    need(raw["steps"], "steps", "missing")
    need(all(isinstance(row, dict) for row in raw.get("numbers", [])), "numbers", "list")
    for row in raw.get("numbers", []):
        need(set(row) == set(raw["numbers"][0]), "numbers", "rows")
    for names in (raw.get("with", {}), *raw.get("numbers", [])):
        need("answer" not in names, "numbers, with", "answer_name")
    for field in ("options", "items"):
        letters = "".join(raw.get(field, {}))
        need(letters == "ABCDEFGH"[: len(letters)], field, "letters")
    if kind in NUMBER_KINDS:
        _check_number(raw, need)
    need(kind != "choice" or raw["answer"] in raw["options"], "answer", "answer_letter")
    orders = [raw["answer"], *raw.get("also", [])]
    for order in orders:
        need(kind != "order" or sorted(order) == sorted(raw["items"]), "answer, also", "answer_order")
    need(len(set(orders)) == len(orders), "also", "same")
    need(kind != "reason" or raw["must"], "must", "missing")
    need(raw.get("entry_steps", True) is True, "entry_steps", "one_of", names="true")
    for entry in raw.get("must", []):
        need(set(entry) == {"pattern", "hint"}, "must", "must")
    for entry in raw.get("misconceptions", []):
        signs = set(entry) - {"id", "hint"}
        need("hint" in entry and len(signs) == 1 and signs <= SIGNS[kind], "misconceptions", "sign", kind=kind)
        need(entry.get("option", "") in ("", *raw.get("options", ())), "misconceptions", "answer_letter")
        need(entry.get("option", entry.get("answer")) not in orders, "misconceptions", "same")
    for entry in (*raw.get("must", []), *raw.get("misconceptions", [])):
        need(_compiles(entry.get("pattern", "")), "pattern", "pattern", pattern=entry.get("pattern"))
    return _question(raw, lesson)


def _check_number(raw, need):
    quantity, tolerances = raw["quantity"], [raw.get(field, 0.0) for field in TOLERANCES]
    need(quantity in units.KINDS, "quantity", "one_of", names=", ".join(units.KINDS))
    labels = [*units.units_for(quantity), *(unit.label for unit in units.KINDS[quantity] if not unit.label)]
    need(raw["unit"] in labels, "unit", "one_of", names=", ".join(labels) or "“”")
    need(TOLERANCES & set(raw), "abs_tol", "missing")
    need(all(isinstance(t, int | float) and 0 <= t < float("inf") for t in tolerances), "abs_tol, rel_tol", "tolerance")


def _compiles(pattern):
    try:
        return bool(re.compile(pattern))
    except re.error:
        return False


def _question(raw, lesson):
    fields = {key: raw[key] for key in (TEXTS | TOLERANCES | {"unit", "quantity"}) & set(raw)}
    return Question(
        lesson=lesson,
        steps=tuple(raw["steps"]),
        back=tuple(raw.get("back", ())),
        numbers=tuple(raw.get("numbers") or ({},)),
        extra=tuple(raw.get("with", {}).items()),
        options=tuple(raw.get("options", {}).items()),
        items=tuple(raw.get("items", {}).items()),
        also=tuple(raw.get("also", ())),
        must=tuple(Must(**entry) for entry in raw.get("must", ())),
        misconceptions=tuple(Misconception(**entry) for entry in raw.get("misconceptions", ())),
        **fields,
    )


def try_texts(question: Question) -> None:
    """Try every text and expression of a question with every row of its numbers; BadQuestion for one that fails.

    The tests do it with all that we ship. A page does not: behind some numbers stand whole charges to be worked out.
    """
    for row in question.numbers:
        values = question.values(row)
        for field in ("prompt", "right", "hint"):
            question.fill(getattr(question, field), values, field)
        for field, entries in (("options", question.options), ("items", question.items)):
            for _, words in entries:
                question.fill(words, values, field)
        for step in question.steps:
            question.fill(step, values, "steps")
        for hint in [one.hint for one in question.must] + [one.hint for one in question.misconceptions]:
            question.fill(hint, values, "hint")
        for entry in question.misconceptions:
            if entry.when is not None:
                question.work_out("when", entry.when, values)
