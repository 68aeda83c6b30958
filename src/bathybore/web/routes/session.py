"""Who is there: the session, login and logout."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import HouseHere
from bathybore.web.shapes import Login, SessionTold

router = APIRouter(tags=["session"], responses=ERRORS)


@router.get("/session", response_model=SessionTold)
def read_session(request: Request, house: HouseHere) -> Response:
    """Say who the reader is, and hand out the token that changes need."""
    visitor, cookie = house.visitors.greeted(request)
    answer = json(house.told(visitor))
    if cookie:
        house.visitors.set_cookie(answer, request, cookie)
    return answer


@router.post("/login", response_model=SessionTold)
def login(asked: Login, request: Request, house: HouseHere) -> Response:
    """Begin a session under a name; the old one, if any, ends."""
    visitor = house.visitors.login(request, asked.name, asked.password)
    answer = json(house.told(visitor))
    house.visitors.set_cookie(answer, request, visitor.token)
    return answer


@router.post("/logout", response_model=SessionTold)
def logout(request: Request, house: HouseHere) -> Response:
    """End the session."""
    visitor = house.visitors.logout(request)
    answer = json(house.told(visitor))
    house.visitors.set_cookie(answer, request, visitor.token)
    return answer
