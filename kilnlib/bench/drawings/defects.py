"""A small picture of each defect as hand-made SVG: a board in perspective, what it does when cut, or its end.

`drawing(key, alt)` needs the key of a row of tables/defects.csv; a row without a picture of its own gets a plain board.
"""

import functools
import html

import numpy as np

from kilnlib.bench.drawings import defect_sections as ends
from kilnlib.bench.drawings.sketch import (
    CRACK,
    DASHED,
    EDGE,
    END,
    FACE,
    FRONT,
    RING,
    arrow,
    drop,
    lens,
    line,
    path,
    written,
)
from kilnlib.bench.kit.colors import RUST, SOFT, STEEL

WIDTH, HEIGHT = 210, 150
KNOT, STREAK, FUZZ, INKY = "#8a5a33", "#3d3a46", "#4c5f42", "#27304d"


def drawing(key, alt, width_px=WIDTH):
    """The picture of a defect as one `<svg role="img">` with its text alternative."""
    return (
        f'<svg role="img" aria-label="{html.escape(alt, quote=True)}" viewBox="0 0 {WIDTH} {HEIGHT}" '
        f'width="{width_px}" height="{width_px * HEIGHT / WIDTH:.0f}" '
        f"font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\">"
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>{DRAWN.get(key, _plank)()}</svg>'
    )


def _on_face(along, across):
    """A place on the wide face; both from 0 to 1."""
    return 10 + 132 * along + 58 * across, 100 - 50 * across


def _on_end(across, down):
    """A place on the end."""
    return 142 + 58 * across, 100 - 50 * across + 22 * down


def _plank():
    """A flatsawn board in perspective, bark side up."""
    corners = [_on_face(0, 0), _on_face(1, 0), _on_face(1, 1), _on_face(0, 1)]
    front = [_on_face(0, 0), _on_face(1, 0), _on_end(0, 1), (10, 122)]
    butt = [_on_end(0, 0), _on_end(1, 0), _on_end(1, 1), _on_end(0, 1)]
    grain = "".join(line([_on_face(0.02, v), _on_face(0.98, v)], RING, 0.7, ' opacity="0.6"') for v in (0.2, 0.45, 0.7))
    across, rings = np.linspace(0, 1, 15), ""
    for middle in (-0.15, 0.15, 0.45, 0.75):
        down = middle + 1.6 * (across - 0.5) ** 2
        rings += line([_on_end(a, d) for a, d in zip(across, down, strict=True) if 0 < d < 1], RING, 1)
    return path(corners, FACE) + grain + path(front, FRONT) + path(butt, END) + rings


def _oval(along, across, wide, fill, edge=EDGE):
    x, y = _on_face(along, across)
    return f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{wide}" ry="{0.6 * wide:.1f}" fill="{fill}" stroke="{edge}"/>'


def _face_checks():
    at = ((0.1, 0.2), (0.3, 0.6), (0.42, 0.3), (0.6, 0.75), (0.68, 0.45), (0.2, 0.85), (0.78, 0.15))
    return _plank() + "".join(lens(_on_face(u, v), _on_face(u + 0.17, v + 0.01), 3) for u, v in at)


def _end_checks():
    cracks = ((0.2, 0.35), (0.45, 0.5), (0.7, 0.3))
    end = "".join(lens(_on_end(a, 0.02), _on_end(a + 0.04, 0.75), 4) for a, _ in cracks)
    return _plank() + end + "".join(lens(_on_face(1 - long, a), _on_face(1, a), 5) for a, long in cracks)


def _knots():
    """One cracked like a star, one loose in its hole."""
    x, y = _on_face(0.35, 0.5)
    star = "".join(lens((x - a, y - b), (x + a, y + b), 3.5) for a, b in ((18, 2), (7, 11), (10, -9)))
    return _plank() + _oval(0.35, 0.5, 21, KNOT) + star + _oval(0.72, 0.55, 21, CRACK) + _oval(0.73, 0.52, 15, KNOT)


def _sticker_stain():
    bands = ""
    for u in (0.12, 0.45, 0.78):
        corners = [_on_face(u, 0), _on_face(u + 0.09, 0), _on_face(u + 0.09, 1), _on_face(u, 1)]
        bands += path(corners, "#9c8b78", "none", 0)
    return _plank() + bands


def _streaks():
    """Long thin dark lines, side by side along the grain."""
    at = (
        (0.04, 0.3, 0.55),
        (0.1, 0.36, 0.6),
        (0.2, 0.42, 0.35),
        (0.4, 0.66, 0.5),
        (0.34, 0.72, 0.62),
        (0.5, 0.78, 0.3),
    )
    return _plank() + "".join(lens(_on_face(u, v), _on_face(u + long, v), 3.2, STREAK) for u, v, long in at)


