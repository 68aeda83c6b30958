"""One uncertainty alone, all else as planned."""

from __future__ import annotations

from dataclasses import replace

from bathybore.ensembles.drawing import ALTERNATIVES, ARRIVAL, TROUBLE
from bathybore.model.laws import Law
from bathybore.model.uncertain import Arrival, Trouble, Uncertainty

_FIXED = Law("fixed")
_SURE = Trouble(chance=1.0, variation=0.0, mean_share=None)  # as the plan's trouble factor


def alone(uncertainty: Uncertainty, group: str) -> Uncertainty:
    """Return what is uncertain with all groups but one as planned.

    Parameters
    ----------
    group : one of `drawing.groups`
    """
    names = set(group.split(" + "))
    arrival = uncertainty.arrival
    middle = 0.5 * (arrival.earliest + arrival.latest)
    return replace(
        uncertainty,
        quantities=tuple(
            one if one.key in names else replace(one, law=_FIXED) for one in uncertainty.quantities
        ),
        correlations=tuple(
            one for one in uncertainty.correlations if names.issuperset((one.first, one.second))
        ),
        alternatives=uncertainty.alternatives if group == ALTERNATIVES else (),
        trouble=uncertainty.trouble if group == TROUBLE else {"": _SURE},
        arrival=arrival if group == ARRIVAL else Arrival(middle, middle, arrival.origin),
    )
