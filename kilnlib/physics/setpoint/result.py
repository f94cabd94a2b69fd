"""What a setpoint check is made of: the numbers counted on the way, the one change, sources."""

from dataclasses import dataclass

from kilnlib.errors import Fields
from kilnlib.physics.reason import Reason, known_fields
from kilnlib.physics.samples import SafeRate
from kilnlib.physics.schedules import Reach, Recommendation, Setpoint
from kilnlib.physics.setpoint.departure import LIKELY, Departure

NAN = float("nan")


@dataclass(frozen=True)
class Change:
    """The one thing to dial next; both bulbs as they would stand then."""

    code: str
    dry_bulb_c: float
    wet_bulb_c: float
    fields: Fields

    def __post_init__(self):
        object.__setattr__(self, "fields", known_fields(self.fields))


@dataclass(frozen=True)
class Source:
    """Who says so: what about (a code), the published title, and how it is known here."""

    about: str
    source: str
    how: str


@dataclass(frozen=True)
class CheckResult:
    """Everything counted on the way, NaN or None where there is nothing. Points are of moisture content."""

    species: str
    thickness: str
    mc_pct: float
    dry_bulb_c: float
    wet_bulb_c: float
    pressure_pa: float
    depression_c: float
    rh_pct: float
    emc_pct: float
    dew_point_c: float
    rh_if_wet_bulb_lower_pct: float  # the true wet bulb being 1 °F lower than read
    rh_if_wet_bulb_higher_pct: float
    emc_if_wet_bulb_lower_pct: float
    emc_if_wet_bulb_higher_pct: float
    schedule: Recommendation | None = None
    step: Setpoint | None = None  # as printed
    step_depression_c: float = NAN  # as it can be: air that does not exist is taken at 10 % RH, or this kiln's driest
    step_rh_pct: float = NAN
    step_emc_pct: float = NAN
    away: Departure | None = None
    reach: Reach | None = None  # what this kiln can do of the settings; None without a kiln
    step_reach: Reach | None = None  # and of the step
    limit: SafeRate | None = None
    points_per_day: float = NAN
    points_if_wet_bulb_lower: float = NAN
    points_if_wet_bulb_higher: float = NAN
    step_points_per_day: float = NAN

    @property
    def limit_points_per_day(self) -> float:
        """Published daily limit; NaN where there is none."""
        return self.limit.points_per_day if self.limit else NAN

    @property
    def likely_points_per_day(self) -> tuple[float, float]:
        """Range that holds three in four: (low, high)."""
        low, high = sorted(factor * self.points_per_day for factor in LIKELY)
        return low, high


@dataclass(frozen=True)
class SetpointCheck:
    """What there is to say of a setting: one of VERDICTS, at most five reasons, the first first, and one change."""

    verdict: str
    reasons: tuple[Reason, ...]
    change: Change
    numbers: CheckResult
    sources: tuple[Source, ...]
    stage: str  # one of stage.STAGES, as chosen or as guessed
    asks_stage: bool  # whether it matters, so that the screen asks
    target_pct: float
    notes: tuple[Reason, ...]  # conditions that travel with the numbers, told beside the reasons
