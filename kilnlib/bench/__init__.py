"""What a notebook cell calls: one line a cell, answered with a sentence instead of a traceback."""

from kilnlib.errors import KilnError
from kilnlib.questions.handbook_rows import handbook  # at once: later, its module of the same name would take its place
from kilnlib.questions.keys import key  # likewise

__all__ = ["ask", "first_aid", "glossary", "handbook", "home", "key", "lesson", "panel", "present", "warm_up"]


def lesson(name):
    """The lines of a notebook: ready, which kiln is yours, and what this workbook is not."""
    from kilnlib.bench.kit.lesson_lines import LessonLines
    from kilnlib.bench.kit.screen import View

    View.close_earlier(("lesson", name))
    return LessonLines(name).remember(("lesson", name))


def panel(name, predict=None):
    """A live panel by name; `predict` is the question to commit to before it shows its result."""
    from kilnlib.bench.panels import open_panel

    return _or_sentence(open_panel, name, predict)


def ask(*question_ids):
    """One or more questions, each with its own answer box."""
    from kilnlib.bench.quiz import open_quiz

    return _or_sentence(open_quiz, *question_ids)


def warm_up(name, *question_ids):
    """The questions that open a lesson: what this learner got wrong before, or else the ones named here."""
    from kilnlib.bench.quiz import open_warm_up

    return _or_sentence(open_warm_up, name, question_ids)


def present(name):
    """A workshop's screens, by the name of the presenter notebook."""
    from kilnlib.bench.workshop.presenter import open_presenter

    return _or_sentence(open_presenter, name)


def home():
    """The first page: three doors, the lessons, what is done, your kiln and your name."""
    from kilnlib.bench.front.home import Home

    return _page("home", Home)


def glossary():
    """The words of the trade, each in a sentence, with a box to find one."""
    from kilnlib.bench.front.glossary import Glossary

    return _page("glossary", Glossary)


def first_aid():
    """What to do first when a charge is found in trouble."""
    from kilnlib.bench.front.first_aid import FirstAid

    return _page("first_aid", FirstAid)


def _page(name, make):
    """A page that is one view, in place of the one its cell opened before."""
    from kilnlib.bench.kit.memory import open_page
    from kilnlib.bench.kit.screen import View

    open_page(name)
    View.close_earlier((name,))
    return _or_sentence(lambda *_: make().remember((name,)))


def _or_sentence(make, *args):
    from kilnlib.bench.kit.screen import Note
    from kilnlib.errors import sentence
    from kilnlib.words import text

    try:
        return make(*args)
    except Exception as error:
        said = sentence(error) if isinstance(error, KilnError) else text("panel.not_opened")
        return Note.open(("note", *args), said)
