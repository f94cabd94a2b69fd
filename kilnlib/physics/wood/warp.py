"""How a piece of wood bends by where its rings run: shrinkage along the rings against shrinkage across them.

A piece shrinks by one share toward the pith and by a larger one along the rings. Taken as the same everywhere, this has
an exact answer without any stress: each point moves toward the pith by the radial share, and the whole fan of rays
closes a little. Only a piece that holds the pith cannot follow; it splits.
"""

import numpy as np

from kilnlib.physics.arrays import AsGiven, Values, check_range, positive, result


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


def cup_m(width_m: Values, pith_distance_m: Values, radial_pct: Values, tangential_pct: Values) -> AsGiven:
    """Depth of the hollow that shrinkage alone makes on the bark side of a flatsawn board.

    Parameters
    ----------
    width_m : width of the green board [m], above 0.
    pith_distance_m : distance of that face from the pith [m], above 0.
    radial_pct : shrinkage across the rings so far [%], 0 to 40.
    tangential_pct : shrinkage along the rings so far [%], 0 to 40.

    Returns
    -------
    Depth [m]; about (T - R) width² / (4 distance).

    Raises
    ------
    OutOfRange : a width or distance of zero or less; shrinkage out of range.

    Source
    ------
    `dried_place_m`; *computed*.

    Accuracy
    --------
    As `dried_place_m`; weights and stickers hold a board flatter, drying stress and overdrying can make it worse.
    """
    width, distance = positive("Width", width_m, "0.2"), positive("Distance from the pith", pith_distance_m, "0.1")
    _, edge = dried_place_m(0.5 * width, distance, radial_pct, tangential_pct)
    _, middle = dried_place_m(0.0, distance, radial_pct, tangential_pct)
    return result(edge - middle)
