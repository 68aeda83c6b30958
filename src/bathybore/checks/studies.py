"""Which longer questions are asked of which step: those that no hand on a handle can wait for.

A study follows something in time, or tries many cases. Its records are check records like
any other and stand in the same ledger; a face may show the quick ones first.
"""

from __future__ import annotations

from bathybore.checks.by_hand import STUDIED_BY_HAND
from bathybore.checks.cement_in_time import cement_in_time_checks
from bathybore.checks.cement_sheath import cement_sheath_checks
from bathybore.checks.circulating_heat import circulating_heat_studies
from bathybore.checks.conductor_bending import wellhead_checks
from bathybore.checks.cuttings import cuttings_studies
from bathybore.checks.floating import floating_checks
from bathybore.checks.flow_window import flow_window_studies
from bathybore.checks.footprint import footprint_studies
from bathybore.checks.gelled_mud import gel_studies
from bathybore.checks.heave_in_slips import heave_studies
from bathybore.checks.hydrates import hydrate_checks
from bathybore.checks.kick_in_time import kick_in_time_checks
from bathybore.checks.ledger import Asker, answers
from bathybore.checks.open_water import open_water_checks
from bathybore.checks.operability import storm_studies, waiting_studies, weather_studies
from bathybore.checks.record import CheckRecord
from bathybore.checks.riser_fatigue import sea_fatigue_studies
from bathybore.checks.riser_in_sea import riser_studies, vortex_studies
from bathybore.checks.riser_wear import wear_studies
from bathybore.checks.station import station_studies
from bathybore.checks.stores import discharge_checks
from bathybore.checks.thickening import thickening_checks
from bathybore.checks.trips import trip_studies
from bathybore.checks.vessel_motions import motion_studies
from bathybore.checks.warm_window import warm_window_studies
from bathybore.checks.watch_circles import watch_circle_studies
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_DRILLED: tuple[Asker, ...] = (
    flow_window_studies,
    warm_window_studies,
    circulating_heat_studies,
    kick_in_time_checks,
    hydrate_checks,
    trip_studies,
    heave_studies,
    cuttings_studies,
    gel_studies,
    weather_studies,
)

_STUDIED: dict[StepKind, tuple[Asker, ...]] = {
    StepKind.DRILL: _DRILLED,
    StepKind.CORE: _DRILLED,
    StepKind.CEMENT: (
        cement_in_time_checks,
        thickening_checks,
        cement_sheath_checks,
        weather_studies,
    ),
    StepKind.HOLD_STATION: (
        station_studies,
        footprint_studies,
        motion_studies,
        weather_studies,
    ),
    StepKind.RUN_RISER: (
        watch_circle_studies,
        wellhead_checks,
        riser_studies,
        storm_studies,
        weather_studies,
    ),
    StepKind.RETRIEVE_RISER: (vortex_studies, sea_fatigue_studies, wear_studies, weather_studies),
    StepKind.DEPART: (
        discharge_checks,
        vortex_studies,
        sea_fatigue_studies,
        wear_studies,
        waiting_studies,
    ),
    StepKind.RUN_CONDUCTOR: (open_water_checks, weather_studies),
    StepKind.RUN_CASING: (open_water_checks, floating_checks, weather_studies),
    StepKind.PLUG: (open_water_checks,),
    **STUDIED_BY_HAND,
}


def studies_of(state: HoleState) -> tuple[CheckRecord, ...]:
    """Return every verdict of the longer questions on a state, in the order they are asked."""
    asked = _STUDIED.get(state.step.kind, ())
    return tuple(record for ask in asked for record in answers(ask, state))
