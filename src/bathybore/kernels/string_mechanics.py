"""What a hanging string weighs, how it stretches, and what slips, stops and heave do to it."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

STANDARD_GRAVITY: Final = 9.80665  # m/s2, SI brochure
STEEL_DENSITY: Final = 7850.0  # 65.5 lb/gal, common practice
YOUNG_MODULUS: Final = 30e6 * 6894.757293168361  # 30e6 psi, API RP 7G
POISSON_RATIO: Final = 0.28  # that of API RP 7G's stretch equation: 2 (1 - nu) = 1.44
THERMAL_EXPANSION: Final = 1.245e-5  # 6.9e-6 per degF, low-alloy steel, common practice

FLUID: Final = Limit(0.0, 2600.0, "drilling fluids and cements")


@published(
    formula="beta_f = 1 - rho_f / rho_s",
    source="definition",
    where="Archimedes: the same fluid inside and outside",
    valid={"fluid_density": FLUID},
    example={"fluid_density": "10.7 ppg"},
    caution="Two fluids (casing being cemented, riserless hole): use the buoyed weight instead.",
)
def buoyancy_factor(fluid_density: Real, steel_density: Real = STEEL_DENSITY) -> Real:
    """Share of the weight in air that steel keeps in a fluid.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid inside and outside.
    steel_density : [kg/m3]
        Density of the steel.

    Returns
    -------
    buoyancy_factor : [-]
        Weight in fluid over weight in air.
    """
    return 1.0 - fluid_density / steel_density


@published(
    formula="w_e = m g + pi / 4 (rho_i d^2 - rho_e D^2) g",
    source="sparks-2007",
    where="effective (apparent) weight per length",
    valid={"fluid_density_inside": FLUID, "fluid_density_outside": FLUID},
    example={
        "linear_mass": "47 lb/ft",
        "outside_diameter": "9 5/8 in",
        "inside_diameter": "8.681 in",
        "fluid_density_inside": "1.25 sg",
        "fluid_density_outside": "1.9 sg",
    },
    caution="Smooth pipe: couplings and joints displace a little more.",
)
def effective_weight_per_length(
    linear_mass: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    fluid_density_inside: Real,
    fluid_density_outside: Real,
) -> Real:
    """Weight per length of a pipe and its contents, less the fluid it displaces.

    Parameters
    ----------
    linear_mass : [kg/m]
        Mass per length in air, joints included.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    fluid_density_inside : [kg/m3]
        Density of the fluid inside.
    fluid_density_outside : [kg/m3]
        Density of the fluid outside.

    Returns
    -------
    effective_weight_per_length : [N/m]
        Negative where the pipe floats.
    """
    contents = fluid_density_inside * inside_diameter**2
    displaced = fluid_density_outside * outside_diameter**2
    return STANDARD_GRAVITY * (linear_mass + np.pi / 4.0 * (contents - displaced))


@published(
    formula="W_b = L [m g + pi / 4 (rho_i d^2 - rho_e D^2) g]",
    source="sparks-2007",
    where="effective weight of a vertical string, ends included",
    valid={"fluid_density_inside": FLUID, "fluid_density_outside": FLUID},
    example={
        "linear_mass": "47 lb/ft",
        "length": "3000 m",
        "outside_diameter": "9 5/8 in",
        "inside_diameter": "8.681 in",
        "fluid_density_inside": "1.25 sg",
        "fluid_density_outside": "1.25 sg",
    },
    caution="Vertical length; one pair of fluids: add the sections of a string.",
)
def buoyed_weight(
    linear_mass: Real,
    length: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    fluid_density_inside: Real,
    fluid_density_outside: Real,
) -> Real:
    """Weight of a vertical string in its fluids: steel plus contents less displaced fluid.

    What the hook carries when pressures inside and outside are zero at the top and the
    fluid inside hangs on the string or rests on its closed end; with one fluid on both
    sides it is the same as the weight in air times the buoyancy factor.

    Parameters
    ----------
    linear_mass : [kg/m]
        Mass per length in air, joints included.
    length : [m]
        Vertical length of the section.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    fluid_density_inside : [kg/m3]
        Mean density of the fluid inside.
    fluid_density_outside : [kg/m3]
        Mean density of the fluid outside.

    Returns
    -------
    buoyed_weight : [N]
        Negative where the section floats.
    """
    contents = fluid_density_inside * inside_diameter**2
    displaced = fluid_density_outside * outside_diameter**2
    return length * STANDARD_GRAVITY * (linear_mass + np.pi / 4.0 * (contents - displaced))


@published(
    formula="T_e = F_a + pi / 4 (p_e D^2 - p_i d^2)",
    source="sparks-2007",
    where="effective tension",
    example={
        "axial_force": "1000 kN",
        "internal_pressure": "40 MPa",
        "external_pressure": "30 MPa",
        "outside_diameter": "21 in",
        "inside_diameter": "19.25 in",
    },
)
def effective_tension(
    axial_force: Real,
    internal_pressure: Real,
    external_pressure: Real,
    outside_diameter: Real,
    inside_diameter: Real,
) -> Real:
    """Effective tension of a pipe from its wall tension and the pressures at that depth.

    Shape, side forces and buckling follow the effective tension; stress follows the wall
    tension.

    Parameters
    ----------
    axial_force : [N]
        True (wall) tension.
    internal_pressure : [Pa]
        Pressure inside.
    external_pressure : [Pa]
        Pressure outside.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.

    Returns
    -------
    effective_tension : [N]
        Negative where the pipe could buckle.
    """
    return axial_force + np.pi / 4.0 * (
        external_pressure * outside_diameter**2 - internal_pressure * inside_diameter**2
    )


@published(
    formula="F_a = T_e - pi / 4 (p_e D^2 - p_i d^2)",
    source="sparks-2007",
    where="effective tension, solved for the wall tension",
    example={
        "effective_tension": "1000 kN",
        "internal_pressure": "40 MPa",
        "external_pressure": "30 MPa",
        "outside_diameter": "21 in",
        "inside_diameter": "19.25 in",
    },
)
def wall_tension(
    effective_tension: Real,
    internal_pressure: Real,
    external_pressure: Real,
    outside_diameter: Real,
    inside_diameter: Real,
) -> Real:
    """True tension in the wall of a pipe from its effective tension: what stresses the steel.

    Parameters
    ----------
    effective_tension : [N]
        Effective weight hanging below, plus applied loads.
    internal_pressure : [Pa]
        Pressure inside.
    external_pressure : [Pa]
        Pressure outside.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.

    Returns
    -------
    axial_force : [N]
        True (wall) tension.
    """
    return effective_tension - np.pi / 4.0 * (
        external_pressure * outside_diameter**2 - internal_pressure * inside_diameter**2
    )


@published(
    formula="delta = (F_a L) / (E A_s)",
    source="definition",
    where="Hooke's law",
    example={"axial_force": "230 klbf", "length": "8500 ft", "pipe_body_area": "5.275 in2"},
    caution="Area of the plain pipe: an area from the weight with joints stretches too little.",
)
def stretch_under_load(
    axial_force: Real, length: Real, pipe_body_area: Real, young_modulus: Real = YOUNG_MODULUS
) -> Real:
    """Elastic stretch of a string under a pull that is the same along its length.

    Parameters
    ----------
    axial_force : [N]
        Pull beyond the string's own weight.
    length : [m]
        Length of the string.
    pipe_body_area : [m2]
        Cross-section of steel.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    stretch : [m]
        Elongation.
    """
    return axial_force * length / (young_modulus * pipe_body_area)


@published(
    formula="delta = (g L^2) / (2 E) [rho_s - 2 (1 - nu) rho_f]",
    source="api-rp-7g",
    where="stretch by own weight in mud: L^2 / 9.625e7 (65.44 - 1.44 W) in field units",
    valid={"fluid_density": FLUID},
    example={"length": "10000 m", "fluid_density": "1.2 sg"},
    caution="Vertical, uniform pipe, open end, the same fluid inside and outside.",
)
def stretch_under_own_weight(
    length: Real,
    fluid_density: Real,
    steel_density: Real = STEEL_DENSITY,
    young_modulus: Real = YOUNG_MODULUS,
    poisson_ratio: Real = POISSON_RATIO,
) -> Real:
    """Stretch of a freely hanging string by its own weight in a fluid.

    Steel below pulls, the fluid pushes up at the end and squeezes the pipe all along;
    the strain by all three integrated over the length.

    Parameters
    ----------
    length : [m]
        Vertical length of the string.
    fluid_density : [kg/m3]
        Density of the fluid inside and outside.
    steel_density : [kg/m3]
        Density of the steel.
    young_modulus : [Pa]
        Young's modulus.
    poisson_ratio : [-]
        Poisson's ratio.

    Returns
    -------
    stretch : [m]
        Elongation against the unloaded length.
    """
    load = steel_density - 2.0 * (1.0 - poisson_ratio) * fluid_density
    return STANDARD_GRAVITY * length**2 / (2.0 * young_modulus) * load


@published(
    formula="delta_T = alpha_T L Delta T",
    source="definition",
    where="linear thermal expansion",
    example={"length": "10000 ft", "temperature_change": "147.5 degF"},
)
def thermal_elongation(
    length: Real,
    temperature_change: Real,
    thermal_expansion_coefficient: Real = THERMAL_EXPANSION,
) -> Real:
    """Elongation of a free string by a change of its mean temperature.

    Parameters
    ----------
    length : [m]
        Length of the string.
    temperature_change : [K difference]
        Change of the mean temperature along it.
    thermal_expansion_coefficient : [1/K]
        Linear expansion of the steel.

    Returns
    -------
    thermal_elongation : [m]
        Elongation; negative when cooled.
    """
    return thermal_expansion_coefficient * length * temperature_change


@published(
    formula="L_f = (E A_s delta) / (Delta F)",
    source="api-rp-7g",
    where="free point from stretch, Hooke's law",
    example={
        "stretch": "24 in",
        "pull_difference": "30 klbf",
        "pipe_body_area": "5.2735 in2",
    },
    caution="Friction in a crooked hole makes the pipe look stuck higher than it is.",
)
def free_pipe_length(
    stretch: Real,
    pull_difference: Real,
    pipe_body_area: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Length of pipe free above a stuck point, from its stretch under an extra pull.

    Parameters
    ----------
    stretch : [m]
        Extra stretch at the top.
    pull_difference : [N]
        Extra pull that gave it.
    pipe_body_area : [m2]
        Cross-section of steel of the plain pipe.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    free_pipe_length : [m]
        Length of free pipe.
    """
    return young_modulus * pipe_body_area * stretch / pull_difference


