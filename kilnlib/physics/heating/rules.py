"""What heat is asked for, by whom, and how that is known: insects, fungi, pitch. Rules that conflict are rows each."""

from kilnlib import tables
from kilnlib.errors import OutOfRange


def heat_rules(aim: str = "") -> list[dict[str, str]]:
    """Rows of tables/heat_rules.csv for an aim, as printed; all of them without one.

    Parameters
    ----------
    aim : such as "insects", "pitch" or "blue stain"; every row whose aim holds the word.

    Returns
    -------
    Rows, each with where it is measured, low and high temperature and its unit [°C or °F], hold, source and how known.

    Raises
    ------
    OutOfRange : an aim of which no row tells.

    Source
    ------
    Each row names its own: *retrieved*, or *from memory* for the hours against powderpost beetles.

    Accuracy
    --------
    Rules, not results: they disagree, and an agency or plant-health office says which one applies.
    """
    rows = [row for row in tables.records("heat_rules") if aim in row["aim"]]
    if not rows:
        aims = sorted({row["aim"] for row in tables.records("heat_rules")})
        raise OutOfRange("one_of", "aim", aim, what="The aim", text=aim, names=", ".join(aims))
    return rows
