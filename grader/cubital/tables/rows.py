"""The rows of the data tables. Named tuples: they cannot be changed, and cost little to import."""

from typing import NamedTuple


class Gauge(NamedTuple):
    """One catheter size: outer diameter by the standard, bore and flow as usually made."""

    gauge: int
    outer_lower_mm: float
    outer_upper_mm: float
    outer_nominal_mm: tuple[float, ...]
    hub_colour: str
    outer_kind: str
    outer_source: str
    outer_seen: str
    inner_mm: float
    inner_low_mm: float
    inner_high_mm: float
    lengths_mm: tuple[float, ...]
    inner_kind: str
    inner_source: str
    inner_seen: str
    nominal_flow_ml_per_min: float | None
    flow_low_ml_per_min: float | None
    flow_high_ml_per_min: float | None
    flow_kind: str | None
    flow_source: str | None
    flow_seen: str | None


class NeedleTube(NamedTuple):
    """One size of steel needle tubing, to tell it from a catheter of the same gauge."""

    gauge: int
    designation_mm: float
    outer_lower_mm: float
    outer_upper_mm: float
    inner_min_mm: float
    hub_colour: str
    kind: str
    size_source: str
    colour_source: str
    seen: str


class Constant(NamedTuple):
    """A physical constant or a coefficient of a model."""

    value: float
    unit: str
    low: float
    high: float
    kind: str
    source: str
    seen: str
    note: str


class Limit(NamedTuple):
    """What a quantity may be: impossible outside low..high, implausible outside usual.

    Set by the course, so that a slip of unit or of decimal point shows; none is a clinical limit.
    ``symbol`` is the one of the equations, empty where they write the quantity's words.
    """

    topic: str
    name: str
    quantity: str
    symbol: str
    unit: str
    low: float
    high: float
    usual_low: float
    usual_high: float


class Water(NamedTuple):
    """Coefficients of water's viscosity (powers of T) and density (ratio of polynomials)."""

    viscosity_a: tuple[float, ...]
    viscosity_b: tuple[float, ...]
    reference_temperature_k: float
    density_numerator: tuple[float, ...]
    density_denominator: float
    sources: tuple[str, ...]


class FluidRow(NamedTuple):
    """A fluid by its viscosity and density over those of water at the same temperature."""

    name: str
    label: str
    relative_viscosity: float
    viscosity_low: float
    viscosity_high: float
    relative_density: float
    kind: str
    source: str
    seen: str
    note: str


class DropFactor(NamedTuple):
    """Drops per millilitre of an infusion set."""

    drop_factor_per_ml: float
    words: str
    low: float
    high: float
    kind: str
    source: str
    seen: str
    note: str


class RatioEvidence(NamedTuple):
    """A catheter-to-vein ratio in circulation, and what it rests on."""

    ratio: float
    rests_on: str
    kind: str
    source: str
    seen: str


class Therapy(NamedTuple):
    """A therapy and the flow it usually needs."""

    key: str
    words: str
    flow_low_ml_per_min: float
    flow_high_ml_per_min: float
    kind: str
    source: str
    seen: str
    note: str


class JointLimit(NamedTuple):
    """Which lengths, veins and therapies go with a gauge at an age."""

    gauge: int
    age_group: str
    length_low_mm: float
    length_high_mm: float
    vein_low_mm: float
    vein_high_mm: float
    therapies: tuple[str, ...]
    kind: str
    source: str
    seen: str


class Reference(NamedTuple):
    """A source of the bibliography."""

    key: str
    text: str
    year: int
    seen: str
    doi: str | None = None


class Profile(NamedTuple):
    """The department's device and policy, and who approved them on which day; nobody if empty."""

    department: str
    hospital: str
    notice: str
    working_distance_mm: float
    window_mm: float
    depth_reach_mm: float
    picture_width_mm: float
    picture_height_mm: float
    light_output_lm: float
    run_time_h: float
    charge_time_h: float
    stored_pictures: int
    cleaning: str
    ratio_limit: float
    ratio_limit_rests_on: str
    ratio_limit_source: str
    attempt_limit: int
    attempt_limit_rests_on: str
    attempt_limit_source: str
    vesicants: tuple[str, ...]
    approved_by: str
    approved_on: str
    critical_due_days: int
    critical_grace_days: int
    critical_due_rests_on: str
    critical_due_approved_by: str
    critical_due_approved_on: str


class Objective(NamedTuple):
    """A learning objective, its evidence and its pass rule.

    ``off`` are those of its items that a release does not ask, since the educator said so, with
    ``off_reason`` where one was given.
    """

    key: str
    title: str
    topic: str
    lesson: str
    section: str
    items: tuple[str, ...]
    critical: tuple[str, ...]
    pass_share: float
    observed_practice: str
    off: tuple[str, ...] = ()
    off_reason: str = ""

    @property
    def left(self) -> tuple[str, ...]:
        """The items that give evidence."""
        return tuple(item for item in self.items if item not in self.off)


class Curriculum(NamedTuple):
    """All objectives, in teaching order."""

    objectives: tuple[Objective, ...]

    def objective(self, key: str) -> Objective:
        """Return one objective by its key."""
        for row in self.objectives:
            if row.key == key:
                return row
        raise KeyError(f"no objective is called {key!r}")

    def objectives_of(self, item: str) -> tuple[Objective, ...]:
        """Return the objectives that an item gives evidence for."""
        return tuple(row for row in self.objectives if item in row.items)