@published(
    formula="K = 1 / tan(gamma + arctan mu)",
    source="reinhold-spiri-1959",
    where="lateral load factor of slips",
    valid={"friction_coefficient": Limit(0.0, 0.5, "greased to dry slip backs")},
    example={"friction_coefficient": "0.08", "slip_taper_angle": "9.4625 deg"},
    caution="The friction is that between slips and bowl: grease raises the crushing load.",
)
def slip_lateral_load_factor(friction_coefficient: Real, slip_taper_angle: Real) -> Real:
    """Lateral load of a set of slips per axial load: a wedge with friction on its back.

    Parameters
    ----------
    friction_coefficient : [-]
        Friction between the backs of the slips and the bowl.
    slip_taper_angle : [rad]
        Taper of the slips: 9°27'45'' (4 in diameter on 12 in) is usual.

    Returns
    -------
    slip_lateral_load_factor : [-]
        Lateral over axial load.
    """
    return 1.0 / np.tan(slip_taper_angle + np.arctan(friction_coefficient))


@published(
    formula="k_s = sqrt(1 + (D K) / (2 L_s) + ((D K) / (2 L_s))^2)",
    source="reinhold-spiri-1959",
    where="slip crushing constant: hoop compression over axial stress",
    valid={"outside_diameter": Limit(0.06, 0.4, "pipe held in rotary slips")},
    example={
        "outside_diameter": "5 7/8 in",
        "slip_length": "16 in",
        "slip_lateral_load_factor": "4.0",
    },
    caution="Even contact over the full slip length: worn inserts or bent pipe crush earlier.",
)
def slip_crush_stress_ratio(
    outside_diameter: Real, slip_length: Real, slip_lateral_load_factor: Real
) -> Real:
    """Equivalent over axial stress of a pipe held in slips.

    The lateral load, spread over the slips' contact, squeezes the pipe; the hoop
    compression and the axial tension are put together by the energy of distortion.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe held.
    slip_length : [m]
        Length of contact.
    slip_lateral_load_factor : [-]
        Lateral over axial load.

    Returns
    -------
    slip_crush_stress_ratio : [-]
        Factor by which the slips lessen the tension that the pipe bears.
    """
    squeeze = outside_diameter * slip_lateral_load_factor / (2.0 * slip_length)
    return np.sqrt(1.0 + squeeze + squeeze**2)


