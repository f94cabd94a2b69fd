"""How a piece of wood bends by where its rings run: shrinkage along the rings against shrinkage across them.

A piece shrinks by one share toward the pith and by a larger one along the rings. Taken as the same everywhere, this has
an exact answer without any stress: each point moves toward the pith by the radial share, and the whole fan of rays
closes a little. Only a piece that holds the pith cannot follow; it splits.
"""

import numpy as np

from kilnlib.physics.arrays import AsGiven, Values, check_range, result


def dried_place_m(
    x_m: Values, y_m: Values, radial_pct: Values, tangential_pct: Values, about_deg: Values = 90.0
) -> tuple[AsGiven, AsGiven]:
    """Where a point of a cross-section ends up, with the pith at (0, 0).

    Parameters
    ----------
    x_m, y_m : place in the green log [m].
    radial_pct : shrinkage across the rings so far [%], 0 to 40.
    tangential_pct : shrinkage along the rings so far [%], 0 to 40.
    about_deg : direction from the pith that keeps its place [degrees from the x axis].

    Returns
    -------
    x and y in the dried piece [m].

    Raises
    ------
    OutOfRange : shrinkage out of range.

    Source
    ------
    Geometry; *computed*: r becomes r (1 - R), and an angle a becomes a (1 - T) / (1 - R).

    Accuracy
    --------
    Exact for one radial and one tangential shrinkage all over the piece, and a pith that is not in it. Real wood also
    has grain that runs out, juvenile and reaction wood, and dries unevenly.
    """
    radial = check_range("Radial shrinkage", radial_pct, 0.0, 40.0, "percent") / 100
    tangential = check_range("Tangential shrinkage", tangential_pct, 0.0, 40.0, "percent") / 100
    about = np.radians(about_deg)
    x, y = np.asarray(x_m, float), np.asarray(y_m, float)
    turned = np.angle(np.exp(1j * (np.arctan2(y, x) - about))) * (1 - tangential) / (1 - radial)
    place = np.hypot(x, y) * (1 - radial) * np.exp(1j * (about + turned))
    return result(place.real), result(place.imag)
