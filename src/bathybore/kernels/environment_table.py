"""Weather by Beaufort number: the wind, the waves that go with it, and a current beside them."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.hull_loads import FROM_MEMORY

# Wind [m/s] at the upper end of a Beaufort number, significant height [m], peak period [s],
# current [m/s], by number from 0: DNV-ST-0111, environment table, from memory.
_TABLE: Final = np.array(
    [
        [0.0, 0.0, np.nan, 0.0],
        [1.5, 0.1, 3.5, 0.25],
        [3.4, 0.4, 4.5, 0.50],
        [5.4, 0.8, 5.5, 0.75],
        [7.9, 1.3, 6.5, 0.75],
        [10.7, 2.1, 7.5, 0.75],
        [13.8, 3.1, 8.5, 0.75],
        [17.1, 4.2, 9.0, 0.75],
        [20.7, 5.7, 10.0, 0.75],
        [24.4, 7.4, 10.5, 0.75],
        [28.4, 9.5, 11.5, 0.75],
        [32.6, 12.1, 12.0, 0.75],
    ]
)
GREATEST_NUMBER: Final = len(_TABLE) - 1
_WHERE: Final = "environment table of the capability numbers; from memory"
_NUMBERS: Final = Limit(0.0, float(GREATEST_NUMBER), "the numbers of the table")


def _column(number: Real, index: int) -> Real:
    row = np.clip(np.ceil(np.asarray(number, dtype=float)), 0, GREATEST_NUMBER).astype(int)
    found: Array = _TABLE[row, index]
    return found


@published(
    formula="V_w = V_w (N_B)",
    source="dnv-st-0111",
    where=_WHERE,
    valid={"beaufort_number": _NUMBERS},
    validity_note="the upper end of the number; between two numbers the higher counts",
    example={"beaufort_number": "6"},
    caution=FROM_MEMORY,
)
def table_wind_speed(beaufort_number: Real) -> Real:
    """Mean wind of a row of the table of environments.

    Parameters
    ----------
    beaufort_number : [-]
        Number of the row, 0 to 11.

    Returns
    -------
    wind_speed : [m/s]
        Mean wind at 10 m above the sea.
    """
    return _column(beaufort_number, 0)


@published(
    formula="H_s = H_s (N_B)",
    source="dnv-st-0111",
    where=_WHERE,
    valid={"beaufort_number": _NUMBERS},
    validity_note="waves of the open sea that go with the wind of the row",
    example={"beaufort_number": "6"},
    caution=FROM_MEMORY,
)
def table_wave_height(beaufort_number: Real) -> Real:
    """Significant wave height of a row of the table of environments.

    Parameters
    ----------
    beaufort_number : [-]
        Number of the row, 0 to 11.

    Returns
    -------
    significant_wave_height : [m]
        Significant wave height.
    """
    return _column(beaufort_number, 1)


@published(
    formula="T_p = T_p (N_B)",
    source="dnv-st-0111",
    where=_WHERE,
    valid={"beaufort_number": Limit(1.0, float(GREATEST_NUMBER), "rows that have waves")},
    validity_note="waves of the open sea that go with the wind of the row",
    example={"beaufort_number": "6"},
    caution=FROM_MEMORY,
)
def table_peak_period(beaufort_number: Real) -> Real:
    """Peak period of the waves of a row of the table of environments.

    Parameters
    ----------
    beaufort_number : [-]
        Number of the row, 1 to 11; the calm of row 0 has none.

    Returns
    -------
    peak_period : [s]
        Period of the spectral peak.
    """
    return _column(beaufort_number, 2)


@published(
    formula="U = U (N_B)",
    source="dnv-st-0111",
    where=_WHERE,
    valid={"beaufort_number": _NUMBERS},
    validity_note="a convention of the table; the current of a place is its own",
    example={"beaufort_number": "6"},
    caution=FROM_MEMORY,
)
def table_current_speed(beaufort_number: Real) -> Real:
    """Current of a row of the table of environments.

    Parameters
    ----------
    beaufort_number : [-]
        Number of the row, 0 to 11.

    Returns
    -------
    current_speed : [m/s]
        Current at the surface.
    """
    return _column(beaufort_number, 3)
