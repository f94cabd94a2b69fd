"""What a sample sheet says on one day, in words: numbers, reasons, and what to watch."""

import math

from kilnlib import tables
from kilnlib.bench.desk.sheet.day import LONGEST_LEFT_DAYS, Finding, finding, sound
from kilnlib.errors import KilnError, NotFound, sentence
from kilnlib.physics.daily import rules
from kilnlib.physics.samples import UPLAND_OAK, safe_rate, sampling_error_pct, weak_oak_points_per_day, when_text
from kilnlib.physics.wood import species_key
from kilnlib.tables import advice
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

MANY = advice("boards_told_as_one")
STUDIED_BOARDS = tuple(int(row["boards"]) for row in tables.records("sampling_error"))
WEIGH_AGAIN = ("ask_rising", "ask_falling", "ask_below_ovendry", "ask_twice")  # questions that a weighing answers

NO_LIMIT = ("no_rate", "no_rate_thickness")


def cannot(board, error, system="trade"):
    """The sentence about a board that cannot be worked out."""
    why = sentence(error, system) if isinstance(error, KilnError) else ""
    return text("sheet.cannot_board", board=board, why=why).strip()


def say(result):
    """The finding in a few short sentences."""
    day = result.day
    if day is None:
        return text("sheet.say_empty" if result.sheet.boards else "sheet.say_no_boards")
    words = text(
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
        key = "sheet.say_fastest_no_limit" if math.isnan(result.share_pct) else "sheet.say_fastest"
        key = key if points > 0 else "sheet.say_no_loss"
        words += " " + text(
            key, board=name, points=f"{points:.1f}", share=f"{result.share_pct:.0f}", limit=f"{result.limit:g}"
        )
    return words


def numbers(result):
    """The numbers to read, as (label, value) pairs."""
    day = result.day
    if day is None:
        return []
    of = (len(day.mcs_pct), len(result.sheet.boards) + len(result.broken))
    some = text("sheet.of_boards", known=of[0], count=of[1]) if of[0] < of[1] else ""
    rows = [
        (text("sheet.controlling"), _pct(day.controlling_pct) + some),
        (text("sheet.next"), _next(result)),
        (text("sheet.wettest"), text("sheet.board_at", board=day.wettest[0], value=_pct(day.wettest[1]))),
        (text("sheet.driest"), text("sheet.board_at", board=day.driest[0], value=_pct(day.driest[1]))),
    ]
    if day.fastest:
        points = text("sheet.points", points=f"{day.fastest[1]:.1f}")
        sentences = text("sheet.board_at", board=day.fastest[0], value=points)
        rows.append((text("sheet.fastest"), sentences if day.fastest[1] > 0 else text("sheet.none_lost")))
    if not math.isnan(result.limit):
        share = "" if math.isnan(result.share_pct) else text("sheet.used", share=f"{result.share_pct:.0f}")
        rows.append((text("sheet.limit"), text("sheet.points", points=f"{result.limit:g}") + share))
        if _is_upland_oak(result.sheet.species):
            weak = weak_oak_points_per_day(result.sheet.thickness)
            rows.append((text("sheet.limit_whose"), text("sheet.limit_upland", points=f"{weak:.1f}")))
    if result.left is not None:
        low, high = result.left.low_days, result.left.high_days
        key = "sheet.days_too_fast" if result.left_too_fast else "sheet.days"
        rows.append((text("sheet.left"), text(key, low=f"{low:.0f}", high=f"{math.ceil(high):.0f}")))
    elif result.reckoned is not None:
        rows.append((text("sheet.left"), text("sheet.left_slow")))
    elif result.is_last and result.in_question:
        rows.append((text("sheet.left"), text("sheet.left_asked")))
    if not math.isnan(result.error_pct):
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


def reasons(result):
    """Sentences that say where the numbers come from."""
    sentences = [] if result.left is None else [sentence(result.left.reason)]
    try:
        rate = safe_rate(result.sheet.species, result.sheet.thickness)
        sentences.append(text("sheet.limit_source", source=rate.source, how=text(f"how.{rate.how}")))
    except NotFound:
        pass  # `watch` says so
    if result.day is not None:
        sentences.append(text("sheet.reasons"))
    return sentences


def watch(result, system="trade", asked=()):
    """What to look at today, as (urgent, sentence) pairs, questions first; `asked` stand beside their box in full."""
    day, sheet = result.day, result.sheet
    sentences = [(True, cannot(name, error, system)) for name, error in result.broken.items()]
    sentences += _open_questions(result, system, asked)
    if day is not None:
        sentences += _fast(result)
        if result.crossed_pct is not None:
            over = any(rules.limit_level(result.share_of(name)) == rules.OVER for name in day.rates)
            key = "sheet.watch_crossed_over" if over else "sheet.watch_crossed"
            sentences.append((not over, text(key, point=f"{result.crossed_pct:g}")))
        if sheet.target_pct is not None and not (day.doubted or result.broken):
            sentences += _near_the_end(sheet, day)
        if day.carried and day.mcs_pct:
            sentences.append((False, text("sheet.watch_carried", boards=", ".join(day.carried))))
    in_oven = [board.name for board in sheet.boards if math.isnan(board.mean_mc_pct)]
    in_oven += [board.name for board in sheet.boards for cut in board.recuts if math.isnan(cut.mean_mc_pct)]
    if sheet.species and sheet.thickness:
        try:
            safe_rate(sheet.species, sheet.thickness)
        except NotFound as error:
            if error.code in NO_LIMIT:
                sentences.append((False, sentence(error, system)))
    if in_oven:
        sentences.append((False, text("sheet.watch_oven", boards=", ".join(dict.fromkeys(in_oven)))))
    return sentences


def _open_questions(result, system, asked):
    """Questions of this day, and what stands in for weights in doubt."""
    sentences = []
    for key, settled in (("sheet.watch_asked", True), ("sheet.watch_look", False)):
        names = dict.fromkeys(one.fields["board"] for one in asked if (one.code in WEIGH_AGAIN) is settled)
        if names:
            sentences.append(text(key, boards=", ".join(names)))
    now = when_text(result.day.when)[:10] if result.day else ""
    seen = {sentence(notice, system) for notice in asked}
    notices = [notice for notice in result.questions if notice.fields.get("when", now).startswith(now)]
    sentences += _sentences([notice for notice in notices if sentence(notice, system) not in seen], system)
    if result.day and result.day.doubted:
        sentences.append(text("sheet.watch_doubted", boards=", ".join(result.day.doubted)))
    return [(True, words) for words in sentences]


def older_questions(result, system="trade"):
    """Questions about weights of days before, still unanswered."""
    now = when_text(result.day.when)[:10] if result.day else ""
    notices = [notice for notice in result.questions if notice.fields.get("when", now)[:10] < now]
    return _sentences(notices, system)


def _sentences(notices, system):
    """Notices as sentences; many boards that gained on one day are told as one."""
    rising = {}
    for notice in notices:
        if notice.code == "ask_rising":
            rising.setdefault(notice.fields["when"][:10], []).append(notice)
    sentences = [sentence(notice, system) for notice in notices if notice.code != "ask_rising"]
    for day, gained in rising.items():
        if len(gained) < MANY:
            sentences += [sentence(notice, system) for notice in gained]
        else:
            boards = ", ".join(notice.fields["board"] for notice in gained)
            sentences.append(text("sheet.watch_rising", when=day, boards=boards))
    return sentences


def _fast(result):
    """Boards over the limit, or close to it; many of them are told as one."""
    names = sorted(result.day.rates, key=lambda name: -result.day.rates[name])
    shares = {name: result.share_of(name) for name in names}
    sentences = []
    for key in (rules.OVER, rules.CLOSE):
        names = [name for name, share in shares.items() if rules.limit_level(share) == key]
        if len(names) == 1:
            for name in names:
                shown = {"points": f"{result.day.rates[name]:.1f}", "share": f"{shares[name]:.0f}"}
                sentences.append(
                    (key == rules.OVER, text(f"sheet.watch_{key}", board=name, limit=f"{result.limit:g}", **shown))
                )
        elif names:
            boards = ", ".join(f"{name} ({result.day.rates[name]:.1f})" for name in names)
            sentences.append(
                (key == rules.OVER, text(f"sheet.watch_many_{key}", boards=boards, limit=f"{result.limit:g}"))
            )
    return sentences


def _near_the_end(sheet, day):
    board, driest = day.driest
    end = rules.end_of_drying(driest, day.wettest[1], sheet.target_pct, sheet.species)
    if end.action == rules.STOP:
        return [(True, text("sheet.watch_done", target=f"{end.target_pct:g}", driest=_pct(driest)))]
    if end.action == rules.EQUALIZE:
        return [(True, text("sheet.watch_equalize", board=board, low=_pct(driest), start=f"{end.start_pct:g}"))]
    return []


def _next(result):
    if result.next_change_pct is None:
        return text("sheet.next_none")
    point = f"{result.next_change_pct:g}"
    if result.schedule is None:
        return text("sheet.next_at", point=point)
    return text("sheet.next_of", point=point, code=result.schedule.code, how=text(f"how.{result.schedule.how}"))


def _pct(value):
    return f"{value:.1f} %"


def _is_upland_oak(species):
    """Whether the limit shown is the one of red oak, which has a condition."""
    try:
        return species_key(species) == UPLAND_OAK
    except NotFound:
        return False
