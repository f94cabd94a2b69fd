"""A random user of the sample sheet, and another program that reads the file whenever the screen says that it is saved.

`python tests/chaos.py --actions 100000 --kills 60` does so much of it, and ends so many kernels and servers under an
open browser; the tests do less. Each episode begins with an empty folder, and its seed is named when something is lost.
"""

import argparse
import contextlib
import datetime
import errno
import hashlib
import html
import itertools
import json
import math
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path
from unittest import mock

from kilnlib import units
from kilnlib.bench.desk.sheet import boards, charge, morning, parsing, weights
from kilnlib.bench.desk.sheet import panel as sample_sheet
from kilnlib.bench.desk.sheet.chart import SheetChart
from kilnlib.bench.desk.sheet.files import FILED, RESCUE, UNFINISHED, examples, own_sheets, place
from kilnlib.bench.kit import screen
from kilnlib.errors import BadInput, KilnError
from kilnlib.physics.samples import when_text
from kilnlib.store.kiln import user_folder
from kilnlib.store.sheet import SampleSheet, folder

HERE = Path(__file__).parent
EPISODE = 250  # actions (a box typed in, a button pressed) with one folder
DRAWN = 50  # every so many-th picture is drawn and morning decided; the others are left out, as they take most time
SAVED = "Every entry is saved as you type"
BAD = ("4.x6", "-3", "4 lb 17 oz", "nan", "1e308", "0", "99999", "<b>4</b>", "=4+1", "4,46,1", "4.46 gal")
WORDS = ("by the door", "=SUM(A1)", 'knot; split, "end"', "'quoted", "# no remark", "été ö 木", "a" * 300, "-5", "\tx")
DATES = ("3/9", "2026-03-08", "2026-03-08 06:15", "10/03/2026", "no date", "2031-01-01", "Mar 7 4 pm", "12:40", "")
SPECIES = ("red oak", "oak", "ash", "white oak", "yellow-poplar", "no such wood", "")
NAMES = ("Oak", "Oak 2", "a/b\\c", "CON", "  ", "..", "ash.csv", "Ötscher", "x" * 90)
UPLOAD = """# my own remark
operator,item,board,date,weight,oven-dry,unit,note,pin meter
jo,charge,,,,,,Upload,
jo,board,1,,,,,by the door,
jo,section,1,,98.55,59.20,g,,
jo,weight,1,{first},4.46,,lb,,52
jo,weight,1,{second},4.38,,lb,,
"""
COMMA = UPLOAD.replace(",", ";").replace(".", ",")


class Lost(AssertionError):
    """The screen said saved, and the file does not say it."""


class Other:
    """The other program, asked over a pipe."""

    def __init__(self):
        command = [sys.executable, "-I", str(HERE / "other_program.py")]
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8")

    def facts(self, *paths):
        """What it finds in each file."""
        self.process.stdin.write(json.dumps([str(path) for path in paths]) + "\n")
        self.process.stdin.flush()
        return json.loads(self.process.stdout.readline())

    def close(self):
        """End it."""
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait(10)


class Timer:
    """A pause in typing that comes when the random user lets it."""

    def __init__(self, action):
        self.action = action

    def cancel(self):
        self.action = None


class Disk:
    """Refuses to write while it is `full`: everywhere, in the folder of sheets alone, or a file that is new."""

    KINDS = ("fsync", "replace", "touch")

    def __init__(self):
        self.full = None

    @contextlib.contextmanager
    def watched(self):
        """Stand between our code and the system."""
        real = {"fsync": os.fsync, "replace": Path.replace, "touch": Path.touch}

        def ask(kind, *given, **named):
            path = given[0]
            if self.full == kind and (kind == "fsync" or path.parent == folder()):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return real[kind](*given, **named)

        def standing(kind):
            return lambda *given, **named: ask(kind, *given, **named)

        with (
            mock.patch.object(os, "fsync", standing("fsync")),
            mock.patch.object(Path, "replace", standing("replace")),
            mock.patch.object(Path, "touch", standing("touch")),
        ):
            yield


