"""A cup of the kiln's air: as tall as the water that this air could hold, filled with the water that is in it."""

import html

from kilnlib.bench.drawings.sketch import fitted, frame
from kilnlib.bench.kit.colors import BLUE, GHOST, INK, RUST, SOFT

WIDTH, HEIGHT = 240, 400
BASE, CUP, SIZE = 318.0, 84.0, 16
LEFT, RIGHT = 22.0, 134.0  # of the cup now, and of the one after the "what if"
PA_PX, TALLEST_PX, SMALLER = 0.0102, 262.0, 4.0
WATER, GLASS = "#8fb8de", "#f2f6fa"


def drawing(result, labels, ghost=None):
    """The cup now; beside it, if there is a "what if", the cup after it; a ghost is the dashed cup before.

    `labels`: "title", "now", "room", "water", "now_full", "note", "small", and with a "what if" "after", "after_full".
    """
    after = result.after
    small = max(result.full_pa, after.full_pa if after else 0.0) * PA_PX > TALLEST_PX
    px = PA_PX / SMALLER if small else PA_PX
    left = LEFT if after else 0.5 * (WIDTH - CUP)
    tall = result.full_pa * px
    level = BASE - tall * result.rh_pct / 100
    parts = [_words(line, 4, 18 + 19 * number, SOFT) for number, line in enumerate(labels["title"].split("\n"))]
    parts += _cup(left, tall, level, "now")
    if ghost is not None and ghost.full_pa * px <= TALLEST_PX:
        parts.append(_before(left, ghost, px))
    parts.append(_words(labels["now"], left + CUP / 2, _clear(BASE - tall - 8, ghost, px), INK, "middle"))
    for name, top, bottom, color in (("room", BASE - tall, level, SOFT), ("water", level, BASE, INK)):
        y = _clear(0.5 * (top + bottom) + 5, ghost, px)
        if bottom - top >= SIZE + 6 and y - SIZE >= top - 2:
            parts.append(_words(labels[name], left + CUP / 2, y, color, "middle"))
    parts.append(_words(labels["now_full"], left + CUP / 2, BASE + 32, BLUE, "middle", 28))
    if after:
        parts += _after(result, labels, px, level)
    parts.append(fitted(labels["note"], WIDTH / 2, BASE + 56, WIDTH, lambda *at: _words(*at, INK, "middle")))
    if small:
        parts.append(_words(labels["small"], WIDTH / 2, BASE + 76, SOFT, "middle"))
    return frame(WIDTH, HEIGHT, parts)


def _clear(y, ghost, px):
    """The height of the words over the cup, lifted off the lines of the cup before."""
    if ghost is not None and ghost.full_pa * px <= TALLEST_PX:
        for line in sorted((BASE - ghost.full_pa * px * share for share in (ghost.rh_pct / 100, 1.0)), reverse=True):
            if y - SIZE < line < y + 6:
                y = line - 6
    return y


def _after(result, labels, px, level_now):
    """The second cup, and what ties it to the first: the level that stays, the water that leaves, the false claim."""
    after, what_if = result.after, result.state.what_if
    tall = after.full_pa * px
    level = BASE - tall * after.rh_pct / 100
    middle = RIGHT + CUP / 2
    if what_if == "wick":
        yield from _cup(RIGHT, tall, level_now, "after")
        yield f'<path data-part="claim" d="M{RIGHT - 6} {level:.1f}h{CUP + 12}" {_dashed(RUST)}/>'
    else:
        yield from _cup(RIGHT, tall, level, "after")
    if what_if == "heat":
        yield f'<path d="M{LEFT} {level_now:.1f}H{RIGHT + CUP}" {_dashed(BLUE)}/>'
    if what_if == "dry":
        yield f'<path d="M{RIGHT - 6} {level_now:.1f}h{CUP + 12}" {_dashed(BLUE)}/>'
        yield (
            f'<path d="M{RIGHT + CUP + 11} {level_now:.1f}V{max(level, level_now + 9) - 6:.1f}" '
            f'stroke="{RUST}" stroke-width="3"/>'
            f'<path d="M{RIGHT + CUP + 5} {max(level, level_now + 9) - 8:.1f}h12l-6 9z" fill="{RUST}"/>'
        )
    yield _words(labels["after"], middle, BASE - tall - 8, RUST, "middle")
    yield _words(labels["after_full"], middle + 3, BASE + 32, RUST, "middle", 28)
    yield _words("→", 0.5 * (LEFT + CUP + RIGHT) - 1, BASE + 30, RUST, "middle", 20)


def _cup(left, tall, level, name):
    """Glass, water, walls with a mark at each quarter."""
    top = BASE - tall
    yield f'<rect x="{left}" y="{top:.1f}" width="{CUP}" height="{tall:.1f}" fill="{GLASS}"/>'
    yield (
        f'<rect data-part="{name}-water" x="{left}" y="{level:.1f}" width="{CUP}" height="{BASE - level:.1f}" '
        f'fill="{WATER}"/>'
    )
    yield (
        f'<path data-part="{name}-cup" d="M{left} {top:.1f}V{BASE}H{left + CUP}V{top:.1f}" fill="none" '
        f'stroke="{INK}" stroke-width="3"/>'
    )
    quarters = "".join(f"M{left} {BASE - tall * part / 4:.1f}h{9 if part == 2 else 6}" for part in (1, 2, 3))
    yield f'<path d="{quarters}" stroke="{INK}" stroke-width="1.5"/>'


def _before(left, ghost, px):
    """The cup and its level before, dashed."""
    tall = ghost.full_pa * px
    level = BASE - tall * ghost.rh_pct / 100
    return (
        f'<path d="M{left - 7} {BASE}V{BASE - tall:.1f}H{left + CUP + 7}V{BASE}M{left - 7} {level:.1f}h{CUP + 14}" '
        f"{_dashed(GHOST)}/>"
    )


def _dashed(color):
    return f'fill="none" stroke="{color}" stroke-width="2" stroke-dasharray="5 4"'


def _words(words, x, y, color, anchor="start", size=SIZE):
    weight = ' font-weight="700"' if size > SIZE else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{color}" text-anchor="{anchor}"{weight} '
        f'stroke="#ffffff" stroke-width="3" stroke-opacity="0.7" paint-order="stroke">'
        f"{html.escape(words)}</text>"
    )
