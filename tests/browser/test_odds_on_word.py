"""What takes many runs, in a browser: asked on the user's word, paused, cancelled, shown."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from acts import go, revision, violations
from playwright.sync_api import Locator, Page, expect

LONG = 240_000  # [ms] for a hole whose every question is asked at every depth


def section(page: Page, name: str) -> Locator:
    """Turn to a section of the place Odds by keys."""
    page.get_by_role("navigation", name="Odds").get_by_role("button", name=name).press("Enter")
    return page.locator("section", has=page.get_by_role("heading", name=name, level=2))


def asked(part: Locator, word: str, members: int) -> None:
    part.get_by_role("spinbutton", name="Members", exact=True).fill(str(members))
    part.get_by_role("button", name=word).press("Enter")


def told(page: Page, part: Locator, name: str) -> Locator:
    article = part.get_by_role("article", name=name)
    expect(article).to_be_visible(timeout=LONG)
    page.wait_for_function("() => [...document.images].every(one => one.naturalWidth > 0)")
    return article


def test_many_runs_are_asked_for_paused_cancelled_and_shown(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("riserless", viewport={"width": 1440, "height": 1100})
    page.set_default_timeout(LONG)
    go(page, "Odds")
    matters = section(page, "What matters")
    asked(matters, "Ask what matters", 20_000)
    matters.get_by_role("button", name="Pause").press("Enter")
    expect(matters.get_by_role("status")).to_contain_text("Paused at", timeout=LONG)
    keep(page, "odds-paused-light")
    assert violations(page, ".lists") == []
    # it waits there, whatever else is looked at
    robust = section(page, "Robust")
    expect(robust.get_by_role("button", name="Cancel")).to_have_count(0)
    matters = section(page, "What matters")
    expect(matters.get_by_role("status")).to_contain_text("Paused at", timeout=LONG)
    matters.get_by_role("button", name="Go on").press("Enter")
    expect(matters.get_by_role("button", name="Pause")).to_be_visible(timeout=LONG)
    matters.get_by_role("button", name="Cancel").press("Enter")
    expect(matters.get_by_role("alert")).to_contain_text("Cancelled", timeout=LONG)
    expect(matters.get_by_role("article")).to_have_count(0)

    asked(matters, "Ask what matters", 2)
    article = told(page, matters, "What matters")
    expect(article).to_contain_text("2 members")
    expect(article.get_by_role("img")).to_have_attribute("alt", re.compile("variance"))
    keep(page, "odds-matters-light")
    assert violations(page, ".lists") == []

    page.get_by_label("Light of the screen").select_option("dark")
    for name, word, members in (
        ("Robust", "Look for the plan that stands most", 2),
        ("Worth of knowing", "Ask what is worth measuring", 160),
        ("Relief", "Look for what lifts the chance", 2),
    ):
        part = section(page, name.replace("Worth of knowing", "Knowing"))
        if name == "Worth of knowing":
            part = page.locator("section", has=page.get_by_role("heading", name=name, level=2))
        asked(part, word, members)
        expect(told(page, part, name)).to_contain_text(f"{members} members")
        keep(page, f"odds-{name.split()[-1].lower()}-dark")
        assert violations(page, ".lists") == []
    before = revision(page)
    robust = section(page, "Robust")
    robust.get_by_label("Best in").select_option("days")
    robust.get_by_label("kept in").fill("90")
    asked(robust, "Look for the plan that stands most", 2)
    article = told(page, robust, "Robust")
    expect(article).to_contain_text("in the worst of 90% of the members", timeout=LONG)
    assert revision(page) == before  # nothing of the plan was changed
