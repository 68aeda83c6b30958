"""The design kick of every section drilled with a riser, as every face shows it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Value
from bathybore.checks.hydrates import hydrates_of
from bathybore.checks.kick_in_time import DECIDES
from bathybore.checks.record import CheckRecord, Status
from bathybore.operations.hydrates import Hydrates
from bathybore.operations.kick import Kick, full_of_influx, tolerance, with_intensity
from bathybore.operations.kick_in_time import (
    FINE_STEP,
    KickInTime,
    Told,
    kick_followed,
    kick_in_time_of,
    why_not,
)
from bathybore.operations.kill_schedule import KillSheet, kill_sheet
from bathybore.operations.riser_gas import RiserGas, riser_gas
from bathybore.operations.steps import StepKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from bathybore.model.plan import Section
    from bathybore.operations.state import HoleState
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    f"{DECIDES} Gas dissolved in the mud, cuttings, washouts, a plugged bit and losses are not in "
    "it, and mud does not give under pressure here: a real well closes in softer and slower."
)
# the questions of the ledger that this answers in full
QUESTIONS: Final = (
    "kick-tolerance",
    "kick-shut-in",
    "kick-in-time",
    "kick-choke-pressure",
    "kick-stack-pressure",
    "kick-pit-gain",
    "kick-gas-rate",
    "riser-gas",
    "hydrates-circulating",
    "hydrates-stopped",
    "riser-margin",
)
_CURVE: Final = 25  # intensities at which the tolerance is drawn


@dataclass(frozen=True)
class ToleranceCurve:
    """Greatest kick against its intensity.

    Attributes
    ----------
    intensity : as densities to the drill floor [kg/m3]
    volume : greatest at bottom [m3]; infinite where the rock holds a hole full of gas
    """

    intensity: Array
    volume: Array


@dataclass(frozen=True, eq=False)
class SectionKick:
    """The design kick of one section, with everything that is told of it, made when asked for.

    Attributes
    ----------
    step, title : in which it is taken: the deepest of the section
    records : of the walk that ask about it
    """

    step: str
    title: str
    section: str
    timed: KickInTime
    records: tuple[CheckRecord, ...]

    @property
    def passes(self) -> bool:
        return all(one.status in (Status.HOLDS, Status.TIGHT) for one in self.records)

    @property
    def is_gas(self) -> bool:
        """Whether gas comes in: water neither unloads a riser nor makes hydrate."""
        return self.timed.kick.is_gas

    @property
    def sheet(self) -> KillSheet:
        return kill_sheet(self.timed)

    @property
    def riser(self) -> RiserGas:
        return riser_gas(self.timed)

    @property
    def hydrates(self) -> Hydrates:
        return hydrates_of(self.timed)

    @cached_property
    def driller(self) -> Told:
        """Followed to the end of both rounds."""
        return kick_followed(self.timed, "driller", FINE_STEP, True)

    @cached_property
    def waiting(self) -> Told:
        """Followed by wait and weight."""
        return kick_followed(self.timed, "wait and weight", FINE_STEP)

    @cached_property
    def curve(self) -> ToleranceCurve:
        return _curve(self.timed.kick)


@kept(SOME)
def _curve(kick: Kick) -> ToleranceCurve:
    most = max(2.5 * float(kick.intensity), 60.0)
    intensity, volume = np.linspace(0.0, most, _CURVE), np.empty(_CURVE)
    for index, number in enumerate(intensity):
        how = FromWalk("drawn")
        other = with_intensity(kick, Value("kick_intensity", float(number), "kg/m3", how))
        holds = float(full_of_influx(other)) <= float(other.weak_point[1])
        volume[index] = np.inf if holds else float(tolerance(other))
    return ToleranceCurve(intensity, volume)


def sections_with_kicks(walk: Walk) -> tuple[str, ...]:
    """Return the sections drilled with a riser, in order."""
    return tuple(dict.fromkeys(section.name for section, _ in _drilled(walk)))


def kicks(walk: Walk, name: str = "") -> tuple[SectionKick, ...]:
    """Return the design kick of every section drilled with a riser, or of one.

    Parameters
    ----------
    name : of a section or of a step; all sections if empty

    Raises
    ------
    InputErrors
        There is no such section, none is drilled with a riser, nothing circulates slowly, or
        the kick is more than the hole holds.
    """
    drilled = tuple((section.name, state) for section, state in _drilled(walk))
    found = dict(drilled)  # the deepest step of each
    if not found:
        raise InputErrors.one(
            "plan.sections",
            "no section that is drilled with a riser",
            "one whose returns come up a riser",
            "Without a preventer a flow can only be diverted to the sea: see the shallow-flow "
            "questions of `check`.",
        )
    if not name:
        return tuple(_of(walk, state) for state in found.values())
    named = {state.step.name: state for _, state in drilled} | found
    if name not in named:
        raise _unknown(name, named)
    return (_of(walk, named[name]),)


def kick_of(found: tuple[SectionKick, ...], name: str = "") -> SectionKick:
    """Return the kick of a section by name; of the deepest if it is empty.

    Raises
    ------
    InputErrors
        There is no such section.
    """
    named = {one.section: one for one in found}
    if (name and name not in named) or not found:
        raise _unknown(name, named)
    return named[name] if name else found[-1]


def _unknown(name: str, known: Iterable[str]) -> InputErrors:
    names = list(known)
    expected = "one of " + ", ".join(names) if names else "a hole with a section drilled by riser"
    return InputErrors.one("section", f"'{name}'", expected, nearest(name, names))


def _drilled(walk: Walk) -> Iterator[tuple[Section, HoleState]]:
    for state in walk.states:
        section = state.activity.section
        drills = state.step.kind in (StepKind.DRILL, StepKind.CORE)
        if drills and state.riser is not None and section is not None:
            yield section, state


def _of(walk: Walk, state: HoleState) -> SectionKick:
    try:
        timed = kick_in_time_of(state)
    except LookupError as error:
        raise InputErrors.one(
            "design_basis.slow_circulating_rate"
            if walk.hole.basis.slow_circulating_rate <= 0.0
            else state.step.name,
            str(error),
            "what a kick needs to be circulated out: a slow rate above zero, a string, a riser",
        ) from None
    section = state.activity.section
    assert timed is not None
    assert section is not None
    reason = why_not(timed)
    if reason:
        own = section.kick_volume is not None
        where = f"plan.sections.{section.name}.kick_volume" if own else "design_basis.kick_volume"
        raise InputErrors.one(where, reason, "a kick of gas that finds room in the hole")
    step = state.step
    records = tuple(r for r in walk.records_at(step.name) if r.name in QUESTIONS)
    order = {question: place for place, question in enumerate(QUESTIONS)}
    records = tuple(sorted(records, key=lambda r: order[r.name]))
    return SectionKick(step.name, step.title, section.name, timed, records)
