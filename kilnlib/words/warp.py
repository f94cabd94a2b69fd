"""Warp by ring direction."""

TEXT = {
    "warp.alt": "End of a log with five pieces in place, dashed as sawn, solid as dried. A, flatsawn near the bark, cups "
    "hollow toward the bark. B, quartersawn, stays flat and loses more thickness than width. C, rings on the slant, leans. "
    "D, a square with rings from corner to corner, becomes a diamond. E, with the pith inside, splits.",
    "warp.A": "flatsawn: cups,\nhollow toward the bark",
    "warp.B": "quartersawn: stays flat,\nshrinks least in width",
    "warp.C": "rings on the slant:\nleans and narrows",
    "warp.D": "square, rings corner to corner:\nbecomes a diamond",
    "warp.E": "pith inside: the rings cannot\nclose, so it splits",
    "warp.note": "red oak at {mc} %, from its shrinkage;\ndrawn {times} times too strong",
}
