"""The design basis: every margin, factor and threshold the checks compare with, and its source."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bathybore.model.fields import (
    Angle,
    Area,
    Conductivity,
    Confidence,
    Curvature,
    CurvatureOrNone,
    Density,
    DensityDifference,
    DesignFactor,
    Diffusivity,
    Duration,
    FilmCoefficient,
    FlowRate,
    Force,
    Fraction,
    Length,
    Node,
    PositiveDuration,
    PositiveRate,
    PositiveRatio,
    PositiveSpeed,
    Pressure,
    Ratio,
    ShareBelowOne,
    Temperature,
    TemperatureSpread,
    TurningStiffness,
    Volume,
    quantity,
    sourced,
)


class DesignBasis(Node):
    """Margins and factors. Each default names its source; none found means assumed."""

    # how close is tight
    tight_band: Fraction = sourced(0.05, note="share of a capacity left at which a check is tight")
    tight_band_window: Fraction = sourced(
        0.005, note="the same for pressures in the window, where margins are already in the limit"
    )

    # the window
    trip_margin: DensityDifference = sourced(
        30.0, "common-practice", "0.25 ppg over pore pressure, to the drill floor"
    )
    fracture_margin: DensityDifference = sourced(
        24.0, "common-practice", "0.2 ppg under fracture pressure, to the drill floor"
    )
    placement_fracture_margin: Pressure = sourced(0.0, note="while cement is placed")
    thickening_margin: Duration = sourced(
        3600.0, "common-practice", "1 to 2 h from the plug landed to slurry that thickens"
    )

    least_standoff: Fraction = sourced(
        0.67, "common-practice", "of centralized casing, for mud to move on the narrow side"
    )
    cement_above_flow: Length = sourced(
        60.0, "common-practice", "60 to 150 m of cement over what can flow behind a casing"
    )

    trip_speed_factor: Ratio = sourced(1.5, note="peak over mean speed of a stand")
    # peak speed that the crew keeps to in open hole; without it, as fast as it trips elsewhere
    open_hole_trip_speed: PositiveSpeed | None = None

    # kicks
    kick_intensity: DensityDifference = sourced(
        60.0, "common-practice", "0.5 ppg above the mud in use"
    )
    kick_fluid: Literal["gas", "as told"] = sourced(
        "gas", "common-practice", "or as the earth table's formation_fluid tells"
    )
    kick_volume: Volume = sourced(8.0, "common-practice", "about 50 bbl at bottom")
    slow_circulating_rate: FlowRate = sourced(
        500 / 60000.0, "common-practice", "500 L/min through one choke line"
    )
    gas_gravity: Ratio = sourced(0.6, note="mostly methane")
    shallow_overpressure: DensityDifference = sourced(
        509.5,
        "iodp-308-u1323a",
        "150 psi at 207 m below the sea bed, as density from there; one hole, taken as a rule",
    )

    # a kick in time
    influx_duration: PositiveDuration = sourced(
        600.0, note="from its first bubble to the closed preventer"
    )
    shut_in_duration: Duration = sourced(1800.0, note="gauges settle, the kill is planned")
    kill_overbalance: Pressure = sourced(
        0.0, note="held above the formation pressure while a kick is circulated out"
    )
    surface_tension: Annotated[float, *quantity("N/m"), Field(gt=0)] = sourced(
        0.06, note="of gas in water-based mud"
    )
    greatest_pit_gain: Volume = sourced(30.0, note="that the pits take up while gas expands")
    separator_capacity: FlowRate = sourced(
        4.0, note="of the mud-gas separator, as standard volume: some 12 million ft3 a day"
    )
    diverter_line_diameter: Length = sourced(0.3048, note="12 in")
    diverter_line_length: Length = sourced(60.0, note="with what its bends stand for")
    diverter_pressure: Pressure = sourced(
        0.7e6, note="100 psi at the diverter: the packer of the slip joint bears little more"
    )
    # by how much salt and glycol in stack and lines lower the temperature at which hydrates form,
    # against fresh water
    hydrate_suppression: TemperatureSpread | None = None
    hydrate_margin: TemperatureSpread = sourced(
        3.0, "assumed", "gas heavier than methane freezes warmer: of 0.6 some 3 K; scatter of fits"
    )

    # steel
    burst_factor: DesignFactor = sourced(
        1.1, "common-practice", "1.1 is the usual burst design factor"
    )
    collapse_factor: DesignFactor = sourced(1.125, "common-practice", "1.0 to 1.125")
    tension_factor: DesignFactor = sourced(1.6, "common-practice", "1.6 to 1.8 on the pipe body")
    triaxial_factor: DesignFactor = sourced(1.25, "common-practice", "1.25 on von Mises yield")
    casing_wear: ShareBelowOne = sourced(
        0.0, note="share of the wall that drilling through it wears away; none unless told"
    )
    casing_dogleg: CurvatureOrNone = sourced(
        0.0, note="curvature that bends a casing where it stands; straight unless told"
    )
    casing_evacuated: bool = sourced(
        False, note="whether a casing must bear being empty down to its shoe"
    )
    bump_pressure: Pressure = sourced(3.5e6, "common-practice", "500 psi to seat the plug")
    casing_overpull: Force = sourced(445e3, note="100 klbf to free a casing")
    string_overpull: Force = sourced(445e3, "common-practice", "100 klbf margin of overpull")
    string_tension_share: Fraction = sourced(
        0.9, "api-rp-7g", "share of the tensile capacity that may be used"
    )
    string_drag_coefficient: Ratio = sourced(
        1.2, note="of the current on pipe in open water, tool joints and couplings counted in"
    )
    bit_weight_share: Fraction = sourced(
        0.85, "common-practice", "80 to 90 % of the buoyed weight of collars and heavy pipe"
    )
    hook_load_share: Fraction = sourced(0.9, note="share of the hook rating that may be used")

    # rise of the mean temperature of a casing and its closed annulus while mud comes up in it
    annulus_warming: TemperatureSpread | None = None
    # fall of the mean temperature of a casing while mud is pumped down to kill a kick
    casing_cooling: TemperatureSpread | None = None

    # fit
    casing_clearance: Length = sourced(
        0.01905,
        "common-practice",
        "hole less coupling, on diameter: 7 in in 8 1/2 in leaves 0.84 in",
    )

    # flow
    transport_ratio: Fraction = sourced(
        0.5, "common-practice", "cuttings rise at half the fluid speed at least"
    )
    transport_ratio_riserless: Fraction = sourced(
        0.1, note="mean over time with sweeps; returns go no further than the sea floor"
    )
    cuttings_concentration: Fraction = sourced(
        0.05, "common-practice", "5 % by volume; more packs off"
    )
    bottoms_up_before_trip: PositiveRatio = sourced(
        2.0, "common-practice", "1.5 to 2 in a hole near the vertical, before the string is pulled"
    )
    sweep_height: Length = sourced(
        60.0, "common-practice", "50 to 150 m of the annulus, so that chips stay inside a sweep"
    )
    cuttings_diameter: Length = sourced(0.00635, note="quarter-inch chips")
    cuttings_density: Density = sourced(2600.0, note="grain density of the rock")
    pump_pressure_share: Fraction = sourced(0.95, note="share of the liner rating in steady use")

    string_eccentricity: ShareBelowOne = sourced(
        0.0, note="offset of the string over its radial clearance; none unless told"
    )
    tool_joints_counted: bool = sourced(
        False, note="whether tool joints narrow the annulus round drill pipe"
    )
    rotation_factor: PositiveRatio = sourced(
        1.0, note="on the friction of every annulus while the string turns; none unless told"
    )

    # heat
    circulating_time: PositiveDuration = sourced(
        24 * 3600.0, note="of circulation before its temperatures are asked for"
    )
    pumps_stopped: PositiveDuration = sourced(
        4 * 3600.0, note="of the pumps after circulation, while the hole warms the tools again"
    )
    pumped_temperature: Temperature = sourced(
        293.15, note="mud as it leaves the pits; sea water is as warm as the surface of the sea"
    )
    ground_conductivity: Conductivity = sourced(1.8, note="deep-sea sediment, 1 to 2.5 W/m/K")
    ground_diffusivity: Diffusivity = sourced(7e-7, note="sediment with its water")
    mud_conductivity: Conductivity = sourced(0.7, note="water-based mud, a little above water")
    sea_film_coefficient: FilmCoefficient = sourced(500.0, note="pipe or riser in a slow current")
    buoyancy_conductivity: Conductivity = sourced(
        0.15, note="buoyancy modules that lie close to the riser"
    )

    # mud
    pit_reserve: Volume = sourced(120.0, note="working volume in the pits beside the hole's own")
    mud_on_cuttings_ratio: Ratio = sourced(1.0, note="mud that leaves with a volume of rock")
    solids_control_efficiency: Fraction = sourced(
        0.7, "common-practice", "0.6 to 0.8 of the drilled solids, shakers and centrifuges"
    )
    drilled_solids_fraction: PositiveRatio = sourced(
        0.06, "common-practice", "5 to 6 % by volume stays in the mud at most"
    )
    chemicals_per_volume: DensityDifference = sourced(
        40.0, note="dry chemicals in new mud beside its barite: clay, polymers, salts"
    )
    greatest_discharge: Volume | None = None  # of mud into the sea, over the whole operation
    trip_tank_area: Area = sourced(2.5, note="section of the tank that the hole is filled from")
    trip_tank_volume: Annotated[Volume, Field(gt=0)] = sourced(
        8.0, "common-practice", "50 bbl of it in use"
    )
    stands_between_fills: Annotated[int, Field(ge=1)] = sourced(
        5, "common-practice", "stands of drill pipe pulled before the hole is filled again"
    )
    pad_volumes: Ratio = sourced(1.5, "common-practice", "hole volumes left before casing is run")

    # the drill string in the hole
    friction_cased: Fraction = sourced(
        0.2, "common-practice", "0.15 to 0.25 of steel on steel in water-based mud"
    )
    friction_open: Fraction = sourced(
        0.3, "common-practice", "0.25 to 0.35 of steel on rock in water-based mud"
    )
    bit_friction: Ratio = sourced(0.4, note="between roller bits, 0.2, and drag bits, 0.6 and more")
    string_torque_share: Fraction = sourced(
        0.6, "common-practice", "connections are made up to 60 % of their yield: no more may turn"
    )
    string_unfilled_length: Length = sourced(
        500.0, note="of pipe run with a float in it before it is filled"
    )

    # the path of the hole
    greatest_hole_inclination: Angle = sourced(
        0.08726646259971647, note="5 degrees of a hole that is meant vertical"
    )
    greatest_dogleg: Curvature = sourced(
        1.7453292519943295e-3, "common-practice", "3 degrees in 30 m, for wear and for casing"
    )
    greatest_depth_shortfall: Length = sourced(
        10.0, note="by which pipe that was counted may miss the depth of the target"
    )

    # conductor
    greatest_inclination: Angle = sourced(
        0.02617993877991494, "common-practice", "1.5 degrees at the wellhead"
    )
    conductor_capacity_factor: DesignFactor = sourced(
        1.5, note="on axial capacity at the time of load"
    )
    jetting_weight_share: Fraction = sourced(
        0.85, note="share of the conductor's own weight that may be let down while jetting"
    )

    jetting_adhesion: Fraction = sourced(
        0.04, note="share of undrained strength on the outer wall while the jet runs"
    )
    immediate_share: Fraction = sourced(
        0.05, note="share of full skin friction an hour after jetting"
    )
    recovery_per_decade: Fraction = sourced(0.1, note="share regained for each tenfold of time")
    set_up_reference_time: Duration = sourced(3600.0, note="one hour")

    # conductor and wellhead under the riser
    half_strength_strain: Fraction = sourced(
        0.02, "matlock-1970", "soft clay; 0.01 for medium, 0.005 for stiff clay; from memory"
    )
    flex_joint_stiffness: TurningStiffness = sourced(
        4010704.565915762, note="70 kN m per degree at the lower flex joint"
    )
    conductor_stress_share: Fraction = sourced(
        0.67, note="of yield, bending and axial stress together, as for the riser"
    )
    greatest_wellhead_rotation: Angle = sourced(
        0.03490658503988659,
        note="2 degrees gained under the riser: what the lower flex joint may turn on the mean",
    )
    greatest_wellhead_displacement: Length = sourced(0.4, note="sideways, under the riser")
    greatest_wellhead_settlement: Length = sourced(
        0.05, note="stack and casing set on it; the guide base must stay clear of the mud"
    )

    # station and riser
    watch_offset_share: Fraction = sourced(
        0.02, "common-practice", "2 to 3 % of water depth stops the operation"
    )
    position_confidence: Confidence = sourced(0.95, note="share of fixes inside the radius")
    station_reserve: Fraction = sourced(
        0.25,
        note="on the mean load, for gusts and slow drift, which do not stop when a thruster or "
        "switchboard is lost: kept intact and after the worst single failure",
    )
    power_reserve: Fraction = sourced(0.2, note="share of installed power kept back")
    vessel_tilt_greatest: Angle = sourced(
        0.08726646259971647, note="5 degrees of pitch or roll in which pipe is still handled"
    )
    flex_joint_drilling: Angle = sourced(
        0.03490658503988659, "api-rp-16q", "mean 2 degrees while drilling; from memory"
    )
    flex_joint_greatest: Angle = sourced(
        0.06981317007977318, "api-rp-16q", "greatest 4 degrees with a string inside; from memory"
    )
    flex_joint_stop_share: Fraction = sourced(
        0.9, "api-rp-16q", "of the joint's stop, while connected without drilling; from memory"
    )
    disconnect_reaction_time: Duration = sourced(
        30.0, note="from the loss of thrust to the disconnect button, the crew being on alert"
    )
    disconnect_prepare_time: Duration = sourced(
        30.0, note="to stop, lift off and close in, before the disconnect button may be needed"
    )
    disconnect_advise_time: Duration = sourced(
        30.0, note="to call the crew to their posts before they must prepare"
    )
    drift_off_stress_share: Fraction = sourced(
        1.0,
        note="of yield in riser, conductor and first casing while the vessel drifts off: an "
        "accident, where 0.67 is for work and 0.8 for an extreme",
    )
    drive_off_thrust_share: Fraction = sourced(
        1.0, note="of all thrust, that pushes down the weather when thrusters are stuck"
    )
    drive_off_duration: Duration = sourced(30.0, note="until stuck thrusters are stopped")
    station_control_period: PositiveDuration = sourced(
        120.0, note="of the vessel on its position control: 60 to 200 s is usual"
    )
    thruster_response_time: PositiveDuration = sourced(
        10.0, note="to follow a command, and from none to full thrust"
    )
    securing_time: Duration = sourced(
        24 * 3600.0, note="to pull into the casing, close in and displace the riser before a storm"
    )
    storm_warning_time: Duration = sourced(
        72 * 3600.0, note="between a forecast that is believed and the storm"
    )
    riser_stress_share: Fraction = sourced(
        0.67, "api-rp-16q", "of yield where stress ranges are analysed apart; from memory"
    )
    tensioner_share: Fraction = sourced(
        0.9, "common-practice", "setting no higher than 90 % of the dynamic limit"
    )
    riser_drag_coefficient: Ratio = sourced(1.2, note="rough cylinder with lines, mean")
    riser_collapse_factor: DesignFactor = sourced(1.1, note="on the collapse of an emptied riser")
    riser_emptied_share: Fraction = sourced(0.5, note="share of the riser that gas may empty")
    # riser in the sea
    upper_flex_joint_stiffness: TurningStiffness = sourced(
        1432394.487827058, note="25 kN m per degree at the upper flex joint"
    )
    riser_added_mass_coefficient: Ratio = sourced(
        1.0, "dnv-rp-c205", "of a smooth cylinder far from walls; from memory"
    )
    buoyancy_module_density: Annotated[float, *quantity("kg/m3"), Field(gt=0, lt=1000)] = sourced(
        550.0, "common-practice", "450 to 650 kg/m3, the deeper the heavier"
    )
    riser_strouhal_number: PositiveRatio = sourced(
        0.2, "common-practice", "rough cylinders, and smooth ones below the drag crisis"
    )
    riser_stress_concentration: DesignFactor = sourced(1.2, note="at the girth welds of the riser")
    riser_fatigue_factor: DesignFactor = sourced(
        3.0, "common-practice", "on time, for joints inspected between holes"
    )
    hang_off_damping: Annotated[float, *quantity("-"), Field(gt=0, le=0.3)] = sourced(
        0.03, note="of critical, along the hung riser: steel, couplings and water"
    )
    rotary_speed: PositiveRate = sourced(2.0, "common-practice", "120 revolutions per minute")
    # measured for mud, hard facing and riser steel: no number serves for all, so none is assumed
    riser_wear_factor: Annotated[float, *quantity("1/Pa"), Field(gt=0)] | None = None
    riser_wear_allowance: Length | None = None  # of a flex joint or its sleeve
    riser_pipe_wear_allowance: Length | None = None  # of the wall between the flex joints
    riser_hang_off: Literal["hard", "soft"] = sourced(
        "hard", "assumed", "held as hard as the vessel moves; soft: on the tensioners"
    )
    anti_recoil_time: Duration = sourced(
        1.0, note="after the release, as if the tensioners pulled in full till then and not after"
    )

    # the weather in which an operation stops; the planned weather stops it as well
    station_wave_height: Length = sourced(
        6.0, note="the vessel over the hole, nothing else being done"
    )
    station_wind_speed: PositiveSpeed = sourced(25.0, note="mean over 10 min")
    station_current: PositiveSpeed = sourced(1.5, note="at the surface")
    running_riser_wave_height: Length = sourced(
        3.5, note="riser and preventer while they are run or pulled: 2.5 to 4 m is usual"
    )
    running_riser_wind_speed: PositiveSpeed = sourced(18.0, note="mean over 10 min")
    running_riser_current: PositiveSpeed = sourced(1.0, note="at the surface")
    running_casing_wave_height: Length = sourced(
        4.0, note="conductor and casing while they are run"
    )
    running_casing_wind_speed: PositiveSpeed = sourced(20.0, note="mean over 10 min")
    running_casing_current: PositiveSpeed = sourced(1.0, note="at the surface")
    drilling_wave_height: Length = sourced(5.0, note="drilling and trips, the heave compensated")
    drilling_wind_speed: PositiveSpeed = sourced(25.0, note="mean over 10 min")
    drilling_current: PositiveSpeed = sourced(1.5, note="at the surface")
    coring_wave_height: Length = sourced(4.5, note="coring, where heave spoils the core first")
    coring_wind_speed: PositiveSpeed = sourced(25.0, note="mean over 10 min")
    coring_current: PositiveSpeed = sourced(1.5, note="at the surface")
    cementing_wave_height: Length = sourced(5.0, note="cement jobs and plugs")
    cementing_wind_speed: PositiveSpeed = sourced(25.0, note="mean over 10 min")
    cementing_current: PositiveSpeed = sourced(1.5, note="at the surface")

    # barriers and time
    least_wait_on_cement: Duration = sourced(
        8 * 3600.0, "common-practice", "8 to 12 h before drilling out"
    )
    least_plug_length: Length = sourced(50.0, "common-practice", "50 to 100 m")
    least_contingency_strings: int = sourced(
        1, "common-practice", "one casing size in hand for what the prognosis did not tell"
    )
    least_barriers: int = sourced(
        2, "common-practice", "two independent barriers once anything can flow"
    )
    days_available: Duration | None = None
    least_chance: Fraction = sourced(
        0.5, note="of coming to the target with every margin kept: more likely than not"
    )
    trouble_factor: DesignFactor = sourced(1.15, note="time added for trouble, on every step")
