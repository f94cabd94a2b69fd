"""Defects by what is seen, and where they come from."""

from kilnlib.physics.defects.descriptions import read_description
from kilnlib.physics.defects.finder import Diagnosis, Likely, Parting, Seen, find_defects, sign_weight, wood_words
from kilnlib.physics.defects.table import ASPECTS, Defect, Sign, defects, signs

__all__ = [
    "ASPECTS",
    "Defect",
    "Diagnosis",
    "Likely",
    "Parting",
    "Seen",
    "Sign",
    "defects",
    "find_defects",
    "read_description",
    "sign_weight",
    "signs",
    "wood_words",
]
