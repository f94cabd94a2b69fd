"""Calculator names for stress and defects: places in the finder."""

from kilnlib.physics.defects import Seen, find_defects


def finder_place(defect: str, signs: str, species: str = "") -> int:
    """Place of a defect in the finder's list, 1 the likeliest, 0 if it is not on it; signs with spaces between."""
    likely = find_defects(Seen(frozenset(signs.split()), wood=species)).likely
    return next((place for place, one in enumerate(likely, 1) if one.defect.defect == defect), 0)
