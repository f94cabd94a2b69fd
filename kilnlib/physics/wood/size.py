"""How thick lumber is: the one reader of a thickness as the trade writes it, and what rough green lumber measures.

The rule. Hardwood lumber is sold by quarters of an inch, rough: 4/4 is one inch. Inches that come out in whole quarters
are that nominal size, so `1 in`, `1"` and `4/4 in` are all 4/4. Inches that are 1/8 in over a quarter, such as
1-1/8 in, are rough lumber measured, which counts by the quarter inch, rounded down: 4/4. Both are common practice.
Squares are written side by side: 3x3. A plain number could be inches or quarters and is refused, millimeters too.
A box that asks what a board measures takes inches as they are, and only a name such as 8/4 as a size.
"""

import re
from dataclasses import dataclass

from kilnlib import units
from kilnlib.errors import BadInput, NotFound
from kilnlib.typed import read_quantity

ROUGH_OVER_NOMINAL = 1.125  # 1/8 in over for each inch: from memory
ROUGH_4_4_M = ROUGH_OVER_NOMINAL * units.IN_M
THINNEST, THICKEST = 2, 32  # quarters of an inch
# Every size between these two is read, 7/4 too; it has a schedule or a daily limit where their tables have a row.
SOLD_QUARTERS = (4, 5, 6, 8, 10, 12, 16)  # sizes that a measured board is counted as; common practice
SUGGESTED = ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4")  # offered by a box that asks for a thickness
QUARTERS_TEXT = re.compile(r"(\d{1,2}) ?/ ?4(?:[ -]?(?:in(?:ch(?:es)?)?\.?|\"))?")
EIGHTH_IN = 0.5  # in quarters
SLACK = 1e-6


@dataclass(frozen=True)
class Thickness:
    """One size of lumber: how the trade writes it, its quarters of an inch, and whether it is a square."""

    nominal: str  # "8/4", or "3x3" for a square
    quarters: int
    square: bool = False

    @property
    def rough_m(self) -> float:
        """Thickness of rough green lumber sold by this size."""
        return self.quarters / 4.0 * ROUGH_4_4_M


def read_thickness(text: str) -> Thickness:
    """The size of lumber that a person wrote.

    Parameters
    ----------
    text : such as "4/4", "8/4 in", "5/4 inch", "1 in", "2 inches", "1-1/8 in", or "3x3" for squares.

    Returns
    -------
    Thickness, of 2/4 to 32/4.

    Raises
    ------
    BadInput : anything else, a plain number and millimeters among it.

    Source
    ------
    Nominal quarters, and rough stock counted by the quarter inch, rounded down: *common practice*. Rough green lumber
    1/8 in over for each inch: *from memory*.

    Accuracy
    --------
    Mills differ by 1/16 in. Ten percent more thickness is about 15 % more time (Wengert, retrieved).
    """
    plain = " ".join(re.sub("[″”“]|''", '"', str(text).lower().replace("×", "x")).split())
    sides = re.sub(r"\bsquares?\b", "", plain).split("x")
    if len(sides) == 2:  # the sides of a square are inches
        sides = [f"{side} in" if side.strip().isdigit() else side for side in sides]
    try:
        quarters = {_quarters(side) for side in sides}
    except BadInput:
        quarters = set()
    if len(sides) > 2 or len(quarters) != 1 or (len(sides) == 1 and "square" in plain):
        raise BadInput("schedule_thickness", text=str(text).strip()[:20])
    (count,) = quarters
    square = len(sides) == 2
    return Thickness(f"{count / 4:g}x{count / 4:g}" if square else f"{count}/4", count, square)


def nominal(text: str) -> str:
    """A thickness as the trade writes it ("8/4" for "2 in"), and words that are no thickness as they are."""
    try:
        return read_thickness(text).nominal
    except BadInput:
        return str(text).strip()


def rough_thickness_m(text: str) -> float:
    """Thickness of the rough green boards that a thickness stands for, for the drying engine.

    Parameters
    ----------
    text : thickness as `read_thickness` takes it.

    Returns
    -------
    Thickness [m].

    Raises
    ------
    NotFound : what is no thickness; squares, which dry through four faces where the engine has two.

    Source
    ------
    1/8 in over for each inch, *from memory*.

    Accuracy
    --------
    As `read_thickness`.
    """
    try:
        size = read_thickness(text)
    except BadInput:
        raise NotFound("pace_thickness", text=str(text).strip()[:20]) from None
    if size.square:
        raise NotFound("pace_square")
    return size.rough_m


def _quarters(text):
    """Quarters of an inch of one side."""
    side = text.strip()
    if quarters := QUARTERS_TEXT.fullmatch(side):
        count = float(quarters[1])
    else:
        value, label = read_quantity(side, "thickness")
        if label != "in":
            raise BadInput("schedule_thickness", text=side[:20])
        count = 4.0 * value
    whole = int(count + SLACK)
    over = count - whole
    if not THINNEST <= whole <= THICKEST or min(abs(over), abs(over - EIGHTH_IN)) > SLACK:
        raise BadInput("schedule_thickness", text=side[:20])
    return whole
