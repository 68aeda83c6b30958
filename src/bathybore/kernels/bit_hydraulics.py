"""Nozzles, jets and pumps."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula="A_n = N_n pi/4 d_n^2",
    source="definition",
    where="area of equal circles",
    example={"nozzle_diameter": "12/32 in", "nozzle_count": "3"},
)
def nozzle_area(nozzle_diameter: Real, nozzle_count: Real) -> Real:
    """Total flow area of equal nozzles; add the areas of unequal ones.

    Parameters
    ----------
    nozzle_diameter : [m]
        Diameter of one nozzle.
    nozzle_count : [-]
        Number of such nozzles.

    Returns
    -------
    nozzle_area : [m2]
        Total flow area.
    """
    return nozzle_count * np.pi / 4.0 * nozzle_diameter**2


@published(
    formula="p_b = (rho_f q^2) / (2 C_d^2 A_n^2)",
    source="bourgoyne-1986",
    where="chapter 4, orifice equation; discharge coefficient 0.95 recommended there",
    valid={"discharge_coefficient": Limit(0.8, 1.05, "jet nozzles: 0.95, newer shapes up to 1.03")},
    caution="10,858 holds the coefficient 0.95; 12,032 holds a coefficient of 1.",
    example={"fluid_density": "12 ppg", "flow_rate": "520 gpm", "nozzle_area": "0.3313 in2"},
)
def bit_pressure_drop(
    fluid_density: Real, flow_rate: Real, nozzle_area: Real, discharge_coefficient: Real = 0.95
) -> Real:
    """Pressure lost through the nozzles of a bit.

    Bernoulli from still fluid to jet, with a coefficient for what is not recovered.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    flow_rate : [m3/s]
        Flow rate through the bit.
    nozzle_area : [m2]
        Total flow area.
    discharge_coefficient : [-]
        Discharge coefficient.

    Returns
    -------
    bit_pressure_drop : [Pa]
        Pressure lost.
    """
    return fluid_density * flow_rate**2 / (2.0 * discharge_coefficient**2 * nozzle_area**2)


@published(
    formula="A_n = q/C_d sqrt(rho_f / (2 p_b))",
    source="bourgoyne-1986",
    where="chapter 4, orifice equation, inverted",
    valid={"bit_pressure_drop": Limit(1.0, 1e9, "a loss above zero")},
    example={"fluid_density": "12 ppg", "flow_rate": "520 gpm", "bit_pressure_drop": "2700 psi"},
)
def nozzle_area_for_pressure_drop(
    fluid_density: Real,
    flow_rate: Real,
    bit_pressure_drop: Real,
    discharge_coefficient: Real = 0.95,
) -> Real:
    """Total flow area of nozzles that loses a wanted pressure.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    flow_rate : [m3/s]
        Flow rate through the bit.
    bit_pressure_drop : [Pa]
        Pressure loss wanted.
    discharge_coefficient : [-]
        Discharge coefficient.

    Returns
    -------
    nozzle_area : [m2]
        Total flow area.
    """
    return flow_rate / discharge_coefficient * np.sqrt(fluid_density / (2.0 * bit_pressure_drop))


@published(
    formula="v_n = q / A_n",
    source="definition",
    where="conservation of volume",
    example={"flow_rate": "520 gpm", "nozzle_area": "0.3313 in2"},
)
def nozzle_velocity(flow_rate: Real, nozzle_area: Real) -> Real:
    """Velocity of the jets.

    Parameters
    ----------
    flow_rate : [m3/s]
        Flow rate through the bit.
    nozzle_area : [m2]
        Total flow area.

    Returns
    -------
    nozzle_velocity : [m/s]
        Jet velocity.
    """
    return flow_rate / nozzle_area


@published(
    formula="F_j = rho_f q v_n",
    source="definition",
    where="momentum of the jets, taken up in full by the bottom",
    example={"fluid_density": "12 ppg", "flow_rate": "520 gpm", "nozzle_velocity": "502 ft/s"},
)
def jet_impact_force(fluid_density: Real, flow_rate: Real, nozzle_velocity: Real) -> Real:
    """Force of the jets on the bottom of the hole.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    flow_rate : [m3/s]
        Flow rate through the bit.
    nozzle_velocity : [m/s]
        Jet velocity.

    Returns
    -------
    jet_impact_force : [N]
        Impact force.
    """
    return fluid_density * flow_rate * nozzle_velocity


@published(
    formula="P_h = Delta p q",
    source="definition",
    where="work of pressure per time",
    example={"pressure_loss": "1169 psi", "flow_rate": "400 gpm"},
)
def hydraulic_power(pressure_loss: Real, flow_rate: Real) -> Real:
    """Hydraulic power that a flow spends over a pressure loss.

    Parameters
    ----------
    pressure_loss : [Pa]
        Pressure lost.
    flow_rate : [m3/s]
        Flow rate.

    Returns
    -------
    hydraulic_power : [W]
        Power spent.
    """
    return pressure_loss * flow_rate


@published(
    formula="P_h / A = (4 P_h) / (pi d_h^2)",
    source="common-practice",
    where="hydraulic power per area of bottom, the trade's measure of bit cleaning",
    example={"hydraulic_power": "273 hp", "hole_diameter": "12.25 in"},
)
def hydraulic_power_per_area(hydraulic_power: Real, hole_diameter: Real) -> Real:
    """Hydraulic power at the bit per area of the hole's bottom.

    Parameters
    ----------
    hydraulic_power : [W]
        Hydraulic power at the bit.
    hole_diameter : [m]
        Diameter of the hole.

    Returns
    -------
    hydraulic_power_per_area : [W/m2]
        Power per area.
    """
    return 4.0 * hydraulic_power / (np.pi * hole_diameter**2)


@published(
    formula="x_b = m / (m + 2)",
    source="kendall-goins-1960",
    where="greatest jet impact at a pump held at its pressure limit",
    valid={"flow_exponent": Limit(1.0, 2.0, "laminar to fully rough")},
    caution="The 48 % rule means an exponent of 1.86; at 1.75 it is 46.7 %.",
    example={"flow_exponent": "1.86"},
)
def bit_pressure_share_for_impact(flow_exponent: Real) -> Real:
    """Share of pump pressure that the bit should take for the greatest jet impact.

    Impact goes with q sqrt(p_b) and p_b = p - c q^m; its derivative is zero where
    the parasitic loss is 2/(m+2) of the pump pressure.

    Parameters
    ----------
    flow_exponent : [-]
        Exponent m of flow rate in the losses outside the bit.

    Returns
    -------
    bit_pressure_share : [-]
        Bit loss over pump pressure.
    """
    return flow_exponent / (flow_exponent + 2.0)


@published(
    formula="x_b = m / (m + 1)",
    source="kendall-goins-1960",
    where="greatest bit power at a pump held at its pressure limit",
    valid={"flow_exponent": Limit(1.0, 2.0, "laminar to fully rough")},
    example={"flow_exponent": "1.86"},
)
def bit_pressure_share_for_power(flow_exponent: Real) -> Real:
    """Share of pump pressure that the bit should take for the greatest hydraulic power there.

    Power goes with q p_b and p_b = p - c q^m; its derivative is zero where the
    parasitic loss is 1/(m+1) of the pump pressure.

    Parameters
    ----------
    flow_exponent : [-]
        Exponent m of flow rate in the losses outside the bit.

    Returns
    -------
    bit_pressure_share : [-]
        Bit loss over pump pressure.
    """
    return flow_exponent / (flow_exponent + 1.0)


@published(
    formula="m = ln(p_1 \\/ p_2) / ln(q_1 \\/ q_2)",
    source="definition",
    where="slope of a power law through two points",
    validity_note="Two different flow rates.",
    example={
        "first_pressure": "2000 psi",
        "first_flow_rate": "500 gpm",
        "second_pressure": "900 psi",
        "second_flow_rate": "325 gpm",
    },
)
def flow_exponent(
    first_pressure: Real, first_flow_rate: Real, second_pressure: Real, second_flow_rate: Real
) -> Real:
    """Exponent of flow rate in the losses outside the bit, from two measured points.

    Parameters
    ----------
    first_pressure : [Pa]
        Pump pressure less bit loss at the first rate.
    first_flow_rate : [m3/s]
        First flow rate.
    second_pressure : [Pa]
        Pump pressure less bit loss at the second rate.
    second_flow_rate : [m3/s]
        Second flow rate.

    Returns
    -------
    flow_exponent : [-]
        Exponent m.
    """
    return np.log(first_pressure / second_pressure) / np.log(first_flow_rate / second_flow_rate)


@published(
    formula="V_s = N_c pi/4 d_l^2 s",
    source="definition",
    where="single-acting pump",
    example={"liner_diameter": "6.5 in", "stroke_length": "12 in"},
)
def pump_volume_per_stroke(
    liner_diameter: Real, stroke_length: Real, cylinder_count: Real = 3.0
) -> Real:
    """Volume that a single-acting pump moves per stroke of all its pistons, leakage aside.

    Parameters
    ----------
    liner_diameter : [m]
        Bore of the liners.
    stroke_length : [m]
        Stroke of the pistons.
    cylinder_count : [-]
        Number of cylinders; three in a triplex.

    Returns
    -------
    volume_per_stroke : [m3]
        Volume per stroke (one turn of the crank).
    """
    return cylinder_count * np.pi / 4.0 * liner_diameter**2 * stroke_length


@published(
    formula="q = eta_v N_s V_s",
    source="definition",
    where="strokes per time times volume per stroke",
    valid={"volumetric_efficiency": Limit(0.5, 1.0)},
    example={
        "stroke_rate": "110 spm",
        "volume_per_stroke": "19.6 L",
        "volumetric_efficiency": "0.96",
    },
)
def pump_flow_rate(stroke_rate: Real, volume_per_stroke: Real, volumetric_efficiency: Real) -> Real:
    """Flow rate of one pump.

    Parameters
    ----------
    stroke_rate : [1/s]
        Strokes per second (write it in spm).
    volume_per_stroke : [m3]
        Volume per stroke.
    volumetric_efficiency : [-]
        Share that passes the valves.

    Returns
    -------
    flow_rate : [m3/s]
        Flow rate.
    """
    return volumetric_efficiency * stroke_rate * volume_per_stroke


@published(
    formula="P_p = (p_p q) / eta_m",
    source="definition",
    where="hydraulic power over mechanical efficiency",
    valid={"pump_mechanical_efficiency": Limit(0.5, 1.0)},
    example={
        "pump_pressure": "3500 psi",
        "flow_rate": "800 gpm",
        "pump_mechanical_efficiency": "0.9",
    },
)
def pump_power(pump_pressure: Real, flow_rate: Real, pump_mechanical_efficiency: Real) -> Real:
    """Power that the drives must give the pumps.

    Parameters
    ----------
    pump_pressure : [Pa]
        Discharge pressure.
    flow_rate : [m3/s]
        Flow rate.
    pump_mechanical_efficiency : [-]
        Hydraulic over drive power.

    Returns
    -------
    pump_power : [W]
        Drive power.
    """
    return pump_pressure * flow_rate / pump_mechanical_efficiency


@published(
    formula='p_"lim" = min(p_l, (eta_m P_p) / q)',
    source="definition",
    where="the liner's rated pressure or the power of the drives, whichever comes first",
    valid={"pump_mechanical_efficiency": Limit(0.5, 1.0)},
    example={
        "liner_pressure_rating": "5000 psi",
        "pump_power": "3200 hp",
        "flow_rate": "900 gpm",
        "pump_mechanical_efficiency": "0.9",
    },
)
def pump_pressure_limit(
    liner_pressure_rating: Real,
    pump_power: Real,
    flow_rate: Real,
    pump_mechanical_efficiency: Real,
) -> Real:
    """Greatest discharge pressure that the pumps can hold at a flow rate.

    Parameters
    ----------
    liner_pressure_rating : [Pa]
        Rated pressure of the liners in use.
    pump_power : [W]
        Power of the drives, all pumps that share the flow.
    flow_rate : [m3/s]
        Their total flow rate; at no flow the liner decides.
    pump_mechanical_efficiency : [-]
        Hydraulic over drive power.

    Returns
    -------
    pump_pressure_limit : [Pa]
        Greatest pressure.
    """
    flowing = np.asarray(flow_rate) > 0.0
    by_power = pump_mechanical_efficiency * pump_power / np.where(flowing, flow_rate, 1.0)
    return np.minimum(liner_pressure_rating, np.where(flowing, by_power, liner_pressure_rating))
