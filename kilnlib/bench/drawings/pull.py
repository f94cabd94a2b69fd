"""The end of a drying board: what is stretched and what is squeezed in it, its cracks, and how wet it is across.

Seen from its end with its faces above and below, thicker than life. Arrows that part are a pull, arrows that meet a
push, both as long as the stress is high. Cracks are drawn wide, as wide as the pull on the skin that opens them.
"""

import functools
import math

import numpy as np

from kilnlib.bench.drawings.chase import wetness
from kilnlib.bench.drawings.sketch import CRACK, EDGE, fitted, frame, line, path, written
from kilnlib.bench.kit.colors import BLUE, INK, RUST, SOFT

WIDTH, HEIGHT = 300, 400
LEFT, RIGHT, TOP, BOTTOM = 20, 280, 34, 188  # the board
SLICE_TOP, SLICE_BOTTOM = 290, 374
MIDDLE = 0.5 * (LEFT + RIGHT)
STRONG_PA = 6e6  # the strongest color and the longest arrow
PULLED, PUSHED, EVEN = (222, 130, 96), (120, 165, 214), (240, 222, 190)
LONGEST, SHORTEST_PA = 74.0, 0.1e6
CRACKS, DEEP, WIDEST = (52, 97, 142, 187, 232), 34.0, 16.0
FULL_PCT = 60.0  # as blue as it gets


def drawing(run, number, labels):
    """Board and slice of a run on one of its days.

    `labels`: "title", "skin", "core", "cracks", "wet_skin", "wet_core".
    """
    stress = run.day_stress_pa[number]
    skin, core = float(run.day_surface_pa[number]), float(run.day_core_pa[number])
    fit = functools.partial(fitted, width=WIDTH, write=written)
    parts = [fit(labels["title"], MIDDLE, 18)]
    parts += _layers(run.place, [_shade(value) for value in stress], TOP, BOTTOM)
    parts.append(_outline(TOP, BOTTOM))
    parts += [*_arrows(TOP + 15, skin, "skin"), *_arrows(BOTTOM - 15, skin, "skin-below")]
    parts += _arrows(0.5 * (TOP + BOTTOM), core, "core")
    parts += _cracks(float(run.day_opening_pa[number]))
    for name, stress, below in (("skin", skin, 24), ("core", core, 46)):
        colored = functools.partial(written, color=_ink(stress))
        parts.append(fit(labels[name], MIDDLE, BOTTOM + below, write=colored))
    parts.append(fit(labels["cracks"], MIDDLE, BOTTOM + 68))
    wet = run.day_profile_pct[number]
    parts += _layers(run.place, [wetness(mc, FULL_PCT) for mc in wet], SLICE_TOP, SLICE_BOTTOM)
    parts.append(_outline(SLICE_TOP, SLICE_BOTTOM))
    parts.append(written(labels["wet_core"], MIDDLE, 0.5 * (SLICE_TOP + SLICE_BOTTOM) + 6, INK))
    parts.append(fit(labels["wet_skin"], MIDDLE, SLICE_TOP - 8, write=functools.partial(written, color=SOFT)))
    return frame(WIDTH, HEIGHT, parts)


def opening_px(opening_pa):
    """How wide a crack is drawn at the face."""
    return WIDEST * min(opening_pa / STRONG_PA, 1.0)


def arrow_px(stress_pa):
    """How long an arrow is drawn."""
    return LONGEST * min(abs(stress_pa) / STRONG_PA, 1.0) ** 0.5


def _layers(place, colors, top, bottom):
    """A board in layers of color, from face to face."""
    edges = np.concatenate([[0.0], 0.5 * (np.asarray(place)[1:] + np.asarray(place)[:-1]), [1.0]])
    for color, above, below in zip(colors, edges[:-1], edges[1:], strict=True):
        y, high = top + above * (bottom - top), (below - above) * (bottom - top)
        if high > 0:
            yield f'<rect x="{LEFT}" y="{y:.1f}" width="{RIGHT - LEFT}" height="{high + 0.4:.1f}" fill="{color}"/>'


def _outline(top, bottom):
    return path([(LEFT, top), (RIGHT, top), (RIGHT, bottom), (LEFT, bottom)], "none", EDGE, 2)


def _shade(stress_pa):
    """Rust for a pull, blue for a push, pale wood for neither."""
    share = min(abs(stress_pa) / STRONG_PA, 1.0) ** 0.6
    toward = PULLED if stress_pa > 0 else PUSHED
    return "#" + "".join(f"{round(even + share * (to - even)):02x}" for even, to in zip(EVEN, toward, strict=True))


def _arrows(y, stress_pa, part):
    """Two arrows: apart where it is stretched, toward each other where it is squeezed."""
    if abs(stress_pa) < SHORTEST_PA:
        return
    long, near = arrow_px(stress_pa), 34
    for side in (-1, 1):
        tail, head = (near, near + long) if stress_pa > 0 else (near + long, near)
        x, tip, back = MIDDLE + side * tail, MIDDLE + side * head, -9 * math.copysign(side, side * stress_pa)
        color = _ink(stress_pa)
        yield line([(x, y), (tip + 0.6 * back, y)], color, 4, f' data-part="{part}"')
        yield path([(tip, y), (tip + back, y - 7), (tip + back, y + 7)], color, color, 0.5)


def _cracks(opening_pa):
    """Checks in both faces: nothing before they are torn, a closed line while the skin is squeezed."""
    if math.isnan(opening_pa):
        return
    half = max(0.5 * opening_px(opening_pa), 0.4)
    for x in CRACKS:
        for face, tip in ((TOP, TOP + DEEP), (BOTTOM, BOTTOM - DEEP)):
            yield path([(x - half, face), (x, tip), (x + half, face)], CRACK, CRACK, 0.6, True, ' data-part="crack"')


def _ink(stress_pa):
    return SOFT if abs(stress_pa) < SHORTEST_PA else RUST if stress_pa > 0 else BLUE