def _mold():
    """A few patches with short fine hairs on them."""
    shuffled, fuzz = np.random.default_rng(3), ""
    for middle, wide in (((0.2, 0.35), 17), ((0.55, 0.68), 22), ((0.74, 0.25), 15)):
        x, y = _on_face(*middle)
        fuzz += f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{wide}" ry="{0.55 * wide:.1f}" fill="{FUZZ}" opacity="0.4"/>'
        for turn, out in zip(np.linspace(0, 2 * np.pi, 48), shuffled.uniform(0.3, 1.0, 48), strict=True):
            u, v = x + wide * out * np.cos(turn), y + 0.55 * wide * out * np.sin(turn)
            fuzz += line([(u, v), (u + 2 * np.cos(turn), v - 3)], FUZZ, 0.8)
    return _plank() + fuzz


def _iron():
    """A rusty drip from a steel part above, and the ink it makes."""
    x, y = _on_face(0.3, 0.5)
    marks = "".join(_oval(*at, INKY, INKY) for at in ((0.3, 0.5, 15), (0.62, 0.4, 10), (0.5, 0.75, 7)))
    steel = path([(x - 6, 8), (x + 6, 8), (x + 6, y - 24), (x - 6, y - 24)], STEEL)
    return _plank() + marks + steel + drop(x, y - 7, RUST)


def _pitch():
    drops = "".join(drop(*_on_face(*at), "#e9a522", 7) for at in ((0.32, 0.45), (0.45, 0.5), (0.42, 0.25), (0.4, 0.04)))
    return _plank() + _oval(0.4, 0.55, 22, KNOT) + drops


def _rip_bends():
    """From above: a long board, ripped; its halves lie apart and both curve, each the other's mirror image."""
    x = np.linspace(8, 202, 30)
    bend = 20 * ((x - 105) / 97) ** 2
    halves = path([(8, 60), (202, 60), (202, 100), (8, 100)], "none", SOFT, 1.2, True, DASHED)
    halves += line([(8, 80), (202, 80)], SOFT, 1.2, DASHED)
    for side in (-1, 1):
        near_edge = [(a, 80 + side * (5 + b)) for a, b in zip(x, bend, strict=True)]
        far_edge = [(a, b + side * 19) for a, b in near_edge]
        grain = [line([(a, b + side * off) for a, b in near_edge], RING, 0.8) for off in (6, 12)]
        halves += path(near_edge + far_edge[::-1], FACE) + "".join(grain)
    ends = arrow(20, 76, 20, 57) + arrow(20, 84, 20, 103) + arrow(190, 76, 190, 57) + arrow(190, 84, 190, 103)
    return written("seen from above", 105, 20) + halves + ends


def _curved(rise, thick, fill, low, seen):
    """A board bent along its length, over the straight line it left, and from where it is seen."""
    x = np.linspace(14, 196, 25)
    up = rise * (1 - ((x - 105) / 91) ** 2)
    lines = [list(zip(x, low - share * thick - up, strict=True)) for share in (1, 0.67, 0.33, 0)]
    grain = "".join(line(one, RING, 0.8) for one in lines[1:3]) if thick > 20 else ""
    floor = line([(10, low + 3), (200, low + 3)], SOFT, 1.5, DASHED)
    board = path(lines[0] + lines[-1][::-1], fill) + grain
    return board + floor + arrow(105, low + 2, 105, low + 2 - rise) + written(seen, 105, low + 26)


def _twist():
    flat = [_on_face(0, 0), _on_face(1, 0), _on_face(1, 1), _on_face(0, 1)]
    top = [flat[0], (flat[1][0], flat[1][1] - 42), *flat[2:]]
    lower = [(x, y + 16) for x, y in top]
    floor = path([(x, y + 16) for x, y in flat], "none", SOFT, 1.2, True, DASHED)
    sides = path([top[0], top[1], lower[1], lower[0]], FRONT) + path([top[1], top[2], lower[2], lower[1]], END)
    x, y = flat[1]
    return floor + path(top, FACE) + sides + arrow(x, y + 14, x, y - 22)


DRAWN = {
    "surface_checks": _face_checks,
    "end_checks": _end_checks,
    "honeycomb": ends.honeycomb,
    "collapse": ends.collapse,
    "ring_failure": ends.ring_failure,
    "casehardening": functools.partial(ends.prongs, 17),
    "reverse_casehardening": functools.partial(ends.prongs, -17),
    "lengthwise_stress": _rip_bends,
    "cup": ends.cup,
    "bow": functools.partial(_curved, 26, 9, FRONT, 88, "seen from the edge"),
    "crook": functools.partial(_curved, 15, 40, FACE, 104, "seen from above"),
    "twist": _twist,
    "diamond": ends.diamond,
    "boxheart_split": ends.boxheart,
    "knots": _knots,
    "roller_split": ends.roller_split,
    "sticker_stain": _sticker_stain,
    "gray_stain": ends.gray,
    "brown_stain": ends.brown_zone,
    "mineral_streak": _streaks,
    "blue_stain": ends.blue,
    "mold": _mold,
    "iron_stain": _iron,
    "pitch": _pitch,
    "uneven_mc": ends.uneven,
    "overdrying": ends.overdry,
}
