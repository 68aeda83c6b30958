"""How long the plain work takes: tripping, drilling, running riser and casing, sailing.

All elementary: a length or a count over a rate. Waiting, testing and trouble come on top.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# A whole number reached to within rounding is that number, not the next.
_ROUNDING: Final = 1e-9


@published(
    formula="t = L / l_s t_s",
    source="definition",
    where="stands times the time for one",
    example={"length": "5000 m", "stand_length": "38 m", "time_per_stand": "3 min"},
)
def trip_time(length: Real, stand_length: Real, time_per_stand: Real) -> Real:
    """Time to run or pull a string in stands, one way.

    Parameters
    ----------
    length : [m]
        Length of the string moved.
    stand_length : [m]
        Length of a stand.
    time_per_stand : [s]
        Mean time for one stand, connection included.

    Returns
    -------
    duration : [s]
        Time one way.
    """
    return length / stand_length * time_per_stand


@published(
    formula="v = L / t",
    source="definition",
    where="length over time",
    example={"length": "5097 m", "duration": "11 h"},
)
def mean_running_speed(length: Real, duration: Real) -> Real:
    """Mean speed of a run that took a known time, connections included.

    Parameters
    ----------
    length : [m]
        Length run.
    duration : [s]
        Time it took.

    Returns
    -------
    running_speed : [m/s]
        Mean speed.
    """
    return length / duration


@published(
    formula="t = L / v",
    source="definition",
    where="length over speed",
    example={"length": "5000 m", "running_speed": "450 m/h"},
)
def running_time(length: Real, running_speed: Real) -> Real:
    """Time to run a string at a mean speed, one way.

    Parameters
    ----------
    length : [m]
        Length of the string moved.
    running_speed : [m/s]
        Mean speed, connections included.

    Returns
    -------
    duration : [s]
        Time one way.
    """
    return length / running_speed


@published(
    formula="t = L / R",
    source="definition",
    where="length over rate",
    example={"length": "800 m", "rate_of_penetration": "20 m/h"},
)
def drilling_time(length: Real, rate_of_penetration: Real) -> Real:
    """Time on bottom to drill a length of hole.

    Parameters
    ----------
    length : [m]
        Length of hole.
    rate_of_penetration : [m/s]
        Mean rate of penetration on bottom.

    Returns
    -------
    duration : [s]
        Time on bottom.
    """
    return length / rate_of_penetration


@published(
    formula="t = L / l_s t_c",
    source="definition",
    where="connections times the time for one",
    example={"length": "800 m", "stand_length": "38 m", "time_per_connection": "15 min"},
)
def connection_time(length: Real, stand_length: Real, time_per_connection: Real) -> Real:
    """Time for the connections while a length of hole is drilled.

    Parameters
    ----------
    length : [m]
        Length of hole.
    stand_length : [m]
        Length drilled between connections.
    time_per_connection : [s]
        Mean time of a connection off bottom.

    Returns
    -------
    duration : [s]
        Time for the connections.
    """
    return length / stand_length * time_per_connection


@published(
    formula="n_j = ceil(L / l_j)",
    source="definition",
    where="whole joints",
    example={"length": "2500 m", "joint_length": "22.86 m"},
)
def joint_count(length: Real, joint_length: Real) -> Real:
    """Joints of riser or casing that make up a length, in whole joints.

    Parameters
    ----------
    length : [m]
        Length of the string.
    joint_length : [m]
        Length that a joint adds to the string.

    Returns
    -------
    joints : [-]
        Whole number of joints.
    """
    result: Real = np.ceil(length / joint_length - _ROUNDING)
    return result


@published(
    formula="t = n_j / r_j",
    source="definition",
    where="joints over rate; two to four riser joints an hour when all goes well is common",
    example={"joints": "110", "joint_running_rate": "3 1/h"},
)
def riser_running_time(joints: Real, joint_running_rate: Real) -> Real:
    """Time to run or retrieve a riser, without the preventer and line tests.

    Parameters
    ----------
    joints : [-]
        Number of joints.
    joint_running_rate : [1/s]
        Joints run per time.

    Returns
    -------
    duration : [s]
        Time one way.
    """
    return joints / joint_running_rate


@published(
    formula="t = n_j / r_j + L_l / v",
    source="definition",
    where="joints over rate, then the landing string over speed",
    example={
        "joints": "150",
        "joint_running_rate": "15 1/h",
        "landing_string_length": "2500 m",
        "running_speed": "400 m/h",
    },
)
def casing_running_time(
    joints: Real, joint_running_rate: Real, landing_string_length: Real, running_speed: Real
) -> Real:
    """Time to make up casing and land it on a string of pipe.

    Parameters
    ----------
    joints : [-]
        Number of casing joints.
    joint_running_rate : [1/s]
        Joints run per time.
    landing_string_length : [m]
        Length of pipe between the casing and the drill floor.
    running_speed : [m/s]
        Mean speed on the landing string.

    Returns
    -------
    duration : [s]
        Time until it lands.
    """
    return joints / joint_running_rate + landing_string_length / running_speed


@published(
    formula="t = 2 L / v_w + t_h",
    source="definition",
    where="down and up, and the time at both ends",
    example={"length": "5000 m", "wireline_speed": "0.5 m/s", "handling_time": "3 h"},
)
def wireline_time(length: Real, wireline_speed: Real, handling_time: Real) -> Real:
    """Time of one wireline run: rig up, down, up, rig down.

    Parameters
    ----------
    length : [m]
        Length of wire from the drill floor to the deepest point.
    wireline_speed : [m/s]
        Mean speed of the wire.
    handling_time : [s]
        Time at both ends.

    Returns
    -------
    duration : [s]
        Time of the run.
    """
    return 2.0 * length / wireline_speed + handling_time


@published(
    formula="t = d_s / v_s",
    source="definition",
    where="distance over speed",
    example={"distance": "300 nmi", "vessel_speed": "10 kn"},
)
def sailing_time(distance: Real, vessel_speed: Real) -> Real:
    """Time under way between two places.

    Parameters
    ----------
    distance : [m]
        Distance sailed.
    vessel_speed : [m/s]
        Mean speed over the ground.

    Returns
    -------
    duration : [s]
        Time under way.
    """
    return distance / vessel_speed


@published(
    formula="t = V / q",
    source="definition",
    where="volume over rate",
    example={"volume": "300 m3", "flow_rate": "2500 L/min"},
)
def circulation_time(volume: Real, flow_rate: Real) -> Real:
    """Time to pump a volume.

    Parameters
    ----------
    volume : [m3]
        Volume to pump.
    flow_rate : [m3/s]
        Flow rate.

    Returns
    -------
    duration : [s]
        Time to pump it.
    """
    return volume / flow_rate


@published(
    formula="n_t = ceil(t / t_i) - 1",
    source="common-practice",
    where="a preventer is tested at set intervals, 14 or 21 days",
    example={"duration": "60 d", "test_interval": "21 d"},
)
def tests_within(duration: Real, test_interval: Real) -> Real:
    """Pressure tests of the preventer that fall due during an operation after the first test.

    Parameters
    ----------
    duration : [s]
        Length of the operation.
    test_interval : [s]
        Longest time between tests.

    Returns
    -------
    test_count : [-]
        Whole number of tests, none at the end.
    """
    result: Real = np.maximum(np.ceil(duration / test_interval - _ROUNDING) - 1.0, 0.0)
    return result


@published(
    formula="T = k_t T_0 / (1 - d)",
    source="common-practice",
    where="time in the clear, times a factor for trouble, over the share of time one can work",
    valid={"downtime_share": Limit(0.0, 0.9, "more is no operation")},
    example={"net_time": "40 h", "trouble_factor": "1.15", "downtime_share": "0.12"},
    caution="A mean. Trouble and weather come in lumps; durations are skewed.",
)
def operation_time(net_time: Real, trouble_factor: Real, downtime_share: Real) -> Real:
    """Time a step takes once trouble and waiting on weather are counted in.

    Work goes on in a share 1 - d of the time, so the clock runs longer by its inverse.

    Parameters
    ----------
    net_time : [s]
        Time when all goes well in weather one can work in.
    trouble_factor : [-]
        Time with trouble over time without.
    downtime_share : [-]
        Share of time in which the planned environment is exceeded.

    Returns
    -------
    duration : [s]
        Expected time of the step.
    """
    return net_time * trouble_factor / (1.0 - downtime_share)
