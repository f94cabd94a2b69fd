"""Every error and notice an operator may meet: a code, and a sentence to act on.

The sentences stand in `kilnlib.words.error`. Physics raises `OutOfRange` with SI values; `sentence(system)` writes the
same message in trade or metric units.
"""

import string
from typing import Any, Protocol

from kilnlib import units
from kilnlib.words import TEXT

Fields = dict[str, Any]  # of a sentence: words, or pairs of an SI value and its kind


class Finding(Protocol):
    """What the physics found: a code that words are kept under, and their fields."""

    @property
    def code(self) -> str: ...

    @property
    def fields(self) -> Fields: ...


def filled(words: str, fields: Fields, system: str = "trade") -> str:
    """Words with their fields filled in: text as it is, (SI value, kind) pairs written in one unit system."""
    quantities = {name: field for name, field in fields.items() if isinstance(field, tuple)}
    for more in range(4):  # enough decimals that two different readings never look alike
        written = {name: units.show(value, kind, system, more=more) for name, (value, kind) in quantities.items()}
        if len(set(written.values())) == len(set(quantities.values())):
            break
    return words.format(**fields | written)


class KilnError(Exception):
    """Base of every error with a code and a sentence; `fields` are text, or (SI value, kind) pairs."""

    def __init__(self, code: str, **fields: Any):
        self.code = code
        self.fields = fields
        super().__init__(self.sentence("both"))

    def sentence(self, system: str = "trade") -> str:
        """The message in one unit system ("trade", "metric", or "both")."""
        return filled(TEXT[f"error.{self.code}"], self.fields, system)


class Notice(KilnError):
    """A remark or a question about something that is kept; it is shown, never raised."""


class OutOfRange(KilnError, ValueError):
    """A value that physics cannot answer for; carries name, value and limits (SI)."""

    def __init__(self, code: str, name: str, value: Any, low: Any = None, high: Any = None, /, **fields: Any):
        self.name, self.value, self.low, self.high = name, value, low, high
        super().__init__(code, **fields)


class BadInput(KilnError, ValueError):
    """Something typed that cannot be read as a value."""


class NotFound(KilnError, LookupError):
    """A table, question or panel that does not exist."""


class BadQuestion(KilnError, ValueError):
    """A question file, or an expression in one, that cannot be used as it stands."""


class HandbookMismatch(KilnError, AssertionError):
    """A number that left the published value by more than the allowed difference."""


class CannotSave(KilnError, OSError):
    """A file of the user's that could not be read or written."""


def sentence(error: BaseException, system: str = "trade") -> str:
    """Any error as a sentence an operator can act on, in one unit system."""
    return error.sentence(system) if isinstance(error, KilnError) else TEXT["error.inside"]


def worded(part: str, finding: Finding, system: str = "trade") -> str:
    """What the physics found (a code and its fields), in the words of a part: worded("setpoint.reason", reason)."""
    key = f"{part}.{finding.code}"
    words = TEXT[key] if key in TEXT else TEXT[f"error.{finding.code}"]
    used = {name for _, name, _, _ in string.Formatter().parse(words) if name}
    return filled(words, {name: field for name, field in finding.fields.items() if name in used}, system)
