"""Tables of a terminal break between words, however narrow it is."""

from __future__ import annotations

import pytest

from bathybore.cli.page import Page
from bathybore.cli.tables import put_table

TITLES = ("ended by", "share (95 %)", "P10", "P50", "P90 below sea bed", "which check", "such")
ROWS = (
    ("other questions of the ledger", "8.4% (7.2% to 9.7%)", "1 210 m", "1 400 m", "3 600 m",
     "run-casing-1338/conductor-bears-casing (12)", "12, 114, 390"),
    ("pressure window", "2.0% (1.5% to 2.7%)", "3 800 m", "3 900 m", "4 000 m", "the window", "7"),
)  # fmt: skip


def told(monkeypatch: pytest.MonkeyPatch, width: int) -> list[str]:
    monkeypatch.setenv("COLUMNS", str(width))
    page = Page()
    put_table(page, TITLES, ROWS)
    return page.text().splitlines()


@pytest.mark.parametrize("width", [72, 80, 100, 120, 160, 240])
def test_no_word_is_broken(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    lines = told(monkeypatch, width)
    assert max(map(len, lines)) <= width
    words = " ".join(lines).split()
    for row in ROWS:
        for cell in row:
            for word in cell.split():
                assert word in words


def test_a_wide_page_has_a_row_a_line(monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(told(monkeypatch, 240)) == 1 + len(ROWS)


def test_where_columns_have_no_room_each_row_is_told_by_lines(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lines = told(monkeypatch, 72)
    assert lines[0].strip() == "other questions of the ledger"
    assert any(line.split()[:2] == ["which", "check"] for line in lines)
