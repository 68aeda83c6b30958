"""The proposals of the search beside the plan, with what the members say of each."""

from __future__ import annotations

from bathybore.base.units import UnitSystem
from bathybore.drawings.architectures import of_plan, of_proposal, sheet_of_columns
from bathybore.drawings.picture import Picture, Sheet, settings
from bathybore.ensembles.odds import Share
from bathybore.usecases.odds_architectures import ArchitecturesTold, Other
from bathybore.usecases.odds_told import told_of


def architecture_odds_picture(found: ArchitecturesTold, units: UnitSystem = "metric") -> Picture:
    """Return the plan and what was asked beside it as a picture."""
    with settings():
        return draw_architecture_odds(found, units).finished()


def draw_architecture_odds(told: ArchitecturesTold, units: UnitSystem = "metric") -> Sheet:
    found, best = told.found, told.best()
    columns = [of_plan(found.hole, units, _at_target(found.planned))]
    columns += [
        of_proposal(found.hole, one.proposal, units, _said(told, one)) for one in found.tried
    ]
    foot = f"Best: {best}." if found.best else f"{best[0].upper()}{best[1:]}."
    target = found.hole.plan.target
    return sheet_of_columns(
        found.hole, columns, target, "Architectures asked of members", units, foot
    )


def _at_target(reached: Share) -> str:
    return f"at the target {reached.share:.1%}"


def _said(told: ArchitecturesTold, one: Other) -> str:
    if one.why_not:
        return "could not be asked"
    number = told_of(told.found.goal)
    between = f"({number(one.low)} to {number(one.high)})"
    return f"{_at_target(one.reached)}\ngained {number(one.gain)}\n{between}"


def in_words(told: ArchitecturesTold, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    with settings():
        return draw_architecture_odds(told, units).alt
