"""Calculator names for stress and defects, in trade units: places in the finder, inches of cup, speed of a stain."""

from kilnlib.physics import wood
from kilnlib.physics.defects import Seen, find_defects
from kilnlib.physics.wood import warp
from kilnlib.units import IN_M


def finder_place(defect, signs, species=""):
    """Place of a defect in the finder's list, 1 the likeliest, 0 if it is not on it; signs with spaces between."""
    likely = find_defects(Seen(frozenset(signs.split()), wood=species)).likely
    return next((place for place, one in enumerate(likely, 1) if one.defect.defect == defect), 0)


def cup_in(width_in, pith_in, species, mc):
    """Hollow [in] of a flatsawn board by shrinkage alone: width and distance from the pith [in], MC [%]."""
    kind = wood.species(species)
    radial, tangential = (
        wood.shrinkage_pct(total, mc, kind.fsp_pct) for total in (kind.radial_pct, kind.tangential_pct)
    )
    return warp.cup_m(width_in * IN_M, pith_in * IN_M, radial, tangential) / IN_M


def stain_speed(from_f, to_f):
    """How many times faster gray stain forms at one temperature [°F] than at another: twice for each 20 °F."""
    return 2 ** ((to_f - from_f) / 20)
