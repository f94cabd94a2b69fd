"""Courses from edge to edge as strips, each piece as wet as it is; the fans blow one way, or turn round."""

from kilnlib.bench.drawings.stack_places import HEIGHT, WIDTH, arrow, framed, rect, text
from kilnlib.bench.kit.colors import INK

WOOD, EDGE = "#e3bd8a", "#a97c42"
DRY, WET, SPAN_PCT = (240, 214, 170), (90, 150, 205), (26.0, 34.0)
LEFT, WIDE, HIGH, PITCH = 50, 540, 44, 98


def drawing(rows, alt, title, text_px, width_px=WIDTH):
    """The strips as one `<svg role="img">`; a row: (words, whether the fans turn, moisture of its
    pieces or None, what is said of its two edges)."""
    parts = [rect(0, 0, WIDTH, HEIGHT, "#ffffff")]
    for number, (words, turns, zones, ends) in enumerate(rows):
        top = 8 + number * PITCH
        strip = top + text_px + 4
        parts.append(text(words, LEFT, top + 0.8 * text_px, text_px, INK, "start"))
        parts.append(arrow(LEFT - 24, strip + 0.5 * HIGH, 26, "right", INK))
        if turns:
            parts.append(arrow(LEFT + WIDE + 24, strip + 0.5 * HIGH, 26, "left", INK))
        parts += _strip(zones, ends, strip, text_px)
    return framed(parts, alt, title, width_px)


def _strip(zones, ends, top, size):
    if zones:
        wide = WIDE / len(zones)
        for at, zone in enumerate(zones):
            yield rect(LEFT + at * wide, top, wide + 0.4, HIGH, shade(zone))
    else:
        yield rect(LEFT, top, WIDE, HIGH, WOOD)
    yield rect(LEFT, top, WIDE, HIGH, "none", f' stroke="{EDGE}"')
    yield text(ends[0], LEFT + 8, top + 0.5 * HIGH + 0.35 * size, size, INK, "start")
    yield text(ends[1], LEFT + WIDE - 8, top + 0.5 * HIGH + 0.35 * size, size, INK, "end")


def shade(mc_pct):
    """Color of a moisture content: the wetter, the bluer."""
    low, high = SPAN_PCT
    share = min(max((mc_pct - low) / (high - low), 0.0), 1.0)
    return "#" + "".join(f"{round(dry + share * (wet - dry)):02x}" for dry, wet in zip(DRY, WET, strict=True))
