"""The lengths of hole that members make one after another, and the steps that make them.

A member goes through the plan's own steps. Where it sets a spare string, that string is
drilled for, run, cemented, released and tested after the pattern of the plan's nearest such
steps, before the section it shortens goes on. A hole that ends early leaves out what is
deeper; it is plugged and left all the same.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.ensembles.shapes import Flags, Frame
from bathybore.model.plan import Casing
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.operations.steps import StepKind
from bathybore.search.problems import LAP

NEAR = 1e-6  # m: depths closer than this are one


@dataclass(frozen=True, eq=False)
class Job:
    """A step as members do it.

    Attributes
    ----------
    state : index of the plan's step that it is, or whose pattern it follows
    string : index of the string whose hole or casing it works on; of a test, the string whose
        hole comes next; -1 where it belongs to none
    """

    state: int
    kind: StepKind
    string: int


@dataclass(frozen=True, eq=False)
class StringKind:
    """What is the same of a string in all members.

    Attributes
    ----------
    pipe : None of the hole that stays open
    casing : of the plan; of a spare, the one whose cement it follows; None of the conductor
    rat_hole : [m] drilled below its shoe
    hung : planned top [m below sea bed]; 0 where it hangs in the wellhead
    lap : [m] that a liner is hung above the shoe over it; NaN where it hangs in the wellhead
    hole_diameter : [m]
    section : index of the section whose hole it stands in; -1 of the conductor
    """

    pipe: CasingPipe | None
    casing: Casing | None
    rat_hole: float
    hung: float
    lap: float
    hole_diameter: float
    section: int


@dataclass(frozen=True, eq=False)
class Legs:
    """Where the members' lengths of hole begin and end, arrays (member, string) [m below sea bed].

    Attributes
    ----------
    end : (member) bottom of the hole
    top, bottom : of the hole made for each string; equal where none is made for it
    run : whether the string is run
    shoe, hung : of the string; its top, 0 where it hangs in the wellhead
    over : shoe above it
    """

    end: Array
    top: Array
    bottom: Array
    run: Flags
    shoe: Array
    hung: Array
    over: Array


@kept(FEW)
def strings_of(frame: Frame) -> tuple[StringKind, ...]:
    """Return what the frame's strings are in all members."""
    return tuple(_string(frame, index) for index in range(len(frame.strings)))


def _string(frame: Frame, index: int) -> StringKind:
    hole, one = frame.hole, frame.strings[index]
    plan, below = hole.plan, hole.frame.below_sea_bed
    if one.section < 0:
        pipe = casing_pipe(hole, plan.conductor.pipe)
        width = float(pipe.outside_diameter)
        return StringKind(pipe, None, 0.0, -plan.conductor.stick_up, np.nan, width, -1)
    section = plan.sections[one.section]
    casing, width = section.casing, section.hole_diameter
    rat_hole = 0.0 if casing is None else below(section.bottom) - below(casing.shoe)
    if one.spare:
        pattern = plan.sections[_pattern(frame, one.section)].casing
        pipe = casing_pipe(hole, one.name)
        return StringKind(pipe, pattern, rat_hole, 0.0, LAP, width, one.section)
    if casing is None:
        return StringKind(None, None, 0.0, 0.0, np.nan, width, one.section)
    pipe = casing_pipe(hole, casing.pipe)
    if isinstance(casing.hung_at, str):
        return StringKind(pipe, casing, rat_hole, 0.0, np.nan, width, one.section)
    hung, over = below(casing.hung_at), _planned_over(frame, index)
    return StringKind(pipe, casing, rat_hole, hung, over - hung, width, one.section)


def pattern_of(frame: Frame, index: int) -> int:
    """Return the string of the plan whose steps a string follows; itself if it is no spare."""
    one = frame.strings[index]
    if not one.spare:
        return index
    section = _pattern(frame, one.section)
    return [n for n, other in enumerate(frame.strings) if other.section == section][-1]


def _planned_over(frame: Frame, index: int) -> float:
    return next(one.bottom for one in reversed(frame.strings[:index]) if not one.spare)


