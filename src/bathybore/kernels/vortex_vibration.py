"""Vibration of a riser by vortices: which modes lock in, how far they swing, what it costs.

Every mode is taken as if it alone locked in, where the current sheds vortices near its
frequency; elsewhere the water takes its energy away. The worst mode is the verdict's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.riser_modes import Modes
from bathybore.kernels.riser_shape import vortex_shedding_frequency
from bathybore.kernels.riser_waves import STRUCTURAL_DAMPING

LOCK_IN_BAND: Final = 0.25  # of a mode's frequency to either side; common practice
_KINEMATIC_VISCOSITY: Final = 1.4e-6  # m2/s, cold sea water

# DNV-RP-C203, class D in sea water with cathodic protection; from memory
STEEP: Final = (11.764, 3.0)
SHALLOW: Final = (15.606, 5.0)


@published(
    formula="K_s = (4 pi m_l zeta) / (rho_w D_h^2)",
    source="dnv-rp-c205",
    where="chapter 9, stability parameter",
    example={
        "riser_linear_mass": "2500 kg/m",
        "damping_ratio": "0.02",
        "sea_water_density": "1030 kg/m3",
        "hydrodynamic_diameter": "1.3 m",
    },
)
def stability_parameter(
    riser_linear_mass: Real,
    damping_ratio: Real,
    sea_water_density: Real,
    hydrodynamic_diameter: Real,
) -> Real:
    """Damping of a mode against the water that a cylinder displaces.

    Parameters
    ----------
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    damping_ratio : [-]
        Damping of the mode over the critical.
    sea_water_density : [kg/m3]
        Density of the sea.
    hydrodynamic_diameter : [m]
        Diameter that the water meets.

    Returns
    -------
    stability_parameter : [-]
        Stability parameter.
    """
    displaced = sea_water_density * hydrodynamic_diameter**2
    return 4.0 * np.pi * riser_linear_mass * damping_ratio / displaced


@published(
    formula='a_v = (1.29 gamma_s) / (1 + 0.43 dot 2 pi S_"t"^2 K_s)^3.35',
    source="blevins-1990",
    where="table 3-2, after Griffin and Ramberg; from memory",
    valid={
        "mode_shape_factor": Limit(1.0, 1.35),
        "strouhal_number": Limit(0.1, 0.5, "about 0.2 below the drag crisis"),
    },
    validity_note="fitted to cylinders and cables that lock in along their whole length",
    example={
        "mode_shape_factor": "1.155",
        "strouhal_number": "0.2",
        "stability_parameter": "1.5",
    },
)
def vortex_amplitude_ratio(
    mode_shape_factor: Real, strouhal_number: Real, stability_parameter: Real
) -> Real:
    """Greatest amplitude across the current of a mode that locks in, in diameters.

    Parameters
    ----------
    mode_shape_factor : [-]
        1 for a rigid cylinder, 1.155 for the half waves of a string.
    strouhal_number : [-]
        Strouhal number.
    stability_parameter : [-]
        Damping of the mode against the water displaced.

    Returns
    -------
    vortex_amplitude_ratio : [-]
        Amplitude at the antinode over diameter.
    """
    damped = 1.0 + 0.43 * 2.0 * np.pi * strouhal_number**2 * stability_parameter
    ratio: Real = 1.29 * mode_shape_factor / damped**3.35
    return ratio


@published(
    formula='N_f = max(10^11.764 (Delta sigma / (1 "MPa"))^(-3), '
    '10^15.606 (Delta sigma / (1 "MPa"))^(-5))',
    source="dnv-rp-c203",
    where="class D in sea water with cathodic protection; from memory",
    valid={"stress_range": Limit(0.0, 1e9)},
    validity_note="welds of class D, wall up to 25 mm, whole cycles; no limit below which none",
    example={"stress_range": "60 MPa"},
)
def cycles_to_failure(stress_range: Real) -> Real:
    """Cycles of one stress range that a girth weld bears.

    Parameters
    ----------
    stress_range : [Pa]
        From trough to crest at the weld, stress concentration counted in.

    Returns
    -------
    cycles_to_failure : [-]
        Cycles; without end where nothing swings.
    """
    size = np.maximum(np.asarray(stress_range), 1e-3) / 1e6  # a millipascal stands for none
    steep, shallow = (10.0**intercept * size**-slope for intercept, slope in (STEEP, SHALLOW))
    cycles: Array = np.maximum(steep, shallow)
    return cycles


@published(
    formula="c = (omega_n pi rho_w D_h^2) / 2 (2 sqrt(2)) / sqrt(omega_n D_h^2 / nu) + "
    "0.18 rho_w D_h U",
    source="venugopal-1996",
    where="damping where the current is too slow for lock-in; from memory",
    validity_note="the part that grows with amplitude left out, which errs to the safe side",
    example={
        "mode_frequency": "0.6 rad/s",
        "current_speed": "0.3 m/s",
        "hydrodynamic_diameter": "1.3 m",
        "sea_water_density": "1030 kg/m3",
    },
)
def slow_water_damping(
    mode_frequency: Real,
    current_speed: Real,
    hydrodynamic_diameter: Real,
    sea_water_density: Real,
) -> Real:
    """Damping per length where a swinging riser meets water too slow to drive it.

    Parameters
    ----------
    mode_frequency : [rad/s]
        Angular frequency of the mode.
    current_speed : [m/s]
        Speed of the current.
    hydrodynamic_diameter : [m]
        Diameter that the water meets.
    sea_water_density : [kg/m3]
        Density of the sea.

    Returns
    -------
    water_damping : [Pa s]
        Force per length and velocity.
    """
    number = mode_frequency * hydrodynamic_diameter**2 / _KINEMATIC_VISCOSITY
    displaced = 0.5 * np.pi * sea_water_density * hydrodynamic_diameter**2
    still = mode_frequency * displaced * 2.0 * np.sqrt(2.0) / np.sqrt(number)
    damping: Real = still + 0.18 * sea_water_density * hydrodynamic_diameter * current_speed
    return damping


@published(
    formula="c = (0.2 rho_w U^2) / omega_n",
    source="venugopal-1996",
    where="damping where the current is too fast for lock-in; from memory",
    example={
        "mode_frequency": "0.6 rad/s",
        "current_speed": "1.2 m/s",
        "sea_water_density": "1030 kg/m3",
    },
)
def fast_water_damping(mode_frequency: Real, current_speed: Real, sea_water_density: Real) -> Real:
    """Damping per length where a swinging riser meets water too fast to drive it.

    Parameters
    ----------
    mode_frequency : [rad/s]
        Angular frequency of the mode.
    current_speed : [m/s]
        Speed of the current.
    sea_water_density : [kg/m3]
        Density of the sea.

    Returns
    -------
    water_damping : [Pa s]
        Force per length and velocity.
    """
    return 0.2 * sea_water_density * current_speed**2 / mode_frequency


@dataclass(frozen=True)
class Vibration:
    """How each mode would vibrate if it alone locked in *(mode)*.

    Attributes
    ----------
    frequency : [rad/s]
    share : of the mode, by the square of its shape, where vortices drive it
    damping : over the critical, steel and water
    amplitude : over the diameter; none where nothing locks in
    bending : [1/m] greatest curvature at that amplitude *(mode, node)*
    """

    frequency: Array
    share: Array
    damping: Array
    amplitude: Array
    bending: Array


def vibrate(
    modes: Modes,
    depth: Array,
    linear_mass: Array,
    current: Array,
    hydrodynamic_diameter: Array | float,
    sea_water_density: float,
    strouhal_number: float,
) -> Vibration:
    """Return how each mode would vibrate in a current if it alone locked in.

    Griffin's amplitude, its damping raised by the inverse of the share of the mode that is
    driven: what drives less of it must feed as much damping.

    Parameters
    ----------
    depth : [m] of the nodes below the sea surface, growing
    linear_mass : [kg/m] at the nodes, with the water that moves along
    current : [m/s] at the nodes
    hydrodynamic_diameter : [m], at the nodes where joints differ; a mode then swings by the mean
        of where it is driven
    """
    wet = depth >= 0.0
    omega = modes.frequency[:, None]
    shed = 2.0 * np.pi * vortex_shedding_frequency(strouhal_number, current, hydrodynamic_diameter)
    ratio = np.where(wet, shed, 0.0) / omega
    driven = np.abs(ratio - 1.0) <= LOCK_IN_BAND
    slow = slow_water_damping(omega, current, hydrodynamic_diameter, sea_water_density)
    fast = fast_water_damping(omega, current, sea_water_density)
    water = np.where(ratio < 1.0, slow, fast) * (wet & ~driven)
    square = modes.shape**2
    whole = np.trapezoid(square, depth)
    mass = np.trapezoid(linear_mass * square, depth)
    share = np.trapezoid(np.where(driven, square, 0.0), depth) / whole
    damping = STRUCTURAL_DAMPING + np.trapezoid(water * square, depth) / (
        2.0 * modes.frequency * mass
    )
    factor = np.sqrt(whole / np.trapezoid(square**2, depth))
    there = share > 0.0
    wide: Array | float = hydrodynamic_diameter
    if np.ndim(hydrodynamic_diameter):
        held = np.where(driven | ~there[:, None], square, 0.0)
        wide = np.trapezoid(held * hydrodynamic_diameter, depth) / np.trapezoid(held, depth)
    amplitude = vortex_amplitude_ratio(
        factor,
        strouhal_number,
        stability_parameter(
            mass / whole,
            damping / np.where(there, share, 1.0),
            sea_water_density,
            wide,
        ),
    )
    amplitude = np.where(there, amplitude, 0.0)
    swing = amplitude * wide
    return Vibration(
        modes.frequency, share, damping, amplitude, np.abs(modes.curvature) * swing[:, None]
    )
