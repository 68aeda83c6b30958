"""Does the vessel stay inside the planned watch circle while it is held?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import FEW, kept
from bathybore.base.units import show
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.hole import Setting
from bathybore.operations.footprint import DURATION, REALISATIONS, footprint
from bathybore.operations.sea_conditions import current_note
from bathybore.operations.state import HoleState
from bathybore.operations.station import station_load, thruster_thrust

FOOTPRINT = Question(
    "footprint",
    Discipline.STATION,
    "In gusts and the run of the waves, does the intact vessel stay inside the planned watch "
    "circle?",
    "Turn the bow nearer the weather, wait for less of it, a wider watch circle, or more thrust.",
    "Slow motion about the planned heading with a plain control and wave filter of its own: the "
    "vessel's system is tuned otherwise. Drift force of the waves is an upper bound along the "
    "ship; barred sectors and switchboards are left out; errors of the position come on top.",
)


def footprint_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the footprint of the planned weather fits the watch circle."""
    yield _footprint(state.step.name, state.hole.setting)


@kept(FEW)
def _footprint(step: str, hole: Setting) -> CheckRecord:
    try:
        found = footprint(hole)
    except InputErrors as error:
        return unjudged(step, FOOTPRINT, "; ".join(str(fault) for fault in error.faults))
    basis, sea, load = hole.basis, hole.site.environment, station_load(hole)
    origin = Solved(
        f"greatest offset in {REALISATIONS} realisations of {DURATION / 60.0:.0f} min, gusts and "
        "waves drawn from one fixed seed: $m dot.double(x) + d dot(x) = F + T$, control with "
        "wave filter, speed and integral, thrust limited in size and rate",
        "fossen-2011",
        (
            *(sea.value(one) for one in ("wind_speed", "significant_wave_height", "peak_period")),
            load.surge,
            load.sway,
            load.yaw,
            basis.value("station_control_period"),
            basis.value("thruster_response_time"),
            *(thruster_thrust(hole, n) for n in range(len(hole.vessel.thrusters))),
        ),
    )
    share, depth = basis.value("watch_offset_share"), hole.site.value("water_depth")
    capacity = Value(
        "vessel_offset",
        float(share) * float(depth),
        "m",
        Solved("share of water depth at which drilling stops", "common-practice", (share, depth)),
    )
    notes = [
        f"{show(found.offset_within(0.5), 'm', significant=3)} is kept half of the time, "
        f"{show(found.offset_within(0.95), 'm', significant=3)} for 95 % of it."
    ]
    if found.short > 0.0:
        notes.append(f"Thrust fell short of what control asked for in {found.short:.1%} of it.")
    notes.append(current_note(hole))
    return judge(
        step,
        FOOTPRINT,
        Value("vessel_offset", found.greatest, "m", origin),
        capacity,
        basis.tight_band,
        note=" ".join(filter(None, notes)),
    )
