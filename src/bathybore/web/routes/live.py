"""The live connection's address."""

from __future__ import annotations

from functools import partial
from secrets import token_hex
from typing import Annotated

from fastapi import APIRouter, Path, Query, WebSocket

from bathybore.base.depth import Datum
from bathybore.storage.workspace import UnknownHole
from bathybore.web.asking import house_of
from bathybore.web.live import LOGIN_AGAIN, NO_SUCH_HOLE, NOT_ALLOWED, TOO_MANY, Page
from bathybore.web.shapes import DatumName, Units
from bathybore.web.view import View

router = APIRouter()

Short = Annotated[str, Query(max_length=200)]


@router.websocket("/holes/{hole}/live")
async def live(
    socket: WebSocket,
    hole: Annotated[str, Path(max_length=200)],
    step: Short = "",
    string: Short = "",
    datum: DatumName = "drill floor",
    units: Units = "metric",
    client: Annotated[str, Query(max_length=100)] = "",
) -> None:
    """Serve one page; the messages are described in ``live_shapes``."""
    house = house_of(socket)
    hubs = socket.app.state.hubs
    await socket.accept()
    visitor = await hubs.run(partial(house.visitors.known, socket))
    if visitor is None or not visitor.may("read"):
        await socket.close(LOGIN_AGAIN if visitor is None else NOT_ALLOWED)
        return
    try:
        hub = await hubs.hub(hole)
    except UnknownHole:
        await socket.close(NO_SUCH_HOLE)
        return
    if hub.full:
        await socket.close(TOO_MANY)
        return
    view = View(step, string, Datum(datum), units)
    who = partial(house.visitors.of_token, visitor.token)
    await Page(socket, hub, who, client or token_hex(8), view).serve(visitor)