class User:
    """One person at one desk for one episode; `act` does one thing and looks at the disk."""

    def __init__(self, seed, other, disk):
        self.rng, self.seed = random.Random(seed), seed
        self.other, self.disk = other, disk
        self.clock = datetime.datetime(2026, 3, 12, 7, 30)
        self.timer, self.done, self.checks, self.actions = None, [], Counter(), 0
        self.left = Counter()  # contents of the sheets that were left when the screen called them saved
        self.touched = set()  # files that something else wrote in
        self.panel = None
        SampleSheet.take_in(
            folder() / "Oak.csv", UPLOAD.format(first="2026-03-10", second="2026-03-11").encode()
        ).close()
        self.panel = sample_sheet.Panel()
        self.ways = [getattr(self, name) for name in dir(self) if name.startswith("do_")]
        self.often = [OFTEN.get(way.__name__, 1) for way in self.ways]

    # what a person does -------------------------------------------------------------------------------------------

    def act(self):
        """One action out of all, then the look of the other program."""
        way = self.rng.choices(self.ways, self.often)[0]
        if self.panel.leaving is not None and self.rng.random() < 0.5:
            way = self.rng.choice((self.panel.stay, self.panel.leave))
        self.done.append(way.__name__)
        self.actions += 1
        way()
        if self.rng.random() < 0.7:
            self.pause()
        if self.rng.random() < 0.15:
            self.disk.full = None
        if isinstance(self.panel.last_error, Exception) and not isinstance(self.panel.last_error, KilnError):
            raise self.panel.last_error
        if way.__name__ in LEAVING:
            self.still_there()
        self.look()

    def pause(self):
        """Typing has paused."""
        if self.timer is not None and (action := self.timer.action):
            self.timer.cancel()
            action()

    def after_pause(self, action, seconds):
        self.timer = Timer(action)
        return self.timer

    def type(self, box, typed):
        """A box gets its letters one by one, or all at once."""
        self.actions += 1
        if self.rng.random() < 0.2 and 0 < len(typed) < 9:
            for end in range(1, len(typed)):
                box.value = typed[:end]
                if self.rng.random() < 0.2:
                    self.pause()
        box.value = typed
        if self.rng.random() < 0.3:
            self.pause()

    def weight(self):
        if self.rng.random() < 0.12:
            return self.rng.choice((*BAD, ""))
        slip = self.rng.choice((0.1, 10, 0.5, 2.2)) if self.rng.random() < 0.05 else 1.0
        return self.rng.choice(("{:.2f}", "{:.2f} lb", "{:.3f}", "{:.0f} lb 7 oz")).format(
            self.rng.uniform(2, 5) * slip
        )

    def do_weigh(self):
        self.go("weights")
        for row in self.some(list(self.panel.weights.rows.values())):
            self.type(row.boxes["weight"], self.weight())

    def do_round(self):
        self.go("weights")
        self.panel.press(
            self.rng.choice((self.panel.weights.new, self.panel.weights.earlier, self.panel.weights.later))
        )

    def do_date(self):
        self.go("weights")
        self.type(self.panel.weights.when_row.boxes["when"], self.rng.choice(DATES))

    def do_note(self):
        self.go("weights")
        self.type(self.panel.weights.note_row.boxes["note"], self.rng.choice(WORDS))

    def do_bulbs(self):
        self.go("morning")
        for row in self.some(list(self.panel.morning.rows.values())):
            for box in row.boxes.values():
                self.type(box, self.rng.choice((f"{self.rng.uniform(90, 150):.1f}", "106", "12.5", "60 %", "", *BAD)))

    def do_boards(self):
        self.go("boards")
        for row in self.some(self.panel.boards.rows):
            green = self.rng.uniform(60, 110)
            typed = (f"{green:.2f}", f"{green / self.rng.uniform(1.1, 1.9):.2f}")
            for field, words in zip(("a_green", "a_dry"), typed, strict=True):
                self.type(row.boxes[field], words if self.rng.random() < 0.95 else self.weight())
            if self.rng.random() < 0.7:
                self.type(row.boxes["board_weight"], self.weight())

    def do_board_name(self):
        self.go("boards")
        row = self.rng.choice(self.panel.boards.rows)
        field = self.rng.choice(("name", "note"))
        self.type(row.boxes[field], self.rng.choice((*WORDS, str(self.rng.randrange(9)))))

    def do_recut(self):
        if names := [board.name for board in self.panel.sheet.boards]:
            self.panel.recut(self.rng.choice(names))
            rows = [row for row in self.panel.boards.rows if isinstance(row.about, tuple)]
            for row in self.some(rows):
                for field, words in (("a_green", "80"), ("a_dry", "57"), ("board_weight", self.weight())):
                    self.type(row.boxes[field], words)

    def do_remove(self):
        self.go("boards")
        if chosen := self.panel.boards.choice.value:
            self.panel.press(lambda: self.panel.boards.remove(*chosen))

    def do_setting(self):
        self.go("boards")
        field = self.rng.choice(charge.SETTINGS)
        typed = {
            "species": SPECIES,
            "thickness": ("4/4", "8/4", "1 in", '1"', "thick"),
            "target": ("7", "8 %", "nan", ""),
            "sample_unit": ("lb", "kg", "g", "oz", "stone"),
            "section_unit": ("g", "lb", "x"),
            "scale_step": ("0.01", "0.02 lb", "5 g", "none", ""),
        }
        self.type(self.panel.boards.settings[field].boxes[field], self.rng.choice(typed.get(field, WORDS)))

    def do_first_time(self):
        self.go("boards")
        self.type(self.panel.boards.when_row.boxes["when"], self.rng.choice(DATES))

    def do_undo(self):
        for _ in range(self.rng.choice((1, 1, 2, 5))):
            self.panel.undo()

    def do_page(self):
        self.panel.page.value = self.rng.choice(sample_sheet.PAGES)

    def do_button(self):
        ways = (self.panel.save, self.panel.save_copy, self.panel.load_again, self.panel.day_first)
        self.rng.choice(ways)()

    def do_hand_out(self):
        if self.rng.random() < 0.1:
            self.rng.choice((self.panel.export, self.panel.print_page))()

    def do_shelf(self):
        name = self.rng.choice(NAMES)
        ways = (
            lambda: self.panel.start(name),
            lambda: self.panel.rename(name),
            self.panel.put_down,
            self.panel.file_away,
            self.panel.delete,
        )
        self.rng.choice(ways)()

    def do_open(self):
        there = [*own_sheets(), *own_sheets(place(FILED)), *own_sheets(place(RESCUE))]
        there += examples() if self.rng.random() < 0.1 or not there else []  # long ones, which take long to write
        self.panel.open_path(self.rng.choice(there))

    def do_upload(self):
        days = self.rng.choice((("2026-03-10 07:30", "2026-03-11 07:30"), ("03/04/2026 07:30", "04/04/2026 07:30")))
        made = self.rng.choice((UPLOAD, COMMA)).format(first=days[0], second=days[1])
        self.panel.upload(self.rng.choice(NAMES), made[: None if self.rng.random() < 0.8 else 120].encode())

    def do_disk(self):
        """It fills up, for a while."""
        self.disk.full = self.rng.choice(Disk.KINDS)

    def do_other_program(self):
        """Something else writes a remark into the file."""
        path = self.panel.open_sheet.path
        if path.exists() and self.rng.random() < 0.3:
            self.touched.add(path)
            with path.open("a", encoding="utf-8") as file:
                file.write("# written by something else\n")

    def do_tomorrow(self):
        self.clock += datetime.timedelta(hours=self.rng.choice((1, 12, 24)))

    def do_begin_again(self):
        """The kernel is gone without a word, and the tool opens again."""
        held, self.timer = self.panel, None
        if self.rng.random() < 0.5:
            held.open_sheet.close()  # what the system does of itself when a process ends
            held._pending = None
        held.close()
        self.panel = sample_sheet.Panel()

    def go(self, page):
        if self.panel.page.value != page:
            self.panel.turn_to(page)

    def some(self, rows):
        return self.rng.sample(rows, min(len(rows), self.rng.choice((1, 1, 2, 4))))

    # what is on disk ----------------------------------------------------------------------------------------------

    @staticmethod
    def contents(path):
        return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else None

    def takes_up(self, opened):
        """Another sheet is opened: what is left behind must be found again, word for word, wherever it was put."""
        held = self.panel.open_sheet if self.panel is not None else None
        if held is not None and held.saved:
            was = self.contents(held.path)
            if was is None and held.path not in self.touched:  # it was moved before
                was = hashlib.sha256(held._kept.encoded()).hexdigest()
            self.left[was] += was is not None
        now = self.contents(opened.path)
        self.left[now] -= self.left[now] > 0

    def still_there(self):
        """Every sheet that was left lies somewhere in the user's folder."""
        have = Counter(map(self.contents, user_folder().glob("**/*.csv")))
        if gone := [one for one, count in self.left.items() if count > have[one]]:
            raise Lost(f"sheets that were left are gone: {gone}")
        self.checks["sheets left"] += self.left.total()

    def look(self):
        """What the screen calls saved stands in the file for another program, what it calls rescued in that one."""
        panel = self.panel
        if panel._pending is not None:
            return
        said = html.unescape(panel.status.value)
        if SAVED in said:
            self.same(panel.open_sheet.path)
            self.boxes(panel.open_sheet.path)
            self.checks["saved"] += 1
        elif panel.rescue.path and str(panel.rescue.path) in said:
            self.same(panel.rescue.path)
            self.checks["rescued"] += 1
        else:
            self.checks["not saved, and said so"] += 1
        if not panel.unfinished.unsaved:
            self.kept()

    def same(self, path):
        """All facts of the screen's sheet, and no others, stand in the file."""
        (rows,) = self.other.facts(path)
        if rows is None:
            raise Lost(f"{path} is not there")
        missing = compare(self.panel.sheet, rows)
        if missing:
            raise Lost(f"{path}: {missing[:5]}")

    def boxes(self, path):
        """Weights as they stand in the boxes of the page that is shown."""
        if self.panel.page.value != "weights":
            return
        (rows,) = self.other.facts(path)
        kg = {(board, when): kg for item, board, dates, kg, _, _ in rows if item == "weight" for when in dates}
        shown, unit = self.panel.weights.round, units.units_for("weight")[self.panel.sheet.sample_unit]
        for name, row in self.panel.weights.rows.items():
            typed = row.boxes["weight"].value.strip()
            if row.refusal is None and re.fullmatch(r"\d+(\.\d+)?", typed):
                when = when_text(shown.times.get(name, shown.when))
                if not math.isclose(kg.get((name, when), -1), unit.to_si(float(typed)), rel_tol=1e-4):
                    raise Lost(f"{name} {when}: {typed} stands in a box, {kg.get((name, when))} kg in the file")
                self.checks["boxes"] += 1

    def kept(self):
        """Text that no box could take stands in unfinished.json."""
        shown = {"weights": list(self.panel.weights.rows.values()), "boards": self.panel.boards.rows,
                 "morning": list(self.panel.morning.rows.values())}  # fmt: skip
        rows = shown.get(self.panel.page.value, [])
        waiting = [row for row in rows if row.refusal is not None and row.key and any(row.texts().values())]
        if waiting:
            found = json.loads((folder() / UNFINISHED).read_text(encoding="utf-8"))
            mine = found.get(self.panel.unfinished._name, {})
            for row in waiting:
                if mine.get(row.key) != row.texts():
                    raise Lost(f"{row.key}: {row.texts()} waits on the screen, {mine.get(row.key)} on disk")
                self.checks["unfinished"] += 1


