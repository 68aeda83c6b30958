"""What members spend until the vessel leaves: time, waiting, mud, barite, cement, steel, money.

A member does the plan's steps one after another (`legs_of_members`), each in its scaled time
(`clock_of_members`), longer by the trouble that was drawn. Without a series of weather the clock
runs by the plan's share of downtime, as in the walk. With one, work stops while the weather does
not allow it, and what is done at one go waits for weather that lasts as long as it takes in the
clear. A time that the plan fixes for a step has trouble and weather in it.

What runs out, and where: stores at the depth at which their running total passes what is and
will be on board; bits where the last one is worn; a casing where its stock ends. No window of
weather at all: the depth of the hole when the step would begin, and for the riser's retrieval
the depth at which it was run. Days: the depth from which there is just time left to pull out,
plug the hole, retrieve the riser and leave. What lacks for a casing bites just above its shoe:
a hole that ends there goes without it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.ensembles.cement_of_members import cement_over_planned
from bathybore.ensembles.clock_of_members import (
    TEST,
    Clock,
    Net,
    drawn_rate,
    interval,
)
from bathybore.ensembles.legs_of_members import NEAR, Job, jobs_of, legs_of
from bathybore.ensembles.numbers_of_members import FIXED, Answers
from bathybore.ensembles.prices_of_members import cost
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Indices, Limit, Made
from bathybore.ensembles.shortages import CHECKS, Doing, Shortages
from bathybore.ensembles.stores_of_members import STORES, Account, Mud, steel
from bathybore.ensembles.weather_of_members import calm_for, weather_clock
from bathybore.kernels.durations import operation_time, tests_within
from bathybore.operations.by_hand import BY_HAND
from bathybore.operations.steps import StepKind
from bathybore.operations.times import TESTS_PREVENTER
from bathybore.operations.weather_limits import AT_ONE_GO

MARK: Final = 100.0  # m between the depths at which the day is told
_DEEPENS: Final = (StepKind.SET_CONDUCTOR, StepKind.DRILL, StepKind.CORE)
_BY_HAND: Final = (StepKind.WAIT, *BY_HAND)
_CASES: Final = (StepKind.RUN_CASING, StepKind.CEMENT, StepKind.RELEASE)
_JUST: Final = 1e-3  # m above a shoe: a hole that ends there goes without the casing
_TEST_TIME: Final = "vessel.handling.preventer_test_time"
_TEST_INTERVAL: Final = "vessel.handling.preventer_test_interval"
_DOWNTIME: Final = "site.environment.share_of_time_exceeded"
_LEAVES: Final = (StepKind.PLUG, StepKind.RETRIEVE_RISER, StepKind.DEPART)


@dataclass(frozen=True, eq=False)
class Spent:
    """What some members spend; (member) unless said otherwise.

    Attributes
    ----------
    days, waiting : until the vessel leaves, and lost to weather of it [s]
    mud, barite, cement, steel : [m3], [kg], [kg], [kg]
    cost : [money]; NaN where the price of a day is not told
    day_at : (member, mark) time since arrival at which the bit first reaches the marks [s];
        NaN where it never does
    step_end : (member, step) time since arrival at the end of the steps of `step_names` [s]; of
        a step that a member leaves out, that of the step before
    bites : of STOCK, WEATHER and DAYS: depth at which it first bites [m below sea bed]; infinite
        where it does not above the hole's end
    asked : of the same, index in `asked_names` of what bites first; -1: nothing
    run : (member, string) whether the frame's strings are set
    """

    days: Array
    waiting: Array
    mud: Array
    barite: Array
    cement: Array
    steel: Array
    cost: Array
    day_at: Array
    step_end: Array
    bites: dict[Limit, Array]
    asked: dict[Limit, Indices]
    run: Flags


@kept(FEW)
def marks(frame: Frame) -> Array:
    """Return the depths at which the day is told, the target the last [m below sea bed]."""
    target = float(frame.depth[frame.target])
    depths = np.append(np.arange(MARK, target - NEAR, MARK), target)
    depths.setflags(write=False)
    return depths


@kept(FEW)
def step_names(frame: Frame) -> tuple[str, ...]:
    """Return the names of the members' steps; those of a spare string are named after it."""
    return tuple(_step_name(frame, job) for job in jobs_of(frame))


