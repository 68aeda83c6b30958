"""How a picture is answered: as SVG, under the policy of a document that asks for nothing."""

from __future__ import annotations

from typing import Any, Final

from fastapi import Response

from bathybore.web.guard import DOCUMENT_POLICY

# Said in the description of every route that draws.
SVG: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {"image/svg+xml": {"schema": {"type": "string"}}}}
}


def drawn(svg: str, **headers: str) -> Response:
    """Answer with a picture; ``headers`` by their names with _ for -."""
    more = {name.replace("_", "-"): value for name, value in headers.items()}
    policy = {"Content-Security-Policy": DOCUMENT_POLICY}
    return Response(svg, media_type="image/svg+xml", headers={**more, **policy})
