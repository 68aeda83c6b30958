"""Alternatives: strings from the stock, opened to their workings, drawn, kept up with edits."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from acts import WAIT, go, later_than, revision, undo, violations
from playwright.sync_api import Page, expect


def test_steel_is_chosen_opened_and_drawn(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    go(page, "Alternatives")
    string = page.get_by_role("article", name="casing-1338")
    expect(string.get_by_text("68 lb/ft N-80")).to_be_visible(timeout=WAIT)
    expect(string.get_by_text("as planned, 204 t")).to_be_visible()
    expect(page.get_by_text("Mind: Connections by their efficiencies")).to_be_visible()
    string.get_by_role("button", name="Loads against strength").click()
    picture = string.get_by_role("img")
    expect(picture).to_be_visible()
    page.wait_for_function(
        "() => [...document.querySelectorAll('article img')].every(i => i.naturalWidth > 100)",
        timeout=WAIT,
    )
    string.locator("[data-row]").first.click()
    working = page.get_by_role("article", name="Working")
    expect(working.get_by_text("workings, the nearest to the verdict first")).to_be_visible(
        timeout=WAIT
    )
    pipe = page.get_by_role("article", name="Drill string")
    expect(pipe.get_by_text("reaches the target")).to_be_visible(timeout=WAIT)
    expect(pipe.get_by_text("From the drill floor down")).to_be_visible()
    keep(page, "alternatives-steel")
    # what has been answered is not asked for again until something changes
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.wait_for_timeout(1_500)
    assert [one for one in asked if "/steel?" in one or "/string?" in one] == []
    page.keyboard.press("Escape")
    expect(working).to_have_count(0)
    expect(string.locator("[data-row]").first).to_be_focused()


def test_an_architecture_is_searched_read_and_adopted_and_undone(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("riserless")
    start = revision(page)
    go(page, "Alternatives")
    page.get_by_label("Circulation").select_option("all")
    page.get_by_role("button", name="Search").click()
    first = page.get_by_role("article", name="Proposal 1")
    expect(first).to_be_visible(timeout=3 * WAIT)
    expect(first.get_by_role("img")).to_be_visible()
    expect(page.get_by_role("heading", name="Circulation systems on the same rock")).to_be_visible()
    expect(page.get_by_text("The licensed engineer, the vessel's procedures")).to_be_visible()
    keep(page, "alternatives-architecture")
    assert violations(page) == []
    first.get_by_role("button", name="Adopt proposal 1").click()
    adopted = later_than(page, start)
    expect(page.get_by_text("Proposal 1 is the plan now")).to_be_visible()
    expect(page.get_by_text("The plan has changed since.")).to_be_visible()
    expect(first.get_by_role("button", name="Adopt proposal 1")).to_be_disabled()
    undo(page)
    later_than(page, adopted)
    go(page, "Then and now")
    expect(page.get_by_text("plan.sections").first).to_be_visible(timeout=WAIT)
