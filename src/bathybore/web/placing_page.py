"""Cement jobs, trips and cuttings for the page: one shape for the three."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings import cuttings, placement, trip_speed
from bathybore.drawings.picture import Picture
from bathybore.model.hole import Hole
from bathybore.usecases.cementing import CementJob, cement_jobs
from bathybore.usecases.cleaning import Cleaning, cleanings
from bathybore.usecases.placing_told import known
from bathybore.usecases.tripping import Trip, trips
from bathybore.usecases.walking import Walk
from bathybore.web.topic_page import EMPTY, TopicBody, body

PlacingKind = Literal["cement", "trips", "cuttings"]
Placing = CementJob | Trip | Cleaning
_WHAT: Final = {"cement": "casing", "trips": "section", "cuttings": "section"}


@dataclass(frozen=True, kw_only=True)
class PlacingAnswer(TopicBody):
    """One cement job, trip or section of cuttings; empty where the plan has none.

    Attributes
    ----------
    names : of all there are
    name : of the one told
    """

    names: tuple[str, ...]
    name: str


def found_in(walk: Walk, kind: PlacingKind) -> tuple[Placing, ...]:
    """Return all jobs, trips or sections of a walk."""
    if kind == "cement":
        return cement_jobs(walk)
    return trips(walk) if kind == "trips" else cleanings(walk)


def name_of(one: Placing) -> str:
    return one.casing if isinstance(one, CementJob) else one.section


def chosen_of(kind: PlacingKind, found: Sequence[Placing], name: str) -> Placing | None:
    """Return the one named, the last where none is; None where there are none.

    Raises
    ------
    InputErrors
        There is none of that name.
    """
    if name:
        known(_WHAT[kind], name, [name_of(one) for one in found])
    return next((one for one in found[::-1] if name in ("", name_of(one))), None)


def placing_answer(
    hole: Hole, found: Sequence[Placing], one: Placing | None, revision: int, units: UnitSystem
) -> PlacingAnswer:
    """Return what is told of one of them, texts in ``units``."""
    names = tuple(name_of(each) for each in found)
    if one is None:
        return PlacingAnswer(revision=revision, names=names, name="", **EMPTY)
    topic = one.topic(units)
    told = body(hole, topic, _in_words(one, units), units)
    return PlacingAnswer(revision=revision, names=names, name=topic.name, **told)


def _in_words(one: Placing, units: UnitSystem) -> str:
    if isinstance(one, CementJob):
        return placement.in_words(one, units)
    return trip_speed.in_words(one, units) if isinstance(one, Trip) else cuttings.in_words(one)


def placing_picture(one: Placing, units: UnitSystem) -> Picture:
    """Return the picture of a job, trip or section."""
    if isinstance(one, CementJob):
        return placement.placement_picture(one, units)
    if isinstance(one, Trip):
        return trip_speed.trip_picture(one, units)
    return cuttings.cuttings_picture(one, units)
