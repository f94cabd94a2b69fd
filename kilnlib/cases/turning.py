"""Fans that turn round, and half the air: pine and red oak side by side, as a workshop's screen shows them."""

from dataclasses import dataclass

from kilnlib.physics.airflow.turns import Turn, turns

PINE, OAK = ("eastern white pine", 3), ("northern red oak", 6)  # a wood, and after how many hours its fans turn
FPM, HALF_FPM = 300, 150


@dataclass(frozen=True)
class Row:
    """One strip: "pine" or "oak", when its fans turn [h], and how it came out."""

    wood: str
    turn_h: float | None
    turn: Turn

    def zones(self, revealed: bool) -> tuple[float, ...] | None:
        """Moisture content from edge to edge when the course averages 30 %, or None while the answer is hidden."""
        return self.turn.zone_mc_pct if revealed else None


@dataclass(frozen=True)
class Compared:
    """Oak from edge to edge, fans one way and by turns; how much longer half the air takes, and what turning saves."""

    apart_pct: float
    turned_apart_pct: float
    turned_days: float
    pine_longer_pct: float
    oak_longer_pct: float


def rows() -> list[Row]:
    """Oak, then pine: fans one way, then by turns."""
    made = []
    for name, (wood, turn_h) in (("oak", OAK), ("pine", PINE)):
        for hours in (0, turn_h):
            row = turns()[wood, FPM, hours]
            made.append(Row(name, row.turn_h, row))
    return made


def compared() -> Compared:
    """What the screen says of them."""
    table = turns()
    one_way, turned = table[OAK[0], FPM, 0], table[OAK[0], FPM, OAK[1]]
    longer = [100.0 * (table[wood, HALF_FPM, 0].days / table[wood, FPM, 0].days - 1.0) for wood in (PINE[0], OAK[0])]
    return Compared(one_way.apart_pct, turned.apart_pct, one_way.days - turned.days, *longer)
