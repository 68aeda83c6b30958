"""The server as an ASGI application."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from functools import partial
from typing import Final

from fastapi import FastAPI

import bathybore
from bathybore.storage.workspace import Workspace
from bathybore.web.answers import answer_errors
from bathybore.web.guard import LOOPBACK_NAMES, UPLOAD_LIMIT, Guard, Names
from bathybore.web.house import House
from bathybore.web.hubs import Hubs
from bathybore.web.live_shapes import describe_messages
from bathybore.web.routes import (
    alternatives,
    circulation,
    data,
    edits,
    holes,
    kicks,
    live,
    odds,
    papers,
    pictures,
    placing,
    prognosis,
    revisions,
    riser,
    session,
    station,
)
from bathybore.web.static_files import FrontEnd

DEFAULT_PORT: Final = 8137


def described_app() -> FastAPI:
    """Return the application with its routes; nothing is opened yet."""
    app = FastAPI(
        title="Bathybore workspace",
        version=bathybore.__version__,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        generate_unique_id_function=lambda route: route.name,
    )
    for part in (
        session,
        holes,
        pictures,
        alternatives,
        circulation,
        placing,
        station,
        riser,
        odds,
        prognosis,
        edits,
        data,
        revisions,
        kicks,
        papers,
        live,
    ):
        app.include_router(part.router, prefix="/api")
    describe_messages(app)
    answer_errors(app)
    app.mount("/", FrontEnd())  # last: it answers for every path that is left
    return app


def create_app(
    workspace: Workspace,
    *,
    port: int = DEFAULT_PORT,
    names: Names | None = None,
    wide: bool = False,
    upload_limit: int = UPLOAD_LIMIT,
    warm: Callable[[House], None] | None = None,
) -> FastAPI:
    """Return the server of a folder of holes. It closes the workspace when it ends.

    Parameters
    ----------
    port : on which it answers
    names : host names under which it may be asked; those of this computer when left out
    wide : other computers can reach it, so that a login is needed
    upload_limit : [bytes] of one request
    warm : done in a worker thread once the server is up
    """
    app = described_app()
    house = House(workspace, port, wide)
    app.state.house = house
    app.state.warm = warm
    app.router.lifespan_context = _lifespan
    app.add_middleware(
        Guard,
        names=names or Names(LOOPBACK_NAMES),
        login_needed=lambda: house.visitors.login_needed,
        limit=upload_limit,
    )
    return app


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    hubs = Hubs(app.state.house)
    app.state.hubs = hubs
    if app.state.warm is not None:
        hubs.begin(partial(app.state.warm, app.state.house))
    try:
        yield
    finally:
        hubs.close()
        app.state.house.close()
