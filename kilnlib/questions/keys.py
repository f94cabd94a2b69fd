"""The worked answers of a lesson as plain text, for its key: the same every time, so that it can be checked."""

from kilnlib.questions.text_table import hanging
from kilnlib.units import UNIT_SPACE
from kilnlib.words import text

INDENT = "    "


def key(lesson: str) -> None:
    """Print each question of a lesson with its worked answer, expected wrong answers, and source."""
    from kilnlib.questions.bank import questions  # loads physics, which the other cells may not need

    lesson_questions = questions(lesson)
    print(text("key.head", lesson=lesson, count=len(lesson_questions)))
    for number, question in enumerate(lesson_questions, 1):
        print()
        print("\n".join(_lines(number, question)))


def _lines(number, question):
    from kilnlib.questions.marking import answer_text

    row = question.numbers[0]
    values = question.values(row)
    head = f"{number}. {question.id} ({text(f'key.kind.{question.kind}')})"
    lines = [head, "-" * len(head)]
    for part in question.fill(question.prompt, values).splitlines():
        lines += _wrapped(part)
    for letter, words in (*question.options, *question.items):
        lines += _wrapped(question.fill(words, values), INDENT + f"{letter}. ")
    lines += ["", text("key.steps")]
    for count, step in enumerate(question.steps, 1):
        lines += _wrapped(question.fill(step, values), INDENT + f"{count}. ")
    answer = answer_text(question, row, more=1)
    if question.is_number:
        tolerance = f"{question.tolerance(values['answer']):.4g} {question.unit}".strip()
        answer += f" {text('key.allowed', tolerance=tolerance)}"
    lines += _wrapped(answer, text("key.answer") + ": ")
    if question.also:
        lines += _wrapped("; ".join(", ".join(order) for order in question.also), text("key.also") + ": ")
    lines += _wrapped(question.fill(question.right, values), text("key.right") + ": ")
    lines += ["", text("key.wrong"), *_wrong(question, values)]
    lines += ["", *_wrapped(f"{question.source} ({text(f'how.{question.how}')})", text("key.source") + ": ")]
    if question.back:
        lines += _wrapped(", ".join(question.back), text("key.back") + ": ")
    return lines


def _wrong(question, values):
    """Each expected wrong answer: what it looks like, the misconception's id, the hint."""
    from kilnlib.questions.marking import number_text

    entries = []
    for slip in question.misconceptions:
        if slip.when is not None:
            wrong = question.work_out("when", slip.when, values)
            sign = number_text(question, wrong, values["answer"], more=1)
        else:
            sign_in_words = text("key.says") if question.kind == "reason" else f"/{slip.pattern}/"
            sign = slip.option or slip.answer or sign_in_words
        entries.append((sign, slip.id, slip.hint))
    entries += [(text("key.leaves_out"), None, must.hint) for must in question.must]
    entries.append((text("key.general"), None, question.hint))
    lines = []
    for sign, name, hint in entries:
        lines += _wrapped(question.fill(hint, values), INDENT + sign + (f" [{name}]" if name else "") + ": ")
    return lines


def _wrapped(words, start=""):
    """Lines of at most WIDTH columns, hanging under their start; a number is not torn from its unit."""
    kept = UNIT_SPACE.sub("\u00a0", words)
    lines = hanging(start, kept, indent=min(len(start), 8), break_on_hyphens=False)
    return [line.replace("\u00a0", " ") for line in lines]
