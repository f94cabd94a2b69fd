"""The kiln in cross-section, to scale, as hand-made SVG: streams of air as wide as their flow, courses by air speed.

`drawing(result, labels)` needs a Result of `stack_case`, and the words to write; the stack panel and the presenter use
it alike. The boards are seen from their ends, so the gaps at the ends of the stack lie in a small plan beside it.
"""

import html

from kilnlib.bench import stack_case as case
from kilnlib.bench.chart import BLUE, GHOST, INK, RUST, SOFT
from kilnlib.units import FT_M

WIDTH, HEIGHT = 640, 400
M = 33 / FT_M  # px for a meter
LEFT, ROOF, WALL, DECK = 10, 10, 8, 5
FAN_ROOM = 2.5 * FT_M * M
RIGHT = LEFT + case.INSIDE_M * M
DECK_Y = ROOF + FAN_ROOM
FLOOR = DECK_Y + DECK + case.DECK_M * M
MIDDLE = 0.5 * (LEFT + RIGHT)
FLOW = 8.0  # px for a cubic meter a second
BUNDLES = 7
PLAN_LEFT, PLAN_TOP, PLAN_M = 496, 34, 9.6 / FT_M
SPEED_TOP_MS = 400 * FT_M / 60  # the darkest shade
THROUGH, MISSES = "#6fa3d4", "#dd8a62"
WOOD, WOOD_EDGE, STICK, STEEL, PALE, DARK = "#e3bd8a", "#a97c42", "#f4e6d0", "#66717a", (240, 246, 252), (11, 69, 128)


def drawing(result, labels, alt="", title="", before=None, text_px=16, width_px=WIDTH):
    """The drawing as one `<svg role="img">`.

    `labels`: text of "above", "ends", "under", "fans", "plan", "mean", "fast", "slow", "scale" and its ends "slack" and
    "brisk", and "before" if a state before is shown as a gray, dashed ghost.
    """
    parts = [
        _room(),
        *_streams(result),
        *_ways(result),
        *_courses(result),
        *_plan(result),
        *(_ghost(before, result) if before else ()),
        *_words(result, labels, text_px, bool(before)),
    ]
    return (
        f'<svg role="img" aria-label="{html.escape(alt, quote=True)}" viewBox="0 0 {WIDTH} {HEIGHT}" '
        f'width="{width_px}" height="{width_px * HEIGHT / WIDTH:.0f}" style="max-width:100%;height:auto" '
        f"font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\"><title>{html.escape(title)}</title>"
        f"{''.join(parts)}</svg>"
    )


# places ---------------------------------------------------------------------------------------------------------------


def _stack_box(result):
    """Left, top, right and bottom of the stack."""
    half, bottom = 0.5 * result.stack.width_m * M, FLOOR - case.UNDER_M * M
    return MIDDLE - half, bottom - result.stack.height_m * M, MIDDLE + half, bottom


def _loops(result):
    """(name, level, width, nearness) of each stream from the inside out; nearness is its way from the inmost edge."""
    _, top, _, bottom = _stack_box(result)
    flows = [("above", 0.5 * (DECK_Y + DECK + top), result.flow.opening("above").flow_m3s)]
    area = [gap * result.stack.open_length_m for gap in result.stack.stickers_m]
    course = [speed * share for speed, share in zip(result.flow.course_speed_ms, area, strict=True)][::-1]
    ends = result.flow.opening("ends").flow_m3s
    for number in range(BUNDLES):
        first, last = (round(at * len(course) / BUNDLES) for at in (number, number + 1))
        level = top + (bottom - top) * (number + 0.5) / BUNDLES
        if number == BUNDLES // 2:
            flows.append(("ends", level - 0.5 * (bottom - top) / BUNDLES, ends))
        flows.append(("stack", level, sum(course[first:last])))
    flows.append(("under", 0.5 * (bottom + FLOOR), result.flow.opening("under").flow_m3s))
    inside = 0.0
    for name, level, flow in flows:
        width = FLOW * flow
        yield name, level, width, inside + 0.5 * width
        inside += width