LEAVING = {"do_shelf", "do_open", "do_upload", "do_begin_again", "leave", "do_button"}
OFTEN = {"do_weigh": 8, "do_boards": 4, "do_recut": 4, "do_round": 4, "do_begin_again": 0.3}


def compare(sheet, rows):
    """What a sheet and the rows of a file do not have in common."""
    found, wrong = defaultdict(list), []
    for item, board, dates, weight_kg, dry_kg, note in rows:
        found[item, board].append((dates, weight_kg, dry_kg, note))

    def need(item, board, *wanted):
        there = found.pop((item, board), [])
        if len(there) != len(wanted):
            wrong.append((item, board, wanted, there))
        for when, weight_kg, dry_kg, note in wanted:
            if not any(
                when in dates and near(kg, weight_kg) and near(dry, dry_kg) and (note is None or note == words)
                for dates, kg, dry, words in there
            ):
                wrong.append((item, board, when, weight_kg, dry_kg, note, there[:3]))

    for board in sheet.boards:
        need("board", board.name, ("", None, None, board.note))
        need("section", board.name, *(("", one.green_kg, one.ovendry_kg, None) for one in board.sections))
        need("weight", board.name, *((when_text(one.when), one.weight_kg, None, one.note) for one in board.weighings))
        need("recut", board.name, *((when_text(one.when), one.after_kg, None, one.note) for one in board.recuts))
        cut = [(when_text(one.when), section) for one in board.recuts for section in one.sections]
        need("recut section", board.name, *((when, one.green_kg, one.ovendry_kg, None) for when, one in cut))
    need("note", "", *((when_text(note.when), None, None, note.text) for note in sheet.notes))
    said = {item: there[0][3] for (item, _), there in found.items() if item in ("charge", "species", "thickness")}
    for field in ("charge", "species", "thickness"):
        if said.get(field, "").removesuffix(" inch") != getattr(sheet, field).removesuffix(" inch"):
            wrong.append((field, getattr(sheet, field), said.get(field)))
    settings = {"charge", "species", "thickness", "target", "units", "scale step", "air"}
    return wrong + [(item, board, there) for (item, board), there in found.items() if item not in settings and there]


