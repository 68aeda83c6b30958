"""The scene: all that a face draws of a walked hole after one step, as plain numbers."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import cache
from itertools import groupby
from math import ceil, floor, log10
from typing import Any, Final, TypeVar
from weakref import WeakKeyDictionary

import numpy as np

from bathybore.base.depth import Datum
from bathybore.base.keeping import FEW, kept
from bathybore.base.units import UnitSystem, conversion, pretty_unit, shown_unit
from bathybore.model.hole import Hole, Setting
from bathybore.operations.advance import initial_state
from bathybore.operations.columns import temperature
from bathybore.operations.diameter_budget import diameter_budget
from bathybore.operations.state import HoleState
from bathybore.usecases.handles import handles
from bathybore.usecases.lithology import kinds
from bathybore.usecases.outline import hole_section
from bathybore.usecases.pressures import rounded, the_window
from bathybore.usecases.ribbon import step_marks
from bathybore.usecases.scene import (
    Budget,
    BudgetBar,
    Picture,
    Place,
    ProfileCurve,
    Rock,
    Scene,
    UnitLine,
    Verdicts,
)
from bathybore.usecases.strength import strength_used
from bathybore.usecases.walking import Walk

_UNITS: Final = ("m", "Pa", "kg/m3", "m3/s", "K", "s", "-")
_WORDS: Final = ("lithology", "formation_fluid", "hazard")
_BELOW: Final = 0.015  # of the rock: least room below the deepest thing of the plan
_STEP: Final = 0.05  # of the rock: greatest step in which the lower end moves

T = TypeVar("T")
# What does not depend on the step is worked out once a walk, and forgotten with it.
_KEPT: WeakKeyDictionary[Walk, dict[Hashable, Any]] = WeakKeyDictionary()


def _once(walk: Walk, key: Hashable, make: Callable[[], T]) -> T:
    kept = _KEPT.setdefault(walk, {})
    if key not in kept:
        kept[key] = make()
    answer: T = kept[key]
    return answer


def scene(
    walk: Walk,
    step: str = "",
    system: UnitSystem = "metric",
    datum: Datum = Datum.DRILL_FLOOR,
    string: str = "",
) -> Scene:
    """Return what the hole looks like after a step.

    Parameters
    ----------
    step : name; empty, or a step the walk did not reach: the last one walked (``Scene.step``
        says which it is)
    system : of the texts and of ``Scene.units``; every number is SI
    datum : that equivalent densities are told to
    string : whose strength is shown; empty, or one that the step does not have: the first
    """
    before = picture(walk, step, system, datum)
    return Scene(**vars(verdicts(walk, step, system, string)), **vars(before))


def verdicts(walk: Walk, step: str, system: UnitSystem, string: str) -> Verdicts:
    """Return what is shown of verdicts; parameters as of `scene`."""
    return Verdicts(
        strength=strength_used(walk, _state_after(walk, step), string),
        steps=_once(walk, ("steps", system), lambda: step_marks(walk, system)),
    )


def picture(walk: Walk, step: str, system: UnitSystem, datum: Datum) -> Picture:
    """Return what is shown of the hole before every verdict is there; parameters as of `scene`.

    No more is judged for it than what it draws: the mud in the window.
    """
    hole = walk.hole
    state = _state_after(walk, step)
    top, bottom = _ends(hole)
    return Picture(
        hole=hole.name,
        invented=hole.document.invented,
        note=hole.document.note,
        system=system,
        units=_units(system),
        datum=str(datum),
        datums=tuple(Place(str(d), hole.frame.zero_below_sea_level(d)) for d in Datum),
        target=float(hole.z(hole.plan.target)),
        top=top,
        bottom=bottom,
        step=state.step.name if walk.states else "",
        stopped=walk.stopped,
        rocks=_rocks(hole.setting),
        window=_once(walk, ("window", datum), lambda: the_window(walk, datum)),
        section=hole_section(state),
        temperature=_temperature(hole.setting),
        budget=_once(walk, "budget", lambda: _budget(hole)),
        handles=_once(walk, ("handles", system), lambda: handles(hole, system)),
    )


def _state_after(walk: Walk, step: str) -> HoleState:
    if not walk.states:
        return initial_state(walk.hole)
    return next((s for s in walk.states if s.step.name == step), walk.states[-1])


def _ends(hole: Hole) -> tuple[float, float]:
    """Return the ends of the picture: drill floor, and a little below the deepest of the plan.

    The lower end moves in round steps: while the deepest thing is dragged the axis stands still.
    """
    plan = hole.plan
    depths = [plan.target, plan.conductor.shoe, *(section.bottom for section in plan.sections)]
    depths += [section.casing.shoe for section in plan.sections if section.casing is not None]
    if plan.coring is not None:
        depths.append(plan.coring.bottom)
    deepest = max(float(hole.z(depth)) for depth in depths)
    rock = max(deepest - float(hole.sea_bed), 1.0)
    unit = 10.0 ** floor(log10(_STEP * rock))
    step = max(unit * factor for factor in (1.0, 2.0, 5.0) if unit * factor <= _STEP * rock)
    return float(hole.drill_floor), float(hole.sea_bed) + step * ceil((1.0 + _BELOW) * rock / step)


@cache
def _units(system: UnitSystem) -> dict[str, UnitLine]:
    lines = {unit: _unit_line(unit, shown_unit(unit, system)) for unit in _UNITS}
    return {**lines, "diameter": _unit_line("m", "in")}


def _unit_line(si: str, shown: str) -> UnitLine:
    line, base = conversion(shown), conversion(si)
    return UnitLine(pretty_unit(shown), line.factor / base.factor, line.offset)


@kept(FEW)
def _rocks(setting: Setting) -> tuple[Rock, ...]:
    """Return the layers of the prognosis: a new one where rock, fluid or hazard changes."""
    earth = setting.earth
    z = (earth.depths + setting.sea_bed).tolist()
    words = [earth.words.get(name, ("",) * len(z)) for name in _WORDS]
    rocks = []
    for told, rows in groupby(range(len(z) - 1), key=lambda row: tuple(w[row] for w in words)):
        whole = list(rows)
        lithology, fluid, hazard = told
        patterns = kinds(lithology)
        rocks.append(
            Rock(
                top=z[whole[0]],
                bottom=z[whole[-1] + 1],
                lithology=lithology,
                pattern=patterns[0] if patterns else "",
                fluid=fluid,
                hazard=hazard,
                patterns=patterns,
            )
        )
    return tuple(rocks)


@kept(FEW)
def _temperature(setting: Setting) -> tuple[ProfileCurve, ...]:
    """Return the undisturbed temperature of sea and earth at the nodes of their tables."""
    bed = float(setting.sea_bed)
    in_sea = setting.sea.depths[setting.sea.depths < bed]
    sea = np.append(in_sea, bed)
    earth = setting.earth.depths + bed
    below = setting.earth.at("temperature", setting.earth.depths)
    return tuple(
        ProfileCurve(name, label, tuple(np.round(z, 3).tolist()), rounded(value, 3))
        for name, label, z, value in (
            ("sea", "sea, undisturbed", sea, temperature(setting, sea)),
            ("earth", "rock, undisturbed", earth, below),
        )
    )


def _budget(hole: Hole) -> Budget:
    budget = diameter_budget(hole)
    return Budget(
        start=budget.start,
        bars=tuple(
            BudgetBar(
                name=row.name,
                pipe=row.designation,
                top=float(row.top),
                shoe=float(row.shoe),
                hole_diameter=row.hole_diameter,
                outside_diameter=row.outside_diameter,
                passes=row.passes,
                spent=row.spent,
            )
            for row in budget.rows
        ),
        spares=tuple(f"{one.name} ({one.designation}), below {one.below}" for one in budget.spares),
        last_hole=budget.last_hole,
        core=budget.core,
    )
