"""Thrusters: bollard thrust, what the current and the neighbours take away, power, moments.

Axes as for the hull: x forward, y to port, moments positive anticlockwise from above.
"""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

_POSITIVE_POWER = Limit(1.0, 2e7, "power of one thruster")


@published(
    formula='T_b = eta_1 eta_2 (D_p P_t)^(2/3) quad ["N", "m", "kW"]',
    source="dnv-st-0111",
    where="nominal thrust, section 3.10; from memory",
    valid={
        "bollard_thrust_factor": Limit(600.0, 1300.0, "about 800 open, 1 200 in a nozzle"),
        "thruster_power": _POSITIVE_POWER,
        "mechanical_efficiency": Limit(0.5, 1.0),
    },
    example={
        "thruster_power": "4500 kW",
        "propeller_diameter": "3.5 m",
        "bollard_thrust_factor": "1200",
        "mechanical_efficiency": "0.93",
    },
)
def nominal_bollard_thrust(
    thruster_power: Real,
    propeller_diameter: Real,
    bollard_thrust_factor: Real,
    mechanical_efficiency: Real,
) -> Real:
    """Thrust of one thruster at zero speed from its power and propeller diameter.

    Momentum theory gives thrust as (power times diameter)^(2/3); the factor holds the
    water's density and what a real propeller loses, and is about 1 200 for a propeller
    in a nozzle and 800 for an open one.

    Parameters
    ----------
    thruster_power : [W]
        Power of the motor.
    propeller_diameter : [m]
        Diameter of the propeller.
    bollard_thrust_factor : [-]
        Factor of the formula, for thrust in N, diameter in m and power in kW.
    mechanical_efficiency : [-]
        Share of the motor's power that reaches the propeller.

    Returns
    -------
    nominal_bollard_thrust : [N]
        Thrust at zero speed in open water.
    """
    loading = (propeller_diameter * thruster_power / 1000.0) ** (2.0 / 3.0)
    return bollard_thrust_factor * mechanical_efficiency * loading


@published(
    formula="T_i = (2 rho_w A P_t^2 / tau_p)^(1/3), quad A = pi D_p^2 / 4",
    source="definition",
    where="actuator disk of Rankine and Froude at zero speed",
    valid={
        "propeller_thrust_share": Limit(0.5, 1.0, "1 open, 0.5 nozzle as wide as the propeller"),
        "thruster_power": _POSITIVE_POWER,
    },
    example={
        "thruster_power": "4500 kW",
        "propeller_diameter": "3.5 m",
        "sea_water_density": "1025 kg/m3",
        "propeller_thrust_share": "1",
    },
    caution="No propeller reaches it: it is the bound against which a claimed thrust is held.",
)
def ideal_bollard_thrust(
    thruster_power: Real,
    propeller_diameter: Real,
    sea_water_density: Real,
    propeller_thrust_share: Real,
) -> Real:
    """Greatest thrust that a power can give through a disk at zero speed.

    Power is propeller thrust times the speed through the disk; total thrust is the
    jet's momentum. A nozzle carries part of the thrust, so the jet is wider and slower.

    Parameters
    ----------
    thruster_power : [W]
        Power delivered to the propeller.
    propeller_diameter : [m]
        Diameter of the propeller.
    sea_water_density : [kg/m3]
        Density of the sea.
    propeller_thrust_share : [-]
        Share of the total thrust that the propeller itself carries.

    Returns
    -------
    ideal_bollard_thrust : [N]
        Upper bound of thrust.
    """
    area = np.pi * propeller_diameter**2 / 4.0
    return np.cbrt(2.0 * sea_water_density * area * thruster_power**2 / propeller_thrust_share)


