"""Coring: recovery, bits, runs and the time they take."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# A whole number reached to within rounding is that number, not the next.
_ROUNDING: Final = 1e-9


@published(
    formula="R_c = L_r / L_c",
    source="definition",
    where="length recovered over length cored",
    valid={"recovered_length": Limit(0.0, 1e4, "a length")},
    validity_note="Above one where soft cores swell or the piston draws more in.",
    example={"recovered_length": "19.26 m", "cored_length": "68.2 m"},
)
def core_recovery(recovered_length: Real, cored_length: Real) -> Real:
    """Share of a cored interval that came up.

    Parameters
    ----------
    recovered_length : [m]
        Length of core recovered.
    cored_length : [m]
        Length advanced while coring.

    Returns
    -------
    core_recovery : [-]
        Recovery.
    """
    return recovered_length / cored_length


@published(
    formula="t_r = L_c / R",
    source="definition",
    where="length over rate",
    example={"cored_length": "252 m", "rate_of_penetration": "0.8 m/h"},
)
def rotating_hours(cored_length: Real, rate_of_penetration: Real) -> Real:
    """Time on bottom that an interval takes.

    Parameters
    ----------
    cored_length : [m]
        Length advanced while coring.
    rate_of_penetration : [m/s]
        Mean rate of penetration on bottom.

    Returns
    -------
    rotating_time : [s]
        Time on bottom.
    """
    return cored_length / rate_of_penetration


@published(
    formula="n_w = t_r / t_b",
    source="definition",
    where="time over life",
    example={"rotating_time": "315 h", "bit_life": "50 h"},
)
def bit_lives(rotating_time: Real, bit_life: Real) -> Real:
    """Bit lives that a time on bottom uses up, as a fraction.

    Parameters
    ----------
    rotating_time : [s]
        Time on bottom.
    bit_life : [s]
        Time on bottom that a bit lasts.

    Returns
    -------
    bit_lives : [-]
        Lives used up.
    """
    return rotating_time / bit_life


@published(
    formula="n_b = ceil(t_r / t_b)",
    source="definition",
    where="whole bits",
    example={"rotating_time": "315 h", "bit_life": "50 h"},
)
def bits_needed(rotating_time: Real, bit_life: Real) -> Real:
    """Bits that must be aboard for a time on bottom, in whole bits.

    Parameters
    ----------
    rotating_time : [s]
        Time on bottom.
    bit_life : [s]
        Time on bottom that a bit lasts.

    Returns
    -------
    bit_count : [-]
        Whole number of bits.
    """
    result: Real = np.ceil(rotating_time / bit_life - _ROUNDING)
    return result


@published(
    formula="n_r = ceil(L_c / L_b)",
    source="definition",
    where="whole runs",
    example={"cored_length": "252 m", "core_barrel_length": "9.5 m"},
)
def runs_needed(cored_length: Real, core_barrel_length: Real) -> Real:
    """Core barrels to be run for an interval when each comes up full.

    Parameters
    ----------
    cored_length : [m]
        Length advanced while coring.
    core_barrel_length : [m]
        Length that one barrel takes.

    Returns
    -------
    core_runs : [-]
        Whole number of runs.
    """
    result: Real = np.ceil(cored_length / core_barrel_length - _ROUNDING)
    return result


@published(
    formula='t_w = 2 z_"df" / v_w + t_h',
    source="common-practice",
    where="wire down, latch and handle, wire up",
    example={
        "depth_below_drill_floor": "5000 m",
        "wireline_speed": "2 m/s",
        "handling_time": "20 min",
    },
)
def wireline_round_trip_time(
    depth_below_drill_floor: Real, wireline_speed: Real, handling_time: Real
) -> Real:
    """Time to fetch a core barrel through the pipe on a wire and send down the next.

    Parameters
    ----------
    depth_below_drill_floor : [m]
        Depth of the barrel below the drill floor.
    wireline_speed : [m/s]
        Mean speed of the wire.
    handling_time : [s]
        Time at both ends: latching, laying out the core, the connection.

    Returns
    -------
    round_trip_time : [s]
        Time of the round trip.
    """
    return 2.0 * depth_below_drill_floor / wireline_speed + handling_time


@published(
    formula="t = L_c / R + n_r t_w + n_x t_x",
    source="definition",
    where="sum of its parts",
    validity_note="Round trips taken at their mean depth.",
    example={
        "cored_length": "252 m",
        "rate_of_penetration": "0.8 m/h",
        "core_runs": "27",
        "round_trip_time": "1.7 h",
        "bit_changes": "6",
        "bit_change_time": "30 h",
    },
)
def coring_time(
    cored_length: Real,
    rate_of_penetration: Real,
    core_runs: Real,
    round_trip_time: Real,
    bit_changes: Real,
    bit_change_time: Real,
) -> Real:
    """Time to core an interval: on bottom, fetching cores, changing bits.

    Parameters
    ----------
    cored_length : [m]
        Length advanced while coring.
    rate_of_penetration : [m/s]
        Mean rate of penetration on bottom.
    core_runs : [-]
        Number of core barrels run.
    round_trip_time : [s]
        Time to fetch one barrel and send the next.
    bit_changes : [-]
        Number of bits changed on the way; the first comes with the string.
    bit_change_time : [s]
        Time of one round trip of the string for a new bit.

    Returns
    -------
    duration : [s]
        Time for the interval.
    """
    on_bottom = cored_length / rate_of_penetration
    return on_bottom + core_runs * round_trip_time + bit_changes * bit_change_time
