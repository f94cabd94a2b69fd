"""Plain text for cells whose print is compared: columns of words and numbers, and lines that hang under a mark."""

import textwrap
from collections.abc import Collection, Sequence
from typing import Any

WIDTH = 100
GAP = "  "


def columns(cells: Sequence[Sequence[str]], left: Collection[int], widest_first: int = WIDTH) -> list[str]:
    """Lines of equal columns under a ruled head: those in `left` begin at the left, the others end at the right.

    A first cell longer than `widest_first`, or than the page leaves it, goes on in the next line.
    """
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    widths[0] = min(widths[0], widest_first, WIDTH - sum(widths[1:]) - len(GAP) * (len(widths) - 1))
    lines = []
    for first, *rest in cells:
        begun, *more = textwrap.wrap(first, widths[0]) or [""]
        placed = [
            cell.ljust(width) if at in left else cell.rjust(width)
            for at, (cell, width) in enumerate(zip((begun, *rest), widths, strict=True))
        ]
        lines += [GAP.join(placed).rstrip(), *more]
    return [lines[0], "-" * max(map(len, lines)), *lines[1:]]


def hanging(mark: str, words: str, indent: int | None = None, **how: Any) -> list[str]:
    """Lines of at most WIDTH columns that begin with a mark; the further ones stand under its end, or `indent` in."""
    further = " " * (len(mark) if indent is None else indent)
    return textwrap.wrap(words, WIDTH, initial_indent=mark, subsequent_indent=further, **how)
