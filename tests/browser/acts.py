"""What a user does in the workspace, in words, for the tests to say."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import axe_playwright_python
from playwright.sync_api import Locator, Page, expect

WAIT = 60_000.0  # [ms] only what hangs takes so long, however busy the machine is
AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def violations(page: Page, within: str = "html") -> list[str]:
    """Return axe's complaints against WCAG 2.2 AA: rule, impact, first place.

    Looking through all of a hole's page takes seconds: name the part of it that is in question.
    """
    if page.evaluate("typeof axe") == "undefined":
        page.evaluate(AXE)
    found: Any = page.evaluate(
        f"axe.run({json.dumps(within)}, {{runOnly: {{type: 'tag', values: {json.dumps(RULES)}}},"
        " resultTypes: ['violations']})"
    )
    return [
        f"{one['id']}: {one['help']} at {one['nodes'][0]['target']} ({len(one['nodes'])} places): "
        f"{one['nodes'][0].get('failureSummary', '')}"
        for one in found["violations"]
    ]


def open_hole(page: Page, name: str) -> None:
    """Choose a hole in the list and wait until it is judged."""
    page.get_by_role("button", name=re.compile(name)).click()
    judged(page)


def judged(page: Page) -> None:
    expect(page.get_by_role("list", name="Verdicts")).to_be_visible(timeout=WAIT)


def go(page: Page, place: str) -> None:
    page.get_by_role("navigation", name="Places").get_by_role("button", name=place).click()


def revision(page: Page) -> int:
    """Return the number of the revision shown, once nothing is on the way."""
    status = page.locator("header .saved")
    expect(status).to_have_text(re.compile(r"^revision \d+$"), timeout=WAIT)
    return int(status.inner_text().split()[-1])


def later_than(page: Page, number: int) -> int:
    """Wait until a revision after ``number`` is shown and stays, and return its number."""
    page.wait_for_function(
        "n => { const t = document.querySelector('header .saved')?.textContent ?? '';"
        " return /^revision \\d+$/.test(t) && Number(t.slice(9)) > n }",
        arg=number,
        timeout=WAIT,
    )
    now = revision(page)
    while True:
        page.wait_for_timeout(500)
        before, now = now, revision(page)
        if now == before:
            return now


def undo(page: Page) -> None:
    page.get_by_role("banner").get_by_role("button", name="Undo").click()


def grip(page: Page, label: str | re.Pattern[str]) -> Locator:
    return page.get_by_role("slider", name=label).first


def drop(page: Page, file: Path) -> None:
    """Drop a file from outside on the middle of the page, as the system's file manager does."""
    size: Any = page.viewport_size
    data = {"items": [], "files": [str(file)], "dragOperationsMask": 1}
    middle = {"x": size["width"] / 2, "y": size["height"] / 2, "data": data}
    line = page.context.new_cdp_session(page)
    for moment in ("dragEnter", "dragOver", "drop"):
        line.send("Input.dispatchDragEvent", {"type": moment, **middle})


def drag(page: Page, what: Locator, dx: float, dy: float, moves: int = 12) -> None:
    """Drag with the mouse in several moves, as a hand does."""
    box: Any = what.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for i in range(1, moves + 1):
        page.mouse.move(x + dx * i / moves, y + dy * i / moves)
        page.wait_for_timeout(20)
    page.mouse.up()