@published(
    formula="F_s = F_t / k_s",
    source="reinhold-spiri-1959",
    where="slip crushing: the tension capacity over the stress ratio",
    example={"tensile_capacity": "400 klbf", "slip_crush_stress_ratio": "1.42"},
)
def slip_tension_limit(tensile_capacity: Real, slip_crush_stress_ratio: Real) -> Real:
    """Greatest load that may hang in the slips without crushing the pipe.

    Parameters
    ----------
    tensile_capacity : [N]
        Tension that the pipe body bears in the open.
    slip_crush_stress_ratio : [-]
        Equivalent over axial stress in the slips.

    Returns
    -------
    slip_tension_limit : [N]
        Greatest axial load in the slips.
    """
    return tensile_capacity / slip_crush_stress_ratio


@published(
    formula="F_k = v A_s sqrt(E rho_s)",
    source="timoshenko-strength-2",
    where="stress wave of a suddenly stopped bar, from memory",
    valid={"running_speed": Limit(0.0, 5.0, "running and tripping speeds")},
    example={"running_speed": "0.9 m/s", "pipe_body_area": "13.57 in2"},
    caution="Use the peak speed, not the mean: about 1.5 times it.",
)
def shock_load(
    running_speed: Real,
    pipe_body_area: Real,
    young_modulus: Real = YOUNG_MODULUS,
    steel_density: Real = STEEL_DENSITY,
) -> Real:
    """Axial force when a moving string is stopped at once: slips that close, a bridge that is hit.

    A stress wave carries the change of speed away at the speed of sound in steel; the
    force is density times sound speed times speed, over the steel area. Field rule:
    1780 lbf per ft/s and square inch.

    Parameters
    ----------
    running_speed : [m/s]
        Speed at the moment of the stop.
    pipe_body_area : [m2]
        Cross-section of steel.
    young_modulus : [Pa]
        Young's modulus.
    steel_density : [kg/m3]
        Density of the steel.

    Returns
    -------
    shock_load : [N]
        Added tension above the stop, or compression where the foot hits.
    """
    return running_speed * pipe_body_area * np.sqrt(young_modulus * steel_density)


