"""The marine drilling riser as a weight to be held: tension, buoyancy, mud, stroke, collapse."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

STANDARD_GRAVITY: Final = 9.80665  # m/s2, SI brochure

# API RP 16Q (1993) table 3.1, from memory; the second edition changed parts of it.
DRILLING_MEAN_ANGLE: Final = float(np.radians(2.0))  # flex joint, mean, drilling
DRILLING_MAX_ANGLE: Final = float(np.radians(4.0))  # flex joint, greatest, drilling
NON_DRILLING_SHARE_OF_STOP: Final = 0.9  # greatest angle connected, share of the joint's stop
DRILLING_STRESS_SHARE: Final = 0.4  # greatest stress over yield, drilling
NON_DRILLING_STRESS_SHARE: Final = 0.67  # connected without drilling, and disconnected

# API RP 16Q (1993): 1.05 and 0.96 unless weights and lift were measured; from memory
WEIGHT_TOLERANCE: Final = 1.05
BUOYANCY_TOLERANCE: Final = 0.96


@published(
    formula="W_s = m_r g (1 - rho_w / rho_s)",
    source="definition",
    where="Archimedes",
    example={
        "riser_mass": "1500 t",
        "steel_density": "7850 kg/m3",
        "sea_water_density": "1030 kg/m3",
    },
)
def riser_submerged_weight(
    riser_mass: Real, steel_density: Real, sea_water_density: Real, gravity: Real = STANDARD_GRAVITY
) -> Real:
    """Weight in water of the steel of a riser or stack, flooded inside.

    Parameters
    ----------
    riser_mass : [kg]
        Mass of the steel in air, buoyancy modules left out.
    steel_density : [kg/m3]
        Density of the steel.
    sea_water_density : [kg/m3]
        Mean density of the sea along it.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    riser_submerged_weight : [N]
        Weight in water.
    """
    return riser_mass * gravity * (1.0 - sea_water_density / steel_density)


@published(
    formula="B_n = (rho_w - rho_b) V_b g",
    source="definition",
    where="Archimedes",
    example={
        "buoyancy_volume": "900 m3",
        "buoyancy_density": "480 kg/m3",
        "sea_water_density": "1030 kg/m3",
    },
)
def buoyancy_lift(
    buoyancy_volume: Real,
    buoyancy_density: Real,
    sea_water_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Net lift of buoyancy modules.

    Parameters
    ----------
    buoyancy_volume : [m3]
        Volume of the modules.
    buoyancy_density : [kg/m3]
        Their density in service, water uptake included.
    sea_water_density : [kg/m3]
        Mean density of the sea along them.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    buoyancy_lift : [N]
        Lift in water less the modules' own weight.
    """
    return (sea_water_density - buoyancy_density) * buoyancy_volume * gravity


@published(
    formula="A_i = pi / 4 (d^2 + N_l d_l^2 + d_b^2)",
    source="api-rp-16q",
    where="inside area with choke, kill and auxiliary lines; from memory",
    example={
        "inside_diameter": "19.25 in",
        "line_inside_diameter": "4.5 in",
        "number_of_lines": "2",
        "booster_inside_diameter": "4 in",
    },
)
def riser_inside_area(
    inside_diameter: Real,
    line_inside_diameter: Real,
    number_of_lines: Real,
    booster_inside_diameter: Real,
) -> Real:
    """Area of mud inside a riser and the lines along it.

    Parameters
    ----------
    inside_diameter : [m]
        Bore of the riser.
    line_inside_diameter : [m]
        Bore of the choke and kill lines.
    number_of_lines : [-]
        How many of them stand full of mud.
    booster_inside_diameter : [m]
        Bore of the booster line, which is full of the mud that it brings; zero without one.

    Returns
    -------
    riser_inside_area : [m2]
        Area filled with mud.
    """
    lines = number_of_lines * line_inside_diameter**2 + booster_inside_diameter**2
    return np.pi / 4.0 * (inside_diameter**2 + lines)


