"""The loop of a kiln with a cold coil as hand-made SVG: each flow of heat as wide as its kilowatts, water as drops.

`drawing(result, labels)` needs a Result of `cases.machine` and the words to write.
"""

import html

from kilnlib.bench.drawings.sketch import fitted
from kilnlib.bench.kit.colors import DARK_WOOD, INK, PALE_GRAY, PALE_STEEL, RUST, SOFT, STEEL
from kilnlib.units import DAY_S

WIDTH, HEIGHT = 640, 400
KW_PX, LEAST_PX = 4.0, 1.5
ICE, WATER = "#bfe0f2", "#2f7fc1"
WARM, COOL, POWER = "#d9825b", "#6fa3d4", "#caa531"


def drawing(result, labels, alt="", title=""):
    """The drawing as one `<svg role="img">`; `labels` name the flows and hold their numbers."""
    flows, running = result.steady.flows, result.steady.running
    iced = result.kiln.fault == "iced"
    parts = [
        _box(40, 62, 380, 270, "#fbf7ef", STEEL, 6),
        _stack(),
        _box(454, 96, 150, 216, PALE_GRAY, SOFT, 2),
        _box(466, 196, 126, 40, ICE if iced else COOL, INK, 1),
        _box(466, 108, 126, 40, WARM, INK, 1),
        _flow([(300, 216), (466, 216)], flows.coil_sensible_w + flows.coil_latent_w, COOL),
        _flow([(466, 128), (300, 128)], flows.condenser_w, WARM),
        _flow([(529, 196), (529, 148)], flows.coil_sensible_w + flows.coil_latent_w, COOL),
        _flow([(632, 172), (604, 172)], flows.compressor_w, POWER),
        _flow([(100, 372), (100, 332)], flows.strips_w, POWER),
        _flow([(230, 372), (230, 332)], flows.fans_w, POWER),
        _flow([(40, 200), (8, 200)], flows.walls_w + flows.leak_w, WARM),
        _flow([(130, 62), (130, 22)], flows.vent_w, WARM),
        _bucket(flows.drained_kgs),
        _write(labels["coil"], 529, 221),
        _write(labels["condenser"], 529, 133),
        _write(labels["compressor"], 604, 88, anchor="end"),
        _write(labels["kiln"], 56, 90, size=17, anchor="start"),
        _write(labels["air"], 56, 114, anchor="start"),
        _write(labels.get("before", ""), 56, 318, SOFT, anchor="start"),
        _write(labels["strips"], 20, 390, anchor="start"),
        _write(labels["fans"], 196, 390, anchor="start"),
        _write(labels["walls"], 46, 176, anchor="start"),
        _write(labels["vent"], 146, 40, anchor="start"),
        _write(labels["taken"], 383, 250),
        _write(labels["given"], 383, 164),
        _write(labels["bucket"], 632, 391, anchor="end"),
    ]
    if running.compressor <= 0.0:
        parts.append(_write(labels["rests"], 604, 64, RUST, anchor="end"))
    name = html.escape(alt, quote=True)
    head = f'<svg role="img" aria-label="{name}" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}"'
    return f"{head}><title>{html.escape(title)}</title>{''.join(parts)}</svg>"


def _box(x, y, width, height, fill, stroke, line):
    place = f'x="{x}" y="{y}" width="{width}" height="{height}"'
    return f'<rect {place} fill="{fill}" stroke="{stroke}" stroke-width="{line}"/>'


def _stack():
    boards = "".join(_box(110, 210 + 16 * row, 180, 9, DARK_WOOD, "#8a6a3a", 0.8) for row in range(6))
    return boards


def _flow(places, heat_w, color):
    """An arrow as wide as its kilowatts; nothing where nothing flows."""
    if heat_w <= 1.0:
        return ""
    width = max(KW_PX * heat_w / 1e3, LEAST_PX)
    (x, y), (u, v) = places
    long = max(abs(u - x), abs(v - y))
    along, up = (u - x) / long, (v - y) / long
    head = 0.5 * width + 5
    neck_x, neck_y = u - 10 * along, v - 10 * up
    tip = f"{u},{v} {neck_x - head * up},{neck_y - head * along} {neck_x + head * up},{neck_y + head * along}"
    line = f'<line x1="{x}" y1="{y}" x2="{neck_x}" y2="{neck_y}" stroke="{color}" stroke-width="{width:.1f}"/>'
    return f'{line}<polygon points="{tip}" fill="{color}"/>'


def _bucket(water_kgs):
    """The bucket under the coil, as full as the day's water, and the pipe to it."""
    pipe = f'<line x1="500" y1="236" x2="500" y2="330" stroke="{WATER if water_kgs > 0 else PALE_STEEL}"'
    pipe += ' stroke-width="4"/>'
    level = min(water_kgs * DAY_S / 230.0, 1.0) * 36 if water_kgs > 0 else 0.0
    full = _box(482, 370 - level, 36, level, WATER, WATER, 0) if level else ""
    return pipe + full + f'<path d="M480 332V371H520V332" fill="none" stroke="{INK}" stroke-width="2"/>'


def _write(words, x, y, color=INK, size=16, anchor="middle"):
    """Words, in lines that the picture has room for."""
    if not words:
        return ""
    place = f'font-size="{size}" text-anchor="{anchor}" fill="{color}"'
    room = {"start": WIDTH - x, "end": x}.get(anchor, 2 * min(x, WIDTH - x))
    written = lambda line, x, y: f'<text x="{x}" y="{y}" {place}>{html.escape(line)}</text>'  # noqa: E731
    return fitted(words, x, y, room, written, size, up=y > HEIGHT - 2 * size)
