"""What a sample sheet says on one day, in words: numbers, reasons, and what to watch."""

import math

from kilnlib.bench.desk.sheet.day import LONGEST_LEFT_DAYS, Finding, finding, sound
from kilnlib.errors import KilnError, NotFound, sentence
from kilnlib.physics.samples import safe_rate, sampling_error_pct, when_text
from kilnlib.words import text

__all__ = [
    "LONGEST_LEFT_DAYS",
    "Finding",
    "cannot",
    "finding",
    "numbers",
    "older_questions",
    "reasons",
    "say",
    "sound",
    "watch",
]

EQUALIZE_BELOW_TARGET = 2.0  # Wengert, Drying Oak Lumber, step 6C; Univ. of Kentucky FOR-128 p. 50, retrieved
CLOSE_SHARE_PCT = 80.0
MANY = 3
STUDIED_BOARDS = (6, 12)
WEIGH_AGAIN = ("ask_rising", "ask_falling", "ask_below_ovendry", "ask_twice")  # questions that a weighing answers

NO_LIMIT = ("no_rate", "no_rate_thickness")


def cannot(board, error, system="trade"):
    """The sentence about a board that cannot be worked out."""
    why = sentence(error, system) if isinstance(error, KilnError) else ""
    return text("sheet.cannot_board", board=board, why=why).strip()


def say(found):
    """The finding in a few short sentences."""
    day = found.day
    if day is None:
        return text("sheet.say_empty" if found.sheet.boards else "sheet.say_no_boards")
    said = text(
        "sheet.say",
        day=f"{day.when:%Y-%m-%d}",
        controlling=_pct(day.controlling_pct),
        wettest=day.wettest[0],
        high=_pct(day.wettest[1]),
        driest=day.driest[0],
        low=_pct(day.driest[1]),
    )
    if day.fastest:
        name, points = day.fastest
        key = "sheet.say_fastest_no_limit" if math.isnan(found.share_pct) else "sheet.say_fastest"
        key = key if points > 0 else "sheet.say_no_loss"
        said += " " + text(
            key, board=name, points=f"{points:.1f}", share=f"{found.share_pct:.0f}", limit=f"{found.limit:g}"
        )
    return said


def numbers(found):
    """The numbers to read, as (label, value) pairs."""
    day = found.day
    if day is None:
        return []
    of = (len(day.mcs_pct), len(found.sheet.boards) + len(found.broken))
    some = text("sheet.of_boards", known=of[0], count=of[1]) if of[0] < of[1] else ""
    rows = [
        (text("sheet.controlling"), _pct(day.controlling_pct) + some),
        (text("sheet.next"), _next(found)),
        (text("sheet.wettest"), text("sheet.board_at", board=day.wettest[0], value=_pct(day.wettest[1]))),
        (text("sheet.driest"), text("sheet.board_at", board=day.driest[0], value=_pct(day.driest[1]))),
    ]
    if day.fastest:
        points = text("sheet.points", points=f"{day.fastest[1]:.1f}")
        told = text("sheet.board_at", board=day.fastest[0], value=points)
        rows.append((text("sheet.fastest"), told if day.fastest[1] > 0 else text("sheet.none_lost")))
    if not math.isnan(found.limit):
        share = "" if math.isnan(found.share_pct) else text("sheet.used", share=f"{found.share_pct:.0f}")
        rows.append((text("sheet.limit"), text("sheet.points", points=f"{found.limit:g}") + share))
    if found.left is not None:
        low, high = found.left.low_days, found.left.high_days
        key = "sheet.days_too_fast" if found.left_too_fast else "sheet.days"
        rows.append((text("sheet.left"), text(key, low=f"{low:.0f}", high=f"{math.ceil(high):.0f}")))
    elif found.reckoned is not None:
        rows.append((text("sheet.left"), text("sheet.left_slow")))
    elif found.is_last and found.in_question:
        rows.append((text("sheet.left"), text("sheet.left_asked")))
    if not math.isnan(found.error_pct):
        rows.append((text("sheet.error"), _error(day)))
    return rows


def _error(day):
    """How far these boards may be off the load, and how far more of them would be."""
    count = len(day.mcs_pct)
    shown = [text("sheet.error_of", points=f"{sampling_error_pct(count) * day.average_pct / 100:.1f}", count=count)]
    more = next((boards for boards in STUDIED_BOARDS if boards > count), None)
    if more:
        points = sampling_error_pct(more) * day.average_pct / 100
        shown.append(text("sheet.error_more", points=f"{points:.1f}", count=more))
    return ", ".join(shown)


def reasons(found):
    """Sentences that say where the numbers come from."""
    told = [] if found.left is None else [sentence(found.left.reason)]
    try:
        rate = safe_rate(found.sheet.species, found.sheet.thickness)
        told.append(text("sheet.limit_source", source=rate.source, how=text(f"how.{rate.how}")))
    except NotFound:
        pass  # `watch` says so
    if found.day is not None:
        told.append(text("sheet.reasons"))
    return told