@published(
    formula="k_U = P_t / (u T_0), quad u^2 (u - U_i) = P_t / (2 rho_w A), \\ "
    "T_0 = (2 rho_w A P_t^2)^(1/3), quad A = pi D_p^2 / 4",
    source="definition",
    where="actuator disk of Rankine and Froude in a stream, constant power",
    valid={
        "inflow_speed": Limit(0.0, 3.0, "flow into the disk"),
        "thruster_power": _POSITIVE_POWER,
    },
    validity_note="open propeller turned into the flow, driven at constant power",
    example={
        "thruster_power": "4500 kW",
        "propeller_diameter": "3.5 m",
        "inflow_speed": "1 m/s",
        "sea_water_density": "1025 kg/m3",
    },
)
def inflow_thrust_factor(
    thruster_power: Real,
    propeller_diameter: Real,
    inflow_speed: Real,
    sea_water_density: Real,
) -> Real:
    """Share of bollard thrust left when water flows into the propeller, at constant power.

    Power is thrust times u, the speed through the disk; thrust is 2 rho A u (u - U).
    The cubic for u has one positive root, here by Cardano.

    Parameters
    ----------
    thruster_power : [W]
        Power delivered to the propeller.
    propeller_diameter : [m]
        Diameter of the propeller.
    inflow_speed : [m/s]
        Speed of the water towards the disk.
    sea_water_density : [kg/m3]
        Density of the sea.

    Returns
    -------
    inflow_thrust_factor : [-]
        Thrust in the flow over thrust at zero speed.
    """
    area = np.pi * propeller_diameter**2 / 4.0
    cubed = thruster_power / (2.0 * sea_water_density * area)
    third = inflow_speed / 3.0
    root = np.sqrt(cubed**2 / 4.0 + cubed * third**3)
    half = third**3 + cubed / 2.0
    # the two cube roots multiply to third squared: no cancellation in the second one
    large = np.cbrt(half + root)
    through_disk = third + large + third**2 / large
    return np.cbrt(cubed) / through_disk


@published(
    formula="t_0 = 1 - k_d^((s_t / D_p)^(2/3))",
    source="dang-laheij-2004",
    where="thruster in the wash of another in line with it; from memory",
    valid={
        "thruster_spacing": Limit(1.0, 300.0),
        "wash_decay": Limit(0.7, 0.85, "0.80 in open water, 0.75 under a flat bottom"),
    },
    example={"thruster_spacing": "15 m", "propeller_diameter": "3.5 m"},
)
def tandem_thrust_factor(
    thruster_spacing: Real, propeller_diameter: Real, wash_decay: Real = 0.80
) -> Real:
    """Share of thrust left to a thruster standing straight in the wash of another.

    Parameters
    ----------
    thruster_spacing : [m]
        Distance between the two thrusters.
    propeller_diameter : [m]
        Diameter of the propellers.
    wash_decay : [-]
        0.80 in open water, 0.75 under a flat bottom.

    Returns
    -------
    tandem_thrust_factor : [-]
        Thrust in the wash over thrust in still water.
    """
    return 1.0 - wash_decay ** ((thruster_spacing / propeller_diameter) ** (2.0 / 3.0))


@published(
    formula='t_phi = t_0 + (1 - t_0) phi^3 / (130 / t_0^3 + phi^3) quad [phi "in degrees"]',
    source="dang-laheij-2004",
    where="upstream thruster turned away; from memory",
    valid={
        "tandem_thrust_factor": Limit(0.01, 1.0),
        "wash_angle": Limit(0.0, np.pi / 2.0, "turned away by up to a right angle"),
    },
    example={"tandem_thrust_factor": "0.45", "wash_angle": "20 deg"},
)
def turned_thrust_factor(tandem_thrust_factor: Real, wash_angle: Real) -> Real:
    """Share of thrust left to the downstream thruster when the other one is turned away.

    Parameters
    ----------
    tandem_thrust_factor : [-]
        Share left when the wash points straight at it.
    wash_angle : [rad]
        Angle between the wash and the line from one thruster to the other.

    Returns
    -------
    turned_thrust_factor : [-]
        Thrust in the turned wash over thrust in still water.
    """
    cubed = np.degrees(wash_angle) ** 3
    gain = cubed / (130.0 / tandem_thrust_factor**3 + cubed)
    return tandem_thrust_factor + (1.0 - tandem_thrust_factor) * gain


