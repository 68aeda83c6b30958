"""What is placed, moved and carried: cement jobs, trips and cuttings, with their pictures."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.placing_page import PlacingAnswer, PlacingKind
from bathybore.web.shapes import InUnits

router = APIRouter(prefix="/holes/{hole}/placing", tags=["fluids"], responses=ERRORS)

Kind = Annotated[PlacingKind, Path(description="Cement jobs, trips, or cuttings.")]
Name = Annotated[
    str, Query(max_length=200, description="A casing or section; the deepest when empty.")
]


@router.get("/{kind}", response_model=PlacingAnswer)
def show_placing(
    room: RoomHere, kind: Kind, name: Name = "", units: InUnits = "metric"
) -> Response:
    """Show one cement job minute by minute, one trip, or the cuttings of one section."""
    return json(room.placing(kind, name, units))


@router.get("/{kind}/picture.svg", response_class=Response, responses=SVG)
def draw_placing(
    room: RoomHere, kind: Kind, name: Name = "", units: InUnits = "metric"
) -> Response:
    """Draw a cement job in time, the speeds of a trip, or cuttings by annulus."""
    return drawn(room.placing_picture(kind, name, units))