def _plenum(result):
    """Left edge of the stack, and half the width of the whole stream: it runs in the middle of each plenum."""
    return 0.5 * (LEFT + _stack_box(result)[0]), 0.5 * FLOW * result.flow.total_flow_m3s


def _loop(result, level, near):
    """The way of one stream round the kiln, as path data."""
    x, half = _plenum(result)
    x, y = x + half - near, ROOF + 0.5 * FAN_ROOM + half - near
    far, outer = 2 * MIDDLE - x, near + 4
    turn = max(1.0, min(8.0, 0.4 * (level - y)))
    return (
        f"M{MIDDLE:.0f} {y:.1f}H{x + outer:.1f}Q{x:.1f} {y:.1f} {x:.1f} {y + outer:.1f}V{level - turn:.1f}"
        f"Q{x:.1f} {level:.1f} {x + turn:.1f} {level:.1f}H{far - turn:.1f}Q{far:.1f} {level:.1f} {far:.1f} "
        f"{level - turn:.1f}V{y + outer:.1f}Q{far:.1f} {y:.1f} {far - outer:.1f} {y:.1f}Z"
    )


# parts ----------------------------------------------------------------------------------------------------------------


def _rect(x, y, width, height, fill, more=""):
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="{fill}"{more}/>'


def _room():
    """Walls, floor, fan deck and the fan."""
    deck = case.FULL.plenum_width_m * M
    return (
        _rect(0, 0, WIDTH, HEIGHT, "#ffffff")
        + _rect(LEFT - WALL, ROOF - WALL, RIGHT - LEFT + 2 * WALL, FLOOR - ROOF + 2 * WALL, "#cfd5da")
        + _rect(LEFT, ROOF, RIGHT - LEFT, FLOOR - ROOF, "#ffffff", f' stroke="{STEEL}"')
        + _rect(LEFT + deck, DECK_Y, RIGHT - LEFT - 2 * deck, DECK, STEEL)
    )


def _streams(result):
    """Every stream at the width of its flow; what misses the wood in another color, and named."""
    for name, level, width, near in _loops(result):
        color = THROUGH if name == "stack" else MISSES
        yield (
            f'<path d="{_loop(result, level, near)}" fill="none" stroke="{color}" '
            f'stroke-width="{max(width - 0.3, 0.5):.2f}" data-way="{name}"/>'
        )
    x, half = _plenum(result)
    y, size = ROOF + 0.5 * FAN_ROOM, max(6.0, min(half, 13.0))
    for at, height, aim in ((x, DECK_Y - 4, "down"), (2 * MIDDLE - x, DECK_Y - 4, "up"), (MIDDLE + 70, y, "left")):
        yield _arrow(at, height, size, aim, INK)
    yield _rect(MIDDLE - 3, ROOF, 6, FAN_ROOM, STEEL) + _rect(MIDDLE - 4, y - half - 4, 8, 2 * half + 8, "#ffffff")
    more = f'fill="#aeb6bc" stroke="{INK}" stroke-width="1.5"'
    yield f'<ellipse cx="{MIDDLE}" cy="{y}" rx="6" ry="{half + 6:.1f}" {more}/>'
    yield f'<circle cx="{MIDDLE}" cy="{y}" r="5" fill="{INK}"/>'


def _arrow(x, y, size, aim, color="#ffffff"):
    turn = {"right": 0, "down": 90, "left": 180, "up": 270}[aim]
    return (
        f'<path d="M{-0.5 * size:.1f} {-0.6 * size:.1f}L{0.6 * size:.1f} 0L{-0.5 * size:.1f} {0.6 * size:.1f}z" '
        f'transform="translate({x:.1f} {y:.1f}) rotate({turn})" fill="{color}"/>'
    )


