"""The server as an ASGI application."""

from __future__ import annotations

from fastapi import FastAPI

import bathybore
from bathybore.web.answers import answer_errors
from bathybore.web.live_shapes import describe_messages
from bathybore.web.routes import edits, holes, pictures, programme, revisions, session


def create_app() -> FastAPI:
    app = FastAPI(
        title="Bathybore workspace",
        version=bathybore.__version__,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        generate_unique_id_function=lambda route: route.name,
    )
    for part in (session, holes, pictures, edits, revisions, programme):
        app.include_router(part.router, prefix="/api")
    describe_messages(app)
    answer_errors(app)
    return app
