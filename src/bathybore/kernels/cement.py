"""Cement: slurry by absolute volumes, volumes to fill, forces while cementing, strength."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.mud import STANDARD_GRAVITY

# Fresh water at 20 degC, and the relative density 3.14 that handbooks give Portland cement.
WATER_DENSITY: Final = 998.2
CEMENT_DENSITY: Final = 3140.0

_WATER = Limit(0.2, 1.5, "mass of water over mass of cement")


@published(
    formula="rho_k = (1 + w + a) / (1/rho_z + w/rho_w + a/rho_a)",
    source="definition",
    where="absolute volumes add",
    valid={"water_to_cement_ratio": _WATER, "additive_to_cement_ratio": Limit(0.0, 1.0)},
    validity_note="Dissolved salts take less volume than their absolute one.",
    example={"water_to_cement_ratio": "0.44"},
)
def slurry_density(
    water_to_cement_ratio: Real,
    additive_to_cement_ratio: Real = 0.0,
    additive_density: Real = 2650.0,
    cement_density: Real = CEMENT_DENSITY,
    mix_water_density: Real = WATER_DENSITY,
) -> Real:
    """Density of a cement slurry from masses and absolute densities.

    Parameters
    ----------
    water_to_cement_ratio : [-]
        Mass of mix water per mass of cement.
    additive_to_cement_ratio : [-]
        Mass of one solid additive per mass of cement.
    additive_density : [kg/m3]
        Grain density of that additive.
    cement_density : [kg/m3]
        Grain density of the cement.
    mix_water_density : [kg/m3]
        Density of the mix water.

    Returns
    -------
    slurry_density : [kg/m3]
        Density of the slurry.
    """
    mass = 1.0 + water_to_cement_ratio + additive_to_cement_ratio
    return mass / slurry_yield(
        water_to_cement_ratio,
        additive_to_cement_ratio,
        additive_density,
        cement_density,
        mix_water_density,
    )


@published(
    formula="Y_s = 1/rho_z + w/rho_w + a/rho_a",
    source="definition",
    where="absolute volumes add",
    valid={"water_to_cement_ratio": _WATER, "additive_to_cement_ratio": Limit(0.0, 1.0)},
    caution="1.15 ft³ a sack of 94 lb is 0.76 L/kg; a glossary that prints 1.18 L/kg mixes units.",
    example={"water_to_cement_ratio": "0.44"},
)
def slurry_yield(
    water_to_cement_ratio: Real,
    additive_to_cement_ratio: Real = 0.0,
    additive_density: Real = 2650.0,
    cement_density: Real = CEMENT_DENSITY,
    mix_water_density: Real = WATER_DENSITY,
) -> Real:
    """Volume of slurry that a mass of dry cement makes.

    Parameters
    ----------
    water_to_cement_ratio : [-]
        Mass of mix water per mass of cement.
    additive_to_cement_ratio : [-]
        Mass of one solid additive per mass of cement.
    additive_density : [kg/m3]
        Grain density of that additive.
    cement_density : [kg/m3]
        Grain density of the cement.
    mix_water_density : [kg/m3]
        Density of the mix water.

    Returns
    -------
    slurry_yield : [m3/kg]
        Volume of slurry per mass of cement.
    """
    return (
        1.0 / np.asarray(cement_density)
        + water_to_cement_ratio / mix_water_density
        + additive_to_cement_ratio / additive_density
    )


@published(
    formula="w_v = w / rho_w",
    source="definition",
    where="volume of the mix water",
    valid={"water_to_cement_ratio": _WATER},
    example={"water_to_cement_ratio": "0.44"},
)
def mix_water_requirement(
    water_to_cement_ratio: Real, mix_water_density: Real = WATER_DENSITY
) -> Real:
    """Volume of mix water that a mass of dry cement takes.

    Parameters
    ----------
    water_to_cement_ratio : [-]
        Mass of mix water per mass of cement.
    mix_water_density : [kg/m3]
        Density of the mix water.

    Returns
    -------
    mix_water_requirement : [m3/kg]
        Volume of water per mass of cement.
    """
    return water_to_cement_ratio / mix_water_density


@published(
    formula=("a = (rho_k (1/rho_z + w/rho_w) - 1 - w) / (1 + rho_w w_a - rho_k (1/rho_a + w_a))"),
    source="definition",
    where="absolute volumes add; the additive brings water of its own",
    valid={"water_to_cement_ratio": _WATER},
    example={
        "slurry_density": "17.5 ppg",
        "water_to_cement_ratio": "0.381",
        "additive_density": "5.02 sg",
        "additive_water_requirement": "2.84e-5 m3/kg",
    },
)
def additive_ratio_for_slurry_density(
    slurry_density: Real,
    water_to_cement_ratio: Real,
    additive_density: Real,
    additive_water_requirement: Real = 0.0,
    cement_density: Real = CEMENT_DENSITY,
    mix_water_density: Real = WATER_DENSITY,
) -> Real:
    """Mass of a weighting (or light) additive per mass of cement for a wanted slurry density.

    Parameters
    ----------
    slurry_density : [kg/m3]
        Density wanted.
    water_to_cement_ratio : [-]
        Mass of the cement's own mix water per mass of cement.
    additive_density : [kg/m3]
        Grain density of the additive.
    additive_water_requirement : [m3/kg]
        Volume of water that a mass of the additive takes.
    cement_density : [kg/m3]
        Grain density of the cement.
    mix_water_density : [kg/m3]
        Density of the mix water.

    Returns
    -------
    additive_to_cement_ratio : [-]
        Mass of additive per mass of cement.
    """
    neat = slurry_yield(
        water_to_cement_ratio,
        cement_density=cement_density,
        mix_water_density=mix_water_density,
    )
    lacking = slurry_density * neat - 1.0 - water_to_cement_ratio
    wet_volume = 1.0 / np.asarray(additive_density) + additive_water_requirement
    wet_mass = 1.0 + mix_water_density * additive_water_requirement
    return lacking / (wet_mass - slurry_density * wet_volume)


@published(
    formula='m_z = V_"sl" / Y_s',
    source="definition",
    where="slurry yield, inverted",
    example={"slurry_volume": "40 m3", "slurry_yield": "0.76 L/kg"},
)
def cement_mass(slurry_volume: Real, slurry_yield: Real) -> Real:
    """Mass of dry cement in a volume of slurry.

    Parameters
    ----------
    slurry_volume : [m3]
        Volume of slurry.
    slurry_yield : [m3/kg]
        Volume of slurry per mass of cement.

    Returns
    -------
    cement_mass : [kg]
        Mass of dry cement.
    """
    return slurry_volume / slurry_yield


@published(
    formula="V_a = pi/4 (d_h^2 - D_c^2) L (1 + e_x)",
    source="definition",
    where="volume of a ring; excess on the ring, not on the hole",
    example={
        "hole_diameter": "26 in",
        "casing_outside_diameter": "20 in",
        "length": "800 m",
        "excess": "0.5",
    },
)
def annular_volume(
    hole_diameter: Real, casing_outside_diameter: Real, length: Real, excess: Real = 0.0
) -> Real:
    """Volume between hole and pipe over a length, with excess for a hole out of gauge.

    Parameters
    ----------
    hole_diameter : [m]
        Diameter of the hole, or bore of the outer pipe.
    casing_outside_diameter : [m]
        Outside diameter of the inner pipe; zero for an empty hole.
    length : [m]
        Length.
    excess : [-]
        Share of the ring's volume added.

    Returns
    -------
    annular_volume : [m3]
        Volume.
    """
    ring = np.pi / 4.0 * (hole_diameter**2 - casing_outside_diameter**2)
    return ring * length * (1.0 + excess)


@published(
    formula="V_i = pi/4 d^2 L",
    source="definition",
    where="volume of a cylinder",
    example={"inside_diameter": "18.73 in", "length": "800 m"},
)
def pipe_volume(inside_diameter: Real, length: Real) -> Real:
    """Volume inside a pipe over a length: shoe track, or displacement to the float collar.

    Parameters
    ----------
    inside_diameter : [m]
        Bore.
    length : [m]
        Length.

    Returns
    -------
    pipe_volume : [m3]
        Volume.
    """
    return np.pi / 4.0 * inside_diameter**2 * length


@published(
    formula="V_D = pi/4 (D^2 - d^2) L",
    source="definition",
    where="volume of a ring of steel",
    example={"outside_diameter": "20 in", "inside_diameter": "18.73 in", "length": "800 m"},
)
def steel_displacement(outside_diameter: Real, inside_diameter: Real, length: Real) -> Real:
    """Volume of fluid that the steel of a pipe pushes aside.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter.
    inside_diameter : [m]
        Bore; zero for closed pipe.
    length : [m]
        Length.

    Returns
    -------
    steel_displacement : [m3]
        Volume.
    """
    return np.pi / 4.0 * (outside_diameter**2 - inside_diameter**2) * length


@published(
    formula='L_p = (4 V_"sl") / (pi (d_h^2 - D^2 + d^2))',
    source="definition",
    where="plug at one level in annulus and bore",
    example={
        "slurry_volume": "8 m3",
        "hole_diameter": "12.25 in",
        "outside_diameter": "5 in",
        "inside_diameter": "4.276 in",
    },
)
def balanced_plug_length(
    slurry_volume: Real, hole_diameter: Real, outside_diameter: Real, inside_diameter: Real
) -> Real:
    """Length of a balanced cement plug while the stinger still stands in it.

    Parameters
    ----------
    slurry_volume : [m3]
        Volume of slurry.
    hole_diameter : [m]
        Diameter of the hole or bore of the casing.
    outside_diameter : [m]
        Outside diameter of the stinger.
    inside_diameter : [m]
        Bore of the stinger.

    Returns
    -------
    plug_length : [m]
        Length with the stinger in; put in a zero pair of diameters for it pulled.
    """
    area = np.pi / 4.0 * (hole_diameter**2 - outside_diameter**2 + inside_diameter**2)
    return slurry_volume / area


@published(
    formula="Delta p = (rho_k - rho_f) g h",
    source="definition",
    where="hydrostatics: slurry outside against displacement fluid inside",
    example={"slurry_density": "1.90 sg", "fluid_density": "1.03 sg", "height": "400 m"},
)
def cementing_differential_pressure(
    slurry_density: Real,
    fluid_density: Real,
    height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure by which the annulus outweighs the bore when the plug lands; collapses the casing.

    Parameters
    ----------
    slurry_density : [kg/m3]
        Density of the slurry outside.
    fluid_density : [kg/m3]
        Density of the displacement fluid inside (and of the mud above the slurry).
    height : [m]
        True vertical height of slurry outside above the slurry left inside.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    differential_pressure : [Pa]
        Pressure outside less inside at the float, pump off.
    """
    return (slurry_density - fluid_density) * gravity * height


