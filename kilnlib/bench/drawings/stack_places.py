"""Where everything stands in the kiln's cross-section, to scale, and the few shapes it is drawn with."""

import html

from kilnlib.bench.drawings.sketch import LETTER
from kilnlib.cases import stack as case
from kilnlib.units import FT_M

WIDTH, HEIGHT = 640, 400
M = 33 / FT_M  # px for a meter
LEFT, ROOF, WALL, DECK = 10, 10, 8, 5
FAN_ROOM = 2.5 * FT_M * M
FAN_REACH = 20  # half the height of the fan
RIGHT = LEFT + case.INSIDE_M * M
DECK_Y = ROOF + FAN_ROOM
FLOOR = DECK_Y + DECK + case.DECK_M * M
MIDDLE = 0.5 * (LEFT + RIGHT)
FLOW = 8.0  # px for a cubic meter a second
BUNDLES = 7
PLAN_LEFT, PLAN_TOP, PLAN_M = 496, 34, 9.6 / FT_M


def stack_box(result):
    """Left, top, right and bottom of the stack."""
    half, bottom = 0.5 * result.stack.width_m * M, FLOOR - case.UNDER_M * M
    return MIDDLE - half, bottom - result.stack.height_m * M, MIDDLE + half, bottom


def loops(result):
    """(name, level, width, inset) of each stream, from the innermost to the outermost.

    `inset` is how far the middle of a stream lies outside the inner edge of all of them together.
    """
    _, top, _, bottom = stack_box(result)
    flows = [("above", 0.5 * (DECK_Y + DECK + top), result.flow.opening("above").flow_m3s)]
    areas = [sticker * result.stack.open_length_m for sticker in result.stack.stickers_m]
    courses = [speed * area for speed, area in zip(result.flow.course_speed_ms, areas, strict=True)][::-1]  # m³/s
    ends = result.flow.opening("ends").flow_m3s
    for number in range(BUNDLES):
        first, last = (round(at * len(courses) / BUNDLES) for at in (number, number + 1))
        level = top + (bottom - top) * (number + 0.5) / BUNDLES
        if number == BUNDLES // 2:
            flows.append(("ends", level - 0.5 * (bottom - top) / BUNDLES, ends))
        flows.append(("stack", level, sum(courses[first:last])))
    flows.append(("under", 0.5 * (bottom + FLOOR), result.flow.opening("under").flow_m3s))
    inner_edge = 0.0
    for name, level, flow in flows:
        width = FLOW * flow
        yield name, level, width, inner_edge + 0.5 * width
        inner_edge += width


def plenum(result):
    """Left edge of the stack, and half the width of the whole stream: it runs in the middle of each plenum."""
    return 0.5 * (LEFT + stack_box(result)[0]), 0.5 * FLOW * result.flow.total_flow_m3s


def loop(result, level, inset):
    """The way of one stream round the kiln, as path data; `level` and `inset` as `loops` has them."""
    x, half = plenum(result)
    x, y = x + half - inset, ROOF + 0.5 * FAN_ROOM + half - inset
    far, outer = 2 * MIDDLE - x, inset + 4
    turn = max(1.0, min(8.0, 0.4 * (level - y)))
    return (
        f"M{MIDDLE:.0f} {y:.1f}H{x + outer:.1f}Q{x:.1f} {y:.1f} {x:.1f} {y + outer:.1f}V{level - turn:.1f}"
        f"Q{x:.1f} {level:.1f} {x + turn:.1f} {level:.1f}H{far - turn:.1f}Q{far:.1f} {level:.1f} {far:.1f} "
        f"{level - turn:.1f}V{y + outer:.1f}Q{far:.1f} {y:.1f} {far - outer:.1f} {y:.1f}Z"
    )


def way(result, name, level, inset):
    """The way of a stream as path data; the one round the ends is out of sight beside the stack, so it is cut there."""
    if name != "ends":
        return loop(result, level, inset)
    x, half = plenum(result)
    x, y = x + half - inset, ROOF + 0.5 * FAN_ROOM + half - inset
    far, outer = 2 * MIDDLE - x, inset + 4
    return (
        f"M{far:.1f} {level:.1f}V{y + outer:.1f}Q{far:.1f} {y:.1f} {far - outer:.1f} {y:.1f}"
        f"H{x + outer:.1f}Q{x:.1f} {y:.1f} {x:.1f} {y + outer:.1f}V{level:.1f}"
    )


def baffle_x(result):
    """Left edge of the baffles: that of the stack, where the air would go round it."""
    return stack_box(result)[0]


def spaces(result):
    """(middle, height, speed) of the space over each course, from the foot up."""
    y, board = stack_box(result)[3], result.stack.board_thickness_m * M
    for sticker, speed in zip(result.stack.stickers_m, result.flow.course_speed_ms, strict=True):
        y -= board + sticker * M
        yield y + 0.5 * sticker * M, sticker * M, speed


def framed(parts, alt, title, width_px=WIDTH):
    """A drawing as one `<svg role="img">` with its text alternative."""
    return (
        f'<svg role="img" aria-label="{html.escape(alt, quote=True)}" viewBox="0 0 {WIDTH} {HEIGHT}" '
        f'width="{width_px}" height="{width_px * HEIGHT / WIDTH:.0f}" style="max-width:100%;height:auto" '
        f"font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\"><title>{html.escape(title)}</title>"
        f"{''.join(parts)}</svg>"
    )


def rect(x, y, width, height, fill, more=""):
    """A rectangle."""
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="{fill}"{more}/>'


def arrow(x, y, size, aim, color="#ffffff"):
    """A head of an arrow that aims "right", "down", "left" or "up"."""
    turn = {"right": 0, "down": 90, "left": 180, "up": 270}[aim]
    return (
        f'<path d="M{-0.5 * size:.1f} {-0.6 * size:.1f}L{0.6 * size:.1f} 0L{-0.5 * size:.1f} {0.6 * size:.1f}z" '
        f'transform="translate({x:.1f} {y:.1f}) rotate({turn})" fill="{color}"/>'
    )


def text(words, x, y, size, color, anchor="middle", bold=False):
    """Words in a white halo; nothing for no words."""
    if not words:
        return ""
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{color}" text-anchor="{anchor}"{weight} '
        f'stroke="#ffffff" stroke-width="{0.25 * size:.1f}" paint-order="stroke" stroke-linejoin="round">'
        f"{html.escape(words)}</text>"
    )


def plated(words, x, y, size, color, anchor="middle", bold=False):
    """Words on a white plate, which keeps the boards and the air behind them off."""
    if not words:
        return ""
    wide = (LETTER + 0.06 * bold) * size * len(words)
    left = x - 0.5 * wide * (anchor == "middle")
    more = ' rx="3" class="fc-plate"'
    return rect(left - 4, y - 0.95 * size, wide + 8, 1.25 * size, "#ffffff", more) + text(
        words, x, y, size, color, anchor, bold
    )
