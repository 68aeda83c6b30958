"""The programme as PDF and HTML."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Response

from bathybore.web.answers import ERRORS
from bathybore.web.asking import RoomHere
from bathybore.web.guard import DOCUMENT_POLICY
from bathybore.web.shapes import InUnits, RevisionNumber

router = APIRouter(prefix="/holes/{hole}", tags=["programme"], responses=ERRORS)

Revision = Annotated[RevisionNumber | None, Query(description="Left out: the newest.")]


@router.get(
    "/programme.pdf",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {"schema": {"type": "string"}}}}},
)
def programme_pdf(room: RoomHere, units: InUnits = "metric", revision: Revision = None) -> Response:
    """Write the programme of a revision as PDF."""
    content = room.papers.written("pdf", units, revision)
    return Response(content, media_type="application/pdf", headers=_named(room.id, "pdf"))


@router.get(
    "/programme.html",
    response_class=Response,
    responses={200: {"content": {"text/html": {"schema": {"type": "string"}}}}},
)
def programme_html(
    room: RoomHere, units: InUnits = "metric", revision: Revision = None
) -> Response:
    """Write the programme of a revision as one HTML file, which runs no script."""
    content = room.papers.written("html", units, revision)
    headers = {**_named(room.id, "html"), "Content-Security-Policy": DOCUMENT_POLICY}
    return Response(content, media_type="text/html; charset=utf-8", headers=headers)


def _named(hole: str, kind: str) -> dict[str, str]:
    name = quote(f"programme-{hole}.{kind}")
    return {"Content-Disposition": f"inline; filename*=UTF-8''{name}"}
