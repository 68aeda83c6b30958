"""The vessel: hull, thrusters, power, hoist, tensioners, pumps, tanks, handling speeds."""

from __future__ import annotations

from math import atan2, hypot, pi
from typing import Annotated, Self

from pydantic import Field, model_validator

from bathybore.model.fields import (
    Angle,
    Area,
    Coordinate,
    Duration,
    FlowRate,
    Force,
    Fraction,
    Length,
    LengthOrZero,
    Mass,
    Node,
    PositiveDuration,
    PositiveFlowRate,
    PositiveRate,
    Power,
    Pressure,
    Rate,
    Temperature,
    Volume,
    sourced,
)


class Hull(Node):
    """Sizes that the load formulas need, of a ship-shaped hull."""

    length: Length
    beam: Length
    draught: Length
    displacement: Mass
    frontal_wind_area: Area
    lateral_wind_area: Area
    # of the roll that a box of these sizes makes, where no table of motions is given
    metacentric_height: Length = sourced(3.0, note="free surfaces counted; stability booklet")
    roll_period: PositiveDuration | None = None
    roll_damping_ratio: Fraction = sourced(
        0.06, "common-practice", "of critical, bilge keels: 0.05 to 0.1 in a moderate sea"
    )


class Sector(Node):
    """Directions in which a thruster's wash may not point, clockwise from the bow."""

    start: Angle
    end: Angle


class Thruster(Node):
    """One azimuthing thruster, which turns through 360 degrees."""

    name: str
    forward: Coordinate
    starboard: Coordinate
    power: Power
    propeller_diameter: Length
    ducted: bool = True
    mechanical_efficiency: Fraction = sourced(0.93, "dnv-st-0111", "from memory")
    switchboard: str
    # none told: worked out from the neighbours where the vessel tells what they are to keep
    excluded: tuple[Sector, ...] = ()

    def way_to(self, other: Thruster) -> tuple[float, float]:
        """Return bearing, clockwise from the bow [rad], and distance [m] of another one."""
        ahead, aside = other.forward - self.forward, other.starboard - self.starboard
        return atan2(aside, ahead) % (2.0 * pi), hypot(ahead, aside)


class Hoist(Node):
    """Derrick, hook and heave compensation."""

    hook_capacity: Force
    travelling_weight: Force = sourced(1.0e6, note="block, compensator and top drive, 1,000 kN")
    rotary_opening: Length
    slip_length: Length = sourced(0.4064, "common-practice", "16 in rotary slips")
    slip_friction: Fraction = sourced(0.08, "common-practice", "lubricated backs of the slips")
    slip_taper_angle: Angle = sourced(
        0.1651517804699634, "common-practice", "9 degrees 27 minutes 45 seconds, 4 in per ft"
    )
    heave_in_slips: Fraction = sourced(
        0.1, note="dynamic share of the weight in slips, where nothing compensates"
    )
    compensator_stroke: Length = sourced(7.62, "common-practice", "25 ft of heave compensation")
    heave_residual_load: Fraction = sourced(
        0.04, note="share of hook load that compensation leaves as dynamic load"
    )


class Tensioners(Node):
    """Wire or cylinder tensioners that hold the riser."""

    count: int = Field(gt=0)
    capacity_each: Force
    out_of_service: int = sourced(1, "api-rp-16q", "the sudden loss of one tensioner; from memory")
    vertical_share: Fraction = sourced(
        0.95,
        "api-rp-16q",
        "reduction factor from tensioner setting to vertical tension; from memory",
    )
    stroke: Length
    stiffness_share: Fraction = sourced(
        0.25, note="change of the pull over the whole stroke, of the pull at its middle"
    )
    damping_ratio: Fraction = sourced(0.05, note="friction of seals and sheaves, of critical")

    @model_validator(mode="after")
    def _some_are_left(self) -> Self:
        if not 0 <= self.out_of_service < self.count:
            raise ValueError(
                f"found {self.out_of_service} of {self.count} tensioners out of service; expected "
                "none or more, and fewer than there are"
            )
        return self


class Liner(Node):
    """One liner size of the mud pumps."""

    name: str
    greatest_pressure: Pressure
    volume_per_stroke: Volume


