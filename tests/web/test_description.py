"""The description of the interface that is committed is that of the server."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from bathybore.base.depth import Datum
from bathybore.checks.record import Status
from bathybore.storage.records import Role
from bathybore.usecases.scene import Scene
from bathybore.web import shapes
from bathybore.web.app import described_app
from bathybore.web.describe import description
from bathybore.web.visitors import ROLES
from source_tree import ROOT


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    return described_app().openapi()


def test_the_committed_description_is_that_of_the_server() -> None:
    committed = (ROOT / "workspace" / "openapi.json").read_text(encoding="utf-8")
    assert committed == description(), "make openapi"


def test_the_named_choices_are_those_of_the_records() -> None:
    assert set(get_args(shapes.StatusName)) == {str(status) for status in Status}
    assert set(get_args(shapes.DatumName)) == {str(datum) for datum in Datum}
    assert get_args(Role) == ROLES


def test_every_error_of_every_route_is_answered_with_faults(document: dict[str, Any]) -> None:
    for path, operations in document["paths"].items():
        for operation in operations.values():
            for status, answer in operation["responses"].items():
                if status.startswith("4"):
                    shape = answer["content"]["application/json"]["schema"]["$ref"]
                    assert shape.endswith("Refusal"), (path, status)


def test_a_state_may_bring_any_part_of_a_scene_and_needs_none(document: dict[str, Any]) -> None:
    parts = document["components"]["schemas"]["SceneParts"]
    assert set(parts["properties"]) == set(Scene.__dataclass_fields__)
    assert "required" not in parts


def test_every_message_is_described(document: dict[str, Any]) -> None:
    live = document["webhooks"]["live"]["post"]
    asked = live["requestBody"]["content"]["application/json"]["schema"]["discriminator"]
    told = live["responses"]["200"]["content"]["application/json"]["schema"]["discriminator"]
    assert set(asked["mapping"]) == {"view", "handle", "edits", "undo", "redo"}
    said = {"state", "ledger", "accepted", "refused", "conflict", "people", "notice"}
    assert set(told["mapping"]) == said
