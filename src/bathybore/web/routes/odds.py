"""Reach, odds and rules of a hole, with their pictures; worked out while the request waits."""

from __future__ import annotations

from typing import Annotated, Any, Final

from fastapi import APIRouter, Path, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.guard import DOCUMENT_POLICY
from bathybore.web.odds_page import FirstBite, OddsPart, Progress
from bathybore.web.shapes import InUnits, Refusal
from bathybore.web.topic_page import TopicAnswer

_PASSED_BY: Final[dict[int | str, dict[str, Any]]] = {
    409: {"model": Refusal, "description": "There is a newer revision: ask again."}
}
router = APIRouter(prefix="/holes/{hole}/odds", tags=["odds"], responses={**ERRORS, **_PASSED_BY})

Part = Annotated[
    OddsPart, Path(description="Where limits bite; the same with reliefs; odds; rules for a crew.")
]


@router.get("/progress", response_model=Progress)
def show_progress(room: RoomHere) -> Response:
    """Say what is being worked out for somebody who waits."""
    return json(room.odds_progress())


@router.get("/first", response_model=FirstBite)
def show_first_bite(room: RoomHere, units: InUnits = "metric") -> Response:
    """Say what bites first, if it is known; nothing is worked out for it."""
    return json(room.first_bite(units))


@router.get("/{part}", response_model=TopicAnswer)
def show_odds(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Show where each limit bites, the odds of the hole, or the rules that a crew carries."""
    return json(room.odds(part, units))


@router.get(
    "/{part}/picture.svg",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {"schema": {"type": "string"}}}}},
)
def draw_odds(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Draw the reach of each limit, or days, chance and endings by depth."""
    headers = {"Content-Security-Policy": DOCUMENT_POLICY}
    svg = room.odds_picture(part, units)
    return Response(svg, media_type="image/svg+xml", headers=headers)
