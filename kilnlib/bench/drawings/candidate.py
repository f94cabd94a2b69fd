"""A board as it lies before whoever chooses sample boards: its face and its near end, small, with all that can be seen.

Paler wood is sapwood, dark specks along an edge are bark, drops are water on it. Length and thickness are to scale
between the boards, each on a scale of its own, and so is width.
"""

from kilnlib.bench.drawings.sketch import EDGE, drop, frame, line, path
from kilnlib.bench.kit.colors import BLUE

WIDTH, HEIGHT = 150, 50
LEFT, MIDDLE = 22.0, 24.0  # where the face begins, and the height of its middle
FOOT_PX, WIDE_PX, THICK_PX = 14.0, 4.0, 7.0  # px for a foot of length, an inch of width, an inch of thickness
HEART, SAP, DRY, BARK, KNOT = "#d9ad77", "#f3e3c3", "#cfc4b2", "#4a3420", "#6b3f1d"


def drawing(looks):
    """The picture of a board; `looks` is the `Looks` of a candidate. Its words stand beside it."""
    long, wide, thick = looks.length_ft * FOOT_PX, looks.width_in * WIDE_PX, looks.thickness_in * THICK_PX
    top, right = MIDDLE - wide / 2, LEFT + long
    heart = HEART if looks.water else DRY
    parts = [
        _box("face", LEFT, top, long, wide, heart),
        _box("sap", LEFT, top, long, wide * looks.sap_share, SAP) if looks.sap_share else "",
        *(_rays(top, long, wide) if looks.quartersawn else _arches(top, long, wide)),
        *(_knots(long) if looks.knots else ()),
        *(_bark(top, long) if looks.bark else ()),
        _box("outline", LEFT, top, long, wide, "none", f' stroke="{EDGE}" stroke-width="1.5"'),
        _box("end", LEFT - 4 - thick, top, thick, wide, heart, f' stroke="{EDGE}" stroke-width="1.5"'),
        *(
            f'<g data-part="drop">{drop(right - 12 - 16 * number, HEIGHT - 3, BLUE, 4)}</g>'
            for number in range(looks.drops)
        ),
    ]
    return frame(WIDTH, HEIGHT, parts)


def _box(part, x, y, wide, high, fill, more=""):
    place = f'x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}"'
    return f'<rect data-part="{part}" {place} fill="{fill}"{more}/>'


def _arches(top, long, wide):
    """Growth rings on a flatsawn face: arches, one in the other."""
    middle = top + wide / 2
    for share in (0.35, 0.6, 0.85):
        tip, apart = LEFT + long * share, wide * 0.4 * share
        arch = (
            f"M{LEFT} {middle - apart:.1f}Q{tip:.1f} {middle - 2:.1f} {tip:.1f} {middle:.1f}"
            f"Q{tip:.1f} {middle + 2:.1f} {LEFT} {middle + apart:.1f}"
        )
        yield f'<path data-part="arch" d="{arch}" fill="none" stroke="#a97c42"/>'


def _rays(top, long, wide):
    """A quartersawn face: straight rings, and ray flecks across them."""
    for share in (0.2, 0.4, 0.6, 0.8):
        y = top + wide * share
        yield f'<path data-part="ring" d="M{LEFT} {y:.1f}h{long:.1f}" stroke="#a97c42" stroke-width="0.7"/>'
    for number in range(int(long // 14)):
        x, y = LEFT + 7 + 14 * number, top + wide * (0.25 + 0.5 * (number % 2))
        yield line([(x, y + 4), (x + 5, y - 4)], "#f7ead0", 2.5, ' data-part="ray"')


def _knots(long):
    for number in range(int(long / FOOT_PX)):
        x, y = LEFT + FOOT_PX * (number + 0.5), MIDDLE + 4 * (-1) ** number
        yield f'<ellipse data-part="knot" cx="{x:.1f}" cy="{y}" rx="3.5" ry="2.6" fill="{KNOT}"/>'


def _bark(top, long):
    edge = [(LEFT + long * at / 12, top + (4 if at % 2 else 2.5)) for at in range(13)]
    yield path([(LEFT, top), *edge, (LEFT + long, top)], BARK, BARK, 0.5, True, ' data-part="bark"')
