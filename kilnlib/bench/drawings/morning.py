"""The picture of a morning: the fastest board's points a day beside its limit, so far and under each choice, as SVG."""

import functools

from kilnlib.bench.drawings.sketch import lettering, picture
from kilnlib.bench.kit.colors import BLUE, FAINT, INK, RUST, SOFT
from kilnlib.words import text

WIDTH, HEIGHT = 540, 322
ROW_PX, FIRST_PX, SO_FAR_PX = 37.0, 98.0, 49.0
LEFT_PX, BARS_PX, SCALE_PX, NUMBERS_PX, RIGHT_PX = 10.0, 222.0, 150.0, 382.0, 534.0

_written = functools.partial(lettering, size=16)


def word(key, **fields):
    """A word of the mornings."""
    return text(f"morning.{key}", **fields)


def drawing(result, finding, bulbs):
    """The picture of a result; `finding` is its text, `bulbs` writes two bulbs without their unit."""
    so_far = tuple(points for _, points in result.fastest)
    points = [*so_far, *(value for one in result.outcomes for value in one.fastest_points)]
    limit = result.limit_points
    scale = SCALE_PX / max(*points, 1.3 * limit)
    at = BARS_PX + scale * limit
    today = result.morning.sheet.days[-1].controlling_pct
    parts = [
        _written(word("title"), LEFT_PX, 20, weight="bold"),
        _written(word("head_mc"), RIGHT_PX, 20, anchor="end"),
        _written(word("head_days"), RIGHT_PX, 40, anchor="end"),
        _written(word("limit", limit=f"{limit:g}"), at, 42, RUST, "middle"),
        _written(word("so_far"), LEFT_PX, SO_FAR_PX + 16),
        _written(word("so_far_days"), LEFT_PX, SO_FAR_PX + 35, SOFT),
        *_bars(so_far, SO_FAR_PX, scale, limit, SOFT),
        _written(word("now", mc=f"{today:.1f}"), RIGHT_PX, SO_FAR_PX + 25, anchor="end"),
        f'<path d="M6 {FIRST_PX - 5}H{RIGHT_PX}" stroke="{FAINT}"/>',
    ]
    outcomes = {one.choice: one for one in result.outcomes}
    for number, choice in enumerate(result.morning.dials):
        label = word(f"short.{choice}", bulbs=bulbs(*result.morning.dials[choice]))
        if choice in result.right:
            label = f"{word('right')} {label}"
        parts += _row(label, choice == result.state.choice, outcomes.get(choice), number, scale, limit)
    parts.append(f'<path d="M{at:.1f} 47V{HEIGHT - 2}" stroke="{RUST}" stroke-width="2" stroke-dasharray="5 4"/>')
    return picture(parts, finding, WIDTH, HEIGHT)


def _row(label, chosen, outcome, number, scale, limit):
    """One choice: its setting, and once decided its bars, the schedule's word and where the wettest half would be."""
    y = FIRST_PX + number * ROW_PX
    if chosen:
        yield f'<rect x="2" y="{y}" width="{WIDTH - 4}" height="{ROW_PX}" rx="4" fill="#eef4fb" stroke="{BLUE}"/>'
    yield _written(label, LEFT_PX, y + 16, weight="bold" if chosen else "normal")
    if outcome is None:
        yield _written(word("unknown"), BARS_PX, y + 25, SOFT)
        return
    yield _written(word(f"verdict.{outcome.verdict}"), LEFT_PX, y + 32, RUST if outcome.harsh else SOFT)
    yield from _bars(outcome.fastest_points, y, scale, limit)
    yield _written(word("then", mc=f"{outcome.mc_pct[-1]:.1f}"), RIGHT_PX, y + 25, anchor="end")


def _bars(points, y, scale, limit, color=BLUE):
    """Two bars, one a day, each with its number; over the limit in words too."""
    for number, value in enumerate(points):
        over = value > limit
        wide, top = max(scale * value, 1.0), y + 4 + 17 * number
        yield f'<rect x="{BARS_PX}" y="{top}" width="{wide:.1f}" height="12" fill="{RUST if over else color}"/>'
        label = word("over_limit" if over else "points", points=f"{value:.1f}")
        yield _written(label, NUMBERS_PX, top + 12, RUST if over else INK)
