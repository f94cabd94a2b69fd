"""The kiln in cross-section, to scale, as hand-made SVG: streams of air as wide as their flow, courses by air speed.

`drawing(result, labels)` needs a Result of `stack_case`, and the words to write; the stack panel and the presenter use
it alike. The boards are seen from their ends, so the gaps at the ends of the stack lie in a small plan beside it.
"""

from kilnlib.bench.drawings.stack_places import (
    DECK,
    DECK_Y,
    FAN_REACH,
    FAN_ROOM,
    FLOOR,
    FLOW,
    HEIGHT,
    LEFT,
    MIDDLE,
    PLAN_LEFT,
    PLAN_M,
    PLAN_TOP,
    RIGHT,
    ROOF,
    WALL,
    WIDTH,
    M,
    arrow,
    baffle_x,
    framed,
    loop,
    loops,
    plated,
    plenum,
    rect,
    spaces,
    stack_box,
    text,
    way,
)
from kilnlib.bench.kit.colors import BLUE, DARK_WOOD, GHOST, INK, PALE_GRAY, PALE_STEEL, RUST, SOFT, STEEL
from kilnlib.cases import stack as case
from kilnlib.units import FT_M

SPEED_TOP_MS = 600 * FT_M / 60  # the darkest shade: no setting of the panel blows faster
THROUGH, MISSES = "#6fa3d4", "#dd8a62"
WOOD, WOOD_EDGE, PALE, DARK = "#e3bd8a", "#a97c42", (240, 246, 252), (11, 69, 128)


def drawing(result, labels, alt="", title="", before=None, text_px=16, width_px=WIDTH, plan=True, still=False):
    """The drawing as one `<svg role="img">`.

    `labels`: text of "above", "ends", "under", "fans", "mean", "fast", "slow", "scale" (empty: no scale) and its ends
    "slack" and "brisk"; "plan" with a plan, "before" if a state before is shown as a gray, dashed ghost; and, where
    they are wanted, "deck", "baffle" and lines "under_mean". Without a plan the ends of the stack are left out
    altogether. A `still` kiln has its fans off: no air is drawn, and no space is shaded by its speed.
    """
    parts = [
        _room(),
        *(() if still else _streams(result, plan)),
        *_fan(result),
        *_ways(result, still),
        *(_turns(result) if plan and result.state.ends and not still else ()),
        *_courses(result, still),
        *(() if still else _moving_air(result, plan)),
        *(_plan(result, still) if plan else ()),
        *(_ghost(before, result) if before else ()),
        *_kiln_words(result, labels, text_px),
        *_stack_words(result, labels, text_px),
        *_words_beside(result, labels, text_px, plan),
    ]
    return framed(parts, alt, title, width_px)


def _room():
    """Walls, floor, fan deck and the fan."""
    deck = case.FULL.plenum_width_m * M
    return (
        rect(0, 0, WIDTH, HEIGHT, "#ffffff")
        + rect(LEFT - WALL, ROOF - WALL, RIGHT - LEFT + 2 * WALL, FLOOR - ROOF + 2 * WALL, PALE_GRAY)
        + rect(LEFT, ROOF, RIGHT - LEFT, FLOOR - ROOF, "#ffffff", f' stroke="{STEEL}"')
        + rect(LEFT + deck, DECK_Y, RIGHT - LEFT - 2 * deck, DECK, STEEL)
    )


def _streams(result, plan):
    """Every stream at the width of its flow; what misses the wood in another color, and named."""
    for name, level, width, inset in loops(result):
        if name == "ends" and not plan:
            continue
        color = THROUGH if name == "stack" else MISSES
        yield (
            f'<path d="{way(result, name, level, inset)}" fill="none" stroke="{color}" '
            f'stroke-width="{max(width - 0.3, 0.5):.2f}" data-way="{name}"/>'
        )
    x, half = plenum(result)
    y, size = ROOF + 0.5 * FAN_ROOM, max(6.0, min(half, 13.0))
    for at, height, aim in ((x, DECK_Y - 4, "down"), (2 * MIDDLE - x, DECK_Y - 4, "up"), (MIDDLE + 70, y, "left")):
        yield arrow(at, height, size, aim, INK)


def _fan(result):
    """The fan in its wall: as large as it is, whatever it moves."""
    y, half = ROOF + 0.5 * FAN_ROOM, FAN_REACH
    yield rect(MIDDLE - 3, ROOF, 6, FAN_ROOM, STEEL) + rect(MIDDLE - 4, y - half - 4, 8, 2 * half + 8, "#ffffff")
    more = f'fill="{PALE_STEEL}" stroke="{INK}" stroke-width="1.5"'
    yield f'<ellipse cx="{MIDDLE}" cy="{y}" rx="6" ry="{half + 6:.1f}" {more}/>'
    turns = f'class="fc-fan" style="animation-duration: {60.0 / result.state.fan_speed_pct:.2f}s"'
    yield rect(MIDDLE - 2, y - half - 3, 4, half + 3, INK, f" {turns}")
    yield f'<circle cx="{MIDDLE}" cy="{y}" r="5" fill="{INK}"/>'


