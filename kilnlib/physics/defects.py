"""The defect finder: what is seen, where, when it showed and in which wood, against what each defect shows.

tables/defect_signs.csv names what can be seen; tables/defects.csv says of each defect which of these signs it shows,
what it is, where it comes from and what to do. A trainer adds a defect by adding a row. Scoring is plain: a sign counts
as much as it narrows the choice (log2 of all defects over those that show it), a sign that does not fit costs a point.
"""

import functools
import math
from dataclasses import dataclass, fields

from kilnlib import tables
from kilnlib.errors import KilnError, NotFound
from kilnlib.physics.species import species, species_key

ASPECTS = ("see", "where", "when")
MISS = 1.0  # points a sign costs that the defect does not show
USUAL_WOOD = 1.0  # points for a wood it is common in
WRONG_WOOD = 4.0  # points it costs in a wood that does not get it


@dataclass(frozen=True)
class Sign:
    """One thing that can be seen, with the yes-or-no observation that settles it and the words people use for it."""

    sign: str
    aspect: str  # see, where or when
    kind: str
    label: str
    question: str
    rules_out: tuple  # signs that cannot be there together with it
    phrases: str


@dataclass(frozen=True)
class Defect:
    """One row of the table. `see`, `where` and `when` hold signs, `wood` and `only` words of names or groups."""

    defect: str
    name: str
    also_called: str
    appearance: str
    see: tuple
    where: tuple
    when: tuple
    wood: tuple
    only: tuple
    stage: str
    cause: str
    prevention: str
    curable: str  # yes, partly, hardly or no
    cure: str
    look_alikes: tuple
    source: str
    how: str
    remembered: tuple  # columns that rest on memory although the source was read

    def shows(self, sign):
        """Whether it shows a sign."""
        return sign in self.see or sign in self.where or sign in self.when


@dataclass(frozen=True)
class Seen:
    """What somebody noticed: signs that are there, that are not, that could not be told, and the wood."""

    present: frozenset = frozenset()
    absent: frozenset = frozenset()
    skipped: frozenset = frozenset()
    wood: str = ""


@dataclass(frozen=True)
class Likely:
    """A defect with its points, and the signs that speak for it and against it."""

    defect: Defect
    points: float
    fits: tuple
    against: tuple


@dataclass(frozen=True)
class Parting:
    """The one observation that parts the first two: the sign, and which of them it would speak for."""

    sign: Sign
    yes: Defect
    no: Defect


@dataclass(frozen=True)
class Found:
    """Defects in order of likelihood, those with points only, and what to look at next (None if nothing parts them)."""

    likely: tuple
    part: Parting | None


LISTS = ("see", "where", "when", "wood", "only", "look_alikes", "remembered")


@functools.cache
def signs():
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
    found = {}
    for row in tables.records("defect_signs"):
        lists = {"rules_out": tuple(row["rules_out"].split())}
        found[row["sign"]] = Sign(**{field.name: row[field.name] for field in fields(Sign)} | lists)
    return found


@functools.cache
def defects():
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
    found = {}
    for row in tables.records("defects"):
        lists = {name: tuple(row[name].split()) for name in LISTS}
        for sign in (*lists["see"], *lists["where"], *lists["when"]):
            _known(sign)
        found[row["defect"]] = Defect(**{field.name: row[field.name] for field in fields(Defect)} | lists)
    return found


def sign_weight(sign):
    """How much a sign narrows the choice.

    Parameters
    ----------
    sign : key of a sign.

    Returns
    -------
    log2 of the number of all defects over those that show the sign; 0 if none does.

    Raises
    ------
    NotFound : a sign that is not in the table.

    Source
    ------
    Information content, applied to our table; *computed*.

    Accuracy
    --------
    Takes all defects for equally common.
    """
    _known(sign)
    showing = sum(defect.shows(sign) for defect in defects().values())
    return math.log2(len(defects()) / showing) if showing else 0.0


