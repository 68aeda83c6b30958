"""Who is there: the session, login and logout."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import HouseHere
from bathybore.web.house import House
from bathybore.web.shapes import Login, SessionTold
from bathybore.web.visitors import Visitor

router = APIRouter(tags=["session"], responses=ERRORS)


@router.get("/session", response_model=SessionTold)
def read_session(request: Request, house: HouseHere) -> Response:
    """Say who the reader is, and hand out the token that changes need."""
    return _told(house, request, house.visitors.greeted(request))


@router.post("/login", response_model=SessionTold)
def login(asked: Login, request: Request, house: HouseHere) -> Response:
    """Begin a session under a name; the old one, if any, ends."""
    return _told(house, request, house.visitors.login(request, asked.name, asked.password))


@router.post("/logout", response_model=SessionTold)
def logout(request: Request, house: HouseHere) -> Response:
    """End the session."""
    return _told(house, request, house.visitors.logout(request))


def _told(house: House, request: Request, visitor: Visitor) -> Response:
    answer = json(house.told(visitor))
    house.visitors.set_cookie(answer, request, visitor)
    return answer
