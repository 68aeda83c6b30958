"""Odds in words and tables, the same for every face."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final, Protocol

import numpy as np

from bathybore.base.units import TEMPERATURE_DIFFERENCE, UnitSystem, show
from bathybore.ensembles.choosing import MOVES, Goal
from bathybore.ensembles.knowing import Choice
from bathybore.ensembles.odds import Cause, Odds, Share, Spread
from bathybore.ensembles.prices_of_members import not_priced
from bathybore.ensembles.rules import Rule
from bathybore.ensembles.sensitivity import Sensitivity
from bathybore.ensembles.shapes import Frame
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.uncertain import Change, Uncertain, Uncertainty
from bathybore.model.uncertainty import day_told
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import (
    CAUTION,
    CAUTION_OF_CHANCE,
    LONGER,
    Matters,
    OddsFound,
    Robust,
    Worth,
    in_words,
)
from bathybore.usecases.placing_told import ToldTable, Topic, number

_CALLED: Final = {
    "days": ("Days", "s"),
    "waiting": ("of them lost to weather", "s"),
    "cost": ("Cost", "money"),
    "mud": ("Mud built", "m3"),
    "barite": ("Barite", "kg"),
    "cement": ("Cement", "kg"),
    "steel": ("Steel set", "kg"),
}
_ANSWERED: Final = {
    "reached": "coming to the target",
    "depth": "the depth reached",
    "days": "the days spent",
    "cost": "the money spent",
}


def chance(share: Share) -> str:
    """Return a share with its interval."""
    if not share.of:
        return "none judged"
    return f"{share.share:.1%} ({share.low:.1%} to {share.high:.1%})"


class Gain(Protocol):
    """A gain with its 95 % interval."""

    @property
    def gain(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...


def gained(one: Gain, told: Callable[[float], str]) -> str:
    """Return a gain with its interval, each number as it is told."""
    return f"{told(one.gain)} ({told(one.low)} to {told(one.high)})"


def told_of(goal: Goal) -> Callable[[float], str]:
    """Return how a gain in what is wanted is told: in chance, days or money."""
    if goal is Goal.odds:
        return lambda value: f"{value:+.1%}"
    if goal is Goal.days:
        return lambda value: f"{value / DAY:+.1f} days"
    return lambda value: f"{value:+,.0f}"


def depth(metres: float, units: UnitSystem, known: float | None = None) -> str:
    """Return a depth below the sea bed; an infinite one lies deeper than the earth is known."""
    if np.isnan(metres):
        return "not told"
    if np.isfinite(metres):
        return show(metres, "m", units, significant=4)
    return "deeper" if known is None else f"> {show(known, 'm', units, significant=4)}"


def amount(value: float, unit: str, units: UnitSystem) -> str:
    """Return a quantity of `SPENT`; time as days."""
    if not np.isfinite(value):
        return "not told" if np.isnan(value) else "without end"
    if unit == "s":
        return f"{value / DAY:.1f} days"
    if unit == "money":
        return f"{value:,.0f}"
    return show(value, unit, units, significant=3)


def _spread(spread: Spread, unit: str, units: UnitSystem) -> tuple[str, str, str, str]:
    values = (spread.p10, spread.p50, spread.p90, spread.mean)
    p10, p50, p90, mean = (amount(value, unit, units) for value in values)
    return p10, p50, p90, mean


@dataclass(frozen=True, eq=False)
class OddsTold:
    """The odds, as a topic."""

    found: OddsFound
    name = "odds"

    def topic(self, units: UnitSystem) -> Topic:
        found, odds = self.found, self.found.odds
        return Topic(
            name=self.name,
            title=f"Odds of {found.hole.name}",
            facts=tuple(_facts(found, units)),
            tables=(
                _sections(odds, units),
                _causes(odds, units),
                *([_spent(odds, units)] if odds.reached.count else []),
                _bites(odds, float(found.ensemble.frame.depth[-1]), units),
                *([rules_table(found.rules, units)] if found.rules else []),
                assumed(found.uncertainty, units),
            ),
            records=found.records,
            caution=CAUTION,
            numbers=_numbers(odds),
        )


def _facts(found: OddsFound, units: UnitSystem) -> Iterator[tuple[str, str]]:
    odds = found.odds
    yield "Target reached", f"{chance(odds.reached)} of {odds.reached.of} members"
    yield "What is asked", LONGER
    strings = ", ".join(f"{count} in {of}" for count, of in odds.strings)
    at_target = f"{strings} members at the target" if strings else "no member came to the target"
    yield "Strings set", at_target
    if odds.spent["days"].of:
        p10, p50, p90, _ = _spread(odds.spent["days"], "s", units)
        yield "Days", f"P10 {p10}, P50 {p50}, P90 {p90}, of those at the target"
    yield "Drawn", f"seed {found.order.seed}; {_told_of(found.uncertainty)}"
    if left_out := not_priced(found.hole.prices):
        yield "Money", left_out
    if odds.unjudged:
        first, why = odds.unjudged[0]
        yield "Not judged", f"{len(odds.unjudged)} members, the first {first}: {why}"
    if unasked := found.ensemble.ledger.unjudged:
        each = "; ".join(f"{check} ({why})" for check, why in unasked)
        yield "Not asked", f"of the ledger: {each}"
    if spares := [one.name for one in found.ensemble.frame.strings if one.spare]:
        what = "strength, running, clearance and the test of the shoe; their cement is asked"
        yield "Not asked", f"of {', '.join(spares)}: {what}"
    for one in found.ensemble.ledger.numbers:
        checks = dict.fromkeys(found.ensemble.ledger.tables[at].check for at in sorted(one.moved))
        yield f"Drawn: {one.key}", f"moves {', '.join(checks)}" if checks else "moves no question"
        if one.not_asked:
            yield "Not asked", f"at {len(one.not_asked)} of its values: {one.not_asked[0]}"
    if answered := found.ensemble.ledger.answered:
        names = ", ".join(dict.fromkeys(check for check, _ in answered))
        yield "Ends no hole", f"{len(answered)} questions: {names}"


def _told_of(uncertainty: Uncertainty) -> str:
    if uncertainty.told:
        return "what is uncertain as uncertainty.yaml tells, defaults for the rest"
    return "no uncertainty.yaml: every spread is a default"


def _sections(odds: Odds, units: UnitSystem) -> ToldTable:
    rows = tuple((one.name, depth(one.bottom, units), chance(one.share)) for one in odds.sections)
    columns = ("hole for", "planned bottom below sea bed", "comes to it (95 %)")
    return ToldTable("Chance of each section", columns, rows)


def _causes(odds: Odds, units: UnitSystem) -> ToldTable:
    columns = ("ended by", "share (95 %)", "P10", "P50", "P90 below sea bed", "which check", "such")
    rows = tuple(_cause(one, units) for one in odds.causes)
    return ToldTable("What ends the holes that do not come to the target", columns, rows)


def _cause(one: Cause, units: UnitSystem) -> tuple[str, ...]:
    checks = ", ".join(f"{name} ({count})" for name, count in one.checks[:2]) or "the window"
    members = ", ".join(str(member) for member in one.members)
    levels = (one.depth.p10, one.depth.p50, one.depth.p90)
    return (
        str(one.limit),
        chance(one.share),
        *(depth(level, units) for level in levels),
        checks,
        members,
    )


def _spent(odds: Odds, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (label, *_spread(odds.spent[name], unit, units))
        for name, (label, unit) in _CALLED.items()
        if odds.spent[name].of and not np.isnan(odds.spent[name].p50)
    )
    columns = ("spent", "P10", "P50", "P90", "mean")
    return ToldTable("Spent by those that come to the target", columns, rows)


def _bites(odds: Odds, known: float, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            str(one.limit),
            *(
                depth(level, units, known)
                for level in (one.depth.p10, one.depth.p50, one.depth.p90)
            ),
            f"{one.share.share:.1%}",
        )
        for one in odds.bites
    )
    columns = ("limit", "P10", "P50", "P90 below sea bed", "above the target")
    return ToldTable("Where each limit bites first, asked alone", columns, rows)


def rules_table(rules: tuple[Rule, ...], units: UnitSystem) -> ToldTable:
    """Return the rules that a crew can carry."""
    columns = ("test below", "if it reads less than", "then", "so it was", "else", "section")
    return ToldTable(
        "Rules for the crew: leak-off tests, as densities to the drill floor",
        columns,
        tuple(_rule(rule, units) for rule in rules),
    )


def _rule(rule: Rule, units: UnitSystem) -> tuple[str, ...]:
    to = f"to {rule.section}, {depth(rule.bottom, units)}"
    if np.isnan(rule.threshold):
        told = f"closed early in {chance(rule.early)} whatever it read"
        return rule.shoe, "no reading tells", "plan as it stands", told, "", to
    do = f"set {rule.set_first}" if rule.set_first else "no string helps: stop"
    where = f"by {depth(rule.closes.p10, units)} to {depth(rule.closes.p90, units)}"
    return (
        rule.shoe,
        show(rule.threshold, "kg/m3", units, significant=4),
        f"{do} {where}",
        f"closed early in {rule.early_below.share:.0%}",
        f"closed early in {rule.early_above.share:.0%}",
        to,
    )


def assumed(uncertainty: Uncertainty, units: UnitSystem) -> ToldTable:
    """Return what is uncertain and where that is from."""
    rows = [
        (one.key, _law(one, units), one.meaning or "number of the hole", str(one.origin))
        for one in uncertainty.quantities
        if not one.certain
    ]
    rows += _happens(uncertainty, units)
    return ToldTable("What is uncertain", ("quantity", "spread", "meaning", "from"), tuple(rows))


def _happens(uncertainty: Uncertainty, units: UnitSystem) -> Iterator[tuple[str, str, str, str]]:
    """Yield what of the hole may be one way or another: alternatives, trouble, arrival."""
    for one in uncertainty.alternatives:
        each = "; ".join(_change(change, uncertainty, units) for change in one.changes)
        yield one.name, f"{one.weight:.0%} of the members", each or "as planned", UNCERTAINTY_FILE
    for step, trouble in uncertainty.trouble.items():
        share = (
            "what the trouble factor leaves"
            if trouble.mean_share is None
            else (f"{trouble.mean_share:.0%} of its time")
        )
        spread = f"chance {trouble.chance:.0%}, then a mean of {share}"
        spread += f", variation {trouble.variation:g}"
        where = trouble.where or "assumed"
        yield f"trouble in {step or 'every other step'}", spread, "time of a step", where
    arrival = uncertainty.arrival
    if arrival.earliest < arrival.latest:
        days = f"{day_told(arrival.earliest)} to {day_told(arrival.latest - 1.0)}"
        spread = "any time that the weather is known for" if arrival.any_time else days
        yield "arrival", spread, "season, and with it the weather", str(arrival.origin)


def _change(change: Change, uncertainty: Uncertainty, units: UnitSystem) -> str:
    """Return in words what an alternative changes."""
    of = uncertainty.by_key[change.of]
    if change.times != 1.0 or change.add == 0.0:
        told = f"{change.of} times {change.times:g}"
    else:
        unit = "kg/m3" if of.is_pressure else of.unit
        unit = TEMPERATURE_DIFFERENCE if unit == "K" else unit
        told = f"{change.of} {show(change.add, unit, units, significant=3)} more"
    ends = [
        f"{word} {depth(end, units)} below the sea bed"
        for word, end in (("from", change.top), ("to", change.bottom))
        if np.isfinite(end)
    ]
    return " ".join([told, *ends])


def _law(one: Uncertain, units: UnitSystem) -> str:
    """Return a distribution in words."""
    law = one.law

    def told(value: float) -> str:
        return f"{value:g}" if one.unit == "-" else show(value, one.unit, units, significant=3)

    if law.values:
        return f"one of {len(law.values)} values, {told(law.values[0])} to {told(law.values[-1])}"
    parts = ", ".join(f"{name.replace('_', ' ')} {told(value)}" for name, value in law.numbers)
    length = ""
    if one.correlation_length is not None:
        length = f", alike over {show(one.correlation_length, 'm', units, significant=3)}"
    return f"{law.name}, {parts}{length}"


# ---- what matters ------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class MattersTold:
    """What matters, as a topic."""

    found: Matters
    name = "matters"

    def topic(self, units: UnitSystem) -> Topic:
        found = self.found
        tables = [_shares(answer, rows) for answer, rows in found.shares.items()]
        tables += [_swings(found, answer, units) for answer in found.swings]
        facts = [("Members", f"{found.members} in each of {found.runs} runs")]
        if not found.shares:
            facts.append(("Nothing varies", "all members give the same answers"))
        return Topic(
            name=self.name,
            title="What matters",
            facts=tuple(facts),
            tables=tuple(tables),
            records=(),
            caution="Shares of the variance are of these spreads, assumed ones included: a "
            "quantity that is better known than said matters less than it seems. " + CAUTION,
            numbers={
                answer: [
                    {
                        "group": one.group,
                        "first": one.first.share,
                        "total": one.total.share,
                    }
                    for one in rows
                ]
                for answer, rows in found.shares.items()
            },
        )


def _shares(answer: str, rows: tuple[Sensitivity, ...]) -> ToldTable:
    return ToldTable(
        f"Shares of the variance of {_ANSWERED[answer]} (Sobol)",
        ("uncertain", "alone (first order)", "with all it acts through (total)"),
        tuple(
            (
                one.group,
                f"{one.first.share:.2f} ({one.first.low:.2f} to {one.first.high:.2f})",
                f"{one.total.share:.2f} ({one.total.low:.2f} to {one.total.high:.2f})",
            )
            for one in rows
        ),
    )


def _swings(found: Matters, answer: str, units: UnitSystem) -> ToldTable:
    def told(value: float) -> str:
        if answer == "reached":
            return f"{value:.0%}"
        if answer == "depth":
            return depth(value, units)
        return amount(value, "s" if answer == "days" else "money", units)

    def row(one: Any) -> tuple[str, ...]:
        if answer == "reached":  # of a yes or no the share says it
            return (one.group, told(one.spread.mean))
        return (one.group, told(one.spread.p10), told(one.spread.p50), told(one.spread.p90))

    columns: tuple[str, ...] = ("uncertain", "P10", "P50", "P90")
    if answer == "reached":
        columns = ("uncertain", "chance")
    title = f"One uncertainty alone: {_ANSWERED[answer]}, {told(found.planned[answer])} as planned"
    return ToldTable(title, columns, tuple(row(one) for one in found.swings[answer]))


# ---- what to find out --------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class WorthsTold:
    """What measurements are worth, as a topic."""

    found: tuple[Worth, ...]
    name = "knowing"

    def topic(self, units: UnitSystem) -> Topic:
        rows = tuple(
            (
                one.reading.told(units),
                _takes(one),
                gained(one.odds, told_of(Goal.odds)),
                gained(one.days, told_of(Goal.days)),
                f"{one.odds.perfect:.1%}, {one.days.perfect / DAY:.1f} days",
            )
            for one in self.found
        )
        tables = [
            ToldTable(
                "Worth before the strings below are decided on",
                (
                    "measured",
                    "it takes",
                    "chance gained (95 %)",
                    "days saved (95 %)",
                    "knowing all",
                ),
                rows,
            )
        ]
        # what is no better than chance is no advice
        tables += [_choices(one, units) for one in self.found if one.odds.low > 0.0]
        return Topic(
            name=self.name,
            title="What it is worth to know more",
            facts=(
                (
                    "Worth",
                    "chosen on one half of the members, counted on the other: what is worth "
                    "nothing comes out about zero, on either side of it",
                ),
                (
                    "Decided between",
                    f"the plan, the next shoe {_moves(units)} higher or deeper, spares on board or "
                    "not where none stands yet",
                ),
                (
                    "Days saved",
                    "a hole that is lost is made again, as often as it takes; less the time that "
                    "the measurement itself takes",
                ),
            ),
            tables=tuple(tables),
            records=(),
            caution="How well a measurement tells and what it takes stand under `measurements` "
            "in uncertainty.yaml, and are assumed where it does not say so. " + CAUTION_OF_CHANCE,
            numbers={
                one.reading.what: {
                    "chance": one.odds.gain,
                    "takes": number(one.reading.takes, "s"),
                    "days": number(one.days.gain, "s"),
                    "chance_if_all_were_known": one.odds.perfect,
                }
                for one in self.found
            },
        )


def _choices(one: Worth, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            _between(choice, one.reading.unit, units),
            one.action(choice.action, units),
            f"{choice.worth:.1%}",
            f"{choice.worth_without:.1%}",
        )
        for choice in one.odds.choices
    )
    columns = ("it reads", "do", "chance then", f"else ({one.action(one.odds.action, units)})")
    return ToldTable(f"What to do by {one.reading.told(units)}", columns, rows)


def _moves(units: UnitSystem) -> str:
    """Return how far a shoe is moved, in words."""
    by = sorted({abs(one) for one in MOVES})
    return " or ".join(show(one, "m", units, significant=3) for one in by)


def _takes(one: Worth) -> str:
    """Return the time and the money that a measurement takes; the money with the vessel's."""
    reading, prices = one.reading, one.frame.hole.prices
    told = f"{reading.takes / DAY:.1f} days" if reading.takes > 0.0 else "no more time"
    money = reading.cost + (prices.day_rate or 0.0) * reading.takes
    return f"{told}, {money:,.0f} {prices.currency}" if money > 0.0 else told


