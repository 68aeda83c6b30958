"""What is on board: pipe, casing, riser, preventer, bits and barrels, by designation."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from bathybore.model.fields import (
    Angle,
    Duration,
    Force,
    Fraction,
    Length,
    LinearMass,
    Node,
    PositiveDuration,
    PositiveRatio,
    PositiveSpeed,
    Pressure,
    Ratio,
    Stress,
    Temperature,
    sourced,
)


class PipeStock(Node):
    """Drill pipe, heavy-wall pipe or collars of one size."""

    size: str
    kind: Literal["pipe", "heavy", "collar"]
    grade: str | None = None
    length: Length
    remaining_wall: Fraction = sourced(0.8, "api-rp-7g", "premium class: 80 % of the wall left")
    # for pipe that no catalogue lists: give all four, and size is only its name
    outside_diameter: Length | None = None
    wall: Length | None = None
    linear_mass: LinearMass | None = None
    tool_joint_diameter: Length | None = None
    # light alloys are in no catalogue: their dimensions and yield strength are given
    material: Literal["steel", "aluminium", "titanium"] = "steel"
    yield_strength: Stress | None = None

    @property
    def steel(self) -> str:
        """The grade: as given, S-135 for drill pipe; collar steel is softer (API 7-1: 100 ksi)."""
        return self.grade or ("S-135" if self.kind == "pipe" else "X-95")

    @property
    def described(self) -> bool:
        """Whether the pipe's own dimensions are given instead of a catalogue designation."""
        return self.outside_diameter is not None

    @model_validator(mode="after")
    def _alloys_are_described(self) -> Self:
        if self.material == "steel":
            if self.yield_strength is not None:
                raise ValueError(
                    "found yield_strength of steel pipe; expected a grade, which says it"
                )
        elif self.outside_diameter is None or self.yield_strength is None or self.grade:
            raise ValueError(
                f"found pipe of {self.material}, which no catalogue lists; expected its own "
                "outside_diameter, wall, linear_mass, tool_joint_diameter and yield_strength, "
                "and no grade"
            )
        return self

    @model_validator(mode="after")
    def _all_or_none(self) -> Self:
        given = (self.outside_diameter, self.wall, self.linear_mass, self.tool_joint_diameter)
        if any(v is not None for v in given) and any(v is None for v in given):
            raise ValueError(
                "found some of the pipe's own dimensions; expected outside_diameter, wall, "
                "linear_mass and tool_joint_diameter together, or none of them"
            )
        return self


class CasingStock(Node):
    """Casing or liner pipe of one size, weight and grade."""

    size: str
    grade: str
    length: Length
    drift: Literal["api", "special"] = "api"
    joint_strength: Force | None = None
    connection_efficiency: Ratio = sourced(
        1.0, note="tension of the connection over that of the body; give joint_strength to replace"
    )
    compression_efficiency: PositiveRatio = sourced(
        1.0, note="compression that the connection bears over yield of the body"
    )
    burst_efficiency: PositiveRatio = sourced(
        1.0, note="pressure inside that the connection holds over that of the body"
    )
    collapse_efficiency: PositiveRatio = sourced(
        1.0, note="pressure outside that the connection holds over that of the body"
    )


class RiserRun(Node):
    """Riser joints of a kind, one below the other.

    What is not told is that of the riser; ``buoyancy_lift`` is of one joint, net of the weight of
    its modules.
    """

    kind: str
    joints: int = Field(gt=0)
    joint_length: Length | None = None
    mass_in_air: LinearMass | None = None
    buoyancy_lift: Force = sourced(0.0, note="of the modules of a joint; none unless told")
    hydrodynamic_diameter: Length
    drag_coefficient: PositiveRatio | None = None


class RiserJoint(Node):
    """Marine riser: main pipe and lines per length, buoyancy modules by their lift.

    ``mass_in_air`` is without buoyancy modules: ``buoyancy_lift`` is net of their weight.
    """

    joint_length: Length
    outside_diameter: Length
    wall: Length
    yield_strength: Stress
    mass_in_air: LinearMass
    buoyancy_lift: Force = sourced(0.0, note="lift of the buoyancy modules per joint, in sea water")
    hydrodynamic_diameter: Length
    buoyant_share: Fraction = sourced(0.85, note="share of joints that carry buoyancy")
    choke_line_diameter: Length
    booster_line_diameter: Length | None = None
    joints: int = Field(gt=0)
    stack_up: tuple[RiserRun, ...] = ()  # from the telescopic joint down; even without it

    def length_of(self, run: RiserRun) -> float:
        """Return the length of a joint of a run [m]."""
        return self.joint_length if run.joint_length is None else run.joint_length

    @property
    def share_with_modules(self) -> float:
        """Share of its length within buoyancy modules."""
        if not self.stack_up:
            return self.buoyant_share if self.buoyancy_lift > 0.0 else 0.0
        each = [(one.joints * self.length_of(one), one.buoyancy_lift > 0.0)
                for one in self.stack_up]  # fmt: skip
        return sum(length for length, lifts in each if lifts) / sum(length for length, _ in each)


class Preventer(Node):
    """Blow-out preventer stack with its lower riser package."""

    pressure_rating: Pressure
    bore: Length
    weight_in_water: Force
    weight_in_air: Force
    height: Length
    lower_package_weight_in_water: Force
    flex_joint_stop: Angle = sourced(
        0.17453292519943295, "common-practice", "lower flex joints turn 10 degrees"
    )
    disconnect_time: Duration = sourced(60.0, "common-practice", "emergency sequence, about 60 s")


class Bit(Node):
    """Drill bits of one size."""

    diameter: Length
    count: int = Field(gt=0)
    life: PositiveDuration


class CoreBarrel(Node):
    """Coring assembly and the core it cuts."""

    hole_diameter: Length
    core_diameter: Length
    barrel_length: Length
    bits: int = Field(gt=0)
    bit_life: PositiveDuration
    wireline_speed: PositiveSpeed = sourced(2.5, "ocean-core-cycles", "docs/verification")
    wireline: bool = True
    inner_barrel_clearance: Length = sourced(0.012, note="inner barrel and play, on diameter")
    handling_time: Duration = sourced(
        30 * 60.0, "ocean-core-cycles", "barrel at surface, each run; docs/verification"
    )
    temperature_limit: Temperature | None = None


class WellheadSystem(Node):
    """Sea-bed wellhead: what may hang in it and pass through it."""

    housing_bore: Length
    pressure_rating: Pressure
    weight: Force
    guide_base_weight: Force = sourced(1.0e5)
    running_tool_time: Duration = sourced(2 * 3600.0)


class Inventory(Node):
    """All that the vessel carries for the hole."""

    pipe: dict[str, PipeStock]
    casing: dict[str, CasingStock]
    bits: tuple[Bit, ...] = Field(min_length=1)
    core_barrel: CoreBarrel | None = None
    riser: RiserJoint | None = None
    preventer: Preventer | None = None
    wellhead: WellheadSystem
