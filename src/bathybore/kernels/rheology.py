"""From the dial of the rotational viscometer to the models of mud rheology.

The dial trap: one degree of the standard instrument (rotor R1, bob B1, spring F1)
is 0.5107 Pa = 1.067 lbf/100 ft². The trade reads yield point as if a degree were
1 lbf/100 ft²; yield stress and consistency index here use the true stress, so that
the fitted curve runs through the readings. Mixing the two moves K by 6.6 %.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Standard rotational viscometer R1-B1-F1: spring 386 dyn cm a degree times bob constant
# 0.01323 cm^-3 = 5.107 dyn/cm² (API RP 13B-1, instrument manuals; from memory).
DIAL_STRESS: Final = 0.5107
# Shear rate at the bob per rotor revolution per minute, rotor R1, bob B1 (same sources).
SHEAR_RATE_PER_RPM: Final = 1.7023
# 1 lbf/100 ft², exact by the definitions of pound-force and foot.
LBF_PER_100FT2: Final = 0.47880258980335843

_300 = 300.0 * SHEAR_RATE_PER_RPM


@published(
    formula="dot(gamma) = 1.7023 dot 60 N_r",
    source="api-rp-13b-1",
    where="rotor R1, bob B1; from memory",
    example={"rotor_speed": "300 rpm"},
)
def viscometer_shear_rate(rotor_speed: Real) -> Real:
    """Shear rate at the bob of the standard viscometer at a rotor speed.

    Parameters
    ----------
    rotor_speed : [1/s]
        Rotor speed, revolutions per second (write it in rpm).

    Returns
    -------
    shear_rate : [1/s]
        Newtonian shear rate at the bob.
    """
    return SHEAR_RATE_PER_RPM * 60.0 * rotor_speed


@published(
    formula="tau = k_theta theta",
    source="api-rp-13b-1",
    where="spring F1, bob B1; from memory",
    example={"dial_reading": "40"},
)
def viscometer_shear_stress(dial_reading: Real, dial_stress: Real = DIAL_STRESS) -> Real:
    """Shear stress at the bob of the standard viscometer at a dial reading.

    Parameters
    ----------
    dial_reading : [-]
        Reading, degrees of dial.
    dial_stress : [Pa]
        Stress a degree: 0.5107 Pa true, 0.4788 Pa where a handbook takes a degree
        for 1 lbf/100 ft².

    Returns
    -------
    shear_stress : [Pa]
        Shear stress at the bob.
    """
    return dial_stress * dial_reading


@published(
    formula="mu_p = 10^(-3) (theta_600 - theta_300)",
    source="api-rp-13b-1",
    where="plastic viscosity; from memory",
    example={"dial_reading_600": "140", "dial_reading_300": "80"},
)
def plastic_viscosity(dial_reading_600: Real, dial_reading_300: Real) -> Real:
    """Plastic viscosity of the Bingham model from two dial readings.

    By convention the difference of readings is the viscosity in centipoise; the true
    stress a degree over 300 rpm of shear rate (0.5107 / 510.7 Pa s) agrees to 0.01 %.

    Parameters
    ----------
    dial_reading_600 : [-]
        Dial reading at 600 rpm.
    dial_reading_300 : [-]
        Dial reading at 300 rpm.

    Returns
    -------
    plastic_viscosity : [Pa s]
        Slope of the Bingham line.
    """
    return 1e-3 * (dial_reading_600 - dial_reading_300)


@published(
    formula="tau_0 = 0.4788 (2 theta_300 - theta_600)",
    source="api-rp-13b-1",
    where="yield point; from memory",
    example={"dial_reading_600": "55", "dial_reading_300": "35"},
    caution="Read as 1 lbf/100 ft² a degree, as the trade reports it: 6.6 % below the true stress.",
)
def yield_point(dial_reading_600: Real, dial_reading_300: Real) -> Real:
    """Yield point of the Bingham model as the trade reports it, from two dial readings.

    Parameters
    ----------
    dial_reading_600 : [-]
        Dial reading at 600 rpm.
    dial_reading_300 : [-]
        Dial reading at 300 rpm.

    Returns
    -------
    yield_point : [Pa]
        Intercept of the Bingham line; 1 lbf/100 ft² a degree.
    """
    return LBF_PER_100FT2 * (2.0 * dial_reading_300 - dial_reading_600)


@published(
    formula="n = log_2 (theta_600 / theta_300)",
    source="api-rp-13d",
    where="power law through the 600 and 300 readings; from memory",
    example={"dial_reading_600": "140", "dial_reading_300": "80"},
    caution="Fits pipe shear rates; in a wide annulus use the low-shear readings.",
)
def power_law_index(dial_reading_600: Real, dial_reading_300: Real) -> Real:
    """Flow index of the power law that runs through the two high dial readings.

    Parameters
    ----------
    dial_reading_600 : [-]
        Dial reading at 600 rpm.
    dial_reading_300 : [-]
        Dial reading at 300 rpm.

    Returns
    -------
    flow_index : [-]
        Flow index n.
    """
    return np.log2(dial_reading_600 / dial_reading_300)


@published(
    formula="K = k_theta theta_300 / 510.7^n",
    source="api-rp-13d",
    where="power law through the 600 and 300 readings; from memory",
    example={"dial_reading_300": "80", "flow_index": "0.8069"},
    caution="K by a handbook that takes a degree for 1 lbf/100 ft² is 6.2 % smaller.",
)
def power_law_consistency(
    dial_reading_300: Real, flow_index: Real, dial_stress: Real = DIAL_STRESS
) -> Real:
    """Consistency index of the power law from the 300 reading and the flow index.

    Parameters
    ----------
    dial_reading_300 : [-]
        Dial reading at 300 rpm.
    flow_index : [-]
        Flow index n.
    dial_stress : [Pa]
        Stress a degree of dial: 0.5107 Pa true, 0.4788 Pa where a degree is taken for
        1 lbf/100 ft².

    Returns
    -------
    consistency_index : [Pa s^n]
        Consistency index K.
    """
    return dial_stress * dial_reading_300 / _300**flow_index


@published(
    formula="n = 0.657 log_10 (theta_100 / theta_3)",
    source="api-rp-13d",
    where="annulus power law of the 1995 edition; from memory",
    example={"dial_reading_100": "20", "dial_reading_3": "3"},
)
def power_law_index_annulus(dial_reading_100: Real, dial_reading_3: Real) -> Real:
    """Flow index of the power law for annulus shear rates, through the 100 and 3 readings.

    Parameters
    ----------
    dial_reading_100 : [-]
        Dial reading at 100 rpm.
    dial_reading_3 : [-]
        Dial reading at 3 rpm.

    Returns
    -------
    flow_index : [-]
        Flow index n.
    """
    return np.asarray(np.log(dial_reading_100 / dial_reading_3) / np.log(100.0 / 3.0))


@published(
    formula="K = k_theta theta_100 / 170.2^n",
    source="api-rp-13d",
    where="annulus power law of the 1995 edition; from memory",
    example={"dial_reading_100": "20", "flow_index": "0.54"},
)
def power_law_consistency_annulus(
    dial_reading_100: Real, flow_index: Real, dial_stress: Real = DIAL_STRESS
) -> Real:
    """Consistency index of the annulus power law from the 100 reading and its flow index.

    Parameters
    ----------
    dial_reading_100 : [-]
        Dial reading at 100 rpm.
    flow_index : [-]
        Flow index n of the annulus.
    dial_stress : [Pa]
        Stress a degree of dial.

    Returns
    -------
    consistency_index : [Pa s^n]
        Consistency index K.
    """
    return dial_stress * dial_reading_100 / (100.0 * SHEAR_RATE_PER_RPM) ** flow_index


@published(
    formula="tau_y = k_theta max(0, 2 theta_3 - theta_6)",
    source="api-rp-13d",
    where="low-shear yield point, two-reading form; from memory",
    example={"dial_reading_6": "8", "dial_reading_3": "7"},
    caution="A difference of two small readings: an error of a degree is a degree of yield.",
)
def herschel_bulkley_yield_stress(
    dial_reading_6: Real, dial_reading_3: Real, dial_stress: Real = DIAL_STRESS
) -> Real:
    """Yield stress of the Herschel-Bulkley model from the two lowest dial readings.

    The straight line through 6 and 3 rpm runs back to no shear; never below zero.

    Parameters
    ----------
    dial_reading_6 : [-]
        Dial reading at 6 rpm.
    dial_reading_3 : [-]
        Dial reading at 3 rpm.
    dial_stress : [Pa]
        Stress a degree of dial.

    Returns
    -------
    yield_stress : [Pa]
        Yield stress.
    """
    return dial_stress * np.maximum(0.0, 2.0 * dial_reading_3 - dial_reading_6)


@published(
    formula="n = log_2 ((k_theta theta_600 - tau_y) / (k_theta theta_300 - tau_y))",
    source="api-rp-13d",
    where="Herschel-Bulkley through the 600 and 300 readings; from memory",
    validity_note="The yield stress must lie below the 300 reading.",
    example={"dial_reading_600": "55", "dial_reading_300": "35", "yield_stress": "3 Pa"},
)
def herschel_bulkley_index(
    dial_reading_600: Real,
    dial_reading_300: Real,
    yield_stress: Real,
    dial_stress: Real = DIAL_STRESS,
) -> Real:
    """Flow index of the Herschel-Bulkley curve that runs through the two high readings.

    Parameters
    ----------
    dial_reading_600 : [-]
        Dial reading at 600 rpm.
    dial_reading_300 : [-]
        Dial reading at 300 rpm.
    yield_stress : [Pa]
        Yield stress.
    dial_stress : [Pa]
        Stress a degree of dial.

    Returns
    -------
    flow_index : [-]
        Flow index n.
    """
    high = dial_stress * dial_reading_600 - yield_stress
    return np.log2(high / (dial_stress * dial_reading_300 - yield_stress))


@published(
    formula="K = (k_theta theta_300 - tau_y) / 510.7^n",
    source="api-rp-13d",
    where="Herschel-Bulkley through the 600 and 300 readings; from memory",
    validity_note="The yield stress must lie below the 300 reading.",
    example={"dial_reading_300": "35", "yield_stress": "3 Pa", "flow_index": "0.7"},
)
def herschel_bulkley_consistency(
    dial_reading_300: Real,
    yield_stress: Real,
    flow_index: Real,
    dial_stress: Real = DIAL_STRESS,
) -> Real:
    """Consistency index of the Herschel-Bulkley curve from the 300 reading.

    Parameters
    ----------
    dial_reading_300 : [-]
        Dial reading at 300 rpm.
    yield_stress : [Pa]
        Yield stress.
    flow_index : [-]
        Flow index n.
    dial_stress : [Pa]
        Stress a degree of dial.

    Returns
    -------
    consistency_index : [Pa s^n]
        Consistency index K.
    """
    return (dial_stress * dial_reading_300 - yield_stress) / _300**flow_index


@published(
    formula="tau = tau_y + K dot(gamma)^n",
    source="herschel-bulkley-1926",
    where="the model; from memory",
    valid={"flow_index": Limit(0.1, 1.5), "shear_rate": Limit(0.0, 1e5)},
    example={
        "yield_stress": "3 Pa",
        "consistency_index": "0.3 Pa s^n",
        "flow_index": "0.7",
        "shear_rate": "100 1/s",
    },
)
def shear_stress_herschel_bulkley(
    yield_stress: Real, consistency_index: Real, flow_index: Real, shear_rate: Real
) -> Real:
    """Shear stress of a yield-power-law fluid; n = 1 is Bingham, no yield the power law.

    Parameters
    ----------
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.
    shear_rate : [1/s]
        Shear rate.

    Returns
    -------
    shear_stress : [Pa]
        Shear stress.
    """
    return yield_stress + consistency_index * shear_rate**flow_index


@published(
    formula="mu_a = (tau_y + K dot(gamma)^n) / dot(gamma)",
    source="definition",
    where="shear stress over shear rate",
    valid={"shear_rate": Limit(1e-6, 1e5, "grows without bound at rest")},
    example={
        "yield_stress": "3 Pa",
        "consistency_index": "0.3 Pa s^n",
        "flow_index": "0.7",
        "shear_rate": "100 1/s",
    },
)
def apparent_viscosity(
    yield_stress: Real, consistency_index: Real, flow_index: Real, shear_rate: Real
) -> Real:
    """Viscosity of the Newtonian fluid that would bear the same stress at this shear rate.

    Parameters
    ----------
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.
    shear_rate : [1/s]
        Shear rate, above zero.

    Returns
    -------
    apparent_viscosity : [Pa s]
        Apparent viscosity.
    """
    return (yield_stress + consistency_index * shear_rate**flow_index) / shear_rate