def _ways(result, still):
    """Bolsters, baffles where a gap is shut, arrows where it is open."""
    left, top, right, bottom = stack_box(result)
    for x in (left, MIDDLE, right):
        yield rect(x - 9 * (x != left) - 9 * (x == right), bottom, 18, FLOOR - bottom, DARK_WOOD, ' opacity="0.45"')
    for name, high, low in (("above", DECK_Y + DECK, top), ("under", bottom, FLOOR)):
        if getattr(result.state, name):
            if not still:
                size = max(5.0, FLOW * result.flow.opening(name).flow_m3s)
                yield arrow(right - 30 if name == "above" else MIDDLE, 0.5 * (high + low), size, "right", RUST)
        else:
            yield rect(baffle_x(result), high, 8, low - high, INK, f' class="fc-baffle" data-gap="{name}"')
            if name == "above" and (reach := LEFT + case.FULL.plenum_width_m * M - baffle_x(result)) > 0.1:
                for x in (baffle_x(result), 2 * MIDDLE - baffle_x(result) - reach):
                    yield rect(
                        x, DECK_Y, reach, DECK, INK, ' class="fc-flap"'
                    )  # brings the deck out to the load's edge


def _turns(result):
    """The spots where air turns to the ends of the stack."""
    _, level, width, inset = next(one for one in loops(result) if one[0] == "ends")
    x, half = plenum(result)
    for at in (x + half - inset, 2 * MIDDLE - x - half + inset):
        yield (
            f'<circle cx="{at:.1f}" cy="{level:.1f}" r="{max(3.0, 0.5 * width):.1f}" fill="{MISSES}" stroke="{RUST}"/>'
        )


def _moving_air(result, plan):
    """White dashes that run along each stream, all at one pace: a stream is as wide as its flow."""
    lasts = 120.0 / result.state.fan_speed_pct  # seconds from one dash to the next
    for name, level, width, inset in loops(result):
        if width >= 1 and (plan or name != "ends"):
            yield (
                f'<path class="fc-air" d="{way(result, name, level, inset)}" fill="none" stroke="#ffffff" '
                f'stroke-opacity="0.8" stroke-width="{min(0.3 * width, 3.0):.1f}" '
                f'style="animation-duration: {lasts:.2f}s"/>'
            )


def _courses(result, still):
    """Boards, and the space over each shaded by the speed of its air."""
    left, top, right, bottom = stack_box(result)
    width = right - left
    yield rect(left, top, width, bottom - top, WOOD)
    for middle, high, speed in spaces(result):
        yield rect(left, middle - 0.5 * high, width, high, shade(0.0 if still else speed))
    yield rect(left, top, width, bottom - top, "none", f' stroke="{WOOD_EDGE}"')


def shade(speed_ms):
    """Color of an air speed: pale when slack, dark at the end of the scale."""
    share = min(speed_ms / SPEED_TOP_MS, 1.0)
    return "#" + "".join(f"{round(pale + share * (dark - pale)):02x}" for pale, dark in zip(PALE, DARK, strict=True))


def _plan(result, still):
    """The kiln from above: boards end to end, the gaps at their ends, and what goes through each."""
    stack = result.stack
    wide, long = case.INSIDE_M * PLAN_M, (stack.length_m + 2 * result.gaps.end_m) * PLAN_M
    half, end = 0.5 * stack.width_m * PLAN_M, result.gaps.end_m * PLAN_M
    middle = PLAN_LEFT + 0.5 * wide
    yield rect(PLAN_LEFT - 5, PLAN_TOP - 5, wide + 10, long + 10, PALE_GRAY)
    yield rect(PLAN_LEFT, PLAN_TOP, wide, long, "#ffffff")
    edges = (f"M{middle + (at / 6 - 1) * half:.1f} {PLAN_TOP + end:.1f}v{long - 2 * end:.1f}" for at in range(13))
    through = 0.0 if still else FLOW * result.flow.stack_flow_m3s
    yield rect(PLAN_LEFT + 4, PLAN_TOP + 0.5 * (long - through), wide - 8, through, THROUGH)
    yield rect(middle - half, PLAN_TOP + end, 2 * half, long - 2 * end, WOOD)
    yield f'<path d="{"".join(edges)}" stroke="{WOOD_EDGE}" fill="none"/>'
    flow = 0.0 if still else max(FLOW * result.flow.opening("ends").flow_m3s * 0.5, 0.4)
    for y in (PLAN_TOP + 0.5 * end, PLAN_TOP + long - 0.5 * end):
        yield f'<path d="M{PLAN_LEFT + 4} {y:.1f}h{wide - 8:.1f}" stroke="{MISSES}" stroke-width="{flow:.2f}"/>'
        if result.state.ends and not still:
            yield arrow(middle, y, 9, "right", RUST)
        elif not result.state.ends:
            yield rect(middle - half, y - 0.5 * end, 5, end, INK, ' class="fc-baffle"')
    beside = 0.5 * (0.5 * wide - half)  # half the width of a plenum
    for x in (PLAN_LEFT + beside, PLAN_LEFT + wide - beside):
        yield arrow(x, PLAN_TOP + 0.5 * long, min(9.0, beside), "right", INK)


