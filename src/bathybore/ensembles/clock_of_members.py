"""How long the steps of members take in the clear: the parts of the plan's steps, scaled.

No time is worked out anew. A part of a step that was walked keeps what it took and is scaled:
what is cut by depth over the drawn rate, what is tripped or run by its length, what people
handle by the drawn factor. Cement sets and the conductor soaks as planned.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.ensembles.legs_of_members import Job, Legs, planned_legs
from bathybore.ensembles.numbers_of_members import BARRELS, BIT_CHANGES, BIT_LIFE, Answers, label_of
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.kernels.coring import runs_needed, wireline_round_trip_time
from bathybore.kernels.durations import connection_time, drilling_time, joint_count
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.times import TESTS_PREVENTER, bit_life_of

TEST: Final = "test the preventer"
_CUTTING: Final = frozenset({"drill", "cut", "jet in"})
_AS_PLANNED: Final = frozenset(
    {
        "soak",
        "wait on cement",
        "wait on cement, tag",
        "pump plug",
        "circulate",
        "log the hole",
        "test the casing",
    }
)
_HANDLED: Final = frozenset(
    {
        "survey the sea bed, set beacons",
        "make up conductor and guide",
        "run to the sea bed",
        "run riser and preventer",
        "land, connect, test lines",
        "pull riser and preventer",
        "make up the assembly",
        "drill out, test the shoe",
        "lay down the assembly",
        "make up the core barrel",
        "rig up",
        "land",
        "recover beacons, look at the wellhead",
    }
)
_TRIPS: Final = frozenset(
    {
        "run in",
        "pull out",
        "pull the string",
        "run in on the landing string",
        "to the shoe and back",
    }
)


@dataclass(frozen=True, eq=False)
class Net:
    """Time of a step in the clear, (member) [s]: before the bit deepens the hole, while, after.

    Attributes
    ----------
    cutting : of the time on bottom
    pumping : time with the pumps running, were the numbers of the hole as planned
    """

    before: Array
    during: Array
    after: Array
    cutting: Array
    pumping: Array

    @property
    def whole(self) -> Array:
        return self.before + self.during + self.after


@dataclass(frozen=True, eq=False)
class Rate:
    """The rate of penetration integrated down the nodes.

    Attributes
    ----------
    slowness : (member, node) [s/m]; one row where all members have the same
    time : (member, node) to cut from the first node to each [s]
    """

    depth: Array
    slowness: Array
    time: Array

    @staticmethod
    def of(frame: Frame, rate: Array) -> Rate:
        """Return the rate of members over the frame's nodes.

        Above the conductor's shoe nothing is drilled, and the table need not tell a rate.
        """
        drilled = frame.depth >= frame.strings[0].bottom - 1e-3
        slowness = np.where(drilled, 1.0 / np.where(drilled, np.atleast_2d(rate), 1.0), 0.0)
        steps = 0.5 * (slowness[:, 1:] + slowness[:, :-1]) * np.diff(frame.depth)
        time = np.concatenate([np.zeros((len(slowness), 1)), np.cumsum(steps, axis=1)], axis=1)
        return Rate(frame.depth, slowness, time)

    def to(self, depth: Array) -> Array:
        """Return the time to cut to depths (member) or (member, mark); slowness linear between."""
        rows = np.arange(len(depth)) if len(self.time) > 1 else np.zeros(len(depth), dtype=int)
        rows = rows.reshape(-1, *(1,) * (depth.ndim - 1))
        at = np.clip(np.searchsorted(self.depth, depth, side="right") - 1, 0, len(self.depth) - 2)
        into, thick = depth - self.depth[at], self.depth[at + 1] - self.depth[at]
        slow = self.slowness[rows, at]
        more = 0.5 * (self.slowness[rows, at + 1] - slow) * into / thick
        return np.asarray(self.time[rows, at] + (slow + more) * into)

    def reached(self, time: Array) -> Array:
        """Return the depth (member) cut to in a time: the way back, linear between nodes."""
        table = np.broadcast_to(self.time, (len(time), len(self.depth)))
        at = np.clip(np.sum(table <= time[:, None], axis=1) - 1, 0, len(self.depth) - 2)
        rows = np.arange(len(time))
        low, high = table[rows, at], table[rows, at + 1]
        share = np.divide(time - low, high - low, out=np.zeros_like(low), where=high > low)
        thick = self.depth[at + 1] - self.depth[at]
        return np.asarray(self.depth[at] + np.clip(share, 0.0, 1.0) * thick)


@kept(FEW)
def planned_rate(frame: Frame) -> Rate:
    """Return the plan's own rate of penetration."""
    return Rate.of(frame, frame.hole.earth.at("rate_of_penetration", frame.depth))