@published(
    formula="W_m = A_i g (rho_m H_m - rho_w H_w)",
    source="api-rp-16q",
    where="mud term of the minimum slip-ring tension; from memory",
    example={
        "riser_inside_area": "0.22 m2",
        "mud_density": "1.3 sg",
        "mud_column_height": "3020 m",
        "sea_water_density": "1030 kg/m3",
        "sea_water_column_height": "3000 m",
    },
)
def riser_mud_weight_in_water(
    riser_inside_area: Real,
    mud_density: Real,
    mud_column_height: Real,
    sea_water_density: Real,
    sea_water_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Weight that the mud column adds to a riser above what the sea carries.

    The two columns differ: mud stands up to the flow line, water to the sea surface.

    Parameters
    ----------
    riser_inside_area : [m2]
        Area filled with mud.
    mud_density : [kg/m3]
        Density of the mud with its cuttings.
    mud_column_height : [m]
        Height of mud from the point looked at up to the flow line.
    sea_water_density : [kg/m3]
        Mean density of the sea.
    sea_water_column_height : [m]
        Height of water from the same point up to the sea surface.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    riser_mud_weight_in_water : [N]
        Force to be carried for the mud.
    """
    head = mud_density * mud_column_height - sea_water_density * sea_water_column_height
    return riser_inside_area * gravity * head


@published(
    formula='T_"SR" = W_s f_"wt" - B_n f_"bt" + W_m',
    source="api-rp-16q",
    where="minimum slip-ring tension; from memory",
    valid={
        "weight_tolerance": Limit(1.0, 1.1, "1.05 unless weighed"),
        "buoyancy_tolerance": Limit(0.8, 1.0, "0.96 unless measured by submerged weighing"),
    },
    example={
        "riser_submerged_weight": "12 MN",
        "buoyancy_lift": "9 MN",
        "riser_mud_weight_in_water": "1.8 MN",
    },
)
def minimum_slip_ring_tension(
    riser_submerged_weight: Real,
    buoyancy_lift: Real,
    riser_mud_weight_in_water: Real,
    weight_tolerance: Real = WEIGHT_TOLERANCE,
    buoyancy_tolerance: Real = BUOYANCY_TOLERANCE,
) -> Real:
    """Tension at the slip ring that just leaves no effective compression at a point below.

    The weights count from the point looked at (as a rule the lower end) to the slip ring.

    Parameters
    ----------
    riser_submerged_weight : [N]
        Weight in water of the riser's steel above the point.
    buoyancy_lift : [N]
        Net lift of the buoyancy modules above the point.
    riser_mud_weight_in_water : [N]
        Force to be carried for the mud above the point.
    weight_tolerance : [-]
        Factor on weight for what was not weighed.
    buoyancy_tolerance : [-]
        Factor on lift for lost modules, water uptake and scatter.

    Returns
    -------
    minimum_slip_ring_tension : [N]
        Least vertical force at the slip ring.
    """
    weight = riser_submerged_weight * weight_tolerance
    return weight - buoyancy_lift * buoyancy_tolerance + riser_mud_weight_in_water


@published(
    formula='T_"min" = (T_"SR" N_t) / (R_f (N_t - n_f))',
    source="api-rp-16q",
    where="minimum top tension; from memory",
    valid={
        "tension_reduction_factor": Limit(0.8, 1.0, "fleet angle and friction: 0.90 to 0.95"),
        "number_of_tensioners": Limit(2.0, 24.0),
    },
    validity_note="fewer tensioners fail than there are",
    example={
        "minimum_slip_ring_tension": "5 MN",
        "number_of_tensioners": "16",
        "failing_tensioners": "2",
        "tension_reduction_factor": "0.95",
    },
)
def minimum_top_tension(
    minimum_slip_ring_tension: Real,
    number_of_tensioners: Real,
    failing_tensioners: Real,
    tension_reduction_factor: Real,
) -> Real:
    """Tensioner setting that still holds the least slip-ring tension after sudden failures.

    Parameters
    ----------
    minimum_slip_ring_tension : [N]
        Least vertical force at the slip ring.
    number_of_tensioners : [-]
        Tensioners that hold the riser.
    failing_tensioners : [-]
        Tensioners that one failure takes away.
    tension_reduction_factor : [-]
        Vertical force at the slip ring over tensioner setting.

    Returns
    -------
    minimum_top_tension : [N]
        Least sum of the tensioner settings.
    """
    left = tension_reduction_factor * (number_of_tensioners - failing_tensioners)
    return minimum_slip_ring_tension * number_of_tensioners / left


@published(
    formula="T_e = T_w + rho_w g H_w pi / 4 D^2 - rho_m g H_m pi / 4 d^2",
    source="sparks-2007",
    where="effective tension, columns of water and mud put in",
    validity_note="one tube, uniform fluids, no flow",
    example={
        "wall_tension": "4 MN",
        "mud_density": "1.3 sg",
        "mud_column_height": "3020 m",
        "sea_water_density": "1030 kg/m3",
        "sea_water_column_height": "3000 m",
        "outside_diameter": "21 in",
        "inside_diameter": "19.25 in",
    },
)
def riser_effective_tension(
    wall_tension: Real,
    mud_density: Real,
    mud_column_height: Real,
    sea_water_density: Real,
    sea_water_column_height: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Effective tension of a riser from the tension in its steel.

    Parameters
    ----------
    wall_tension : [N]
        True force in the steel.
    mud_density : [kg/m3]
        Density of the mud with its cuttings.
    mud_column_height : [m]
        Height of mud from the point looked at up to the flow line.
    sea_water_density : [kg/m3]
        Mean density of the sea.
    sea_water_column_height : [m]
        Height of water from the same point up to the sea surface.
    outside_diameter : [m]
        Outside diameter of the riser's steel.
    inside_diameter : [m]
        Bore of the riser.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    effective_tension : [N]
        What governs shape and stability; negative lets the riser buckle.
    """
    quarter = np.pi / 4.0 * gravity
    outside = sea_water_density * sea_water_column_height * outside_diameter**2
    inside = mud_density * mud_column_height * inside_diameter**2
    return wall_tension + quarter * (outside - inside)


@published(
    formula="T_b = T_t - w_e L_r",
    source="definition",
    where="balance of a uniform vertical string",
    example={
        "top_tension": "6 MN",
        "effective_weight_per_length": "1.2 kN/m",
        "riser_length": "3000 m",
    },
)
def bottom_tension(
    top_tension: Real, effective_weight_per_length: Real, riser_length: Real
) -> Real:
    """Effective tension at the foot of a uniform riser.

    Parameters
    ----------
    top_tension : [N]
        Effective tension at the top.
    effective_weight_per_length : [N/m]
        Weight of riser and mud in water, less lift, per length.
    riser_length : [m]
        Length from the lower to the upper flex joint.

    Returns
    -------
    bottom_tension : [N]
        Effective tension at the lower flex joint.
    """
    return top_tension - effective_weight_per_length * riser_length


@published(
    formula="W_h = W_s - B_n + W_k",
    source="definition",
    where="balance of the hung-off riser, flooded with sea water",
    example={
        "riser_submerged_weight": "12 MN",
        "buoyancy_lift": "9 MN",
        "stack_submerged_weight": "1.5 MN",
    },
)
def hang_off_load(
    riser_submerged_weight: Real, buoyancy_lift: Real, stack_submerged_weight: Real
) -> Real:
    """Static load at the spider of a disconnected riser filled with sea water.

    Parameters
    ----------
    riser_submerged_weight : [N]
        Weight in water of the riser's steel.
    buoyancy_lift : [N]
        Net lift of the buoyancy modules.
    stack_submerged_weight : [N]
        Weight in water of what hangs below: lower riser package or whole stack.

    Returns
    -------
    hang_off_load : [N]
        Load at the top, mean over the waves.
    """
    return riser_submerged_weight - buoyancy_lift + stack_submerged_weight


@published(
    formula="W_p = W_h + m_h (2 pi / T_h)^2 a_m",
    source="definition",
    where="inertia of a rigid hung mass",
    validity_note="axial period of the hung riser well below the heave period",
    example={
        "hang_off_load": "4.5 MN",
        "hung_mass": "2500 t",
        "max_heave_amplitude": "2 m",
        "heave_period": "11 s",
    },
)
def hang_off_peak_load(
    hang_off_load: Real, hung_mass: Real, max_heave_amplitude: Real, heave_period: Real
) -> Real:
    """Greatest load at the top of a hung-off riser that heaves with the vessel.

    Parameters
    ----------
    hang_off_load : [N]
        Static load at the top.
    hung_mass : [kg]
        Mass of riser, buoyancy, stack, the water inside and the water that moves along.
    max_heave_amplitude : [m]
        Greatest amplitude of heave at the spider.
    heave_period : [s]
        Period of heave.

    Returns
    -------
    hang_off_peak_load : [N]
        Greatest load at the top.
    """
    return hang_off_load + hung_mass * (2.0 * np.pi / heave_period) ** 2 * max_heave_amplitude


@published(
    formula="W_l = W_h - m_h (2 pi / T_h)^2 a_m",
    source="definition",
    where="inertia of a rigid hung mass",
    validity_note="axial period of the hung riser well below the heave period",
    example={
        "hang_off_load": "4.5 MN",
        "hung_mass": "2500 t",
        "max_heave_amplitude": "2 m",
        "heave_period": "11 s",
    },
    caution="Below zero the riser is pushed: it lifts off the spider or buckles.",
)
def hang_off_least_load(
    hang_off_load: Real, hung_mass: Real, max_heave_amplitude: Real, heave_period: Real
) -> Real:
    """Least load at the top of a hung-off riser that heaves with the vessel.

    Buoyancy hurts here: it takes weight away and leaves the mass.

    Parameters
    ----------
    hang_off_load : [N]
        Static load at the top.
    hung_mass : [kg]
        Mass of riser, buoyancy, stack, the water inside and the water that moves along.
    max_heave_amplitude : [m]
        Greatest amplitude of heave at the spider.
    heave_period : [s]
        Period of heave.

    Returns
    -------
    hang_off_least_load : [N]
        Least load at the top.
    """
    return hang_off_load - hung_mass * (2.0 * np.pi / heave_period) ** 2 * max_heave_amplitude


@published(
    formula="s_o = sqrt(L_r^2 + delta_v^2) - L_r",
    source="definition",
    where="Pythagoras",
    validity_note="riser taken as straight",
    example={"riser_length": "3000 m", "vessel_offset": "60 m"},
)
def offset_stroke(riser_length: Real, vessel_offset: Real) -> Real:
    """Stroke that an offset draws out of the slip joint.

    Parameters
    ----------
    riser_length : [m]
        Length from the lower to the upper flex joint.
    vessel_offset : [m]
        Horizontal distance from above the well to the vessel.

    Returns
    -------
    offset_stroke : [m]
        Slip joint drawn out.
    """
    # the difference of two nearly equal lengths, written without cancellation
    return vessel_offset**2 / (np.hypot(riser_length, vessel_offset) + riser_length)


@published(
    formula="s_n = s_o + 2 a_m + r_d + s_e",
    source="common-practice",
    where="parts of the stroke added up",
    validity_note="all parts at their greatest at once, which errs to the safe side",
    example={
        "offset_stroke": "0.6 m",
        "max_heave_amplitude": "3 m",
        "tide_range": "1.2 m",
        "stretch_stroke": "0.5 m",
    },
)
def stroke_needed(
    offset_stroke: Real, max_heave_amplitude: Real, tide_range: Real, stretch_stroke: Real
) -> Real:
    """Stroke of the slip joint that the riser takes up.

    Parameters
    ----------
    offset_stroke : [m]
        Slip joint drawn out by offset.
    max_heave_amplitude : [m]
        Greatest amplitude of the vessel's heave at the riser.
    tide_range : [m]
        Low to high water.
    stretch_stroke : [m]
        Change of riser length by tension, mud and temperature.

    Returns
    -------
    stroke_needed : [m]
        To be held against the slip joint's stroke.
    """
    return offset_stroke + 2.0 * max_heave_amplitude + tide_range + stretch_stroke


@published(
    formula='p_"cr" = (p_E p_Y) / sqrt(p_E^2 + p_Y^2), quad '
    "p_E = (2 E) / (1 - nu^2) (t / D)^3, quad p_Y = (2 Y t) / D",
    source="api-rp-1111",
    where="collapse of pipe under external pressure; from memory",
    validity_note="round pipe, no tension, no bending",
    example={
        "outside_diameter": "21 in",
        "wall": "0.875 in",
        "yield_strength": "80 ksi",
        "young_modulus": "206 GPa",
        "poisson_ratio": "0.3",
    },
)
def riser_collapse_pressure(
    outside_diameter: Real,
    wall: Real,
    yield_strength: Real,
    young_modulus: Real,
    poisson_ratio: Real,
) -> Real:
    """Difference of outside and inside pressure at which a riser pipe collapses.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness left, corrosion and tolerance taken off.
    yield_strength : [Pa]
        Specified minimum yield strength.
    young_modulus : [Pa]
        Young's modulus.
    poisson_ratio : [-]
        Poisson's ratio.

    Returns
    -------
    riser_collapse_pressure : [Pa]
        Outside less inside pressure at collapse.
    """
    ratio = wall / outside_diameter
    elastic = 2.0 * young_modulus / (1.0 - poisson_ratio**2) * ratio**3
    yielding = 2.0 * yield_strength * ratio
    return elastic * yielding / np.hypot(elastic, yielding)


@published(
    formula='h_e = p_"cr" / (k_D rho_w g)',
    source="definition",
    where="column of sea water that the pipe bears with nothing inside",
    validity_note="pipe empty to that depth, gas inside at the pressure of the air",
    example={
        "riser_collapse_pressure": "25 MPa",
        "design_factor": "1.5",
        "sea_water_density": "1030 kg/m3",
    },
)
def empty_riser_depth(
    riser_collapse_pressure: Real,
    design_factor: Real,
    sea_water_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Depth below the sea surface to which a riser may stand empty.

    Parameters
    ----------
    riser_collapse_pressure : [Pa]
        Outside less inside pressure at collapse.
    design_factor : [-]
        Collapse pressure over allowed pressure.
    sea_water_density : [kg/m3]
        Mean density of the sea.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    empty_riser_depth : [m]
        Depth below the sea surface.
    """
    return riser_collapse_pressure / (design_factor * sea_water_density * gravity)


@published(
    formula="Delta p_s = p_s + rho_m g H_m - rho_w g H_w",
    source="definition",
    where="columns inside and outside at the stack",
    example={
        "surface_test_pressure": "35 MPa",
        "mud_density": "1.3 sg",
        "mud_column_height": "3020 m",
        "sea_water_density": "1030 kg/m3",
        "sea_water_column_height": "3000 m",
    },
)
def stack_pressure_difference(
    surface_test_pressure: Real,
    mud_density: Real,
    mud_column_height: Real,
    sea_water_density: Real,
    sea_water_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure across the wall of a sea-bed preventer when a pressure is put on at surface.

    Parameters
    ----------
    surface_test_pressure : [Pa]
        Gauge pressure put on at the drill floor.
    mud_density : [kg/m3]
        Density of the fluid in the test line.
    mud_column_height : [m]
        Height of that fluid above the stack.
    sea_water_density : [kg/m3]
        Mean density of the sea.
    sea_water_column_height : [m]
        Height of water above the stack.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    stack_pressure_difference : [Pa]
        Inside less outside pressure, to be held against the rating.
    """
    head = mud_density * mud_column_height - sea_water_density * sea_water_column_height
    return surface_test_pressure + gravity * head


@published(
    formula="N_j = ceil(L_r / l_r)",
    source="definition",
    where="whole joints",
    example={"riser_length": "2990 m", "riser_joint_length": "27.43 m"},
)
def riser_joint_count(riser_length: Real, riser_joint_length: Real) -> Real:
    """Full-length joints that reach the wanted length, the last one replaced by pups.

    Parameters
    ----------
    riser_length : [m]
        Length to be made up of joints.
    riser_joint_length : [m]
        Made-up length of one joint.

    Returns
    -------
    riser_joint_count : [-]
        Number of joints.
    """
    # a length that is a whole number of joints must not gain one by rounding
    return np.ceil(riser_length / riser_joint_length - 1e-9)


@published(
    formula="rho_r = (rho_m L_d - rho_w d_w) / (z_d - L_d)",
    source="definition",
    where="pressure at the foot of the hole with and without the riser",
    validity_note="hole deeper than the sea bed; sea surface calm",
    example={
        "mud_density": "9.2 ppg",
        "sea_water_density": "8.6 ppg",
        "mud_line_depth": "8000 ft",
        "water_depth": "8000 ft",
        "hole_depth_below_drill_floor": "13000 ft",
    },
    caution="In deep water the margin can rarely be kept; then other barriers stand for it.",
)
def riser_margin(
    mud_density: Real,
    sea_water_density: Real,
    mud_line_depth: Real,
    water_depth: Real,
    hole_depth_below_drill_floor: Real,
) -> Real:
    """Density to be added to the mud so that the hole stays balanced without the riser.

    With the riser: mud from the drill floor down. Without: sea water to the sea bed,
    mud from there. Equal pressure at the foot of the hole gives the difference.

    Parameters
    ----------
    mud_density : [kg/m3]
        Mud that balances the pore pressure with the riser on.
    sea_water_density : [kg/m3]
        Mean density of the sea.
    mud_line_depth : [m]
        Depth of the sea bed below the drill floor.
    water_depth : [m]
        Depth of the sea bed below mean sea level.
    hole_depth_below_drill_floor : [m]
        True vertical depth of the hole below the drill floor.

    Returns
    -------
    riser_margin : [kg/m3]
        Density to be added.
    """
    lost = mud_density * mud_line_depth - sea_water_density * water_depth
    return lost / (hole_depth_below_drill_floor - mud_line_depth)
