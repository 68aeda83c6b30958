"""Then and now: two versions of a hole, what was changed between them and what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bathybore.base.depth import Datum
from bathybore.base.errors import Fault
from bathybore.base.units import UnitSystem
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.editing import Draft, HoleFiles
from bathybore.model.hole_files import HOLE_FILE, UNCERTAINTY_FILE
from bathybore.model.yaml_tree import parse_tree
from bathybore.usecases.changes import Change, document_changes, table_changes, text_change
from bathybore.usecases.ledger import DAY, URGENCY
from bathybore.usecases.picturing import scene
from bathybore.usecases.scene import Scene
from bathybore.usecases.showing import percent
from bathybore.usecases.walking import Walk

# A margin that moved by less has only been worked out in another order.
_MOVED: Final = 1e-6  # relative
_NOTHING: Final = 1e-9  # of the capacity: what rounding makes of an exact fit
_JUDGED: Final = frozenset((Status.FAILS, Status.TIGHT, Status.HOLDS))


@dataclass(frozen=True)
class VerdictChange:
    """A check whose verdict or margin is not the same; empty texts where it is not asked.

    Attributes
    ----------
    better : whether the newer one is; None where one of them is no judgement
    """

    id: str
    question: str
    then_status: str
    now_status: str
    then_margin: float | None
    now_margin: float | None
    then_margin_text: str
    now_margin_text: str
    better: bool | None


@dataclass(frozen=True)
class Comparison:
    """Two versions of a hole, seen after the same step.

    Attributes
    ----------
    verdicts : in the order of the newer operation, those no longer asked at the end
    days_then, days_now : from arrival to the end of what was walked
    """

    inputs: tuple[Change, ...]
    verdicts: tuple[VerdictChange, ...]
    then: Scene
    now: Scene
    days_then: float
    days_now: float


@dataclass(frozen=True)
class InputsCompared:
    """What was changed between two versions of which one, or both, cannot be walked.

    Attributes
    ----------
    inputs : tables and other files beside the document are told by lines
    faults_then, faults_now : why there are no verdicts to compare
    """

    inputs: tuple[Change, ...]
    faults_then: tuple[Fault, ...]
    faults_now: tuple[Fault, ...]


def compare_inputs(then: Draft, now: Draft) -> InputsCompared:
    """Return what was changed between two versions of a hole's files, with faults or without."""
    old, new = then.files.texts, now.files.texts
    beside = sorted({*old, *new})
    changes: tuple[Change, ...] = ()
    if then.tree is not None and now.tree is not None:
        changes = tuple(document_changes(then.tree, now.tree))
        beside = [name for name in beside if name != HOLE_FILE]
    for name in beside:
        changes += text_change(name, name, old.get(name, ""), new.get(name, ""))
    return InputsCompared(changes, then.faults, now.faults)


def compare(
    then: Walk,
    now: Walk,
    then_files: HoleFiles,
    now_files: HoleFiles,
    step: str = "",
    system: UnitSystem = "metric",
    datum: Datum = Datum.DRILL_FLOOR,
) -> Comparison:
    """Return what was changed between two versions of a hole, and what came of it.

    Parameters
    ----------
    then_files, now_files : from which the holes of the walks were read

    Raises
    ------
    InputErrors
        A document is no YAML: it is not the one that was walked.
    """
    trees = [parse_tree(files.texts[HOLE_FILE], HOLE_FILE) for files in (then_files, now_files)]
    uncertain = [files.texts.get(UNCERTAINTY_FILE, "") for files in (then_files, now_files)]
    tables = [(then.hole.earth, now.hole.earth), (then.hole.sea, now.hole.sea)]
    for name in ("survey", "motions", "wind_coefficients", "current_coefficients"):
        pair = getattr(then.hole, name), getattr(now.hole, name)
        if None not in pair:
            tables.append(pair)
    return Comparison(
        inputs=(
            *document_changes(*trees),
            *text_change(UNCERTAINTY_FILE, "what is uncertain", *uncertain),
            *(change for pair in tables for change in table_changes(*pair, system)),
        ),
        verdicts=tuple(_verdicts(then, now)),
        then=scene(then, step, system, datum),
        now=scene(now, step, system, datum),
        days_then=_days(then),
        days_now=_days(now),
    )


def _days(walk: Walk) -> float:
    return walk.states[-1].elapsed / DAY if walk.states else 0.0


def _verdicts(then: Walk, now: Walk) -> Iterator[VerdictChange]:
    before = {record.id: record for record in then.records}
    after = {record.id: record for record in now.records}
    for key in dict.fromkeys((*after, *before)):
        old, new = before.get(key), after.get(key)
        if old is None or new is None or _differ(old, new):
            yield _change(key, old, new)


def _differ(old: CheckRecord, new: CheckRecord) -> bool:
    if old.status is not new.status or old.margin is None or new.margin is None:
        return old.status is not new.status or old.margin != new.margin
    moved = abs(new.margin - old.margin)
    return moved > max(_NOTHING, _MOVED * max(abs(old.margin), abs(new.margin)))


def _change(key: str, old: CheckRecord | None, new: CheckRecord | None) -> VerdictChange:
    known = new or old
    assert known is not None
    return VerdictChange(
        id=key,
        question=known.question,
        then_status=str(old.status) if old else "",
        now_status=str(new.status) if new else "",
        then_margin=old.margin if old else None,
        now_margin=new.margin if new else None,
        then_margin_text=_margin_text(old),
        now_margin_text=_margin_text(new),
        better=_better(old, new),
    )


def _margin_text(record: CheckRecord | None) -> str:
    return "" if record is None or record.margin is None else percent(record.margin)


def _better(old: CheckRecord | None, new: CheckRecord | None) -> bool | None:
    if old is None or new is None or not {old.status, new.status} <= _JUDGED:
        return None
    if old.status is not new.status:
        return URGENCY.index(new.status) > URGENCY.index(old.status)
    if old.margin is None or new.margin is None:
        return None
    return new.margin > old.margin
