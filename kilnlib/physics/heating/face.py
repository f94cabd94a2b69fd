"""What the faces of a piece come to in the air of a kiln: the wet bulb while wet, the dry bulb, later, once dry."""

import math
from dataclasses import dataclass

from kilnlib.physics.air import STANDARD_PA, emc_pct_from_bulbs
from kilnlib.physics.air.moist import EVAPORATION_KJ_KG
from kilnlib.physics.arrays import within
from kilnlib.physics.drying.face import film_w_m2k
from kilnlib.physics.heating.series import Piece
from kilnlib.physics.wood import FSP_PCT, WATER_KG_M3


@dataclass(frozen=True)
class Face:
    """What draws the core up: `surface_c` is met through `film_w_m2k`, infinite where the face is there at once."""

    surface_c: float
    film_w_m2k: float
    wet_share: float  # 1: free water at the face, 0: nothing evaporates


def face(
    dry_bulb_c: float, wet_bulb_c: float, mc_pct: float, air_speed_ms: float = 1.5, pressure_pa: float = STANDARD_PA
) -> Face:
    """What the faces of wood come to in this air.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 100.
    wet_bulb_c : wet bulb [°C].
    mc_pct : moisture content of the wood near its faces [%], 0 to 400.
    air_speed_ms : air speed along the board [m/s], 0 to 8.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Face.

    Raises
    ------
    OutOfRange : a number out of range; bulbs that cannot be.

    Source
    ------
    Both ends: a wet face sits at the wet bulb (ASHRAE Fundamentals (2017) ch. 1 eq. 33) and is there at once (Wood
    Handbook, FPL-GTR-190 (2010) p. 20-6, *retrieved*); a face as dry as the air lets it be gives off nothing and takes
    heat through the air's film. The straight line between them by moisture content is a teaching simplification of
    ours.

    Accuracy
    --------
    Right at both ends. Water that condenses on cold dry wood heats it faster than this says, for a while.
    """
    dry = within("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    balance = float(emc_pct_from_bulbs(dry, wet_bulb_c, pressure_pa))
    mc = within("Moisture content", mc_pct, 0.0, 400.0, "percent")
    wet = min(max((mc - balance) / max(FSP_PCT - balance, 1e-6), 0.0), 1.0)
    film = float(film_w_m2k(air_speed_ms))
    return Face(dry - wet * (dry - wet_bulb_c), film / (1.0 - wet) if wet < 1.0 else math.inf, wet)


def minutes_wet(piece: Piece, dry_bulb_c: float, wet_bulb_c: float, film_w_m2k: float) -> float:
    """Minutes that a green piece stays near the wet bulb, because the heat of the air goes into its free water.

    Parameters
    ----------
    piece : Piece.
    dry_bulb_c : dry bulb [°C], 0 to 100.
    wet_bulb_c : wet bulb [°C], at most the dry bulb.
    film_w_m2k : film coefficient of the air [W/(m² K)], 1 to 1000.

    Returns
    -------
    Minutes; 0 below fiber saturation, infinite in saturated air.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Heat of evaporation of all water above fiber saturation over the heat that comes through the film; *computed*.

    Accuracy
    --------
    The order of size: free water deep in a thick piece comes too slowly to keep its face wet so long.
    """
    dry = within("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    wet = within("Wet bulb", wet_bulb_c, 0.0, dry, "temperature")
    film = within("The film", film_w_m2k, 1.0, 1000.0, "ratio")
    water = WATER_KG_M3 * piece.specific_gravity * max(piece.mc_pct - FSP_PCT, 0.0) / 100.0
    faces = 2.0 / piece.thickness_m + 2.0 / piece.width_m  # square meters for each cubic meter
    if water == 0.0 or dry == wet:
        return 0.0 if water == 0.0 else math.inf
    return water * 1e3 * EVAPORATION_KJ_KG / (faces * film * (dry - wet)) / 60.0
