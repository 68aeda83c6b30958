"""Servers on copies of the demonstration holes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from served import Visit, copied, running

from bathybore.reports.programme import programme
from bathybore.web import papers


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copied(tmp_path, "riserless")


@pytest.fixture
def address(folder: Path) -> Iterator[str]:
    """A server that only this computer reaches: nobody logs in."""
    with running(folder) as address:
        yield address


@pytest.fixture
def visit(address: str) -> Visit:
    return Visit(address)


@pytest.fixture
def guarded(folder: Path) -> Iterator[str]:
    """A server with accounts: Rhea may read, Edda edit, Sigrid sign."""
    with running(folder, {"Rhea": "read", "Edda": "edit", "Sigrid": "sign"}) as address:
        yield address


@pytest.fixture
def quick_papers(undrawn: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Write programmes without pictures and without the chapters that ask the odds."""
    monkeypatch.setattr(papers, "programme", lambda *given: programme(*given[:4]))
