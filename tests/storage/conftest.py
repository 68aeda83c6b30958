"""A fresh copy of the short hole for every test."""

from __future__ import annotations

from pathlib import Path

import pytest
from kept_hole import copied


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copied(tmp_path)
