"""What the mud pumps give: the liner for a flow, and the pressure that may be used."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import Solved, Value, work
from bathybore.kernels.bit_hydraulics import pump_pressure_limit
from bathybore.model.hole import Setting
from bathybore.model.vessel import Pumps
from bathybore.operations.circulation import Circulation


def liner_rates(pumps: Pumps) -> Array:
    """Return the greatest flow of all pumps together with each liner [m3/s]."""
    each = pumps.greatest_stroke_rate * pumps.volumetric_efficiency * pumps.count
    return np.array([liner.volume_per_stroke * each for liner in pumps.liners])


def total_rate(flow: Circulation) -> float:
    """Return flow down the string and booster flow together [m3/s]."""
    return float(flow.flow_rate) + float(flow.booster_flow_rate)


def best_liner(flow: Circulation) -> tuple[int, float]:
    """Return the liner of highest pressure that gives the flow with ease, and what it gives."""
    pumps, basis = flow.setting.vessel.pumps, flow.setting.basis
    rates = liner_rates(pumps)
    easy = total_rate(flow) * (1.0 + basis.tight_band)
    fits = [i for i, rate in enumerate(rates) if rate >= easy] or [int(np.argmax(rates))]
    best = max(fits, key=lambda i: pumps.liners[i].greatest_pressure)
    return best, float(rates[best])


def usable_pressure(flow: Circulation) -> Value:
    """Return the standpipe pressure that may be used at the flow, with its best liner."""
    pumps, basis = flow.setting.vessel.pumps, flow.setting.basis
    total, line = total_rate(flow), pumps.liners[best_liner(flow)[0]]
    share = total and float(flow.flow_rate) / total
    power = Value(
        "pump_power",
        pumps.count * pumps.power_each * share,
        "W",
        Solved(
            "power of all pumps, less the share that boosts the riser",
            "definition",
            (pumps.value("power_each"),),
        ),
    )
    limit = work(
        pump_pressure_limit,
        liner_pressure_rating=line.value("greatest_pressure", "liner_pressure_rating"),
        pump_power=power,
        flow_rate=flow.flow_rate,
        pump_mechanical_efficiency=pumps.value("mechanical_efficiency"),
    )
    usable = basis.value("pump_pressure_share")
    return Value(
        "standpipe_pressure",
        float(usable) * float(limit),
        "Pa",
        Solved("share of the limit for steady use", "assumed", (usable, limit)),
    )


def usable_pressures(setting: Setting, rates: Array, booster: float) -> Array:
    """Return the pressure that may be used at many flows, each with its best liner [Pa].

    Beyond what the widest liners give there is none.
    """
    pumps = setting.vessel.pumps
    total = rates + booster
    gives = liner_rates(pumps)[:, None] >= total[None, :]
    ratings = np.array([liner.greatest_pressure for liner in pumps.liners])
    rating = np.max(np.where(gives, ratings[:, None], 0.0), axis=0)
    power = pumps.count * pumps.power_each * rates / np.maximum(total, 1e-12)
    limit = pump_pressure_limit(rating, power, rates, pumps.mechanical_efficiency)
    return np.asarray(setting.basis.pump_pressure_share * np.asarray(limit))
