"""The diameter budget: what each string costs in width, what is left, which strings are in hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import FEW, kept
from bathybore.model.hole import Hole, Setting
from bathybore.model.plan import Conductor, Section
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe


@dataclass(frozen=True)
class BudgetRow:
    """One string of the plan.

    Attributes
    ----------
    hole_diameter : [m] of the hole it stands in
    passes : [m] drift, the width left for all that follows
    spent : [m] of width that this string takes from what was left above it
    """

    name: str
    designation: str
    top: BelowSeaLevel
    shoe: BelowSeaLevel
    hole_diameter: float
    outside_diameter: float
    coupling_diameter: float
    passes: float
    spent: float


@dataclass(frozen=True)
class Spare:
    """A string on board that the plan does not use and that fits below ``below``."""

    name: str
    designation: str
    below: str
    passes: float


@dataclass(frozen=True)
class DiameterBudget:
    """The width of the hole from top to target.

    Attributes
    ----------
    start : [m] width that the first string finds: the bore of the wellhead, or the rotary
    last_hole : [m] diameter of the hole at the target
    core : [m] diameter of the core, None where nothing is cored
    """

    start: float
    rows: tuple[BudgetRow, ...]
    spares: tuple[Spare, ...]
    last_hole: float
    core: float | None


def diameter_budget(hole: Hole) -> DiameterBudget:
    """Return what each string of the plan costs in width and which contingency strings are left."""
    plan = hole.plan
    return _budget(hole.setting, plan.conductor, plan.sections, plan.coring is not None)


@kept(FEW)
def _budget(
    setting: Setting, conductor: Conductor, sections: tuple[Section, ...], cored: bool
) -> DiameterBudget:
    start = setting.vessel.hoist.rotary_opening
    rows: list[BudgetRow] = []
    left = start
    for name, pipe, top, shoe, diameter in _strings(setting, conductor, sections):
        passes = float(pipe.drift_diameter)
        rows.append(
            BudgetRow(
                name=name,
                designation=pipe.designation,
                top=top,
                shoe=shoe,
                hole_diameter=diameter,
                outside_diameter=float(pipe.outside_diameter),
                coupling_diameter=float(pipe.coupling_outside_diameter),
                passes=passes,
                spent=left - passes,
            )
        )
        left = passes
    barrel = setting.inventory.core_barrel if cored else None
    used = {conductor.pipe} | {s.casing.pipe for s in sections if s.casing is not None}
    return DiameterBudget(
        start=start,
        rows=tuple(rows),
        spares=_spares(setting, used, rows, sections[-1].hole_diameter),
        last_hole=sections[-1].hole_diameter,
        core=barrel.core_diameter if barrel is not None else None,
    )


def _strings(
    setting: Setting, conductor: Conductor, sections: tuple[Section, ...]
) -> Iterator[tuple[str, CasingPipe, BelowSeaLevel, BelowSeaLevel, float]]:
    """Yield name, pipe, top, shoe and hole diameter of every string of the plan, top down."""
    pipe = casing_pipe(setting, conductor.pipe)
    shoe = setting.z(conductor.shoe)
    yield conductor.name, pipe, setting.sea_bed, shoe, float(pipe.outside_diameter)
    for section in sections:
        if section.casing is not None:
            one = section.casing
            top = setting.sea_bed if isinstance(one.hung_at, str) else setting.z(one.hung_at)
            yield (
                one.name,
                casing_pipe(setting, one.pipe),
                top,
                setting.z(one.shoe),
                section.hole_diameter,
            )


def _spares(
    setting: Setting, used: set[str], rows: list[BudgetRow], last_hole: float
) -> tuple[Spare, ...]:
    """Return the unused strings that pass the string above and let the one below through."""
    spares = []
    for name in setting.inventory.casing:
        if name in used:
            continue
        pipe = casing_pipe(setting, name)
        below = _fits_below(pipe, rows, last_hole)
        if below is not None:
            spares.append(Spare(name, pipe.designation, below, float(pipe.drift_diameter)))
    return tuple(spares)


def _fits_below(pipe: CasingPipe, rows: list[BudgetRow], last_hole: float) -> str | None:
    for index, row in enumerate(rows):
        follows = rows[index + 1].coupling_diameter if index + 1 < len(rows) else last_hole
        passes_above = float(pipe.coupling_outside_diameter) <= row.passes
        lets_through = follows <= float(pipe.drift_diameter)
        if passes_above and lets_through:
            return row.name
    return None