@published(
    formula='phi_b = root(3, 130 / t_0^3 (t_b - t_0) / (1 - t_b)) <= 90 quad [phi_b "in degrees"], '
    'quad phi_b = 0 "for" t_0 >= t_b',
    source="dang-laheij-2004",
    where="their share left beside a turned wash, solved for the angle; from memory",
    valid={
        "tandem_thrust_factor": Limit(0.01, 1.0),
        "least_wash_thrust_share": Limit(0.5, 0.99, "a share that the operator settles"),
    },
    validity_note="up to a right angle, where the measured wash ends; hull and keel not counted",
    example={"tandem_thrust_factor": "0.5", "least_wash_thrust_share": "0.9"},
)
def barred_half_angle(tandem_thrust_factor: Real, least_wash_thrust_share: Real) -> Real:
    """Half of the sector in which a wash takes too much from a neighbour.

    At its edge `turned_thrust_factor` leaves the neighbour just the share that it is to keep.

    Parameters
    ----------
    tandem_thrust_factor : [-]
        Share left to the neighbour when the wash points straight at it.
    least_wash_thrust_share : [-]
        Share of its thrust that the neighbour is to keep.

    Returns
    -------
    barred_half_angle : [rad]
        To either side of the line to the neighbour; zero where it keeps its share anyway.
    """
    missing = np.maximum(least_wash_thrust_share - tandem_thrust_factor, 0.0)
    cubed = 130.0 / tandem_thrust_factor**3 * missing / (1.0 - least_wash_thrust_share)
    return np.radians(np.minimum(np.cbrt(cubed), 90.0))


@published(
    formula="T_e = T_b k_U t_phi k_h",
    source="common-practice",
    where="losses multiplied as if independent",
    valid={
        "inflow_thrust_factor": Limit(0.0, 1.0),
        "interaction_thrust_factor": Limit(0.0, 1.0),
        "hull_thrust_factor": Limit(0.0, 1.0, "friction and cling of the wash to the hull"),
    },
    example={
        "nominal_bollard_thrust": "750 kN",
        "inflow_thrust_factor": "0.95",
        "interaction_thrust_factor": "0.9",
        "hull_thrust_factor": "0.93",
    },
)
def effective_thrust(
    nominal_bollard_thrust: Real,
    inflow_thrust_factor: Real,
    interaction_thrust_factor: Real,
    hull_thrust_factor: Real,
) -> Real:
    """Thrust that reaches the ship after current, neighbours and hull took their share.

    Parameters
    ----------
    nominal_bollard_thrust : [N]
        Thrust at zero speed in open water.
    inflow_thrust_factor : [-]
        Share left in the current.
    interaction_thrust_factor : [-]
        Share left in the wash of other thrusters.
    hull_thrust_factor : [-]
        Share left after the wash has rubbed along or clung to the hull.

    Returns
    -------
    effective_thrust : [N]
        Thrust available for keeping station.
    """
    factors = inflow_thrust_factor * interaction_thrust_factor * hull_thrust_factor
    return nominal_bollard_thrust * factors


@published(
    formula='P = P_"max" (T / T_"max")^(3/2)',
    source="definition",
    where="thrust as speed squared and power as speed cubed of a fixed propeller",
    valid={"thrust": Limit(0.0, 2e6, "a thrust has no sign here")},
    validity_note="thrust up to the greatest thrust, in the same inflow",
    example={"thrust": "400 kN", "max_thrust": "750 kN", "max_thruster_power": "4500 kW"},
)
def power_for_thrust(thrust: Real, max_thrust: Real, max_thruster_power: Real) -> Real:
    """Power a thruster draws for a part of its thrust.

    Parameters
    ----------
    thrust : [N]
        Thrust delivered.
    max_thrust : [N]
        Thrust at full power.
    max_thruster_power : [W]
        Full power.

    Returns
    -------
    power_for_thrust : [W]
        Power drawn.
    """
    return max_thruster_power * (thrust / max_thrust) ** 1.5