@published(
    formula='F_"po" = Delta p pi/4 D^2',
    source="definition",
    where="pressure on the closed end",
    example={"differential_pressure": "3 MPa", "outside_diameter": "20 in"},
    caution="Beyond the buoyed weight the casing is pumped out of the hole.",
)
def pump_out_force(differential_pressure: Real, outside_diameter: Real) -> Real:
    """Upward force on casing whose annulus bears more pressure than its bore at the shoe.

    Parameters
    ----------
    differential_pressure : [Pa]
        Pressure under the closed end less the pressure that the bore's fluid balances.
    outside_diameter : [m]
        Outside diameter of the casing.

    Returns
    -------
    pump_out_force : [N]
        Upward force.
    """
    return differential_pressure * np.pi / 4.0 * outside_diameter**2


_STRENGTH_NOTE = "Shape assumed; take the three constants from the slurry's own test."
_STRENGTH: Final = {"final_strength": "20 MPa", "setting_time": "6 h", "hardening_time": "18 h"}


@published(
    formula="S = S_u (1 - exp(-max(0, t - t_0)/t_r))",
    source="assumed",
    where="first-order hardening after the initial set",
    validity_note=_STRENGTH_NOTE,
    example={"curing_time": "12 h", **_STRENGTH},
)
def cement_strength(
    curing_time: Real, final_strength: Real, setting_time: Real, hardening_time: Real
) -> Real:
    """Compressive strength of cement after a time at the temperature of its test.

    Parameters
    ----------
    curing_time : [s]
        Time since mixing (equivalent age at the test's temperature).
    final_strength : [Pa]
        Strength that the slurry tends to.
    setting_time : [s]
        Time of no strength.
    hardening_time : [s]
        Time constant of the gain after it.

    Returns
    -------
    cement_strength : [Pa]
        Compressive strength.
    """
    hardening = np.maximum(0.0, np.asarray(curing_time) - setting_time)
    return -final_strength * np.expm1(-hardening / hardening_time)