def _between(choice: Choice, unit: str, units: UnitSystem) -> str:
    low, high = (show(v, unit, units, significant=4) for v in (choice.low, choice.high))
    if not np.isfinite(choice.low):
        return f"less than {high}" if np.isfinite(choice.high) else "anything"
    return f"{low} to {high}" if np.isfinite(choice.high) else f"{low} or more"


# ---- what to change ----------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class RobustTold:
    """The best policy, as a topic."""

    found: Robust
    frame: Frame
    name = "robust"

    def topic(self, units: UnitSystem) -> Topic:
        found, chosen = self.found, self.found.chosen
        names = [one.name for one in self.frame.planned]
        rows = tuple(
            (name, depth(before, units), depth(after, units))
            for name, before, after in zip(
                names, chosen.planned.bottoms, chosen.policy.bottoms, strict=True
            )
        )
        goal = {
            Goal.odds: "the greatest chance of the target",
            Goal.days: "the fewest days, a lost hole being made again",
            Goal.cost: "the least money, a lost hole being made again",
        }[chosen.goal]
        if chosen.level is not None:
            goal += f", in the worst of {chosen.level:.0%} of the members"
        return Topic(
            name=self.name,
            title="The plan that stands most",
            facts=(
                ("Wanted", goal),
                ("Found", f"{self._words(units)}; {chosen.tried} plans asked of the same members"),
                ("Target reached", f"{chance(chosen.reached)}"),
                ("As planned", f"{chance(chosen.reached_planned)}"),
                ("Gained", self._gained()),
            ),
            tables=(
                ToldTable("Bottoms below the sea bed", ("hole for", "planned", "found"), rows),
                *([rules_table(found.rules, units)] if found.rules else []),
            ),
            records=(),
            caution="Shoes are moved one by one round the plan: a wholly other plan may be "
            "better. Walk it before you choose it: `bathybore check`. " + CAUTION_OF_CHANCE,
            numbers={
                "bottoms": number(chosen.policy.bottoms, "m"),
                "spares": chosen.policy.spares,
                "chance": chosen.reached.share,
                "chance_as_planned": chosen.reached_planned.share,
                "gain": chosen.gain,
            },
        )

    def _words(self, units: UnitSystem) -> str:
        chosen = self.found.chosen
        return in_words(self.frame, chosen.planned, chosen.policy, units)

    def _gained(self) -> str:
        chosen = self.found.chosen
        shown = f"{gained(chosen, told_of(chosen.goal))} on members that took no part in the choice"
        if chosen.policy == chosen.planned or chosen.low > 0.0:
            return shown
        return f"{shown}: they do not show that it is better than the plan"


def _numbers(odds: Odds) -> dict[str, Any]:
    def share(one: Share) -> dict[str, Any]:
        return {"count": one.count, "of": one.of, "low": one.low, "high": one.high}

    def spread(one: Spread, unit: str) -> dict[str, Any]:
        return {
            "of": one.of,
            "p10": number(one.p10, unit),
            "p50": number(one.p50, unit),
            "p90": number(one.p90, unit),
            "mean": number(one.mean, unit),
        }

    return {
        "members": odds.count,
        "not_judged": {str(member): why for member, why in odds.unjudged},
        "reached": share(odds.reached),
        "sections": {
            one.name: {"bottom": number(one.bottom, "m"), **share(one.share)}
            for one in odds.sections
        },
        "strings": {str(count): of for count, of in odds.strings},
        "causes": [
            {
                "limit": str(one.limit),
                **share(one.share),
                "depth": spread(one.depth, "m"),
                "checks": dict(one.checks),
                "members": list(one.members),
            }
            for one in odds.causes
        ],
        "bites": {
            str(one.limit): {**spread(one.depth, "m"), "above_target": one.share.share}
            for one in odds.bites
        },
        "spent": {name: spread(odds.spent[name], unit) for name, (_, unit) in _CALLED.items()},
    }
