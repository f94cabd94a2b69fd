"""What an undo took back: one line about it, and where on the screen it is to be seen."""

import datetime
from dataclasses import dataclass

from kilnlib.bench.desk.sheet.parsing import shown_weight
from kilnlib.physics.samples import when_text
from kilnlib.words import text

SETTINGS = ("charge", "species", "thickness", "target_pct", "sample_unit", "section_unit")


@dataclass(frozen=True)
class Undone:
    """In words; the page and the round, where it was a weight or a note of a round."""

    words: str
    page: str = "boards"
    weighings: frozenset = frozenset()  # (board, time)
    when: datetime.datetime | None = None


def undone(before, after, page):
    """What went from the sheet `before` to the sheet `after` an undo; `page` is the one that is shown."""
    words, weighings = _weights(before, after) or ("", frozenset())
    if weighings:
        firsts = {(board.name, board.weighings[0].when) for board in (*before.boards, *after.boards) if board.weighings}
        stays = page == "boards" and weighings <= firsts
        return Undone(text("sheet.undone", what=words), "boards" if stays else "weights", frozenset(weighings))
    notes = set(before.notes) ^ set(after.notes)
    if notes:
        when = max(note.when for note in notes)
        what = text("sheet.undone_note", when=when_text(when))
        return Undone(text("sheet.undone", what=what), "weights", when=when)
    bulbs = set(before.air) ^ set(after.air)
    if bulbs:
        when = max(reading.when for reading in bulbs)
        what = text("sheet.undone_bulbs", when=when_text(when))
        return Undone(text("sheet.undone", what=what), "morning", when=when)
    return Undone(text("sheet.undone", what=_other(before, after)))


def _weights(before, after):
    """(words, weighings) where the sheets differ in weights of the same boards."""
    if [board.name for board in before.boards] != [board.name for board in after.boards]:
        return None
    old, new = _weighings(before), _weighings(after)
    gone, back = old.keys() - new.keys(), new.keys() - old.keys()
    changed = {key for key in old.keys() & new.keys() if old[key] != new[key]}
    if gone and back:
        was, now = (when_text(min(when for _, when in keys)) for keys in (gone, back))
        return text("sheet.undone_date", was=was, when=now), back
    keys = gone | back | changed
    if len(keys) != 1:
        return (text("sheet.undone_weights", count=len(keys)), keys) if keys else None
    (board, when), unit = next(iter(keys)), after.sample_unit
    was, weight = (
        f"{shown_weight(kg, unit)} {unit}" if kg else "" for kg in (old.get((board, when)), new.get((board, when)))
    )
    kind = "weight" if gone else "back" if back else "change"
    return text(f"sheet.undone_{kind}", board=board, when=when_text(when), was=was, weight=weight or was), keys


def _weighings(sheet):
    return {(board.name, weighing.when): weighing.weight_kg for board in sheet.boards for weighing in board.weighings}


def _other(before, after):
    for field in SETTINGS:
        was, now = getattr(before, field), getattr(after, field)
        if was != now:
            setting = text(f"sheet.{field.removesuffix('_pct')}")
            return text("sheet.undone_setting", setting=setting, was=_shown(was), now=_shown(now))
    boards = [
        board.name for board in (*before.boards, *after.boards) if (board in before.boards) != (board in after.boards)
    ]
    return text("sheet.undone_board", board=boards[0]) if boards else text("sheet.undone_other")


def _shown(value):
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
