"""The kill sheet: what the gauges say of a kick, and the mud and pressures that kill it."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import published
from bathybore.kernels.mud import STANDARD_GRAVITY


@published(
    formula='p_F = p_"dp" + rho_m g H_m',
    source="definition",
    where="still drill pipe full of known mud is the gauge of the formation",
    example={
        "shut_in_drill_pipe_pressure": "450 psi",
        "mud_density": "12 ppg",
        "mud_column_height": "9500 ft",
    },
)
def formation_pressure_from_shut_in(
    shut_in_drill_pipe_pressure: Real,
    mud_density: Real,
    mud_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure of the formation that kicked, from the shut-in drill-pipe pressure.

    Parameters
    ----------
    shut_in_drill_pipe_pressure : [Pa]
        Gauge pressure on the drill pipe, well shut in and settled.
    mud_density : [kg/m3]
        Density of the mud in the drill pipe.
    mud_column_height : [m]
        True vertical height of mud from gauge to formation.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    formation_pressure : [Pa]
        Formation pressure.
    """
    return shut_in_drill_pipe_pressure + mud_density * gravity * mud_column_height


@published(
    formula='rho_k = rho_m + p_"dp" / (g H_m)',
    source="definition",
    where="mud that balances the formation with no pressure on the gauge",
    caution="Not rounded. For use it is rounded up, and a trip margin comes on top.",
    example={
        "mud_density": "12 ppg",
        "shut_in_drill_pipe_pressure": "450 psi",
        "mud_column_height": "9500 ft",
    },
)
def kill_mud_density(
    mud_density: Real,
    shut_in_drill_pipe_pressure: Real,
    mud_column_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Density of mud that balances the formation that kicked.

    Parameters
    ----------
    mud_density : [kg/m3]
        Density of the mud in use.
    shut_in_drill_pipe_pressure : [Pa]
        Gauge pressure on the drill pipe, well shut in and settled.
    mud_column_height : [m]
        True vertical height of mud from gauge to formation.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    kill_mud_density : [kg/m3]
        Density that balances, unrounded.
    """
    return mud_density + shut_in_drill_pipe_pressure / (gravity * mud_column_height)


@published(
    formula='p_"icp" = p_"scr" + p_"dp"',
    source="common-practice",
    where="constant bottom-hole pressure methods",
    example={"slow_circulating_pressure": "650 psi", "shut_in_drill_pipe_pressure": "530 psi"},
)
def initial_circulating_pressure(
    slow_circulating_pressure: Real, shut_in_drill_pipe_pressure: Real
) -> Real:
    """Drill-pipe pressure at the start of a kill at the slow rate.

    Parameters
    ----------
    slow_circulating_pressure : [Pa]
        Circulating pressure at the slow rate with the mud in use, up the riser.
    shut_in_drill_pipe_pressure : [Pa]
        Gauge pressure on the drill pipe, well shut in and settled.

    Returns
    -------
    initial_circulating_pressure : [Pa]
        Pressure to hold while old mud is still at the bit.
    """
    return slow_circulating_pressure + shut_in_drill_pipe_pressure


@published(
    formula='p_"fcp" = p_"scr" rho_k / rho_m',
    source="common-practice",
    where="friction in proportion to density",
    caution="Take the unrounded kill density that fits the shut-in pressure.",
    example={
        "slow_circulating_pressure": "650 psi",
        "kill_mud_density": "14.92 ppg",
        "mud_density": "14.1 ppg",
    },
)
def final_circulating_pressure(
    slow_circulating_pressure: Real, kill_mud_density: Real, mud_density: Real
) -> Real:
    """Drill-pipe pressure once kill mud has reached the bit.

    Parameters
    ----------
    slow_circulating_pressure : [Pa]
        Circulating pressure at the slow rate with the mud in use.
    kill_mud_density : [kg/m3]
        Density of the kill mud.
    mud_density : [kg/m3]
        Density of the mud in use.

    Returns
    -------
    final_circulating_pressure : [Pa]
        Pressure to hold from then on.
    """
    return slow_circulating_pressure * kill_mud_density / mud_density


@published(
    formula="p = p_1 (q_2 / q_1)^2",
    source="common-practice",
    where="losses with the square of the rate (field rule; the true exponent is about 1.8)",
    example={
        "first_pressure": "650 psi",
        "first_flow_rate": "30 L/s",
        "second_flow_rate": "20 L/s",
    },
)
def circulating_pressure_at_rate(
    first_pressure: Real, first_flow_rate: Real, second_flow_rate: Real
) -> Real:
    """Circulating pressure at another rate, from one measured pressure.

    Parameters
    ----------
    first_pressure : [Pa]
        Circulating pressure at the first rate.
    first_flow_rate : [m3/s]
        First flow rate.
    second_flow_rate : [m3/s]
        Second flow rate.

    Returns
    -------
    circulating_friction : [Pa]
        Circulating pressure at the second rate.
    """
    return first_pressure * (second_flow_rate / first_flow_rate) ** 2


@published(
    formula='rho_x = rho_m - (p_"cs" - p_"dp") / (g h_x)',
    source="definition",
    where="annulus against drill pipe, both balancing the formation",
    example={
        "mud_density": "12 ppg",
        "shut_in_drill_pipe_pressure": "450 psi",
        "shut_in_casing_pressure": "750 psi",
        "influx_height": "600 ft",
    },
)
def influx_density_from_shut_in(
    mud_density: Real,
    shut_in_drill_pipe_pressure: Real,
    shut_in_casing_pressure: Real,
    influx_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Density of an influx from the two shut-in pressures: tells gas from water.

    Parameters
    ----------
    mud_density : [kg/m3]
        Density of the mud in use.
    shut_in_drill_pipe_pressure : [Pa]
        Gauge pressure on the drill pipe.
    shut_in_casing_pressure : [Pa]
        Gauge pressure on the annulus.
    influx_height : [m]
        True vertical height of the influx around the string.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    influx_density : [kg/m3]
        Density of the influx.
    """
    return mud_density - (shut_in_casing_pressure - shut_in_drill_pipe_pressure) / (
        gravity * influx_height
    )


@published(
    formula='p_"max" = sqrt(7.551 p_F rho_k V_x / A_2)',
    source="lapeyrouse-2002",
    where="chapter 4, 0.2 sqrt(P V W / C) in coherent units",
    validity_note="Vertical surface-stack wells, water-base mud, wait-and-weight method.",
    caution="A rule of thumb for gas at the surface; knows neither choke line nor cold sea.",
    example={
        "formation_pressure": "6378 psi",
        "influx_volume": "25 bbl",
        "kill_mud_density": "13 ppg",
        "annulus_area_around_pipe": "23.94 in2",
    },
)
def maximum_surface_pressure(
    formation_pressure: Real,
    influx_volume: Real,
    kill_mud_density: Real,
    annulus_area_around_pipe: Real,
) -> Real:
    """Greatest surface pressure while a gas kick is circulated out, by the field rule.

    Parameters
    ----------
    formation_pressure : [Pa]
        Formation pressure.
    influx_volume : [m3]
        Pit gain.
    kill_mud_density : [kg/m3]
        Density of the kill mud.
    annulus_area_around_pipe : [m2]
        Annulus volume per length.

    Returns
    -------
    maximum_surface_pressure : [Pa]
        Greatest annulus pressure at surface.
    """
    # 0.2² psi per (ft ppg): the field rule squared, by the exact units
    rule = 0.04 * 6894.757293168361 / (0.3048 * 119.82642731689663)
    length = influx_volume / annulus_area_around_pipe
    return np.sqrt(rule * formation_pressure * kill_mud_density * length)


@published(
    formula="v_g = dot(p) / (rho_m g)",
    source="definition",
    where="gas that keeps its volume carries its pressure upwards",
    example={"pressure_rise_rate": "0.1 psi/s", "mud_density": "12 ppg"},
)
def gas_migration_rate(
    pressure_rise_rate: Real,
    mud_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Speed at which gas rises in a shut-in well, from the rise of the gauge.

    Parameters
    ----------
    pressure_rise_rate : [Pa/s]
        Rise of the shut-in pressure per time.
    mud_density : [kg/m3]
        Density of the mud.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    gas_migration_rate : [m/s]
        Speed upwards.
    """
    return pressure_rise_rate / (mud_density * gravity)


@published(
    formula='p_"cs" = p_F - rho_x g h_x - rho_m g (H_m - h_x)',
    source="definition",
    where="annulus with influx at the bottom, balancing the formation",
    example={
        "formation_pressure": "75 MPa",
        "mud_density": "1.4 sg",
        "mud_column_height": "5200 m",
        "influx_density": "250 kg/m3",
        "influx_height": "150 m",
    },
)
def shut_in_casing_pressure_of_kick(
    formation_pressure: Real,
    mud_density: Real,
    mud_column_height: Real,
    influx_density: Real,
    influx_height: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure on the choke gauge with the well shut in on a kick of known height.

    Parameters
    ----------
    formation_pressure : [Pa]
        Formation pressure.
    mud_density : [kg/m3]
        Density of the mud in use.
    mud_column_height : [m]
        True vertical height from the gauge to the formation.
    influx_density : [kg/m3]
        Density of the influx.
    influx_height : [m]
        True vertical height of the influx around the string.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    shut_in_casing_pressure : [Pa]
        Gauge pressure on the annulus.
    """
    above = mud_column_height - influx_height
    return formation_pressure - gravity * (influx_density * influx_height + mud_density * above)


@published(
    formula='p_0 = max(0, p_"cs" - p_"cl")',
    source="common-practice",
    where="pumps brought up to the slow rate with a sea-bed preventer: the choke gives up the "
    "friction of the line",
    caution="Holding the shut-in pressure instead loads the weak point with the line's friction.",
    example={"shut_in_casing_pressure": "3 MPa", "choke_line_friction": "1.2 MPa"},
)
def starting_choke_pressure(shut_in_casing_pressure: Real, choke_line_friction: Real) -> Real:
    """Choke pressure once the pumps are up to the slow rate, returns through the choke line.

    Parameters
    ----------
    shut_in_casing_pressure : [Pa]
        Gauge pressure on the annulus, well shut in.
    choke_line_friction : [Pa]
        Friction in the choke line at the slow rate.

    Returns
    -------
    choke_pressure : [Pa]
        Pressure to hold on the choke; zero where the line's friction is more than there is.
    """
    return np.maximum(0.0, np.asarray(shut_in_casing_pressure) - choke_line_friction)


@published(
    formula='p = p_"dp" - (rho_k - rho_m) g h_k + p_"scr" (1 + (rho_k/rho_m - 1) f_k)',
    source="definition",
    where="bottom pressure held while kill mud goes down a string of any bores",
    validity_note="Friction in proportion to density, as for the final circulating pressure.",
    example={
        "shut_in_drill_pipe_pressure": "530 psi",
        "slow_circulating_pressure": "650 psi",
        "kill_mud_density": "14.92 ppg",
        "mud_density": "14.1 ppg",
        "kill_mud_height": "6000 ft",
        "friction_share": "0.4",
    },
)
def kill_schedule_pressure(
    shut_in_drill_pipe_pressure: Real,
    slow_circulating_pressure: Real,
    kill_mud_density: Real,
    mud_density: Real,
    kill_mud_height: Real,
    friction_share: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Drill-pipe pressure that holds the bottom pressure while kill mud is on its way down.

    Parameters
    ----------
    shut_in_drill_pipe_pressure : [Pa]
        Gauge pressure on the drill pipe, well shut in and settled.
    slow_circulating_pressure : [Pa]
        Circulating pressure at the slow rate with the mud in use.
    kill_mud_density : [kg/m3]
        Density of the kill mud.
    mud_density : [kg/m3]
        Density of the mud in use.
    kill_mud_height : [m]
        True vertical height of the kill mud in the string.
    friction_share : [-]
        Share of the circulating friction in what the kill mud has passed.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    circulating_pressure : [Pa]
        Pressure to hold on the drill pipe.
    """
    heavier = (kill_mud_density - mud_density) * gravity * np.asarray(kill_mud_height)
    rubbing = 1.0 + (kill_mud_density / mud_density - 1.0) * np.asarray(friction_share)
    return shut_in_drill_pipe_pressure - heavier + slow_circulating_pressure * rubbing


@published(
    formula="N = V / (eta_v V_s)",
    source="definition",
    where="a pump that delivers its displacement times its volumetric efficiency",
    example={
        "volume": "45 m3",
        "volume_per_stroke": "19.4 L",
        "volumetric_efficiency": "0.96",
    },
)
def pump_strokes(volume: Real, volume_per_stroke: Real, volumetric_efficiency: Real) -> Real:
    """Strokes of a pump that move a volume.

    Parameters
    ----------
    volume : [m3]
        Volume to move.
    volume_per_stroke : [m3]
        Displacement of one stroke.
    volumetric_efficiency : [-]
        Share of it that is delivered.

    Returns
    -------
    strokes : [-]
        Number of strokes.
    """
    return np.asarray(volume) / (volume_per_stroke * volumetric_efficiency)
