"""What there is to learn from a charge that has ended: last readings board by board, their spread, and the degrade."""

import datetime
import re
from dataclasses import dataclass, replace

from kilnlib.errors import BadInput
from kilnlib.physics.samples import Note, Sheet
from kilnlib.units import DAY_S

DEGRADE = "Degrade: "  # a note that begins so; the version before reads it as any other
CAUSE = re.compile(r"\s*(?P<cause>[^\W\d].*?)[\s:x×]+(?P<count>\d{1,6})\s*")


@dataclass(frozen=True)
class Review:
    """A charge as its sheet has it."""

    charge: str
    end: datetime.datetime
    days: float
    boards: tuple[tuple[str, float, float], ...]  # name, first and last moisture content [%]
    average_pct: float
    spread_points: float  # between the wettest and the driest board at the end
    degrade: dict[str, int]  # boards by cause, the most frequent first; empty where nothing is written down


def review(sheet: Sheet) -> Review:
    """What a sheet says when its charge has ended.

    Parameters
    ----------
    sheet : samples.Sheet with weights.

    Returns
    -------
    Review.

    Raises
    ------
    BadInput : no weights yet.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    As the weights of the last day. A cause is what the person who graded the lumber called it.
    """
    days = [day for day in sheet.days if day.mcs_pct]
    if not days:
        raise BadInput("no_weights_yet")
    first = {name: mc for day in reversed(days) for name, mc in day.mcs_pct.items()}
    last = days[-1].mcs_pct
    return Review(
        sheet.charge,
        days[-1].when,
        (days[-1].when - days[0].when).total_seconds() / DAY_S,
        tuple((name, first[name], mc) for name, mc in last.items()),
        days[-1].average_pct,
        max(last.values()) - min(last.values()),
        read_degrade(degrade_text(sheet)),
    )


def degrade_text(sheet: Sheet) -> str:
    """What is written down about the degrade of a charge; empty where nothing is."""
    return next((note.text.removeprefix(DEGRADE) for note in sheet.notes if note.text.startswith(DEGRADE)), "")


def read_degrade(words: str) -> dict[str, int]:
    """Boards by cause, as in "surface checks 12, warp 3"; the most frequent first. Raises BadInput."""
    found: dict[str, int] = {}
    for part in filter(str.strip, re.split(r"[,;]", words)):
        read = CAUSE.fullmatch(part)
        if read is None:
            raise BadInput("degrade_unread", text=part.strip()[:40])
        cause = read["cause"].strip().casefold()
        found[cause] = found.get(cause, 0) + int(read["count"])
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))


def with_degrade(sheet: Sheet, words: str) -> Sheet:
    """A sheet with other words about its degrade, or with none. Raises BadInput where they cannot be read."""
    read_degrade(words)
    others = tuple(note for note in sheet.notes if not note.text.startswith(DEGRADE))
    if not words.strip():
        return replace(sheet, notes=others)
    written = [note.when for note in sheet.notes if note.text.startswith(DEGRADE)]
    after = sheet.days[-1].when + datetime.timedelta(minutes=1)  # not the note of a round
    when = written[0] if written else after
    return replace(sheet, notes=(*others, Note(when, f"{DEGRADE}{words.strip()}")))
