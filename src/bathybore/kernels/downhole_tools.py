"""What motors, turbines and measuring tools in the string take of the pump's pressure."""

from __future__ import annotations

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula="Delta p_t = Delta p_r rho_f / rho_r (q / q_r)^m",
    source="common-practice",
    where="a loss stated at one flow and density; turbulent flow loses by density and square",
    valid={"flow_exponent": Limit(1.0, 2.0, "laminar to fully turbulent")},
    example={
        "reference_pressure_loss": "1.2 MPa",
        "fluid_density": "1.40 sg",
        "reference_density": "1.00 sg",
        "flow_rate": "2600 L/min",
        "reference_flow_rate": "2500 L/min",
    },
    caution="Far from the stated flow a square says too much or too little: ask for its curve.",
)
def tool_pressure_loss(
    reference_pressure_loss: Real,
    fluid_density: Real,
    reference_density: Real,
    flow_rate: Real,
    reference_flow_rate: Real,
    flow_exponent: Real = 2.0,
) -> Real:
    """Pressure lost in a tool of the string that nothing holds back: no torque is taken from it.

    Parameters
    ----------
    reference_pressure_loss : [Pa]
        Loss stated for the tool.
    fluid_density : [kg/m3]
        Density of the fluid.
    reference_density : [kg/m3]
        Density that the loss was stated for.
    flow_rate : [m3/s]
        Flow rate through the tool.
    reference_flow_rate : [m3/s]
        Flow rate that the loss was stated for.
    flow_exponent : [-]
        Exponent of the flow rate.

    Returns
    -------
    tool_loss : [Pa]
        Pressure lost.
    """
    ratio = flow_rate / reference_flow_rate
    return reference_pressure_loss * fluid_density / reference_density * ratio**flow_exponent


@published(
    formula="x_M = M_b / M_t",
    source="definition",
    where="torque that the bit takes over the torque that the motor is rated for",
    example={"bit_torque": "4 kN m", "torque": "9 kN m"},
)
def motor_torque_share(bit_torque: Real, torque: Real) -> Real:
    """Share of its rated torque that a motor gives.

    Parameters
    ----------
    bit_torque : [N m]
        Torque that the bit takes.
    torque : [N m]
        Rated torque of the motor.

    Returns
    -------
    torque_share : [-]
        Share of the rated torque.
    """
    return bit_torque / torque


@published(
    formula="Delta p_d = x_M Delta p_m",
    source="common-practice",
    where="a motor of fixed displacement: torque goes with pressure, whatever flows",
    valid={"torque_share": Limit(0.0, 1.0, "beyond its rated torque a motor stalls")},
    example={"torque_share": "0.45", "rated_differential_pressure": "4 MPa"},
)
def motor_differential_pressure(torque_share: Real, rated_differential_pressure: Real) -> Real:
    """Pressure that a displacement motor takes for its torque, beyond what it takes unloaded.

    Parameters
    ----------
    torque_share : [-]
        Share of its rated torque that it gives.
    rated_differential_pressure : [Pa]
        Differential pressure at the rated torque.

    Returns
    -------
    motor_differential_pressure : [Pa]
        Differential pressure.
    """
    return torque_share * rated_differential_pressure
