"""Horizontal stresses, strength and thermal stress of a prognosis, and when its wall caves in."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.sources import ASSUMED
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.heat import wall_thermal_stress
from bathybore.kernels.horizontal_stress import major_stress_by_share
from bathybore.kernels.inclined_wall import (
    inclined_breakdown_pressure,
    inclined_collapse_modified_lade,
    inclined_collapse_mogi_coulomb,
    inclined_collapse_mohr_coulomb,
    lade_cohesion_stress,
    lade_friction,
)
from bathybore.kernels.rock_strength import (
    cohesion,
    failure_stress_ratio,
    mogi_intercept,
    mogi_slope,
)
from bathybore.model.chart import written_at
from bathybore.operations.prognosis_ground import Curve, Ground

_SOLVERS: Final = {
    "mohr-coulomb": inclined_collapse_mohr_coulomb,
    "mogi-coulomb": inclined_collapse_mogi_coulomb,
    "modified lade": inclined_collapse_modified_lade,
}


def wall_curves(
    ground: Ground, vertical: Value, pore: Value, fracture: Value, warmth: Value
) -> list[Curve]:
    """Return horizontal stresses, breakdown and collapse pressure.

    Above the stated depth the mud is soft and elastic wall theory is not used: there the pore
    pressure stands for the collapse pressure, assumed, and no breakdown is told.
    """
    choice = ground.prognosis.wall
    minor = fracture.named("minor_horizontal_stress")
    sd = ground.prognosis.spread.major_stress_share
    share = ground.prognosis.horizontal.value("major_stress_share")
    major = work(
        major_stress_by_share,
        minor_horizontal_stress=minor,
        vertical_stress=vertical,
        major_stress_share=ground.shifted("major_stress_share", share, lambda f: f + sd),
    )
    field = {
        "major_horizontal_stress": major,
        "minor_horizontal_stress": minor,
        "vertical_stress": vertical,
        "pore_pressure": pore,
        "poisson_ratio": ground.told(choice, "poisson_ratio"),
        "stress_azimuth": ground.prognosis.horizontal.value("stress_azimuth"),
        "inclination": choice.value("inclination"),
        "hole_azimuth": choice.value("hole_azimuth"),
        "wall_thermal_stress": _thermal(ground, warmth),
    }
    breakdown = work(
        inclined_breakdown_pressure,
        rock_tensile_strength=choice.value("rock_tensile_strength"),
        **field,
    )
    field["breakout_width"] = choice.value("breakout_width")
    elastic = work(_SOLVERS[choice.criterion], **field, **_strength(ground))
    return [
        Curve("minor_horizontal_stress", minor, "taken as the fracture pressure"),
        Curve("major_horizontal_stress", major, "a stated share of the way up"),
        _breakdown(ground, breakdown),
        _collapse(ground, pore, elastic),
    ]


def _breakdown(ground: Ground, elastic: Value) -> Curve:
    """Return the breakdown pressure of rock; there is none of soft mud."""
    top = ground.below(ground.prognosis.wall.elastic_below)
    numbers = np.where(ground.z < top - 1e-9, np.nan, np.asarray(elastic.si))
    value = Value(elastic.name, numbers, "Pa", elastic.origin, -1)
    return Curve("breakdown_pressure", value, "least stress of the wall against tensile strength")


def _collapse(ground: Ground, pore: Value, elastic: Value) -> Curve:
    choice = ground.prognosis.wall
    top = ground.below(choice.elastic_below)
    where = written_at(choice, "elastic_below")
    soft = Value(
        "hole_collapse_pressure",
        pore.si,
        "Pa",
        Solved(
            "in soft mud elastic wall theory does not hold and is not used; the pore pressure "
            f"stands instead, assumed ({where})",
            ASSUMED,
            (pore,),
        ),
        -1,
    )
    both = np.where(ground.z < top - 1e-9, np.asarray(pore.si), np.asarray(elastic.si))
    whole = Value(elastic.name, both, "Pa", elastic.origin, -1)
    return Curve("hole_collapse_pressure", whole, choice.criterion, ((0.0, soft), (top, elastic)))


def _thermal(ground: Ground, warmth: Value) -> Value:
    choice = ground.prognosis.wall
    if choice.circulated_temperature is None:
        still = FromWalk("none: the wall is taken as warm as the rock")
        return Value("wall_thermal_stress", 0.0, "Pa", still)
    mud = choice.value("circulated_temperature")
    change = Value(
        "wall_temperature_change",
        np.asarray(mud.si) - np.asarray(warmth.si),
        "K difference",
        Solved("circulated less undisturbed temperature", "definition", (mud, warmth)),
        -1,
    )
    return work(
        wall_thermal_stress,
        young_modulus=choice.value("young_modulus"),
        thermal_expansion_coefficient=choice.value("thermal_expansion_coefficient"),
        wall_temperature_change=change,
        poisson_ratio=ground.told(choice, "poisson_ratio"),
    )


def _strength(ground: Ground) -> dict[str, Value]:
    """Return the strength of the rock as the criterion counts it."""
    choice = ground.prognosis.wall
    share = 1.0 + ground.prognosis.spread.rock_strength
    strength = ground.shifted(
        "rock_strength",
        ground.told(choice, "unconfined_compressive_strength"),
        lambda ucs: ucs * share,
    )
    angle = ground.told(choice, "friction_angle")
    ratio = work(failure_stress_ratio, friction_angle=angle)
    if choice.criterion == "mohr-coulomb":
        return {"unconfined_compressive_strength": strength, "failure_stress_ratio": ratio}
    sticks = work(cohesion, unconfined_compressive_strength=strength, failure_stress_ratio=ratio)
    if choice.criterion == "mogi-coulomb":
        return {
            "mogi_intercept": work(mogi_intercept, cohesion=sticks, friction_angle=angle),
            "mogi_slope": work(mogi_slope, friction_angle=angle),
        }
    return {
        "lade_cohesion_stress": work(lade_cohesion_stress, cohesion=sticks, friction_angle=angle),
        "lade_friction": work(lade_friction, friction_angle=angle),
    }
