"""What a notebook cell calls: one line a cell, answered with a sentence instead of a traceback."""

from kilnlib.errors import KilnError


def lesson(name):
    """The line under a lesson's title: ready, and what this workbook is not."""
    from kilnlib.bench.screen import Note
    from kilnlib.bench.words import text

    return Note.open(("lesson", name), text("lesson.ready"), text("lesson.defer"))


def panel(name, predict=None):
    """A live panel by name; `predict` is the question to commit to before it shows its result."""
    from kilnlib.bench.app import open_panel

    return _or_sentence(open_panel, name, predict)


def ask(*question_ids):
    """One or more questions, each with its own answer box."""
    from kilnlib.bench.quiz import open_quiz

    return _or_sentence(open_quiz, *question_ids)


def handbook(group):
    """Our numbers beside the published ones; raises if a row is out."""
    from kilnlib.bench.handbook import compare

    compare(group)


def key(name):
    """The worked answers of a lesson, for its key."""
    from kilnlib.bench.key import answers

    answers(name)


def _or_sentence(make, *args):
    from kilnlib.bench.screen import Note
    from kilnlib.bench.words import sentence

    try:
        return make(*args)
    except KilnError as error:
        return Note.open(("note", *args), sentence(error))
