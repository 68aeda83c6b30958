"""The programme as PDF and HTML, and every table and picture as a file."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal
from urllib.parse import quote

from fastapi import APIRouter, Path, Query, Response

from bathybore.reports.exports import (
    MEDIA_TYPES,
    Export,
    Exported,
    ShownTable,
    exports,
)
from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.guard import DOCUMENT_POLICY
from bathybore.web.shapes import InUnits, RevisionNumber

router = APIRouter(prefix="/holes/{hole}", tags=["papers"], responses=ERRORS)

Revision = Annotated[RevisionNumber | None, Query(description="Left out: the newest.")]
FileName = Annotated[str, Path(max_length=200, description="Name and kind, as `ledger.csv`.")]


def _files(*media_types: str) -> dict[int | str, dict[str, Any]]:
    """Describe an answer that is a file."""
    shape = {"schema": {"type": "string"}}
    return {200: {"content": {media.partition(";")[0]: shape for media in media_types}}}


# the browser's own reader, which runs nothing of ours, works only without a sandbox
PDF_POLICY: Final = "frame-ancestors 'self'"
PDF: Final = _files("application/pdf")
HTML: Final = _files("text/html")
EXPORTS: Final = _files(*MEDIA_TYPES.values())
TABLES: Final = _files(MEDIA_TYPES["csv"], MEDIA_TYPES["xlsx"])


@router.get("/programme.pdf", response_class=Response, responses=PDF)
def programme_pdf(room: RoomHere, units: InUnits = "metric", revision: Revision = None) -> Response:
    """Write the programme of a revision as PDF."""
    return _file(room.papers.programme("pdf", units, revision), "inline", PDF_POLICY)


@router.get("/programme.html", response_class=Response, responses=HTML)
def programme_html(
    room: RoomHere, units: InUnits = "metric", revision: Revision = None
) -> Response:
    """Write the programme of a revision as one HTML file, which runs no script."""
    return _file(room.papers.programme("html", units, revision), "inline", DOCUMENT_POLICY)


@router.get("/exports", response_model=tuple[Export, ...])
def list_exports(room: RoomHere) -> Response:
    """List what can be taken out, and the kinds of file it comes as."""
    return json(exports())


@router.get("/export/{file}", response_class=Response, responses=EXPORTS)
def read_export(
    room: RoomHere, file: FileName, units: InUnits = "metric", revision: Revision = None
) -> Response:
    """Take out one table, picture or the whole walk as a file."""
    return _file(room.papers.export(file, units, revision), "attachment", DOCUMENT_POLICY)


@router.post("/table.{kind}", response_class=Response, responses=TABLES)
def write_table(
    room: RoomHere, kind: Annotated[Literal["csv", "xlsx"], Path()], asked: ShownTable
) -> Response:
    """Write a table as a page shows it as a file; nothing is kept."""
    return _file(room.papers.table(asked, kind), "attachment", DOCUMENT_POLICY)


def _file(made: Exported, how: str, policy: str) -> Response:
    headers = {
        "Content-Disposition": f"{how}; filename*=UTF-8''{quote(made.file)}",
        "Content-Security-Policy": policy,
    }
    return Response(made.content, media_type=made.media_type, headers=headers)