def near(one, other):
    """The same weight, or both none."""
    return one is other or (None not in (one, other) and math.isclose(one, other, rel_tol=1e-9))


@contextlib.contextmanager
def at_a_desk(home, user_of):
    """The modules as the random user needs them: its clock, its pauses, and few pictures."""
    drawn, html_of, take_up = Counter(), SheetChart.html, sample_sheet.Panel._take_up
    decide = morning.own_morning

    def draw(chart, *given):
        drawn["asked"] += 1
        return html_of(chart, *given) if drawn["asked"] % DRAWN == 1 else '<img alt="">'

    def decided(*given):
        drawn["decided"] += 1
        if drawn["decided"] % DRAWN == 1:
            return decide(*given)
        raise BadInput("no_pace_yet")

    def taken_up(panel, opened):
        user_of().takes_up(opened)
        take_up(panel, opened)

    with contextlib.ExitStack() as stack:
        stack.enter_context(mock.patch.dict(os.environ, {"FIRST_CHARGE_HOME": str(home)}))
        for module in (parsing, weights, boards, charge, sample_sheet):
            stack.enter_context(mock.patch.object(module, "now", lambda: user_of().clock))
        stack.enter_context(mock.patch.object(screen, "after_pause", lambda *given: user_of().after_pause(*given)))
        stack.enter_context(mock.patch.object(SheetChart, "html", draw))
        stack.enter_context(mock.patch.object(morning, "own_morning", decided))
        stack.enter_context(mock.patch.object(sample_sheet.Panel, "_take_up", taken_up))
        yield


