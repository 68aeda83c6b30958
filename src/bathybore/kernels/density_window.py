"""From the pressures that rock needs and bears to the mud densities that give them."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.mud import STANDARD_GRAVITY


@published(
    formula="rho_0 = (exp(-c_f p_t) - exp(-c_f p_b)) / (c_f g h) exp(beta_f (T - T_0))",
    source="definition",
    where="closed form of a column of a compressible liquid at its mean temperature, inverted",
    valid={
        "compressibility": Limit(0.0, 2e-9, "liquids"),
        "height": Limit(1e-3, 2e4, "a column has a height"),
    },
    validity_note="Constant coefficients, one mean temperature, as in the column itself.",
    example={
        "pressure_at_bottom": "62 MPa",
        "pressure_at_top": "25 MPa",
        "compressibility": "4.4e-10 1/Pa",
        "fluid_thermal_expansion": "3.5e-4 1/K",
        "temperature": "60 degC",
        "height": "3000 m",
    },
)
def density_of_column(
    pressure_at_bottom: Real,
    pressure_at_top: Real,
    compressibility: Real,
    fluid_thermal_expansion: Real,
    temperature: Real,
    height: Real,
    reference_temperature: Real = 293.15,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Density, as weighed, of the liquid whose column ends in a given pressure.

    Parameters
    ----------
    pressure_at_bottom : [Pa]
        Gauge pressure wanted at the foot.
    pressure_at_top : [Pa]
        Gauge pressure at the top of the column.
    compressibility : [1/Pa]
        Relative gain of density per pressure.
    fluid_thermal_expansion : [1/K]
        Relative loss of density per degree (by volume).
    temperature : [K]
        Mean temperature of the column.
    height : [m]
        True vertical height of the column, above zero.
    reference_temperature : [K]
        Temperature at which the liquid is weighed.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    density_at_surface_conditions : [kg/m3]
        Density at no gauge pressure and the reference temperature.
    """
    safe = np.maximum(compressibility, 1e-16)
    # exp(-c p_t) - exp(-c p_b) without the loss of digits that the difference has
    rise = -np.exp(-safe * pressure_at_top) * np.expm1(
        -safe * (pressure_at_bottom - pressure_at_top)
    )
    warm = np.exp(fluid_thermal_expansion * (temperature - reference_temperature))
    return rise / (safe * gravity * height) * warm


@published(
    formula=(
        "p_t + rho_m g L_w + Delta p_k + (rho_m - rho_g) g min(h_x, L_b - L_w) = p_w \\ "
        "h_x = V_x / A (p_t + rho_m g L_b + Delta p_k) / p_w"
    ),
    source="common-practice",
    where="influx shut in or under the weak point, expanded by Boyle's law; solved for the mud",
    valid={"influx_volume": Limit(0.0, 200.0, "a kick, not a blow-out")},
    validity_note=(
        "One mud density to the weak point and below; the gas at the weak point as warm as the "
        "hole is at its hottest and with the volume of an ideal gas: both err to the safe side."
    ),
    example={
        "weak_point_fracture_pressure": "91 MPa",
        "pressure_at_top": "0 MPa",
        "height_to_weak_point": "5900 m",
        "height_to_bottom": "7100 m",
        "kick_pressure": "1.4 MPa",
        "influx_volume": "4 m3",
        "annulus_area": "0.0152 m2",
        "gas_density": "280 kg/m3",
    },
    caution="Choke-line friction is not in it; the check of the kick in the walk counts it.",
)
def greatest_mud_density_with_kick(
    weak_point_fracture_pressure: Real,
    pressure_at_top: Real,
    height_to_weak_point: Real,
    height_to_bottom: Real,
    kick_pressure: Real,
    influx_volume: Real,
    annulus_area: Real,
    gas_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Heaviest mud with which a kick at bottom still leaves the weak point whole.

    A kick of a given pressure above the mud, of a given volume at bottom, is shut in and
    brought up to the weak point. The influx stands below it, as tall as its volume makes
    it, at most from there to the bottom. The balance is quadratic in the mud density; its
    greater root is the answer. Negative where no mud at all is light enough.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Pressure at which the weak point gives way.
    pressure_at_top : [Pa]
        Pressure at the top of the mud column.
    height_to_weak_point : [m]
        From the top of the mud column down to the weak point.
    height_to_bottom : [m]
        From the top of the mud column down to the bottom, where the influx comes in.
    kick_pressure : [Pa]
        By how much the formation's pressure exceeds that of the mud at bottom.
    influx_volume : [m3]
        Volume of the influx at bottom.
    annulus_area : [m2]
        Annulus area that the influx stands in.
    gas_density : [kg/m3]
        Density of the influx under the weak point.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    mud_density : [kg/m3]
        Mean density in place, from the top of the column to the weak point.
    """
    pressed = pressure_at_top + kick_pressure
    # height of influx per pressure at bottom, times gravity
    share = gravity * influx_volume / (annulus_area * weak_point_fracture_pressure)
    a = share * gravity * height_to_bottom
    b = gravity * height_to_weak_point + share * pressed - gas_density * a
    c = weak_point_fracture_pressure - pressed * (1.0 - share * gas_density)
    # the root that keeps its digits when the influx is small (a near zero)
    square = b * b + 4.0 * a * c
    short = 2.0 * c / (b + np.sqrt(np.maximum(square, 0.0)))
    gas_to_bottom = gas_density * gravity * (height_to_bottom - height_to_weak_point)
    full = (weak_point_fracture_pressure - pressed + gas_to_bottom) / (gravity * height_to_bottom)
    greatest = np.maximum(short, full)
    # no root: the expanding gas alone breaks the weak point, until it fills the hole to the bottom
    return np.where(square < 0.0, full, greatest) if np.any(square < 0.0) else greatest


def kick_breaks_weak_point(
    mud_density: Real,
    weak_point_fracture_pressure: Real,
    pressure_at_top: Real,
    height_to_weak_point: Real,
    height_to_bottom: Real,
    kick_pressure: Real,
    influx_volume: Real,
    annulus_area: Real,
    gas_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> npt.NDArray[np.bool_]:
    """Return whether a mud is heavier than `greatest_mud_density_with_kick` allows.

    The same balance, asked of a mud heavier than the gas rather than solved for it: no root need
    be taken.

    Parameters
    ----------
    mud_density : [kg/m3] mean density in place; the others are those of the balance
    """
    mud = gravity * mud_density
    at_bottom = pressure_at_top + kick_pressure + mud * height_to_bottom
    tall = influx_volume / (annulus_area * weak_point_fracture_pressure) * at_bottom
    tall = np.minimum(tall, height_to_bottom - height_to_weak_point)
    above = pressure_at_top + kick_pressure + mud * height_to_weak_point
    broken: npt.NDArray[np.bool_] = np.greater(
        above + (mud - gravity * gas_density) * tall, weak_point_fracture_pressure
    )
    return broken
