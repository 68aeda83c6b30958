"""Steps moved along and changed; verdicts filtered, opened and followed to their place."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import WAIT, go, later_than, revision, undo
from playwright.sync_api import Page, expect


def test_the_ledger_shows_the_step_the_section_or_the_hole(opened: Callable[..., Page]) -> None:
    page = opened("main")
    shown = page.get_by_role("status").filter(has_text=re.compile(r"^\d+ of \d+$"))

    def count() -> int:
        return int(shown.inner_text().split()[0])

    whole = count()
    page.get_by_role("listbox", name=re.compile("^Steps")).focus()
    page.keyboard.press("Home")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    among = page.get_by_role("group", name="How much of the hole")
    among.get_by_role("button", name="This section").click()
    section = count()
    page.get_by_role("button", name="This step").click()
    step = count()
    assert whole > section > step > 0


def test_a_row_opens_its_working_with_formula_source_and_inputs(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    page.get_by_label("Search the checks").fill("pump pressure")
    page.get_by_role("list", name="Verdicts").get_by_role("button").first.click()
    working = page.locator("section.ledger")
    expect(working.locator("svg[role=img], img[alt]").first).to_be_visible()
    text = working.inner_text()
    assert re.search(r"line \d+", text)  # where an input was written
    keep(page, "working")
    page.keyboard.press("Escape")
    expect(page.get_by_role("list", name="Verdicts")).to_be_visible()


def test_a_wait_is_inserted_with_its_reason_and_shifts_the_days(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    steps = page.get_by_role("listbox", name=re.compile("^Steps"))
    count = steps.get_by_role("option").count()
    steps.focus()
    page.keyboard.press("Home")
    page.get_by_role("button", name="Change steps").click()
    keep(page, "change-steps")
    panel = page.get_by_role("region", name="Change steps")
    panel.get_by_label("What").select_option(label="Put a wait after it")
    panel.get_by_label("Name").fill("wait-for-swell")
    panel.get_by_label("Time").fill("36 h")
    panel.get_by_label("Reason").fill("swell of a distant storm")
    panel.get_by_role("button", name="Put a wait after it").click()
    later_than(page, start)
    expect(steps.get_by_role("option")).to_have_count(count + 1)
    undo(page)
    expect(steps.get_by_role("option")).to_have_count(count)


@pytest.mark.soak
def test_then_and_now_tell_what_was_changed_and_what_came_of_it(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="design basis").click()
    field = page.get_by_label("days available")
    field.fill("60 day")
    field.press("Enter")
    later_than(page, start)
    go(page, "Then and now")
    place = page.get_by_role("region", name="What differs")
    expect(place.get_by_text("60 day").first).to_be_visible(timeout=WAIT)
    expect(place.get_by_text("220 day").first).to_be_visible()
    expect(place.get_by_text(re.compile("fails")).first).to_be_visible()
    keep(page, "then-and-now")
