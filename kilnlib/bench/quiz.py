"""Questions on the screen: one or more in a cell, each with its own box, and the prediction inside a panel."""

import contextlib
from datetime import date

import ipywidgets as widgets
from traitlets import TraitError

from kilnlib.bench.kit import memory
from kilnlib.bench.kit.parts import button, on_enter
from kilnlib.bench.kit.screen import Pause, View, close_tree, line, rich
from kilnlib.bench.kit.verdict import CSS, feedback_html, heading
from kilnlib.errors import KilnError, sentence
from kilnlib.questions import bank, warmups
from kilnlib.questions.bank import load
from kilnlib.questions.marking import Ladder, given_text, mark
from kilnlib.words import text


def open_quiz(*question_ids, place=None):
    """The questions of one cell, in place of those the same cell opened before; `place` as `kit.memory` knows it.

    Another tab that shows them says that they stand here now.
    """
    View.move_here(("ask", *question_ids))
    return Quiz(*question_ids, place=place).remember(("ask", *question_ids))


def open_warm_up(lesson, fixed):
    """The questions that open a lesson: what this learner got wrong before, or else the `fixed` ones."""
    chosen, place = _warm_up(lesson, fixed)
    return open_quiz(*chosen, place=place)


def _warm_up(lesson, fixed):
    """The questions, and the place under which their answers are kept.

    They stay until both were answered and another day has come; then they are chosen anew.
    """
    if not memory.is_open():
        return list(fixed), None
    what, today = f"warm-up/{lesson}", date.today()
    kept = memory.left(what)
    if kept:
        place = memory.place_of(f"warm-up/{kept['day']}")
        open_still = [name for name in kept["questions"] if not memory.tries(name, place)]
        known = {question.id for question in bank.all_questions()}
        if known >= set(kept["questions"]) and (open_still or kept["day"] == today.isoformat()):
            return kept["questions"], place
    chosen = warmups.choose(lesson, fixed, memory.events("answered", "predicted"), today)
    memory.leave(what, {"day": today.isoformat(), "questions": chosen})
    return chosen, memory.place_of(f"warm-up/{today.isoformat()}")


