"""The built front end: a page and its assets, whose names change with their content."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

STATIC: Final = Path(__file__).parent / "static"
_FOR_EVER: Final = "public, max-age=31536000, immutable"


class FrontEnd(StaticFiles):
    """Serves the built files; ``index.html`` stands for the root and for nothing else."""

    def __init__(self, folder: Path = STATIC) -> None:
        super().__init__(directory=folder, html=True, check_dir=False)

    async def get_response(self, path: str, scope: Scope) -> Response:
        answer = await super().get_response(path, scope)
        kept = path.startswith("assets/") and answer.status_code in (200, 304)
        answer.headers["Cache-Control"] = _FOR_EVER if kept else "no-cache"
        return answer
