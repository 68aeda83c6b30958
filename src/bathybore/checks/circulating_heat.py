"""Longer questions of heat: what tools and mud bear once the hole has been circulated."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.operations.circulation import of_drilling, string_fits
from bathybore.operations.heat_cells import Warmed
from bathybore.operations.heat_in_time import heat_story, temperature_after_stop
from bathybore.operations.state import HoleState

CAUTION = (
    "Conductivities and films are rough: measure temperatures while drilling and on trips, and "
    "keep the undisturbed temperature in mind, which a long stop brings back."
)
TOOLS = Question(
    "circulating-temperature",
    Discipline.FLOW,
    "Do the tools bear the bottom of the hole after circulation, pumps stopped for the planned "
    "time?",
    "More flow, cooler mud, shorter stops, staged circulation while running in, or tools of a "
    "higher rating.",
    CAUTION,
)
MUD = Question(
    "mud-temperature",
    Discipline.FLOW,
    "Does the mud bear the warmest place it comes to, pumps on and stopped for the planned time?",
    "Additives of a higher rating, more flow, or shorter stops.",
    CAUTION,
)


def circulating_heat_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask how warm tools and mud get in a drilling or coring step, followed in time."""
    if not string_fits(state):
        return  # string-fits says so
    flow = of_drilling(state).warmed
    limit = tool_limit(state)
    yield _tools(state.step.name, flow, limit, float(state.bottom))
    if flow.fluid.rated_temperature is not None:
        yield _mud(state.step.name, flow)


def tool_limit(state: HoleState) -> Value:
    """Return the temperature that the tools in the hole bear: of the core barrel when coring."""
    hole, barrel = state.hole, state.hole.inventory.core_barrel
    coring = state.activity.rate_of_penetration is not None
    if coring and barrel is not None and barrel.temperature_limit is not None:
        return barrel.value("temperature_limit", "temperature")
    return hole.vessel.value("tool_temperature_limit", "temperature")


@kept(SOME)
def _tools(step: str, flow: Warmed, limit: Value, bottom: float) -> CheckRecord:
    setting = flow.setting
    warmth = temperature_after_stop(flow)
    return judge(step, TOOLS, warmth, limit, setting.basis.tight_band, setting.depth(bottom))


@kept(SOME)
def _mud(step: str, flow: Warmed) -> CheckRecord:
    setting, basis = flow.setting, flow.setting.basis
    story = heat_story(flow, basis.circulating_time, basis.pumps_stopped)
    warmest = np.maximum(story.circulated.mud.annulus, story.stopped.mud.annulus)
    at = int(np.argmax(warmest))
    behind = temperature_after_stop(flow)
    demand = Value("temperature", float(warmest[at]), "K", behind.origin)
    rated = flow.fluid.value("rated_temperature", "temperature")
    place = setting.depth(float(story.cells.middle[at]))
    return judge(step, MUD, demand, rated, basis.tight_band, place)
