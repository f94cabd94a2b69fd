"""One reason for a verdict or a decision: a code, and what fills in the words that stand under it."""

import math
from dataclasses import dataclass

from kilnlib.errors import Fields


def known_fields(fields: Fields) -> Fields:
    """What fills in the words of a reason, without rounding dust and without what is not known.

    Parameters
    ----------
    fields : text, or (SI value, kind) pairs, by name.

    Returns
    -------
    Dictionary of the same, values to six decimals, those that are not a number left out.

    Raises
    ------
    Nothing.

    Source
    ------
    A convenience of ours, *computed*.

    Accuracy
    --------
    Exact to 1e-6 of the SI unit.
    """
    pairs = {name: field for name, field in fields.items() if isinstance(field, tuple)}
    kept = {name: (round(value, 6), kind) for name, (value, kind) in pairs.items() if not math.isnan(value)}
    return {name: field for name, field in fields.items() if name not in pairs} | kept


@dataclass(frozen=True)
class Reason:
    """One reason: a code whose words stand in `words`, what fills it in, and its place in the order of reading.

    `fields` are text, or (SI value, kind) pairs as in errors.KilnError.
    """

    code: str
    fields: Fields
    place: str = ""  # its own code where nothing else is named

    def __post_init__(self):
        object.__setattr__(self, "fields", known_fields(self.fields))
        object.__setattr__(self, "place", self.place or self.code)
