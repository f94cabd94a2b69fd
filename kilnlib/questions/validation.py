"""The drying engine beside everything published, as plain text for its key, with nothing hidden.

Where a row is far off, the table says why. `handbook` is for numbers that ought to agree; these need not.
"""

import math
from dataclasses import replace
from statistics import correlation, median

import numpy as np

from kilnlib.cases import board
from kilnlib.physics import air
from kilnlib.physics.drying import Board, days_to, dry, points_per_day
from kilnlib.questions import checks, published, stress_checks
from kilnlib.questions.text_table import columns, hanging
from kilnlib.units import f_to_c
from kilnlib.words import text

OVER = 1.05  # times the limit: above this the engine has missed it
NO_GAIN = 1.06  # times as fast: below this twice the wind no longer helps
MOST_NAMED = 3  # rows under one remark, before only the first is named
FAST_MS, SLOW_MS = 4.064, 2.032  # 800 and 400 fpm
SAFE = ("Univ. of Kentucky FOR-128 Table 9, p. 91: the most that is safe", "retrieved")
THICK = ("Univ. of Kentucky FOR-128, p. 74", "retrieved")
RULES = {  # name: published, source, how it is known
    "thick_oak": ("2.5", *THICK),
    "thick_poplar": ("2.5", *THICK),
    "ten": ("1.15", "Wengert, Drying Oak Lumber, step 1", "retrieved"),
    "quartersawn": ("1.15", *THICK),
    "rh": ("1.2", "Wengert (2012): 3 points of RH may change the rate of oak by a fifth", "retrieved"),
    "first": ("3.8", *SAFE),
    "first_warm": ("3.8", *SAFE),
    "second_warm": ("3.8", *SAFE),
}


def every_check() -> None:
    """Print every row that tuned the drying engine and the stress beside those that check them, with its ratio."""
    rows = checks.compare() + checks.compare(stress_checks.MEASURES)
    sources = _Sources()
    head = text("validation.checks_head")
    for use in ("tunes", "checks", "apart"):
        cells = [head]
        for row in (row for row in rows if row.use == use):
            ratio = _ends(row.over_low, row.over_high, "{:.2f}")
            published = _ends(row.low, row.high, "{:g}")
            allowed = _wanted(row.allowed_low, row.allowed_high)
            met = text("validation.met" if row.inside else "validation.missed")
            what = f"{row.what} [{row.unit}]"
            cells.append((what, published, allowed, f"{row.ours:.3g}", ratio, met, sources.mark(row.source, row.how)))
        met, count = checks.share_inside(rows, use)
        print(text(f"validation.checks_{use}", met=met, count=count))
        _print_columns(cells, left=(0, 5, 6))
        print()
    _print_grouped("validation.checks_missed", [(_why(row), _named(row)) for row in rows if not row.inside])
    told = [row for row in rows if row.note and row.inside]
    _print_grouped("validation.checks_notes", [(row.note, row.what) for row in told], most=MOST_NAMED)
    sources.print()


def _named(row):
    """A row that was missed, with the ratio to the end of the print, or of what was to be met, that it is beyond."""
    high = row.ours > row.allowed_high
    printed, wanted = (row.high, row.allowed_high) if high else (row.low, row.allowed_low)
    ratio = f"{row.ours / (wanted if math.isnan(printed) else printed):.2f}"
    return text("validation.checks_miss", what=row.what, ratio=ratio)


def _why(row):
    """Why a row is missed, where that is known; the published times have it."""
    times = {time.id: time.explained for time in published.compare_times()}
    return times.get(row.id, "").rstrip(".") or row.note


def _ends(low, high, shape):
    """One number, a span, or a dash where nothing is printed."""
    known = list(dict.fromkeys(shape.format(end) for end in (low, high) if not math.isnan(end)))
    return text("validation.span", low=known[0], high=known[1]) if len(known) == 2 else (known or ["–"])[0]


def _wanted(low, high):
    """What was to be met."""
    if math.isnan(high):
        return text("validation.at_least", low=f"{low:.3g}")
    return text("validation.span", low=f"{low:.3g}", high=f"{high:.3g}")


def drying_times() -> None:
    """Print every published drying time beside ours."""
    rows = published.compare_times()
    sources = _Sources()
    cells = [text("validation.times_head")]
    for row in rows:
        known = not math.isnan(row.days)
        ours = (f"{row.days:.1f}", f"{row.ratio:.2f}") if known else ("–", "–")
        cells.append(
            (row.wood, _span(row), *ours, text(f"validation.role.{row.role}"), sources.mark(row.source, row.how))
        )
    _print_columns(cells, left=(0, 4, 5))
    sources.print()
    ratios = [row.ratio for row in rows if row.role == "validation"]
    inside = sum(2 / 3 <= ratio <= 3 / 2 for ratio in ratios)
    low, high = f"{min(ratios):.2f}", f"{max(ratios):.2f}"
    fields = {"count": len(ratios), "median": f"{median(ratios):.2f}", "inside": inside, "low": low, "high": high}
    print()
    _print_hanging("", text("validation.times_sum", **fields))
    _print_grouped("validation.far", [(row.explained, row.wood) for row in rows if row.explained])
    _print_grouped("validation.taken", [(row.assumed, row.wood) for row in rows])


