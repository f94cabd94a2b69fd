"""A description in somebody's own words, read for signs of defects by the phrases in tables/defect_signs.csv.

A phrase is a few words that stand close together in one part of a sentence, in any order; "in/inward" means either.
Words of four letters and more match whatever they begin ("pinch": pinches, pinching); shorter ones, and those with "="
behind them ("blue=", which is not blue-black), match alone. After "no", "not" or "without" the sign counts as looked
for and not there, unless "not" is part of the phrase.
"""

import functools
import re

from kilnlib import tables
from kilnlib.physics.defects.finder import Seen, defects, signs

NEAR = 9  # words a phrase may spread over
BEFORE = 3  # words before it in which a "no" counts
NO = {"no", "not", "never", "without", "none", "nothing", "neither", "nor", "isn't", "doesn't", "don't", "didn't"}
NO |= {"aren't", "wasn't", "weren't", "cannot", "can't", "couldn't", "won't"}
NOT = ("not",)
PARTS = re.compile(r"[.;:!?\n]+|\bbut\b|\bthough\b|\bhowever\b")
MOISTURE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:%|percent)")
OTHER_PERCENT = re.compile(r"\b(rh|humidity|target|emc|order|ordered|want|wanted|goal|points?|loss|of the)\b")
STAGES = ((50.0, "early"), (25.0, "middle"), (10.0, "late"))  # MC above which a stage of drying is meant


def read_description(description: str, wood: str = "") -> Seen:
    """The signs in a description.

    Parameters
    ----------
    description : what was seen, where and when, in anybody's words.
    wood : the wood; left empty, it is looked for in the description.

    Returns
    -------
    Seen: signs that are there, signs that are said not to be there, defects called by their name, and the wood.

    Raises
    ------
    Nothing: words that fit no phrase are passed over.

    Source
    ------
    tables/defect_signs.csv: our own phrases; *common practice*. Stages by moisture content: surface checks open
    from green down to about 50 %, Wood Handbook FPL-GTR-190 ch. 13 p. 13-10, *retrieved*; 25 and 10 are our choice.

    Accuracy
    --------
    Reads words, not meaning: look over what it made of them.
    """
    text = str(description).casefold().replace("’", "'")
    present: set[str] = set()
    absent: set[str] = set()
    named: list[tuple[str, set]] = []
    for part in PARTS.split(text):
        words = re.findall(r"[a-z0-9'-]+|,", part)
        for sign, phrases in _phrases().items():
            for phrase in phrases:
                stands = _look_for(phrase, words)
                if stands or (stands is False and signs()[sign].aspect == "see"):
                    (present if stands else absent).add(sign)
        named += [(key, set(name)) for key, names in _names().items() for name in names if _look_for(name, words)]
        present |= _stages(part)
    whole = {key for key, name in named if not any(name < longer for _, longer in named)}
    return Seen(frozenset(present), frozenset(absent - present), named=frozenset(whole), wood=wood or _wood(text))


def _look_for(phrase, words):
    """True if a phrase stands in the words, False if it is denied there, None if it is not there."""
    denied = None
    for start in range(len(words)):
        window = words[start : start + NEAR]
        at = [next((i for i, word in enumerate(window) if _matches(slot, word)), None) for slot in phrase]
        if None in at or 0 not in at:
            continue
        before = words[max(0, start - BEFORE) : start]
        if "," in before:
            before = before[len(before) - before[::-1].index(",") :]
        if NOT in phrase or NO.isdisjoint(before + window[: max(at)]):
            return True
        denied = False
    return denied


def _matches(slot, word):
    """Whether a word is one of those a place in a phrase allows."""
    if slot == NOT:
        return word in NO
    alone = {one.removesuffix("=") for one in slot}
    return any(word in (one, f"{one}s") for one in alone) or any(len(one) > 3 and word.startswith(one) for one in slot)


@functools.cache
def _phrases():
    """Sign to phrases."""
    return {key: _places(sign.phrases) for key, sign in signs().items()}


@functools.cache
def _names():
    """Defect to the phrases that name it."""
    return {key: _places(defect.phrases) for key, defect in defects().items() if defect.phrases}


def _places(phrases):
    """Phrases, each a tuple of places, each a tuple of words."""
    return [tuple(tuple(place.split("/")) for place in phrase.split()) for phrase in phrases.split(";")]


def _stages(part):
    """Stage of drying by a moisture content, unless the percent is one of something else."""
    if OTHER_PERCENT.search(part):
        return set()
    mcs = [float(number) for number in MOISTURE.findall(part)]
    return {next(stage for above, stage in STAGES if mc >= above) for mc in mcs if mc >= STAGES[-1][0]}


def _wood(text):
    """The first wood that the text names by its full name, or else by a looser one."""
    full, other, loose = {}, {}, {}
    for row in tables.records("species_names"):
        kind, *which = row["key"].split(", ")
        full.setdefault(" ".join([*which[:1], kind]), row["key"])
        loose[kind] = kind
        other |= {name.strip(): row["key"] for name in row["other_names"].split(";")}
    for known in (full, other, loose):
        places = [(text.find(name), key) for name, key in known.items() if name and re.search(rf"\b{name}\b", text)]
        if places:
            return min(places)[1]
    return ""
