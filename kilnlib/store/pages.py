"""The pages of the workbook, read from the notebooks of a folder: their order, titles, minutes, parts and questions.

Nothing of this is kept by hand anywhere: a lesson that is put into the folder has its place, and its neighbors.
"""

import contextlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
IN_PACKAGE = (PACKAGE / "workbooks").is_dir()  # a wheel carries them there; else they lie in the project's folder
WORKBOOKS = (PACKAGE if IN_PACKAGE else PACKAGE.parent) / "workbooks"
ANSWERS = WORKBOOKS.with_name("answers")
KINDS = (  # in the order in which one turns them
    ("home", r"home"),
    ("lesson", r"\d\d_\w+"),
    ("desk", r"desk_(?!trainer$)\w+"),
    ("present", r"present_\w+"),
    ("aid", r"first_aid"),
    ("words", r"glossary"),
    ("trainer", r"desk_trainer"),
)
YARD = re.compile(r"^\*\*In the yard\.\*\* (.+)$", re.M)
NUMBERS = {"ten": 10, "fifteen": 15, "twenty": 20, "twenty-five": 25, "thirty": 30, "forty": 40}
MINUTES = re.compile(rf"\b((?:two|2) (?:sittings of|×|x) )?(\d+|{'|'.join(NUMBERS)})(?: to (\d+))? minutes", re.I)
CALL = re.compile(r"^(ask|warm_up|panel)\((.*)\)", re.M)
NOT_COUNTED = "Against the handbook"
LOOK = "Look"  # the part that says what to see in the panel before it


@dataclass(frozen=True)
class Part:
    """A part of a page: its heading, the questions asked in it, its prediction, and how many a warm-up asks.

    `looks_at` is the panel that has to be moved in it, by the name under which it is left: panel/prediction.
    """

    name: str
    title: str
    questions: tuple[str, ...] = ()
    predictions: tuple[str, ...] = ()
    warm_ups: int = 0
    looks_at: str = ""


@dataclass(frozen=True)
class Page:
    """One notebook: name without ending, kind, number ("05" or ""), title, minutes, what you can do after it, parts."""

    name: str
    kind: str
    number: str
    title: str
    minutes: str
    after: tuple[str, ...]
    parts: tuple[Part, ...]

    @property
    def file(self) -> str:
        """The notebook's file name."""
        return f"{self.name}.ipynb"


def read_pages(folder: str | Path) -> list[Page]:
    """The pages that lie in a folder, in the order in which one turns them; what is no page of ours is left out."""
    found = []
    for path in sorted(Path(folder).glob("*.ipynb")):
        for place, (kind, pattern) in enumerate(KINDS):
            if re.fullmatch(pattern, path.stem):
                with contextlib.suppress(OSError, ValueError, KeyError, TypeError):  # a broken copy does not open
                    found.append((place, path.stem, _page(path, kind)))
    return [page for _, _, page in sorted(found, key=lambda one: one[:2])]


def yard_tasks(folder: str | Path = ANSWERS) -> list[tuple[str, str]]:
    """The task at the kiln of every lesson's key: (number of the lesson, what is done there)."""
    tasks = []
    for path in sorted(Path(folder).glob("[0-9][0-9]_*_key.ipynb")):
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            texts = ["".join(cell["source"]) for cell in json.loads(path.read_text("utf-8"))["cells"]]
            tasks += [(path.stem[:2], _plain(task)) for task in YARD.findall("\n".join(texts))]
    return tasks


def neighbors(pages: list[Page], name: str) -> tuple[Page | None, Page | None]:
    """The page before and the page after one, None at either end."""
    names = [page.name for page in pages]
    if name not in names:
        return None, None
    at = names.index(name)
    return (pages[at - 1] if at else None), (pages[at + 1] if at + 1 < len(pages) else None)


def _page(path: Path, kind: str) -> Page:
    cells = [(cell["cell_type"], "".join(cell["source"])) for cell in json.loads(path.read_text("utf-8"))["cells"]]
    texts = [source for what, source in cells if what == "markdown"]
    heading = re.search(r"^# (.+)$", "\n".join(texts), re.M)
    first = texts[0] if texts else ""
    number = path.stem[:2] if kind == "lesson" else ""
    after = tuple(line.rstrip(";.") for line in re.findall(r"^\d\. (.+)$", first, re.M))
    title = _plain(heading[1]) if heading else path.stem
    return Page(path.stem, kind, number, title, _minutes(first), after, tuple(_parts(cells)))


def _minutes(words: str) -> str:
    found = MINUTES.search(words)
    if not found:
        return ""
    twice, low, high = found.groups()
    low = str(NUMBERS.get(low.lower(), low))
    return f"{'2 × ' if twice else ''}{low}{f'–{high}' if high else ''}"


def _parts(cells: list[tuple[str, str]]) -> Iterator[Part]:
    title: str | None = None
    calls: list[tuple[str, str]] = []
    panel = ""
    for what, source in [*cells, ("markdown", "## ")]:
        if what == "code":
            calls += CALL.findall(source)
            continue
        for heading in re.findall(r"^##(?!#) ?(.*)$", source, re.M):
            if title and title != NOT_COUNTED:
                yield _part(title, calls, panel if title == LOOK else "")
            panel = next((_left_as(arguments) for call, arguments in calls if call == "panel"), panel)
            title, calls = _plain(heading), []


def _left_as(arguments: str) -> str:
    panel, *predict = re.findall(r"\"([^\"]+)\"", arguments)
    return f"{panel}/{''.join(predict)}"


def _part(title: str, calls: list[tuple[str, str]], looks_at: str) -> Part:
    asked: list[str] = []
    predictions: list[str] = []
    warm_ups = 0
    for call, arguments in calls:
        names = re.findall(r"\"([^\"]+)\"", arguments)
        if call == "ask":
            asked += names
        elif call == "warm_up":
            warm_ups += len(names) - 1
        else:
            predictions += re.findall(r"predict=\"([^\"]+)\"", arguments)
    name = re.sub(r"\W+", "-", title.lower()).strip("-")
    return Part(name, title, tuple(asked), tuple(predictions), warm_ups, looks_at)


def _plain(words: str) -> str:
    return re.sub(r"[*_`]", "", words).strip()