def _ways(result):
    """Bolsters, baffles where a gap is shut, arrows where it is open, and the spots where air turns to the ends."""
    left, top, right, bottom = _stack_box(result)
    for x in (left, MIDDLE, right):
        yield _rect(x - 9 * (x != left) - 9 * (x == right), bottom, 18, FLOOR - bottom, "#b98d55", ' opacity="0.45"')
    for name, high, low in (("above", DECK_Y + DECK, top), ("under", bottom, FLOOR)):
        if getattr(result.state, name):
            yield _arrow(MIDDLE, 0.5 * (high + low), max(5.0, FLOW * result.flow.opening(name).flow_m3s), "right", RUST)
        else:
            at = max(left, LEFT + case.FULL.plenum_width_m * M)
            yield _rect(at, high, 8, low - high, INK, ' class="fc-baffle"')
    _, level, width, near = next(loop for loop in _loops(result) if loop[0] == "ends")
    x, half = _plenum(result)
    for at in (x + half - near, 2 * MIDDLE - x - half + near):
        yield (
            f'<circle cx="{at:.1f}" cy="{level:.1f}" r="{max(3.0, 0.5 * width):.1f}" fill="{MISSES}" stroke="{RUST}"/>'
        )


def _courses(result):
    """Boards, and the space over each shaded by the speed of its air."""
    left, top, right, y = _stack_box(result)
    board, width = result.stack.board_thickness_m * M, right - left
    yield _rect(left, top, width, y - top, WOOD)
    for gap, speed in zip(result.stack.stickers_m, result.flow.course_speed_ms, strict=True):
        y -= board + gap * M
        yield _rect(left, y, width, gap * M, shade(speed))
    yield _rect(left, top, width, _stack_box(result)[3] - top, "none", f' stroke="{WOOD_EDGE}"')


def shade(speed_ms):
    """Color of an air speed: pale when slack, dark from 400 fpm on."""
    share = min(speed_ms / SPEED_TOP_MS, 1.0)
    return "#" + "".join(f"{round(pale + share * (dark - pale)):02x}" for pale, dark in zip(PALE, DARK, strict=True))


def _plan(result):
    """The kiln from above: boards end to end, the gaps at their ends, and what goes through each."""
    stack = result.stack
    wide, long = case.INSIDE_M * PLAN_M, (stack.length_m + 2 * result.gaps.end_m) * PLAN_M
    half, end = 0.5 * stack.width_m * PLAN_M, result.gaps.end_m * PLAN_M
    middle = PLAN_LEFT + 0.5 * wide
    yield _rect(PLAN_LEFT - 5, PLAN_TOP - 5, wide + 10, long + 10, "#cfd5da")
    yield _rect(PLAN_LEFT, PLAN_TOP, wide, long, "#ffffff")
    edges = (f"M{middle + (at / 6 - 1) * half:.1f} {PLAN_TOP + end:.1f}v{long - 2 * end:.1f}" for at in range(13))
    through = FLOW * result.flow.stack_flow_m3s * 0.5
    yield _rect(PLAN_LEFT + 4, PLAN_TOP + 0.5 * (long - through), wide - 8, through, THROUGH)
    yield _rect(middle - half, PLAN_TOP + end, 2 * half, long - 2 * end, WOOD)
    yield f'<path d="{"".join(edges)}" stroke="{WOOD_EDGE}" fill="none"/>'
    flow = max(FLOW * result.flow.opening("ends").flow_m3s * 0.25, 0.4)
    for y in (PLAN_TOP + 0.5 * end, PLAN_TOP + long - 0.5 * end):
        yield f'<path d="M{PLAN_LEFT + 4} {y:.1f}h{wide - 8:.1f}" stroke="{MISSES}" stroke-width="{flow:.2f}"/>'
        if result.state.ends:
            yield _arrow(middle, y, 9, "right", RUST)
        else:
            yield _rect(middle - half, y - 0.5 * end, 5, end, INK, ' class="fc-baffle"')
    beside = 0.5 * (0.5 * wide - half)  # half the width of a plenum
    for x in (PLAN_LEFT + beside, PLAN_LEFT + wide - beside):
        yield _arrow(x, PLAN_TOP + 0.5 * long, min(9.0, beside), "right", INK)