def wood_words(wood):
    """The words by which a defect may know a wood: those of its name and its group.

    Parameters
    ----------
    wood : name of a species, such as "red oak", or a looser one, such as "oak" or "softwood"; may be empty.

    Returns
    -------
    Set of words.

    Raises
    ------
    Nothing: a name that is not in the tables keeps its own words.

    Source
    ------
    tables/species_names.csv and species_properties.csv; *common practice*.

    Accuracy
    --------
    Exact.
    """
    typed = set(str(wood).casefold().replace(",", " ").split())
    try:
        typed |= set(species_key(wood).replace(",", " ").split()) | {species(wood).group}
    except KilnError:
        groups = {group for name, group in _species_groups() if typed & set(name.replace(",", " ").split())}
        typed |= groups if len(groups) == 1 else set()
    return typed | {part for word in typed for part in word.split("-")}


def find_defects(seen):
    """Defects that fit what was seen, the likeliest first, and the one observation that parts the first two.

    Parameters
    ----------
    seen : a Seen: keys of signs that are there and that are not, and the wood.

    Returns
    -------
    Found. What is seen comes first: as soon as there is such a sign, a defect needs one of them to be in the list. It
    also needs more points than none.

    Raises
    ------
    NotFound : a sign that is not in the table.

    Source
    ------
    tables/defects.csv and defect_signs.csv; the scoring is our own, *computed*.

    Accuracy
    --------
    30 cases described by somebody who had not seen the tables, read as text in a first run: the right one first in 22,
    among the first three in 28 (tests/test_defects.py). A likely name is no proof: cut a section.
    """
    for sign in (*seen.present, *seen.absent):
        _known(sign)
    words = wood_words(seen.wood)
    likely = [_likely(defect, seen, words) for defect in defects().values()]
    looks = {sign for sign in seen.present if signs()[sign].aspect == "see"}
    fitting = [one for one in likely if one.points > 0 and (looks or seen.present).intersection(one.fits)]
    ranked = sorted(fitting, key=lambda one: -one.points)
    return Found(tuple(ranked), _part(ranked, seen))


def _likely(defect, seen, words):
    """Points of one defect, sign by sign."""
    fits = [sign for sign in signs() if sign in seen.present and defect.shows(sign)]
    against = [
        sign
        for sign in signs()
        if (sign in seen.present and getattr(defect, signs()[sign].aspect) and not defect.shows(sign))
        or (sign in seen.absent and defect.shows(sign))
    ]
    points = sum(sign_weight(sign) for sign in fits)
    points -= sum(sign_weight(sign) if sign in seen.absent else MISS for sign in against)
    points += USUAL_WOOD * bool(words & set(defect.wood))
    if defect.only and words and not words & set(defect.only) and words & {"hardwood", "softwood"}:
        points -= WRONG_WOOD
    return Likely(defect, points, tuple(fits), tuple(against))


def _part(ranked, seen):
    """Of the signs that only one of the first two shows and that nobody has looked for, the one that says most.

    A defect that stands alone is parted from the one it is most easily taken for.
    """
    pair = [one.defect for one in ranked[:2]]
    pair += [defects()[key] for one in pair[:1] for key in one.look_alikes[:1]]
    if len(pair) < 2:
        return None
    first, second = pair[:2]
    settled = (
        seen.present | seen.absent | seen.skipped | {out for one in seen.present for out in signs()[one].rules_out}
    )
    open_signs = [sign for sign in signs() if first.shows(sign) != second.shows(sign) and sign not in settled]
    if not open_signs:
        return None
    best = max(open_signs, key=lambda sign: (signs()[sign].aspect == "see", sign_weight(sign)))
    yes, no = (first, second) if first.shows(best) else (second, first)
    return Parting(signs()[best], yes, no)


def _known(sign):
    if sign not in signs():
        raise NotFound("unknown_sign", name=sign, names=", ".join(signs()))


@functools.cache
def _species_groups():
    return tuple((row["species"].casefold(), row["group"]) for row in tables.records("species_properties"))
