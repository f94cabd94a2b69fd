"""A log's end with five pieces cut from it, each as its own rings bend it in drying.

The bending is worked out from the shrinkage of red oak and drawn several times too strong. To write the picture anew:
`python -m kilnlib.bench.drawings.warp`.
"""

import html
from pathlib import Path

import numpy as np

from kilnlib.bench.drawings.sketch import CRACK, DASHED, EDGE, END, RING, line, path
from kilnlib.bench.kit.colors import INK, SOFT
from kilnlib.physics.wood import dried_place_m, species
from kilnlib.words import text

WIDTH, HEIGHT = 680, 360
X, Y, LOG = 180, 180, 168  # the pith on the picture and the radius of the log, px
TOO_STRONG, MC_PCT = 3, 7
# letter: left, bottom, right, top of the green piece in px from the pith, y upward
PIECES = {
    "A": (-78, 92, 78, 124),
    "B": (42, -16, 152, 16),
    "C": (62, 32, 140, 60),
    "D": (-124, -124, -60, -60),
    "E": (-30, -30, 30, 30),
}
FILE = Path(__file__).parents[3] / "workbooks" / "img" / "10_warp.svg"


def drawing():
    """The whole picture, with its words to the right."""
    alt = html.escape(text("warp.alt"), quote=True)
    rings = "".join(
        f'<circle cx="{X}" cy="{Y}" r="{r}" fill="none" stroke="{RING}" opacity="0.7"/>' for r in range(12, LOG, 13)
    )
    pieces = "".join(_piece(letter, *box) for letter, box in PIECES.items())
    rows = "".join(
        f'<text x="368" y="{44 + 52 * row}" font-size="17" fill="{INK}"><tspan font-weight="bold">{letter}</tspan> '
        f'{html.escape(first)}<tspan x="386" dy="21">{html.escape(second)}</tspan></text>'
        for row, letter in enumerate(PIECES)
        for first, second in [text(f"warp.{letter}").split("\n")]
    )
    note = f'<text x="368" y="{HEIGHT - 40}" font-size="15" fill="{SOFT}">' + "".join(
        f'<tspan x="368" dy="{19 * (row > 0)}">{html.escape(words)}</tspan>'
        for row, words in enumerate(text("warp.note", times=TOO_STRONG, mc=MC_PCT).split("\n"))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}" '
        f'font-family="Helvetica, Arial, sans-serif" role="img" aria-label="{alt}">\n'
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>\n'
        f'<circle cx="{X}" cy="{Y}" r="{LOG}" fill="#f3e6cc" stroke="{EDGE}" stroke-width="5"/>\n'
        f"{rings}\n{pieces}\n{rows}\n{note}</text>\n</svg>\n"
    )


def dried(letter, times=TOO_STRONG):
    """Outline of a piece, green and dry, and its rings when dry; px from the pith, the middle where it was."""
    left, bottom, right, top = PIECES[letter]
    corners = [left + 1j * bottom, right + 1j * bottom, right + 1j * top, left + 1j * top]
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    green = np.concatenate([np.linspace(a, b, 15)[:-1] for a, b in sides])
    radial, tangential = _shrinkage(times)
    about = np.degrees(np.angle(green.mean()))

    def dry(points):
        if letter == "E":  # it holds the pith and cannot follow: it gets smaller, stays square, and splits
            return points * (1 - radial / 100)
        x, y = dried_place_m(points.real, points.imag, radial, tangential, about)
        return np.asarray(x) + 1j * np.asarray(y)

    off = green.mean() - dry(green).mean()
    around = np.exp(1j * np.linspace(-np.pi, np.pi, 721))
    rings = []
    for radius in range(12, LOG, 13):
        ring = radius * around
        within = (ring.real > left) & (ring.real < right) & (ring.imag > bottom) & (ring.imag < top)
        for run in np.split(np.arange(len(ring)), np.flatnonzero(np.diff(within)) + 1):
            if len(run) > 1 and within[run[0]]:
                rings.append(dry(ring[run[:: 4 if len(run) > 12 else 1]]) + off)
    return green, dry(green) + off, rings


def _shrinkage(times):
    """Radial and tangential shrinkage of red oak [%], so many times too strong."""
    oak = species("red oak")
    share = times * (1 - MC_PCT / oak.fsp_pct)
    return oak.radial_pct * share, oak.tangential_pct * share


def _piece(letter, left, bottom, right, top):
    green, dry, rings = dried(letter)
    parts = path(_shown(green), "#ffffff", SOFT, 1.5, True, DASHED) + path(_shown(dry), END, EDGE, 2)
    parts += "".join(line(_shown(ring), RING, 1) for ring in rings)
    if letter == "E":
        y = Y - dry.imag.max()
        parts += path([(X, Y), (X - 5, y), (X + 5, y)], CRACK, CRACK, 1)
    x, y = X + 0.5 * (left + right), Y - 0.5 * (bottom + top) + (20 if letter == "E" else 6)
    return parts + (
        f'<text x="{x:.0f}" y="{y:.0f}" font-size="18" font-weight="bold" text-anchor="middle" fill="{INK}" '
        f'stroke="{END}" stroke-width="4" paint-order="stroke">{letter}</text>'
    )


def _shown(points):
    return [(X + z.real, Y - z.imag) for z in points]


if __name__ == "__main__":
    FILE.write_text(drawing(), encoding="utf-8")
