"""One circulation of the plan in full: profile, nozzles, window of flows, heat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value
from bathybore.checks.circulating_heat import circulating_heat_studies
from bathybore.checks.flow_window import flow_window_studies, window_of
from bathybore.checks.ledger import answers
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.window import bound_high, open_nodes
from bathybore.operations.circulation import Circulation, of_drilling, pump_pressure, string_fits
from bathybore.operations.circulation_nozzles import NozzleChoice, nozzle_choice
from bathybore.operations.circulation_profile import CELL, CirculationProfile, circulation_profile
from bathybore.operations.circulation_sweep import FlowWindow, Sweep, greatest_flow, sweep
from bathybore.operations.columns import temperature
from bathybore.operations.heat_cells import SettledHeat, settled
from bathybore.operations.heat_in_time import HeatStory, heat_story
from bathybore.operations.steps import StepKind

if TYPE_CHECKING:
    from bathybore.operations.state import HoleState
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "Smooth walls, developed flow, settled temperatures and cuttings carried evenly: beds, "
    "washouts and a string that lies aside change friction and cleaning. Pressure while drilling "
    "tells what the hole really sees. The licensed engineer decides."
)
# the questions of the ledger that this answers in full
QUESTIONS: Final = (
    "pump-pressure",
    "pump-rate",
    "tool-flow-low",
    "tool-flow-high",
    "motor-torque",
    "lifting",
    "cuttings",
    "window-high",
    "flow-window-low",
    "flow-window-high",
    "circulating-window",
    "temperature",
    "circulating-temperature",
    "mud-temperature",
)
_FLOWS: Final = 60
_RATES: Final = 25


@dataclass(frozen=True, eq=False)
class FlowPicture:
    """Flows against rates of penetration, over a grid, with where the plan lies.

    Attributes
    ----------
    grid : margins over (rate of penetration, flow)
    planned_flow, planned_rate : of the plan
    """

    grid: Sweep
    planned_flow: float
    planned_rate: float


@dataclass(frozen=True, eq=False)
class StepCirculation:
    """A drilling or coring step with its pumps on.

    Attributes
    ----------
    quick : pump pressure as the checks of the walk have it
    bears : pressure that the rock bears at the open depths ``z``
    undisturbed : temperature over the cells of ``heat``
    records : of the walk that ask about it
    """

    step: str
    title: str
    fluid: str
    flow: Circulation
    profile: CirculationProfile
    quick: Value
    window: FlowWindow
    nozzles: NozzleChoice
    heat: SettledHeat
    story: HeatStory
    z: Array
    bears: Value
    undisturbed: Array
    records: tuple[CheckRecord, ...]

    @property
    def passes(self) -> bool:
        return all(one.status in (Status.HOLDS, Status.TIGHT) for one in self.records)

    @property
    def picture(self) -> FlowPicture:
        """The grid of flows and rates of penetration, worked out when it is drawn."""
        return flow_picture(self.flow, self.z, self.bears)


def circulating_steps(walk: Walk) -> tuple[str, ...]:
    """Return the names of the steps that circulate with a string that fits, in order."""
    return tuple(state.step.name for state in _circulating(walk))


def _circulating(walk: Walk) -> list[HoleState]:
    kinds = (StepKind.DRILL, StepKind.CORE)
    return [s for s in walk.states if s.step.kind in kinds and string_fits(s)]


def circulation(walk: Walk, name: str = "") -> StepCirculation:
    """Return one circulation of the plan in full.

    Parameters
    ----------
    name : of a section or of a step; the deepest step that circulates if empty

    Raises
    ------
    InputErrors
        No step or section of that name circulates, or none does at all.
    """
    return _answered(walk, _chosen(walk, name))


def _chosen(walk: Walk, name: str) -> HoleState:
    states = _circulating(walk)
    if not states:
        raise InputErrors.one(
            "plan.sections", "no step that drills with a string that fits", "one at least"
        )
    if not name:
        return max(states, key=lambda state: state.bottom)
    for state in states:
        section = state.activity.section
        if name == state.step.name or (section is not None and name == section.name):
            return state
    known = [s.step.name for s in states]
    known += [s.activity.section.name for s in states if s.activity.section is not None]
    names = list(dict.fromkeys(known))
    raise InputErrors.one(
        "section", f"'{name}'", f"one of {', '.join(names)}", nearest(name, names)
    )


def _answered(walk: Walk, state: HoleState) -> StepCirculation:
    flow, z = of_drilling(state), open_nodes(state)
    bears, basis = bound_high(state, z), state.hole.basis
    window, heat = window_of(flow, z, bears), settled(flow.warmed)
    names = [n for n, one in walk.hole.plan.fluids.items() if one is flow.fluid]
    return StepCirculation(
        step=state.step.name,
        title=state.step.title,
        fluid=names[0] if names else "sea water",
        flow=flow,
        profile=circulation_profile(flow, CELL),
        quick=pump_pressure(flow),
        window=window,
        nozzles=nozzle_choice(flow, *_between(flow, window)),
        heat=heat,
        story=heat_story(flow.warmed, basis.circulating_time, basis.pumps_stopped),
        z=z,
        bears=bears,
        undisturbed=temperature(flow.setting, heat.cells.middle),
        records=_records(walk, state),
    )


def _records(walk: Walk, state: HoleState) -> tuple[CheckRecord, ...]:
    """Return what the ledger asks about it; longer questions are asked here if not yet there."""
    found = list(walk.records_at(state.step.name))
    if not walk.studied:
        for ask in (flow_window_studies, circulating_heat_studies):
            found += answers(ask, state)
    return tuple(record for record in found if record.name in QUESTIONS)


def _between(flow: Circulation, window: FlowWindow) -> tuple[float, float]:
    """Return the flows between which the nozzles may choose: those that clean and are borne."""
    planned, most = float(flow.flow_rate), greatest_flow(flow)
    smallest = planned if window.smallest is None else window.smallest
    greatest = planned if window.greatest is None else window.greatest
    return smallest, min(greatest, most)


@kept(SOME)
def flow_picture(flow: Circulation, z: Array, bears: Value) -> FlowPicture:
    """Return flows against rates of penetration over a grid that holds the plan."""
    planned = float(flow.flow_rate)
    rate = float(flow.rate_of_penetration)
    most = max(1.15 * greatest_flow(flow), 1.2 * planned)
    flows = np.linspace(0.02, 1.0, _FLOWS) * most
    rates = np.linspace(0.04, 2.0, _RATES) * max(rate, 1e-6)
    grid = sweep(flow, flows, rates, z, np.asarray(bears.si))
    return FlowPicture(grid, planned, rate)
