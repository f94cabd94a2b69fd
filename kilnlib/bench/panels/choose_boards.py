"""Choosing sample boards: twelve described boards, four to pick, and words on each pick."""

import functools
import tomllib
from collections import Counter
from dataclasses import dataclass
from importlib import resources

import ipywidgets as widgets

from kilnlib.bench.drawings.candidate import drawing
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import View, line, rich
from kilnlib.bench.kit.verdict import CSS as QUIZ_CSS
from kilnlib.bench.kit.verdict import verdict_html
from kilnlib.errors import BadInput, sentence
from kilnlib.words import text

CSS = """<style>
.fc-choose .widget-checkbox {width: 100%; height: auto; margin: 1px 0;} .fc-choose svg {display: block;}
.fc-choose .widget-hbox .widget-html {flex: 0 0 150px; margin: 0 6px 2px 0;}
.fc-choose .widget-hbox {align-items: center;} .fc-choose .widget-vbox > .widget-hbox {padding: 2px 0;}
.fc-choose .widget-checkbox .widget-label-basic {display: block; position: relative; padding-left: 24px; height: auto;
  width: 100%; min-width: 0; font-size: 14px; line-height: 1.3; white-space: normal; cursor: pointer;}
.fc-choose .widget-checkbox input {position: absolute; left: 2px; top: 2px; margin: 0;}
.fc-choose ul {list-style: none; margin: 4px 0; padding: 0;}
.fc-choose li {padding-left: 1.6em; text-indent: -1.6em;}
.fc-choose .jupyter-button {width: auto; min-width: 92px; font-size: 14px;}
</style>"""
SEATS = 4
TRIES = 3  # then one good four is shown


@dataclass(frozen=True)
class Looks:
    """What a picture shows of a board; `water` says how wet it is: 0 air-dried, 1 green, more where it drips."""

    length_ft: float = 8.0
    width_in: float = 7.0
    thickness_in: float = 1.125
    sap_share: float = 0.0
    quartersawn: bool = False
    knots: bool = False
    bark: bool = False
    water: int = 1

    @property
    def drops(self):
        """How many drops hang on it."""
        return max(self.water - 1, 0)


@dataclass(frozen=True)
class Candidate:
    """One board of the stack: what it looks like, what it is (wet, slow, fast, middling or unfit), and why."""

    name: str
    kind: str
    looks: str
    why: str
    picture: Looks


@dataclass(frozen=True)
class Verdict:
    """What four picks earn: right or not, (board, whether it earns its seat) for each, words on the whole."""

    right: bool
    picks: tuple[tuple[Candidate, bool], ...]
    whole: str


@functools.cache
def stack():
    """The twelve boards by name, from the lesson's question file."""
    file = resources.files("kilnlib.questions") / "04_sample_boards.toml"
    boards = tomllib.loads(file.read_text(encoding="utf-8"))["board"]
    return {board["name"]: Candidate(**board | {"picture": Looks(**board["picture"])}) for board in boards}


def judge(names):
    """Verdict on a set of four names: three of the wettest and slowest with one of each, and one of the fastest.

    BadInput if there are not four.
    """
    picked = [board for name, board in stack().items() if name in names]
    if len(picked) != SEATS:
        raise BadInput("pick_count", wanted=SEATS, count=len(picked))
    count = Counter(board.kind for board in picked)
    faults = {
        "unfit": count["unfit"],
        "no_wet": not count["wet"],
        "no_slow": not count["slow"],
        "no_fast": not count["fast"],
        "middling": count["middling"],
        "two_fast": count["fast"] > 1,
    }
    whole = next((fault for fault, is_so in faults.items() if is_so), "right")
    first_fast = next((board for board in picked if board.kind == "fast"), None)
    earns = tuple((board, board.kind in ("wet", "slow") or board is first_fast) for board in picked)
    return Verdict(whole == "right", earns, text(f"choose_boards.{whole}"))


def one_good_four():
    """Names of four boards that are right."""
    of = {kind: [board.name for board in stack().values() if board.kind == kind] for kind in ("wet", "slow", "fast")}
    return of["wet"][:1] + of["slow"][:2] + of["fast"][:1]


class Panel(View):
    """The stack to choose from. Public for tests: `boxes`, `answer`, `check`, `reset`, `last_error`, `close`."""

    name = "choose_boards"

    def __init__(self):
        super().__init__()
        self.wrong = 0
        self.boxes = {
            board.name: widgets.Checkbox(description=f"{board.name}. {board.looks}", indent=False)
            for board in stack().values()
        }
        self.saying = widgets.HTML()
        rows = [
            widgets.HBox([widgets.HTML(drawing(board.picture)), self.boxes[board.name]]) for board in stack().values()
        ]
        half = len(rows) // 2
        buttons = [button("quiz.check", self.check), button("choose_boards.again", self.reset)]
        content = widgets.VBox(
            [
                widgets.HTML(QUIZ_CSS + CSS, layout={"display": "none"}),
                widgets.HTML(f'<div class="fc-prompt">{rich(text("choose_boards.prompt"))}</div>'),
                widgets.HBox([self._column(rows[:half]), self._column(rows[half:])]),
                widgets.HBox(buttons),
                self.saying,
            ]
        )
        for look in ("fc-ask", "fc-choose"):
            content.add_class(look)
        self.view = self.framed(content)

    def answer(self, *names):
        """Tick these boards and no others, and check them."""
        for name, box in self.boxes.items():
            box.value = name in names
        self.check()

    def check(self):
        """Words on each ticked board and on the four together; a wrong number of them is refused and is no attempt."""
        with self.guard():
            verdict = judge({name for name, box in self.boxes.items() if box.value})
            self.wrong = 0 if verdict.right else self.wrong + 1
            self.saying.value = self._told(verdict)

    def reset(self):
        """An untouched stack."""
        self.wrong, self.last_error = 0, None
        self.saying.value = ""
        for box in self.boxes.values():
            box.value = False

    def show_error(self, error):
        """The sentence stands under the buttons; the ticks stay."""
        self.saying.value = line(sentence(error, self.system), "refusal")

    def _told(self, verdict):
        lines = [
            text(f"choose_boards.{'earns' if earns else 'wastes'}", board=board.name, why=board.why)
            for board, earns in verdict.picks
        ]
        listed = "".join(f"<li>{rich(one)}</li>" for one in lines)
        solution = ""
        if self.wrong >= TRIES:
            solution = f"<p>{rich(text('choose_boards.solution', boards=', '.join(one_good_four())))}</p>"
        return verdict_html(verdict.right, rich(verdict.whole), f"{solution}<ul>{listed}</ul>")

    @staticmethod
    def _column(rows):
        return widgets.VBox(rows, layout={"width": "455px", "margin": "0 10px 0 0"})
