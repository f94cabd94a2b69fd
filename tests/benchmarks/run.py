"""Our speed beside named peers, in one run: python tests/benchmarks/run.py [numbers | boards | browser]

Reads nothing and writes nothing but its table. README.md beside this file says how to read it.
"""

import sys
from pathlib import Path

import numbers_rows

sys.path.append(str(Path(__file__).parents[1]))  # for `starting`, which the tests use too

HEAD = ("what", "ours", "peer", "times faster", "budget", "")


def table(rows):
    """Rows of text under the head, in columns."""
    cells = [HEAD, *rows]
    widths = [max(len(row[i]) for row in cells) for i in range(len(HEAD))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in cells]
    return "\n".join([lines[0], "-" * max(map(len, lines)), *lines[1:]])


def main(wanted):
    """Run the wanted parts and print one table; the exit code says whether every budget is met."""
    rows, remarks = [], []
    if wanted in ("all", "numbers"):
        numbers_rows.run(rows, remarks)
    if wanted in ("all", "boards"):
        import board

        board.run(rows, remarks)
    if wanted in ("all", "browser"):
        import browser_rows

        browser_rows.run(rows, remarks)
    print(table(rows))
    print()
    print("\n".join(remarks))
    return 0 if all(row[-1] != "MISSED" for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else "all"))
