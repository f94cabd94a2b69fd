"""Two thermometers on one scale, the second in its wet wick, and beside them the number that they mean."""

import functools
import html

from kilnlib.bench.drawings.sketch import fitted
from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, INK, RUST, SOFT
from kilnlib.units import f_to_c

WIDTH, HEIGHT = 640, 400
LOW_C, PX_C, FOOT = f_to_c(46.0), 3.9, 326.0  # the scale: its lowest temperature, px for a degree, where it begins
DRY_X, WET_X, SCALE_X = 70, 262, 166
TUBE, BULB = 18, 19
NUMBER_X, NUMBER_WIDTH = 475, 320
TICKS = {"°F": range(60, 161, 20), "°C": range(10, 71, 10)}


def y(temperature_c):
    """Height of a temperature on the scale."""
    return FOOT - PX_C * (temperature_c - LOW_C)


def drawing(result, labels, alt, unit, before=None):
    """The picture of a result as one `<svg role="img">`; `before` leaves dashed marks where the bulbs stood."""
    state = result.state
    wick = f'<path d="M{WET_X - 15} {FOOT - 28}h30v14q9 8 9 24q0 24 -24 26q-24 -2 -24 -26q0 -16 9 -24z" fill="#cfe0ee"'
    parts = [
        *_scale(unit),
        *_thermometer(DRY_X, state.dry_bulb_c, RUST, "dry"),
        *_thermometer(WET_X, state.wet_bulb_c, BLUE, "wet"),
        f'{wick} stroke="#1f4a73" stroke-width="1.5"/>',
        *(_before(before.state) if before else ()),
        *(_words(labels[key], x, 20) for key, x in (("dry", DRY_X), ("wet", WET_X))),
        _words(labels["dry_reads"], DRY_X, 42, RUST, bold=True),
        _words(labels["wet_reads"], WET_X, 42, BLUE, bold=True),
        _words(labels["wick"], WET_X, FOOT + 54, "#1f4a73"),
        fitted(labels["number"], NUMBER_X, 110, NUMBER_WIDTH, functools.partial(_words, color=SOFT, size=20), 20, True),
        _words(labels["rh"], NUMBER_X, 196, INK, 84, True, ' data-part="rh"'),
    ]
    for key, height in (("meaning", 240), ("apart", 300)):
        parts.append(fitted(labels[key], NUMBER_X, height, NUMBER_WIDTH, functools.partial(_words, size=18), 18))
    return (
        f'<svg role="img" aria-label="{html.escape(alt, quote=True)}" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" '
        f'height="{HEIGHT}" style="max-width:100%;height:auto" '
        f"font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\">{''.join(parts)}</svg>"
    )


def _scale(unit):
    """Numbers between the thermometers, with a thin line to both."""
    for tick in TICKS[unit.label]:
        level = y(unit.to_si(tick))
        for start, end in ((DRY_X + TUBE / 2 + 4, SCALE_X - 26), (SCALE_X + 26, WET_X - TUBE / 2 - 4)):
            yield f'<path d="M{start} {level:.1f}H{end}" stroke="{FAINT}"/>'
        yield _words(f"{tick}", SCALE_X, level + 6, SOFT)


def _thermometer(x, temperature_c, color, name):
    """A tube with its column as high as the temperature."""
    top, level = y(f_to_c(164.0)), y(temperature_c)
    yield (
        f'<rect x="{x - TUBE / 2}" y="{top:.1f}" width="{TUBE}" height="{FOOT - top:.1f}" rx="{TUBE / 2}" '
        f'fill="#f4f4f4" stroke="#444444" stroke-width="2"/>'
    )
    yield (
        f'<rect data-part="{name}" x="{x - 5}" y="{level:.2f}" width="10" height="{FOOT - level:.2f}" fill="{color}"/>'
        f'<circle cx="{x}" cy="{FOOT + 10}" r="{BULB}" fill="{color}" stroke="#444444" stroke-width="2"/>'
    )


def _before(state):
    """Dashed marks where the columns stood."""
    for at, temperature_c in ((DRY_X, state.dry_bulb_c), (WET_X, state.wet_bulb_c)):
        dashed = f'stroke="{GHOST}" stroke-width="2.5" stroke-dasharray="5 4"'
        yield f'<path d="M{at - 20} {y(temperature_c):.1f}h40" {dashed}/>'


def _words(words, x, y, color=INK, size=16, bold=False, more=""):
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x}" y="{y:.1f}" font-size="{size}" text-anchor="middle" fill="{color}"{weight}{more}>'
        f"{html.escape(words)}</text>"
    )