def _ghost(before, result):
    """The state before: edges of its streams past the wood and of its stack, dashed and gray."""
    dash = f' stroke="{GHOST}" stroke-width="1.5" stroke-dasharray="5 4" fill="none"'
    for name, level, width, near in _loops(before):
        if name in ("above", "under") and width > 4:
            for side in (-0.5, 0.5):
                yield f'<path d="{_loop(before, level + side * width, near - side * width)}"{dash}/>'
    left, top, right, bottom = _stack_box(before)
    if _stack_box(result) != (left, top, right, bottom):
        yield f'<path d="M{left:.1f} {top:.1f}H{right:.1f}V{bottom:.1f}H{left:.1f}Z"{dash}/>'


def _words(result, labels, size, ghost):
    """Everything that is written, and the scale of the shades."""
    left, top, _, bottom = _stack_box(result)
    across = PLAN_LEFT + case.INSIDE_M * PLAN_M
    below = PLAN_TOP + (result.stack.length_m + 2 * result.gaps.end_m) * PLAN_M + 8 + size
    yield _text(labels["fans"], MIDDLE + 12, ROOF + size + 2, size, INK, "start")
    yield _text(labels["above"], MIDDLE + 12, DECK_Y - 5, size, _ink(result, "above"), "start", result.state.above)
    low = min(FLOOR + WALL + size + 2, HEIGHT - 0.22 * size)
    yield _text(labels["under"], left, low, size, _ink(result, "under"), "start", result.state.under)
    yield _text(labels["plan"], across + 4, PLAN_TOP - 12, size, SOFT, "end")
    yield _text(labels["ends"], across + 4, below, size, _ink(result, "ends"), "end", result.state.ends)
    fast_up = result.flow.course_speed_ms[-1] >= result.flow.course_speed_ms[0]
    upper, lower = (labels["fast"], labels["slow"]) if fast_up else (labels["slow"], labels["fast"])
    yield _text(upper, MIDDLE, top + size + 8, size, INK)
    yield _text(lower, MIDDLE, bottom - 10, size, INK)
    yield _text(labels["mean"], MIDDLE, 0.5 * (top + bottom) + 0.5 * size, size * 1.5, BLUE, bold=True)
    x, y, wide = PLAN_LEFT - 5, below + size + 26, (across + 5 - PLAN_LEFT + 5) / 20
    yield _text(labels["scale"], across + 4, y - 6, size, SOFT, "end")
    for step in range(20):
        yield _rect(x + step * wide, y, wide + 0.2, 12, shade(SPEED_TOP_MS * (step + 0.5) / 20))
    yield _text(labels["slack"], x, y + 14 + size, size, SOFT, "start")
    yield _text(labels["brisk"], across + 4, y + 14 + size, size, SOFT, "end")
    if ghost:
        y += 30 + size
        yield f'<path d="M{x} {y + 6}H{across + 4:.0f}" stroke="{GHOST}" stroke-width="1.5" stroke-dasharray="5 4"/>'
        for number, line in enumerate(labels["before"].split("\n")):
            yield _text(line, across + 4, y + 12 + size * (1 + 1.2 * number), size, SOFT, "end")


def _ink(result, gap):
    return RUST if getattr(result.state, gap) else SOFT


def _text(words, x, y, size, color, anchor="middle", bold=False):
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{color}" text-anchor="{anchor}"{weight} '
        f'stroke="#ffffff" stroke-width="{0.25 * size:.1f}" paint-order="stroke" stroke-linejoin="round">'
        f"{html.escape(words)}</text>"
    )