class Card:
    """One question on the screen: prompt, labeled box, button, and the place where the answer is talked about."""

    def __init__(self, question, row, verb, on_answer):
        self.question, self.on_answer = question, on_answer
        self._soon, self._typing = Pause(), Pause()
        self._unanswered = self.place = None
        self.prompt, self.feedback = widgets.HTML(), widgets.HTML()
        self.box = self._box(question.values(row))
        self.button = button(f"quiz.{verb}", self._answer_soon)
        self.input = self._input()
        self.show(row)
        self.view = widgets.VBox([self.prompt, self.input, self.feedback])
        self.view.add_class("fc-card")

    def answer(self, typed):
        """What the button and the Enter key do with what stands in the box."""
        self.on_answer(typed)

    def show(self, row, note=""):
        """Put the question with a row of numbers on the screen."""
        self.row, values = row, self.question.values(row)
        prompt = rich(self.question.fill(self.question.prompt, values))
        start = f"<b>{rich(note)}</b> " if note else ""
        items = "".join(f"<li>{rich(words)}</li>" for words, _ in self._lettered(self.question.items, values))
        listed = f"<ul>{items}</ul>" if items else ""
        self.prompt.value = f'<div class="fc-prompt"><p>{start}{prompt}</p>{listed}</div>'
        if self.question.kind == "choice":
            options = tuple(self._lettered(self.question.options, values))
            if options != self.box.options:
                self.box.options = options
                self.box.value = None

    def recall(self, typed, right):
        """Put an earlier answer into the box; after a right one the box stays shut until somebody tries again."""
        with contextlib.suppress(TraitError):  # the options may be others today
            self.box.value = typed
        if right:
            self.input.layout.display = "none"
            again = widgets.Button(description=text("record.again"), tooltip=text("record.again_tip"))
            again.on_click(lambda _: self.ask_again())
            self.view.children = [self.prompt, self.input, self.feedback, again]

    def ask_again(self):
        """Open the box once more, empty."""
        *rest, again = self.view.children
        self.view.children = rest
        close_tree(again)
        self.feedback.value = self.input.layout.display = ""
        self.box.value = None if self.question.kind == "choice" else ""

    def remember(self, place=None):
        """Put what was typed and not answered back into the box, and keep from now on what is typed there."""
        self.place, self._unanswered = place, memory.typed(self.question.id, place)
        if self._unanswered is not None:
            with contextlib.suppress(TraitError):
                self.box.value = self._unanswered
        self.box.observe(lambda _: self._entered(), "value")

    def _entered(self):
        """A choice is kept at once, letters when typing pauses."""
        if self.question.kind == "choice":
            self.keep_typed()
        else:
            self._typing.wait(self.keep_typed, memory.TYPED_PAUSE_S)

    def keep_typed(self):
        """Keep what stands in the box."""
        self._typing.cancel()
        self._keep(self.box.value or None)

    def answered(self):
        """What stands in the box was taken as an answer."""
        self._typing.cancel()
        self._keep(None)

    def leave(self):
        """Keep what was typed in the last moment."""
        if self._typing.is_waiting:
            self.keep_typed()

    def _keep(self, value):
        if value != self._unanswered:
            self._unanswered = value
            memory.keep_typed(self.question.id, value, self.place)

    def given(self, typed):
        """An answer as this person gave it, in words."""
        return given_text(self.question, typed, self.row)

    def _lettered(self, entries, values):
        return [(f"{letter}. {self.question.fill(words, values)}", letter) for letter, words in entries]

    def _box(self, values):
        kind = self.question.kind
        if kind == "choice":
            options = self._lettered(self.question.options, values)
            return widgets.RadioButtons(options=options, value=None, description=text("quiz.choice"))
        if kind == "reason":
            return widgets.Textarea(rows=3, description=text("quiz.reason"), tooltip=text("quiz.reason_tip"))
        what = "order" if kind == "order" else "number"
        tip = "quiz.number_tip_plain" if self.question.is_number and not self.question.unit else f"quiz.{what}_tip"
        box = widgets.Text(description=text(f"quiz.{what}"), tooltip=text(tip, unit=self.question.unit))
        on_enter(box, self._answer_soon)
        return box

    def _answer_soon(self):
        """Answer once the last letters have come; pressed twice meanwhile, it is one answer."""
        self._soon.wait(lambda: self.answer(self.box.value))

    def _input(self):
        """Box and button: side by side for a short answer, one above the other for a long one."""
        if self.question.kind in ("choice", "reason"):
            return widgets.VBox([self.box, self.button])
        unit = text("quiz.order_unit") if self.question.kind == "order" else self.question.unit
        row = widgets.HBox([self.box, widgets.Label(unit), self.button])
        row.add_class("fc-row")
        return row


class Quiz(View):
    """The questions of one cell. Public for tests: `cards`, `ladders`, `answer`, `last_error`, `close`."""

    def __init__(self, *question_ids, place=None):
        super().__init__()
        self.place = place
        self.ladders = {name: Ladder(load(name)) for name in question_ids}
        self.cards = {
            name: Card(ladder.question, ladder.row, "check", lambda typed, name=name: self.answer(name, typed))
            for name, ladder in self.ladders.items()
        }
        content = widgets.VBox(
            [widgets.HTML(CSS, layout={"display": "none"}), *(card.view for card in self.cards.values())]
        )
        content.add_class("fc-ask")
        self.view = self.framed(content)
        for name, card in self.cards.items():
            self._recall(name)
            card.remember(place)

    def close(self):
        """Keep what was typed last, then close."""
        self._leave()
        super().close()

    def _leave(self, last=True):
        for card in self.cards.values():
            card.leave()

    def _recall(self, question_id):
        """Show a question as its last try left it, unless it would be marked otherwise today."""
        ladder, card, reply = Ladder(load(question_id)), self.cards[question_id], None
        tries = memory.tries(question_id, self.place)
        try:
            for one in tries:
                reply = ladder.attempt(one.typed, self.system)
                if reply.right != one.right:
                    return
        except KilnError:
            return
        if reply is not None:
            last = tries[-1]
            self.ladders[question_id] = ladder
            card.show(ladder.row, text("quiz.new_numbers") if reply.new_numbers else "")
            card.recall(last.typed, last.right)
            when = text("record.answered" if last.right else "record.tried", day=memory.day_in_words(last.at))
            answer = text("quiz.said", answer=card.given(last.typed))
            card.feedback.value = line(f"{when} {answer}") + reply_html(reply, ladder.question)

    def answer(self, question_id, typed):
        """Mark one answer and say so under its box; what was typed stays."""
        self._answering = self.cards[question_id]
        with self.guard():
            ladder = self.ladders[question_id]
            row = ladder.row
            reply = ladder.attempt(typed, self.system)
            lost = memory.answered(question_id, typed, reply.right, reply.misconception_id, row, self.place)
            if lost is None:  # else it stays kept as something typed
                self._answering.answered()
            self._answering.feedback.value = reply_html(reply, ladder.question) + _unsaved(lost, self.system)
            if reply.new_numbers:
                self._answering.show(ladder.row, text("quiz.new_numbers"))

    def show_error(self, error):
        """The sentence goes under the box it is about."""
        self._answering.feedback.value = _refusal(error, self.system)


