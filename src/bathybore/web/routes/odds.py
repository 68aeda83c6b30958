"""Reach, odds and rules of a hole, with their pictures; worked out while the request waits."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Response

from bathybore.ensembles.choosing import Goal
from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.odds_page import FirstBite, OddsPart, Progress, QuestionAsked
from bathybore.web.outlook import Question, SlowPart
from bathybore.web.shapes import InUnits, Refusal
from bathybore.web.topic_page import TopicAnswer

_PASSED_BY: Final[dict[int | str, dict[str, Any]]] = {
    409: {"model": Refusal, "description": "There is a newer revision: ask again."},
    410: {"model": Refusal, "description": "Somebody cancelled it."},
    503: {"model": Refusal, "description": "Its process was lost: ask again."},
}
router = APIRouter(prefix="/holes/{hole}/odds", tags=["odds"], responses={**ERRORS, **_PASSED_BY})

Part = Annotated[
    OddsPart,
    Path(
        description="Where limits bite; the same with reliefs; odds; rules for a crew. Then, as "
        "last asked for: what matters; what is worth knowing; what stands most; which architecture "
        "does; what lifts the chance; which longer questions members fail."
    ),
]
Slow = Annotated[SlowPart, Path(description="What is worked out in the background.")]


Word = Annotated[Literal["pause", "resume", "cancel"], Path(description="What to do with it.")]


@router.get("/progress", response_model=Progress)
def show_progress(room: RoomHere) -> Response:
    """Say what is being worked out for somebody who waits."""
    return json(room.odds.progress())


@router.get("/first", response_model=FirstBite)
def show_first_bite(room: RoomHere, units: InUnits = "metric") -> Response:
    """Say what bites first, if it is known; nothing is worked out for it."""
    return json(room.odds.first_bite(units))


@router.get("/{part}", response_model=TopicAnswer)
def show_odds(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Show where each limit bites, the odds of the hole, the rules, or what was asked for."""
    return json(room.odds.answer(part, units))


@router.get("/{part}/picture.svg", response_class=Response, responses=SVG)
def draw_odds(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Draw the reach of each limit, or days, chance and endings by depth."""
    return drawn(room.odds_picture(part, units))


@router.post("/{part}/begin", response_model=Progress)
def begin(asked: QuestionAsked, part: Slow, room: RoomHere) -> Response:
    """Begin to work out a part in the background, of the newest revision that can be walked."""
    question = Question(part, asked.members, Goal(asked.goal), asked.level, asked.units)
    return json(room.odds.begin(question))


@router.post("/{part}/{word}", response_model=Progress)
def tell(part: Part, word: Word, room: RoomHere) -> Response:
    """Pause the work on a part, let it go on, or end it; nothing where none is under way."""
    return json(room.odds.tell(part, word))
