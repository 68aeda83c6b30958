"""What share of its strength a string uses over depth, from the records that judged it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import takewhile
from typing import Final

import numpy as np

from bathybore.base.frozen import quickly_made
from bathybore.base.keeping import MANY, kept
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Setting
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.pressures import places, rounded
from bathybore.usecases.scene import ProfileCurve, StrengthUsed
from bathybore.usecases.thinning import kept_nodes
from bathybore.usecases.walking import Walk

_OFF: Final = 0.001  # of the strength: how far a curve may lie from its nodes

# records on the string of a step, and on the casing that it runs or cements
_OF_STRING: Final = {
    "string-tension": "tension with heave and overpull",
    "tension-with-torque": "tension and torque together",
    "slips": "squeeze of the slips",
}
# on what stands in the sea bed, in the step that lands the riser on it: which casing it is
_UNDER_RISER: Final = {"conductor-bending": 0, "first-casing-bending": 1}
_OF_CASING: Final = {"casing-tension": "tension of the top joint"}
_LOAD_CASES: Final = {
    "burst": "burst",
    "collapse": "collapse",
    "axial": "axial force",
    "triaxial": "all stresses together",
}


def strength_used(walk: Walk, state: HoleState, string: str = "") -> StrengthUsed:
    """Return the share of strength used of the wanted string, or of the first that was judged.

    What is judged in the step comes first, over depth before at one place; then the casings
    that stand, the last one first: their load cases were judged when they were cemented, for
    all they will meet. Names of curves are ids of records, so that each can be opened. A
    question that is asked at one place is a curve of one node.
    """
    found: dict[str, list[_Judged]] = {}
    for judged in _all_judged(walk, state):
        found.setdefault(judged.string, []).append(judged)
    chosen = string if string in found else next(iter(found), "")
    why = "" if chosen else f"'{state.step.title}' loads no string, and no casing stands cemented."
    setting = walk.hole.setting
    curves = tuple(_curve(setting, one.label, one.top, one.record) for one in found.get(chosen, ()))
    return StrengthUsed(chosen, tuple(found), curves, why)


@quickly_made
@dataclass(frozen=True)
class _Judged:
    """A record on the strength of a string, and where the string begins."""

    string: str
    label: str
    top: float
    record: CheckRecord


def _all_judged(walk: Walk, state: HoleState) -> Iterator[_Judged]:
    """Yield what is judged in the step itself, then what was when casings were cemented."""
    yield from _judged_in(walk, state)
    before = takewhile(lambda one: one is not state, walk.states)
    for earlier in reversed(tuple(before)):
        if earlier.step.kind is StepKind.CEMENT:
            yield from _judged_in(walk, earlier)


def _judged_in(walk: Walk, state: HoleState) -> Iterator[_Judged]:
    """Yield every question on the strength of a string in a step that has an answer."""
    string, casing = state.activity.string, state.activity.casing
    for record in sorted(walk.records_at(state.step.name), key=lambda one: one.profile is None):
        kind, _, case = record.name.partition("-")
        if record.margin is None and record.profile is None:
            continue
        if record.name in _OF_STRING and string is not None:
            top = float(string.parts[-1].top)
            yield _Judged(string.name, _OF_STRING[record.name], top, record)
        elif record.name in _UNDER_RISER:
            standing = state.casings[_UNDER_RISER[record.name]]
            yield _Judged(standing.name, "bending under the riser", float(standing.top), record)
        elif casing is not None and record.name in _OF_CASING:
            yield _Judged(casing.name, _OF_CASING[record.name], float(casing.top), record)
        elif casing is not None and kind in _LOAD_CASES:
            label = f"{_LOAD_CASES[kind]}, {case.replace('-', ' ')}"
            yield _Judged(casing.name, label, float(casing.top), record)


@kept(MANY)
def _curve(setting: Setting, label: str, top: float, record: CheckRecord) -> ProfileCurve:
    """Return the curve of a record, top down: over its profile, or at the top of the string."""
    if record.profile is None:
        assert record.margin is not None
        z, used = np.array([top]), np.array([1.0 - record.margin])
    else:
        z, used = places(setting, record.profile), record.profile.used
    if z[-1] < z[0]:
        z, used = z[::-1], used[::-1]
    known = np.flatnonzero(np.isfinite(used))
    worst = [int(known[np.argmax(used[known])])] if known.size else []
    kept = kept_nodes(z, [(used, _OFF)], worst)
    return ProfileCurve(
        record.id, label, tuple(np.round(z[kept], 3).tolist()), rounded(used[kept], 6)
    )
