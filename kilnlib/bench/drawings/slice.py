"""A slice of a drying board, seen from its end and colored by how wet it is: blue where wet, pale wood where dry.

It stands over the chart that has the same board across, so left and right are the faces, as there.
"""

import numpy as np

from kilnlib.bench.drawings.chase import wetness
from kilnlib.bench.drawings.sketch import EDGE, fitted, frame, written
from kilnlib.bench.kit.colors import SOFT

WIDTH, HEIGHT = 640, 60
LEFT, RIGHT, TOP, BOTTOM = 41.6, 294.4, 4, 56  # of the slice: the faces are where the chart below has them
FULL_PCT = 90.0  # as blue as it gets
SCALE_LEFT, SCALE_RIGHT = 400, 584


def drawing(place, profile_pct, labels):
    """The slice of a profile; `place` runs from 0 at one face to 1 at the other. `labels`: "wet", "dry", "title"."""
    edges = np.concatenate([[0.0], 0.5 * (np.asarray(place)[1:] + np.asarray(place)[:-1]), [1.0]])
    parts = []
    for mc_pct, start, end in zip(profile_pct, edges[:-1], edges[1:], strict=True):
        if end > start:
            x, wide = LEFT + start * (RIGHT - LEFT), (end - start) * (RIGHT - LEFT)
            parts.append(
                f'<rect data-part="layer" x="{x:.2f}" y="{TOP}" width="{wide + 0.4:.2f}" height="{BOTTOM - TOP}" '
                f'fill="{wetness(mc_pct, FULL_PCT)}"/>'
            )
    outline = f'width="{RIGHT - LEFT:.1f}" height="{BOTTOM - TOP}" fill="none" stroke="{EDGE}" stroke-width="2"'
    parts.append(f'<rect data-part="outline" x="{LEFT}" y="{TOP}" {outline}/>')
    middle = 0.5 * (SCALE_LEFT + SCALE_RIGHT)
    parts.append(fitted(labels["title"], middle, 20, 2 * (WIDTH - middle), written))
    step = (SCALE_RIGHT - SCALE_LEFT) / 10
    for number in range(10):
        color = wetness(FULL_PCT * (9.5 - number) / 10, FULL_PCT)
        parts.append(
            f'<rect x="{SCALE_LEFT + number * step:.1f}" y="34" width="{step + 0.3:.1f}" height="14" fill="{color}"/>'
        )
    for key, x in (("wet", SCALE_LEFT - 28), ("dry", SCALE_RIGHT + 26)):
        parts.append(written(labels[key], x, 47, SOFT))
    return frame(WIDTH, HEIGHT, parts)
