"""What can be seen on a board, and what each defect shows of it, read from defect_signs.csv and defects.csv."""

import functools
from dataclasses import dataclass, fields
from typing import Any

from kilnlib import tables
from kilnlib.errors import NotFound

ASPECTS = ("see", "where", "when")
LISTS = ("see", "sure", "may", "where", "when", "wood", "only", "look_alikes", "remembered")


@dataclass(frozen=True)
class Sign:
    """One thing that can be seen, with the yes-or-no observation that settles it and the words people use for it."""

    sign: str
    aspect: str  # see, where or when
    kind: str
    label: str
    question: str
    rules_out: tuple[str, ...]  # signs that cannot be there together with it
    after: tuple[str, ...]  # it is asked about only when one of these is there; always if there are none
    phrases: str


@dataclass(frozen=True)
class Defect:
    """One row of the table. `see` to `when` hold signs, `wood` and `only` words of names or groups."""

    defect: str
    name: str
    also_called: str
    phrases: str  # phrases by which somebody names it, as those of a sign
    appearance: str
    see: tuple[str, ...]
    sure: tuple[str, ...]  # those of `see` that it never lacks
    may: tuple[str, ...]  # signs that can stand beside it: neither for it nor against it
    where: tuple[str, ...]
    when: tuple[str, ...]
    wood: tuple[str, ...]
    only: tuple[str, ...]
    stage: str
    cause: str
    prevention: str
    curable: str  # yes, partly, hardly or no
    cure: str
    look_alikes: tuple[str, ...]
    source: str
    how: str
    remembered: tuple[str, ...]  # columns that rest on memory although the source was read

    def shows(self, sign: str) -> bool:
        """Whether it shows a sign."""
        return sign in self.see or sign in self.where or sign in self.when

    def excludes(self, sign: str) -> bool:
        """Whether the sign speaks against it: it is told what it shows of that kind, and this is not among it."""
        return bool(getattr(self, signs()[sign].aspect)) and not self.shows(sign) and sign not in self.may


@functools.cache
def signs() -> dict[str, Sign]:
    """Every sign of the table, by its key, in its order.

    Returns
    -------
    Dictionary of Sign.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/defect_signs.csv: our own list; *common practice*.

    Accuracy
    --------
    Words, not measurements.
    """
    table = {}
    for row in tables.records("defect_signs"):
        lists = {name: tuple(row[name].split()) for name in ("rules_out", "after")}
        values: dict[str, Any] = {field.name: row[field.name] for field in fields(Sign)}
        table[row["sign"]] = Sign(**values | lists)
    return table


@functools.cache
def defects() -> dict[str, Defect]:
    """Every defect of the table, by its key, in its order.

    Returns
    -------
    Dictionary of Defect.

    Raises
    ------
    NotFound : a row that names a sign which is not in the table of signs.

    Source
    ------
    tables/defects.csv, row by row: Wood Handbook FPL-GTR-190 (2010) ch. 13 and extension columns, *retrieved*; AH-188
    ch. 8 and FPL-GTR-118 *from memory*.

    Accuracy
    --------
    Stages are ranges of a published text, not limits.
    """
    table = {}
    for row in tables.records("defects"):
        lists = {name: tuple(row[name].split()) for name in LISTS}
        for sign in (*lists["see"], *lists["sure"], *lists["may"], *lists["where"], *lists["when"]):
            known(sign)
        values: dict[str, Any] = {field.name: row[field.name] for field in fields(Defect)}
        table[row["defect"]] = Defect(**values | lists)
    return table


def known(sign: str) -> None:
    """Refuse a sign that is not in the table.

    Parameters
    ----------
    sign : key of a sign.

    Returns
    -------
    Nothing.

    Raises
    ------
    NotFound : there is no such sign, with the list of those that are.

    Source
    ------
    tables/defect_signs.csv; *common practice*.

    Accuracy
    --------
    Exact.
    """
    if sign not in signs():
        raise NotFound("unknown_sign", name=sign, names=", ".join(signs()))
