"""A reach in words and tables, the same for every face."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bathybore.base.depth import Depth
from bathybore.base.units import UnitSystem, show
from bathybore.usecases.ledger import DAY
from bathybore.usecases.placing_told import ToldTable, Topic, number
from bathybore.usecases.reach import CAUTION, Bite, Reach, Relief, slug

_INSTEAD: Final = " instead of "
_LEAST_DAYS: Final = 0.05  # shorter differences are not told


@dataclass(frozen=True, eq=False)
class ReachTold:
    """A reach, as a topic."""

    found: Reach
    name = "reach"

    def topic(self, units: UnitSystem) -> Topic:
        """Return it in the units of the reader."""
        found = self.found
        return Topic(
            name=self.name,
            title=f"Reach of {found.hole.name}",
            facts=tuple(_facts(found, units)),
            tables=tuple(_tables(found, units)),
            records=found.records,
            caution=CAUTION,
            numbers={"bites": [_numbers(one) for one in found.bites], "members": found.members},
        )


def _facts(found: Reach, units: UnitSystem) -> list[tuple[str, str]]:
    first = found.bites[0]
    rows = [
        ("Target", found.target.show(units)),
        ("Known down to", f"{found.deepest.show(units)}, the end of the earth table"),
    ]
    if first.depth is None:
        return [("Bites first", "no limit, within what is known of the earth"), *rows]
    where = "above the target" if first.short else "below the target"
    rows.insert(0, ("Bites first", f"{first.limit}, at {first.depth.show(units)}, {where}"))
    return [*rows, *(reliefs_told(found, units) if found.sought else ())]


def where(depth: Depth | None, asked_to: Depth, units: UnitSystem) -> str:
    """Return a depth below the sea bed; one that is not known lies below all that was asked."""
    if depth is None:
        return f"> {metres(asked_to.metres, units)}"
    return metres(depth.metres, units)


def metres(length: float, units: UnitSystem) -> str:
    if not np.isfinite(length):
        return "deeper"
    return show(length, "m", units, significant=4)


def numbers_of(bite: Bite, units: UnitSystem) -> str:
    """Return what is asked and what there is where a limit bites."""
    judged = bite.judged
    if judged is None or judged.demand is None or judged.capacity is None:
        return "see window" if not bite.check and bite.depth is not None else ""
    need, have = (_shown(float(one), one.unit, units) for one in (judged.demand, judged.capacity))
    return f"{need} of {have}"


def _shown(value: float, unit: str, units: UnitSystem) -> str:
    if unit == "s" and value > DAY:
        return f"{value / DAY:.1f} days"
    return show(value, unit, units, significant=4)


def _tables(found: Reach, units: UnitSystem) -> list[ToldTable]:
    spread = found.members > 0
    columns = ("limit", "bites at", *(("P10", "P50", "P90") if spread else ()))
    columns = (*columns, "question", "asked of there is")
    rows = []
    for bite in found.bites:
        cells = [str(bite.limit), where(bite.depth, bite.asked_to, units)]
        if spread:
            one = bite.spread
            levels = (one.p10, one.p50, one.p90) if one is not None else (np.nan,) * 3
            cells += [metres(level, units) if not np.isnan(level) else "" for level in levels]
        rows.append((*cells, bite.check, numbers_of(bite, units)))
    title = "Where each limit bites if it were alone, in depth below the sea bed"
    if spread:
        title += (
            f". Of {found.members} members one, five and nine in ten are bitten at P10, P50, P90 "
            "or higher"
        )
    return [ToldTable(title, columns, tuple(rows))]


def reliefs_told(found: Reach, units: UnitSystem) -> list[tuple[str, str]]:
    """Return every limit that bites with its relief in words, the first to bite first."""
    biting = [one for one in found.bites if one.depth is not None]
    return [(f"Relief: {one.limit}", relief_told(one, found, units)) for one in biting]


def relief_told(bite: Bite, found: Reach, units: UnitSystem) -> str:
    """Return a relief in words: what is changed, where the limit bites then, what it costs."""
    relief = bite.relief
    if relief is None:
        return "nothing that was tried helps"
    words = f"{', and '.join(_together(relief.changes))} ({relief.effort}{_costs(relief, found)}). "
    if relief.reaches is None:
        words += f"Then it bites nowhere down to {metres(bite.asked_to.metres, units)}"
    else:
        words += f"Then it bites at {metres(relief.reaches.metres, units)}"
    words += "." if relief.enough else ": not enough."
    if relief.then_fails:
        some = ", ".join(relief.then_fails[:3])
        more = len(relief.then_fails) - 3
        words += f" But then fails: {some}" + (f" and {more} more." if more > 0 else ".")
    return words


def _together(changes: tuple[str, ...]) -> tuple[str, ...]:
    """Return changes with what is changed a second time told once, from the first to the last."""
    told: list[str] = []
    for change in changes:
        new, _, old = change.partition(_INSTEAD)
        for at, before in enumerate(told):
            there, _, first = before.partition(_INSTEAD)
            begin, found, end = there.partition(old or _INSTEAD)
            if old and found and new.startswith(begin) and new.endswith(end):
                told[at] = f"{new}{_INSTEAD}{first}"
                break
        else:
            told.append(change)
    return tuple(told)


def _costs(relief: Relief, found: Reach) -> str:
    parts = []
    if np.isfinite(relief.days) and abs(relief.days) > _LEAST_DAYS * DAY:
        parts.append(f"{relief.days / DAY:+.1f} days")
    if relief.cost is not None and abs(float(relief.cost)) >= 1.0:
        parts.append(f"{float(relief.cost):+,.0f} {found.hole.prices.currency}")
    return "".join(f"; {part}" for part in parts)


def _numbers(bite: Bite) -> dict[str, Any]:
    relief, spread = bite.relief, bite.spread
    told: dict[str, Any] = {
        "limit": slug(bite.limit),
        "depth_below_sea_bed": _depth(bite.depth),
        "above_target": bite.short,
        "check": bite.check,
    }
    if spread is not None:
        told |= {"p10": number(spread.p10, "m"), "p50": number(spread.p50, "m")}
        told |= {"p90": number(spread.p90, "m")}
    if relief is not None:
        told["relief"] = {
            "changes": list(relief.changes),
            "effort": str(relief.effort),
            "then_bites_at": _depth(relief.reaches),
            "enough": relief.enough,
            "cost": None if relief.cost is None else number(float(relief.cost), "money"),
            "days": number(relief.days, "s"),
            "then_fails": list(relief.then_fails),
        }
    return told


def _depth(depth: Depth | None) -> dict[str, Any]:
    return number(np.nan if depth is None else depth.metres, "m")
