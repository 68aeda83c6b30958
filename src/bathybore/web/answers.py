"""How answers are put: records as JSON, errors as faults, and which errors a route may give."""

from __future__ import annotations

from typing import Any, Final

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from pydantic_core import to_json
from starlette.exceptions import HTTPException

from bathybore.base.errors import BathyboreError, Fault, InputErrors
from bathybore.storage.records import Conflict
from bathybore.storage.workspace import UnknownHole
from bathybore.web.shapes import Clash, ClashRefusal, Refusal


def _refused(description: str) -> dict[str, Any]:
    """Describe an error by the name of its shape, which an answer of a route describes.

    As a model it would be built anew for every route and status, half a second at each start.
    """
    reference = {"$ref": f"#/components/schemas/{Refusal.__name__}"}
    return {"description": description, "content": {"application/json": {"schema": reference}}}


# Said in the description of every route.
ERRORS: Final[dict[int | str, dict[str, Any]]] = {
    401: _refused("Nobody is logged in."),
    403: _refused("The role, the token or the origin does not allow it."),
    404: _refused("There is no such thing."),
    413: _refused("The request is larger than the limit."),
    422: _refused("The input cannot be used."),
    429: _refused("Too many attempts: wait."),
}
CLASHES: Final[dict[int | str, dict[str, Any]]] = {
    409: {"model": ClashRefusal, "description": "Somebody else changed the same keys since."}
}


def encoded(record: Any) -> bytes:
    """Return a record as JSON; a number that is not finite is null."""
    return to_json(record, inf_nan_mode="null")


def json(record: Any, status: int = 200) -> Response:
    """Answer with a record. A ready response is not validated once more: our own records hold."""
    return Response(encoded(record), status, media_type="application/json")


class Refused(Exception):
    """A request that is not done, with the status and the faults to answer."""

    def __init__(self, status: int, fault: Fault, headers: dict[str, str] | None = None) -> None:
        super().__init__(str(fault))
        self.status = status
        self.fault = fault
        self.headers = headers or {}


def missing(what: str, name: str, fix: str = "") -> Refused:
    return Refused(404, Fault(what, f"'{name}'", f"a {what} that is there", fix))


def clash(keys: tuple[str, ...], by: str, revision: int) -> ClashRefusal:
    fault = Fault(
        ", ".join(keys),
        f"a change by {by} in revision {revision}",
        "nobody else's change since the revision you saw",
        "Look at it, and change it again if you still want to.",
    )
    return ClashRefusal((fault,), Clash(keys, by, revision))


def answer_errors(app: FastAPI) -> None:
    """Turn every error that a route raises on purpose into an answer with faults."""

    @app.exception_handler(Refused)
    def refused(_: Request, error: Refused) -> Response:
        answer = json(Refusal((error.fault,)), error.status)
        answer.headers.update(error.headers)
        return answer

    @app.exception_handler(UnknownHole)
    def unknown(_: Request, error: UnknownHole) -> Response:
        return json(Refusal(error.faults), 404)

    @app.exception_handler(Conflict)
    def clashing(_: Request, error: Conflict) -> Response:
        told = clash(error.keys, error.theirs.author, error.theirs.number)
        return json(told, 409)

    @app.exception_handler(BathyboreError)
    def unusable(_: Request, error: BathyboreError) -> Response:
        if isinstance(error, InputErrors):
            return json(Refusal(error.faults), 422)
        return json(Refusal((Fault("hole", str(error), "steps that can follow one another"),)), 422)

    @app.exception_handler(RequestValidationError)
    def malformed(_: Request, error: RequestValidationError) -> Response:
        return json(Refusal(request_faults(error.errors())), 422)

    @app.exception_handler(HTTPException)
    def told(request: Request, error: HTTPException) -> Response:
        unread = error.status_code == 400  # a body that is no JSON, or no form
        expected = "a body that can be read" if unread else "an address of this server"
        fault = Fault(request.url.path, str(error.detail), expected)
        answer = json(Refusal((fault,)), 422 if unread else error.status_code)
        answer.headers.update(error.headers or {})
        return answer


def request_faults(errors: Any) -> tuple[Fault, ...]:
    """Return what is wrong with the form of a request, in our words."""
    return tuple(
        Fault(
            ".".join(str(part) for part in one["loc"]) or "request",
            _short(one.get("input")),
            str(one["msg"]),
        )
        for one in list(errors)[:20]
    )


def _short(found: Any) -> str:
    text = repr(found)
    return text if len(text) <= 80 else f"{text[:80]}…"
