"""Station kept and lost: capability by direction, watch circles, with their pictures."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.shapes import InUnits
from bathybore.web.station_page import StationPart
from bathybore.web.topic_page import TopicAnswer

router = APIRouter(prefix="/holes/{hole}/station", tags=["sea"], responses=ERRORS)

Part = Annotated[
    StationPart,
    Path(description="What is held, the footprint, the motions, the circles, or the weather."),
]


@router.get("/{part}", response_model=TopicAnswer)
def show_station(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Show what the vessel holds, where it is meanwhile, or where disconnection must begin."""
    return json(room.station(part, units))


@router.get("/{part}/picture.svg", response_class=Response, responses=SVG)
def draw_station(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Draw it: by direction as a polar picture, or on the sea to scale."""
    return drawn(room.station_picture(part, units))
