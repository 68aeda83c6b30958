"""What is uncertain of a hole that was changed: a number that was changed is drawn about its new
plan, and a hole that begins later arrives later.
"""

from __future__ import annotations

from dataclasses import replace
from math import isclose

from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import HoleNumber, number_at
from bathybore.model.laws import Bounds, Law
from bathybore.model.uncertain import Uncertain, Uncertainty

_SPREAD = "standard_deviation"


def of_changed(uncertainty: Uncertainty, hole: Hole, later: float = 0.0) -> Uncertainty:
    """Return what is uncertain of a hole that differs in some numbers from the one it was told of.

    Parameters
    ----------
    later : time by which it begins later [s]
    """
    arrival = uncertainty.arrival
    return replace(
        uncertainty,
        quantities=tuple(_about_new(one, hole) for one in uncertainty.quantities),
        arrival=replace(arrival, earliest=arrival.earliest + later, latest=arrival.latest + later),
    )


def _about_new(one: Uncertain, hole: Hole) -> Uncertain:
    """Return a quantity with its law moved as far as its planned number was.

    In proportion, as spreads of rates, times and strengths go; a count, or what was planned as
    nothing, by the difference.
    """
    if one.kind != "number":
        return one
    now = number_at(hole.document, one.key, one.key)
    if isclose(now.planned, one.planned, rel_tol=1e-12):
        return one
    if now.whole or one.planned == 0.0:
        law = _moved(one.law, now, 1.0, now.planned - one.planned)
    else:
        law = _moved(one.law, now, now.planned / one.planned, 0.0)
    return replace(one, law=law, planned=now.planned)


def _moved(law: Law, now: HoleNumber, times: float, add: float) -> Law:
    """Return a law of a number that is multiplied, or to which something is added."""
    numbers = tuple(
        (name, value * times + (0.0 if name == _SPREAD else add)) for name, value in law.numbers
    )
    low, high = (end * times + add for end in (law.bounds.least, law.bounds.greatest))
    bounds = Bounds(
        max(low, now.bounds.least),
        min(high, now.bounds.greatest),
        now.bounds.open_below if now.bounds.least >= low else law.bounds.open_below,
        now.bounds.open_above if now.bounds.greatest <= high else law.bounds.open_above,
    )
    values = tuple(value * times + add for value in law.values)
    return replace(law, numbers=numbers, values=values, bounds=bounds)