def _ghost(before, result):
    """The state before: edges of its streams past the wood and of its stack, dashed and gray."""
    dash = f' stroke="{GHOST}" stroke-width="1.5" stroke-dasharray="5 4" fill="none"'
    for name, level, width, inset in loops(before):
        if name in ("above", "under") and width > 4:
            for side in (-0.5, 0.5):
                yield f'<path d="{loop(before, level + side * width, inset - side * width)}"{dash}/>'
    left, top, right, bottom = stack_box(before)
    if stack_box(result) != (left, top, right, bottom):
        yield f'<path d="M{left:.1f} {top:.1f}H{right:.1f}V{bottom:.1f}H{left:.1f}Z"{dash}/>'


def _kiln_words(result, labels, size):
    """Fan, deck and gaps by name, and one baffle."""
    left, top, _, _ = stack_box(result)
    state, low = result.state, min(FLOOR + WALL + size + 2, HEIGHT - 0.22 * size)
    yield text(labels["fans"], MIDDLE + 12, ROOF + size + 2, size, INK, "start")
    level = 0.5 * (DECK_Y + DECK + top) + 0.35 * size
    if state.above:  # in the gap itself
        yield plated(labels["above"], left + 10, level, size, RUST, "start", True)
    else:
        yield text(labels["above"], MIDDLE + 12, DECK_Y - 5, size, SOFT, "start")
    yield text(labels["under"], left, low, size, _ink(result, "under"), "start", state.under)
    yield text(labels.get("deck", ""), MIDDLE - 12, DECK_Y - 5, size, INK, "end")
    if not state.above:
        yield plated(labels.get("baffle", ""), baffle_x(result) + 14, level, size, INK, "start")
    elif not state.under and not labels["under"]:
        yield text(labels.get("baffle", ""), baffle_x(result), low, size, INK, "start")


def _stack_words(result, labels, size):
    """Speeds: the mean in the middle, the slowest and the fastest at the height of such a course."""
    left, top, _, bottom = stack_box(result)
    below = labels.get("under_mean", ())
    level = 0.5 * (top + bottom) + (0.5 - 0.6 * len(below)) * size
    yield plated(labels["mean"], MIDDLE, level, size * 1.5, BLUE, bold=True)
    for number, line in enumerate(below):
        yield plated(line, MIDDLE, level + (1.25 + 1.1 * number) * size, size, INK)
    speeds, stickers = result.flow.course_speed_ms, result.stack.stickers_m
    heights = [height for height, _, _ in spaces(result)]
    if len(set(stickers)) > 1:
        for height, sticker in zip(heights, stickers, strict=True):
            if sticker == min(stickers):
                yield arrow(left - 6, height, 8, "right", INK)
    for words, speed in ((labels["fast"], max(speeds)), (labels["slow"], min(speeds))):
        height = heights[speeds.index(speed)] + 0.35 * size
        yield plated(words, MIDDLE, min(max(height, top + size + 8), bottom - 10), size, INK)


def _words_beside(result, labels, size, plan):
    """Beside the kiln: the plan's words, the scale of the shades, what the dashes mean."""
    across = PLAN_LEFT + case.INSIDE_M * PLAN_M
    below = PLAN_TOP + (result.stack.length_m + 2 * result.gaps.end_m) * PLAN_M + 8 + size
    if plan:
        yield text(labels["plan"], across + 0.25 * size, max(PLAN_TOP - 12, 0.8 * size), size, SOFT, "end")
        yield text(labels["ends"], across + 0.25 * size, below, size, _ink(result, "ends"), "end", result.state.ends)
    x, y = PLAN_LEFT - 5, below + size + 26
    if labels["scale"]:
        yield from _scale(result, labels, size, x, y, across)
    if "before" in labels:
        y += 30 + size
        yield f'<path d="M{x} {y + 6}H{across + 4:.0f}" stroke="{GHOST}" stroke-width="1.5" stroke-dasharray="5 4"/>'
        for number, line in enumerate(labels["before"].split("\n")):
            yield text(line, across + 4, y + 12 + size * (1 + 1.2 * number), size, SOFT, "end")


def _scale(result, labels, size, x, y, across):
    """What the shades mean, with a mark at the mean."""
    wide = (across + 5 - PLAN_LEFT + 5) / 20
    mean = x + 20 * wide * min(result.flow.sticker_speed_ms / SPEED_TOP_MS, 1.0)
    yield text(labels["scale"], across + 4, y - 6, size, SOFT, "end")
    for step in range(20):
        yield rect(x + step * wide, y, wide + 0.2, 12, shade(SPEED_TOP_MS * (step + 0.5) / 20))
    yield rect(mean - 1.5, y - 3, 3, 18, RUST, ' data-part="mean"')
    yield text(labels["slack"], x, y + 14 + size, size, SOFT, "start")
    yield text(labels["brisk"], across + 4, y + 14 + size, size, SOFT, "end")


def _ink(result, gap):
    return RUST if getattr(result.state, gap) else SOFT