def drawn_rate(frame: Frame, drawn: Drawn) -> Rate:
    """Return the drawn rate of penetration; the plan's own where none was drawn."""
    curve = drawn.curves.get("rate_of_penetration")
    return planned_rate(frame) if curve is None else Rate.of(frame, curve)


def interval(frame: Frame, legs: Legs, job: Job) -> tuple[Array, Array]:
    """Return top and bottom (member) of the hole a step makes [m below sea bed]."""
    top, bottom = legs.top[:, job.string], legs.bottom[:, job.string]
    coring = frame.hole.plan.coring
    if coring is None or job.string < len(frame.strings) - 1:
        return top, bottom
    core = np.maximum(top, frame.hole.frame.below_sea_bed(coring.top))
    if job.kind is StepKind.CORE:
        return np.minimum(core, bottom), bottom
    return top, np.minimum(core, bottom)


@dataclass(frozen=True, eq=False)
class Clock:
    """What the times of members' steps follow from."""

    frame: Frame
    legs: Legs
    rate: Rate
    handling: Array
    bit_life: Array
    cement: Array  # (member, string) slurry over that of the string's pattern
    answers: Answers

    def net(self, job: Job) -> Net:
        """Return the time of a step in the clear, as if every member did it."""
        state = self.frame.states[job.state]
        clear = cutting = self._cutting(job, state)
        before, during, after, pumping = (np.zeros(len(self.handling)) for _ in range(4))
        trip, on_bottom = self._trip(job, state), False
        for part in state.times:
            name, answer = part.name, self.answers.scale(job.state, label_of(part.name))
            if label_of(name) in (BIT_CHANGES, BARRELS) or _due(job, name):
                continue
            if name in _CUTTING:
                cutting, on_bottom = clear * answer, True
                during, pumping = during + cutting, pumping + clear
            elif name == "connections":
                making = self._connections(job)
                during, pumping = during + making * answer, pumping + making
            elif on_bottom:
                after = after + float(part) * answer * self._scale(job, state, name, trip)
            else:
                before = before + float(part) * answer * self._scale(job, state, name, trip)
        trip = trip * self.answers.scale(job.state, "pull out")
        if job.kind in (StepKind.DRILL, StepKind.CORE):
            during = during + self._changes(job, cutting, trip)
        if job.kind is StepKind.CORE:
            during = during + self._barrels(job, trip)
        return Net(before, during, after, cutting, pumping)

    def _scale(self, job: Job, state: HoleState, name: str, trip: Array) -> Array | float:
        """Return what a part that neither cuts nor fetches is scaled by."""
        if name in _AS_PLANNED:
            return 1.0
        if name in _HANDLED or name == TEST:
            return self.handling
        if name in _TRIPS:
            return self.handling * trip
        if name == "make up and run the casing":
            return self.handling * self._joints(job, state)
        if name == "pump slurry":
            return self.cement[:, job.string]
        if name == "displace":
            casing = state.activity.casing
            assert casing is not None
            return self._below_floor(self.legs.shoe[:, job.string]) / self._way(casing.shoe)
        raise LookupError(f"no rule for the part '{name}' of the step {state.step.name}")

    def _way(self, z: float) -> float:
        return z - float(self.frame.hole.drill_floor)

    def _below_floor(self, depth: Array) -> Array:
        """Return lengths from the drill floor; of a string that is not run, to the sea bed."""
        return np.nan_to_num(depth) + self._way(float(self.frame.hole.sea_bed))

    def _trip(self, job: Job, state: HoleState) -> Array:
        """Return the length of the string over that of the planned step."""
        string, legs = state.activity.string, self.legs
        # what is inserted by hand belongs to no string: it goes as deep as planned
        if string is None or job.string <= 0:
            return np.ones(len(self.handling))
        if job.kind in (StepKind.DRILL, StepKind.CORE):
            end = interval(self.frame, legs, job)[1]
        elif job.kind is StepKind.TEST_SHOE:
            end = legs.top[:, job.string]
        elif job.kind is StepKind.PLUG:
            end = np.minimum(string.bottom - float(self.frame.hole.sea_bed), legs.end)
        else:
            end = legs.hung[:, job.string]
        return self._below_floor(end) / self._way(string.bottom)

    def _cutting(self, job: Job, state: HoleState) -> Array:
        """Return the time on bottom: the plan's, by depth over the drawn rate."""
        if job.kind not in (StepKind.DRILL, StepKind.CORE):
            jetting = sum(float(part) for part in state.times if part.name in _CUTTING)
            return np.full(len(self.handling), jetting)
        top, bottom = interval(self.frame, self.legs, job)
        rate = state.activity.rate_of_penetration
        if rate is not None:
            return np.asarray(drilling_time(bottom - top, float(rate)))
        section = state.activity.section
        assert section is not None
        factor = section.rate_of_penetration_factor
        taken = (self.rate.to(bottom) - self.rate.to(top)) / factor
        # the walk's own nodes begin at the step's top: its time over that between the nodes here
        first, last = interval(self.frame, planned_legs(self.frame), _like(self.frame, job))
        rate_there = planned_rate(self.frame)
        same = float((rate_there.to(last) - rate_there.to(first))[0]) / factor
        walked = next(float(part) for part in state.times if part.name == "drill")
        return np.maximum(taken, 0.0) * (walked / same if same > 0.0 else 1.0)

    def _connections(self, job: Job) -> Array:
        handling = self.frame.hole.vessel.handling
        top, bottom = interval(self.frame, self.legs, job)
        one = handling.connection_time * self.handling
        return np.asarray(connection_time(bottom - top, handling.stand_length, one))

    def life(self, job: Job) -> Array:
        """Return how long the bits of a step cut; infinite where none is on board."""
        planned = float(bit_life_of(self.frame.states[job.state]))
        return np.asarray(planned * self.bit_life * self.answers.scale(job.state, BIT_LIFE))

    def _changes(self, job: Job, cutting: Array, trip: Array) -> Array:
        """Return the time of trips for new bits, out and in from the step's bottom."""
        state, life = self.frame.states[job.state], self.life(job)
        if not np.isfinite(life).all():
            return np.zeros(len(life))
        count = np.maximum(np.ceil(cutting / life - 1e-9) - 1.0, 0.0)
        return 2.0 * count * _one_trip(state) * trip * self.handling

    def _barrels(self, job: Job, trip: Array) -> Array:
        hole = self.frame.hole
        barrel, coring = hole.inventory.core_barrel, hole.plan.coring
        assert barrel is not None
        assert coring is not None
        top, bottom = interval(self.frame, self.legs, job)
        runs = runs_needed(bottom - top, barrel.barrel_length) + coring.contingency_runs
        if not barrel.wireline:
            one = 2.0 * _one_trip(self.frame.states[job.state]) * trip
        else:
            runs = runs * self.answers.scale(job.state, BARRELS)
            depth = self._below_floor(bottom)
            speed, ends = barrel.wireline_speed, barrel.handling_time
            one = np.asarray(wireline_round_trip_time(depth, speed, ends))
        return np.asarray(runs * one * self.handling)

    def _joints(self, job: Job, state: HoleState) -> Array:
        casing, joint = state.activity.casing, self.frame.hole.vessel.handling.casing_joint_length
        assert casing is not None
        length = np.nan_to_num(self.legs.shoe - self.legs.hung)[:, job.string]
        return np.asarray(joint_count(length, joint) / joint_count(casing.shoe - casing.top, joint))


def _due(job: Job, name: str) -> bool:
    """Return whether a part is a test that fell due in the plan: members have their own."""
    return name == TEST and job.kind not in TESTS_PREVENTER


def _one_trip(state: HoleState) -> float:
    return next(float(part) for part in state.times if part.name == "pull out")


@kept(FEW)
def _like(frame: Frame, job: Job) -> Job:
    """Return the job of the plan whose pattern a job follows."""
    section = frame.strings[job.string].section
    string = [n for n, one in enumerate(frame.strings) if one.section == section][-1]
    return Job(job.state, job.kind, string)
