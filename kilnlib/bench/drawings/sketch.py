"""Strokes of the hand-made SVG drawings of wood: lines, cracks, arrows, drops, and their colors."""

import html
import textwrap

import numpy as np

from kilnlib.bench.kit.colors import INK, RUST

FACE, FRONT, END, EDGE, RING, CRACK = "#edd9b5", "#e0c08d", "#d5ad70", "#6b4a1f", "#a97c42", "#2e1606"
LETTER = 0.58  # width of a letter, in heights of the type
DASHED = ' stroke-dasharray="5 4"'


def path(points, fill="none", stroke=EDGE, width=1.5, closed=True, more=""):
    """A line through places, closed to an area unless told not to."""
    places = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    end = "Z" if closed else ""
    return f'<path d="M{places}{end}" fill="{fill}" stroke="{stroke}" stroke-width="{width}"{more}/>'


def line(points, stroke=CRACK, width=2.0, more=""):
    """An open line with round ends."""
    return path(points, "none", stroke, width, False, f' stroke-linecap="round"{more}')


def lens(start, end, thick, fill=CRACK):
    """A crack: pointed at both ends, widest in the middle."""
    (x, y), (u, v) = start, end
    long = np.hypot(u - x, v - y)
    across, down = -(v - y) / long * thick, (u - x) / long * thick
    middle = 0.5 * (x + u), 0.5 * (y + v)
    return (
        f'<path d="M{x:.1f} {y:.1f}Q{middle[0] + across:.1f} {middle[1] + down:.1f} {u:.1f} {v:.1f}'
        f'Q{middle[0] - across:.1f} {middle[1] - down:.1f} {x:.1f} {y:.1f}Z" fill="{fill}"/>'
    )


def arrow(x, y, u, v, color=RUST):
    """A line from the first place to the second, with a head there."""
    long = np.hypot(u - x, v - y)
    along, up = (u - x) / long, (v - y) / long
    head = [(u, v), (u - 8 * along - 5 * up, v - 8 * up + 5 * along), (u - 8 * along + 5 * up, v - 8 * up - 5 * along)]
    return line([(x, y), (u - 5 * along, v - 5 * up)], color, 2.5) + path(head, color, color, 0.5)


def written(words, x, y, color=INK, size=16):
    """Words, centered on a place."""
    return f'<text x="{x}" y="{y}" font-size="{size}" text-anchor="middle" fill="{color}">{html.escape(words)}</text>'


def lettering(words, x, y, color=INK, anchor="start", size=15, weight="normal"):
    """Words that begin at a place, end there or have their middle there."""
    place = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" font-weight="{weight}" fill="{color}"'
    return f"<text {place}>{html.escape(words)}</text>"


def fitted(words, x, y, width, write, size=16, up=False):
    """Words in lines of at most `width` px, one below the other, or one above the other from the last.

    `write(line, x, y)` writes one.
    """
    lines = textwrap.wrap(words, max(int(width / (LETTER * size)), 1)) or [""]
    first = y - up * (len(lines) - 1) * 1.1 * size
    return "".join(write(line, x, round(first + number * 1.1 * size, 1)) for number, line in enumerate(lines))


def drop(x, y, color, size=6):
    """A drop of something, its round end down."""
    return (
        f'<path d="M{x:.1f} {y - 1.6 * size:.1f}Q{x + size} {y - 0.3 * size:.1f} {x + 0.8 * size:.1f} {y:.1f}'
        f"A{0.8 * size:.1f} {0.8 * size:.1f} 0 1 1 {x - 0.8 * size:.1f} {y:.1f}"
        f'Q{x - size} {y - 0.3 * size:.1f} {x:.1f} {y - 1.6 * size:.1f}Z" fill="{color}" stroke="{EDGE}"/>'
    )


def picture(parts, finding, width, height):
    """A drawing that stands alone as one `<svg role="img">`; `finding` says what it shows."""
    return (
        f'<svg role="img" aria-label="{html.escape(finding, quote=True)}" '
        f'width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
        f'style="background:white;font-family:sans-serif;max-width:100%;height:auto">{"".join(parts)}</svg>'
    )


def frame(width, height, parts):
    """A drawing that stands beside a chart, which carries its words for those who cannot see it."""
    return (
        f'<svg aria-hidden="true" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f"font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\">{''.join(parts)}</svg>"
    )