@published(
    formula="T_t = W_b + F_d + F_o",
    source="definition",
    where="sum of forces at the top",
    example={"buoyed_weight": "2500 kN", "drag_force": "100 kN", "overpull": "450 kN"},
)
def top_tension_with_overpull(buoyed_weight: Real, drag_force: Real, overpull: Real) -> Real:
    """Tension at the top of a string that is pulled: weight, drag and overpull.

    Parameters
    ----------
    buoyed_weight : [N]
        Weight of the string in its fluids.
    drag_force : [N]
        Friction along the hole while pulling.
    overpull : [N]
        Pull kept for freeing the string.

    Returns
    -------
    top_tension : [N]
        Tension at the top.
    """
    return buoyed_weight + drag_force + overpull


@published(
    formula="F_m = F_t - T_t",
    source="api-rp-7g",
    where="margin of overpull",
    example={"tensile_capacity": "450675 lbf", "top_tension": "173675 lbf"},
    caution="The capacity is that allowed: RP 7G takes 0.9 of the pipe's yield load.",
)
def margin_of_overpull(tensile_capacity: Real, top_tension: Real) -> Real:
    """Pull that is left above the working tension.

    Parameters
    ----------
    tensile_capacity : [N]
        Allowed tension of the section.
    top_tension : [N]
        Working tension at the top of the section.

    Returns
    -------
    margin_of_overpull : [N]
        Negative where the working tension already exceeds the capacity.
    """
    return tensile_capacity - top_tension


