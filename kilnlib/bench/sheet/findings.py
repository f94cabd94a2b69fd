"""What a sample sheet says on one day: the boards that decide, the limit, what comes next, and what to watch."""

import math
from dataclasses import dataclass
from functools import cached_property

from kilnlib.bench.words import sentence, text
from kilnlib.errors import KilnError, NotFound
from kilnlib.physics.entries import when_text
from kilnlib.physics.samples import Day, DaysLeft, Sheet, limit_share_pct, safe_rate, sampling_error_pct
from kilnlib.physics.schedule_codes import code_for
from kilnlib.physics.schedules import ladder

NAN = float("nan")
CHANGE_POINTS_PCT = (50, 40, 35, 30, 25, 20, 15)  # general change points of schedules by MC, from memory
EQUALIZE_BELOW_TARGET = 2.0  # Wengert, Drying Oak Lumber, step 6C; Univ. of Kentucky FOR-128 p. 50, retrieved
CLOSE_SHARE_PCT = 80.0
MANY = 3
STUDIED_BOARDS = (6, 12)


@dataclass(frozen=True)
class Finding:
    """One day of a sheet."""

    sheet: Sheet
    day: Day | None
    limit: float  # points a day, NaN where none is known
    is_last: bool
    before: Day | None = None  # the day of weighing before

    @property
    def share_pct(self):
        """Share of the limit that the fastest board used; NaN where there is none."""
        return self.share_of(self.day.fastest[0]) if self.day and self.day.fastest else NAN

    def share_of(self, board):
        """Share of the limit that a board used; NaN without a limit, or without a weight that can be true."""
        if math.isnan(self.limit) or board not in self.day.rates:
            return NAN
        return limit_share_pct(max(self.day.rates[board], 0.0), self.limit)

    @cached_property
    def questions(self):
        """Every notice about the sheet."""
        return self.sheet.questions()

    @cached_property
    def schedule(self):
        """Recommendation of the index for this wood and thickness, or None: the one that the setpoint check uses."""
        try:
            return code_for(self.sheet.species, self.sheet.thickness)
        except KilnError:
            return None

    @cached_property
    def change_points_pct(self):
        """Where the schedule moves on, or the general points where there is none; downward."""
        if self.schedule is None:
            return CHANGE_POINTS_PCT
        return tuple(rung.mc_above_pct for rung in ladder(self.schedule.code) if rung.mc_above_pct > 0.0)

    @property
    def next_change_pct(self):
        """The next change point below the controlling MC, or None."""
        if self.day is None:
            return None
        return max((point for point in self.change_points_pct if point < _as_shown(self.day)), default=None)

    @property
    def crossed_pct(self):
        """The last change point that the controlling MC came down to since the day before; None if none or in doubt."""
        if self.day is None or self.before is None or self.day.doubted or self.in_question:
            return None
        now, was = _as_shown(self.day), _as_shown(self.before)
        return min((point for point in self.change_points_pct if now <= point < was), default=None)

    @property
    def in_question(self):
        """Whether a weight of this day is asked about: then a pace says little."""
        now = when_text(self.day.when)[:10] if self.day else "-"
        return any(notice.fields.get("when", "").startswith(now) for notice in self.questions)

    @cached_property
    def left(self) -> DaysLeft | None:
        """Days left, on the last day only, and not while a weight of that day is in question."""
        return self.sheet.days_left() if self.is_last and not self.in_question else None

    @property
    def error_pct(self):
        """Sampling error in percent of the MC; NaN with fewer than two boards."""
        known = len(self.day.mcs_pct) if self.day else 0
        return sampling_error_pct(known) if known >= 2 else NAN


def _as_shown(day):
    """Controlling MC as it is shown, and as it is typed into the setpoint check."""
    return round(day.controlling_pct, 1)


def finding(sheet, when):
    """What a sheet says on the day of `when`, or on the last day before it."""
    days = [day for day in sheet.days if day.when.date() <= when.date()]
    day = days[-1] if days and days[-1].mcs_pct else None
    before = days[-2] if day and len(days) > 1 and days[-2].mcs_pct else None
    return Finding(sheet, day, sheet.limit_points_per_day, bool(sheet.days) and day is sheet.days[-1], before)


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
    of = (len(day.mcs_pct), len(found.sheet.boards))
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
        rows.append((text("sheet.left"), text("sheet.days", low=f"{low:.0f}", high=f"{math.ceil(high):.0f}")))
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
    except NotFound as error:
        if found.sheet.species:
            told.append(sentence(error))
    if found.day is not None:
        told.append(text("sheet.reasons"))
    return told


def watch(found, system="trade", asked=()):
    """What to look at today, as (urgent, sentence) pairs, questions first; `asked` stand beside their box in full."""
    day, sheet = found.day, found.sheet
    told = _open_questions(found, system, asked)
    if day is not None:
        told += _fast(found)
        if found.crossed_pct is not None:
            over = any(found.share_of(name) > 100 for name in day.rates)
            key = "sheet.watch_crossed_over" if over else "sheet.watch_crossed"
            told.append((not over, text(key, point=f"{found.crossed_pct:g}")))
        if sheet.target_pct is not None and not day.doubted:
            told += _near_the_end(day, sheet.target_pct)
        if day.carried and day.mcs_pct:
            told.append((False, text("sheet.watch_carried", boards=", ".join(day.carried))))
    in_oven = [board.name for board in sheet.boards if math.isnan(board.mean_mc_pct)]
    in_oven += [board.name for board in sheet.boards for cut in board.recuts if math.isnan(cut.mean_mc_pct)]
    if in_oven:
        told.append((False, text("sheet.watch_oven", boards=", ".join(dict.fromkeys(in_oven)))))
    return told


def _open_questions(found, system, asked):
    """Questions of this day, and what stands in for weights in doubt."""
    told = []
    if asked:
        boards = ", ".join(dict.fromkeys(notice.fields["board"] for notice in asked))
        told.append(text("sheet.watch_asked", boards=boards))
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
