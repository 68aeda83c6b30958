"""Print the description of the interface, from which the front end's types are generated.

python -m bathybore.web.describe > workspace/openapi.json
"""

from __future__ import annotations

import json
import sys

from bathybore.web.app import described_app


def description() -> str:
    """Return the OpenAPI document as text, the same for the same source."""
    return (
        json.dumps(described_app().openapi(), indent=1, sort_keys=True, ensure_ascii=False) + "\n"
    )


if __name__ == "__main__":
    sys.stdout.write(description())
