"""The list of steps: derived from the plan, editable in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from bathybore.base.errors import InputErrors, nearest
from bathybore.base.frozen import quickly_made
from bathybore.base.working import Value
from bathybore.model.plan import Casing, Plan, Section, StepEdit


class StepKind(Enum):
    """What is done in a step; decides how the state advances and which checks ask."""

    HOLD_STATION = "hold station"
    RUN_CONDUCTOR = "run conductor"
    SET_CONDUCTOR = "set conductor"
    RELEASE = "release and pull the string"
    RUN_RISER = "run riser and preventer"
    TEST_SHOE = "drill out and test the shoe"
    DRILL = "drill"
    RUN_CASING = "run casing"
    CEMENT = "cement"
    CORE = "core"
    PLUG = "plug"
    RETRIEVE_RISER = "disconnect and retrieve the riser"
    DEPART = "leave the site"
    # what only the user inserts; the words are those of the plan's step_edits
    WAIT = "wait"
    CIRCULATE = "circulate"
    WIPER_TRIP = "wiper trip"
    LOG = "logging run"
    TEST_PREVENTER = "preventer test"
    TEST_CASING = "casing test"


@quickly_made
@dataclass(frozen=True)
class Step:
    """One step of the operation.

    Attributes
    ----------
    name : unique in the list; check ids begin with it
    title : what a colleague reads
    section : index into plan.sections of the section it belongs to
    fixed_duration : set by the user in a step edit
    why : the user's reason for an edit
    inserted : what the plan tells of a step that the user has inserted
    """

    name: str
    kind: StepKind
    title: str
    section: int | None = None
    fixed_duration: Value | None = None
    why: str = ""
    inserted: StepEdit | None = None

    def section_of(self, plan: Plan) -> Section:
        """Return the section this step works on; only steps that have one are asked."""
        if self.section is None:
            raise LookupError(f"the step {self.name} belongs to no section")
        return plan.sections[self.section]

    def casing_of(self, plan: Plan) -> Casing:
        casing = self.section_of(plan).casing
        if casing is None:
            raise LookupError(f"the step {self.name} belongs to a section without casing")
        return casing


def derive_steps(plan: Plan) -> tuple[Step, ...]:
    """Return the steps that the plan implies, in order, with the user's edits applied."""
    name = plan.conductor.name
    steps = [
        Step("hold-station", StepKind.HOLD_STATION, "Come on station and hold it"),
        Step(f"run-{name}", StepKind.RUN_CONDUCTOR, f"Run the {name} to the sea bed"),
        Step(f"set-{name}", StepKind.SET_CONDUCTOR, f"Set the {name}"),
        Step(f"release-{name}", StepKind.RELEASE, f"Release the string from the {name}, pull it"),
    ]
    riser_on = False
    for index, section in enumerate(plan.sections):
        if section.returns == "riser" and not riser_on:
            steps.append(
                Step("run-riser", StepKind.RUN_RISER, "Run and land riser and preventer, test")
            )
            riser_on = True
        if riser_on and index > 0 and plan.sections[index - 1].casing is not None:
            steps.append(
                Step(
                    f"test-{_previous_casing(plan, index).name}",
                    StepKind.TEST_SHOE,
                    f"Drill out of {_previous_casing(plan, index).name}, test its shoe",
                    index,
                )
            )
        steps.extend(_section_steps(section, index))
    if plan.coring is not None:
        last = len(plan.sections) - 1
        steps.append(Step("core", StepKind.CORE, "Core the target interval", last))
    steps.append(Step("plug", StepKind.PLUG, "Plug the hole", len(plan.sections) - 1))
    if riser_on and plan.leaving.retrieve_riser:
        steps.append(
            Step("retrieve-riser", StepKind.RETRIEVE_RISER, "Disconnect and retrieve the riser")
        )
    steps.append(Step("depart", StepKind.DEPART, "Leave the site"))
    return edit_steps(tuple(steps), plan.step_edits)


def _previous_casing(plan: Plan, index: int) -> Casing:
    casing = plan.sections[index - 1].casing
    if casing is None:
        raise LookupError(f"no casing above section {index}")
    return casing


def _section_steps(section: Section, index: int) -> list[Step]:
    steps = [Step(f"drill-{section.name}", StepKind.DRILL, f"Drill {section.name}", index)]
    if section.casing is not None:
        casing = section.casing.name
        steps += [
            Step(f"run-{casing}", StepKind.RUN_CASING, f"Run {casing}", index),
            Step(f"cement-{casing}", StepKind.CEMENT, f"Cement {casing}", index),
            Step(f"release-{casing}", StepKind.RELEASE, f"Release from {casing}, pull", index),
        ]
    return steps


def edit_steps(steps: tuple[Step, ...], edits: tuple[StepEdit, ...]) -> tuple[Step, ...]:
    """Apply the user's edits in their order.

    Raises
    ------
    InputErrors
        An edit names a step that is not there; the nearest name is suggested.
    """
    current = list(steps)
    for edit in edits:
        if edit.insert_after is not None:
            at = _index(current, "insert_after", edit) + 1
            current.insert(at, _inserted(edit))
            continue
        at = _index(current, "step", edit)
        step = current.pop(at)
        if edit.remove:
            continue
        if edit.duration is not None:
            step = replace(step, fixed_duration=edit.value("duration"), why=edit.why)
        if edit.move_after is not None:
            at = _index(current, "move_after", edit) + 1
        current.insert(at, step)
    names = [step.name for step in current]
    for name in names:
        if names.count(name) > 1:
            raise InputErrors.one("plan.step_edits", f"two steps called '{name}'", "unique names")
    return tuple(current)


def _inserted(edit: StepEdit) -> Step:
    """Return a step that does not follow from the plan; of a wait the user knows how long."""
    assert edit.insert is not None
    assert edit.name is not None
    kind = StepKind(edit.insert)
    fixed = edit.value("duration") if kind is StepKind.WAIT else None
    title = f"{edit.insert.capitalize()}: {edit.why}"
    return Step(edit.name, kind, title, None, fixed, edit.why, edit)


def _index(steps: list[Step], field: str, edit: StepEdit) -> int:
    """Return where the step stands that a field of an edit names."""
    name, names = str(getattr(edit, field)), [step.name for step in steps]
    if name not in names:
        raise InputErrors.one(
            str(edit.origin(field)),
            f"the step '{name}'",
            f"one of {', '.join(names)}",
            nearest(name, names),
        )
    return names.index(name)
