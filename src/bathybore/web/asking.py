"""Who asks, for which hole: what the routes get handed by FastAPI."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Annotated, Final

from fastapi import Depends, Path, Request
from fastapi.requests import HTTPConnection

from bathybore.base.errors import Fault
from bathybore.storage.records import Role
from bathybore.web.answers import Refused
from bathybore.web.house import House
from bathybore.web.room import Room
from bathybore.web.visitors import TOKEN_HEADER, Visitor

SAFE_METHODS: Final = frozenset({"GET", "HEAD"})


def house_of(connection: HTTPConnection) -> House:
    house: House = connection.app.state.house
    return house


HouseHere = Annotated[House, Depends(house_of)]


def visitor_of(request: Request, house: HouseHere) -> Visitor:
    """Return who asks. A request that changes something must prove that our own page sent it."""
    visitor = house.visitors.known(request)
    if visitor is None:
        found = "nobody logged in" if house.visitors.login_needed else "no session"
        fix = "Log in." if house.visitors.login_needed else "Ask GET /api/session first."
        raise Refused(401, Fault("session", found, "a session cookie of this server", fix))
    if request.method not in SAFE_METHODS:
        visitor.check_token(request.headers.get(TOKEN_HEADER, ""))
    return visitor


def needs(role: Role) -> Callable[..., Visitor]:
    """Return the dependency that lets in those with a role or a higher one."""

    def allowed(visitor: Annotated[Visitor, Depends(visitor_of)]) -> Visitor:
        visitor.check_role(role)
        return visitor

    return allowed


Reader = Annotated[Visitor, Depends(needs("read"))]
Editor = Annotated[Visitor, Depends(needs("edit"))]
Signer = Annotated[Visitor, Depends(needs("sign"))]

HoleId = Annotated[str, Path(max_length=200, description="Name of the hole's folder.")]


def room_of(hole: HoleId, house: HouseHere, visitor: Reader) -> Room:
    """Return the hole asked for, opened. Only who may read learns whether it is there."""
    return house.room(hole)


RoomHere = Annotated[Room, Depends(room_of)]


def changing_room_of(room: RoomHere) -> Iterator[Room]:
    """Return the hole that a request changes; pages that have it open are told afterwards."""
    yield room
    room.changed()


ChangingRoom = Annotated[Room, Depends(changing_room_of)]
