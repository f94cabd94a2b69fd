"""Our number beside the published one: plain text with fixed decimals, and an error when a row is out."""

import math

from kilnlib import tables
from kilnlib.errors import HandbookMismatch, NotFound
from kilnlib.questions import calculator
from kilnlib.questions.text_table import columns, hanging
from kilnlib.words import text

WHAT_LIMIT = 48
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def groups() -> list[str]:
    """Names of all groups of worked examples, sorted."""
    return sorted({name for row in tables.records("worked_examples") for name in row["group"].split()})


def rows(group: str) -> list[dict[str, str]]:
    """The worked examples of a group, as dictionaries of text, in the order of the table."""
    examples = [row for row in tables.records("worked_examples") if group in row["group"].split()]
    if not examples:
        raise NotFound("unknown_group", name=group, names=", ".join(groups()))
    return examples


def handbook(group: str) -> None:
    """Print the rows of a group with their sources; raise HandbookMismatch if a row is out."""
    examples = rows(group)
    ours = [calculator.value(row["call"]) for row in examples]
    differences = [value - float(row["expected"]) for row, value in zip(examples, ours, strict=True)]
    is_out = [not abs(by) <= float(row["tolerance"]) + 1e-9 for row, by in zip(examples, differences, strict=True)]
    print("\n".join(_table(examples, ours, differences, is_out)))
    if any(is_out):
        raise HandbookMismatch("handbook_out", count=sum(is_out), total=len(is_out))
    print(text("handbook.inside", total=len(is_out)))


def _table(examples, ours, differences, out):
    sources = list(dict.fromkeys((row["source"], row["how"]) for row in examples))
    notes = list(dict.fromkeys(row["note"] for row in examples if row["note"]))
    cells = [text("handbook.head")]
    for row, value, by, is_out in zip(examples, ours, differences, out, strict=True):
        places = _places(row, value)
        letter = f" {LETTERS[notes.index(row['note'])]}" if row["note"] else ""
        cells.append(
            (
                row["what"],
                f"{value:.{places}f} {row['unit']}",
                f"{row['expected']} {row['unit']}",
                _signed(by, places) + (f" {text('handbook.out')}" if is_out else ""),
                row["tolerance"],
                f"[{sources.index((row['source'], row['how'])) + 1}]{letter}",
            )
        )
    lines = columns(cells, (0, len(cells[0]) - 1), WHAT_LIMIT)
    lines.append("")
    for number, (source, how) in enumerate(sources, 1):
        lines += hanging(f"[{number}] ", f"{source} ({text(f'how.{how}')})")
    for letter, note in zip(LETTERS, notes, strict=False):
        lines += hanging(f" {letter}  ", note)
    return lines


def _places(row, value):
    """Decimals: one more than the tolerance has, none where a whole number stands beside a whole number."""
    if row["expected"].lstrip("-").isdigit() and float(value).is_integer():
        return 0
    return max(0, math.ceil(-math.log10(float(row["tolerance"])))) + 1


def _signed(difference, places):
    signed = f"{difference:+.{places}f}"
    return signed if float(signed) else signed[1:]