def _span(row):
    if math.isnan(row.high_days):
        return text("validation.or_more", days=f"{row.low_days:g}")
    if row.high_days == row.low_days:
        return f"{row.low_days:g}"
    return text("validation.span", low=f"{row.low_days:g}", high=f"{row.high_days:g}")


def daily_limits() -> None:
    """Print the fastest day of each species on its own schedule beside its published limit."""
    rows = published.compare_limits()
    cells = [text("validation.limits_head")]
    for row in rows:
        points = (row.first_day_points, row.highest_points, row.limit_points)
        share = f"{100 * row.highest_points / row.limit_points:.0f} %"
        cells.append((row.species, row.settings, *(f"{number:.1f}" for number in points), share))
    _print_columns(cells, left=(0, 1))
    ranks = [
        np.argsort(np.argsort([getattr(row, name) for row in rows])).tolist()
        for name in ("limit_points", "highest_points")
    ]
    missed = [row.species for row in rows if row.highest_points > OVER * row.limit_points]
    over = sum(row.first_day_points > row.limit_points for row in rows)
    print()
    _print_hanging("", text("validation.limits_tuned"))
    if missed:
        _print_hanging("", text("validation.limits_miss", names="; ".join(missed)))
    rank = f"{correlation(*ranks):.2f}"
    _print_hanging("", text("validation.limits_rank", rank=rank, over=over, count=len(rows)))
    _print_hanging("", text("validation.limits_source"))


def air_speed() -> None:
    """Print what twice the wind does at falling moisture contents, beside what is published."""
    effects = [
        published.compare_air_speed(wood, start, f_to_c(130), f_to_c(115), SLOW_MS, FAST_MS)
        for wood, start in (("white pine", 150.0), ("yellow-poplar", 106.0))
    ]
    levels = sorted({level for effect in effects for level in effect}, reverse=True)
    gains = [[f"{effect[level]:.2f}" if level in effect else "–" for effect in effects] for level in levels]
    cells = [(f"{level:.0f}", *row) for level, row in zip(levels, gains, strict=True)]
    _print_columns([text("validation.air_head"), *cells], left=())
    print()
    gone = [max(level for level, gain in effect.items() if gain < NO_GAIN) for effect in effects]
    _print_hanging("", text("validation.air_note"))
    _print_hanging("", text("validation.air_source"))
    _print_hanging("", text("validation.air_plain", pine=f"{gone[0]:.0f}", poplar=f"{gone[1]:.0f}"))


def rules_of_thumb() -> None:
    """Print what the trade says of thickness, sawing, humidity and the first days beside what the engine does."""
    ours = _rules()
    sources = _Sources()
    cells = [text("validation.rules_head")]
    for name, (published_ratio, *source) in RULES.items():
        cells.append((text(f"validation.rule.{name}"), f"{ours[name]:.2f}", published_ratio, sources.mark(*source)))
    _print_columns(cells, left=(0, 3))
    sources.print()
    print()
    _print_hanging("", text("validation.rules_plain"))


def _rules():
    """Our number for each of RULES."""
    steps = published.schedule_steps("T4-D2", 7.0)
    oak = Board(start_mc_pct=80.0)
    thick = 2.0 * oak.thickness_m
    poplar = Board("yellow-poplar")
    woods = [oak, replace(oak, thickness_m=thick), poplar, replace(poplar, thickness_m=thick)]
    woods += [replace(oak, thickness_m=1.1 * oak.thickness_m), replace(oak, sawn="quartersawn")]
    days = [days_to(wood, steps, 7.0) for wood in woods]
    panel = board.State()
    drier_wet_c = air.wet_bulb_c(panel.dry_bulb_c, board.work_out(panel).run.rh_pct - 3.0, board.PRESSURE_PA)
    drier = replace(panel, depression_c=float(panel.dry_bulb_c - drier_wet_c))
    lost, lost_drier = (board.work_out(state).run.lost_points for state in (panel, drier))
    return {
        "thick_oak": days[1] / days[0],
        "thick_poplar": days[3] / days[2],
        "ten": days[4] / days[0],
        "quartersawn": days[5] / days[0],
        "rh": lost_drier[3] / lost[3],
        "first": points_per_day(dry(oak, steps))[0],
        "first_warm": lost[0],
        "second_warm": lost[1],
    }


class _Sources:
    """Sources in the order they are first named, and the mark that stands for each."""

    def __init__(self):
        self.named = []

    def mark(self, source, how):
        if (source, how) not in self.named:
            self.named.append((source, how))
        return f"[{self.named.index((source, how)) + 1}]"

    def print(self):
        print()
        for number, (source, how) in enumerate(self.named, 1):
            _print_hanging(f"[{number}] ", f"{source} ({text(f'how.{how}')})")


def _print_columns(cells, left):
    print("\n".join(columns(cells, left)))


def _print_hanging(mark, words):
    print("\n".join(hanging(mark, words)))


def _print_grouped(key, pairs, most=None):
    """Each explanation once, with the rows it is for: all of them, or the first and their number."""
    print()
    print(text(key))
    for why in dict.fromkeys(why for why, _ in pairs):
        names = [name for other, name in pairs if other == why]
        if most and len(names) > most:
            names = [text("validation.and_more", first=names[0], more=len(names) - 1)]
        _print_hanging("  ", f"{'; '.join(names)}: {why.rstrip('.')}.")
