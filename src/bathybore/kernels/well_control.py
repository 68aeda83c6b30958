"""What a hole can stand: allowable pressures, kick tolerance, gas to the wellhead, riser margin."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.gas import (
    METHANE_CRITICAL_PRESSURE,
    METHANE_CRITICAL_TEMPERATURE,
    METHANE_GRAVITY,
    gas_column_top_pressure,
    gas_density,
    gas_z_factor,
)
from bathybore.kernels.mud import STANDARD_GRAVITY

# Standard atmosphere, added to gauge pressures before a gas law sees them.
_ATMOSPHERE: Final = 101325.0


@published(
    formula="p_F = (rho_m + Delta rho_k) g H_m",
    source="definition",
    where="kick intensity: what the formation has above the mud, as a density to the flow line",
    example={
        "mud_density": "1.20 sg",
        "kick_intensity": "0.06 sg",
        "mud_column_height": "5000 m",
    },
)
def formation_pressure_of_kick(
    mud_density: Real,
    kick_intensity: Real,
    mud_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Formation pressure that a kick of stated intensity means.

    Parameters
    ----------
    mud_density : [kg/m3]
        Density of the mud in use.
    kick_intensity : [kg/m3]
        Formation pressure above the mud, as a density over the whole column.
    mud_column_height : [m]
        True vertical height of mud from flow line to formation.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    formation_pressure : [Pa]
        Formation pressure.
    """
    return (mud_density + kick_intensity) * gravity * mud_column_height


