"""The plan: fluids, strings, conductor, sections with their casings and cement, core, leaving."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Final, Literal, Self

from pydantic import Field, model_validator

from bathybore.model.fields import (
    Area,
    Compressibility,
    Consistency,
    DatumDepth,
    Density,
    DensityDifference,
    Duration,
    Expansion,
    FlowRate,
    Force,
    Fraction,
    HeatCapacity,
    Length,
    LengthOrZero,
    Moment,
    Node,
    PositiveDuration,
    PositiveFlowRate,
    PositiveRatio,
    PositiveSpeed,
    Pressure,
    Ratio,
    SlurryYield,
    Speed,
    Stress,
    Temperature,
    Volume,
    sourced,
)
from bathybore.model.fluid_readings import REFERENCE, MeasuredFluid

Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=40)]


class Fluid(MeasuredFluid):
    """A drilling fluid or spacer: density at reference conditions, Herschel-Bulkley flow."""

    density: Density
    reference_temperature: Temperature = sourced(REFERENCE, note="density measured at 20 degC")
    compressibility: Compressibility = sourced(4.4e-10, note="water-based mud, as water")
    thermal_expansion: Expansion = sourced(3.5e-4, note="water-based mud, mean of 5 to 80 degC")
    yield_stress: Pressure = sourced(0.0)
    consistency: Consistency
    flow_index: Ratio = sourced(1.0)
    heat_capacity: HeatCapacity | None = None  # of sea water and barite of its density if not told
    rated_temperature: Temperature | None = None  # that its additives bear


class Slurry(Fluid):
    """A cement slurry."""

    slurry_yield: SlurryYield
    mix_water: SlurryYield
    time_to_strength: Duration | None = None  # until it bears, by its test
    strength_test_temperature: Temperature | None = None
    thickening_time: PositiveDuration | None = None  # until it can be pumped no more, by its test
    thickening_test_temperature: Temperature | None = None

    @model_validator(mode="after")
    def _whole_test(self) -> Self:
        if (self.time_to_strength is None) != (self.strength_test_temperature is None):
            raise ValueError(
                "found half of a strength test; expected time_to_strength together with "
                "strength_test_temperature, or neither"
            )
        if (self.thickening_time is None) != (self.thickening_test_temperature is None):
            raise ValueError(
                "found half of a thickening test; expected thickening_time together with "
                "thickening_test_temperature, or neither"
            )
        return self

    @model_validator(mode="after")
    def _masses_add_up(self) -> Self:
        """A volume of slurry weighs at least its cement and its water; additives only add."""
        holds = 1.0 + 998.2 * self.mix_water
        weighs = self.density * self.slurry_yield
        if weighs < 0.98 * holds:
            raise ValueError(
                f"found a slurry of which a kg of cement makes {weighs:.3f} kg, less than the "
                f"{holds:.3f} kg of its cement and water; expected density times slurry_yield to "
                "be at least that. Check slurry_yield and mix_water"
            )
        return self

    compressibility: Compressibility = sourced(0.0, note="slurry taken as incompressible")
    thermal_expansion: Expansion = sourced(0.0, note="slurry taken as not expanding")


class DownholeTool(Node):
    """A motor, turbine or measuring tool that all of the flow goes through, by what it loses.

    The loss is that without load; a motor takes a differential pressure beyond it, that of its
    rated torque told, for the torque of the bit. The flows are those that it works between.
    """

    name: Annotated[str, Field(min_length=1, max_length=40)] = sourced(
        "tool", note="as it is called in the ledger"
    )
    pressure_loss: Stress
    flow_rate: PositiveFlowRate
    density: Density
    flow_exponent: Annotated[Ratio, Field(ge=1, le=2)] = sourced(
        2.0, "common-practice", "square law"
    )
    least_flow_rate: PositiveFlowRate | None = None
    greatest_flow_rate: PositiveFlowRate | None = None
    rated_differential_pressure: Stress | None = None
    rated_torque: Annotated[Moment, Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _flows_in_order(self) -> Self:
        least, greatest = self.least_flow_rate, self.greatest_flow_rate
        if least is not None and greatest is not None and least >= greatest:
            raise ValueError(
                "found a tool whose least_flow_rate is not below its greatest_flow_rate; expected "
                "the flows that it works between"
            )
        return self

    @model_validator(mode="after")
    def _whole_motor(self) -> Self:
        if (self.rated_differential_pressure is None) != (self.rated_torque is None):
            raise ValueError(
                "found half of a motor; expected rated_differential_pressure together with "
                "rated_torque, or neither: then it turns nothing, or loses alike under load"
            )
        return self


class StringPart(Node):
    """A length of one pipe of the inventory; the uppermost part needs no length."""

    needs: ClassVar[Mapping[str, str]] = {"tool": "length"}

    pipe: str
    length: Length | None = None
    tool: DownholeTool | None = None

    @model_validator(mode="after")
    def _tool_has_a_place(self) -> Self:
        if self.tool is not None and self.length is None:
            raise ValueError(
                "found a tool in a part without a length; expected the length that it takes in "
                "the string"
            )
        return self


class Cement(Node):
    """One cement job, pumped down and returned up the annulus."""

    slurry: str
    top: DatumDepth
    tail_slurry: str | None = None
    tail_top: DatumDepth | None = None
    excess: Ratio = sourced(0.3, note="share of open-hole annulus added")
    rate: PositiveFlowRate
    through_inner_string: bool = sourced(False)
    wait: Duration = sourced(12 * 3600.0, "common-practice", "until 3.5 MPa compressive strength")
    shoe_track: LengthOrZero = sourced(24.4, "common-practice", "two joints")
    spacer: str | None = None
    spacer_volume: Volume = sourced(0.0)
    centralizer_spacing: Length | None = None
    centralizer_restoring_force: Annotated[Force, Field(gt=0)] | None = None  # at 67 % standoff

    @model_validator(mode="after")
    def _whole_centralizers(self) -> Self:
        if (self.centralizer_spacing is None) != (self.centralizer_restoring_force is None):
            raise ValueError(
                "found half of the centralizers; expected centralizer_spacing together with "
                "centralizer_restoring_force, or neither"
            )
        return self


class Casing(Node):
    """A casing or liner of the plan."""

    name: Name
    pipe: str
    hung_at: Literal["wellhead"] | DatumDepth = "wellhead"
    shoe: DatumDepth
    cement: Cement
    run_on: str
    running_speed: Speed = sourced(0.15)
    filled_while_running: bool = True
    test_pressure: Pressure | None = None
    expected_test_at_shoe: Pressure | None = None


class Section(Node):
    """One interval drilled with one bit, one string and one fluid, and the casing that ends it."""

    name: Name
    hole_diameter: Length
    pilot_bit: Length | None = None
    bottom: DatumDepth
    returns: Literal["sea floor", "riser"]
    fluid: str
    pad_fluid: str | None = None
    sweep_fluid: str | None = None
    sweep_share: Fraction = sourced(0.1, note="share of time that sweeps are in the annulus")
    flow_rate: PositiveFlowRate
    booster_flow_rate: FlowRate = sourced(0.0)
    nozzle_area: Area
    string: str
    weight_on_bit: Force
    rate_of_penetration_factor: PositiveRatio = sourced(1.0)
    cuttings_diameter: Length | None = None
    cuttings_density: Density | None = None
    kick_intensity: DensityDifference | None = None
    kick_volume: Volume | None = None
    casing: Casing | None = None


class Conductor(Node):
    """The first pipe, jetted or drilled into the soft sea bed on the drill string."""

    name: Name = "conductor"
    pipe: str
    shoe: DatumDepth
    stick_up: LengthOrZero = sourced(3.0)
    method: Literal["jetted", "drilled and cemented"] = "jetted"
    run_on: str
    jetting_rate: PositiveSpeed = sourced(0.0041667, note="15 m/h")
    set_up_wait: Duration = sourced(4 * 3600.0, "common-practice", "soak before release")
    fluid: str
    flow_rate: PositiveFlowRate


class Coring(Node):
    """The interval to be cored at the end of the last section."""

    top: DatumDepth
    bottom: DatumDepth
    least_core_diameter: Length
    fluid: str
    flow_rate: PositiveFlowRate
    string: str
    expected_recovery: Fraction = sourced(0.5, "common-practice", "30 to 60 % in hard rock")
    rate_of_penetration: PositiveSpeed
    contingency_runs: int = sourced(0)


class Plug(Node):
    """One cement plug across the hole."""

    top: DatumDepth
    bottom: DatumDepth
    slurry: str
    tested: bool = sourced(True, "common-practice", "tagged and pressure-tested once it has set")


class Leaving(Node):
    """How the hole is left: plugs, deepest first, and the riser."""

    plugs: tuple[Plug, ...] = Field(min_length=1)
    string: str
    wait: Duration = sourced(12 * 3600.0, "common-practice", "before the plug is tagged")
    retrieve_riser: bool = True


# what a step that is inserted by hand may tell, and what nothing else tells of it
_TELLS: Final = {
    "wait": {"duration"},
    "circulate": {"duration", "bottoms_up", "flow_rate"},
    "wiper trip": set[str](),
    "logging run": {"duration"},
    "preventer test": set[str](),
    "casing test": {"duration", "test_pressure"},
}
_NEEDS_DURATION: Final = ("wait", "logging run", "casing test")
_OF_INSERTED: Final = ("insert", "name", "flow_rate", "bottoms_up", "test_pressure")


class StepEdit(Node):
    """A change to the derived list of steps: insert, remove, move, or set a duration.

    What is inserted tells its kind and a name. Of a wait ``duration`` is the whole step, of
    other kinds the work itself: trips, trouble and weather come on top. Circulating lasts so
    many ``bottoms_up``, or a ``duration``, or without both until the hole is clean; the times of
    a wiper trip and of a preventer test follow from the vessel.
    """

    step: str | None = None
    remove: bool = False
    duration: Duration | None = None
    move_after: str | None = None
    insert_after: str | None = None
    insert: (
        Literal["wait", "circulate", "wiper trip", "logging run", "preventer test", "casing test"]
        | None
    ) = None
    name: Name | None = None
    flow_rate: PositiveFlowRate | None = None  # the section's if not told
    bottoms_up: PositiveRatio | None = None
    test_pressure: Annotated[Pressure, Field(gt=0)] | None = None  # the casing's if not told
    why: str

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        told = {field for field in _OF_INSERTED if getattr(self, field) is not None}
        if self.insert_after is not None:
            self._whole_insertion(told)
        elif self.step is None or not (self.remove or self.duration or self.move_after):
            raise ValueError(
                "found nothing to do; expected step with remove, duration or move_after"
            )
        elif self.remove and (self.duration or self.move_after):
            raise ValueError(
                "found a step removed and changed in one; expected remove alone, or without it"
            )
        elif told:
            raise ValueError(
                f"found {', '.join(sorted(told))} beside step; expected them only of a step that "
                "is inserted, with insert_after"
            )
        return self

    def _whole_insertion(self, told: set[str]) -> None:
        if self.insert is None or self.name is None or self.step is not None:
            raise ValueError(
                "found an insertion without its parts; expected insert_after together with "
                "insert (what is done) and name, and no step"
            )
        if self.remove or self.move_after is not None:
            raise ValueError("found a step inserted and moved or removed in one; expected one each")
        if self.duration is None and self.insert in _NEEDS_DURATION:
            raise ValueError(f"found a {self.insert} without duration; expected how long it takes")
        extra = (told | ({"duration"} if self.duration is not None else set())) - {"insert", "name"}
        if extra - _TELLS[self.insert]:
            takes = " or ".join(sorted(_TELLS[self.insert])) or "nothing, its time follows"
            raise ValueError(
                f"found {', '.join(sorted(extra - _TELLS[self.insert]))} of a {self.insert}; "
                f"expected {takes}"
            )
        if self.duration is not None and self.bottoms_up is not None:
            raise ValueError("found duration and bottoms_up; expected one of them, or neither")


class Plan(Node):
    """The whole plan."""

    fluids: dict[str, Fluid]
    slurries: dict[str, Slurry]
    strings: dict[str, Annotated[tuple[StringPart, ...], Field(min_length=1)]]
    conductor: Conductor
    sections: tuple[Section, ...] = Field(min_length=1)
    coring: Coring | None = None
    leaving: Leaving
    riser_top_tension: Force | None = None  # sum of the tensioner settings while drilling
    target: DatumDepth
    step_edits: tuple[StepEdit, ...] = ()