@published(
    formula="t = t_0 - t_r ln(1 - S/S_u)",
    source="assumed",
    where="first-order hardening, inverted",
    validity_note=_STRENGTH_NOTE + " Infinite where the strength is never reached.",
    example={"cement_strength": "3.5 MPa", **_STRENGTH},
)
def wait_on_cement_time(
    cement_strength: Real, final_strength: Real, setting_time: Real, hardening_time: Real
) -> Real:
    """Time since mixing until cement bears a wanted strength at the temperature of its test.

    Parameters
    ----------
    cement_strength : [Pa]
        Strength wanted; 3.5 MPa (500 psi) is the usual leave to go on.
    final_strength : [Pa]
        Strength that the slurry tends to.
    setting_time : [s]
        Time of no strength.
    hardening_time : [s]
        Time constant of the gain after it.

    Returns
    -------
    curing_time : [s]
        Time; infinite where the strength is never reached.
    """
    share = np.asarray(cement_strength) / final_strength
    reached = share < 1.0
    gain = -hardening_time * np.log1p(-np.where(reached, share, 0.0))
    return np.where(reached, setting_time + gain, np.inf)


@published(
    formula="t_e = t exp(-Theta (1/T - 1/T_0))",
    source="astm-c1074",
    where="equivalent age; 5,000 K is the value of its annex; from memory",
    valid={"temperature": Limit(273.0, 343.0, "ordinary curing")},
    example={"curing_time": "24 h", "temperature": "4 degC", "reference_temperature": "27 degC"},
)
def equivalent_age(
    curing_time: Real,
    temperature: Real,
    reference_temperature: Real,
    activation_temperature: Real = 5000.0,
) -> Real:
    """Time at the test's temperature that hardens cement as much as a time in the cold sea bed.

    Parameters
    ----------
    curing_time : [s]
        Time at the temperature in place.
    temperature : [K]
        Temperature in place.
    reference_temperature : [K]
        Temperature of the test.
    activation_temperature : [K difference]
        Activation energy over the gas constant.

    Returns
    -------
    equivalent_age : [s]
        Time at the reference temperature.
    """
    inverse = 1.0 / np.asarray(temperature) - 1.0 / np.asarray(reference_temperature)
    return curing_time * np.exp(-activation_temperature * inverse)
