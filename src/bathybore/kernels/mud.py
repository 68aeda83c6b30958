"""Columns of fluid and the volumes, barite and water that change a mud."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Standard acceleration of free fall, SI brochure (9th ed.), conventional value.
STANDARD_GRAVITY: Final = 9.80665
# Least density that API Spec 13A accepts for drilling-grade barite; from memory.
BARITE_DENSITY: Final = 4200.0


@published(
    formula="p_h = rho_f g h",
    source="definition",
    where="hydrostatics of a fluid of one density",
    example={"fluid_density": "12.2 ppg", "height": "3700 m"},
    caution="0.052 psi/ft per ppg, as handbooks round it, is 0.10 % more than this.",
)
def hydrostatic_pressure(
    fluid_density: Real,
    height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure that a column of fluid of one density adds from its top to its foot.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid in the column.
    height : [m]
        True vertical height of the column, top to foot.
    gravity : [m/s2]
        Acceleration of gravity at the site; standard where none is given.

    Returns
    -------
    hydrostatic_pressure : [Pa]
        Pressure at the foot less the pressure at the top.
    """
    return fluid_density * gravity * height


@published(
    formula='rho_"eq" = p / (g h)',
    source="definition",
    where="hydrostatics of a fluid of one density, inverted",
    valid={"height": Limit(1e-9, 2e4, "a height below the datum that the density refers to")},
    example={"pressure": "50 MPa", "height": "4000 m"},
    caution="Only meaningful with the datum at the top of the height: never mix datums.",
)
def equivalent_density(
    pressure: Real,
    height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Density of the one fluid that, filling a height, would give a pressure at its foot.

    Parameters
    ----------
    pressure : [Pa]
        Pressure at the foot, less the pressure at the top of the height.
    height : [m]
        True vertical height from the stated datum down to the point.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    equivalent_density : [kg/m3]
        Equivalent density to the datum at the top of the height.
    """
    return pressure / (gravity * height)


@published(
    formula="rho = rho_0 exp(c_f p - beta_f (T - T_0))",
    source="definition",
    where="constant compressibility and constant thermal expansion, integrated",
    valid={
        "compressibility": Limit(0.0, 2e-9, "liquids"),
        "pressure": Limit(-1e5, 2e8, "constant coefficients"),
    },
    validity_note="Constant coefficients: measure the mud when more than 0.5 % of density matters.",
    example={
        "density_at_surface_conditions": "1.20 sg",
        "pressure": "60 MPa",
        "temperature": "60 degC",
        "compressibility": "4.4e-10 1/Pa",
        "fluid_thermal_expansion": "3.5e-4 1/K",
        "reference_temperature": "20 degC",
    },
)
def density_at(
    density_at_surface_conditions: Real,
    pressure: Real,
    temperature: Real,
    compressibility: Real,
    fluid_thermal_expansion: Real,
    reference_temperature: Real = 293.15,
) -> Real:
    """Density of a liquid under pressure and away from the temperature it was weighed at.

    The logarithm of density is linear in pressure and temperature, which is what
    constant coefficients mean and what the closed form of the column needs.

    Parameters
    ----------
    density_at_surface_conditions : [kg/m3]
        Density as weighed: no gauge pressure, reference temperature.
    pressure : [Pa]
        Gauge pressure on the fluid.
    temperature : [K]
        Temperature of the fluid.
    compressibility : [1/Pa]
        Relative gain of density per pressure.
    fluid_thermal_expansion : [1/K]
        Relative loss of density per degree (by volume).
    reference_temperature : [K]
        Temperature at which the fluid was weighed.

    Returns
    -------
    density_in_place : [kg/m3]
        Density under that pressure and temperature.
    """
    exponent = compressibility * pressure - fluid_thermal_expansion * (
        temperature - reference_temperature
    )
    return density_at_surface_conditions * np.exp(exponent)


@published(
    formula="p = -1/c_f ln(exp(-c_f p_t) - c_f rho_0 g h)",
    source="definition",
    where="closed form of dp/dz = rho_0 g exp(c p)",
    valid={"compressibility": Limit(0.0, 2e-9, "liquids")},
    validity_note="One temperature; the height must be short of the 1/(c rho g) where it diverges.",
    example={
        "pressure_at_top": "30 MPa",
        "density_at_surface_conditions": "1.20 sg",
        "compressibility": "4.4e-10 1/Pa",
        "height": "3000 m",
    },
)
def compressible_column_pressure(
    pressure_at_top: Real,
    density_at_surface_conditions: Real,
    compressibility: Real,
    height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure at the foot of a column of a liquid of constant compressibility.

    Density grows with pressure as exp(c p); dp/dz = rho_0 g exp(c p) has this closed
    integral. A compressibility of zero gives the plain column.

    Parameters
    ----------
    pressure_at_top : [Pa]
        Gauge pressure at the top of the column.
    density_at_surface_conditions : [kg/m3]
        Density at no gauge pressure.
    compressibility : [1/Pa]
        Relative gain of density per pressure.
    height : [m]
        True vertical height of the column.
    gravity : [m/s2]
        Acceleration of gravity at the site; standard where none is given.

    Returns
    -------
    pressure_at_bottom : [Pa]
        Gauge pressure at the foot.
    """
    weight = density_at_surface_conditions * gravity * height
    stiff = np.abs(compressibility) < 1e-16
    safe = np.where(stiff, 1e-16, compressibility)
    # log1p keeps the digits that 1 - (a small number) would lose
    soft = pressure_at_top - np.log1p(-safe * weight * np.exp(safe * pressure_at_top)) / safe
    return np.where(stiff, pressure_at_top + weight, soft)


@published(
    formula="m_b = V_m rho_b (rho_t - rho_m) / (rho_b - rho_t)",
    source="definition",
    where="mass and volume of mud and barite add",
    valid={"target_density": Limit(0.0, 2600.0, "beyond this a mud of barite does not flow")},
    example={"mud_volume": "100 bbl", "mud_density": "12 ppg", "target_density": "14 ppg"},
    caution="Wetting water and losses over the screens are not in it.",
)
def barite_mass_to_weight_up(
    mud_volume: Real,
    mud_density: Real,
    target_density: Real,
    barite_density: Real = BARITE_DENSITY,
) -> Real:
    """Mass of barite that raises a volume of mud to a density; the volume grows.

    Parameters
    ----------
    mud_volume : [m3]
        Volume of mud before barite goes in.
    mud_density : [kg/m3]
        Its density.
    target_density : [kg/m3]
        Density wanted.
    barite_density : [kg/m3]
        Grain density of the barite.

    Returns
    -------
    barite_mass : [kg]
        Mass of barite; negative where the target is lighter than the mud.
    """
    return (
        mud_volume
        * barite_density
        * (target_density - mud_density)
        / (barite_density - target_density)
    )


@published(
    formula="Delta V = V_m (rho_t - rho_m) / (rho_b - rho_t)",
    source="definition",
    where="mass and volume of mud and barite add",
    example={"mud_volume": "100 bbl", "mud_density": "12 ppg", "target_density": "14 ppg"},
)
def volume_gain_by_barite(
    mud_volume: Real,
    mud_density: Real,
    target_density: Real,
    barite_density: Real = BARITE_DENSITY,
) -> Real:
    """Volume that a mud gains by the barite that weights it up.

    Parameters
    ----------
    mud_volume : [m3]
        Volume of mud before barite goes in.
    mud_density : [kg/m3]
        Its density.
    target_density : [kg/m3]
        Density wanted.
    barite_density : [kg/m3]
        Grain density of the barite.

    Returns
    -------
    volume_gain : [m3]
        Volume of the barite.
    """
    return mud_volume * (target_density - mud_density) / (barite_density - target_density)


@published(
    formula="V_1 = V_m (rho_b - rho_t) / (rho_b - rho_m)",
    source="definition",
    where="mass and volume of mud and barite add",
    example={"mud_volume": "100 bbl", "mud_density": "12 ppg", "target_density": "14 ppg"},
)
def starting_volume_to_weight_up(
    mud_volume: Real,
    mud_density: Real,
    target_density: Real,
    barite_density: Real = BARITE_DENSITY,
) -> Real:
    """Volume of light mud to start from when a volume is to be left after weighting up.

    Parameters
    ----------
    mud_volume : [m3]
        Volume wanted in the end.
    mud_density : [kg/m3]
        Density of the mud to start from.
    target_density : [kg/m3]
        Density wanted.
    barite_density : [kg/m3]
        Grain density of the barite.

    Returns
    -------
    starting_volume : [m3]
        Volume of the mud to start from.
    """
    return mud_volume * (barite_density - target_density) / (barite_density - mud_density)


@published(
    formula="m_b = V_m rho_b (rho_t - rho_l) / (rho_b - rho_l)",
    source="definition",
    where="mass and volume of base fluid and barite add",
    example={"mud_volume": "400 m3", "target_density": "1.30 sg", "base_density": "1.05 sg"},
    caution="Wetting water and losses over the screens are not in it.",
)
def barite_mass_in_mud(
    mud_volume: Real,
    target_density: Real,
    base_density: Real,
    barite_density: Real = BARITE_DENSITY,
) -> Real:
    """Mass of barite inside a finished volume of mud made from a lighter base.

    Parameters
    ----------
    mud_volume : [m3]
        Finished volume.
    target_density : [kg/m3]
        Its density.
    base_density : [kg/m3]
        Density of the mud without barite.
    barite_density : [kg/m3]
        Grain density of the barite.

    Returns
    -------
    barite_mass : [kg]
        Mass of barite in the volume.
    """
    return (
        mud_volume
        * barite_density
        * (target_density - base_density)
        / (barite_density - base_density)
    )


@published(
    formula="Delta V = V_m (rho_m - rho_t) / (rho_t - rho_l)",
    source="definition",
    where="mass and volume of two fluids add",
    example={
        "mud_volume": "100 bbl",
        "mud_density": "14 ppg",
        "target_density": "12 ppg",
        "base_density": "8.33 ppg",
    },
)
def dilution_volume(
    mud_volume: Real, mud_density: Real, target_density: Real, base_density: Real
) -> Real:
    """Volume of a lighter fluid that brings a mud down to a density.

    Parameters
    ----------
    mud_volume : [m3]
        Volume of mud before dilution.
    mud_density : [kg/m3]
        Its density.
    target_density : [kg/m3]
        Density wanted.
    base_density : [kg/m3]
        Density of the water, sea water or light mud added.

    Returns
    -------
    volume_gain : [m3]
        Volume to add.
    """
    return mud_volume * (mud_density - target_density) / (target_density - base_density)


@published(
    formula="rho = (V_1 rho_1 + V_2 rho_2) / (V_1 + V_2)",
    source="definition",
    where="mass and volume of two fluids add",
    example={
        "first_volume": "400 bbl",
        "first_density": "11 ppg",
        "second_volume": "400 bbl",
        "second_density": "14 ppg",
    },
)
def mixture_density(
    first_volume: Real, first_density: Real, second_volume: Real, second_density: Real
) -> Real:
    """Density of two fluids mixed.

    Parameters
    ----------
    first_volume : [m3]
        Volume of the first fluid.
    first_density : [kg/m3]
        Density of the first fluid.
    second_volume : [m3]
        Volume of the second fluid.
    second_density : [kg/m3]
        Density of the second fluid.

    Returns
    -------
    mixture_density : [kg/m3]
        Density of the mixture.
    """
    mass = first_volume * first_density + second_volume * second_density
    return mass / (first_volume + second_volume)


@published(
    formula="V_1 = V_m (rho_t - rho_2) / (rho_1 - rho_2)",
    source="definition",
    where="mass and volume of two fluids add",
    validity_note="The target must lie between the two densities.",
    example={
        "mud_volume": "1000 bbl",
        "target_density": "11.5 ppg",
        "first_density": "14 ppg",
        "second_density": "11 ppg",
    },
)
def volume_for_blend(
    mud_volume: Real, target_density: Real, first_density: Real, second_density: Real
) -> Real:
    """Volume of the first of two fluids in a blend of wanted volume and density.

    Parameters
    ----------
    mud_volume : [m3]
        Volume of the blend.
    target_density : [kg/m3]
        Density of the blend.
    first_density : [kg/m3]
        Density of the first fluid.
    second_density : [kg/m3]
        Density of the second fluid.

    Returns
    -------
    first_volume : [m3]
        Volume of the first fluid; the rest is the second.
    """
    return mud_volume * (target_density - second_density) / (first_density - second_density)


@published(
    formula="V_l = q_l t",
    source="definition",
    where="a rate held over a time",
    example={"loss_rate": "5 m3/h", "duration": "36 h"},
)
def volume_lost(loss_rate: Real, duration: Real) -> Real:
    """Volume of fluid lost to the formation, or dumped on the sea bed, over a time.

    Parameters
    ----------
    loss_rate : [m3/s]
        Rate of loss; riserless, the whole flow rate is lost.
    duration : [s]
        How long it goes on.

    Returns
    -------
    lost_volume : [m3]
        Volume gone.
    """
    return loss_rate * duration


@published(
    formula='V_l = R pi/4 (d_h^2 - d_k^2) t r_"dc"',
    source="common-practice",
    where="mud that leaves with the cuttings, as volumes per volume of cuttings",
    example={
        "rate_of_penetration": "20 m/h",
        "hole_diameter": "17.5 in",
        "duration": "24 h",
        "mud_on_cuttings_ratio": "1.0",
    },
)
def mud_lost_on_cuttings(
    rate_of_penetration: Real,
    hole_diameter: Real,
    duration: Real,
    mud_on_cuttings_ratio: Real,
    core_diameter: Real = 0.0,
) -> Real:
    """Volume of mud that leaves over the screens, wetting the cuttings.

    Parameters
    ----------
    rate_of_penetration : [m/s]
        Length of hole drilled per time.
    hole_diameter : [m]
        Diameter of the hole made.
    duration : [s]
        Time on bottom.
    mud_on_cuttings_ratio : [-]
        Volume of mud lost per volume of rock.
    core_diameter : [m]
        Diameter of a core that is kept whole; zero when drilling full hole.

    Returns
    -------
    lost_volume : [m3]
        Volume of mud gone with the cuttings.
    """
    rock = rate_of_penetration * np.pi / 4.0 * (hole_diameter**2 - core_diameter**2) * duration
    return rock * mud_on_cuttings_ratio


@published(
    formula="V_d = V_r (1 - eta_s) / c_s",
    source="definition",
    where="rock that the solids control leaves in the mud, spread until its share is allowed",
    example={
        "rock_volume": "100 m3",
        "solids_control_efficiency": "0.7",
        "drilled_solids_fraction": "0.06",
    },
)
def solids_dilution_volume(
    rock_volume: Real, solids_control_efficiency: Real, drilled_solids_fraction: Real
) -> Real:
    """Volume of new mud that holds the share of drilled solids down.

    Parameters
    ----------
    rock_volume : [m3]
        Volume of rock drilled, without pores filled by the mud.
    solids_control_efficiency : [-]
        Share of it that the solids control takes out.
    drilled_solids_fraction : [-]
        Share of drilled solids allowed in the mud, by volume.

    Returns
    -------
    mud_volume : [m3]
        New mud that the rock left behind calls for.
    """
    left = np.asarray(rock_volume) * (1.0 - solids_control_efficiency)
    return left / drilled_solids_fraction
