"""A shed with dry lumber in it, and what the year does to a floor board laid from it."""

from kilnlib.bench.drawings.sketch import DASHED, EDGE, FACE, fitted, frame, path, written
from kilnlib.bench.kit.colors import BLUE, GREEN, INK, PALE_GRAY, RUST, SOFT
from kilnlib.units import IN_M

WIDTH, HEIGHT = 165, 400
LEFT, RIGHT, FLOOR, EAVES, RIDGE = 8, 157, 200, 94, 46
BOARD, TOP, THICK = 100, 275, 24  # px of a floor board and of the place where it is drawn
GROWS_PX_M = 150 / IN_M  # the change of width, drawn several times too large
STICKERS = {"stickers": 6, "solid": 1, "wrapped": 1}


def drawing(result, labels):
    """The shed, and a floor board as laid and as it is when its moisture is farthest from the target.

    `labels`: "outside", "inside", "laid", "later" and "grows".
    """
    ends = [(LEFT, FLOOR), (LEFT, EAVES), ((LEFT + RIGHT) / 2, RIDGE), (RIGHT, EAVES), (RIGHT, FLOOR)]
    parts = [fitted(labels["outside"], WIDTH / 2, 18, WIDTH, _soft), path(ends, "white", INK, 2)]
    parts.append(written(labels["inside"], WIDTH / 2, 112, RUST if result.state.warmer_k else SOFT))
    parts += _pack(result.state.pack)
    now = BOARD + min(max(result.grows_m * GROWS_PX_M, -30.0), 40.0)
    parts.append(fitted(labels["laid"], WIDTH / 2, TOP - 46, WIDTH, written))
    parts.append(_strip(TOP - 12, BOARD, GREEN, DASHED))
    parts.append(_strip(TOP - 12 + THICK + 8, now, BLUE if now > BOARD else RUST, ""))
    parts.append(fitted(labels["later"], WIDTH / 2, TOP + 72, WIDTH, written))
    parts.append(written(labels["grows"], WIDTH / 2, TOP + 118, INK, 20))
    return frame(WIDTH, HEIGHT, parts)


def _soft(words, x, y):
    return written(words, x, y, SOFT)


def _strip(top, width, color, more):
    left = (WIDTH - BOARD) / 2 - 15
    corners = [(left, top), (left + width, top), (left + width, top + THICK), (left, top + THICK)]
    return path(corners, FACE, color, 2.5, True, more)


def _pack(pack):
    """Five courses, on stickers, solid, or solid in a wrap."""
    gap = STICKERS[pack]
    bottom = FLOOR - 8
    for course in range(5):
        top = bottom - (course + 1) * 8 - course * gap
        yield path([(43, top), (123, top), (123, top + 8), (43, top + 8)], FACE, EDGE, 1)
    if pack == "wrapped":
        yield path([(37, bottom - 52), (129, bottom - 52), (129, bottom + 3), (37, bottom + 3)], "none", PALE_GRAY, 5)
