"""Money of a load, in dollars of the day that the prices are from. Prices are the mill's own; none of them is ours.

Insurance, space, fuel of trucks and profit are left out. Lumber is counted as it is sold, in cubic meters of the tally.
"""

from dataclasses import dataclass

from kilnlib.physics.arrays import within

YEAR_DAYS = 365.0
_VOLUME_M3, _DAYS, _KWH = (0.01, 1e4), (0.1, 730.0), (0.0, 1e6)
_LIMITS = {  # of a mill's numbers, so that a slip of the decimal point is seen
    "electricity_usd_kwh": ("The price of electricity", 0.0, 5.0),
    "wage_usd_h": ("The wage", 0.0, 500.0),
    "hours_a_load": ("Hours for a load", 0.0, 1000.0),
    "hours_a_day": ("Hours a day", 0.0, 24.0),
    "kiln_usd": ("The price of the kiln", 0.0, 1e8),
    "upkeep_pct": ("Upkeep", 0.0, 100.0),
    "years": ("Years the kiln lasts", 1.0, 100.0),
    "interest_pct": ("Interest", 0.0, 100.0),
    "busy_days": ("Days a year with a load inside", 1.0, 366.0),
    "green_usd_m3": ("The price of green lumber", 0.0, 1e5),
    "dry_usd_m3": ("The price of dry lumber", 0.0, 1e5),
}


@dataclass(frozen=True)
class Mill:
    """What a mill pays and is paid [US dollars]; the default is Tamarack Ford's, invented.

    `upkeep_pct` is of the kiln's price a year. A number out of range raises a sentence.
    """

    electricity_usd_kwh: float = 0.12
    wage_usd_h: float = 25.0
    hours_a_load: float = 5.0  # stacking, loading, final check, unloading
    hours_a_day: float = 0.3  # weighing and the log
    kiln_usd: float = 12_000.0
    upkeep_pct: float = 3.0
    years: float = 10.0
    interest_pct: float = 8.0
    busy_days: float = 300.0
    green_usd_m3: float = 254.0  # about 600 dollars a thousand board feet
    dry_usd_m3: float = 381.0  # about 900

    def __post_init__(self) -> None:
        for name, (what, low, high) in _LIMITS.items():
            within(what, getattr(self, name), low, high, "ratio")


@dataclass(frozen=True)
class Cost:
    """Lines of the cost of a load [US dollars]."""

    days: float
    energy_usd: float
    labor_usd: float
    capital_usd: float
    degrade_usd: float
    interest_usd: float
    grows_usd: float  # the part of all this that grows with the days

    @property
    def total_usd(self) -> float:
        """All lines together."""
        return self.energy_usd + self.labor_usd + self.capital_usd + self.degrade_usd + self.interest_usd

    @property
    def a_day_usd(self) -> float:
        """All lines over the days."""
        return self.total_usd / self.days


@dataclass(frozen=True)
class Loss:
    """What is gone with a load that cannot be sold [US dollars]."""

    green_usd: float
    margin_usd: float
    energy_usd: float
    labor_usd: float

    @property
    def total_usd(self) -> float:
        """All of it."""
        return self.green_usd + self.margin_usd + self.energy_usd + self.labor_usd


def capital_recovery(interest_pct: float, years: float) -> float:
    """Share of a price to lay aside each year, so that it is paid with interest when the thing is worn out.

    Parameters
    ----------
    interest_pct : interest [% a year], 0 to 100.
    years : years it lasts, 1 to 100.

    Returns
    -------
    Share of the price a year.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Annuity, textbook, *from memory*.

    Accuracy
    --------
    Exact for equal payments at the end of each year.
    """
    rate = within("Interest", interest_pct, 0.0, 100.0, "percent") / 100.0
    time = within("Years the kiln lasts", years, 1.0, 100.0, "ratio")
    return rate / (1.0 - (1.0 + rate) ** -time) if rate else 1.0 / time


