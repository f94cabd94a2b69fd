"""One sticker space, large: warm dry air goes in on the left, gives heat to the boards, takes water, comes out cool."""

from kilnlib.bench.drawings.stack_places import HEIGHT, WIDTH, arrow, framed, rect, text
from kilnlib.bench.kit.colors import BLUE, INK, RUST

WOOD, EDGE, WARM, COOL = "#e3bd8a", "#a97c42", (214, 112, 74), (90, 150, 205)
LEFT, RIGHT, TOP, BOTTOM = 60, 580, 120, 260  # edges of the boards, and of the space between them
STEPS, PLACES = 26, (150, 320, 490)


def drawing(labels, alt, title, text_px, width_px=WIDTH):
    """The space as one `<svg role="img">`; `labels`: "enters", "leaves", "heat" and "water"."""
    parts = [rect(0, 0, WIDTH, HEIGHT, "#ffffff"), *_air(), *_boards(), *_exchange(labels, text_px)]
    parts += [
        text(labels["enters"], 8, BOTTOM + 128, text_px, RUST, "start", True),
        text(labels["leaves"], WIDTH - 8, BOTTOM + 128, text_px, BLUE, "end", True),
    ]
    return framed(parts, alt, title, width_px)


def _air():
    """The stream, from warm to cool."""
    wide = WIDTH / STEPS
    for step in range(STEPS):
        share = min(max((step * wide - LEFT) / (RIGHT - LEFT), 0.0), 1.0)
        mixed = (round(warm + share * (cool - warm)) for warm, cool in zip(WARM, COOL, strict=True))
        yield rect(step * wide, TOP, wide + 0.5, BOTTOM - TOP, "#" + "".join(f"{part:02x}" for part in mixed))
    for x in (30, 320, 610):
        yield arrow(x, 0.5 * (TOP + BOTTOM), 40, "right")


def _boards():
    """A board above the space and one below."""
    for y in (TOP - 90, BOTTOM):
        yield rect(LEFT, y, RIGHT - LEFT, 90, WOOD, f' stroke="{EDGE}"')


def _exchange(labels, size):
    """Heat goes into the wood, water comes out of it, above and below alike."""
    for x in PLACES:
        for y, heat, water in ((TOP, "up", "down"), (BOTTOM, "down", "up")):
            yield arrow(x - 40, y, 26, heat, RUST)
            yield arrow(x + 40, y, 26, water, BLUE)
    yield text(labels["heat"], 0.5 * WIDTH - 18, TOP - 40, size, INK, "end")
    yield text(labels["water"], 0.5 * WIDTH + 18, TOP - 40, size, INK, "start")
