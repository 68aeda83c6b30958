"""The demonstration hole, walked once, and a copy of it full of text that wants to be markup."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from bathybore.checks.record import Status
from bathybore.reports.blocks import Document
from bathybore.reports.programme import programme
from bathybore.usecases.walking import Walk, walk
from varied import judged_as

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
HOSTILE = "#panic(\"x\") $x^2$ <script>alert(1)</script> & 'q' *b* @ref \\ `r` [l](u) {{t}}"


@pytest.fixture(scope="session")
def example(main_walk: Walk) -> Walk:
    return main_walk


@pytest.fixture(scope="session")
def short() -> Walk:
    """The first steps of the small hole: a document with few pictures, made in a moment."""
    return _first_steps(walk(EXAMPLE.with_name("riserless")))


@pytest.fixture(scope="session")
def short_document(short: Walk) -> Document:
    return programme(short)


def _first_steps(whole: Walk) -> Walk:
    return judged_as(replace(whole, states=whole.states[:4], longer=None), whole.records[:14])


@pytest.fixture(scope="session")
def failing(short: Walk) -> Walk:
    """The same again, with one check made to fail."""
    broken = replace(short.records[5], status=Status.FAILS, margin=-0.25)
    return judged_as(short, (*short.records[:5], broken, *short.records[6:]))


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    """The hole with every text of the user's turned into markup."""
    folder = tmp_path_factory.mktemp("hostile") / "hole"
    shutil.copytree(EXAMPLE, folder)
    text = (folder / "hole.yaml").read_text(encoding="utf-8")
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    for old, new in (
        ("name: Tern Basin deep hole", f"name: {quoted}"),
        ("name: Grey Turnstone (invented)", f"name: {quoted}"),
        ("mud-1", '"#m$1<b>"'),
    ):
        assert old in text
        text = text.replace(old, new)
    (folder / "hole.yaml").write_text(text, encoding="utf-8")
    earth = (folder / "earth.csv").read_text(encoding="utf-8")
    assert ",limestone," in earth
    earth = earth.replace(",limestone,", ",#lime$<i>stone,")
    (folder / "earth.csv").write_text(earth, encoding="utf-8")
    return _first_steps(walk(folder))


@pytest.fixture(scope="session")
def hostile_document(hostile: Walk) -> Document:
    return programme(hostile)
