"""Would hydrate plug the sea-bed stack or the choke line once gas is in it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.operations.columns import depths_of
from bathybore.operations.hydrates import Hydrates, hydrates
from bathybore.operations.kick_in_time import KickInTime, kick_in_time_of
from bathybore.operations.kill_schedule import kill_sheet
from bathybore.operations.state import HoleState

_REMEDY = (
    "Salt (some 20 % by mass lowers it by 10 K) and glycol in the mud, glycol or methanol spotted "
    "in stack and lines before a stop, no long stop with gas in them."
)
_CAUTION = (
    "Methane and the water of the mud; heavier gases freeze warmer. The supplier tests the very "
    "mud; the vessel's well-control procedures and the licensed engineer decide."
)
CIRCULATING = Question(
    "hydrates-circulating",
    Discipline.WELL_CONTROL,
    "With gas at the sea-bed stack, is the circulating mud too warm, or inhibited, for hydrates?",
    _REMEDY,
    _CAUTION,
)
STOPPED = Question(
    "hydrates-stopped",
    Discipline.WELL_CONTROL,
    "After a long stop with gas in stack and choke line, is the mud inhibited against hydrates?",
    _REMEDY,
    _CAUTION,
)


def hydrate_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge how far below the hydrate temperature stack and choke line come.

    Where the basis takes a kick as told and the earth table tells of water only, there is no
    gas to make hydrate of, and nothing is asked.
    """
    try:
        timed = kick_in_time_of(state)
    except LookupError as error:
        for question in (CIRCULATING, STOPPED):
            yield unjudged(state.step.name, question, str(error))
        return
    if timed is None or not timed.kick.is_gas:
        return
    yield from _judged(state.step.name, timed)


def hydrates_of(timed: KickInTime) -> Hydrates:
    """Return the hydrates that a shut-in design kick may form."""
    over = kill_sheet(timed).shut_in_casing_pressure
    return hydrates(timed.kick.setting, timed.kick.layers, timed.flow, over)


@kept(SOME)
def _judged(step: str, timed: KickInTime) -> tuple[CheckRecord, ...]:
    found = hydrates_of(timed)
    stack = len(found.places) - 1
    moving = _record(step, CIRCULATING, found, found.forms_below.at_node(stack), found.circulating)
    return moving, _record(step, STOPPED, found, found.forms_below, found.stopped)


def _record(
    step: str, question: Question, found: Hydrates, forms: Value, warm: Value
) -> CheckRecord:
    """Compare by how much hydrate has to be suppressed with what the inhibitor does."""
    setting = found.setting
    depths = depths_of(setting, found.places)
    place = depths if warm.depth_axis is not None else depths[-1]
    needed = found.suppression_needed(warm, forms)
    record = judge(step, question, needed, found.suppression, setting.basis.tight_band, place)
    if record.status is not Status.FAILS or record.demand is None or record.capacity is None:
        return record
    origin = Solved("needed less told", "definition", (record.demand, record.capacity))
    gap = float(record.demand) - float(record.capacity)
    short = Value("hydrate_subcooling", gap, "K difference", origin)
    share = 100.0 * float(found.glycol_for(short))
    more = " more" if setting.basis.hydrate_suppression is not None else ""
    note = (
        f"{gap:.1f} K too cold: glycol of some {share:.0f} %{more} by mass of the water, "
        "less with salt, would be needed (hydrate_suppression)."
    )
    return replace(record, note=note)
