"""The interface does what its description says, whatever is asked of it within that."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from served import Visit, copied, running

from bathybore.web.app import described_app

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
SCHEMA = schemathesis.openapi.from_dict(described_app().openapi())
PAPERS = r"programme|export|odds"  # seconds each: a few examples must do
LITTLE = {
    "deadline": None,
    "derandomize": True,
    "database": None,
    "suppress_health_check": list(HealthCheck),
}
_PATIENCE = 600.0  # [s] a paper takes seconds; a busy machine is no fault of the server


@pytest.fixture(scope="module")
def visit(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visit]:
    folder: Path = copied(tmp_path_factory.mktemp("described"), "riserless")
    with running(folder) as address:
        yield Visit(address)


@SCHEMA.exclude(path_regex=PAPERS).parametrize()
@settings(max_examples=8, phases=[Phase.explicit, Phase.generate], **LITTLE)
def test_every_route(case: schemathesis.Case, visit: Visit) -> None:
    ask(case, visit)


@pytest.mark.soak
@SCHEMA.include(path_regex=PAPERS).parametrize()
@settings(max_examples=1, phases=[Phase.generate], **LITTLE)
def test_every_paper(case: schemathesis.Case, visit: Visit) -> None:
    ask(case, visit)


def ask(case: schemathesis.Case, visit: Visit) -> None:
    if "hole" in case.path_parameters and len(case.path_parameters["hole"]) % 4:
        case.path_parameters["hole"] = "riserless"  # most of the time one that there is
    case.call_and_validate(
        base_url=visit.address,
        headers=visit.headers,
        cookies=dict(visit.http.cookies),
        checks=CHECKS,
        timeout=_PATIENCE,
    )