@kept(FEW)
def jobs_of(frame: Frame) -> tuple[Job, ...]:
    """Return the steps in the order in which a member does them, all spares set."""
    jobs: list[Job] = []
    for index, state in enumerate(frame.states):
        kind, section = state.step.kind, state.step.section
        if section is None:
            conductor = kind in (StepKind.RUN_CONDUCTOR, StepKind.SET_CONDUCTOR, StepKind.RELEASE)
            jobs.append(Job(index, kind, 0 if conductor else -1))
            continue
        there = [n for n, one in enumerate(frame.strings) if one.section == section]
        spares = [n for n in there if frame.strings[n].spare]
        if kind is StepKind.TEST_SHOE:
            jobs.append(Job(index, kind, there[0]))
            continue
        if kind is StepKind.DRILL:
            for spare in spares:
                jobs += _spare(frame, index, spare)
        jobs.append(Job(index, kind, there[-1]))
    return tuple(jobs)


def _spare(frame: Frame, drilling: int, spare: int) -> list[Job]:
    """Return the steps of a spare string: those of its pattern, and of the test in its section."""
    states, section = frame.states, frame.strings[spare].section
    wanted = {
        StepKind.RUN_CASING: _pattern(frame, section),
        StepKind.CEMENT: _pattern(frame, section),
        StepKind.RELEASE: _pattern(frame, section),
        StepKind.TEST_SHOE: section if states[drilling].riser is not None else None,
    }
    jobs = [Job(drilling, StepKind.DRILL, spare)]
    for kind, pattern in wanted.items():
        for index, state in enumerate(states):
            if state.step.kind is kind and state.step.section == pattern is not None:
                # the test of its shoe belongs to the hole that comes next
                jobs.append(Job(index, kind, spare + (kind is StepKind.TEST_SHOE)))
    return jobs


def _pattern(frame: Frame, section: int) -> int:
    """Return the section whose casing a spare follows: its own, the nearest above, or below."""
    sections = frame.hole.plan.sections
    order = [*range(section, -1, -1), *range(section + 1, len(sections))]
    return next((index for index in order if sections[index].casing is not None), section)


@kept(FEW)
def planned_legs(frame: Frame) -> Legs:
    """Return the legs of the plan itself, as of one member."""
    shoes = np.array([[one.bottom for one in frame.strings]])
    return legs_of(frame, shoes, frame.depth[[frame.target]])


def legs_of(frame: Frame, shoes: Array, end: Array) -> Legs:
    """Return the legs of members.

    Parameters
    ----------
    shoes : (member, string) as in `Made` [m below sea bed]; NaN where a string is not set
    end : (member) depth at which the hole ends [m below sea bed]
    """
    kinds, last = strings_of(frame), len(frame.strings) - 1
    end = np.maximum(end, shoes[:, 0])  # a conductor stands in any case
    with np.errstate(invalid="ignore"):
        run = np.isfinite(shoes) & (shoes <= end[:, None] + NEAR)
    run[:, last] &= kinds[last].pipe is not None
    goes_on = np.zeros_like(run)  # a deeper string is run: this one's hole was left out
    for index in range(last - 1, -1, -1):
        goes_on[:, index] = goes_on[:, index + 1] | run[:, index + 1]
    top, bottom, hung = (np.zeros(shoes.shape) for _ in range(3))
    over, at, above = np.zeros(shoes.shape), np.zeros(len(shoes)), np.zeros(len(shoes))
    for index, kind in enumerate(kinds):
        shoe, spare = np.where(run[:, index], shoes[:, index], 0.0), frame.strings[index].spare
        left_out = goes_on[:, index] | spare
        goal = np.where(run[:, index], shoe + kind.rat_hole, np.where(left_out, at, end))
        top[:, index], over[:, index] = at, above
        at = np.maximum(goal, at)
        bottom[:, index] = at
        hung[:, index] = _hung(kind, spare, shoe, above)
        above = np.where(run[:, index], shoe, above)
    return Legs(at, top, bottom, run, np.where(run, shoes, np.nan), hung, over)


def _hung(kind: StringKind, spare: bool, shoe: Array, above: Array) -> Array:
    """Return the top of a string.

    A liner is lapped as planned; where its stock is too short, by what it leaves, but no less
    than is common. A spare is a liner where it is too short for the wellhead.
    """
    if kind.pipe is None or np.isnan(kind.lap):
        return np.full(len(shoe), kind.hung)
    stock = kind.pipe.stock.length
    top = np.clip(shoe - stock, above - kind.lap, above - min(kind.lap, LAP))
    liner = np.maximum(top, 0.0)
    return np.where(shoe <= stock, 0.0, liner) if spare else liner