@published(
    formula='T = T_"max" (P_t / P_"max")^(2/3)',
    source="definition",
    where="thrust as speed squared and power as speed cubed of a fixed propeller",
    valid={"thruster_power": Limit(0.0, 2e7)},
    validity_note="power up to full power, in the same inflow",
    example={
        "thruster_power": "2000 kW",
        "max_thrust": "750 kN",
        "max_thruster_power": "4500 kW",
    },
)
def thrust_for_power(thruster_power: Real, max_thrust: Real, max_thruster_power: Real) -> Real:
    """Thrust a thruster gives from a part of its power.

    Parameters
    ----------
    thruster_power : [W]
        Power delivered.
    max_thrust : [N]
        Thrust at full power.
    max_thruster_power : [W]
        Full power.

    Returns
    -------
    thrust : [N]
        Thrust delivered.
    """
    return max_thrust * (thruster_power / max_thruster_power) ** (2.0 / 3.0)


@published(
    formula="T = K_T rho_w n_p^2 D_p^4",
    source="definition",
    where="definition of the thrust coefficient",
    example={
        "propeller_thrust_coefficient": "0.45",
        "sea_water_density": "1025 kg/m3",
        "propeller_speed": "180 rpm",
        "propeller_diameter": "3.5 m",
    },
)
def propeller_thrust(
    propeller_thrust_coefficient: Real,
    sea_water_density: Real,
    propeller_speed: Real,
    propeller_diameter: Real,
) -> Real:
    """Thrust of a propeller from its measured thrust coefficient.

    Parameters
    ----------
    propeller_thrust_coefficient : [-]
        Thrust coefficient at the advance ratio concerned; total, nozzle included.
    sea_water_density : [kg/m3]
        Density of the sea.
    propeller_speed : [1/s]
        Turns per second.
    propeller_diameter : [m]
        Diameter of the propeller.

    Returns
    -------
    propeller_thrust : [N]
        Thrust.
    """
    speed_head = sea_water_density * propeller_speed**2
    return propeller_thrust_coefficient * speed_head * propeller_diameter**4


@published(
    formula="P = 2 pi K_Q rho_w n_p^3 D_p^5",
    source="definition",
    where="definition of the torque coefficient, times the angular speed",
    example={
        "propeller_torque_coefficient": "0.045",
        "sea_water_density": "1025 kg/m3",
        "propeller_speed": "180 rpm",
        "propeller_diameter": "3.5 m",
    },
)
def propeller_power(
    propeller_torque_coefficient: Real,
    sea_water_density: Real,
    propeller_speed: Real,
    propeller_diameter: Real,
) -> Real:
    """Power a propeller takes from its measured torque coefficient.

    Parameters
    ----------
    propeller_torque_coefficient : [-]
        Torque coefficient at the advance ratio concerned.
    sea_water_density : [kg/m3]
        Density of the sea.
    propeller_speed : [1/s]
        Turns per second.
    propeller_diameter : [m]
        Diameter of the propeller.

    Returns
    -------
    propeller_power : [W]
        Power delivered to the propeller.
    """
    cubed = sea_water_density * propeller_speed**3
    return 2.0 * np.pi * propeller_torque_coefficient * cubed * propeller_diameter**5


@published(
    formula="M_z = x_t F_y - y_t F_x",
    source="definition",
    where="moment of a force about the vertical",
    example={
        "thruster_position_forward": "80 m",
        "thruster_position_port": "-6 m",
        "thrust_forward": "200 kN",
        "thrust_port": "-150 kN",
    },
)
def thruster_yaw_moment(
    thruster_position_forward: Real,
    thruster_position_port: Real,
    thrust_forward: Real,
    thrust_port: Real,
) -> Real:
    """Moment of one thruster about midships, positive anticlockwise from above.

    Parameters
    ----------
    thruster_position_forward : [m]
        Distance of the thruster forward of midships.
    thruster_position_port : [m]
        Distance of the thruster to port of the centre line.
    thrust_forward : [N]
        Component of its thrust on the ship, forward.
    thrust_port : [N]
        Component of its thrust on the ship, to port.

    Returns
    -------
    thruster_yaw_moment : [N m]
        Moment on the ship.
    """
    return thruster_position_forward * thrust_port - thruster_position_port * thrust_forward
