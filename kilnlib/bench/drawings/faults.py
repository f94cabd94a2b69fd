"""Four loads as the air meets them, boards from the side and sticks from their ends, each with one fault."""

from kilnlib.bench.drawings.stack_places import HEIGHT, WIDTH, framed, rect, text
from kilnlib.bench.kit.colors import DARK_WOOD, INK, RUST

WOOD, EDGE, HOLLOW = "#e3bd8a", "#a97c42", "#ffffff"
COURSES, BOARD, SPACE, WIDE = 6, 8.0, 8.0, 292.0
STICKS, STICK, LEAN = 7, 6.0, 8.0
LEFTS, TOPS = (10, 336), (6, 206)
HOLE = (122.0, 48.0)  # left edge, and its width and height
LANE = (138.0, 16.0)


def drawing(names, results, alt, title, text_px, width_px=WIDTH):
    """The loads as one `<svg role="img">`: two lines of `names` under each, and over it its line of `results`."""
    parts = [rect(0, 0, WIDTH, HEIGHT, "#ffffff")]
    for place, (fault, lines) in enumerate(names.items()):
        x, y = LEFTS[place % 2], TOPS[place // 2]
        parts.append(f'<g class="fc-load" data-fault="{fault}">{"".join(_load(fault, x, y))}</g>')
        middle, bottom = x + 0.5 * WIDE, y + COURSES * (BOARD + SPACE)
        parts.append(text(lines[0], middle, bottom + text_px, text_px, INK))
        under, color = (results[fault], RUST) if results else (lines[1], INK)
        parts.append(text(under, middle, bottom + 2.1 * text_px, text_px, color, bold=bool(results)))
    return framed(parts, alt, title, width_px)


def _load(fault, x, y):
    """One load: boards, sticks, and what is wrong."""
    spaces = [0.5 * SPACE if fault == "mixed" and course % 3 == 1 else SPACE for course in range(COURSES)]
    level = (
        y + COURSES * (BOARD + SPACE) - sum(spaces) - COURSES * BOARD
    )  # thin sticks make a lower load, not thick boards
    for course, space in enumerate(spaces):
        yield rect(x, level, WIDE, BOARD, WOOD, f' stroke="{EDGE}" stroke-width="0.5"')
        for stick in range(STICKS):
            lean = LEAN * (-1) ** (stick + course) if fault == "askew" else 0.0
            at = x + 6 + stick * (WIDE - 18) / (STICKS - 1) + lean
            yield rect(min(max(at, x), x + WIDE - STICK), level + BOARD, STICK, space, DARK_WOOD)
        level += BOARD + space
    high = COURSES * (BOARD + SPACE)
    if fault == "hole":
        yield rect(x + HOLE[0], y + 2 * (BOARD + SPACE), HOLE[1], HOLE[1], HOLLOW, f' stroke="{INK}"')
    elif fault == "lane":
        yield rect(x + LANE[0], y - 1, LANE[1], high + 2, HOLLOW, f' stroke="{INK}"')