def episode(seed, actions, other, home):
    """At least so many actions with one folder; returns how often something was looked at."""
    disk, users = Disk(), []
    with at_a_desk(home, lambda: users[0]), disk.watched():
        user = User.__new__(User)
        users.append(user)
        user.__init__(seed, other, disk)
        try:
            while user.actions < actions:
                user.act()
        except BaseException as error:
            error.add_note(f"episode {seed}, action {len(user.done)}: {' '.join(user.done[-8:])}")
            raise
        finally:
            disk.full = None
        user.panel.close()
        assert user_folder() == Path(home)
    user.checks["actions"] += user.actions
    return user.checks


def run(actions, first_seed=1):
    """So many actions in episodes; raises Lost with the seed of the episode."""
    other, checks = Other(), Counter()
    try:
        for number in itertools.count(first_seed):
            if checks["actions"] >= actions:
                break
            with tempfile.TemporaryDirectory() as home:
                todo = min(EPISODE, actions - checks["actions"])
                checks += episode(number, todo, other, Path(home) / "First Charge")
    finally:
        other.close()
    return checks


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--actions", type=int, default=10_000)
    parser.add_argument("--kills", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began = time.process_time()
    checks = Counter()
    while checks["actions"] < asked.actions:
        part = min(10_000, asked.actions - checks["actions"])
        checks += run(part, asked.seed + 1000 * (checks["actions"] // 10_000))
        print(dict(checks), f"{time.process_time() - began:.0f} s of processor time", flush=True)
    if asked.kills:
        command = [sys.executable, "-m", "pytest", "-n", "0", "-q", "-s", "browser/test_kills.py", "-k", "random"]
        number = {"FIRST_CHARGE_KILLS": str(asked.kills), "FIRST_CHARGE_SEED": str(asked.seed)}
        sys.exit(subprocess.run(command, cwd=HERE, env=os.environ | number, timeout=60 * asked.kills + 600).returncode)


if __name__ == "__main__":
    main()
