"""The defect finder: what is seen, where, when it showed and in which wood, against what each defect shows.

tables/defect_signs.csv names what can be seen; tables/defects.csv says of each defect which of these signs it shows,
what it is, where it comes from and what to do. A trainer adds a defect by adding a row. Scoring is plain: a sign counts
as much as it narrows the choice (log2 of all defects over those that show it), a sign that does not fit costs a point,
and the lack of a sign that a defect never lacks costs as much as the sign counts.
"""

import functools
import math
from dataclasses import dataclass

from kilnlib import tables
from kilnlib.errors import KilnError
from kilnlib.physics.defects.table import ASPECTS, Defect, Sign, defects, known, signs
from kilnlib.physics.wood import species, species_key

__all__ = ["ASPECTS", "Defect", "Diagnosis", "Likely", "Parting", "Seen", "Sign", "defects", "find_defects",
           "sign_weight", "signs", "wood_words"]  # fmt: skip

MISS = 1.0  # points a sign costs that the defect does not show
USUAL_WOOD = 1.0  # points for a wood it is common in
WRONG_WOOD = 4.0  # points it costs in a wood that does not get it


@dataclass(frozen=True)
class Seen:
    """What somebody noticed: signs that are there, that are not, that could not be told, defects named, the wood."""

    present: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()
    skipped: frozenset[str] = frozenset()
    named: frozenset[str] = frozenset()
    wood: str = ""


@dataclass(frozen=True)
class Likely:
    """A defect with its points, and the signs that speak for it and against it."""

    defect: Defect
    points: float
    fits: tuple[str, ...]
    against: tuple[str, ...]


@dataclass(frozen=True)
class Parting:
    """The one observation that parts the first two: the sign, and which of them it would speak for.

    `no` is None where the lack of the sign settles nothing.
    """

    sign: Sign
    yes: Defect
    no: Defect | None


@dataclass(frozen=True)
class Diagnosis:
    """Defects in order of likelihood, those with points only, and what to look at next (None if nothing parts them)."""

    likely: tuple[Likely, ...]
    part: Parting | None


def sign_weight(sign: str) -> float:
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
    known(sign)
    showing = sum(defect.shows(sign) for defect in defects().values())
    return math.log2(len(defects()) / showing) if showing else 0.0


def wood_words(wood: str) -> set[str]:
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


def find_defects(seen: Seen) -> Diagnosis:
    """Defects that fit what was seen, the likeliest first, and the one observation that parts the first two.

    Parameters
    ----------
    seen : a Seen: keys of signs that are there and that are not, and the wood.

    Returns
    -------
    Diagnosis. Place and time alone name nothing: to be in the list a defect needs one of the signs that are *seen*, or
    to be named. It also needs more points than none.

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
        known(sign)
    words = wood_words(seen.wood)
    likely = [_likely(defect, seen, words) for defect in defects().values()]
    fitting = [one for one in likely if one.points > 0 and _is_meant(one, seen)]
    ranked = sorted(fitting, key=lambda one: -one.points)
    return Diagnosis(tuple(ranked), _part(ranked, seen))


def _is_meant(one, seen):
    """Whether something that is seen speaks for it, or somebody names it."""
    return one.defect.defect in seen.named or any(signs()[sign].aspect == "see" for sign in one.fits)


def _likely(defect, seen, words):
    """Points of one defect, sign by sign; what a sign rules out is not there."""
    ruled_out = {out for sign in seen.present for out in signs()[sign].rules_out}
    missing = [sign for sign in defect.sure if sign in (seen.absent | ruled_out) - seen.present]
    fits = [sign for sign in signs() if sign in seen.present and defect.shows(sign)]
    wrong = [sign for sign in signs() if sign in seen.present and defect.excludes(sign)]
    against = missing + wrong
    points = sum(sign_weight(sign) for sign in fits) - sum(sign_weight(sign) for sign in missing) - MISS * len(wrong)
    points += math.log2(len(defects())) * (defect.defect in seen.named)
    points += USUAL_WOOD * bool(words & set(defect.wood))
    if defect.only and words and not words & set(defect.only) and words & {"hardwood", "softwood"}:
        points -= WRONG_WOOD
    return Likely(defect, points, tuple(fits), tuple(against))


def _part(ranked, seen):
    """Of the signs that one of the first two shows and the other never, the one that says most, not yet looked for.

    A sign that its defect never lacks comes first, because then "no" tells as much as "yes". A defect that stands alone
    is parted from one it is easily taken for, by what can be seen: a sign it never lacks, or one of that one.
    """
    if len(ranked) > 1:
        return _part_two(ranked[0].defect, ranked[1].defect, seen)
    others = [defects()[key] for one in ranked for key in one.defect.look_alikes]
    parts = (_part_two(ranked[0].defect, other, seen, alone=True) for other in others)
    return next(filter(None, parts), None)


def _part_two(first, second, seen, alone=False):
    """The observation that parts two; `alone` if nothing seen speaks for the second."""
    ruled_out = {out for one in seen.present for out in signs()[one].rules_out}
    settled = seen.present | seen.absent | seen.skipped | ruled_out
    parts = []
    for yes, no in ((first, second), (second, first)):
        for key, sign in signs().items():
            in_place = not sign.after or seen.present.intersection(sign.after)
            if key in settled or not in_place or not yes.shows(key) or not no.excludes(key):
                continue
            sure, look = key in yes.sure, sign.aspect == "see"
            if alone and not (look and (sure or yes is second)):
                continue
            tells = yes is second if alone else sure  # whether the answer "no" speaks for the other defect
            worth = (alone and yes is first, sure, look, sign_weight(key))
            parts.append((worth, Parting(sign, yes, no if tells else None)))
    return max(parts, key=lambda part: part[0])[1] if parts else None


@functools.cache
def _species_groups():
    return tuple((row["species"].casefold(), row["group"]) for row in tables.records("species_properties"))
