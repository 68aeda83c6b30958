"""Pure water under pressure, cold and hot: what salt water hotter than the sea is squeezed like."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

_GAS: Final = 461.526  # J/kg/K, of water by the formulation
_ATMOSPHERE: Final = 101325.0
# Terms of the Gibbs energy of region 1 that hang on pressure: powers of pressure and of
# temperature, coefficient (IAPWS-IF97, table 2; from memory, checked by table 5).
_TERMS: Final = np.array([
    (1, -9, 0.28319080123804e-3), (1, -7, -0.60706301565874e-3), (1, -1, -0.18990068218419e-1),
    (1, 0, -0.32529748770505e-1), (1, 1, -0.21841717175414e-1), (1, 3, -0.52838357969930e-4),
    (2, -3, -0.47184321073267e-3), (2, 0, -0.30001780793026e-3), (2, 1, 0.47661393906987e-4),
    (2, 3, -0.44141845330846e-5), (2, 17, -0.72694996297594e-15), (3, -4, -0.31679644845054e-4),
    (3, 0, -0.28270797985312e-5), (3, 6, -0.85205128120103e-9), (4, -5, -0.22425281908000e-5),
    (4, -2, -0.65171222895601e-6), (4, 10, -0.14341729937924e-12), (5, -8, -0.40516996860117e-6),
    (8, -11, -0.12734301741641e-8), (8, -6, -0.17424871230634e-9), (21, -29, -0.68762131295531e-18),
    (23, -31, 0.14478307828521e-19), (29, -38, 0.26335781662795e-22),
    (30, -39, -0.11947622640071e-22), (31, -40, 0.18228094581404e-23),
    (32, -41, -0.93537087292458e-25),
])  # fmt: skip
_I, _J = _TERMS[:, 0], _TERMS[:, 1]
_SLOPE: Final = -_TERMS[:, 2] * _I


@published(
    formula="rho_w = p^* / (R T gamma_pi), quad gamma_pi = sum -n_i I_i (7.1 - pi)^(I_i - 1) "
    "(tau - 1.222)^(J_i), quad pi = p / p^*, quad tau = 1386 / T",
    source="iapws-if97",
    where="region 1, equations 7 and 8; coefficients from memory, checked by table 5",
    valid={
        "in_situ_temperature": Limit(273.15, 623.15),
        "pressure": Limit(0.0, 1e8, "liquid up to 100 MPa"),
    },
    validity_note="Liquid: warmer than 100 degC only under pressure.",
    example={"pressure": "80 MPa", "in_situ_temperature": "120 degC"},
)
def pure_water_density(pressure: Real, in_situ_temperature: Real) -> Real:
    """Density of pure liquid water.

    Parameters
    ----------
    pressure : [Pa]
        Pressure above one standard atmosphere.
    in_situ_temperature : [K]
        Temperature.

    Returns
    -------
    water_density : [kg/m3]
        Density.
    """
    p, t = np.broadcast_arrays(
        np.asarray(pressure, dtype=float) + _ATMOSPHERE,
        np.asarray(in_situ_temperature, dtype=float),
    )
    terms = (len(_TERMS), *(1,) * p.ndim)
    pressed = (7.1 - p / 16.53e6) ** (_I - 1).reshape(terms)
    warmed = (1386.0 / t - 1.222) ** _J.reshape(terms)
    # all terms in one product: a column of a few layers asks this some fifty times an edit
    gamma = (_SLOPE @ (pressed * warmed).reshape(len(_TERMS), -1)).reshape(p.shape)
    return np.asarray(16.53e6 / (_GAS * t * gamma))
