"""Which nozzles a flow should have: what the pumps can spare, spent at the bit."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

THIRTY_SECOND: Final = 0.0254 / 32.0  # m; nozzles come in steps of 1/32 in
_DIGITS: Final = 1e-9


@published(
    formula="p_b = max(0, p_u - Delta p_s)",
    source="definition",
    where="what the pumps can give, less what is lost elsewhere",
    example={"usable_pressure": "32 MPa", "parasitic_loss": "18 MPa"},
)
def pressure_left_for_bit(usable_pressure: Real, parasitic_loss: Real) -> Real:
    """Pressure that is left for the nozzles when the pumps work at their limit.

    Parameters
    ----------
    usable_pressure : [Pa]
        Pump pressure that may be used at the flow rate.
    parasitic_loss : [Pa]
        Loss in lines, string and annulus, and weight of the cuttings.

    Returns
    -------
    bit_pressure_drop : [Pa]
        Pressure left; none where the losses eat it up.
    """
    return np.maximum(usable_pressure - parasitic_loss, 0.0)


@published(
    formula='d_n = sqrt((4 A_n) / (pi N_n)) "up to a whole 1/32 in"',
    source="common-practice",
    where="equal nozzles, rounded up so that the pumps bear them",
    valid={"nozzle_count": Limit(1.0, 20.0)},
    example={"nozzle_area": "0.45 in2", "nozzle_count": "3"},
)
def equal_nozzle_diameter(nozzle_area: Real, nozzle_count: Real = 3.0) -> Real:
    """Diameter of equal nozzles of at least a total flow area, a whole number of 1/32 in.

    Parameters
    ----------
    nozzle_area : [m2]
        Total flow area wanted at least.
    nozzle_count : [-]
        Number of nozzles.

    Returns
    -------
    nozzle_diameter : [m]
        Diameter of each.
    """
    exact = np.sqrt(4.0 * nozzle_area / (np.pi * nozzle_count))
    # an exact size stays what it is
    return np.ceil(exact / THIRTY_SECOND - _DIGITS) * THIRTY_SECOND
