"""Pictures of defects that show on the end of a board: cracks, stains and shrinkage there, and prongs."""

import functools

import numpy as np

from kilnlib.bench.drawings.sketch import CRACK, DASHED, EDGE, END, FACE, RING, arrow, lens, line, path, written
from kilnlib.bench.kit.colors import DARK_WOOD, INK, PALE_STEEL, SOFT
from kilnlib.physics.wood import dried_place_m, species

GRAY, BROWN, SKYBLUE = "#8f8a86", "#6f4322", "#6c86a3"
TOO_STRONG = 4  # times


def honeycomb():
    """Lens-shaped holes that reach neither face."""
    holes = ((42, 77, 11), (68, 79, 16), (96, 76, 18), (124, 78, 17), (150, 77, 14), (171, 79, 9))
    return section() + "".join(lens((x, y - long), (x + 3, y + long), 8) for x, y, long in holes)


def collapse():
    """Grooves on both faces, inside the outline of the sound board."""
    x = np.linspace(20, 190, 60)
    wave = 5 * np.sin((x - 20) / 170 * 8 * np.pi)
    ghost = path([(20, 50), (190, 50), (190, 106), (20, 106)], "none", SOFT, 1.2, True, DASHED)
    top, low = (list(zip(x, y, strict=True)) for y in (62 - wave, 94 + wave))
    between = [
        [(a, b + share * (d - b)) for (a, b), (_, d) in zip(top, low, strict=True)] for share in (0.25, 0.5, 0.75)
    ]
    return ghost + path(top + low[::-1], END) + "".join(line(one, RING, 1) for one in between)


def ring_failure():
    """A gap along one ring."""
    x = np.linspace(28, 182, 30)
    bow = ((x - 105) / 77) ** 2
    top, low = (list(zip(x, 62 + 26 * bow + side * 3.5 * (1 - bow), strict=True)) for side in (-1, 1))
    return section() + path(top + low[::-1], CRACK, CRACK, 0.5)


def boxheart():
    """A square with the pith inside, split from there to a face."""
    x, y, half = 105, 76, 56
    corners = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    rings = "".join(f'<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{RING}"/>' for r in range(8, half, 9))
    return path(corners, END) + rings + path([(x, y + 2), (x - 7, y - half), (x + 7, y - half)], CRACK, CRACK, 1)


def cup():
    """Flatsawn, bark up: hollow on the bark side."""
    return section(times=TOO_STRONG)


def diamond():
    """A square whose rings run from corner to corner."""
    return section(100, 100, 40, 75, times=TOO_STRONG, turned=np.pi / 4)


def roller_split():
    """A cupped board under a roller that presses it flat, split up from the middle of its belly."""
    roller = (
        f'<rect x="10" y="14" width="190" height="34" rx="6" fill="{PALE_STEEL}" stroke="{INK}" stroke-width="1.5"/>'
    )
    push = arrow(40, 20, 40, 52) + arrow(170, 20, 170, 52)
    return section(middle=88, times=TOO_STRONG, ghost=False) + roller + push + lens((105, 118), (105, 76), 9)


def gray():
    """Gray inside, a clean skin around it."""
    return section(fill="#f1e3c8") + _tinted(GRAY, 34, 64, 176, 92)


def brown_zone():
    """A brown layer close under both faces."""
    return section(fill="#f4e6c8") + _tinted(BROWN, 22, 60, 188, 68) + _tinted(BROWN, 22, 88, 188, 96)


def blue():
    """Blue-gray wedges going deep."""
    wedges = (
        [(22, 55), (80, 55), (60, 100), (40, 90)],
        [(188, 55), (128, 55), (150, 101), (170, 92)],
        [(85, 55), (122, 55), (104, 82)],
    )
    return section(fill="#f1e3c8") + "".join(path(one, SKYBLUE, "none", 0, True, ' opacity="0.85"') for one in wedges)


def uneven():
    """Three boards of one charge, their moisture written on them."""
    boards = []
    for row, (mc, shade) in enumerate((("6 %", FACE), ("14 %", DARK_WOOD), ("8 %", END))):
        y = 12 + 44 * row
        boards.append(path([(20, y), (190, y), (190, y + 34), (20, y + 34)], shade) + written(mc, 105, y + 23))
    return "".join(boards)


