"""Sheets as a tired person types them: slips at any weight, recuts at any weighing, the same board weighed again.

`python tests/wild_sheets.py 3000` looks at so many of them; the tests look at fewer.
"""

import datetime
import itertools
import math
import random
import re
import sys

from kilnlib.bench.desk.sheet import findings
from kilnlib.physics.samples import Recut, SampleBoard, Section, Sheet, Weighing, when_text
from kilnlib.physics.samples.board import PACE_HOURS
from kilnlib.units import LB_KG

START = datetime.datetime(2026, 3, 1, 7, 30)
SPECIES = ("red oak", "white oak", "yellow-poplar", "eastern white pine", "", "no such wood")
SLIPS = (0.1, 10.0, 0.55, 1.8, 0.9, 1.1, 0.45359, 2.2046, 1e-3, 1e3)


def wild_board(rng, name):
    """A board that dries as boards do, written down with slips."""
    sections = tuple(_section(rng, rng.uniform(30, 110)) for _ in range(rng.choice((1, 2, 2, 3))))
    when = START + datetime.timedelta(minutes=rng.randrange(2000))
    dry_lb, mc = rng.uniform(1.5, 4.0), rng.uniform(30, 110)
    weighings, recuts = [], []
    for _ in range(rng.randrange(9)):
        pounds = max(0.1, round(dry_lb * (1 + mc / 100), rng.choice((1, 2, 2, 3))))
        if rng.random() < 0.25:
            pounds = min(max(0.01, pounds * rng.choice(SLIPS)), 2000.0)
        weighings.append(Weighing(when, pounds * LB_KG))
        if rng.random() < 0.25:
            share = rng.choice((0.9, 0.7, 0.999, 0.05))
            new = tuple(_section(rng, rng.choice((mc, rng.uniform(2, 290)))) for _ in range(rng.choice((1, 2))))
            recuts.append(Recut(when, pounds * LB_KG * share, new))
            dry_lb *= share
        hours = rng.choice((1 / 60, 0.2, 3.9, 4.0, 12.0, 24.0, 24.0, 24.0, 240.0, 900.0))
        when += datetime.timedelta(seconds=round(hours * 3600))
        mc = max(4.0, mc - rng.uniform(-0.5, 4.0) * min(hours, 100.0) / 24)
    return SampleBoard(name, sections, tuple(weighings), tuple(recuts))


def _section(rng, mc):
    dry = rng.uniform(0.03, 0.09)
    return Section(dry * (1 + mc / 100), dry if rng.random() < 0.9 else None)


def wild_sheet(rng):
    """A sheet of such boards."""
    boards = tuple(wild_board(rng, str(number)) for number in range(1, rng.randrange(1, 6)))
    thickness = rng.choice(("4/4", "8/4", "", "1 in"))
    step_kg = rng.choice((None, 0.01 * LB_KG, 0.1 * LB_KG))
    return Sheet("wild", rng.choice(SPECIES), thickness, rng.choice((None, 7.0, 20.0)), boards, scale_step_kg=step_kg)


def look(sheet):
    """Everything a sheet says on each of its days holds what it must, or this raises; returns all of its sentences."""
    asked = {(notice.fields["board"], notice.fields["when"]) for notice in sheet.questions() if "when" in notice.fields}
    for board in sheet.boards:
        for number, (weighing, mc) in enumerate(zip(board.weighings, board.mcs_pct, strict=True)):
            if mc < 0 or mc > board.highest_pct:
                assert (board.name, when_text(weighing.when)) in asked, (board.name, number, mc)
                assert board.stands[number] != number
            pace = board.points_per_day_believed(number)
            assert math.isnan(pace) or pace == 0 or told_apart(sheet, board, number), (board.name, number, pace)
    said = []
    for day in sheet.days:
        for name, mc in day.mcs_pct.items():
            assert 0 <= mc <= sheet.board(name).highest_pct, (day.when, name, mc)
        assert all(math.isfinite(rate) for rate in day.rates.values())
    for when in [day.when for day in sheet.days] or [START]:
        found = findings.finding(sheet, when)
        assert not found.broken
        numbers = dict(findings.numbers(found))
        words = [findings.say(found), *numbers.values(), *findings.reasons(found), *findings.older_questions(found)]
        words += [sentence for _, sentence in findings.watch(found)]
        assert not re.search(r"\bnan\b|\binf\b", " ".join(words)), words
        assert not re.search(r"±\s-|at -\d", " ".join(words)), words
        if "Days left" in numbers and " to " in numbers["Days left"]:
            assert float(re.search(r"to (\d+)", numbers["Days left"])[1]) <= findings.LONGEST_LEFT_DAYS
        said += words
    return said


def told_apart(sheet, board, number):
    """Whether some weighing before lies hours away from this one, and by more than the scale's step."""
    now, step = board.weighings[number], (sheet.scale_step_kg or 0.0) * (1 - 1e-6)
    cut = {recut.when: recut.after_kg for recut in board.recuts}
    return any(
        (now.when - before.when).total_seconds() >= 3600 * PACE_HOURS
        and abs(cut.get(before.when, before.weight_kg) - now.weight_kg) >= step
        for before in board.weighings[:number]
    )


def main(count, seed=1):
    rng = random.Random(seed)
    sheets = [wild_sheet(rng) for _ in range(count)]
    recuts = sum(any(board.recuts for board in sheet.boards) for sheet in sheets)
    said = list(itertools.chain.from_iterable(map(look, sheets)))
    print(f"{count} sheets, {recuts} of them with recuts, {len(said)} sentences and numbers: none impossible")


if __name__ == "__main__":
    main(int(sys.argv[1]))