def cost_of_load(mill: Mill, volume_m3: float, days: float, kwh_a_day: float, degrade_pct: float) -> Cost:
    """What it costs to dry a load.

    Parameters
    ----------
    mill : Mill.
    volume_m3 : tally of the load [m³], 0.01 to 10,000.
    days : days in the kiln [days], 0.1 to 730.
    kwh_a_day : electricity [kWh a day], 0 to 1e6; the meter says.
    degrade_pct : value lost to drying defects [% of the dry value], 0 to 100.

    Returns
    -------
    Cost [US dollars].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Sum of its lines; interest is on the value of the load, the kiln is paid by the days it is busy; *computed*.

    Accuracy
    --------
    That of the prices. Degrade is the line that mills know least and that weighs most.
    """
    volume = within("The load", volume_m3, *_VOLUME_M3, "board_feet")
    time = within("Days", days, *_DAYS, "days")
    energy = within("Electricity a day", kwh_a_day, *_KWH, "ratio") * time * mill.electricity_usd_kwh
    value = volume * mill.dry_usd_m3
    degrade = within("Degrade", degrade_pct, 0.0, 100.0, "percent") / 100.0 * value
    a_year = mill.kiln_usd * (capital_recovery(mill.interest_pct, mill.years) + mill.upkeep_pct / 100.0)
    capital = a_year * time / mill.busy_days
    interest = value * mill.interest_pct / 100.0 * time / YEAR_DAYS
    watching = mill.hours_a_day * time * mill.wage_usd_h
    labor = mill.hours_a_load * mill.wage_usd_h + watching
    return Cost(time, energy, labor, capital, degrade, interest, energy + watching + capital + interest)


def lost_load(mill: Mill, volume_m3: float, days: float, kwh_a_day: float) -> Loss:
    """What is gone when a load is dried and cannot be sold.

    Parameters
    ----------
    mill : Mill.
    volume_m3 : tally of the load [m³], 0.01 to 10,000.
    days : days in the kiln [days], 0.1 to 730.
    kwh_a_day : electricity [kWh a day], 0 to 1e6.

    Returns
    -------
    Loss [US dollars]: the wood, what it would have brought beside its price, energy and labor.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Sum of its lines; *computed*.

    Accuracy
    --------
    The kiln days are lost too and not counted; what is sold as firewood comes back.
    """
    cost = cost_of_load(mill, volume_m3, days, kwh_a_day, 0.0)
    margin = volume_m3 * (mill.dry_usd_m3 - mill.green_usd_m3)
    return Loss(volume_m3 * mill.green_usd_m3, margin, cost.energy_usd, cost.labor_usd)


def day_saved_usd(mill: Mill, volume_m3: float, kwh_a_day: float, more_degrade_pct: float) -> float:
    """What drying a day faster brings, less the degrade it causes.

    Parameters
    ----------
    mill : Mill.
    volume_m3 : tally of the load [m³], 0.01 to 10,000.
    kwh_a_day : electricity of a day [kWh], 0 to 1e6.
    more_degrade_pct : degrade that the hurry adds [% of the dry value], 0 to 100.

    Returns
    -------
    Gain [US dollars], negative where the hurry costs more than the day.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    The part of `cost_of_load` that grows with the days, less degrade; *computed*.

    Accuracy
    --------
    That of the prices. A kiln that has no next load waiting gains less.
    """
    cost = cost_of_load(mill, volume_m3, 1.0, kwh_a_day, more_degrade_pct)
    return cost.grows_usd - cost.degrade_usd


def degrade_that_eats_pct(saving_usd: float, volume_m3: float, mill: Mill) -> float:
    """Degrade at which a saving is gone.

    Parameters
    ----------
    saving_usd : what is saved on the load [US dollars], 0 to 1e8.
    volume_m3 : tally of the load [m³], 0.01 to 10,000.
    mill : Mill.

    Returns
    -------
    Degrade [% of the dry value].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Saving over value, as Wengert, Dry it once (2011), does for off-peak power; *retrieved*.

    Accuracy
    --------
    Exact.
    """
    saving = within("The saving", saving_usd, 0.0, 1e8, "ratio")
    return 100.0 * saving / (within("The load", volume_m3, *_VOLUME_M3, "board_feet") * mill.dry_usd_m3)


def drying_kwh(water_kg: float, kg_per_kwh: float) -> float:
    """Electricity that a machine needs for so much water.

    Parameters
    ----------
    water_kg : water to take out [kg], 0 to 1e7.
    kg_per_kwh : water it takes out with each kWh [kg], 0.05 to 10.

    Returns
    -------
    Electricity [kWh].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Definition of the specific moisture extraction rate; *computed*. Machines lie between 1 and 3 kg, *from memory*.

    Accuracy
    --------
    Fans and walls come on top where the number is the compressor's alone: measured loads of oak needed ten times more.
    """
    water = within("The water", water_kg, 0.0, 1e7, "weight")
    return water / within("Water for each kWh", kg_per_kwh, 0.05, 10.0, "ratio")