class Prediction(View):
    """A question to commit to before a panel shows its result; right or wrong is told only by `reveal`."""

    def __init__(self, question_id, on_commit):
        super().__init__()
        self.question, self.on_commit = load(question_id), on_commit
        self.row = self.question.numbers[0]
        self.marked, self.recalling = None, False
        self.card = Card(self.question, self.row, "commit", self.answer)
        self.view = widgets.VBox([widgets.HTML(CSS, layout={"display": "none"}), self.card.view])
        for look in ("fc-ask", "fc-predict"):
            self.view.add_class(look)
        self.card.remember()

    def answer(self, typed):
        """Take the prediction, once, and say it back; something unreadable is refused in words."""
        with self.guard():
            if self.marked is None:
                marked = mark(self.question, self.row, typed, self.system)
                kept = self.question.id, typed, marked.right, marked.misconception_id, self.row
                self._commit(typed, marked, memory.predicted(*kept))

    def recall(self):
        """Commit to what was predicted on this page before, if it can still be read."""
        kept = memory.prediction(self.question.id)
        if kept is not None:
            self.recalling = True
            with contextlib.suppress(KilnError):
                self._commit(kept.typed, mark(self.question, self.row, kept.typed, self.system))

    def _commit(self, typed, marked, lost=None):
        self.marked = marked
        if lost is None:
            self.card.answered()
        self.card.input.layout.display = self.card.prompt.layout.display = "none"
        self.view.add_class("fc-told")
        self._said = text("quiz.said", answer=self.card.given(typed))
        self._lost = _unsaved(lost, self.system)
        self.card.feedback.value = feedback_html("", f"<p>{rich(self._said)}</p>") + self._lost
        self.on_commit()

    def reveal(self):
        """Tell right from not yet; nothing happens before the commitment."""
        if self.marked is not None:
            look, head = heading(self.marked.right, "as_predicted", "not_as_predicted")
            verdict = f"<p><b>{head}</b> {rich(self.marked.feedback)}</p>"
            self.card.feedback.value = feedback_html(look, f"<p>{rich(self._said)}</p>{verdict}") + self._lost

    def show_error(self, error):
        """The sentence goes under the box."""
        self.card.feedback.value = _refusal(error, self.system)


def reply_html(reply, question):
    """What an attempt earned, as HTML that is read aloud when it appears."""
    look, head = heading(reply.right)
    parts = [f"<p><b>{head}</b> {rich(reply.feedback)}</p>"]
    if reply.hint_level == 2:
        step = text("quiz.step", number=1, total=len(question.steps), step=reply.steps[0])
        parts.append(f"<p>{rich(step)}</p>")
    elif reply.hint_level == 3:
        which, again = ("", "again_new") if reply.new_numbers else ("_same", "again_same")
        parts.append(f"<p>{rich(text(f'quiz.solution{which}'))}</p>")
        parts.append(f"<ol>{''.join(f'<li>{rich(step)}</li>' for step in reply.steps)}</ol>")
        parts.append(f"<p><b>{rich(text('quiz.answer', answer=reply.answer))}</b></p>")
        parts.append(f"<p>{rich(text(f'quiz.{again}'))}</p>")
    return feedback_html(look, "".join(parts))


def _refusal(error, system):
    return line(sentence(error, system) if isinstance(error, KilnError) else text("quiz.inside"), "refusal")


def _unsaved(error, system):
    return line(sentence(error, system), "refusal") if error else ""
