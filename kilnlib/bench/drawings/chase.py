"""Boards that chase the EMC: each hangs at its own moisture content, and the air's EMC is a level line."""

from kilnlib.bench.drawings.sketch import arrow, fitted, frame, written
from kilnlib.bench.kit.colors import GHOST, GREEN, INK, SOFT
from kilnlib.cases import chase

WIDTH, HEIGHT = 250, 400
TOP_PCT, FLOOR, PX = 30.0, 340.0, 10.2  # px for a percent of moisture content
SCALE, BOARD, THICK = 30, 50, 26
SHORTEST_PX = 12  # of an arrow
STOPPED_PCT = 0.35  # a board as near to the EMC as this has stopped
WET, DRY = (111, 163, 212), (240, 222, 190)


def y(mc_pct):
    """Height of a moisture content."""
    return FLOOR - PX * mc_pct


def drawing(result, labels):
    """Three boards at their moisture contents now, the dashed places they came from, and the level they are bound for.

    `labels`: "title", "emc", "level", and the name of each board.
    """
    parts = [fitted(labels["title"], WIDTH / 2, 18, WIDTH, written)]
    for mc in range(0, 31, 5):
        parts.append(f'<path d="M{SCALE} {y(mc):.1f}H{WIDTH}" stroke="#ececec"/>')
        if abs(mc - result.emc_pct) > 1.6:
            parts.append(written(str(mc), SCALE - 14, y(mc) + 5, SOFT))
    parts.append(
        f'<path data-part="emc" d="M{SCALE} {y(result.emc_pct):.1f}H{WIDTH}" stroke="{GREEN}" stroke-width="3" '
        'stroke-dasharray="8 4"/>'
    )
    for number, (name, mc_pct) in enumerate(result.boards_pct.items()):
        parts += _board(SCALE + 10 + number * (BOARD + 22), name, mc_pct, result.emc_pct)
        parts.append(written(labels[name], SCALE + 10 + number * (BOARD + 22) + BOARD / 2, FLOOR + 22, INK))
    parts.append(written(f"{labels['emc']} {labels['level']}", WIDTH / 2, FLOOR + 48, GREEN, 22))
    return frame(WIDTH, HEIGHT, parts)


def _board(x, name, mc_pct, emc_pct):
    """The end of a board, the wetter the bluer, with where it was and which way it is bound."""
    middle, now, before = x + BOARD / 2, y(mc_pct), y(chase.START_PCT[name])
    if abs(now - before) > 3:
        yield (
            f'<rect x="{x}" y="{before - THICK / 2:.1f}" width="{BOARD}" height="{THICK}" fill="none" '
            f'stroke="{GHOST}" stroke-width="1.5" stroke-dasharray="4 3"/>'
        )
    goal, down = y(emc_pct), 1 if emc_pct < mc_pct else -1
    edge = now + down * THICK / 2
    if abs(mc_pct - emc_pct) > STOPPED_PCT:
        beside, tail = x + BOARD + 8, goal - down * max(abs(goal - now), SHORTEST_PX)
        over = (goal - edge) * down > SHORTEST_PX  # else the board covers the way, and the arrow stands beside it
        way = arrow(middle, edge, middle, goal - 2 * down) if over else arrow(beside, tail, beside, goal)
        yield f'<g data-part="{name}-way">{way}</g>'
    yield (
        f'<rect data-part="{name}" x="{x}" y="{now - THICK / 2:.1f}" width="{BOARD}" height="{THICK}" rx="2" '
        f'fill="{wetness(mc_pct)}" stroke="#6b4a1f" stroke-width="1.5"/>'
    )
    yield written(f"{mc_pct:.1f}", middle, now + 6, INK)


def wetness(mc_pct, full_pct=30.0):
    """Color of a moisture content: pale wood when dry, blue from `full_pct` on."""
    share = min(max(mc_pct / full_pct, 0.0), 1.0)
    return "#" + "".join(f"{round(dry + share * (wet - dry)):02x}" for dry, wet in zip(DRY, WET, strict=True))
