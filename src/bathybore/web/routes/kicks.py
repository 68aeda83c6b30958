"""Kicks, kill sheets and the account of the mud, with their pictures."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.kick_page import KickAnswer, MudAnswer
from bathybore.web.shapes import InUnits

router = APIRouter(prefix="/holes/{hole}", tags=["fluids"], responses=ERRORS)

Section = Annotated[
    str,
    Query(max_length=200, description="A section drilled with a riser; the deepest when empty."),
]
Which = Annotated[Literal["story", "tolerance", "hydrates"], Path()]


@router.get("/kick", response_model=KickAnswer)
def show_kick(room: RoomHere, section: Section = "", units: InUnits = "metric") -> Response:
    """Show the design kick of a section: tolerance, story in time, kill sheet, riser, hydrates."""
    return json(room.kick(section, units))


@router.get("/kick/{which}.svg", response_class=Response, responses=SVG)
def draw_kick(
    room: RoomHere, which: Which, section: Section = "", units: InUnits = "metric"
) -> Response:
    """Draw a kick in time, the tolerance of all sections, or its hydrates."""
    return drawn(room.kick_picture(which, section, units))


@router.get("/mud", response_model=MudAnswer)
def show_mud(room: RoomHere, units: InUnits = "metric") -> Response:
    """Show the account of the mud of the newest revision."""
    return json(room.mud(units))


@router.get("/mud/picture.svg", response_class=Response, responses=SVG)
def draw_mud(room: RoomHere, units: InUnits = "metric") -> Response:
    """Draw the account of the mud."""
    return drawn(room.mud_picture(units))
