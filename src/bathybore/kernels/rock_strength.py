"""Strength of rock: Mohr-Coulomb and Mogi-Coulomb, the frictional limit, tests and cracks.

Compression is positive.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

_FRICTION_ANGLE: Final = Limit(0.0, 1.4, "up to 80 degrees")
_MOGI: Final = 2.0 * np.sqrt(2.0) / 3.0


@published(
    formula="q = (1 + sin phi) / (1 - sin phi)",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion in principal stresses, from memory",
    valid={"friction_angle": _FRICTION_ANGLE},
    example={"friction_angle": "31 deg"},
)
def failure_stress_ratio(friction_angle: Real) -> Real:
    """Growth of the greatest effective stress at failure with the least one.

    Parameters
    ----------
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    failure_stress_ratio : [-]
        Slope q of the criterion sigma1 = UCS + q sigma3.
    """
    sine = np.sin(friction_angle)
    result: Real = (1.0 + sine) / (1.0 - sine)
    return result


@published(
    formula="phi = arcsin((q - 1) / (q + 1))",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion in principal stresses, from memory",
    valid={"failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    example={"failure_stress_ratio": "4.73"},
)
def friction_angle(failure_stress_ratio: Real) -> Real:
    """Angle of internal friction from the slope of the principal-stress criterion.

    Parameters
    ----------
    failure_stress_ratio : [-]
        Slope q of the criterion sigma1 = UCS + q sigma3.

    Returns
    -------
    friction_angle : [rad]
        Angle of internal friction.
    """
    result: Real = np.arcsin((failure_stress_ratio - 1.0) / (failure_stress_ratio + 1.0))
    return result


@published(
    formula="mu_i = tan phi",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion, from memory",
    valid={"friction_angle": _FRICTION_ANGLE},
    example={"friction_angle": "31 deg"},
)
def internal_friction_coefficient(friction_angle: Real) -> Real:
    """Slope of the Coulomb line of shear strength over normal stress.

    Parameters
    ----------
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    internal_friction_coefficient : [-]
        Coefficient of internal friction.
    """
    result: Real = np.tan(friction_angle)
    return result


@published(
    formula="C_0 = 2 c sqrt(q)",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion in principal stresses, from memory",
    valid={"failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    example={"cohesion": "10 MPa", "failure_stress_ratio": "3"},
)
def unconfined_compressive_strength(cohesion: Real, failure_stress_ratio: Real) -> Real:
    """Strength in compression without confinement, from cohesion.

    Parameters
    ----------
    cohesion : [Pa]
        Shear strength at no normal stress.
    failure_stress_ratio : [-]
        Slope q of the criterion sigma1 = UCS + q sigma3.

    Returns
    -------
    unconfined_compressive_strength : [Pa]
        Unconfined compressive strength.
    """
    result: Real = 2.0 * cohesion * np.sqrt(failure_stress_ratio)
    return result


@published(
    formula="c = C_0 / (2 sqrt(q))",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion in principal stresses, from memory",
    valid={"failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    example={"unconfined_compressive_strength": "80 MPa", "failure_stress_ratio": "4.73"},
)
def cohesion(unconfined_compressive_strength: Real, failure_stress_ratio: Real) -> Real:
    """Shear strength at no normal stress, from unconfined strength.

    Parameters
    ----------
    unconfined_compressive_strength : [Pa]
        Unconfined compressive strength.
    failure_stress_ratio : [-]
        Slope q of the criterion sigma1 = UCS + q sigma3.

    Returns
    -------
    cohesion : [Pa]
        Cohesion.
    """
    result: Real = unconfined_compressive_strength / (2.0 * np.sqrt(failure_stress_ratio))
    return result


@published(
    formula="sigma_1 = C_0 + q sigma_3",
    source="jaeger-cook-zimmerman-2007",
    where="Coulomb criterion in principal stresses, from memory",
    valid={"failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    example={
        "unconfined_compressive_strength": "80 MPa",
        "failure_stress_ratio": "4.73",
        "least_effective_stress": "20 MPa",
    },
)
def mohr_coulomb_strength(
    unconfined_compressive_strength: Real, failure_stress_ratio: Real, least_effective_stress: Real
) -> Real:
    """Greatest effective stress that a rock bears beside a least one.

    Parameters
    ----------
    unconfined_compressive_strength : [Pa]
        Unconfined compressive strength.
    failure_stress_ratio : [-]
        Slope q of the criterion.
    least_effective_stress : [Pa]
        Least effective principal stress.

    Returns
    -------
    greatest_effective_stress : [Pa]
        Greatest effective principal stress at failure.
    """
    return unconfined_compressive_strength + failure_stress_ratio * least_effective_stress


@published(
    formula="a_M = (2 sqrt(2)) / 3 c cos phi",
    source="al-ajmi-zimmerman-2005",
    where="as printed in Zhang, Applied Petroleum Geomechanics (2019), eq. 3.71",
    valid={"friction_angle": _FRICTION_ANGLE},
    example={"cohesion": "10 MPa", "friction_angle": "30 deg"},
)
def mogi_intercept(cohesion: Real, friction_angle: Real) -> Real:
    """Octahedral shear strength at no mean stress, from Coulomb's cohesion and friction.

    Parameters
    ----------
    cohesion : [Pa]
        Cohesion.
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    mogi_intercept : [Pa]
        Intercept of the Mogi-Coulomb line.
    """
    result: Real = _MOGI * cohesion * np.cos(friction_angle)
    return result


@published(
    formula="b_M = (2 sqrt(2)) / 3 sin phi",
    source="al-ajmi-zimmerman-2005",
    where="as printed in Zhang, Applied Petroleum Geomechanics (2019), eq. 3.71",
    valid={"friction_angle": _FRICTION_ANGLE},
    example={"friction_angle": "30 deg"},
)
def mogi_slope(friction_angle: Real) -> Real:
    """Growth of octahedral shear strength with the effective mean stress.

    Parameters
    ----------
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    mogi_slope : [-]
        Slope of the Mogi-Coulomb line.
    """
    result: Real = _MOGI * np.sin(friction_angle)
    return result


@published(
    formula=(
        'tau_"oct" = 1/3 sqrt((sigma_1 - sigma_2)^2 + (sigma_2 - sigma_3)^2 '
        "+ (sigma_3 - sigma_1)^2)"
    ),
    source="definition",
    where="shear on the plane equally inclined to the principal axes",
    example={
        "greatest_effective_stress": "60 MPa",
        "intermediate_effective_stress": "40 MPa",
        "least_effective_stress": "20 MPa",
    },
)
def octahedral_shear_stress(
    greatest_effective_stress: Real,
    intermediate_effective_stress: Real,
    least_effective_stress: Real,
) -> Real:
    """Shear stress on the octahedral plane; pore pressure does not change it.

    Parameters
    ----------
    greatest_effective_stress : [Pa]
        Greatest effective principal stress.
    intermediate_effective_stress : [Pa]
        Intermediate effective principal stress.
    least_effective_stress : [Pa]
        Least effective principal stress.

    Returns
    -------
    octahedral_shear_stress : [Pa]
        Octahedral shear stress.
    """
    result: Real = (
        np.sqrt(
            np.square(greatest_effective_stress - intermediate_effective_stress)
            + np.square(intermediate_effective_stress - least_effective_stress)
            + np.square(least_effective_stress - greatest_effective_stress)
        )
        / 3.0
    )
    return result


@published(
    formula='tau_"f" = a_M + b_M (sigma_1 + sigma_3) / 2',
    source="al-ajmi-zimmerman-2005",
    where="Mogi-Coulomb criterion, as printed in Zhang (2019), eq. 3.71",
    example={
        "mogi_intercept": "8.165 MPa",
        "mogi_slope": "0.4714",
        "greatest_effective_stress": "60 MPa",
        "least_effective_stress": "20 MPa",
    },
)
def mogi_coulomb_strength(
    mogi_intercept: Real,
    mogi_slope: Real,
    greatest_effective_stress: Real,
    least_effective_stress: Real,
) -> Real:
    """Octahedral shear stress at which rock fails, the intermediate stress counted.

    Parameters
    ----------
    mogi_intercept : [Pa]
        Intercept of the Mogi-Coulomb line.
    mogi_slope : [-]
        Slope of the Mogi-Coulomb line.
    greatest_effective_stress : [Pa]
        Greatest effective principal stress.
    least_effective_stress : [Pa]
        Least effective principal stress.

    Returns
    -------
    octahedral_shear_strength : [Pa]
        Octahedral shear stress at failure.
    """
    return mogi_intercept + mogi_slope * 0.5 * (greatest_effective_stress + least_effective_stress)


@published(
    formula="q = (sqrt(mu_f^2 + 1) + mu_f)^2",
    source="zoback-2007",
    where="eqs. 4.45-4.47, from memory",
    valid={"fault_friction_coefficient": Limit(0.0, 2.0, "rock on rock")},
    example={"fault_friction_coefficient": "0.6"},
)
def frictional_stress_limit(fault_friction_coefficient: Real) -> Real:
    """Greatest ratio of effective principal stresses that faults in the crust let stand.

    Parameters
    ----------
    fault_friction_coefficient : [-]
        Coefficient of friction of well-oriented faults.

    Returns
    -------
    failure_stress_ratio : [-]
        Greatest over least effective principal stress.
    """
    result: Real = np.square(
        np.sqrt(np.square(fault_friction_coefficient) + 1.0) + fault_friction_coefficient
    )
    return result


@published(
    formula="S_3 = p_p + (S_1 - p_p) / q",
    source="zoback-2007",
    where="eqs. 4.45-4.47 solved for the least stress, from memory",
    valid={"failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    validity_note="A floor for the least stress; where rocks creep the stress is higher.",
    example={
        "greatest_principal_stress": "60 MPa",
        "pore_pressure": "35 MPa",
        "failure_stress_ratio": "3.12",
    },
)
def least_stress_at_frictional_limit(
    greatest_principal_stress: Real, pore_pressure: Real, failure_stress_ratio: Real
) -> Real:
    """Lowest the least stress can be before faults slide; a floor for the loss limit.

    Parameters
    ----------
    greatest_principal_stress : [Pa]
        Greatest total principal stress; the vertical one where faults are normal.
    pore_pressure : [Pa]
        Pore pressure.
    failure_stress_ratio : [-]
        Frictional limit of the ratio of effective stresses.

    Returns
    -------
    least_principal_stress : [Pa]
        Least total principal stress at the limit.
    """
    return pore_pressure + (greatest_principal_stress - pore_pressure) / failure_stress_ratio


@published(
    formula="T_0 = F_D / (pi R_d t_D)",
    source="isrm-1978",
    where="diametral compression of a disc, from memory",
    example={"diametral_load": "2084 N", "disc_radius": "12.7 mm", "disc_thickness": "25.4 mm"},
)
def brazilian_tensile_strength(
    diametral_load: Real, disc_radius: Real, disc_thickness: Real
) -> Real:
    """Tensile strength from a disc split by a load across its diameter.

    Parameters
    ----------
    diametral_load : [N]
        Load at splitting.
    disc_radius : [m]
        Radius of the disc.
    disc_thickness : [m]
        Thickness (length) of the disc.

    Returns
    -------
    rock_tensile_strength : [Pa]
        Tensile strength.
    """
    return diametral_load / (np.pi * disc_radius * disc_thickness)


@published(
    formula="E' = E / (1 - nu^2)",
    source="definition",
    where="Hooke's law in plane strain",
    valid={"poisson_ratio": Limit(0.0, 0.5, "isotropic elastic rock")},
    example={"young_modulus": "1 GPa", "poisson_ratio": "0.25"},
)
def plane_strain_modulus(young_modulus: Real, poisson_ratio: Real) -> Real:
    """Stiffness of a body that cannot strain along one axis.

    Parameters
    ----------
    young_modulus : [Pa]
        Young's modulus.
    poisson_ratio : [-]
        Poisson's ratio.

    Returns
    -------
    plane_strain_modulus : [Pa]
        Plane-strain modulus.
    """
    result: Real = young_modulus / (1.0 - np.square(poisson_ratio))
    return result


@published(
    formula="w_f = 4 p_n c_f / E'",
    source="sneddon-1946",
    where="pressurised straight crack in plane strain, from memory",
    example={
        "net_fracture_pressure": "0.5 MPa",
        "fracture_half_length": "10 m",
        "plane_strain_modulus": "1.0667 GPa",
    },
)
def fracture_opening(
    net_fracture_pressure: Real, fracture_half_length: Real, plane_strain_modulus: Real
) -> Real:
    """Width at the middle of a crack held open by fluid: a measure of what losses bridge.

    Parameters
    ----------
    net_fracture_pressure : [Pa]
        Fluid pressure in the crack above the stress that closes it.
    fracture_half_length : [m]
        Half of the length of the crack.
    plane_strain_modulus : [Pa]
        Plane-strain modulus of the rock.

    Returns
    -------
    fracture_opening : [m]
        Full width at the middle.
    """
    return 4.0 * net_fracture_pressure * fracture_half_length / plane_strain_modulus


@published(
    formula="K_I = p_n sqrt(pi c_f)",
    source="sneddon-1946",
    where="pressurised straight crack in plane strain, from memory",
    example={"net_fracture_pressure": "0.5 MPa", "fracture_half_length": "10 m"},
)
def stress_intensity(net_fracture_pressure: Real, fracture_half_length: Real) -> Real:
    """Stress intensity at the tip of a pressurised crack; it grows past the rock's toughness.

    Parameters
    ----------
    net_fracture_pressure : [Pa]
        Fluid pressure in the crack above the stress that closes it.
    fracture_half_length : [m]
        Half of the length of the crack.

    Returns
    -------
    stress_intensity : [Pa m^0.5]
        Opening-mode stress intensity.
    """
    result: Real = net_fracture_pressure * np.sqrt(np.pi * fracture_half_length)
    return result