def overdry():
    """Too small and too dry, the planed face torn."""
    target = path([(14, 46), (196, 46), (196, 104), (14, 104)], "none", SOFT, 1.5, True, DASHED)
    board = path([(28, 54), (182, 54), (182, 98), (28, 98)], END)
    torn = "".join(
        path([(x, 53), (x + 5, 61), (x + 9, 58), (x + 14, 64), (x + 20, 53)], "#ffffff", EDGE, 1.2)
        for x in (46, 92, 138)
    )
    arrows = arrow(4, 76, 26, 76) + arrow(206, 76, 184, 76)
    return target + board + torn + written("3 %", 105, 84) + arrows


def prongs(bend):
    """A piece with its middle sawn out; the tips move by `bend` px toward each other, apart if below 0."""
    x = np.linspace(60, 194, 25)
    way = bend * ((x - 60) / 134) ** 2
    body = path([(16, 31), (60, 31), (60, 119), (16, 119)], END, END)
    outline = path([(60, 31), (16, 31), (16, 119), (60, 119)], "none", EDGE, 1.5, False)
    inner = line([(60, 57), (60, 93)], EDGE, 1.5)
    arms = ""
    for side, middle in ((1, 44), (-1, 106)):
        straight = [(60, middle - 13), (196, middle - 13), (196, middle + 13), (60, middle + 13)]
        edges = [list(zip(x, middle + side * way + off, strict=True)) for off in (-13, 13)]
        arms += path(straight, "none", SOFT, 1.2, True, DASHED) + path(edges[0] + edges[1][::-1], END)
        if bend:
            start = middle - side * 22 if bend > 0 else middle + side * 22
            arms += arrow(150, start, 150, start + (14 if bend > 0 else -14) * side)
    return arms + body + outline + inner


@functools.cache
def _shrinkage(times):
    """Radial and tangential shrinkage of red oak at 7 % [%], so many times too strong."""
    oak = species("red oak")
    share = times * (1 - 7 / oak.fsp_pct)
    return oak.radial_pct * share, oak.tangential_pct * share


def section(wide=170, high=48, pith=50, middle=78, times=0, turned=0.0, fill=END, ghost=True):
    """End of a board whose pith lies `pith` px below its lower face, with its green outline if it has dried (`ghost`).

    `times` shrinkage, `turned` by an angle in the log [rad] but drawn upright, its middle `middle` px from the top.
    """
    half, up = 0.5 * wide, pith + 0.5 * high
    turn = np.exp(1j * turned)

    def placed(green, times):
        """Points of the upright green board, from its middle, on the screen."""
        inside = green * turn + 1j * up
        x, y = dried_place_m(inside.real, inside.imag, *_shrinkage(times))
        back = (x + 1j * y - 1j * up) / turn
        return back

    side = np.linspace(-1, 1, 25)
    edge = np.concatenate([half * side - 0.5j * high, half * side[::-1] + 0.5j * high])
    off = np.mean(placed(edge, times))

    def shown(points):
        return [(105 + z.real, middle - z.imag) for z in points]

    parts = [path(shown(placed(edge, times) - off), fill)]
    angle = np.linspace(0.02, np.pi - 0.02, 120)
    for radius in np.arange(12, pith + high + half, 13):
        ring = (radius * np.exp(1j * angle) - 1j * up) / turn
        within = (np.abs(ring.real) < half - 1) & (np.abs(ring.imag) < 0.5 * high - 1)
        for run in np.split(np.arange(len(ring)), np.flatnonzero(np.diff(within)) + 1):
            if len(run) > 1 and within[run[0]]:
                parts.append(line(shown(placed(ring[run], times) - off), RING, 1.1))
    if times and ghost:
        parts.append(path(shown(edge), "none", SOFT, 1.2, True, DASHED))
    return "".join(parts)


def _tinted(color, left, top, right, bottom):
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return path(corners, color, "none", 0, True, ' opacity="0.75"')