@published(
    formula='p_"max" = p_w - rho_m g h_w - p_"cl"',
    source="common-practice",
    where="weak-point pressure less the mud above it",
    caution="Rounded down for use. Counts only while mud, not gas, stands above the weak point.",
    example={
        "weak_point_fracture_pressure": "55 MPa",
        "mud_density": "1.20 sg",
        "weak_point_column_height": "3500 m",
    },
)
def maximum_allowable_annulus_pressure(
    weak_point_fracture_pressure: Real,
    mud_density: Real,
    weak_point_column_height: Real,
    choke_line_friction: Real = 0.0,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Greatest pressure on the choke gauge before the weak point gives way.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Pressure at which the weak point gives way.
    mud_density : [kg/m3]
        Density of the mud above it, in annulus and choke line.
    weak_point_column_height : [m]
        True vertical height of mud from gauge to weak point.
    choke_line_friction : [Pa]
        Friction in the choke line while circulating; zero when shut in.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    maximum_allowable_annulus_pressure : [Pa]
        Greatest gauge pressure; negative where the mud alone breaks the weak point.
    """
    column = mud_density * gravity * weak_point_column_height
    return weak_point_fracture_pressure - column - choke_line_friction


@published(
    formula="rho = (p_F - p_0) / (g h_s)",
    source="definition",
    where="sea water down to the sea bed, mud from there to the formation",
    example={
        "formation_pressure": "62 MPa",
        "sea_bed_pressure": "25 MPa",
        "height_below_sea_bed": "3000 m",
    },
    caution="In deep water this density often breaks the shoe: other barriers must replace it.",
)
def riser_margin_density(
    formation_pressure: Real,
    sea_bed_pressure: Real,
    height_below_sea_bed: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Least mud density that holds the formation after the riser is gone.

    Parameters
    ----------
    formation_pressure : [Pa]
        Pore pressure, gauge.
    sea_bed_pressure : [Pa]
        Pressure of the sea at the sea bed, gauge.
    height_below_sea_bed : [m]
        True vertical height from sea bed to formation.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    riser_margin_density : [kg/m3]
        Mud density needed.
    """
    return (formation_pressure - sea_bed_pressure) / (gravity * height_below_sea_bed)


@published(
    formula=(
        'p_"wh" = p_F exp(-(gamma_g M_"air" g h_s)/(overline(z) R T)), '
        'quad overline(z) "at" T_"pc", p_"pc"'
    ),
    source="common-practice",
    where="hole evacuated to gas from the formation up to the sea bed",
    example={
        "formation_pressure": "62 MPa",
        "height_below_sea_bed": "3000 m",
        "temperature": "50 degC",
    },
    caution="The stack sees it less the sea outside; test pressures are set by it.",
)
def wellhead_pressure_full_of_gas(
    formation_pressure: Real,
    height_below_sea_bed: Real,
    temperature: Real,
    gas_gravity: Real = METHANE_GRAVITY,
    pseudo_critical_temperature: Real = METHANE_CRITICAL_TEMPERATURE,
    pseudo_critical_pressure: Real = METHANE_CRITICAL_PRESSURE,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Greatest pressure to expect at a sea-bed wellhead: the hole full of gas.

    Parameters
    ----------
    formation_pressure : [Pa]
        Gauge pressure of the formation.
    height_below_sea_bed : [m]
        True vertical height from wellhead to formation.
    temperature : [K]
        Mean temperature of the gas.
    gas_gravity : [-]
        Molar mass over that of air; methane's by default.
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature.
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    wellhead_pressure : [Pa]
        Gauge pressure inside the wellhead.

    Raises
    ------
    NotConverged
        The gas column or its z was not found.
    """
    top = gas_column_top_pressure(
        formation_pressure + _ATMOSPHERE,
        height_below_sea_bed,
        temperature,
        gas_gravity,
        pseudo_critical_temperature,
        pseudo_critical_pressure,
        gravity,
    )
    return top - _ATMOSPHERE


@published(
    formula="A = pi/4 (d_o^2 - d_i^2)",
    source="definition",
    where="area of a ring: volume per length",
    example={"annulus_outer_diameter": "12.25 in", "annulus_inner_diameter": "8 in"},
)
def annulus_area(annulus_outer_diameter: Real, annulus_inner_diameter: Real) -> Real:
    """Area of an annulus, which is its volume per length.

    Parameters
    ----------
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.

    Returns
    -------
    annulus_area : [m2]
        Area.
    """
    return np.pi / 4.0 * (annulus_outer_diameter**2 - annulus_inner_diameter**2)


@published(
    formula=('h_x = min(h_b, max(0, (p_w - p_"cl" - p_F + rho_m g h_b) / ((rho_m - rho_x) g)))'),
    source="definition",
    where="pressure at the weak point with influx anywhere between it and bottom",
    validity_note="Bottom pressure held at formation pressure. An influx no lighter than mud is "
    "borne whole or not at all.",
    example={
        "weak_point_fracture_pressure": "58 MPa",
        "formation_pressure": "62 MPa",
        "mud_density": "1.20 sg",
        "influx_density": "250 kg/m3",
        "height_below_weak_point": "1000 m",
    },
)
def kick_height_allowed(
    weak_point_fracture_pressure: Real,
    formation_pressure: Real,
    mud_density: Real,
    influx_density: Real,
    height_below_weak_point: Real,
    choke_line_friction: Real = 0.0,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Tallest influx below the weak point that does not break it.

    With formation pressure at bottom and influx of height h anywhere below, the weak
    point bears p_F - rho_x g h - rho_m g (H - h), plus what choke-line friction adds
    while circulating. Zero where even no influx is too much; never taller than the
    hole below the weak point, whose filling is then the limit.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Pressure at which the weak point gives way.
    formation_pressure : [Pa]
        Pressure of the kicking formation at bottom.
    mud_density : [kg/m3]
        Density of the mud in use.
    influx_density : [kg/m3]
        Density of the influx where it stands.
    height_below_weak_point : [m]
        True vertical height from weak point to bottom.
    choke_line_friction : [Pa]
        Friction that adds to annulus pressures while circulating; zero when shut in.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    influx_height : [m]
        Height of influx allowed.
    """
    mud = mud_density * gravity * height_below_weak_point
    spare = weak_point_fracture_pressure - choke_line_friction - formation_pressure + mud
    # an influx no lighter than the mud presses most before it is there: all of it, or none
    lighter = np.maximum(mud_density - np.asarray(influx_density), 1e-12)
    height = spare / (lighter * gravity)
    return np.minimum(height_below_weak_point, np.maximum(0.0, height))


@published(
    formula="V_x = A_1 min(h_x, L_1) + A_2 max(0, h_x - L_1)",
    source="definition",
    where="annulus by its geometry: collars first, then pipe",
    example={
        "influx_height": "250 m",
        "annulus_area_around_collars": "0.0436 m2",
        "annulus_area_around_pipe": "0.0634 m2",
        "collar_length": "150 m",
    },
)
def kick_volume_shut_in(
    influx_height: Real,
    annulus_area_around_collars: Real,
    annulus_area_around_pipe: Real,
    collar_length: Real,
) -> Real:
    """Volume of an influx of a height at the bottom of the hole.

    Parameters
    ----------
    influx_height : [m]
        Height of the influx.
    annulus_area_around_collars : [m2]
        Annulus area along the bottom assembly.
    annulus_area_around_pipe : [m2]
        Annulus area along the pipe above it.
    collar_length : [m]
        Length of the bottom assembly.

    Returns
    -------
    influx_volume : [m3]
        Volume at bottom.
    """
    around_collars = np.minimum(influx_height, collar_length)
    above = np.asarray(influx_height) - around_collars
    return annulus_area_around_collars * around_collars + annulus_area_around_pipe * above


@published(
    formula="V_x = A_2 h_x (p_w z_b T_b) / (p_F z_w T_w)",
    source="definition",
    where="real-gas law between weak point and bottom",
    valid={"formation_pressure": Limit(1e5, 2e8, "a pressure above zero")},
    validity_note="Absolute pressures and temperatures; gas at the weak point at its pressure.",
    example={
        "influx_height": "250 m",
        "annulus_area_around_pipe": "0.0634 m2",
        "weak_point_fracture_pressure": "58 MPa",
        "weak_point_temperature": "60 degC",
        "weak_point_z_factor": "1.2",
        "formation_pressure": "62 MPa",
        "bottom_hole_temperature": "90 degC",
        "bottom_hole_z_factor": "1.25",
    },
)
def kick_volume_circulated(
    influx_height: Real,
    annulus_area_around_pipe: Real,
    weak_point_fracture_pressure: Real,
    weak_point_temperature: Real,
    weak_point_z_factor: Real,
    formation_pressure: Real,
    bottom_hole_temperature: Real,
    bottom_hole_z_factor: Real,
) -> Real:
    """Volume at bottom of a gas influx that has a height when its top is at the weak point.

    Parameters
    ----------
    influx_height : [m]
        Height of the influx just below the weak point.
    annulus_area_around_pipe : [m2]
        Annulus area there.
    weak_point_fracture_pressure : [Pa]
        Absolute pressure of the gas there.
    weak_point_temperature : [K]
        Temperature there.
    weak_point_z_factor : [-]
        Compressibility factor there.
    formation_pressure : [Pa]
        Absolute pressure at bottom.
    bottom_hole_temperature : [K]
        Temperature at bottom.
    bottom_hole_z_factor : [-]
        Compressibility factor at bottom.

    Returns
    -------
    influx_volume : [m3]
        Volume at bottom.
    """
    shrink = (weak_point_fracture_pressure * bottom_hole_z_factor * bottom_hole_temperature) / (
        formation_pressure * weak_point_z_factor * weak_point_temperature
    )
    return annulus_area_around_pipe * influx_height * shrink


@published(
    formula=(
        "V_x = min(V_1, V_2) \\ "
        "V_1 = A_1 min(h_1, L_1) + A_2 max(0, h_1 - L_1), quad "
        "h_1 = (p_w - p_F + rho_m g h_b) / ((rho_m - rho_g (p_F, T_b)) g) \\ "
        "V_2 = A_2 h_2 (p_w z_b T_b) / (p_F z_w T_w), quad "
        'h_2 = (p_w - p_"cl" - p_F + rho_m g h_b) / ((rho_m - rho_g (p_w, T_w)) g) \\ '
        'rho_g "and" z "of gas" gamma_g, T_"pc", p_"pc"; quad 0 <= h_1, h_2 <= h_b'
    ),
    source="common-practice",
    where="kick tolerance by two conditions: shut in at bottom, circulated to the weak point",
    validity_note=(
        "One bubble, driller's method with the mud in use, gauge pressures; "
        "the bubble at the weak point stands around pipe."
    ),
    example={
        "weak_point_fracture_pressure": "58 MPa",
        "formation_pressure": "62 MPa",
        "mud_density": "1.20 sg",
        "height_below_weak_point": "1000 m",
        "annulus_area_around_collars": "0.0436 m2",
        "annulus_area_around_pipe": "0.0634 m2",
        "collar_length": "150 m",
        "bottom_hole_temperature": "90 degC",
        "weak_point_temperature": "60 degC",
        "choke_line_friction": "0.7 MPa",
    },
)
def kick_tolerance_volume(
    weak_point_fracture_pressure: Real,
    formation_pressure: Real,
    mud_density: Real,
    height_below_weak_point: Real,
    annulus_area_around_collars: Real,
    annulus_area_around_pipe: Real,
    collar_length: Real,
    bottom_hole_temperature: Real,
    weak_point_temperature: Real,
    choke_line_friction: Real = 0.0,
    gas_gravity: Real = METHANE_GRAVITY,
    pseudo_critical_temperature: Real = METHANE_CRITICAL_TEMPERATURE,
    pseudo_critical_pressure: Real = METHANE_CRITICAL_PRESSURE,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Greatest gas influx at bottom that can be shut in and circulated past the weak point.

    Both conditions must hold, so the smaller volume counts. Choke-line friction works
    against the second only; gas density and z are those in place.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Gauge pressure at which the weak point gives way.
    formation_pressure : [Pa]
        Gauge pressure of the kicking formation: mud plus the intensity to stand.
    mud_density : [kg/m3]
        Density of the mud in use.
    height_below_weak_point : [m]
        True vertical height from weak point to bottom.
    annulus_area_around_collars : [m2]
        Annulus area along the bottom assembly.
    annulus_area_around_pipe : [m2]
        Annulus area along the pipe above it.
    collar_length : [m]
        Length of the bottom assembly.
    bottom_hole_temperature : [K]
        Temperature at bottom.
    weak_point_temperature : [K]
        Temperature at the weak point.
    choke_line_friction : [Pa]
        Friction in the choke line at the kill rate that cannot be taken off.
    gas_gravity : [-]
        Molar mass over that of air; methane's by default.
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature; methane's by default.
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure; methane's by default.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    influx_volume : [m3]
        Volume of influx at bottom; zero where the kick alone breaks the weak point.

    Raises
    ------
    NotConverged
        The equation of state of the gas has no solution.
    """
    critical = (pseudo_critical_temperature, pseudo_critical_pressure)
    below = np.asarray(formation_pressure) + _ATMOSPHERE
    above = np.asarray(weak_point_fracture_pressure) + _ATMOSPHERE
    z_below = gas_z_factor(below, bottom_hole_temperature, *critical)
    z_above = gas_z_factor(above, weak_point_temperature, *critical)
    shut_in = kick_volume_shut_in(
        kick_height_allowed(
            weak_point_fracture_pressure,
            formation_pressure,
            mud_density,
            gas_density(below, bottom_hole_temperature, z_below, gas_gravity),
            height_below_weak_point,
            gravity=gravity,
        ),
        annulus_area_around_collars,
        annulus_area_around_pipe,
        collar_length,
    )
    height = kick_height_allowed(
        weak_point_fracture_pressure,
        formation_pressure,
        mud_density,
        gas_density(above, weak_point_temperature, z_above, gas_gravity),
        height_below_weak_point,
        choke_line_friction,
        gravity,
    )
    circulated = kick_volume_circulated(
        height,
        annulus_area_around_pipe,
        above,
        weak_point_temperature,
        z_above,
        below,
        bottom_hole_temperature,
        z_below,
    )
    return np.minimum(shut_in, circulated)


@published(
    formula=(
        "V_x = min(A_1 min(h_1, L_1) + A_2 max(0, h_1 - L_1), A_2 h_2) \\ "
        "h_1 = (p_w - p_F + rho_m g h_b) / ((rho_m - rho_x) g), quad "
        'h_2 = h_1 - p_"cl" / ((rho_m - rho_x) g), quad 0 <= h_1, h_2 <= h_b'
    ),
    source="common-practice",
    where="the same two conditions for a liquid, which does not expand on its way",
    validity_note="One slug, not mixed with the mud, which is heavier; driller's method.",
    example={
        "weak_point_fracture_pressure": "58 MPa",
        "formation_pressure": "68.5 MPa",
        "mud_density": "1.20 sg",
        "influx_density": "1.03 sg",
        "height_below_weak_point": "1000 m",
        "annulus_area_around_collars": "0.0436 m2",
        "annulus_area_around_pipe": "0.0634 m2",
        "collar_length": "150 m",
        "choke_line_friction": "0.3 MPa",
    },
)
def liquid_kick_tolerance_volume(
    weak_point_fracture_pressure: Real,
    formation_pressure: Real,
    mud_density: Real,
    influx_density: Real,
    height_below_weak_point: Real,
    annulus_area_around_collars: Real,
    annulus_area_around_pipe: Real,
    collar_length: Real,
    choke_line_friction: Real = 0.0,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Greatest influx of a liquid that can be shut in and circulated past the weak point.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Pressure at which the weak point gives way.
    formation_pressure : [Pa]
        Pressure of the kicking formation.
    mud_density : [kg/m3]
        Density of the mud in use.
    influx_density : [kg/m3]
        Density of the liquid that comes in.
    height_below_weak_point : [m]
        True vertical height from weak point to bottom.
    annulus_area_around_collars : [m2]
        Annulus area along the bottom assembly.
    annulus_area_around_pipe : [m2]
        Annulus area along the pipe above it.
    collar_length : [m]
        Length of the bottom assembly.
    choke_line_friction : [Pa]
        Friction in the choke line at the kill rate that cannot be taken off.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    influx_volume : [m3]
        Volume of influx; zero where the kick alone breaks the weak point.
    """
    known = (weak_point_fracture_pressure, formation_pressure, mud_density, influx_density)
    below, areas = height_below_weak_point, (annulus_area_around_collars, annulus_area_around_pipe)
    shut_in = kick_volume_shut_in(
        kick_height_allowed(*known, below, gravity=gravity), *areas, collar_length
    )
    moving = kick_height_allowed(*known, below, choke_line_friction, gravity)
    return np.minimum(shut_in, annulus_area_around_pipe * np.asarray(moving))


@published(
    formula="Delta rho_k = (p_w + rho_m g (h_b - h_x) + rho_x g h_x) / (g H_m) - rho_m",
    source="definition",
    where="greatest formation pressure that an influx of a height may have, as intensity",
    validity_note="Influx height not above the height below the weak point.",
    example={
        "weak_point_fracture_pressure": "58 MPa",
        "mud_density": "1.20 sg",
        "influx_density": "250 kg/m3",
        "influx_height": "250 m",
        "height_below_weak_point": "1000 m",
        "mud_column_height": "5000 m",
    },
)
def maximum_kick_intensity(
    weak_point_fracture_pressure: Real,
    mud_density: Real,
    influx_density: Real,
    influx_height: Real,
    height_below_weak_point: Real,
    mud_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Greatest kick intensity at which an influx of a height does not break the weak point.

    Parameters
    ----------
    weak_point_fracture_pressure : [Pa]
        Pressure at which the weak point gives way.
    mud_density : [kg/m3]
        Density of the mud in use.
    influx_density : [kg/m3]
        Density of the influx.
    influx_height : [m]
        Height of the influx; zero gives the swab-free upper bound.
    height_below_weak_point : [m]
        True vertical height from weak point to bottom.
    mud_column_height : [m]
        True vertical height from flow line to bottom: the datum of the intensity.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    kick_intensity : [kg/m3]
        Formation pressure above the mud, as a density over the whole column.
    """
    below = mud_density * (height_below_weak_point - influx_height) + influx_density * influx_height
    most = weak_point_fracture_pressure + below * gravity
    return most / (gravity * mud_column_height) - mud_density
