"""Reach and odds for the page."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings import odds as drawn_odds
from bathybore.drawings import reach as drawn_reach
from bathybore.drawings.picture import Picture
from bathybore.usecases.odds import USUAL, OddsFound
from bathybore.usecases.odds_told import OddsTold, rules_table
from bathybore.usecases.placing_told import Topic
from bathybore.usecases.reach import Reach
from bathybore.usecases.reach_told import ReachTold
from bathybore.web.outlook import MEMBERS
from bathybore.web.topic_page import TopicAnswer, no_topic, topic_answer

OddsPart = Literal["reach", "reliefs", "odds", "rules"]
_NO_RULES = "No string is set on a leak-off test that says enough: there is no rule to carry."


@dataclass(frozen=True)
class Progress:
    """What is being worked out for this hole, in words; empty when nothing is."""

    text: str


@dataclass(frozen=True)
class FirstBite:
    """What bites first, if it was worked out for the newest revision.

    Attributes
    ----------
    text : the limit and where it bites; empty where it is not known
    short : it bites above the target
    """

    revision: int
    text: str
    short: bool


def odds_answer(
    part: OddsPart, found: Reach | OddsFound, revision: int, units: UnitSystem
) -> TopicAnswer:
    """Return a part, texts in ``units``."""
    if isinstance(found, Reach):
        words = drawn_reach.in_words(found, units)
        return topic_answer(found.hole, ReachTold(found).topic(units), words, revision, units)
    if part == "rules":
        if not found.rules:
            return no_topic(_NO_RULES, revision)
        return topic_answer(found.hole, _rules_topic(found, units), "", revision, units)
    words = drawn_odds.in_words(found, units)
    return topic_answer(found.hole, _odds_topic(found, units), words, revision, units)


def _odds_topic(found: OddsFound, units: UnitSystem) -> Topic:
    topic = OddsTold(found).topic(units)
    told = f"{MEMBERS} for this page; `bathybore odds` draws {USUAL:,}, or as many as you like"
    return replace(topic, facts=(*topic.facts, ("Members", told)))


def _rules_topic(found: OddsFound, units: UnitSystem) -> Topic:
    topic = OddsTold(found).topic(units)
    facts = (
        ("Counted in", f"{found.odds.reached.of} members"),
        ("How to read it", "'so it was' counts members that read less, 'else' those that do not"),
    )
    tables = (rules_table(found.rules, units),)
    return replace(topic, title="Rules for the crew", facts=facts, tables=tables, records=())


def odds_page_picture(found: Reach | OddsFound, units: UnitSystem) -> Picture:
    if isinstance(found, Reach):
        return drawn_reach.reach_picture(found, units)
    return drawn_odds.odds_picture(found, units)


def first_bite(found: Reach | None, revision: int, units: UnitSystem) -> FirstBite:
    """Return what bites first of a reach that may not have been worked out."""
    if found is None:
        return FirstBite(revision, "", False)
    first = found.bites[0]
    if first.depth is None:
        return FirstBite(revision, "no limit, within what is known of the earth", False)
    return FirstBite(revision, f"{first.limit}, at {first.depth.show(units)}", first.short)
