"""What could be done instead: architectures searched, and the choice of steel from the stock."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query, Response

from bathybore.usecases.searching import MOST_ALTERNATIVES, SearchOrder
from bathybore.web.answers import ERRORS, json
from bathybore.web.architecture_page import ArchitectureAnswer
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.shapes import InUnits, SteelAnswer
from bathybore.web.string_page import ReachAnswer

router = APIRouter(prefix="/holes/{hole}", tags=["alternatives"], responses=ERRORS)

CasingName = Annotated[str, Path(max_length=200)]


@router.get("/architectures", response_model=ArchitectureAnswer)
def search_architectures(
    room: RoomHere,
    units: InUnits = "metric",
    circulation: Annotated[
        str, Query(max_length=40, description="A system by name, or all to compare them.")
    ] = "",
    best: Annotated[
        Literal["strings", "days", "steel"], Query(description="What the best has least of.")
    ] = "strings",
    alternatives: Annotated[int, Query(ge=0, le=MOST_ALTERNATIVES)] = 3,
) -> Response:
    """Search shoes, sizes and mud densities anew for the newest revision; takes some seconds."""
    order = SearchOrder(circulation=circulation, best=best, alternatives=alternatives)
    return json(room.architectures(order, units))


@router.get("/steel", response_model=SteelAnswer)
def choose_steel(room: RoomHere, units: InUnits = "metric") -> Response:
    """Choose the lightest string from the stock for every casing of the newest revision."""
    return json(room.steel(units))


@router.get("/steel/{casing}/picture.svg", response_class=Response, responses=SVG)
def draw_steel(room: RoomHere, casing: CasingName, units: InUnits = "metric") -> Response:
    """Draw loads against resistance over depth, and the design envelope, of one string."""
    return drawn(room.steel_picture(casing, units))


@router.get("/string", response_model=ReachAnswer)
def reach_by_string(room: RoomHere, units: InUnits = "metric") -> Response:
    """Find the drill string from the stock that reaches deepest."""
    return json(room.string_reach(units))


@router.get("/string/picture.svg", response_class=Response, responses=SVG)
def draw_string(room: RoomHere, units: InUnits = "metric") -> Response:
    """Draw the loads of that string over depth."""
    return drawn(room.string_picture(units))