def _step_name(frame: Frame, job: Job) -> str:
    name = frame.states[job.state].step.name
    # a shoe is tested from the hole below it
    of = job.string - 1 if job.kind is StepKind.TEST_SHOE else job.string
    spare = of >= 0 and frame.strings[of].spare
    return f"{name.split('-')[0]}-{frame.strings[of].name}" if spare else name


@kept(FEW)
def asked_names(frame: Frame) -> tuple[str, ...]:
    """Return what can bite, as step and check, in the order that `Spent.asked` counts."""
    return tuple(f"{step}/{check}" for step in step_names(frame) for check in CHECKS)


def spent(frame: Frame, made: Made, end: Array, drawn: Drawn) -> Spent:
    """Return what members spend.

    Parameters
    ----------
    end : (member) depth at which the hole ends, whatever ends it; below the target the target
        counts [m below sea bed]
    """
    return _Run(frame, made, np.minimum(end, frame.depth[frame.target]), drawn).spent()


@dataclass(frozen=True, eq=False)
class _Passed:
    """When a step is done; arrays (member), from arrival [s].

    Attributes
    ----------
    begun : once the weather lets it begin
    ends : infinite where it never does
    lost : time that the weather takes
    never : no window is long enough: it is done in pieces
    """

    begun: Array
    ends: Array
    lost: Array
    never: Flags