def watch(found, system="trade", asked=()):
    """What to look at today, as (urgent, sentence) pairs, questions first; `asked` stand beside their box in full."""
    day, sheet = found.day, found.sheet
    told = [(True, cannot(name, error, system)) for name, error in found.broken.items()]
    told += _open_questions(found, system, asked)
    if day is not None:
        told += _fast(found)
        if found.crossed_pct is not None:
            over = any(found.share_of(name) > 100 for name in day.rates)
            key = "sheet.watch_crossed_over" if over else "sheet.watch_crossed"
            told.append((not over, text(key, point=f"{found.crossed_pct:g}")))
        if sheet.target_pct is not None and not (day.doubted or found.broken):
            told += _near_the_end(day, sheet.target_pct)
        if day.carried and day.mcs_pct:
            told.append((False, text("sheet.watch_carried", boards=", ".join(day.carried))))
    in_oven = [board.name for board in sheet.boards if math.isnan(board.mean_mc_pct)]
    in_oven += [board.name for board in sheet.boards for cut in board.recuts if math.isnan(cut.mean_mc_pct)]
    if sheet.species and sheet.thickness:
        try:
            safe_rate(sheet.species, sheet.thickness)
        except NotFound as error:
            if error.code in NO_LIMIT:
                told.append((False, sentence(error, system)))
    if in_oven:
        told.append((False, text("sheet.watch_oven", boards=", ".join(dict.fromkeys(in_oven)))))
    return told


def _open_questions(found, system, asked):
    """Questions of this day, and what stands in for weights in doubt."""
    told = []
    for key, settled in (("sheet.watch_asked", True), ("sheet.watch_look", False)):
        names = dict.fromkeys(one.fields["board"] for one in asked if (one.code in WEIGH_AGAIN) is settled)
        if names:
            told.append(text(key, boards=", ".join(names)))
    now = when_text(found.day.when)[:10] if found.day else ""
    seen = {sentence(notice, system) for notice in asked}
    notices = [notice for notice in found.questions if notice.fields.get("when", now).startswith(now)]
    told += _sentences([notice for notice in notices if sentence(notice, system) not in seen], system)
    if found.day and found.day.doubted:
        told.append(text("sheet.watch_doubted", boards=", ".join(found.day.doubted)))
    return [(True, words) for words in told]


def older_questions(found, system="trade"):
    """Questions about weights of days before, still unanswered."""
    now = when_text(found.day.when)[:10] if found.day else ""
    notices = [notice for notice in found.questions if notice.fields.get("when", now)[:10] < now]
    return _sentences(notices, system)


def _sentences(notices, system):
    """Notices as sentences; many boards that gained on one day are told as one."""
    rising = {}
    for notice in notices:
        if notice.code == "ask_rising":
            rising.setdefault(notice.fields["when"][:10], []).append(notice)
    told = [sentence(notice, system) for notice in notices if notice.code != "ask_rising"]
    for day, gained in rising.items():
        if len(gained) < MANY:
            told += [sentence(notice, system) for notice in gained]
        else:
            boards = ", ".join(notice.fields["board"] for notice in gained)
            told.append(text("sheet.watch_rising", when=day, boards=boards))
    return told


def _fast(found):
    """Boards over the limit, or close to it; many of them are told as one."""
    names = sorted(found.day.rates, key=lambda name: -found.day.rates[name])
    shares = {name: found.share_of(name) for name in names}
    told = []
    for key, low, high in (("over", 100, math.inf), ("close", CLOSE_SHARE_PCT, 100)):
        names = [name for name, share in shares.items() if low < share <= high]
        if len(names) == 1:
            for name in names:
                shown = {"points": f"{found.day.rates[name]:.1f}", "share": f"{shares[name]:.0f}"}
                told.append((key == "over", text(f"sheet.watch_{key}", board=name, limit=f"{found.limit:g}", **shown)))
        elif names:
            boards = ", ".join(f"{name} ({found.day.rates[name]:.1f})" for name in names)
            told.append((key == "over", text(f"sheet.watch_many_{key}", boards=boards, limit=f"{found.limit:g}")))
    return told


def _near_the_end(day, target):
    start = target - EQUALIZE_BELOW_TARGET
    if day.wettest[1] <= target:
        return [(True, text("sheet.watch_done", target=f"{target:g}", driest=_pct(day.driest[1])))]
    if day.driest[1] <= start:
        return [(True, text("sheet.watch_equalize", board=day.driest[0], low=_pct(day.driest[1]), start=f"{start:g}"))]
    return []


def _next(found):
    if found.next_change_pct is None:
        return text("sheet.next_none")
    point = f"{found.next_change_pct:g}"
    if found.schedule is None:
        return text("sheet.next_at", point=point)
    return text("sheet.next_of", point=point, code=found.schedule.code, how=text(f"how.{found.schedule.how}"))


def _pct(value):
    return f"{value:.1f} %"
