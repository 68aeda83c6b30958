"""Reach and odds for the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Annotated, Final, Literal, TypeAlias, TypeGuard, get_args

from pydantic import Field

from bathybore.base.units import UnitSystem
from bathybore.drawings import knowing as drawn_knowing
from bathybore.drawings import odds as drawn_odds
from bathybore.drawings import odds_architectures as drawn_architectures
from bathybore.drawings import odds_relief as drawn_relief
from bathybore.drawings import odds_walked as drawn_walked
from bathybore.drawings import reach as drawn_reach
from bathybore.drawings import robust as drawn_robust
from bathybore.drawings import tornado as drawn_matters
from bathybore.drawings.picture import Picture
from bathybore.model.hole import Hole
from bathybore.reports.odds import part_picture
from bathybore.usecases.odds import USUAL, OddsFound
from bathybore.usecases.odds_architectures import ArchitecturesTold
from bathybore.usecases.odds_told import (
    MattersTold,
    OddsTold,
    RobustTold,
    WorthsTold,
    rules_table,
)
from bathybore.usecases.odds_walked import WalkedTold
from bathybore.usecases.placing_told import Topic
from bathybore.usecases.reach import Reach
from bathybore.usecases.reach_told import ReachTold
from bathybore.web.long_work import Job, State
from bathybore.web.outlook import MEMBERS, Question, SlowFound, SlowPart
from bathybore.web.shapes import Units
from bathybore.web.topic_page import TopicAnswer, no_topic, topic_answer

OddsPart: TypeAlias = Literal[
    "reach",
    "reliefs",
    "odds",
    "rules",
    "matters",
    "knowing",
    "robust",
    "architectures",
    "relief",
    "walked",
]
MOST_MEMBERS: Final = 20_000  # of a page; more are for the command
SLOW: Final[tuple[SlowPart, ...]] = get_args(SlowPart)
_NO_RULES = "No string is set on a leak-off test that says enough: there is no rule to carry."


@dataclass(frozen=True, kw_only=True)
class QuestionAsked:
    """A question that takes many runs.

    Attributes
    ----------
    goal : what the robust plan, or an architecture, is to be best in
    level : share of the members in whose worst it is to be best; left out: on the mean
    """

    members: Annotated[int, Field(ge=2, le=MOST_MEMBERS)] = MEMBERS
    goal: Literal["odds", "days", "cost"] = "odds"
    level: Annotated[float, Field(gt=0, lt=1)] | None = None
    units: Units = "metric"


@dataclass(frozen=True)
class UnderWay:
    """A part that is being worked out, or waits until another is done.

    Attributes
    ----------
    text : what is done now, in words; empty before it says anything
    done, of : how much of that; of 0 where nobody knows
    """

    part: str
    state: State
    text: str
    done: int
    of: int


@dataclass(frozen=True)
class Failed:
    """A part that was asked for and came to no answer, and why."""

    part: str
    why: str


@dataclass(frozen=True)
class Progress:
    """What is being worked out for this hole, the one under way first, and what was not to be."""

    parts: tuple[UnderWay, ...]
    failed: tuple[Failed, ...]


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


def is_slow(part: OddsPart) -> TypeGuard[SlowPart]:
    """Return whether a part takes many runs: it is worked out when somebody asks for it."""
    return part in SLOW


def progress_of(line: Iterable[Job], failed: tuple[Failed, ...]) -> Progress:
    return Progress(tuple(_under_way(job) for job in line), failed)


def _under_way(job: Job) -> UnderWay:
    what, done, of = job.said
    return UnderWay(job.part, job.state, what, done, of)


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


def slow_answer(
    question: Question, found: SlowFound, hole: Hole, revision: int, units: UnitSystem
) -> TopicAnswer:
    """Return the answer to a question that takes many runs."""
    topic = found.topic(units)
    told = f"{question.members:,} members; `bathybore odds` draws as many as you like"
    topic = replace(topic, facts=(*topic.facts, ("Asked of", told)))
    return topic_answer(hole, topic, _in_words(found, units), revision, units)


def slow_picture(found: SlowFound, units: UnitSystem) -> Picture:
    return part_picture(found, units)


def _in_words(found: SlowFound, units: UnitSystem) -> str:
    if isinstance(found, MattersTold):
        return drawn_matters.in_words(found.found, units)
    if isinstance(found, WorthsTold):
        return drawn_knowing.in_words(found.found, units)
    if isinstance(found, RobustTold):
        return drawn_robust.in_words(found.found, found.frame, units)
    if isinstance(found, WalkedTold):
        return drawn_walked.in_words(found.found)
    if isinstance(found, ArchitecturesTold):
        return drawn_architectures.in_words(found, units)
    return drawn_relief.in_words(found.found)


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