class _Run:
    """The members of a chunk on their way through the steps."""

    def __init__(self, frame: Frame, made: Made, end: Array, drawn: Drawn) -> None:
        self.frame, self.drawn = frame, drawn
        self.legs = legs_of(frame, made.shoes, end)
        cement, rate = cement_over_planned(frame, self.legs, drawn), drawn_rate(frame, drawn)
        handling, life = drawn.number("handling_time")[:, 0], drawn.number("bit_life")[:, 0]
        answers = Answers.to(frame, drawn)
        self.clock = Clock(frame, self.legs, rate, handling, life, cement, answers)
        self.account = Account.of(made, drawn, self.clock)
        self.short = Shortages(frame, self.legs, self.clock, drawn)
        planned = frame.hole.site.environment.share_of_time_exceeded
        self.downtime = self.short.number(_DOWNTIME, planned)
        self.start = weather_clock(frame.hole, drawn.start)
        self.marks = marks(frame)
        none = np.zeros(drawn.count)
        self.elapsed, self.waiting, self.at = none, none, none
        self.riser, self.riser_at, self.tested = none > 0.0, none, none
        self.did_last = none > 0.0  # who did the last step that follows from the plan
        self.used, self.mud = dict.fromkeys(STORES, none), Mud(none, none)
        self.day_at = np.full((drawn.count, len(self.marks)), np.nan)

    def spent(self) -> Spent:
        ends = []
        jobs, leaving = jobs_of(self.frame), self._leaving()
        for number, job in enumerate(jobs):
            self._do(number, job, leaving)
            ends.append(self.elapsed)
        self.short.settle_days(self.elapsed, len(jobs) - 1)
        goods = {store: self.used[store] for store in ("mud", "barite", "cement")}
        goods["steel"] = steel(self.frame, self.legs)
        return Spent(
            days=self.elapsed,
            waiting=self.waiting,
            cost=cost(self.frame.hole.prices, self.elapsed, goods, self.drawn),
            day_at=self.day_at,
            step_end=np.stack(ends, axis=1),
            bites=self.short.depth,
            asked=self.short.asked,
            run=self.legs.run,
            **goods,
        )

    def _active(self, job: Job) -> Flags:
        """Return which members do a step."""
        goes_on, kind = self.at < self.legs.end - NEAR, job.kind
        if kind in (StepKind.DRILL, StepKind.CORE):
            top, bottom = interval(self.frame, self.legs, job)
            return np.asarray(bottom > top + NEAR)
        if kind is StepKind.TEST_SHOE:
            return self.legs.run[:, job.string - 1] & goes_on
        if kind is StepKind.RETRIEVE_RISER:
            return self.riser
        if kind is StepKind.RUN_RISER:
            return goes_on
        if kind in _BY_HAND and not self._leaves(job):
            done = goes_on | self.did_last
            return done & self.riser if kind is StepKind.TEST_PREVENTER else done
        if kind in _CASES:
            return self.legs.run[:, job.string]
        return np.ones(len(self.at), dtype=bool)

    def _leaves(self, job: Job) -> bool:
        """Return whether a step is part of leaving the hole: the plug, or what comes after it."""
        return job.kind in _LEAVES or bool(self.frame.states[job.state].plugs)

    def _do(self, number: int, job: Job, leaving: tuple[Array, Array]) -> None:
        state, active = self.frame.states[job.state], self._active(job)
        if job.kind not in _BY_HAND:
            self.did_last = active
        if not active.any():
            return
        top, bottom = self.at, self.at
        if job.kind in _DEEPENS:
            top, bottom = interval(self.frame, self.legs, job)
        elif job.kind in _CASES and job.string > 0:  # what lacks here keeps the shoe from being set
            top = bottom = np.where(active, self.legs.shoe[:, job.string] - _JUST, self.at)
        one = Doing(number, job, state, active, _masked(self.clock.net(job), active), top, bottom)
        passed, one = self._with_tests(one)
        self._mark(one, passed)
        self.short.weather(
            one,
            passed.never | np.isinf(passed.ends),
            self.riser_at if job.kind is StepKind.RETRIEVE_RISER else top,
        )
        if not self._leaves(job):
            leave = np.where(self.riser | (job.kind is StepKind.RUN_RISER), *leaving)
            self.short.days(one, passed.begun, passed.ends, leave)
        self._draw_on_stores(one)
        self.elapsed = np.where(active, passed.ends, self.elapsed)
        self.waiting = self.waiting + np.where(active, passed.lost, 0.0)
        self.at = np.where(active, np.maximum(self.at, bottom), self.at)
        if job.kind in TESTS_PREVENTER:
            self.tested = np.where(active, self.elapsed, self.tested)
        if job.kind is StepKind.RUN_RISER:
            self.riser_at = np.where(active, self.at, self.riser_at)
            self.riser = self.riser | active
        elif job.kind is StepKind.RETRIEVE_RISER:
            self.riser = self.riser & ~active

    def _with_tests(self, one: Doing) -> tuple[_Passed, Doing]:
        """Return when a step is done, with the tests of the preventer that fall due in it."""
        passed = self._pass(one)
        on = one.active & self.riser & np.isfinite(passed.ends)
        if one.job.kind in (StepKind.RETRIEVE_RISER, StepKind.TEST_PREVENTER) or not on.any():
            return passed, one
        handling, number = self.frame.hole.vessel.handling, self.short.number
        since = np.subtract(passed.ends, self.tested, out=np.zeros(len(on)), where=on)
        interval_ = number(_TEST_INTERVAL, handling.preventer_test_interval)
        due = np.asarray(tests_within(since, interval_))
        if not due.any():
            return passed, one
        self.tested = self.tested + due * interval_
        net = one.net
        test = number(_TEST_TIME, handling.preventer_test_time) * self.clock.handling
        after = net.after + due * test
        net = Net(net.before, net.during, after, net.cutting, net.pumping)
        one = Doing(one.number, one.job, one.state, one.active, net, one.top, one.bottom)
        return self._pass(one), one

    def _pass(self, one: Doing) -> _Passed:
        """Return when a step is done that begins when the last one ended."""
        whole, now, never = one.net.whole, self.elapsed, np.zeros(len(self.at), dtype=bool)
        fixed, kind = one.state.step.fixed_duration, one.job.kind
        if fixed is not None:
            answer = self.clock.answers.scale(one.job.state, FIXED)
            ends = now + float(fixed) * answer * self._over_planned(one)
            return _Passed(now, ends, np.zeros(len(now)), never)
        work = whole * (1.0 + self.drawn.trouble[:, one.job.state])
        calm = calm_for(self.frame.hole, kind)
        if calm is None:
            took = np.asarray(operation_time(work, 1.0, self.downtime))
            return _Passed(now, now + took, took - work, never)
        time, wait = self.start + now, np.zeros(len(now))
        if kind in AT_ONE_GO:
            wait = np.where(one.active, calm.wait(time, whole), 0.0)
            never = np.isinf(wait)
            wait = np.where(never, 0.0, wait)
        ends = calm.done(time + wait, work) - self.start
        known = np.isfinite(ends)
        lost = np.subtract(ends, now + work, out=np.full(len(now), np.inf), where=known)
        return _Passed(now + wait, ends, np.where(known, np.maximum(lost, 0.0), lost), never)

    def _over_planned(self, one: Doing) -> Array:
        """Return the time of a step in the clear over that of the plan."""
        due = one.job.kind not in TESTS_PREVENTER
        planned = sum(float(p) for p in one.state.times if not (due and p.name == TEST))
        clear = _masked(self.clock.net(one.job), one.active).whole
        return clear / planned if planned > 0.0 else np.where(one.active, 1.0, 0.0)

    def _leaving(self) -> tuple[Array, Array]:
        """Return the time (member) to leave a hole with the riser on, and without it [s]."""
        on, without = np.zeros(len(self.at)), np.zeros(len(self.at))
        for job in jobs_of(self.frame):
            state = self.frame.states[job.state]
            if not self._leaves(job):
                continue
            fixed = state.step.fixed_duration
            work = self.clock.net(job).whole * (1.0 + self.drawn.trouble[:, job.state])
            calm = calm_for(self.frame.hole, job.kind)
            share = 1.0 - self.downtime if calm is None else np.full(len(work), calm.share)
            took = np.divide(work, share, out=np.full(len(work), np.inf), where=share > 0.0)
            if fixed is not None:
                took = np.full(len(work), float(fixed))
            on = on + took
            without = without + (0.0 if job.kind is StepKind.RETRIEVE_RISER else took)
        return on, without

    def _mark(self, one: Doing, passed: _Passed) -> None:
        """Tell the day at the marks that a step drills through."""
        if one.job.kind not in _DEEPENS:
            return
        top, bottom, depth = one.top[:, None], one.bottom[:, None], self.marks[None, :]
        here = (one.active & np.isfinite(passed.ends))[:, None] & (depth > top) & (depth <= bottom)
        columns = np.flatnonzero(here.any(axis=0))
        if not len(columns):
            return
        here, depth = here[:, columns], np.broadcast_to(self.marks[columns], here[:, columns].shape)
        if one.job.kind is StepKind.DRILL:
            rate = self.clock.rate
            begun = rate.to(one.top)[:, None]
            cut, whole = rate.to(depth) - begun, rate.to(one.bottom)[:, None] - begun
        else:
            cut, whole = depth - top, np.broadcast_to(bottom - top, depth.shape)
        share = np.divide(cut, whole, out=np.zeros(depth.shape), where=here & (whole > 0.0))
        net, all_of_it = one.net, one.net.whole
        known = np.isfinite(passed.ends) & (all_of_it > 0.0)
        begun = np.where(known, passed.begun, 0.0)
        took = np.where(known, passed.ends, 0.0) - begun
        pace = np.divide(took, all_of_it, out=np.zeros(len(took)), where=known)
        clear = net.before[:, None] + share * net.during[:, None]
        day = begun[:, None] + pace[:, None] * clear
        self.day_at[:, columns] = np.where(here, day, self.day_at[:, columns])

    def _draw_on_stores(self, one: Doing) -> None:
        used, along, self.mud = self.account.used(one.job, one.active, one.net, self.mud)
        before = self.used
        self.used = {s: before[s] + used[s] if s in used else before[s] for s in STORES}
        if used:
            self.short.stores(one, before, self.used, along)
        if one.job.kind in (StepKind.RUN_CASING, StepKind.RUN_CONDUCTOR):
            self.short.casing(one)
        if one.job.kind in (StepKind.DRILL, StepKind.CORE):
            self.short.bits(one)
            self.short.slender_pipe(one)


def _masked(net: Net, active: Flags) -> Net:
    """Return the parts of a step for those who do it; nothing for the others."""
    parts = (net.before, net.during, net.after, net.cutting, net.pumping)
    return Net(*(np.where(active, part, 0.0) for part in parts))