@published(
    formula="T_n = 4 L sqrt(m / (E A_s))",
    source="definition",
    where="longitudinal vibration of a bar held at one end: a quarter wave",
    example={"length": "9000 m", "linear_mass": "38 kg/m", "pipe_body_area": "6.25 in2"},
    caution="Without damping and without a heavy assembly at the foot, which lengthens it.",
)
def axial_natural_period(
    length: Real, linear_mass: Real, pipe_body_area: Real, young_modulus: Real = YOUNG_MODULUS
) -> Real:
    """First axial period of a hanging string: heave of this period is magnified.

    Parameters
    ----------
    length : [m]
        Length of the string.
    linear_mass : [kg/m]
        Mass per length in air, joints included.
    pipe_body_area : [m2]
        Cross-section of steel of the pipe body.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    axial_natural_period : [s]
        First natural period.
    """
    return 4.0 * length * np.sqrt(linear_mass / (young_modulus * pipe_body_area))


@published(
    formula="F_h = a_h omega sqrt(E A_s m) abs(tan(omega L sqrt(m / (E A_s)))), "
    "quad omega = 2 pi / T_h",
    source="definition",
    where="steady longitudinal vibration of a uniform bar, moved at one end, free at the other",
    validity_note="Away from the natural periods: there damping, left out here, decides.",
    example={
        "heave_amplitude": "0.3 m",
        "heave_period": "12 s",
        "length": "5000 m",
        "linear_mass": "38 kg/m",
        "pipe_body_area": "6.25 in2",
    },
    caution="No damping, foot free: near the natural period it overstates without bound.",
)
def heave_tension(
    heave_amplitude: Real,
    heave_period: Real,
    length: Real,
    linear_mass: Real,
    pipe_body_area: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Amplitude of the top tension of a hanging string whose top heaves.

    A short string gives mass times acceleration; a long one answers in waves.

    Parameters
    ----------
    heave_amplitude : [m]
        Amplitude of the motion of the top, after compensation.
    heave_period : [s]
        Period of the motion.
    length : [m]
        Length of the string.
    linear_mass : [kg/m]
        Mass per length in air, joints included.
    pipe_body_area : [m2]
        Cross-section of steel of the pipe body.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    heave_tension_amplitude : [N]
        Amplitude about the static tension.
    """
    frequency = 2.0 * np.pi / heave_period
    stiffness = young_modulus * pipe_body_area
    phase = frequency * length * np.sqrt(linear_mass / stiffness)
    impedance = np.sqrt(stiffness * linear_mass)
    return heave_amplitude * frequency * impedance * np.abs(np.tan(phase))
