"""Where what members have runs out: stores, casing, bits, windows of weather, days."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.clock_of_members import Clock, Net, Rate
from bathybore.ensembles.legs_of_members import Job, Legs, strings_of
from bathybore.ensembles.shapes import RUNS_OUT, Drawn, Flags, Frame, Indices, Limit
from bathybore.ensembles.slender_strings import slender_reach
from bathybore.ensembles.stores_of_members import STORES, lengths
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_CHECK_OF: Final = {
    "mud": "mud-stock",
    "barite": "barite-stock",
    "cement": "cement-stock",
    "cement_water": "drill-water-stock",
}
_STORED: Final = {
    "mud": "mud_volume",
    "barite": "barite",
    "cement": "cement",
    "cement_water": "drill_water",
}
CASING, BITS, PIPE = "casing-stock", "bit-stock", "pipe-stock"
WEATHER, DAYS = "weather-window", "days"
CHECKS: Final = (*_CHECK_OF.values(), CASING, BITS, PIPE, WEATHER, DAYS)
_ROUNDING: Final = 1e-9  # a stock used up to its last is enough


@dataclass(frozen=True, eq=False)
class Doing:
    """A step as members do it.

    Attributes
    ----------
    number : of the step among those of the members
    active : who does it
    top, bottom : (member) of the hole it makes; the same, where it makes none [m below sea bed]
    """

    number: int
    job: Job
    state: HoleState
    active: Flags
    net: Net
    top: Array
    bottom: Array

    def along(self, rate: Rate, share: Array) -> Array:
        """Return the depth (member) at a share of the time on bottom."""
        part = np.clip(share, 0.0, 1.0)
        if self.job.kind is StepKind.DRILL:
            begun = rate.to(self.top)
            deep = rate.reached(begun + part * (rate.to(self.bottom) - begun))
            return np.clip(deep, self.top, self.bottom)
        return np.asarray(self.top + part * (self.bottom - self.top))


@dataclass(eq=False)
class Shortages:
    """Where limits first bite, noted as the steps go by; arrays (member).

    Attributes
    ----------
    depth : [m below sea bed]; infinite where a limit does not bite
    asked : step and check that bite first, as ``step * len(CHECKS) + check``; -1: none
    """

    frame: Frame
    legs: Legs
    clock: Clock
    drawn: Drawn
    depth: dict[Limit, Array] = field(default_factory=dict)
    asked: dict[Limit, Indices] = field(default_factory=dict)
    _pipe: dict[str, Array] = field(default_factory=dict)  # run so far, by stock
    _cut: dict[int, Array] = field(default_factory=dict)  # time on bottom, by step of the plan

    def __post_init__(self) -> None:
        for limit in RUNS_OUT:
            self.depth[limit] = np.full(self.drawn.count, np.inf)
            self.asked[limit] = np.full(self.drawn.count, -1, dtype=np.intp)

    def number(self, key: str, planned: float) -> Array:
        """Return a number of the hole (member), as planned where it is not drawn."""
        return self.drawn.number(key, planned)[:, 0]

    @cached_property
    def _days(self) -> Array:
        """The time there is: the days available, or the vessel's endurance [s]."""
        hole = self.frame.hole
        if hole.basis.days_available is None:
            return self.number("vessel.endurance", hole.vessel.endurance)
        return self.number("design_basis.days_available", hole.basis.days_available)

    def note(self, limit: Limit, where: Flags, depth: Array, step: int, check: str) -> None:
        """Take note that a limit bites some members at a depth."""
        first = where & (depth < self.depth[limit])
        if first.any():
            self.depth[limit] = np.where(first, depth, self.depth[limit])
            number = step * len(CHECKS) + CHECKS.index(check)
            self.asked[limit] = np.where(first, number, self.asked[limit])

    def stores(
        self, one: Doing, before: dict[str, Array], after: dict[str, Array], along: dict[str, Array]
    ) -> None:
        """Note where running totals pass what is on board.

        What a step uses is even over the depth that it makes, but for what is told ``along`` it.
        """
        stores = self.frame.hole.vessel.stores
        for store in STORES:
            field, calls = (
                _STORED[store],
                self.number("vessel.stores.resupplies", stores.resupplies),
            )
            there = self.number(f"vessel.stores.{field}", getattr(stores, field)) * (1.0 + calls)
            over = after[store] > there * (1.0 + _ROUNDING)
            if over.any():
                left, more = there - before[store], after[store] - before[store]
                if store in along:
                    deep = self._where_along(one, left, more, along[store])
                else:
                    share = np.divide(left, more, out=np.zeros(len(more)), where=more > 0.0)
                    deep = one.top + np.clip(share, 0.0, 1.0) * (one.bottom - one.top)
                self.note(Limit.STOCK, one.active & over, deep, one.number, _CHECK_OF[store])

    def _where_along(self, one: Doing, left: Array, more: Array, along: Array) -> Array:
        """Return the depth (member) at which what is left of a store is used."""
        nodes, (top, bottom) = self.frame.depth, (one.top[:, None], one.bottom[:, None])
        edges = np.clip(nodes, top, bottom)
        length = np.maximum(bottom - top, _ROUNDING)
        used = (more - along[:, -1])[:, None] * (edges - top) / length + along
        at = np.clip(np.count_nonzero(used <= left[:, None], axis=1) - 1, 0, len(nodes) - 2)
        rows = np.arange(len(at))
        low, high = used[rows, at], used[rows, at + 1]
        share = np.divide(left - low, high - low, out=np.zeros(len(at)), where=high > low)
        begun, ends = edges[rows, at], edges[rows, at + 1]
        return np.asarray(begun + np.clip(share, 0.0, 1.0) * (ends - begun))

    def casing(self, one: Doing) -> None:
        """Note where the pipe of a casing's stock ends."""
        pipe = strings_of(self.frame)[one.job.string].pipe
        assert pipe is not None
        length = np.where(one.active, lengths(self.legs, one.job.string), 0.0)
        run = self._pipe.get(pipe.name, np.zeros(len(length))) + length
        self._pipe[pipe.name] = run
        lacking = run - pipe.stock.length
        shoe = np.where(one.active, self.legs.shoe[:, one.job.string], 0.0)
        over = one.active & (lacking > pipe.stock.length * _ROUNDING)
        deep = np.maximum(shoe - lacking, 0.0)
        self.note(Limit.STOCK, over, deep, one.number, CASING)

    def bits(self, one: Doing) -> None:
        """Note where the last bit of a section is worn."""
        life = self.clock.life(one.job) * self._bits_on_board(one.state)
        before = self._cut.get(one.job.state, np.zeros(len(life)))
        after = before + one.net.cutting
        self._cut[one.job.state] = after
        over = one.active & (after > life * (1.0 + _ROUNDING))
        if over.any():
            cutting = one.net.cutting
            share = np.divide(life - before, cutting, out=np.zeros(len(life)), where=over)
            self.note(Limit.STOCK, over, one.along(self.clock.rate, share), one.number, BITS)

    def slender_pipe(self, one: Doing) -> None:
        """Note from where the string has no more pipe that passes a casing above.

        Where a liner begins higher than planned, more of the string stands in it.
        """
        string = one.state.activity.string
        if string is None:
            return
        hole = self.frame.hole
        for at, kind in enumerate(strings_of(self.frame)[: one.job.string]):
            if kind.pipe is None:
                continue
            reach = slender_reach(hole.setting, hole.plan.strings[string.name], kind.pipe)
            there = one.active & self.legs.run[:, at]
            deep = np.where(there, self.legs.hung[:, at], 0.0) + reach
            over = there & (one.bottom > deep + reach * _ROUNDING)
            self.note(Limit.STOCK, over, np.maximum(deep, one.top), one.number, PIPE)

    def _bits_on_board(self, state: HoleState) -> Array | float:
        """Return how many bits of a step's size there are; 1 where none is: its life is endless."""
        inventory, section = state.hole.inventory, state.activity.section
        if state.step.kind is StepKind.CORE and inventory.core_barrel is not None:
            return self.number("inventory.core_barrel.bits", float(inventory.core_barrel.bits))
        wanted = (section.pilot_bit or section.hole_diameter) if section is not None else 0.0
        for at, bit in enumerate(inventory.bits):
            if abs(bit.diameter - wanted) < 1e-4:
                return self.number(f"inventory.bits[{at}].count", float(bit.count))
        return 1.0

    def weather(self, one: Doing, never: Flags, depth: Array) -> None:
        """Note where a step finds no window at all."""
        self.note(Limit.WEATHER, one.active & never, depth, one.number, WEATHER)

    def days(self, one: Doing, begun: Array, ends: Array, leaving: Array) -> None:
        """Note from where the days left no longer do.

        Parameters
        ----------
        begun, ends : (member) of the step, from arrival [s]
        leaving : (member) time to plug the hole, retrieve the riser and leave [s]
        """
        last = self._days - leaving
        late = one.active & (ends > last * (1.0 + _ROUNDING))
        if not late.any():
            return
        net, whole = one.net, one.net.whole
        known = late & np.isfinite(ends) & (whole > 0.0)
        nothing = np.zeros(len(whole))
        took = np.subtract(ends, begun, out=nothing.copy(), where=known)
        left = np.subtract(last, begun, out=nothing.copy(), where=known)
        on_bottom = np.divide(left * whole, took, out=nothing.copy(), where=took > 0.0)
        on_bottom = on_bottom - net.before - net.after
        share = np.divide(on_bottom, net.during, out=np.zeros(len(whole)), where=net.during > 0.0)
        self.note(Limit.DAYS, late, one.along(self.clock.rate, share), one.number, DAYS)

    def settle_days(self, days: Array, last_step: int) -> None:
        """Let the days bite those alone whose operation is not over in time."""
        late = days > self._days * (1.0 + _ROUNDING)
        self.depth[Limit.DAYS] = np.where(late, self.depth[Limit.DAYS], np.inf)
        self.asked[Limit.DAYS] = np.where(late, self.asked[Limit.DAYS], -1)
        self.note(Limit.DAYS, late, self.legs.end, last_step, DAYS)
