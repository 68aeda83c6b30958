"""What the crew of a member made of the plan, as edits of its document: shoes, cement, muds, rate.

The walk has one mud a section: the one that the member's last node of it was drilled with, which
serves all of the section that is open. Below the depth at which a hole ended the plan stands as it
was. What has no place in the plan, a spare string, is said in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.bites import slowing
from bathybore.ensembles.evaluating import evaluated, held_back, members_of, spared
from bathybore.ensembles.ledger_depths import LedgerDepths
from bathybore.ensembles.legs_of_members import Legs, legs_of, planned_legs, strings_of
from bathybore.ensembles.members import member_files
from bathybore.ensembles.shapes import LIMITS, REACHED, Drawn, Frame, Made, Outcome, Policy
from bathybore.ensembles.slender_strings import widest_passing
from bathybore.model.editing import Draft
from bathybore.model.edits import Edit
from bathybore.model.hole_files import HoleFiles

_LEAST_CEMENT: Final = 50.0  # m of it above a shoe that is set higher than planned
_NEAR: Final = 1e-3  # m: depths closer than this are one
_Places: TypeAlias = tuple[float, float, float]
_RATE: Final = 1e-6  # a share of the rate closer to one than this is one


@dataclass(frozen=True)
class MadePlan:
    """What a crew made of the plan.

    Attributes
    ----------
    edits : of hole.yaml
    words : what they did otherwise than planned, and what has no place in the plan
    """

    edits: tuple[Edit, ...]
    words: str


def made_plan(frame: Frame, ledger: LedgerDepths, policy: Policy, drawn: Drawn) -> MadePlan:
    """Return what the crew of the one member that is drawn made of the plan."""
    if drawn.count != 1:
        raise ValueError(f"{drawn.count} members: one is written out at a time")
    outcome = evaluated(frame, ledger, policy, drawn)
    rate = held_back(frame, drawn)
    holes = spared(frame, policy, rate)
    return told_of(frame, holes, outcome, slowing(ledger, frame, holes, rate)[0])


def made_files(
    draft: Draft, frame: Frame, ledger: LedgerDepths, policy: Policy, drawn: Drawn, index: int
) -> HoleFiles:
    """Return the files of a hole that is a member as its crew made it.

    Parameters
    ----------
    draft : of the very files that the frame's hole was read from
    index : of the member among those drawn

    Raises
    ------
    InputErrors
        The drawn numbers do not fit together as a hole.
    """
    made = made_plan(frame, ledger, policy, members_of(drawn, slice(index, index + 1)))
    # a plan holds the bit back by a share of the rate alone: the table has the rate of which
    # that share is what the crew drills, not what softer or harder rock would give
    held = held_back(frame, drawn)
    return member_files(draft, frame, held, index, made.edits, made.words)


def told_of(frame: Frame, made: Made, outcome: Outcome, share: Array) -> MadePlan:
    """Return what became of one member, told as a plan.

    Parameters
    ----------
    share : (node) of the rate of penetration that the crew slowed down to
    """
    told = _Told(frame, made, outcome)
    edits = [*told.shoes(), *told.drill_strings(), *told.plugs()]
    edits += [*told.muds(), *told.rates(share), *told.left_out()]
    return MadePlan(tuple(edits), told.words(bool(edits)))


@dataclass(frozen=True, eq=False)
class _Told:
    """The one member of its ensemble, told as edits."""

    frame: Frame
    made: Made
    outcome: Outcome

    @cached_property
    def legs(self) -> Legs:
        return legs_of(self.frame, self.outcome.shoes, self.outcome.depth)

    @cached_property
    def strings(self) -> dict[int, int]:
        """The string of every section that is no spare."""
        every = enumerate(self.frame.strings)
        return {one.section: n for n, one in every if one.section >= 0 and not one.spare}

    def _sections(self) -> Iterator[tuple[int, int]]:
        """Yield the sections whose own casing was set, and its string."""
        for section, string in self.strings.items():
            cased = self.frame.hole.plan.sections[section].casing is not None
            if cased and self._is_set(string):
                yield section, string

    def _is_set(self, string: int) -> bool:
        """Return whether a string was set: not in the hole in which a member ended."""
        ended, shoe = float(self.outcome.depth[0]), float(self.legs.shoe[0, string])
        there = bool(self.outcome.reached[0]) or shoe < ended - _NEAR
        return bool(self.legs.run[0, string]) and there

    # ---- where the casings stand ------------------------------------------------------------

    def shoes(self) -> Iterator[Edit]:
        planned = planned_legs(self.frame)
        for section, string in self._sections():
            now, before = _places(self.legs, string), _places(planned, string)
            if max(abs(a - b) for a, b in zip(now, before, strict=True)) >= _NEAR:
                yield from self._casing(section, now, before)

    def _casing(self, section: int, now: _Places, before: _Places) -> Iterator[Edit]:
        """Yield the edits of a casing whose shoe, top, or shoe above stands elsewhere."""
        plan, below = self.frame.hole.plan.sections[section], self.frame.hole.frame.below_sea_bed
        casing, key = plan.casing, f"plan.sections[{section}]"
        assert casing is not None
        rat_hole = below(plan.bottom) - below(casing.shoe)
        yield _depth(f"{key}.bottom", now[0] + rat_hole)
        yield _depth(f"{key}.casing.shoe", now[0])
        if not isinstance(casing.hung_at, str):
            yield _depth(f"{key}.casing.hung_at", now[1])
        highest = now[0] - _LEAST_CEMENT
        if casing.cement.tail_top is not None:
            highest = below(casing.cement.tail_top) + now[0] - before[0]
            yield _depth(f"{key}.casing.cement.tail_top", highest)
        top = top_of_cement(below(casing.cement.top), now, before)
        yield _depth(f"{key}.casing.cement.top", min(top, highest))

    def left_out(self) -> Iterator[Edit]:
        """Yield the removal of sections whose place was lost to the one below, last first."""
        run = self.legs.run[0]
        for section, string in sorted(self.strings.items(), reverse=True):
            if not run[string] and any(map(self._is_set, range(string + 1, len(run)))):
                yield Edit("remove", key=f"plan.sections[{section}]")

    # ---- what goes through a liner that begins higher, and what closes it ---------------------

    def drill_strings(self) -> Iterator[Edit]:
        """Yield the parts that are made up longer, so that wider pipe stays above a liner."""
        hole, kinds = self.frame.hole, strings_of(self.frame)
        longer = dict[tuple[str, int], float]()
        for section, string in self._sections():
            top, pipe = float(self.legs.hung[0, string]), kinds[string].pipe
            if top <= 0.0 or pipe is None:
                continue
            for name, deepest in self._used_below(section):
                parts = hole.plan.strings[name]
                last = widest_passing(hole.setting, parts, pipe)
                lengths = [part.length for part in parts[: last + 1]]
                if 0 <= last < len(parts) - 1 and None not in lengths:
                    lacking = deepest - top - sum(one or 0.0 for one in lengths)
                    longer[name, last] = max(lacking, longer.get((name, last), 0.0))
        for (name, at), more in longer.items():
            length = hole.plan.strings[name][at].length
            if more > _NEAR and length is not None:
                key = f"plan.strings[{name}][{at}].length"
                yield Edit("set", key=key, text=f"{length + more:.10g} m")

    def _used_below(self, section: int) -> Iterator[tuple[str, float]]:
        """Yield the strings that go through a section's casing, and how deep [m below sea bed]."""
        plan, below = self.frame.hole.plan, self.frame.hole.frame.below_sea_bed
        for deeper, string in self.strings.items():
            if deeper > section:
                yield plan.sections[deeper].string, float(self.legs.bottom[0, string])
        if plan.coring is not None:
            yield plan.coring.string, min(below(plan.coring.bottom), float(self.legs.end[0]))
        yield plan.leaving.string, max(bottom for _, _, bottom in self._plugs())

    def plugs(self) -> Iterator[Edit]:
        for at, (moved, top, bottom) in enumerate(self._plugs()):
            if abs(moved) >= _NEAR:
                yield _depth(f"plan.leaving.plugs[{at}].top", top)
                yield _depth(f"plan.leaving.plugs[{at}].bottom", bottom)

    def _plugs(self) -> Iterator[tuple[float, float, float]]:
        """Yield how far a plug goes with the shoe that it lies across, its top and its bottom."""
        below, planned = self.frame.hole.frame.below_sea_bed, planned_legs(self.frame)
        for plug in self.frame.hole.plan.leaving.plugs:
            top, bottom, moved = below(plug.top), below(plug.bottom), 0.0
            for _, string in self._sections():
                before = float(planned.shoe[0, string])
                if top < before < bottom:
                    moved = float(self.legs.shoe[0, string]) - before
            yield moved, top + moved, bottom + moved

    # ---- with which mud ---------------------------------------------------------------------

    def muds(self) -> Iterator[Edit]:
        plan, tree = self.frame.hole.plan, self.frame.hole.tree
        used = [one.fluid for one in plan.sections]
        for section, density in self._densities():
            one = plan.sections[section]
            name, at_sea = one.fluid, one.returns != "riser"
            if not at_sea and used.count(name) == 1:
                yield Edit("set", key=f"plan.fluids[{name}].density", text=f"{density!r} kg/m3")
                continue
            like = one.pad_fluid or name if at_sea else name
            content: dict[str, Any] = dict(tree.at(("plan", "fluids", like)))
            new = _free(f"{one.name}-mud", plan.fluids)
            content["density"] = f"{density!r} kg/m3"
            yield Edit("put", key=f"plan.fluids[{new}]", content=content)
            yield Edit("set", key=f"plan.sections[{section}].fluid", text=new)
            if plan.coring is not None and section == len(plan.sections) - 1:
                yield Edit("set", key="plan.coring.fluid", text=new)

    def _densities(self) -> Iterator[tuple[int, float]]:
        """Yield the sections drilled with another mud than planned, and its density."""
        plan, depth = self.frame.hole.plan, self.frame.depth
        within = depth <= min(float(self.outcome.depth[0]), depth[self.frame.target]) + _NEAR
        for section, string in self.strings.items():
            nodes = np.flatnonzero((self.made.string[0] == string) & within)
            if nodes.size:
                density = float(self.made.density[0, nodes[-1]])
                planned = plan.fluids[plan.sections[section].fluid].density
                if abs(density - planned) > 1e-9 * planned:
                    yield section, density

    # ---- how fast ---------------------------------------------------------------------------

    def rates(self, share: Array) -> Iterator[Edit]:
        for section, string in self.strings.items():
            nodes = self.made.string[0] == string
            slower = float(share[nodes].min()) if nodes.any() else 1.0
            if slower < 1.0 - _RATE:
                factor = self.frame.hole.plan.sections[section].rate_of_penetration_factor
                key = f"plan.sections[{section}].rate_of_penetration_factor"
                yield Edit("set", key=key, text=repr(factor * slower))

    # ---- in words ---------------------------------------------------------------------------

    def words(self, changed: bool) -> str:
        crew = "Shoes, cement, muds and rates are those of its crew"
        told = [crew if changed else "Made as planned"]
        by, depth = int(self.outcome.ends_by[0]), float(self.outcome.depth[0])
        if by == REACHED:
            told.append("; it came to the target.")
        elif by >= 0:
            told.append(
                f"; {LIMITS[by]} ended it at {_bsb(depth)}, and below that the plan stands."
            )
        for string, one in enumerate(self.frame.strings):
            if one.spare and self._is_set(string):
                shoe = _bsb(float(self.legs.shoe[0, string]))
                told.append(
                    f" The spare {one.name} was set at {shoe}; this plan has no place for it."
                )
        return "".join(told)


def _places(legs: Legs, string: int) -> _Places:
    """Return shoe and top of a string, and the shoe above it [m below sea bed]."""
    return float(legs.shoe[0, string]), float(legs.hung[0, string]), float(legs.over[0, string])


def _bsb(depth: float) -> str:
    return f"{depth:.0f} m below the sea bed"


def top_of_cement(top: float, now: _Places, before: _Places) -> float:
    """Return the top of cement: at the string's top, as deep in the shoe above, or as high.

    Parameters
    ----------
    now, before : shoe, top and shoe above, of the member and of the plan [m below sea bed]
    """
    (shoe, hung, over), (shoe_before, hung_before, over_before) = now, before
    if top <= hung_before + _NEAR:
        return hung if hung > 0.0 else top
    if top < over_before:
        return max(over - (over_before - top), hung)
    return shoe - (shoe_before - top)


def _depth(key: str, depth: float) -> Edit:
    return Edit("set", key=key, text=f"{depth:.10g} m below sea bed")


def _free(name: str, taken: dict[str, Any]) -> str:
    """Return a name that is not taken."""
    found, number = name, 2
    while found in taken:
        found, number = f"{name}-{number}", number + 1
    return found