class Pumps(Node):
    """Identical mud pumps."""

    count: int = Field(gt=0)
    power_each: Power
    mechanical_efficiency: Fraction = sourced(0.90, note="crankshaft to fluid")
    greatest_stroke_rate: Rate
    volumetric_efficiency: Fraction = sourced(0.96)
    liners: tuple[Liner, ...] = Field(min_length=1)
    surface_line_length: Length = sourced(180.0, note="standpipe, hose and top drive")
    surface_line_diameter: Length = sourced(0.0889, note="3 1/2 in bore equivalent")
    booster_flow_rate: FlowRate = sourced(0.0)


class Stores(Node):
    """What the vessel can hold on one voyage; resupply counted in ``resupplies``."""

    mud_volume: Volume
    barite: Mass
    cement: Mass
    drill_water: Volume
    resupplies: int = sourced(0)


class Handling(Node):
    """How fast things go on this vessel."""

    stand_length: Length
    time_per_stand: PositiveDuration = sourced(
        150.0, note="connection and hoisting, cased or open hole"
    )
    # of the time per stand, while a connection is made and the pipe stands still
    time_in_slips: PositiveDuration = sourced(60.0, "assumed", "two connections a stand are slower")
    time_per_stand_open_water: PositiveDuration = sourced(
        210.0, "odp-tn-trip-rate", "about 463 m/h in open water"
    )

    @model_validator(mode="after")
    def _moves_between_connections(self) -> Self:
        if self.time_in_slips >= min(self.time_per_stand, self.time_per_stand_open_water):
            raise ValueError(
                f"found a stand that takes {self.time_per_stand:g} s of which time_in_slips is "
                f"{self.time_in_slips:g} s; expected less in slips than the whole"
            )
        return self

    casing_joints_per_hour: PositiveRate = sourced(8.0 / 3600.0, note="large casing")
    casing_joint_length: Length = sourced(12.2, "api-5ct", "range 3")
    riser_joints_per_hour: PositiveRate = sourced(
        2.5 / 3600.0, "common-practice", "two to four an hour"
    )
    bottom_assembly_time: Duration = sourced(
        4 * 3600.0, note="pick up or lay down a bottom assembly"
    )
    rig_up_casing_time: Duration = sourced(6 * 3600.0)
    preventer_test_time: Duration = sourced(12 * 3600.0)
    preventer_test_interval: Annotated[Duration, Field(gt=0)] = sourced(
        14 * 86400.0, "common-practice", "14 to 21 days"
    )
    connection_time: Duration = sourced(8 * 60.0, note="drilling connection, a stand")
    surveying_time: Duration = sourced(12 * 3600.0, note="beacons set and calibrated, sea bed seen")
    leak_off_time: Duration = sourced(3 * 3600.0)
    riser_test_and_landing_time: Duration = sourced(36 * 3600.0)


class CementUnit(Node):
    """The high-pressure pumping unit."""

    greatest_pressure: Pressure
    greatest_rate: PositiveFlowRate


class Vessel(Node):
    """The drilling vessel."""

    name: str
    drill_floor_height: Length
    flow_line_height: LengthOrZero
    hull: Hull
    motions: Annotated[
        str | None,
        Field(description="CSV table of motions per wave amplitude; none: a box's closed form"),
    ] = None
    wind_coefficients: Annotated[
        str | None,
        Field(description="CSV table of wind loads by direction; none: by areas and a formula"),
    ] = None
    current_coefficients: Annotated[
        str | None,
        Field(description="CSV table of current loads by direction; none: by sizes and a formula"),
    ] = None
    thrusters: tuple[Thruster, ...] = Field(min_length=3)
    # no default: without it only the sectors that are written bar a thruster
    least_wash_thrust_share: Annotated[Fraction, Field(gt=0, lt=1)] | None = None
    switchboards: dict[str, Power]
    hotel_and_drilling_power: Power
    hoist: Hoist
    tensioners: Tensioners | None = None
    pumps: Pumps
    cement_unit: CementUnit
    stores: Stores
    handling: Handling
    tool_temperature_limit: Temperature = sourced(
        448.15, "common-practice", "175 degC electronics and elastomers"
    )
    endurance: Duration
